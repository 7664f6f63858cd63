"""The cabinets that the path tracer gives its opinion on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from tests.cabinets import in_rows, listed
from tests.path_tracer.cells import Cells

__all__ = ["CASES", "CELLS"]

CELLS = Cells(columns=12, rows=6)
"""Of each face: 75 × 100 mm, the outermost right at the returns."""

WIDTH, HEIGHT, DEPTH = 0.9, 0.6, 0.15
"""Of every box. [m]"""

WHITE = Face(transmittance=0.4, reflectance=0.4)
BLACK = Face(transmittance=0.4, reflectance=0.0)


def painted(
    cabinet: Cabinet, *, back: float, left: float, right: float, bottom: float, top: float
) -> Cabinet:
    """The same cabinet with other reflectances inside. [1]"""
    return replace(
        cabinet,
        box=Box(
            width=WIDTH,
            height=HEIGHT,
            depth=DEPTH,
            back_reflectance=back,
            left_return_reflectance=left,
            right_return_reflectance=right,
            bottom_return_reflectance=bottom,
            top_return_reflectance=top,
        ),
    )


def rows(face: Face) -> Cabinet:
    """Three rows of four modules, 10 mm above the back."""
    return in_rows(WIDTH, HEIGHT, DEPTH, rows=3, modules=4, face=face, z=0.01)


def scattered(face: Face) -> Cabinet:
    """A dozen modules of unequal flux and height, drawn by seed, none nearer than 40 mm to a return."""
    draw = np.random.default_rng(12)
    at = np.stack([draw.uniform(0.04, extent - 0.04, 12) for extent in (WIDTH, HEIGHT)], axis=1)
    return listed(
        WIDTH, HEIGHT, DEPTH, at, z=draw.uniform(0.005, 0.03, 12), lumens=draw.uniform(60, 140, 12), face=face
    )


CASES = {
    "black": painted(rows(BLACK), back=0.0, left=0.0, right=0.0, bottom=0.0, top=0.0),
    "white": painted(rows(WHITE), back=0.85, left=0.85, right=0.85, bottom=0.85, top=0.85),
    "four unequal returns": painted(scattered(WHITE), back=0.75, left=0.9, right=0.2, bottom=0.6, top=0.05),
}
