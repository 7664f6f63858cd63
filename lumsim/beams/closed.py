"""Beams that are cosine powers or sums of them: their flux, and all light that they cast, has a closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Array, Term
from lumsim.errors import InputError

__all__ = [
    "LAMBERTIAN",
    "LARGEST_EXPONENT",
    "LARGEST_WIDTH",
    "ClosedBeam",
    "CosinePower",
    "Wide",
    "exponent_from_half_intensity_angle",
]

FloatOrArray = TypeVar("FloatOrArray", float, NDArray[np.float64])

LARGEST_EXPONENT = 1000.0
"""The steepest cosine power that is taken: half intensity within 2.1 degrees of the axis. [1]"""

LARGEST_WIDTH = 100.0
"""Of a wide beam; its shape hardly changes any more above some tens. [1]"""

WIDE_EXPONENT = 3.0
"""n of a wide beam's second term. [1]"""


class ClosedBeam:
    """A sum of cosine powers in front of the module and nothing behind it."""

    __slots__ = ()

    axial = True
    forward_share = 1.0

    @property
    def terms(self) -> tuple[Term, ...]:
        """The cosine powers, their shares adding up to 1."""
        raise NotImplementedError

    @property
    def sharpness(self) -> float:
        """The steepest of them. [1]"""
        return max(term.exponent for term in self.terms)

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity in a direction, for one lumen, in cd/lm: Σ share (m + 1) cosᵐθ / 2π.

        Parameters
        ----------
        theta, phi : arrays that broadcast
            From the axis and around it. [rad]
        """
        theta, _ = np.broadcast_arrays(theta, phi)
        cosine = np.cos(theta)
        ahead = cosine > 0
        c = np.where(ahead, cosine, 1.0)
        found = sum(share * (m + 1) / (2 * math.pi) * c**m for share, m in self.terms)
        return np.asarray(np.where(ahead, found, 0.0), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class CosinePower(ClosedBeam):
    """A beam with I(θ) = I₀ cosᵐθ in front of the module and nothing behind it.

    m = 1 is Lambertian, m = 0 the same intensity all over the half space in front.
    """

    exponent: float = 1.0
    """m [1]"""

    def __post_init__(self) -> None:
        if not 0 <= self.exponent <= LARGEST_EXPONENT:
            raise InputError(
                f"a beam's exponent must be from 0 to {LARGEST_EXPONENT:g}, got {self.exponent:g}"
            )

    @property
    def terms(self) -> tuple[Term, ...]:
        """The one cosine power."""
        return (Term(1.0, self.exponent),)

    def peak_intensity(self, flux: FloatOrArray) -> FloatOrArray:
        """Intensity on the axis, in candela: I₀ = Φ (m + 1) / 2π.

        From Φ = ∫ I₀ cosᵐθ dω over the half space = 2π I₀ / (m + 1).

        Parameters
        ----------
        flux : float or array
            Φ of the whole module. [lm]
        """
        return flux * (self.exponent + 1) / (2 * math.pi)

    @property
    def half_intensity_angle(self) -> float:
        """Full angle between the directions of half intensity, in radians; π for m = 0, which never halves."""
        return 2 * math.acos(0.5 ** (1 / self.exponent)) if self.exponent > 0 else math.pi


@dataclass(frozen=True, slots=True, kw_only=True)
class Wide(ClosedBeam):
    """A wide beam with one shape number a: I(θ) = I₀ [(1 + a) cos θ − a cos³θ].

    a = 0 is Lambertian. Above 1/2 the peak leaves the axis, to cos²θ = (1 + a)/3a, and rises above I₀: what a lens
    that spreads its light does. Its flux is 2π I₀ [(1 + a)/2 − a/4].
    """

    width: float
    """a [1]"""

    def __post_init__(self) -> None:
        if not 0 <= self.width <= LARGEST_WIDTH:
            raise InputError(f"a wide beam's width must be from 0 to {LARGEST_WIDTH:g}, got {self.width:g}")

    @property
    def terms(self) -> tuple[Term, ...]:
        """The cosine and what is taken from it near the axis."""
        a, n = self.width, WIDE_EXPONENT
        first, second = (1 + a) / 2, -a / (n + 1)
        if second == 0:
            return (Term(1.0, 1.0),)
        return (Term(first / (first + second), 1.0), Term(second / (first + second), n))

    @property
    def peak_angle(self) -> float:
        """Of the largest intensity from the axis. [rad]"""
        a, n = self.width, WIDE_EXPONENT
        return math.acos(math.sqrt((1 + a) / (n * a))) if n * a > 1 + a else 0.0


LAMBERTIAN = CosinePower(exponent=1.0)
"""The beam of a flat diffusing emitter: I = I₀ cos θ."""


def exponent_from_half_intensity_angle(angle: float) -> float:
    """Exponent m of the cosine power whose intensity is half at this full angle: m = −ln 2 / ln cos(angle/2).

    Parameters
    ----------
    angle : float
        Full angle from half intensity to half intensity, above 0 and below π. [rad]

    Raises
    ------
    InputError
        Where no cosine power has that angle, or only one steeper than ``LARGEST_EXPONENT``.

    References
    ----------
    .. [1] I. Moreno, M. Avendaño-Alejo, R. I. Tzonchev, Applied Optics 45(10), 2265 (2006): m from the
       half-intensity half angle. 120 degrees gives 1, a Lambertian beam.
    """
    if not 0 < angle < math.pi:
        raise InputError(
            f"a half-intensity angle must be above 0 deg and below 180 deg, got {math.degrees(angle):g} deg"
        )
    narrowing = -math.log(math.cos(angle / 2))
    exponent = math.log(2) / narrowing if narrowing > 0 else math.inf
    if exponent > LARGEST_EXPONENT:
        raise InputError(
            f"a half-intensity angle of {math.degrees(angle):g} deg is narrower than lumsim takes"
        )
    # Exact for the angle that data sheets print for a Lambertian module, where cos 60° is not quite 1/2 in floats.
    return float(round(exponent)) if abs(exponent - round(exponent)) < 1e-12 else exponent
