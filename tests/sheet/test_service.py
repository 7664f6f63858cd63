"""How many spares, and how far one must reach into a cabinet."""

from __future__ import annotations

import math
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.service import Opening, reach_to, reach_to_place, reaches_to_rows, spares, too_far
from lumsim.sheet.strings import row_strings
from tests import cabinets
from tests.sheet.cabinets_in_cm import CM, in_centimetres, with_rows_on_left

OPENINGS: tuple[Opening, ...] = get_args(Opening)


@pytest.mark.parametrize(
    ("count", "share", "at_least", "expected"),
    [
        (50, 0.02, 1, 1),
        (51, 0.02, 1, 2),
        (100, 0.07, 1, 7),  # in floats 100 × 0.07 is a hair above 7
        (10, 0.02, 1, 1),
        (10, 0.02, 3, 3),
        (10, 0.0, 0, 0),
        (10, 0.0, 1, 1),
        (0, 0.5, 2, 0),
        (4, 1.0, 1, 4),
    ],
)
def test_spares_are_a_share_rounded_up(count: int, share: float, at_least: int, expected: int) -> None:
    """By hand; of what the sign does not hold there is nothing to spare."""
    assert spares(count, share, at_least) == expected


@given(count=st.integers(1, 100_000), percent=st.integers(0, 100), at_least=st.integers(0, 50))
def test_spares_are_the_fewest_that_make_the_share(count: int, percent: int, at_least: int) -> None:
    """In whole numbers: enough by both rules, and one fewer is not."""
    found = spares(count, percent / 100, at_least)
    assert 100 * found >= percent * count
    assert found >= at_least
    assert found == at_least or 100 * (found - 1) < percent * count


@pytest.mark.parametrize(
    ("count", "share", "at_least", "said"),
    [
        (-1, 0.1, 1, "a count to spare of must be 0 or more, got -1"),
        (1, -0.1, 1, "a share of spares must be from 0 to 1, got -0.1"),
        (1, 1.1, 1, "a share of spares must be from 0 to 1, got 1.1"),
        (1, math.nan, 1, "a share of spares must be from 0 to 1, got nan"),
        (1, 0.1, -1, "spares must be at least 0 or more, got -1"),
    ],
)
def test_spares_that_cannot_be_are_refused(count: int, share: float, at_least: int, said: str) -> None:
    """Less than none, and more than there are."""
    with pytest.raises(InputError, match=said):
        spares(count, share, at_least)


@pytest.mark.parametrize(
    ("opens", "expected"),
    [
        ("front", (0.1, 0.1, 0.05)),
        ("rear", (0.0, 0.0, 0.05)),
        ("left", (0.25, 0.25, 0.01)),
        ("right", (0.27, 0.27, 0.29)),
        ("bottom", (0.04, 0.15, 0.16)),
        ("top", (0.16, 0.05, 0.16)),
    ],
)
def test_reach_is_measured_straight_in_from_the_open_side(
    opens: Opening, expected: tuple[float, ...]
) -> None:
    """By hand: rows at 4 and 15 cm with modules from 3 to 25 cm, and a row on the left return."""
    cabinet = with_rows_on_left(in_centimetres([4, 15], [3, 10, 25]))
    strings = row_strings(cabinet)
    assert reaches_to_rows(cabinet, strings, opens) == pytest.approx(expected, abs=1e-12)
    assert [reach_to(cabinet, one, opens) for one in strings] == pytest.approx(expected, abs=1e-12)


@given(
    places=st.lists(
        st.tuples(st.floats(0, 0.6), st.floats(0, 0.4), st.floats(0, 0.19)), min_size=1, max_size=12
    ),
    opens=st.sampled_from(OPENINGS),
)
def test_the_farthest_module_tells(places: list[tuple[float, float, float]], opens: Opening) -> None:
    """Against every module one by one: none of a row is farther from the open side, and one is so far."""
    x, y, z = np.array(places).T
    cabinet = cabinets.listed(0.6, 0.4, 0.2, np.stack([x, y], axis=1), z=z)
    for string in row_strings(cabinet):
        each = []
        for module in string.modules:
            if opens == "front":
                each.append(0.2 - z[module])
            elif opens == "rear":
                each.append(z[module])
            elif opens == "left":
                each.append(x[module])
            elif opens == "right":
                each.append(0.6 - x[module])
            elif opens == "bottom":
                each.append(y[module])
            else:
                each.append(0.4 - y[module])
        assert reach_to(cabinet, string, opens) == pytest.approx(max(each), abs=1e-12)


def test_reach_to_a_supply_on_the_back_is_by_its_place() -> None:
    """By hand, at 10 cm from the left and 5 cm from the bottom, in a cabinet of 30 × 20 × 10 cm."""
    cabinet = in_centimetres([10], [15])
    found = [reach_to_place(cabinet, (10 * CM, 5 * CM), opens) for opens in OPENINGS]
    by_side = dict(zip(OPENINGS, found, strict=True))
    expected = {"front": 0.1, "rear": 0.0, "left": 0.1, "right": 0.2, "bottom": 0.05, "top": 0.15}
    assert by_side == pytest.approx(expected, abs=1e-12)
    assert reach_to_place(cabinet, (10 * CM, 5 * CM), "front", z=4 * CM) == pytest.approx(0.06, abs=1e-12)


def test_a_place_outside_the_cabinet_cannot_be_reached() -> None:
    """Each way out is refused with its number."""
    cabinet = in_centimetres([10], [15])
    with pytest.raises(InputError, match=r"x = 0.31 m is outside the cabinet, which ends at 0.3 m"):
        reach_to_place(cabinet, (31 * CM, 5 * CM), "front")
    with pytest.raises(InputError, match=r"y = -0.01 m is outside the cabinet, which ends at 0.2 m"):
        reach_to_place(cabinet, (3 * CM, -CM), "front")
    with pytest.raises(InputError, match=r"z = 0.11 m is outside the cabinet, which ends at 0.1 m"):
        reach_to_place(cabinet, (3 * CM, CM), "front", z=11 * CM)


def test_what_is_beyond_an_arms_length_is_named() -> None:
    """As far as the arm is near enough, also where rounding adds a whisker; the order stays."""
    assert 0.1 + 0.2 > 0.3
    reaches = {"row 2": 0.31, "row 1": 0.3, "row 3": 0.1 + 0.2, "supply 1": 0.9}
    assert too_far(reaches, 0.3) == ("row 2", "supply 1")
    assert too_far(reaches, 1.0) == ()
    for arm in (0.0, -1.0, math.nan):
        with pytest.raises(InputError, match="an arm's length must be more than 0 m"):
            too_far(reaches, arm)
