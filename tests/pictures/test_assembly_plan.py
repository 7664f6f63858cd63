"""A sign that is put together is drawn as it is built: every support, feed, joint and supply, once."""

from __future__ import annotations

import numpy as np
from matplotlib.text import Text

from lumsim.pictures.assembly_plan import draw_assembly, plan_rows, plan_supplies
from tests.sheet.signs import POWER, STRING, SUPPORTS, built, sign


def test_every_mark_stands_where_the_sheet_says() -> None:
    """Of rows fed in two parts and joined, the marks are the assembly's, counted along the whole row."""
    string = STRING.replace("30", "4") + "most_joints = 2\n"
    found = built(sign(string, SUPPORTS, POWER.replace("25.0", "6.0")))
    assert [one.name for one in found.parts[:2]] == ["1.1", "1.2"]
    rows = plan_rows(found)
    assert [row.string for row in rows] == list(found.rows)
    assert [row.supports for row in rows] == list(found.held.places)
    # Parts of six modules, each of four and two, or two and four: fed at the first of each part.
    assert [place for place, _ in rows[0].feeds] == [0, 6]
    assert [supply for _, supply in rows[0].feeds] == [*found.fed_by[0], *found.fed_by[1]]
    joints = [before - 1 for before in found.joints(0)] + [6 + before - 1 for before in found.joints(1)]
    assert list(rows[0].joints) == joints
    assert len(joints) == 2
    assert {row.cuts for row in rows} == {(5,)}


def test_a_cut_between_parts_is_marked_midway_and_told_in_the_key() -> None:
    """Each row of two parts has one cross between its modules 6 and 7; a row in one part has none, nor the key."""
    for power, crosses in (("6.0", 4), ("25.0", 0)):
        study = sign(STRING, POWER.replace("25.0", power))
        figure = draw_assembly(
            built(study), study.cabinet, supplies_at=(), supply_size=None, title="Corner shop"
        )
        drawn = [
            line for axes in figure.axes for line in axes.lines if str(line.get_gid()) == "cuts-horizontal"
        ]
        assert sum(len(np.atleast_1d(line.get_xdata())) for line in drawn) == crosses
        told = any("cut between parts" in text.get_text() for text in figure.findobj(Text))
        assert told == bool(crosses)


def test_supplies_without_a_place_are_drawn_at_none() -> None:
    """Places are taken in order, as many as are told."""
    study = sign(STRING, POWER, 'supplies_at = [["30 in", "12 in"]]\nsupply_size = ["6 in", "4 in"]\n')
    upkeep = study.building.upkeep
    one, two = plan_supplies(built(study), upkeep.supplies_at, upkeep.supply_size)
    assert (one.number, one.at, one.size) == (1, upkeep.supplies_at[0], upkeep.supply_size)
    assert (two.number, two.at) == (2, None)
    assert plan_supplies(built(sign()), (), None) == ()


def test_a_row_with_two_circuits_is_fed_by_both_their_supplies() -> None:
    """One feed point is told of once for each supply."""
    found = built(sign(STRING, "[power]\nsupply_watts = 12.0\ncircuits_a_row = 2\ninterleaved = true\n"))
    (first, *_) = plan_rows(found)
    assert [place for place, _ in first.feeds] == [0, 0]
    assert len({supply for _, supply in first.feeds}) == 2
