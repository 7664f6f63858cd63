"""What must come out to change a module, a supply, or what else lies behind rows."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.rows import Direction, Rows
from lumsim.errors import InputError
from lumsim.sheet.strings import row_strings
from lumsim.sheet.taking_out import (
    Stretch,
    rows_over,
    to_change_module,
)
from tests import cabinets
from tests.cabinets import OPAL
from tests.sheet.cabinets_in_cm import CM, in_centimetres, with_rows_on_left

BAR = Module(name="bar", lumens=100.0, leds=((-0.02, 0.0), (0.02, 0.0)), opening=(0.02, 0.01))
"""6 cm long and 1 cm wide."""

STRETCHES = (
    Stretch(row=1, section=1, from_module=0, to_module=4, supports=(2 * CM, 9 * CM), feeds=(0,)),
    Stretch(row=1, section=2, from_module=5, to_module=7, supports=(14 * CM,), feeds=(7,)),
    Stretch(row=2, section=1, from_module=0, to_module=7, supports=(3 * CM,), feeds=()),
)


def test_changing_a_module_takes_out_the_stretch_that_holds_it() -> None:
    """Each module of each row is in just one stretch, between its two ends, both included."""
    for row, module in product((1, 2), range(8)):
        expected = 2 if row == 2 else int(module > 4)
        assert to_change_module(STRETCHES, row, module) is STRETCHES[expected]
    for row, module in ((1, 8), (1, -1), (3, 0)):
        with pytest.raises(InputError, match=rf"no stretch of row {row} holds module {module + 1}"):
            to_change_module(STRETCHES, row, module)


def test_a_stretch_must_hold_what_it_undoes() -> None:
    """A stretch that ends before it begins, or is fed outside itself, is refused."""
    with pytest.raises(
        InputError, match="section 2 of row 1 must end at or after its first module, 6, got 5"
    ):
        replace(STRETCHES[1], to_module=4)
    for feed in (4, 8):
        with pytest.raises(
            InputError, match=f"is fed at module {feed + 1}, which is not one of its own, 6 to 8"
        ):
            replace(STRETCHES[1], feeds=(feed,))


@st.composite
def rows_and_rectangle(
    draw: st.DrawFn,
) -> tuple[Cabinet, list[int], list[int], tuple[int, int, int, int], int]:
    """Rows and a rectangle, all at whole centimetres."""
    direction: Direction = draw(st.sampled_from(["horizontal", "vertical"]))
    across, along = (20, 30) if direction == "horizontal" else (30, 20)
    rows = sorted(draw(st.sets(st.integers(0, across), min_size=1, max_size=4)))
    modules = sorted(draw(st.sets(st.integers(0, along), min_size=2, max_size=4)))
    x0, y0 = draw(st.integers(-5, 29)), draw(st.integers(-5, 19))
    sides = (x0, x0 + draw(st.integers(1, 12)), y0, y0 + draw(st.integers(1, 12)))
    half_width = draw(st.integers(1, 3))
    return in_centimetres(rows, modules, direction=direction), rows, modules, sides, half_width


@given(drawn=rows_and_rectangle())
def test_a_row_lies_over_a_rectangle_where_they_share_a_point(
    drawn: tuple[Cabinet, list[int], list[int], tuple[int, int, int, int], int],
) -> None:
    """Against the middle of every square centimetre of the rectangle: which rows' strips have one of them inside."""
    cabinet, rows, modules, (x0, x1, y0, y1), half_width = drawn
    strings = row_strings(cabinet)
    sampled = set()
    for x, y in product(range(x0, x1), range(y0, y1)):
        middle = (x + 0.5, y + 0.5)
        along, across = middle if strings[0].direction == "horizontal" else middle[::-1]
        for number, row in enumerate(rows, start=1):
            if modules[0] <= along <= modules[-1] and abs(across - row) <= half_width:
                sampled.add(number)
    found = rows_over(
        strings,
        cabinet,
        (Fraction(x0 + x1, 200), Fraction(y0 + y1, 200)),
        ((x1 - x0) * CM, (y1 - y0) * CM),
        half_width * CM,
    )
    assert found == tuple(sorted(sampled))


def over(cabinet: Cabinet, x: float, y: float, half_width: Fraction | None = None) -> tuple[int, ...]:
    """Rows over a square of 2 cm about a place. [cm]"""
    place = (Fraction(x) * CM, Fraction(y) * CM)
    return rows_over(row_strings(cabinet), cabinet, place, (2 * CM, 2 * CM), half_width)


@pytest.mark.parametrize(
    ("x", "y", "turn", "found"),
    [
        # The row goes from 10 to 20 cm on centre; its bars are 6 cm long and 1 cm wide.
        (24.0, 10.0, 0.0, ()),
        (23.5, 10.0, 0.0, (1,)),
        (15.0, 11.25, 0.0, (1,)),
        (15.0, 11.5, 0.0, ()),
        # Turned by a right angle they reach 3 cm across and half a centimetre beyond the end.
        (21.5, 10.0, 90.0, ()),
        (21.25, 10.0, 90.0, (1,)),
        (15.0, 13.5, 90.0, (1,)),
        (15.0, 14.0, 90.0, ()),
    ],
)
def test_a_row_takes_the_room_that_is_known_of_its_modules(
    x: float, y: float, turn: float, found: tuple[int, ...]
) -> None:
    """By hand: LEDs with their openings, as they are turned; what touches only is not covered."""
    cabinet = in_centimetres([10], [10, 20], kind=BAR)
    (group,) = cabinet.groups
    assert isinstance(group, Rows)
    assert over(replace(cabinet, groups=(replace(group, turn=math.radians(turn)),)), x, y) == found


def test_a_row_of_which_nothing_is_known_is_a_line() -> None:
    """Points cover what their line goes through, not what begins at it; a width that is given holds instead."""
    cabinet = in_centimetres([10], [10, 20])
    assert over(cabinet, 15, 10.5) == (1,)
    assert over(cabinet, 15, 11) == ()
    assert over(cabinet, 15, 11, CM) == (1,)
    assert over(in_centimetres([10], [10, 20], kind=BAR), 15, 11.25, Fraction(0)) == ()


def test_a_row_of_one_module_covers_what_lies_about_it() -> None:
    """A single point is over the square that holds it, and over no other."""
    cabinet = in_centimetres([10], [15])
    assert over(cabinet, 15.5, 10.5) == (1,)
    assert over(cabinet, 17, 10) == ()


def test_rows_on_a_return_do_not_lie_over_the_back() -> None:
    """Whatever is behind them as seen from in front; the rows on the back keep their numbers."""
    cabinet = with_rows_on_left(in_centimetres([4, 15], [0, 25]))
    assert over(cabinet, 1, 15) == (2,)
    assert over(cabinet, 1, 10) == ()


def test_rows_between_two_faces_lie_over_what_is_behind_them() -> None:
    """Rows in a plane of their own cover what they cover as seen from in front."""
    cabinet = in_centimetres([4, 15], [0, 25])
    (group,) = cabinet.groups
    assert isinstance(group, Rows)
    plane = replace(cabinet, rear=OPAL, groups=(replace(group, on="plane", z=0.05, front_share=0.5),))
    assert over(plane, 10, 15) == (2,)


@pytest.mark.parametrize("heights", [(0.1, 0.12, 0.1), (0.12, 0.1, 0.12)])
def test_modules_that_stand_askew_cover_all_that_lies_between_them(heights: tuple[float, ...]) -> None:
    """Listed modules of one row at 10 and 12 cm cover from the lower to the upper."""
    cabinet = cabinets.listed(0.3, 0.2, 0.1, list(zip((0.1, 0.15, 0.2), heights, strict=True)))
    assert over(cabinet, 12, 12.5) == (1,)
    assert over(cabinet, 12, 9.5) == (1,)
    assert over(cabinet, 12, 13.5) == ()
    assert over(cabinet, 12, 8.5) == ()


def test_a_rectangle_or_width_that_cannot_be_is_refused() -> None:
    """Flat, and narrower than nothing."""
    cabinet = in_centimetres([10], [15])
    with pytest.raises(
        InputError, match=r"what lies behind rows must be more than 0 m wide and high, got 0.1 by 0 m"
    ):
        rows_over(row_strings(cabinet), cabinet, (CM, CM), (10 * CM, Fraction(0)))
    with pytest.raises(InputError, match=r"half of what a row takes across must be 0 m or more, got -0.01 m"):
        over(cabinet, 1, 1, -CM)
