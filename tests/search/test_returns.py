"""Searches in cabinets that are lit from their returns: what moves with the depth, what cannot be moved."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.layouts import least_depth, rows_to_vary, with_depth
from lumsim.study.reading import study_from_text
from lumsim.study.searching import search
from tests.cli.called import MIRRORED, SMALL

BOTH = SMALL.replace("[requirement]", '[[rows]]\non = "left"\nat = ["1 in", "3 in"]\n\n[requirement]', 1)
"""The small study, 6 in deep, with rows on its left return too."""

TWO = MIRRORED.replace("[requirement]", '[[rows]]\non = "left"\nat = ["1 in", "3 in"]\n\n[requirement]', 1)
"""The same with two faces."""

EDGE_LIT = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1', 1)
"""The same lit from its left return alone."""


def positions(cabinet: Cabinet) -> list[float]:
    """Return where the rows on the left return are above the back [in]."""
    rows = cabinet.groups[1]
    assert isinstance(rows, Rows)
    return [float(position) / 0.0254 for position in rows.rows.positions]


def test_rows_on_returns_keep_their_place_above_the_back() -> None:
    """In a deeper or shallower cabinet they are where they were, and the depth is their extent."""
    for depth in (0.2, 0.1):
        moved = with_depth(study_from_text(BOTH).cabinet, depth)
        assert positions(moved) == pytest.approx([1, 3], rel=1e-12)
        rows = moved.groups[1]
        assert isinstance(rows, Rows)
        assert rows.rows.extent == Fraction(str(depth))


def test_only_rows_midway_between_two_faces_stay_midway() -> None:
    """3 in of 6 in is midway: 4 in of 8 in. What is an inch from the rear face stays there."""
    moved = with_depth(study_from_text(TWO).cabinet, 8 * 0.0254)
    assert positions(moved) == pytest.approx([1, 4], rel=1e-12)
    single = with_depth(study_from_text(BOTH).cabinet, 8 * 0.0254)
    assert positions(single) == pytest.approx([1, 3], rel=1e-12)


def test_the_least_depth_leaves_rows_on_returns_their_throw() -> None:
    """3 in above the back and a throw of 1 in take 4 in."""
    assert least_depth(study_from_text(BOTH).cabinet, 0.0254) == pytest.approx(4 * 0.0254, rel=1e-12)


def test_rows_on_a_return_have_no_pitch_to_search() -> None:
    """The refusal says why, and what to name instead."""
    with pytest.raises(
        InputError,
        match=r"group 2 is on the left return: its rows lie across the depth, 6 in, .* on the back, such as --group 1",
    ):
        rows_to_vary(study_from_text(BOTH).cabinet, 2, units="in")
    with pytest.raises(InputError, match=r"152\.4 mm, .* between the two faces, such as --group 1"):
        rows_to_vary(study_from_text(TWO).cabinet, 2)
    assert rows_to_vary(study_from_text(BOTH).cabinet, 1) == 0


def test_rows_on_the_back_are_searched_beside_rows_on_returns() -> None:
    """The search moves the back's rows at this depth and at another, and leaves those on the return."""
    study = study_from_text(BOTH, changes=["requirement.stripe_max_to_min=1.5"])
    found = search(study, asked=replace(study.search, group=1, other_depths=(8 * 0.0254,)))
    assert found.at_depth.exact is not None
    assert positions(found.verified.cabinet) == pytest.approx([1, 3], rel=1e-12)
    (deeper,) = found.against_depth
    assert positions(deeper.best.cabinet) == pytest.approx([1, 3], rel=1e-12)


def test_a_group_that_is_advised_is_one_that_can_be_searched() -> None:
    """With rows on a return first, the group on the back is named; with none to move, no group is."""
    right = '[[rows]]\non = "right"\ncount = 1\n\n'
    back = '[[rows]]\nz = "0.5 in"\npitch = "4 in"\n\n'
    mixed = EDGE_LIT.replace("[requirement]", f"{back}[requirement]", 1)
    with pytest.raises(InputError, match=r"2 groups of rows: .* such as --group 2$"):
        rows_to_vary(study_from_text(mixed).cabinet, None)
    both = EDGE_LIT.replace("[requirement]", f"{right}[requirement]", 1)
    with pytest.raises(
        InputError, match="none of the 2 groups of rows has a row pitch across the face to search"
    ):
        rows_to_vary(study_from_text(both).cabinet, None)
    with pytest.raises(InputError, match=r"there are no rows on the back$"):
        rows_to_vary(study_from_text(EDGE_LIT).cabinet, None)


def test_a_search_is_refused_in_the_units_of_its_study() -> None:
    """An inch study is told its depth in inches."""
    with pytest.raises(InputError, match="across the depth, 6 in, "):
        search(study_from_text(EDGE_LIT))
