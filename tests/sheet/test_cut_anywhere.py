"""Rows joined in any way that is allowed."""

from __future__ import annotations

from lumsim.sheet.cut_anywhere import joined_anywhere
from lumsim.sheet.cut_chains import chained
from lumsim.sheet.cut_lengths import Demand
from tests.sheet.solved_programme import solved


def test_joints_anywhere_are_better_where_short_sections_are_not_allowed() -> None:
    """6, 5, 5, 5 and 3 from rolls of 6, none below 2: five rolls end to beginning, four anywhere."""
    demand = Demand(roll=6, shortest=2, joints=1, rows=((6, 1), (5, 3), (3, 1)))
    ends, anywhere = solved(chained(demand), demand), solved(joined_anywhere(demand), demand)
    assert [len(ends.cuts.rolls), len(anywhere.cuts.rolls)] == [5, 4]
    assert not ends.proven
    assert anywhere.proven
    assert sorted(anywhere.cuts.rolls) == [(2, 2, 2), (3, 3), (3, 3), (6,)]


def test_both_agree_where_both_know_every_plan() -> None:
    """Ten rows of 6 from rolls of 10: six rolls, four joints, either way."""
    demand = Demand(roll=10, shortest=1, joints=1, rows=((6, 10),))
    for programme in (chained(demand), joined_anywhere(demand)):
        reached = solved(programme, demand)
        assert reached.cuts.rank(10) == (6, 4, 0)
        assert reached.proven
        assert reached.joints_proven


def test_a_programme_too_large_for_the_time_is_none() -> None:
    """Rows on rolls of 200 steps with two joints have too many remainders to be tried."""
    rows = tuple((length, 1) for length in range(160, 100, -1))
    assert joined_anywhere(Demand(roll=200, shortest=1, joints=2, rows=rows)) is None


def test_a_row_may_be_cut_into_halves() -> None:
    """Two rows of 6 from rolls of 5, none below 3, are 3 + 3 each: no two of them on a roll, so four rolls."""
    demand = Demand(roll=5, shortest=3, joints=1, rows=((6, 2),))
    reached = solved(joined_anywhere(demand), demand)
    assert reached.cuts.rows == ((3, 3), (3, 3))
    assert reached.cuts.rank(5) == (4, 2, -2)
    assert reached.proven
