"""Rows joined from the end of one roll to the beginning of another."""

from __future__ import annotations

import pytest

from lumsim.sheet.cut_chains import chained
from lumsim.sheet.cut_lengths import Demand
from tests.sheet.solved_programme import solved


@pytest.mark.parametrize(
    ("joints", "shortest", "longest", "every"),
    [
        (0, 1, 10, True),
        (0, 3, 10, True),
        (1, 1, 10, True),
        (1, 2, 10, False),
        (1, 1, 11, False),
        (2, 1, 11, True),
    ],
)
def test_it_says_whether_it_knows_every_plan(joints: int, shortest: int, longest: int, every: bool) -> None:
    """Without joints, and where any row may be joined anywhere; not with short sections or too few joints."""
    programme = chained(Demand(roll=10, shortest=shortest, joints=joints, rows=((longest, 2), (5, 1))))
    assert programme is not None
    assert programme.every_plan == every


def test_a_joined_row_may_take_whole_rolls_between_its_ends() -> None:
    """23 and 17 from rolls of 10, joined as they come: four rolls, both full to the end."""
    demand = Demand(roll=10, shortest=1, joints=3, rows=((23, 1), (17, 1)))
    reached = solved(chained(demand), demand)
    assert reached.cuts.rank(10) == (4, 3, 0)


def test_a_programme_too_large_for_the_time_is_none() -> None:
    """Sixty lengths that may be joined, on rolls of 400 steps, are not tried."""
    rows = tuple((length, 1) for length in range(160, 100, -1))
    assert chained(Demand(roll=400, shortest=1, joints=1, rows=rows)) is None
    assert chained(Demand(roll=400, shortest=1, joints=0, rows=rows)) is not None
