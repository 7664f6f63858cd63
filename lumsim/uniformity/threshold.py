"""The threshold of seeing an even grating: how little contrast a trained eye tells from none, and from how far.

The formula is Barten's short one, in the source's symbols::

                      5200 exp[−0.0016 u² (1 + 100/L)^0.08]
    S(u) = ────────────────────────────────────────────────────────────        threshold = 1/S
           √{ (1 + 144/X₀² + 0.64 u²) [63/L^0.83 + 1/(1 − exp(−0.02 u²))] }

u is the spatial frequency [cycles/degree], L the mean luminance [cd/m²], X₀² the area of what is looked at [deg²] and
1/S the Michelson modulation, amplitude by mean, from which a trained observer at leisure sees the grating. It speaks of
gratings of one frequency; others are seen through their fundamental.

ln S is concave in the logarithm of the distance, for each of its terms is. The first goes like −u². In the first
bracket 1, u² and 1/X₀² are log-convex, and so is their sum. The slope that the second bracket gives ln S is
q/[(e^q − 1)(1 + K (1 − e^−q))], with q = 0.02 u² and K = 63/L^0.83: it falls. So a grating is above the threshold
over one stretch of distance at most.

References
----------
.. [1] P. G. J. Barten, "Formula for the contrast sensitivity of the human eye", Proc. SPIE 5294, 231-238 (2003).
   Constants as in an open implementation that cites the paper.
.. [2] F. W. Campbell, J. G. Robson, J. Physiol. 197, 551 (1968), on square gratings (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.optimize import brentq, minimize_scalar

from lumsim.errors import InputError

__all__ = [
    "SeenAt",
    "SeenFace",
    "contrast_sensitivity",
    "contrast_threshold",
    "field_area",
    "seen_at",
    "spatial_frequency",
    "stretch_above",
]


def _refuse_unless_positive(what: str, value: float, unit: str) -> None:
    if not 0 < value < math.inf:
        raise InputError(f"the {what} must be more than 0 {unit}, got {value:g} {unit}")


def spatial_frequency(pitch: float, distance: float) -> float:
    """How many pitches a degree of view holds straight ahead, u = tan(1°) · distance/pitch. [cycles/degree]

    Parameters
    ----------
    pitch, distance : float
        Both more than 0. [m]

    Raises
    ------
    InputError
        Where they are not.
    """
    _refuse_unless_positive("pitch", pitch, "m")
    _refuse_unless_positive("distance", distance, "m")
    return math.tan(math.radians(1)) * distance / pitch


def field_area(width: float, height: float, distance: float) -> float:
    """X₀² of a rectangle seen straight on: the angle that its width spans times that of its height. [deg²]

    For a square X₀ is then the angle of its side, as in the source; from afar it is the area over the distance squared.

    Parameters
    ----------
    width, height, distance : float
        All more than 0. [m]
    """
    across, up = (2 * math.degrees(math.atan2(size / 2, distance)) for size in (width, height))
    return across * up


def contrast_sensitivity(u: float, luminance: float, field: float) -> float:
    """S, one over the threshold; 0 where no grating at all can be seen. [1]

    Parameters
    ----------
    u : float
        Spatial frequency, more than 0. [cycles/degree]
    luminance : float
        L, more than 0. [cd/m²]
    field : float
        X₀², more than 0. [deg²]
    """
    return math.exp(_log_sensitivity(u, luminance, field))


def contrast_threshold(u: float, luminance: float, field: float) -> float:
    """The Michelson modulation from which a grating is seen, 1/S; above 1 where none is. [1]

    Parameters
    ----------
    u : float
        Spatial frequency, more than 0. [cycles/degree]
    luminance : float
        L, more than 0. [cd/m²]
    field : float
        X₀², more than 0. [deg²]
    """
    sensitivity = contrast_sensitivity(u, luminance, field)
    return 1 / sensitivity if sensitivity > 0 else math.inf


def _log_sensitivity(u: float, L: float, X0_squared: float) -> float:
    """Logarithm of S: far off S itself is below the least number there is."""
    optics = 0.0016 * u**2 * math.pow(1 + 100 / L, 0.08)
    integration = 1 + 144 / X0_squared + 0.64 * u**2
    noise = 63 / math.pow(L, 0.83) - 1 / math.expm1(-0.02 * u**2)
    return math.log(5200) - optics - (math.log(integration) + math.log(noise)) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFace:
    """What of a face bears on the threshold."""

    width: float
    """of what is visible [m]"""
    height: float
    """of what is visible [m]"""
    luminance: float
    """mean [cd/m²]"""

    def __post_init__(self) -> None:
        _refuse_unless_positive("width", self.width, "m")
        _refuse_unless_positive("height", self.height, "m")
        _refuse_unless_positive("luminance", self.luminance, "cd/m²")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenAt:
    """A grating on a face from one distance."""

    distance: float
    """[m]"""
    cycles_per_degree: float
    """u"""
    field: float
    """X₀² [deg²]"""
    threshold: float
    """Michelson modulation from which it is seen [1]"""
    times: float
    """its modulation over the threshold: from 1 on it is seen [1]"""


def seen_at(face: SeenFace, pitch: float, modulation: float, distance: float) -> SeenAt:
    """How a grating stands to the threshold from one distance.

    Parameters
    ----------
    face : SeenFace
    pitch : float
        More than 0. [m]
    modulation : float
        Michelson, 0 or more. [1]
    distance : float
        More than 0. [m]
    """
    u, field = spatial_frequency(pitch, distance), field_area(face.width, face.height, distance)
    threshold = contrast_threshold(u, face.luminance, field)
    return SeenAt(
        distance=distance,
        cycles_per_degree=u,
        field=field,
        threshold=threshold,
        times=modulation / threshold,
    )


def stretch_above(
    face: SeenFace, pitch: float, modulation: float, nearest: float, farthest: float
) -> tuple[float, float] | None:
    """Between which distances a grating is at or above the threshold; one stretch at most, see above.

    Parameters
    ----------
    face : SeenFace
    pitch : float
        More than 0. [m]
    modulation : float
        Michelson, 0 or more. [1]
    nearest, farthest : float
        Within which it is looked for. [m]

    Returns
    -------
    (float, float) or None
        From and to, either a crossing or an end of the range; None where it is below all the way. [m]

    Raises
    ------
    InputError
        Where the farthest is not beyond the nearest.
    """
    if not nearest < farthest:
        raise InputError(f"the farthest, {farthest:g} m, must be beyond the nearest, {nearest:g} m")
    if not modulation > 0:
        return None
    logarithm = math.log(modulation)

    def over(log_distance: float) -> float:
        distance = math.exp(log_distance)
        u, field = spatial_frequency(pitch, distance), field_area(face.width, face.height, distance)
        return logarithm + _log_sensitivity(u, face.luminance, field)

    low, high = math.log(nearest), math.log(farthest)
    top = minimize_scalar(lambda at: -over(at), bounds=(low, high), method="bounded", options={"xatol": 1e-9})
    best = max((low, float(top.x), high), key=over)
    if not over(best) >= 0:
        return None
    begin = nearest if over(low) >= 0 else math.exp(brentq(over, low, best, xtol=1e-12))
    end = farthest if over(high) >= 0 else math.exp(brentq(over, best, high, xtol=1e-12))
    return begin, end
