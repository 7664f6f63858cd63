"""The glossary of light.

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
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["face_luminance"]

FloatOrArray = TypeVar("FloatOrArray", float, NDArray[np.float64])


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
