"""Peaks of a map by topographic prominence, and how far a spot reaches.

Imagine the map as land wholly under water, and the water falling: islands rise at the peaks, grow, and meet
at saddles. Where two islands meet, the one with the lower peak ends; that saddle is its key saddle, and its
height above it its prominence. Cells touch along edges and at corners (8 neighbours).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import INDICES, VECTOR, compiled

__all__ = ["component_extent", "component_extents", "merge_tree"]

Vector = NDArray[np.float64]
Indices = NDArray[np.int64]


@compiled("int64(int64[::1], int64)")
def _top(link: Indices, peak: int) -> int:
    """Find the top peak of the island that `peak` is now part of, and shorten the way there."""
    while link[peak] != peak:
        link[peak] = link[link[peak]]
        peak = link[peak]
    return peak


@compiled(f"Tuple((int64[::1], int64[::1], int64[::1]))({VECTOR}, {INDICES}, int64, int64)")
def merge_tree(values: Vector, order: Indices, ny: int, nx: int) -> tuple[Indices, Indices, Indices]:
    """Peaks of a map, the key saddle of each, and the higher peak it is joined to there.

    Of two peaks the one that comes first in `order` is the higher, also where their values are equal, so
    every peak but the first has a key saddle. A plateau is one peak, at its first cell in `order`: a peak
    whose key saddle has its own value (prominence 0) is left out. A constant map has one peak.

    Parameters
    ----------
    values : (ny · nx,) float64
        The map, row by row.
    order : (ny · nx,) int64
        Indices that sort `values` from high to low, equal values in the order of their indices
        (``np.argsort(-values, kind="stable")``).
    ny, nx : int
        Rows and columns.

    Returns
    -------
    peaks : (n,) int64
        Cell of each peak, in `order`.
    saddles : (n,) int64
        Cell at which the peak's island first meets that of a higher peak; -1 for the topmost peak.
    parents : (n,) int64
        Number (place in `peaks`) of the top peak of the highest island met there; -1 for the topmost peak.
    """
    # The islands' owners with a border of water, so that no cell needs a test for the edge of the map.
    stride = nx + 2
    owner = np.full((ny + 2) * stride, -1)
    around = (-stride - 1, -stride, -stride + 1, -1, 1, stride - 1, stride, stride + 1)
    # No two peaks touch, so no square of 2 × 2 cells holds more than one.
    most = ((ny + 1) // 2) * ((nx + 1) // 2)
    peaks = np.empty(most, dtype=np.int64)
    saddles = np.full(most, -1)
    parents = np.full(most, -1)
    link = np.empty(most, dtype=np.int64)
    count = 0
    for cell in order:
        at = (cell // nx + 1) * stride + cell % nx + 1
        highest = -1
        islands = 0
        for step in around:
            neighbour = owner[at + step]
            if neighbour >= 0:
                top = _top(link, neighbour)
                if highest < 0:
                    highest = top
                    islands = 1
                elif top != highest:
                    highest = min(highest, top)
                    islands = 2
        if islands == 0:
            highest = count
            peaks[count] = cell
            link[count] = count
            count += 1
        elif islands == 2:
            for step in around:
                neighbour = owner[at + step]
                if neighbour >= 0:
                    top = _top(link, neighbour)
                    if top != highest:
                        saddles[top] = cell
                        parents[top] = highest
                        link[top] = highest
        owner[at] = highest
    # A parent is never left out: it is at least as high as its child's peak, which stands above the saddle.
    kept = 0
    for peak in range(count):
        if saddles[peak] < 0 or values[peaks[peak]] > values[saddles[peak]]:
            link[peak] = kept
            peaks[kept] = peaks[peak]
            saddles[kept] = saddles[peak]
            parents[kept] = link[parents[peak]] if parents[peak] >= 0 else -1
            kept += 1
    return peaks[:kept].copy(), saddles[:kept].copy(), parents[:kept].copy()


@compiled(f"int64[:, ::1]({VECTOR}, {INDICES}, {VECTOR}, int64, int64)")
def component_extents(values: Vector, starts: Indices, levels: Vector, ny: int, nx: int) -> Indices:
    """How far the part of the map at or above each level reaches from each start.

    The part is all that can be reached from the start over neighbouring cells with values ≥ level; the start
    belongs to it whatever its value. It is filled by whole runs along a row, each once.

    Parameters
    ----------
    values : (ny · nx,) float64
        The map, row by row.
    starts : (n,) int64
        Cells to start from.
    levels : (n,) float64
        The level for each start.
    ny, nx : int
        Rows and columns.

    Returns
    -------
    (n, 4) int64
        y0, y1, x0, x1 of each part: its first and last row, its first and last column.
    """
    # A border of NaN, at or above no level, saves the test for the edge of the map.
    stride = nx + 2
    padded = np.full((ny + 2) * stride, np.nan)
    for y in range(ny):
        for x in range(nx):
            padded[(y + 1) * stride + x + 1] = values[y * nx + x]
    seen = np.full(padded.size, -1)
    # A run of L cells has at most L + 3 runs beginning beside it, and L + 3 ≤ 4 L.
    stack = np.empty(4 * ny * nx, dtype=np.int64)
    extents = np.empty((starts.size, 4), dtype=np.int64)
    for n in range(starts.size):
        level = levels[n]
        start = (starts[n] // nx + 1) * stride + starts[n] % nx + 1
        top, bottom = start, start
        leftmost, rightmost = stride, 0
        stack[0] = start
        size = 1
        while size > 0:
            size -= 1
            left = stack[size]
            if seen[left] == n:
                continue
            right = left
            while padded[left - 1] >= level:
                left -= 1
            while padded[right + 1] >= level:
                right += 1
            for at in range(left, right + 1):
                seen[at] = n
            top, bottom = min(top, left), max(bottom, left)
            x = left % stride
            leftmost, rightmost = min(leftmost, x), max(rightmost, x + right - left)
            for beside in (-stride, stride):
                inside = False
                for at in range(left - 1 + beside, right + 2 + beside):
                    lit = padded[at] >= level
                    if lit and not inside and seen[at] != n:
                        stack[size] = at
                        size += 1
                    inside = lit
        extents[n, 0] = top // stride - 1
        extents[n, 1] = bottom // stride - 1
        extents[n, 2] = leftmost - 1
        extents[n, 3] = rightmost - 1
    return extents


@compiled(f"UniTuple(int64, 4)({VECTOR}, int64, float64, int64, int64)")
def component_extent(values: Vector, start: int, level: float, ny: int, nx: int) -> tuple[int, int, int, int]:
    """How far the part of the map at or above `level` reaches from `start`: ``component_extents`` of one.

    Parameters
    ----------
    values : (ny · nx,) float64
        The map, row by row.
    start : int
        Cell to start from.
    level : float
        The level.
    ny, nx : int
        Rows and columns.

    Returns
    -------
    y0, y1, x0, x1 : int
        The part's first and last row, its first and last column.
    """
    extents = component_extents(values, np.array([start]), np.array([level]), ny, nx)
    return extents[0, 0], extents[0, 1], extents[0, 2], extents[0, 3]
