"""Plans bettered stage by stage."""

from __future__ import annotations

import time

from lumsim.sheet.cut_chains import chained
from lumsim.sheet.cut_lengths import Cuts, Demand
from lumsim.sheet.cut_programme import Reached, improved
from tests.sheet.solved_programme import solved


def test_a_plan_that_is_given_is_kept_without_time() -> None:
    """What no time is left for is what was given, with its bounds."""
    demand = Demand(roll=10, shortest=1, joints=1, rows=((6, 10),))
    given = Reached(cuts=Cuts(rolls=((6,),) * 10, rows=((6,),) * 10), least_rolls=6, least_joints=0)
    programme = chained(demand)
    assert programme is not None
    steps: list[str] = []
    assert improved(programme, demand, given, until=time.monotonic(), step=steps.append) == given
    assert steps == ["fewest rolls", "fewest joints", "the most left in one piece"]


def test_each_stage_holds_what_was_reached_before() -> None:
    """9, 8, 6, 6 and 5 from rolls of 20: two rolls, no joint, and all 6 that are left in one piece."""
    demand = Demand(roll=20, shortest=1, joints=1, rows=((9, 1), (8, 1), (6, 2), (5, 1)))
    reached = solved(chained(demand), demand)
    assert reached.cuts.rank(20) == (2, 0, -6)
    assert (reached.least_rolls, reached.least_joints) == (2, 0)


def test_a_bound_is_of_every_plan_or_is_not_told() -> None:
    """Ten rows of 6 on rolls of 10 need ten rolls where they are not joined, and six where they are."""
    for joints, least in ((0, 10), (1, 6)):
        demand = Demand(roll=10, shortest=1, joints=joints, rows=((6, 10),))
        assert solved(chained(demand), demand).least_rolls == least


def test_what_is_known_of_joints_on_fewer_rolls_is_not_taken_for_more() -> None:
    """Two rows of 6 do not fit one roll of 10, whatever joints that would take; on two rolls they need none."""
    demand = Demand(roll=10, shortest=1, joints=1, rows=((6, 2),))
    joined = Cuts(rolls=((6, 4), (2,)), rows=((6,), (4, 2)))
    given = Reached(cuts=joined, least_rolls=1, least_joints=1)
    programme = chained(demand)
    assert programme is not None
    reached = improved(programme, demand, given, until=time.monotonic() + 20, step=lambda what: None)
    assert reached.cuts.rank(10) == (2, 0, -4)
    assert (reached.least_rolls, reached.least_joints) == (2, 0)
