"""Highest and lowest illuminance by brute force: every sample of a fine grid, and proof of what lies between.

A module's light obeys −κ₋ E ≤ E″ ≤ κ₊ E in every direction, with κ₋ = (m + 3)/h² and
κ₊ = (m + 3)(m + 4)² / (4 (m + 5) h²), and so does the light of many with the largest of their κ. At the highest
point the slope is nought along every way that stays on the face, so a sample at a distance d from it has at
least 1 − κ₋ d²/2 of its light; at the lowest, at most cosh(√κ₊ d). The highest point is therefore near a sample
that comes within that of the best one: all such samples are looked at on ever finer grids, until the bound is
below what is asked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.direct import DirectLight
from tests.cabinets import exponents

Array = NDArray[np.float64]

CHUNK = 1_000_000
"""Points that are looked at together."""

FINER = 5
"""Each further grid is that many times as fine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """What brute force found."""

    highest: float
    """best sample of the finest grid: no more than the highest illuminance [lx]"""
    lowest: float
    """least sample of the finest grid: no less than the lowest illuminance [lx]"""
    short: float
    """by how much, relative, the samples may miss the extremes at most [1]"""
    grid_highest: float
    """best sample of the first grid [lx]"""
    grid_lowest: float
    """least sample of the first grid [lx]"""
    grid_short: float
    """by how much, relative, the first grid may miss the highest illuminance at most [1]"""


def search_face(cabinet: Cabinet, *, steps_per_throw: int, short: float) -> Searched:
    """Search the visible face, edges and corners included, by a grid of so many steps to the least throw."""
    emitters = cabinet.emitters()
    light = DirectLight(cabinet.sources(), cabinet.box.depth)
    h, m = cabinet.box.depth - emitters.z, exponents(emitters)
    kappa_low = float(np.max((m + 3) / h**2))
    kappa_high = float(np.max((m + 3) * (m + 4) ** 2 / (4 * (m + 5)) / h**2))
    part, step = cabinet.visible, float(h.min()) / steps_per_throw
    x, y = (
        np.linspace(start, end, math.ceil((end - start) / step) + 1)
        for start, end in ((part.x0, part.x1), (part.y0, part.y1))
    )
    steps = (float(x[1] - x[0]), float(y[1] - y[0]))

    def missed(sx: float, sy: float) -> tuple[float, float]:
        d2 = (sx**2 + sy**2) / 4
        return kappa_low * d2 / 2, math.cosh(math.sqrt(kappa_high * d2)) - 1

    values = np.empty((len(y), len(x)))
    rows = max(1, CHUNK // len(x))
    for start in range(0, len(y), rows):
        values[start : start + rows] = light.illuminance(*np.meshgrid(x, y[start : start + rows]))
    found = {}
    worst = 0.0
    for kind in (0, 1):
        sx, sy = steps
        best = float(values.max() if kind == 0 else values.min())
        bound = missed(sx, sy)[kind]
        iy, ix = np.nonzero(values >= best * (1 - bound) if kind == 0 else values <= best * (1 + bound))
        cx, cy = x[ix], y[iy]
        while bound > short:
            offsets = np.arange(-FINER, FINER + 1) / (2 * FINER)
            px = np.clip(cx[:, None, None] + sx * offsets, part.x0, part.x1)
            py = np.clip(cy[:, None, None] + sy * offsets[:, None], part.y0, part.y1)
            px, py = (np.ascontiguousarray(one).ravel() for one in np.broadcast_arrays(px, py))
            # Neighbours' grids overlap: each point once, to a thousandth of a step.
            keys = np.round(np.column_stack([px / sx, py / sy]) * 1000 * FINER).astype(np.int64)
            once = np.unique(keys[:, 0] * 2**31 + keys[:, 1], return_index=True)[1]
            px, py = px[once], py[once]
            near = light.illuminance(px, py)
            best = max(best, float(near.max())) if kind == 0 else min(best, float(near.min()))
            sx, sy = sx / FINER, sy / FINER
            bound = missed(sx, sy)[kind]
            kept = near >= best * (1 - bound) if kind == 0 else near <= best * (1 + bound)
            cx, cy = px[kept], py[kept]
        found[kind] = best
        worst = max(worst, bound)
    return Searched(
        highest=found[0],
        lowest=found[1],
        short=worst,
        grid_highest=float(values.max()),
        grid_lowest=float(values.min()),
        grid_short=missed(*steps)[0],
    )
