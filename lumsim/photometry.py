"""The glossary of light, and the beams.

flux          Φ [lm]      light leaving a module, or passing a surface
intensity     I [cd]      flux per solid angle in one direction
illuminance   E [lx]      flux arriving on a surface, per area
exitance      M [lm/m²]   flux leaving a surface, per area
luminance     L [cd/m²]   what the eye sees of a surface, in one direction
reflectance   ρ [1]       reflected / arriving flux, both diffuse
transmittance τ [1]       passed / arriving flux, both diffuse
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError

__all__ = [
    "LAMBERTIAN",
    "LARGEST_EXPONENT",
    "CosinePower",
    "exponent_from_half_intensity_angle",
    "face_luminance",
]

FloatOrArray = TypeVar("FloatOrArray", float, NDArray[np.float64])

LARGEST_EXPONENT = 1000.0
"""The steepest cosine power that is taken: half intensity within 2.1 degrees of the axis. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CosinePower:
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


def face_luminance(illuminance: FloatOrArray, transmittance: float) -> FloatOrArray:
    """Luminance in front of a Lambertian face lit from behind, in cd/m²: L = τ E / π.

    The light that comes through leaves with the same luminance in every direction of the half space in front.

    Parameters
    ----------
    illuminance : float or array
        E on the face's inner side. [lx]
    transmittance : float
        τ of the face for diffuse light. [1]
    """
    return illuminance * (transmittance / math.pi)
