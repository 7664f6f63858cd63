"""Lengths to be cut from rolls, and the plans that a person would make."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.sheet.cut_lengths import Cuts, Demand, fewest_sections, first_fit_cuts, joined_cuts, rolls_filled


def demand(*rows: tuple[int, int], joints: int = 1, shortest: int = 1) -> Demand:
    """Return rows of each length, from rolls of 10."""
    return Demand(roll=10, shortest=shortest, joints=joints, rows=rows)


def test_the_fewest_sections_take_whole_rolls_first() -> None:
    """As many sections as rolls the length fills, none below the shortest where that can be."""
    assert fewest_sections(25, 10, 1) == (10, 10, 5)
    assert fewest_sections(10, 10, 1) == (10,)
    assert fewest_sections(21, 10, 4) == (10, 7, 4)


def test_a_demand_knows_what_no_plan_can_save() -> None:
    """61 of rolls of 10 are seven rolls; 25 needs two joints, and without them is three rows."""
    own = demand((25, 1), (6, 6), joints=2)
    assert (own.total, own.least_rolls, own.least_joints) == (61, 7, 2)
    assert own.without_joints().rows == ((10, 2), (6, 6), (5, 1))


def test_rolls_are_saved_by_joints() -> None:
    """Ten rows of 6, one a roll, leave 4 each: three rolls have one to spare, and six hold all of them."""
    own = demand((6, 10))
    hand = first_fit_cuts(own)
    assert len(hand.rolls) == 10
    saved = joined_cuts(own, hand)
    assert len(saved.rolls) == 6
    assert saved.joints == 4
    assert joined_cuts(demand((6, 10), shortest=6), hand) == hand


@given(
    rows=st.lists(st.integers(3, 20), min_size=1, max_size=12),
    shortest=st.integers(1, 3),
)
def test_saving_rolls_loses_no_section(rows: list[int], shortest: int) -> None:
    """Rolls and rows are of the same sections, the rows are those asked for, and nothing is too short or too long."""
    rows = [row for row in rows if row <= 10 or row - 10 >= shortest]
    own = demand(*sorted(Counter(rows).items(), reverse=True), joints=1, shortest=shortest)
    saved = joined_cuts(own, first_fit_cuts(own))
    sections = Counter(section for row in saved.rows for section in row)
    assert sections == Counter(section for roll in saved.rolls for section in roll)
    assert Counter(map(sum, saved.rows)) == Counter(rows)
    assert all(sum(roll) <= 10 for roll in saved.rolls)
    assert all(len(row) <= 2 and min(row) >= shortest for row in saved.rows)


def test_lengths_over_one_place_lie_on_different_rolls() -> None:
    """As many rolls as lengths lie over one step; what is kept free, told as less than nothing, lies there too."""
    placed = [(0, 6), (6, 4), (0, 5), (5, 5), (0, 7)]
    assert sorted(rolls_filled(10, placed)) == [(5, 5), (6, 4), (7,)]
    assert sorted(rolls_filled(10, [(0, 6), (6, -4), (0, 5)])) == [(5,), (6,)]
    with pytest.raises(AssertionError):
        rolls_filled(10, [(5, 6)])


def test_the_rank_puts_rolls_before_joints_before_what_is_left() -> None:
    """Fewer rolls beat fewer joints, and fewer joints beat a longer piece that is left."""
    few = Cuts(rolls=((10,), (2,)), rows=((10, 2),))
    none = Cuts(rolls=((6,), (6,)), rows=((6,), (6,)))
    more = Cuts(rolls=((6,), (3,), (3,)), rows=((6,), (3,), (3,)))
    assert sorted([few, none, more], key=lambda one: one.rank(10)) == [none, few, more]
