"""Naive twins of the kernels: the most obvious loops, however slow, sharing nothing with the kernels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad

Vector = NDArray[np.float64]
Indices = NDArray[np.int64]


def illuminance(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector, *, q: float) -> Vector:
    """Twin of every kernel of ``point_sources``: the sum over modules of c cos²θ raised to `q`."""
    E = np.zeros(len(x))
    for i in range(len(x)):
        for k in range(len(sx)):
            distance_squared = float(h[k] ** 2 + (x[i] - sx[k]) ** 2 + (y[i] - sy[k]) ** 2)
            cosine_squared = float(h[k] ** 2) / distance_squared
            E[i] += c[k] * cosine_squared**q
    return E


def neighbours(cell: int, ny: int, nx: int) -> list[int]:
    """List the up to eight cells that touch a cell of a map stored row by row."""
    row, column = divmod(cell, nx)
    return [
        y * nx + x
        for y in range(max(row - 1, 0), min(row + 2, ny))
        for x in range(max(column - 1, 0), min(column + 2, nx))
        if (y, x) != (row, column)
    ]


def flood(start: int, allowed: set[int], ny: int, nx: int) -> set[int]:
    """`start` and all cells that can be reached from it over allowed ones."""
    reached = {start}
    waiting = [start]
    while waiting:
        for cell in neighbours(waiting.pop(), ny, nx):
            if cell in allowed and cell not in reached:
                reached.add(cell)
                waiting.append(cell)
    return reached


def merge_tree(values: Vector, ny: int, nx: int) -> list[tuple[int, int, int]]:
    """Twin of ``merge_tree``: (peak, key saddle, parent peak's cell) of each, from the highest down.

    The water falls by one cell at a time (from high to low, ties in order of the index). A cell that is an
    island of its own when it comes up is a peak. For each peak the water falls until its island holds a cell
    that came up before it: that cell of the map is its key saddle, and the island's first cell its parent.
    """
    order = sorted(range(ny * nx), key=lambda cell: (-values[cell], cell))
    rank = {cell: place for place, cell in enumerate(order)}
    found = []
    for place, peak in enumerate(order):
        if len(flood(peak, set(order[: place + 1]), ny, nx)) > 1:
            continue
        saddle, parent = -1, -1
        for lowered in range(place + 1, len(order)):
            island = flood(peak, set(order[: lowered + 1]), ny, nx)
            highest = min(island, key=lambda cell: rank[cell])
            if highest != peak:
                saddle, parent = order[lowered], highest
                break
        if saddle < 0 or values[saddle] < values[peak]:
            found.append((peak, saddle, parent))
    return found


def component_extent(values: Vector, start: int, level: float, ny: int, nx: int) -> tuple[int, int, int, int]:
    """Twin of ``component_extent``: the bounds of what a flood from `start` reaches at or above `level`."""
    lit = {cell for cell in range(ny * nx) if values[cell] >= level}
    rows, columns = zip(*(divmod(cell, nx) for cell in flood(start, lit, ny, nx)), strict=True)
    return min(rows), max(rows), min(columns), max(columns)


def past_edges(
    distance: Vector, along: Vector, plane: Vector, flux: Vector, z: Vector, edges: Vector
) -> NDArray[np.float64]:
    """Twin of ``lambertian_past_edges``: the published closed form, one by one."""
    past = np.zeros((len(z), len(edges)))
    for i, height in enumerate(z):
        for j, edge in enumerate(edges):
            for k in range(len(distance)):
                h = height - plane[k]
                if h > 0:
                    slant = (distance[k] ** 2 + h**2) ** 0.5
                    Y = edge - along[k]
                    share = np.arctan(Y / distance[k]) - distance[k] / slant * np.arctan(Y / slant)
                    past[i, j] += flux[k] * share / (2 * np.pi)
    return past


def cosine_power_past_edges(
    distance: Vector, along: Vector, plane: Vector, flux: Vector, z: Vector, edges: Vector, m: float
) -> NDArray[np.float64]:
    """Twin of ``cosine_power_past_edges``: the same integral by adaptive quadrature, one by one."""
    past = np.zeros((len(z), len(edges)))
    for i, height in enumerate(z):
        for j in range(1, len(edges)):
            past[i, j] = past[i, j - 1]
            for k in range(len(distance)):
                D, h = distance[k], height - plane[k]
                if h > 0:
                    low, high = edges[j - 1] - along[k], edges[j] - along[k]
                    between, _ = quad(
                        _past, low, high, (D, h, m), points=[0.0] if low < 0 < high else None, limit=400
                    )
                    past[i, j] += flux[k] * between / (2 * np.pi)
    return past


def _past(y: float, D: float, h: float, m: float) -> float:
    s = D**2 + y**2
    return float((h**2 / (h**2 + s)) ** ((m + 1) / 2) * D / s)
