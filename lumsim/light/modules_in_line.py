"""Modules in one line with nothing around them: their light along a line of the face, and when two make one hump."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from lumsim.beams.beam import Beam
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.sources import sources_of
from lumsim.errors import InputError
from lumsim.light.direct import DirectLight

__all__ = ["along_line", "merging_distance", "modules_in_line"]

Array = NDArray[np.float64]

FARTHEST = 4.0
"""Up to so many throws apart two modules are looked at. [1]"""

STEPS = 400
"""Distances looked at up to there. [1]"""


def modules_in_line(module: Module, places: Sequence[float], throw: float) -> DirectLight:
    """The light of alike modules along y = 0 that shine straight at a face, without back, returns or edges.

    Parameters
    ----------
    module : Module
    places : sequence of float
        x of each, at least one. [m]
    throw : float
        From the light-emitting plane to the face, more than 0. [m]

    Raises
    ------
    InputError
        For no module, a place that is none, and for a throw that is none.
    """
    if len(places) == 0:
        raise InputError("without a module there is no light: give at least one place")
    if not 0 < throw < math.inf:
        raise InputError(f"a throw must be more than 0 m, got {throw:g} m")
    x = np.asarray(places, dtype=np.float64)
    if not np.isfinite(x).all():
        raise InputError("a module's place must be a number of metres")
    return DirectLight(sources_of(Emitters.upright(module, x, np.zeros(len(x)))), throw)


def along_line(
    light: DirectLight, start: tuple[float, float], end: tuple[float, float], *, samples: int = 241
) -> tuple[Array, Array]:
    """Illuminance at points of a straight line of the face, evenly spaced.

    Parameters
    ----------
    light : DirectLight
    start, end : (x, y)
        Of the line, both among the points. [m]
    samples : int
        How many points, two at least. [1]

    Returns
    -------
    places : (samples,) array
        From the start. [m]
    illuminance : (samples,) array
        [lx]
    """
    if not samples >= 2:
        raise InputError(f"a line is looked at in 2 points at least, got {samples}")
    share = np.linspace(0.0, 1.0, samples)
    x, y = (a + share * (b - a) for a, b in zip(start, end, strict=True))
    return share * math.dist(start, end), light.illuminance(x, y)


def merging_distance(beam: Beam, throw: float) -> float | None:
    """How far apart two alike modules may stand before the light midway between them begins to dip. [m]

    At this distance the light is flattest midway, and a dip that an eye sees takes somewhat more. Of a cosine power
    E ∝ (1 + u²)^(−(m+3)/2) at u throws from a module's foot, which bends as ((m + 4) u² − 1) (1 + u²)^(−(m+7)/2) does:
    midway, light along the line of both bends down as long as that of either alone does there.

    Parameters
    ----------
    beam : Beam
        A cosine power, or a sum of them.
    throw : float
        More than 0. [m]

    Returns
    -------
    float or None
        None where even one alone has a dip over it, as a wide beam may, and where nothing parts two up to
        ``FARTHEST`` throws.

    Raises
    ------
    InputError
        For a beam that is no sum of cosine powers, whose light may have kinks and steps, and for a throw that is none.

    References
    ----------
    .. [1] I. Moreno, M. Avendaño-Alejo, R. I. Tzonchev, "Designing light-emitting diode arrays for uniform near-field
       irradiance", Applied Optics 45(10), 2265 (2006): at this distance the light midway is flattest.
    """
    if not beam.terms:
        raise InputError(
            "two modules part at a distance of their own for cosine powers and sums of them only"
        )
    if not 0 < throw < math.inf:
        raise InputError(f"a throw must be more than 0 m, got {throw:g} m")
    share, m = np.array(beam.terms).T[:, :, None]

    def bend(u: Array | float) -> Array:
        squared = np.square(np.atleast_1d(u))
        powers = (1 + squared) ** (-(m + 7) / 2)
        return np.asarray(np.sum(share * (m + 1) * (m + 3) * ((m + 4) * squared - 1) * powers, axis=0))

    tried = FARTHEST / 2 / STEPS * np.arange(STEPS + 1.0)
    upward = bend(tried) > 0
    if upward[0] or not upward.any():
        return None
    first = int(np.argmax(upward))
    half = brentq(lambda u: float(bend(u)[0]), tried[first - 1], tried[first], xtol=1e-14, rtol=1e-14)
    return 2 * throw * float(half)
