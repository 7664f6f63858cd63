"""Rows without end between plates without end, in closed form: what real cabinets are held against.

A cabinet wide and high against its depth is in its middle two plates without end, the back and the face. Rows p apart
at a throw h light the face with a profile of period p, of which every harmonic has a closed form::

    ════════════════════ face        E(y) = Φ/A · Σⱼ εⱼ T(kⱼh) / [1 − ρ_b ρ_f T₁(kⱼD)²] · cos kⱼy
       │ h          │                kⱼ = 2πj/p,  ε₀ = 1, else 2
       •────── p ───•       D
    ════════════════════ back        modules a apart along the rows: kᵢⱼ = 2π √(i²/a² + j²/p²)

T is the spectrum of one module's light, which is that of a continuous row too: for a cosine power the Matérn function
T_m, for a sum of powers their sum by shares, for a uniform-plane beam the disc's 2 J₁(kr)/kr. What two diffuse plates
throw at each other is a convolution with the spectrum T₁(x) = x K₁(x), so that all that goes to and fro is a geometric
series. Of modules that shine both ways, the light behind comes back with ρ_b T₁(kD) T(k(D − h)).

Returns, edges and the ends of rows are left out, and so is light that a raised module on a back sends backwards.

References
----------
.. [1] I. S. Gradshteyn, I. M. Ryzhik, Table of Integrals, Series, and Products, 6.565.4: the Hankel transform of
   (x² + h²)^(−μ−1) is the Matérn function (the number from memory). All else is derived from it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter
from scipy.optimize import brentq, minimize_scalar
from scipy.special import j1, zeta

from lumsim.beams.beam import Beam
from lumsim.beams.tables import UniformPlane
from lumsim.errors import InputError
from lumsim.light.matern import furthest, matern

__all__ = ["NARROWEST", "WIDEST", "InfiniteRows", "has_closed_form"]

Array = NDArray[np.float64]

Field = Callable[[Array, Array], Array]
"""Illuminance over Φ/A on the lattice of (n,) places along the rows and (m,) across them, (n, m)."""

NARROWEST, WIDEST = 1e-3, 20.0
"""Pitches among which a ratio is looked for, in throws. [1]"""

DARK = 1e-9
"""Share of the highest illuminance below which the lowest counts as none. [1]"""

STEP = 0.02
"""From pitch to pitch where a ratio is looked for, of the pitch. [1]"""

FAR_ABOVE = 10.0
"""Times a ratio that is looked for, above which it does not matter how far. [1]"""

MAY_REACH = 1.1
"""A bump of the scan that lies this little short of what is looked for is maximised. [1]"""

SAMPLES_PER_DETAIL = 8
"""Of the field, where its extremes are looked for. [1]"""

LIKELY = 0.02
"""Local extremes this near to the most extreme sample are polished, of the field's range. [1]"""

MOST_LIKELY = 8
"""So many of them at most. [1]"""

ROUNDS, CLOSER = 6, 9
"""Of looking closer at an extreme, and samples in each: a step in the end 4⁻⁶ of that at first. [1]"""

ENVELOPE = 0.83
"""√x |J₁(x)| is at most this: its first hill is 0.825, later ones less. [1]"""


def has_closed_form(beam: Beam) -> bool:
    """Whether rows of a beam are answered here: sums of cosine powers, and the uniform-plane beam.

    Parameters
    ----------
    beam : Beam
    """
    return bool(beam.terms) or isinstance(beam, UniformPlane)


@dataclass(frozen=True, slots=True, kw_only=True)
class InfiniteRows:
    """Rows without end that shine straight at the face, between two plates without end.

    Raises
    ------
    InputError
        For a beam without a closed form, for dots of a uniform-plane beam (its discs have sharp rims), and for lengths
        and reflectances that cannot be.
    """

    beam: Beam
    throw: float
    """h, from the light-emitting plane to the face [m]"""
    depth: float
    """D, from the back or the rear face to the face [m]"""
    back_reflectance: float = 0.0
    """ρ_b, diffuse, of the back or the rear face [1]"""
    face_reflectance: float = 0.0
    """ρ_f, diffuse, of the face's inner side [1]"""
    behind: float = 0.0
    """share of each module's flux that goes the other way, mirrored [1]"""
    module_pitch: float | None = None
    """a, from dot to dot along the rows; None: continuous rows [m]"""

    def __post_init__(self) -> None:
        if not 0 < self.throw <= self.depth * (1 + 1e-12) < math.inf:
            raise InputError(
                f"a throw must be more than 0 m and at most the depth of {self.depth:g} m, got {self.throw:g} m"
            )
        for name in ("back_reflectance", "face_reflectance"):
            if not 0 <= getattr(self, name) <= 1:
                raise InputError(f"{name} must be from 0 to 1, got {getattr(self, name):g}")
        if not self.back_reflectance * self.face_reflectance < 1:
            raise InputError(
                "between two plates that reflect all, light has no end: a reflectance below 1 is needed"
            )
        if not 0 <= self.behind < 1:
            raise InputError(
                f"the share of flux behind must be 0 or more and less than 1, got {self.behind:g}"
            )
        if self.module_pitch is not None and not 0 < self.module_pitch < math.inf:
            raise InputError(f"a module pitch must be more than 0 m, got {self.module_pitch:g} m")
        if not has_closed_form(self.beam):
            raise InputError(
                "rows without end have a closed form for cosine powers, their sums and uniform-plane beams"
            )
        if self.module_pitch is not None and not self.beam.terms:
            raise InputError("dotted rows without end have a closed form for cosine powers and their sums")

    @property
    def mean(self) -> float:
        """Mean illuminance over Φ/A, all lumens of the rows by the area. [1]"""
        return float(self._strengths(np.zeros(1))[0] + (0.0 if self.beam.terms else 1 - self.behind))

    def illuminance(self, x: Array, y: Array, pitch: float) -> Array:
        """Illuminance over Φ/A, all lumens of the rows by the area. [1]

        Parameters
        ----------
        x : (n,) array
            Along the rows, from one of the modules; of no account for continuous rows. [m]
        y : (m,) array
            Across the rows, from one of them. [m]
        pitch : float
            p, more than 0. [m]

        Returns
        -------
        (n, m) array
        """
        return self._field(pitch)(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64))

    def across(self, pitch: float, *, periods: int = 3, samples: int = 100) -> tuple[Array, Array]:
        """Illuminance across the rows, from midway before one of them, over so many pitches.

        Parameters
        ----------
        pitch : float
            p, more than 0. [m]
        periods : int
            How many rows are passed; they lie half a pitch on and every pitch from there. [1]
        samples : int
            To a pitch, even, so that rows and what is midway are among them. [1]

        Returns
        -------
        places : (periods · samples + 1,) array
            From the start. [m]
        illuminance : (periods · samples + 1,) array
            Over Φ/A, on the line through a module of each row. [1]

        Raises
        ------
        InputError
            For no row, and for an odd number of places.
        """
        if periods < 1 or samples < 2 or samples % 2:
            raise InputError(
                f"rows are looked across over at least one, at an even number of places, got {periods} and {samples}"
            )
        places = np.linspace(0.0, periods * pitch, periods * samples + 1)
        return places, self.illuminance(np.zeros(1), places - pitch / 2, pitch)[0]

    def brightest_at(self, pitch: float) -> float:
        """How far from the nearest row the most light arrives; of equals the nearest to it.

        Nought over a row, half the pitch midway between two; a wide beam's bright stripe may lie at either, or parted
        in two anywhere between.

        Parameters
        ----------
        pitch : float
            p, more than 0. [m]
        """
        return self._extremes(pitch)[0].y

    def max_to_min(self, pitch: float) -> float:
        """Highest over lowest illuminance, wherever they lie; infinite where some places get no light. [1]

        A wide beam may be brightest between the rows, or neither there nor on them: extremes are looked for all over.

        Parameters
        ----------
        pitch : float
            p, more than 0. [m]
        """
        top, bottom = self._extremes(pitch)
        return top.value / bottom.value if bottom.value > DARK * top.value else math.inf

    def _extremes(self, pitch: float) -> tuple[_Extreme, _Extreme]:
        """Where most light arrives and how much, and where least."""
        field = self._field(pitch)
        # All is alike to both sides of a row and of the middle between two; so it is along dotted rows.
        detail = self.throw / math.sqrt(self.beam.sharpness + 3)
        y = self._half_period(pitch, detail)
        x = np.zeros(1) if self.module_pitch is None else self._half_period(self.module_pitch, detail)
        if isinstance(self.beam, UniformPlane):
            # The rims of all discs fall on one place of the half period: there the light has kinks.
            radius = self.throw * math.tan(self.beam.cut_off)
            y = np.union1d(y, abs(radius - pitch * round(radius / pitch)))
        E = field(x, y)
        lowest = _highest(lambda x, y: -field(x, y), x, y, -E)
        return _highest(field, x, y, E), _Extreme(-lowest.value, lowest.y)

    def pitch_for(self, ratio: float) -> float | None:
        """The first pitch, from narrow to wide, at which max/min comes up to a ratio. [m]

        Nothing is taken to rise steadily: of wide beams wider pitches may be more even again. Up to a pitch for which
        the harmonics together cannot make the ratio, nothing needs to be looked at; from there on max/min is scanned,
        and bumps that may touch the ratio between two steps of the scan are maximised.

        Parameters
        ----------
        ratio : float
            More than 1. [1]

        Returns
        -------
        float or None
            None where no pitch up to ``WIDEST`` throws comes up to the ratio, and where dots alone are above it.
        """
        if not 1 < ratio < math.inf:
            raise InputError(f"a max/min must be above 1 to be looked for, got {ratio:g}")
        first = self._even_up_to(ratio)
        steps = math.ceil(math.log(WIDEST * self.throw / first) / STEP)
        pitches = first * np.exp(STEP * np.arange(steps + 1))

        def over(pitch: float) -> float:
            return min(self.max_to_min(float(pitch)) / ratio, FAR_ABOVE) - 1

        def crossing(low: float, high: float) -> float:
            return float(brentq(over, low, high, xtol=1e-13 * self.throw, rtol=1e-12))

        before, last = -math.inf, over(pitches[0])
        if last >= 0:
            return None
        for number in range(1, len(pitches)):
            here = over(pitches[number])
            if number > 1 and before <= last >= here and (last + 1) * MAY_REACH >= 1 > here + 1:
                bump = minimize_scalar(
                    lambda pitch: -over(pitch),
                    bounds=(pitches[number - 2], pitches[number]),
                    method="bounded",
                    options={"xatol": 1e-6 * pitches[number]},
                )
                if -bump.fun >= 0:
                    return crossing(pitches[number - 2], float(bump.x))
            if here >= 0:
                return crossing(pitches[number - 1], pitches[number])
            before, last = last, here
        return None

    def _even_up_to(self, ratio: float) -> float:
        """A pitch up to which max/min stays below a ratio for certain, ``NARROWEST`` throws at least. [m]

        With c the sum of all harmonics' strengths over the mean, max/min is at most (1 + c)/(1 − c). c grows with the
        pitch, for each T_m falls steadily; so does what bounds J₁.
        """
        allowed = (ratio - 1) / (ratio + 1)

        def over(log: float) -> float:
            return min(self._unevenness(math.exp(log) * self.throw), 2.0) - allowed

        low, high = math.log(NARROWEST), math.log(WIDEST)
        if over(low) >= 0:
            return NARROWEST * self.throw
        if over(high) <= 0:
            return WIDEST * self.throw
        # On the safe side of where the root is found.
        return math.exp(float(brentq(over, low, high, xtol=1e-3)) - 2e-3) * self.throw

    def _unevenness(self, pitch: float) -> float:
        """At least the sum of all harmonics' strengths over the mean, and never less at a wider pitch. [1]"""
        k, weights = self._harmonics(pitch)
        if not isinstance(self.beam, UniformPlane):
            return float(np.sum((weights * self._strengths(k, abs)).ravel()[1:])) / self.mean
        T1 = matern(1.0, k[0, 1:] * self.depth)
        x = 2 * math.pi / pitch * self.throw * math.tan(self.beam.cut_off)
        straight = (1 - self.behind) * 4 * ENVELOPE * float(zeta(1.5)) * x**-1.5
        back = 2 * self.behind * self.back_reflectance * float(T1.sum())
        thrown = 1 - self.back_reflectance * self.face_reflectance * float(T1[0]) ** 2
        return float((straight + back) / thrown / self.mean)

    def _half_period(self, period: float, detail: float) -> Array:
        return np.linspace(0, period / 2, 1 + max(16, math.ceil(SAMPLES_PER_DETAIL * period / 2 / detail)))

    def _field(self, pitch: float) -> Field:
        if not 0 < pitch < math.inf:
            raise InputError(f"a row pitch must be more than 0 m, got {pitch:g} m")
        k, weights = self._harmonics(pitch)
        strengths = weights * self._strengths(k)
        across = 2 * math.pi / pitch * np.arange(k.shape[1])
        along = 2 * math.pi / (self.module_pitch or 1.0) * np.arange(len(k))

        def series(x: Array, y: Array) -> Array:
            return np.asarray(
                np.cos(np.multiply.outer(x, along)) @ strengths @ np.cos(np.multiply.outer(across, y))
            )

        if not isinstance(self.beam, UniformPlane):
            return series
        radius = self.throw * math.tan(self.beam.cut_off)
        rows = np.arange(-math.ceil(radius / pitch) - 1.0, math.ceil(radius / pitch) + 2.0)
        share = (1 - self.behind) * pitch / (math.pi * radius**2)

        def with_discs(x: Array, y: Array) -> Array:
            # A row's light at a point is the chord of the disc that its modules light.
            off = y - pitch * np.rint(y / pitch)
            chords = 2 * np.sqrt(np.maximum(radius**2 - np.subtract.outer(off, pitch * rows) ** 2, 0.0))
            return np.asarray(share * chords.sum(axis=-1) + series(x, y))

        return with_discs

    def _harmonics(self, pitch: float) -> tuple[Array, Array]:
        """(I, J) wave numbers, from 0, up to those that no longer count, and how often each stands. [1/m, 1]"""
        sharpest = max((m for _, m in self.beam.terms), default=1.0)
        no_more = furthest(sharpest) / (self.throw if self.beam.terms else self.depth)

        def numbers(period: float) -> Array:
            return np.arange(2 + math.ceil(no_more * period / (2 * math.pi)), dtype=np.float64)

        j = numbers(pitch)
        i = np.zeros(1) if self.module_pitch is None else numbers(self.module_pitch)
        k = 2 * math.pi * np.hypot(i[:, None] / (self.module_pitch or 1.0), j / pitch)
        return np.asarray(k), np.where(i == 0, 1.0, 2.0)[:, None] * np.where(j == 0, 1.0, 2.0)

    def _strengths(self, k: Array, share_as: Callable[[float], float] = float) -> Array:
        """Of each harmonic, over Φ/A: all that arrives, but of a uniform-plane beam only what the plates throw."""
        straight = (1 - self.behind) * self._spectrum(k, self.throw, share_as) if self.beam.terms else 0.0
        return np.asarray(straight + self._plates(k, share_as), dtype=np.float64)

    def _plates(self, k: Array, share_as: Callable[[float], float] = float) -> Array:
        """What the plates add of each harmonic, over Φ/A. [1]"""
        T1 = matern(1.0, k * self.depth)
        round_trip = self.back_reflectance * self.face_reflectance * T1**2
        ahead = (1 - self.behind) * round_trip
        if ahead.any():
            ahead = ahead * self._spectrum(k, self.throw, share_as)
        if self.behind * self.back_reflectance == 0:
            return np.asarray(ahead / (1 - round_trip))
        back = self.behind * self._spectrum(k, self.depth - self.throw, share_as)
        return np.asarray((ahead + self.back_reflectance * T1 * back) / (1 - round_trip))

    def _spectrum(self, k: Array, throw: float, share_as: Callable[[float], float] = float) -> Array:
        """T of the light at a throw, 1 at k = 0. [1]"""
        if isinstance(self.beam, UniformPlane):
            x = k * throw * math.tan(self.beam.cut_off)
            inside = np.where(x > 0, x, 1.0)
            return np.asarray(np.where(x > 0, 2 * j1(inside) / inside, 1.0))
        return np.asarray(sum(share_as(share) * matern(m, k * throw) for share, m in self.beam.terms))


class _Extreme(NamedTuple):
    """The highest value of a field, or its lowest."""

    value: float
    y: float
    """across the rows, from one of them [m]"""


def _highest(field: Field, x: Array, y: Array, E: Array) -> _Extreme:
    """The highest value of a field, from its samples: every one that may win is looked at ever closer."""
    best = _Extreme(float(E.max()), float(y[int(np.argmax(E.max(axis=0)))]))
    hills = np.argwhere((maximum_filter(E, 3, mode="nearest") == E) & (best.value - LIKELY * np.ptp(E) <= E))
    for i, j in sorted(hills.tolist(), key=lambda place: -E[tuple(place)])[:MOST_LIKELY]:
        near_x, near_y = x[max(i - 1, 0) : i + 2], y[max(j - 1, 0) : j + 2]
        for _ in range(ROUNDS):
            near_x, near_y = (
                np.linspace(one[0], one[-1], CLOSER if len(one) > 1 else 1) for one in (near_x, near_y)
            )
            values = field(near_x, near_y)
            a, b = divmod(int(np.argmax(values)), len(near_y))
            if values[a, b] > best.value:
                best = _Extreme(float(values[a, b]), float(near_y[b]))
            near_x, near_y = near_x[max(a - 1, 0) : a + 2], near_y[max(b - 1, 0) : b + 2]
    return best
