"""The cabinets that the path tracer gives its opinion on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.face import Face
from tests.cabinets import in_rows, listed
from tests.path_tracer.cells import Cells

__all__ = ["CASES", "CELLS", "Case"]

CELLS = Cells(columns=12, rows=6)
"""Of each face: 75 × 100 mm, the outermost right at the returns."""

WIDTH, HEIGHT = 0.9, 0.6
"""Of every box. [m]"""

DEPTH, FACE_TO_FACE = 0.15, 0.25
"""Of a box with a back, and with two faces. [m]"""

WHITE = Face(transmittance=0.4, reflectance=0.4)
GREY = Face(transmittance=0.5, reflectance=0.2)
BLACK = Face(transmittance=0.4, reflectance=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A cabinet and the face that is looked at."""

    cabinet: Cabinet
    side: Side = "front"


def painted(
    cabinet: Cabinet, *, back: float, left: float, right: float, bottom: float, top: float
) -> Cabinet:
    """The same cabinet with other reflectances inside. [1]"""
    box = replace(
        cabinet.box,
        back_reflectance=back,
        left_return_reflectance=left,
        right_return_reflectance=right,
        bottom_return_reflectance=bottom,
        top_return_reflectance=top,
    )
    return replace(cabinet, box=box)


def rows(face: Face) -> Cabinet:
    """Three rows of four modules, 10 mm above the back."""
    return in_rows(WIDTH, HEIGHT, DEPTH, rows=3, modules=4, face=face, z=0.01)


def rows_midway(face: Face) -> Cabinet:
    """The same rows midway between two such faces, half the light each way."""
    at = rows(face).emitters()
    return listed(
        WIDTH,
        HEIGHT,
        FACE_TO_FACE,
        np.stack([at.x, at.y], axis=1),
        z=FACE_TO_FACE / 2,
        front_share=0.5,
        face=face,
        rear=face,
    )


def scattered(face: Face, rear: Face | None = None) -> Cabinet:
    """A dozen modules of unequal flux and height, drawn by seed, none nearer than 40 mm to a return.

    Up to 30 mm above the back, or about midway between two faces with unequal shares of light for them.
    """
    draw = np.random.default_rng(12)
    at = np.stack([draw.uniform(0.04, extent - 0.04, 12) for extent in (WIDTH, HEIGHT)], axis=1)
    z, lumens, share = draw.uniform(0.005, 0.03, 12), draw.uniform(60, 140, 12), draw.uniform(0.2, 0.8, 12)
    if rear is None:
        return listed(WIDTH, HEIGHT, DEPTH, at, z=z, lumens=lumens, face=face)
    return listed(
        WIDTH,
        HEIGHT,
        FACE_TO_FACE,
        at,
        z=z + 0.1,
        lumens=lumens,
        front_share=share,
        face=face,
        rear=rear,
    )


def all_white(cabinet: Cabinet) -> Cabinet:
    """With white paint inside."""
    return painted(cabinet, back=0.85, left=0.85, right=0.85, bottom=0.85, top=0.85)


def all_black(cabinet: Cabinet) -> Cabinet:
    """With black paint inside."""
    return painted(cabinet, back=0.0, left=0.0, right=0.0, bottom=0.0, top=0.0)


def unequal(cabinet: Cabinet) -> Cabinet:
    """With another paint on each return."""
    return painted(cabinet, back=0.75, left=0.9, right=0.2, bottom=0.6, top=0.05)


CASES = {
    "black": Case(cabinet=all_black(rows(BLACK))),
    "white": Case(cabinet=all_white(rows(WHITE))),
    "four unequal returns": Case(cabinet=unequal(scattered(WHITE))),
    "double-sided, black": Case(cabinet=all_black(rows_midway(BLACK))),
    "double-sided, white": Case(cabinet=all_white(rows_midway(WHITE))),
    "double-sided, all unequal, front": Case(cabinet=unequal(scattered(WHITE, GREY))),
    "double-sided, all unequal, rear": Case(cabinet=unequal(scattered(WHITE, GREY)), side="rear"),
}
