"""The boxes and layouts that light thrown back is timed on, and how meshes are made that lumsim would refuse."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from fractions import Fraction
from unittest import mock

import numpy as np

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light import surfaces
from tests.cabinets import in_rows, listed

INCH = Fraction(254, 10_000)
BORDERED = Face(transmittance=0.4, reflectance=0.4, visible_border=float(INCH))
"""Points of the visible face are an inch and more from its edges."""


def shallow(*, exponent: float = 1.0) -> Cabinet:
    """2.4 × 1.2 × 0.127 m, white; four rows 12 in apart of 23 modules 4 in apart, its own image in both mirrors."""
    rows = Rows(
        module=Module(name="standard", lumens=90.0, beam=CosinePower(exponent=exponent)),
        direction="horizontal",
        rows=place(1.2, pitch=12 * INCH),
        modules=place(2.4, pitch=4 * INCH, count=23),
    )
    return Cabinet(box=Box(width=2.4, height=1.2, depth=0.127), face=BORDERED, groups=(rows,))


def askew() -> Cabinet:
    """The same as a hand would set it: every module up to half an inch off its place, no two in mirror image."""
    given = shallow()
    at = given.emitters()
    off = np.random.default_rng(41).uniform(-float(INCH) / 2, float(INCH) / 2, (len(at), 2))
    return listed(2.4, 1.2, 0.127, np.stack([at.x, at.y], axis=-1) + off, lumens=90.0, face=BORDERED)


def unequal_returns() -> Cabinet:
    """The same rows between returns of which no two are alike."""
    given = shallow()
    box = replace(
        given.box,
        left_return_reflectance=0.9,
        right_return_reflectance=0.2,
        bottom_return_reflectance=0.6,
    )
    return replace(given, box=box)


def large_sign() -> Cabinet:
    """48 × 14 ft, 10 in deep, 25 rows of 80 modules."""
    width, height, depth = (float(inches * INCH) for inches in (48 * 12, 14 * 12, 10))
    return in_rows(width, height, depth, rows=25, modules=80, lumens=90.0, face=BORDERED)


def of_size(times: float) -> Cabinet:
    """The shallow cabinet with a face so many times as wide and as high, its depth and 92 modules the same."""
    return in_rows(2.4 * times, 1.2 * times, 0.127, rows=4, modules=23, lumens=90.0, face=BORDERED)


@contextmanager
def any_mesh() -> Iterator[None]:
    """Lift what keeps meshes small enough for an ordinary machine; very large faces are cut twice as fine."""
    with mock.patch.multiple(
        surfaces,
        MOST_IN_PLANE=10**9,
        MOST_AT_CORNER=10**12,
        MOST_NEAR_EDGES=4 * surfaces.MOST_NEAR_EDGES,
    ):
        yield
