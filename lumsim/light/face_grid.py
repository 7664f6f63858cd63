"""How fine the face must be sampled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.sources import Sources
from lumsim.errors import TooLargeError

__all__ = ["LEAST_POINTS", "MOST_POINTS", "FaceGrid", "face_grid", "finest_detail"]

MOST_POINTS = 4_000_000
"""The most points that a face is sampled at: a map of 32 MB, some 300 MB of working memory. [1]"""

MOST_EVALUATIONS = 20_000_000_000
"""The most times that one module's light at one point is computed for a face map: some half a minute. [1]"""

LEAST_POINTS = 15
"""Along each side, so that the splines through the samples have enough of them, also at every other one. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceGrid:
    """Where a part of the face is sampled, its edges included, evenly along each side."""

    x: NDArray[np.float64]
    """(nx,) rising [m]"""
    y: NDArray[np.float64]
    """(ny,) rising [m]"""
    detail: float
    """the finest detail that the light can have [m]"""


def finest_detail(sources: Sources, depth: float) -> float:
    """Length over which a module's light on the face can change, in metres: h / √(m + 3).

    E(ρ) = E₀ (1 + ρ²/h²)^(−(m+3)/2) curves at its top like a bell curve of that standard deviation, and
    nowhere faster. Light from a throw h holds no finer detail: its spectrum falls off as e^(−kh)
    (published for m = 1 as kh K₁(kh)). So the module pitch need not be looked at: where it is finer than
    this, the dots have washed out, and where it is coarser, this is finer. Other beams than cosine powers tell the m
    of one that bends as much. Where nothing shines at the face it is lit by what the other side throws back, Lambertian
    from the depth.

    Parameters
    ----------
    sources : Sources
        [m]
    depth : float
        From the back to the face. [m]
    """
    lit = sources.only(sources.frames[:, 2, 2] > -1)
    if len(lit) == 0:
        return depth / 2
    sharpness = np.array([half.sharpness for half in lit.halves])[lit.half]
    return float(np.min((depth - lit.z) / np.sqrt(sharpness + 3)))


def face_grid(
    part: Rectangle, sources: Sources, depth: float, *, samples_per_detail: float = 4.0
) -> FaceGrid:
    """Where to sample a part of the face for these modules.

    Parameters
    ----------
    part : Rectangle
        [m]
    sources : Sources
    depth : float
        [m]
    samples_per_detail : float
        Samples for each finest detail; 4 is one eighth of the throw for a Lambertian module. [1]

    Raises
    ------
    TooLargeError
        Where the grid would have more than ``MOST_POINTS`` points, or would take more than
        ``MOST_EVALUATIONS``.
    """
    detail = finest_detail(sources, depth)
    step = detail / samples_per_detail
    # Odd numbers of points, so that every other sample is a grid from edge to edge too.
    nx, ny = (
        2 * max(math.ceil(size / step / 2 - 1e-9), LEAST_POINTS // 2) + 1
        for size in (part.width, part.height)
    )
    if nx * ny > MOST_POINTS or nx * ny * len(sources) > MOST_EVALUATIONS:
        throw = depth - float(np.max(sources.z, initial=0.0))
        raise TooLargeError(
            f"a face of {part.width:.4g} by {part.height:.4g} m lit by {len(sources)} LEDs at a throw of "
            f"{throw * 1000:.4g} mm needs a grid of {nx} by {ny} points, {nx * ny / 1e6:.3g} million "
            f"({nx * ny * 8 / 1e6:.3g} MB a map); at most {MOST_POINTS / 1e6:g} million points and "
            f"{MOST_EVALUATIONS:g} points times modules are taken. "
            "Raise the throw, or judge a smaller part of the sign"
        )
    return FaceGrid(x=np.linspace(part.x0, part.x1, nx), y=np.linspace(part.y0, part.y1, ny), detail=detail)
