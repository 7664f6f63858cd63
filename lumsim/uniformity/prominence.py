"""What stands out on a map by its prominence, and the one number that says by how much at most.

A peak stands out by its contrast against its *key saddle*, the highest pass from it to anything brighter:
(peak − saddle)/(peak + saddle). ``spots.py`` lists those that stand out by at least a contrast.

The **spot contrast** of a face is the greatest contrast of any peak that has something brighter to go to, of the map
itself (dots) and of the profile across the rows, the mean along them (stripes). The brightest place, and the brightest
stripe, have nothing brighter to go to: what is told against them is how the peaks beside them stand out. So a face with
a single bright middle has none, however dark its edges, and the dark band between two stripes counts by the lesser of
the two. The lone stripe of a single row counts by the higher of the lowest points to either side. There is no least
contrast: two maps that differ nowhere by more than a share differ in their spot contrast by no more than it, so that a
search may go by the number. An even face has 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline

from lumsim.kernels.merge_tree import merge_tree
from lumsim.uniformity.extremes import CLIMBERS, TIE, climb, stationary
from lumsim.uniformity.face_map import Array, FaceMap

__all__ = [
    "Direction",
    "Peaks",
    "RowsRun",
    "contrast",
    "hot_spot_contrast",
    "peaks_of",
    "polished_saddles",
    "profile_across",
]

Direction = Literal["horizontal", "vertical"]

SAMPLES_MISS = 0.01
"""By which a contrast against a saddle that no sample lies on may be off. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsRun:
    """How the rows of a cabinet run, which the stripes of its face follow."""

    direction: Direction
    lines: int
    """how many rows lie side by side [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Peaks:
    """Peaks of a map, or of it upside down, each at its true height; their saddles as the samples have them."""

    x: Array
    """(n,) [m]"""
    y: Array
    """(n,) [m]"""
    height: Array
    """(n,) [cd/m²]"""
    saddle: Array
    """(n,) height of the key saddle; NaN for the topmost peak, which has none [cd/m²]"""
    saddle_cell: NDArray[np.int64]
    """(n,) the sample at the key saddle, counted row by row; below 0 for the topmost peak"""


def contrast(one: Array, other: Array) -> Array:
    """The one against the other: |one − other|/(one + other). [1]"""
    return np.abs(one - other) / (one + other)


def peaks_of(face: FaceMap, kind: int) -> Peaks:
    """Every peak of a map (+1), or of it upside down (−1).

    Parameters
    ----------
    face : FaceMap
    kind : int
    """
    ny, nx = face.values.shape

    def field(x: Array, y: Array) -> Array:
        return kind * face.at(x, y)

    # Which of two spots is the higher decides whose contrast ends at their saddle. Samples miss the tops by
    # different amounts, so every top is climbed first and stands in the map at its true height.
    heights = np.ascontiguousarray(kind * face.values).ravel()
    tops = merge_tree(heights, np.argsort(-heights, kind="stable"), ny, nx)[0][:CLIMBERS]
    x, y, top = climb(field, face.x[tops % nx], face.y[tops // nx], steps=face.steps, bounds=face.bounds)
    heights[tops] = np.maximum(heights[tops], top)
    top_x, top_y = np.tile(face.x, ny), np.repeat(face.y, nx)
    top_x[tops], top_y[tops] = x, y

    # In steps of the rounding that TIE allows, so that mirror images are equal.
    grain = TIE * float(np.abs(heights).max())
    flat = np.round(heights / grain) * grain
    peak, saddle, _ = merge_tree(flat, np.argsort(-flat, kind="stable"), ny, nx)
    return Peaks(
        x=top_x[peak],
        y=top_y[peak],
        height=np.abs(heights[peak]),
        saddle=np.where(saddle >= 0, np.abs(heights[saddle]), np.nan),
        saddle_cell=saddle,
    )


def polished_saddles(face: FaceMap, kind: int, cells: NDArray[np.int64]) -> Array:
    """Height of the saddles near samples of a map (+1), or of it upside down (−1). [cd/m²]

    Parameters
    ----------
    face : FaceMap
    kind : int
    cells : (n,)
        Samples, counted row by row.
    """
    nx = len(face.x)

    def field(x: Array, y: Array) -> Array:
        return kind * face.at(x, y)

    return np.abs(
        stationary(field, face.x[cells % nx], face.y[cells // nx], steps=face.steps, bounds=face.bounds)
    )


def profile_across(face: FaceMap, direction: Direction) -> tuple[Array, Array]:
    """Mean of a map along its rows, at eight points for each sample across them.

    Of a quintic spline that leaves a top at most 1e-4 short.

    Parameters
    ----------
    face : FaceMap
    direction : {"horizontal", "vertical"}
        How the rows run.

    Returns
    -------
    (n,) across the rows [m], (n,) mean along them [cd/m²]
    """
    along_axis = 1 if direction == "horizontal" else 0
    along = face.x if direction == "horizontal" else face.y
    across = face.y if direction == "horizontal" else face.x
    length = float(along[-1] - along[0])
    profile = (
        np.asarray(
            make_interp_spline(along, face.values, k=5, axis=along_axis).integrate(along[0], along[-1]),
            dtype=np.float64,
        )
        / length
    )
    fine = np.linspace(across[0], across[-1], 8 * (len(across) - 1) + 1)
    return fine, np.asarray(make_interp_spline(across, profile, k=5)(fine), dtype=np.float64)


def hot_spot_contrast(face: FaceMap, rows: RowsRun | None = None) -> float:
    """The greatest contrast of any stripe or dot of a face, as this file's docstring says; by a spline. [1]

    Parameters
    ----------
    face : FaceMap
    rows : RowsRun, optional
        Unless given, stripes of either direction count, and a lone one does not.
    """
    dots = _greatest_of_dots(face.splined())
    directions: tuple[Direction, ...] = ("horizontal", "vertical") if rows is None else (rows.direction,)
    lone = rows is not None and rows.lines == 1
    return max(dots, *(_greatest_of_stripes(profile_across(face, one)[1], lone=lone) for one in directions))


def _greatest_of_dots(face: FaceMap) -> float:
    peaks = peaks_of(face, +1)
    inner = peaks.saddle_cell >= 0
    if not inner.any():
        return 0.0
    height, cells = peaks.height[inner], peaks.saddle_cell[inner]
    rough = contrast(height, peaks.saddle[inner])
    likely = rough >= rough.max() - SAMPLES_MISS
    # A saddle between samples is never above the peak.
    saddles = np.minimum(polished_saddles(face, +1, cells[likely]), height[likely])
    return float(contrast(height[likely], saddles).max())


def _greatest_of_stripes(values: Array, *, lone: bool) -> float:
    peak, saddle, _ = merge_tree(values, np.argsort(-values, kind="stable"), 1, len(values))
    inner = saddle >= 0
    found = [float(one) for one in contrast(values[peak[inner]], values[saddle[inner]])]
    if lone:
        top = int(peak[0])
        valley = max(values[: top + 1].min(), values[top:].min())
        found.append(float(contrast(values[top], valley)))
    return max(found, default=0.0)
