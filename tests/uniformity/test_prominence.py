"""The spot contrast: on faces where it can be told by hand, continuous, and held against the list of spots."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lumsim.search.row_pitch import widest_row_pitch
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import evenness, numbers_asked
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.prominence import RowsRun, hot_spot_contrast
from lumsim.uniformity.requirement import Requirement, judge
from tests import cabinets
from tests.cabinets import DIRECT
from tests.uniformity.known_faces import Array, bump, face_of, flat

BY_SPLINE = 3e-5
"""What a quintic spline and a profile of eight points a sample leave. [1]"""

HORIZONTAL = RowsRun(direction="horizontal", lines=3)


def contrast(one: float, other: float) -> float:
    """Contrast of two luminances [1]."""
    return abs(one - other) / (one + other)


def waves(rows: int, *, level: float = 10.0, swing: float = 1.0, along: float = 0.0) -> FaceMap:
    """Return a face with level + swing cos ky, so many rows, and dots along them."""
    k = 2 * math.pi / 0.2
    return face_of(
        lambda x, y: level - swing * np.cos(k * y) - along * np.cos(k * x),
        1.0,
        0.2 * rows,
        detail=0.2 / (2 * math.pi),
    )


@pytest.mark.parametrize("level", [0.1, 1 / 3, 123.456])
def test_an_even_face_has_none(level: float) -> None:
    """Nothing stands out of it, also where there is a single row; a limit however small is met."""
    for rows in (None, HORIZONTAL, RowsRun(direction="vertical", lines=1)):
        assert hot_spot_contrast(flat(level), rows) < 1e-12
    even = evenness(flat(level), 0.2)
    assert judge(even, Requirement(hot_spot_contrast=1e-9)).met


@pytest.mark.parametrize("swing", [0.003, 0.1, 1.0, 5.0])
def test_stripes_count_by_their_swing(swing: float) -> None:
    """Rows of 10 + swing and valleys of 10 − swing have a contrast of swing/10."""
    assert hot_spot_contrast(waves(4, swing=swing), HORIZONTAL) == pytest.approx(swing / 10, abs=BY_SPLINE)


def test_dots_count_where_they_stand_out_more_than_stripes() -> None:
    """Peaks of 14 with passes of 12 between rows and of 8 along them: a column of dots is only left by the lower pass.

    Stripes are 11 against 9, columns, where they are asked for, 13 against 7.
    """
    assert hot_spot_contrast(waves(3, swing=1.0, along=3.0), HORIZONTAL) == pytest.approx(
        contrast(14, 8), abs=BY_SPLINE
    )
    assert hot_spot_contrast(waves(3, swing=1.0, along=3.0)) == pytest.approx(contrast(13, 7), abs=BY_SPLINE)


@pytest.mark.parametrize("apart", [0.25, 0.3, 0.5])
def test_of_two_bumps_the_lower_counts(apart: float) -> None:
    """The brighter of two has nothing brighter to go to; the other stands out from the pass between them."""
    one, other = (0.2, 0.3), (0.2 + apart, 0.3)

    def field(x: Array, y: Array) -> Array:
        return 100 + 40 * bump(x, y, at=one, sigma=0.07) + 30 * bump(x, y, at=other, sigma=0.07)

    line = field(np.linspace(one[0], other[0], 200_001), np.full(200_001, 0.3))
    middle = int(np.argmin(line))
    wanted = contrast(float(line[middle:].max()), float(line[middle]))
    assert hot_spot_contrast(face_of(field, 1.0, 0.6, detail=0.05), HORIZONTAL) == pytest.approx(
        wanted, abs=BY_SPLINE
    )


@pytest.mark.parametrize("at", [(0.5, 0.3), (0.1, 0.55), (0.0, 0.0)])
def test_a_bright_middle_alone_is_no_fault(at: tuple[float, float]) -> None:
    """Wherever the one bright place is, nothing stands out beside it, however dark the edges."""
    face = face_of(lambda x, y: 10 + 90 * bump(x, y, at=at, sigma=0.2), 1.0, 0.6, detail=0.1)
    assert hot_spot_contrast(face, HORIZONTAL) < 1e-9
    assert evenness(face, 0.2, HORIZONTAL).max_to_min > 3


@pytest.mark.parametrize("direction", ["horizontal", "vertical"])
def test_the_stripe_of_a_single_row_counts(direction: Literal["horizontal", "vertical"]) -> None:
    """By the higher of the lowest points to either side: 10 + 5 against 10 + 5 bump(0.2/0.1), and not along the row."""

    def field(x: Array, y: Array) -> Array:
        across = y if direction == "horizontal" else x
        return 10 + 5 * np.exp(-((across - 0.2) ** 2) / (2 * 0.1**2))

    size = (1.0, 0.6) if direction == "horizontal" else (0.6, 1.0)
    face = face_of(field, *size, detail=0.1)
    single = RowsRun(direction=direction, lines=1)
    assert hot_spot_contrast(face, single) == pytest.approx(contrast(15, 10 + 5 * math.exp(-2)), abs=1e-4)
    assert hot_spot_contrast(face, RowsRun(direction=direction, lines=2)) < 1e-9


@settings(max_examples=40, deadline=None)
@given(
    heights=st.lists(st.floats(0.0, 30.0), min_size=4, max_size=4),
    moved=st.lists(st.floats(-1.0, 1.0), min_size=4, max_size=4),
    share=st.floats(0.0, 0.03),
)
def test_it_moves_no_more_than_the_map(heights: list[float], moved: list[float], share: float) -> None:
    """Two maps nowhere further apart than a share are no further apart in their spot contrast: it never jumps.

    Bumps grow out of a slope, merge and change places as the brightest on the way.
    """
    places = [(0.2, 0.2), (0.4, 0.25), (0.7, 0.4), (0.9, 0.1)]

    def face(sizes: list[float]) -> FaceMap:
        return face_of(
            lambda x, y: 100 + 10 * x + sum(
                size * bump(x, y, at=at, sigma=0.08) for at, size in zip(places, sizes, strict=True)
            ),
            1.0, 0.5, detail=0.05,
        )  # fmt: skip

    one = face(heights)
    other = face([max(0.0, height + 100 * share * way) for height, way in zip(heights, moved, strict=True)])
    apart = float(np.max(np.abs(np.log(other.values / one.values))))
    assert abs(hot_spot_contrast(one, HORIZONTAL) - hot_spot_contrast(other, HORIZONTAL)) <= apart + 1e-4


def test_asked_for_alone_it_is_the_same() -> None:
    """A search's look and a whole simulation tell the same number."""
    face = waves(3, swing=1.0, along=3.0)
    assert numbers_asked(face, 0.2, ["hot_spot_contrast"], HORIZONTAL) == {
        "hot_spot_contrast": evenness(face, 0.2, HORIZONTAL).hot_spot_contrast
    }


@pytest.mark.parametrize(("rows", "modules"), [(4, 30), (4, 6), (1, 12), (5, 3)])
def test_it_is_the_greatest_of_those_listed(rows: int, modules: int) -> None:
    """Of a real face: no listed spot but the brightest stands out more, and no stripe does but the brightest.

    A spot or a stripe that is listed with all that contrast, or nearly, is found.
    """
    lit = simulate(cabinets.in_rows(1.2, 0.8, 0.1, rows=rows, modules=modules), lighting=DIRECT)
    number = lit.evenness.hot_spot_contrast
    spots = [spot.contrast for spot in lit.spots.hot if spot.saddle != lit.evenness.darkest.value]
    stripes = sorted((stripe.luminance, stripe.contrast) for stripe in lit.spots.stripes)
    below_top = [one for _, one in (stripes if rows == 1 else stripes[:-1])]
    listed = max([*spots, *below_top], default=0.0)
    assert listed <= number + 1e-3
    assert number <= max(listed, max((one for _, one in stripes), default=0.0)) + 0.02


def test_a_search_can_be_limited_by_it() -> None:
    """The widest row pitch at a spot contrast of 3 % meets it, and a little wider rows do not."""
    cabinet = cabinets.in_rows(1.2, 1.2, 0.15, rows=8, modules=24)
    found = widest_row_pitch(
        cabinet, 0, Requirement(hot_spot_contrast=0.03), mark=Fraction(1, 1000), lighting=DIRECT
    )
    assert found.exact is not None
    assert 0.025 < found.exact.evenness.hot_spot_contrast <= 0.03
    assert found.buildable is not None
    assert found.buildable.evenness.hot_spot_contrast <= 0.03
