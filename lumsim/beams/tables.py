"""Beams alike all round the axis that no sum of cosine powers describes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lumsim.beams.beam import Array, Term
from lumsim.errors import InputError

__all__ = ["LARGEST_CUT_OFF", "STEP_SHARPNESS", "Table", "UniformPlane", "sharpness_of", "zone_integrals"]

LARGEST_CUT_OFF = math.radians(85)
"""Of a uniform-plane beam: its intensity is then 1 500 times that on the axis. [rad]"""

STEP_SHARPNESS = 100.0
"""Told of a beam that ends in a step, for how finely its light is to be sampled. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of angles and relative intensities: linear in the angle between them, nothing beyond the last.

    Linear between angles is how photometric tables are commonly read (CIE 140 and EN 13201-3 name it, from memory).
    """

    angles: tuple[float, ...]
    """from the axis, rising from 0 to π at most [rad]"""
    values: tuple[float, ...]
    """relative intensity at each, 0 or more, not all 0 [1]"""

    def __post_init__(self) -> None:
        if len(self.angles) != len(self.values) or len(self.angles) < 2:
            raise InputError(
                f"a beam's table needs two angles or more, and an intensity for each, got {len(self.angles)} angles "
                f"and {len(self.values)} intensities"
            )
        angles, values = np.array(self.angles), np.array(self.values)
        if not (angles[0] == 0 and angles[-1] <= math.pi * (1 + 1e-12) and np.all(np.diff(angles) > 0)):
            raise InputError("a beam's angles must rise from 0 deg to 180 deg at most")
        if not (np.all(values >= 0) and np.all(np.isfinite(values)) and np.any(values > 0)):
            raise InputError("a beam's intensities must be 0 or more, and not all 0")

    @property
    def terms(self) -> tuple[Term, ...]:
        """None."""
        return ()

    @property
    def axial(self) -> bool:
        """It is."""
        return True

    @property
    def flux(self) -> float:
        """Of the intensities as they stand, were they candela. [lm]"""
        return 2 * math.pi * float(np.sum(zone_integrals(*self._arrays)))

    @property
    def forward_share(self) -> float:
        """Share of its flux within 90 degrees of the axis. [1]"""
        if self.angles[-1] <= math.pi / 2:
            return 1.0
        angles, values = self._arrays
        ahead = np.union1d(angles[angles < math.pi / 2], math.pi / 2)
        return (
            2 * math.pi * float(np.sum(zone_integrals(ahead, np.interp(ahead, angles, values)))) / self.flux
        )

    @property
    def sharpness(self) -> float:
        """See ``sharpness_of``; where it ends in a step, ``STEP_SHARPNESS``. [1]"""
        angles, values = self._arrays
        if self.angles[-1] < math.pi / 2 and values[-1] > 0.02 * values.max():
            return STEP_SHARPNESS
        fine = np.linspace(0, math.pi / 2, 181)
        return sharpness_of(fine, np.interp(fine, angles, values, right=0.0))

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity in a direction, for one lumen, in cd/lm; arrays that broadcast. [rad]"""
        theta, _ = np.broadcast_arrays(theta, phi)
        return np.asarray(np.interp(theta, *self._arrays, right=0.0) / self.flux)

    @property
    def _arrays(self) -> tuple[Array, Array]:
        return np.array(self.angles), np.array(self.values)


@dataclass(frozen=True, slots=True, kw_only=True)
class UniformPlane:
    """The beam that lights a plane evenly in a disc: I = I₀ / cos³θ up to a cut-off, nothing beyond.

    On a plane at a distance h, E = I₀/h² within the radius h tan θc. Its flux is π I₀ tan²θc.
    """

    cut_off: float
    """θc from the axis [rad]"""

    def __post_init__(self) -> None:
        if not 0 < self.cut_off <= LARGEST_CUT_OFF * (1 + 1e-12):
            raise InputError(
                f"a cut-off must be above 0 deg and at most {math.degrees(LARGEST_CUT_OFF):g} deg, got "
                f"{math.degrees(self.cut_off):g} deg"
            )

    @property
    def terms(self) -> tuple[Term, ...]:
        """None."""
        return ()

    @property
    def axial(self) -> bool:
        """It is."""
        return True

    @property
    def forward_share(self) -> float:
        """All of it. [1]"""
        return 1.0

    @property
    def sharpness(self) -> float:
        """It ends in a step. [1]"""
        return STEP_SHARPNESS

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity in a direction, for one lumen, in cd/lm; arrays that broadcast. [rad]"""
        theta, _ = np.broadcast_arrays(theta, phi)
        within = theta <= self.cut_off
        I0 = 1 / (math.pi * math.tan(self.cut_off) ** 2)
        return np.asarray(np.where(within, I0 / np.cos(np.where(within, theta, 0.0)) ** 3, 0.0))


def zone_integrals(angles: Array, values: Array) -> Array:
    """∫ I sin θ dθ between angles, exact for an intensity linear in the angle.

    Parameters
    ----------
    angles : (n,)
        Rising. [rad]
    values : (…, n)
        Intensity at each. [cd]

    Returns
    -------
    (…, n - 1)
        [cd]
    """
    step = np.diff(angles)
    slope = np.diff(values, axis=-1) / step
    cosine, sine = np.cos(angles), np.sin(angles)
    # ∫ (A + B θ) sin θ dθ = −(A + B θ) cos θ + B sin θ
    return np.asarray(-np.diff(values * cosine, axis=-1) + slope * np.diff(sine))


def sharpness_of(angles: Array, values: Array) -> float:
    """Exponent of a cosine power that bends as much as a table does over some degrees. [1]

    cosᵐθ bends most on its axis, by −m of its peak for a squared radian.

    Parameters
    ----------
    angles : (n,)
        Even, from 0. [rad]
    values : (…, n)
    """
    step = max(1, round(math.radians(4) / float(angles[1] - angles[0])))
    bend = values[..., 2 * step :] - 2 * values[..., step:-step] + values[..., : -2 * step]
    h = step * float(angles[1] - angles[0])
    return float(np.clip(np.max(np.abs(bend)) / h**2 / np.max(values), 1.0, STEP_SHARPNESS))
