"""Every point of the plane is what lighting that pitch at that depth gives."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lumsim.errors import InputError
from lumsim.search.layouts import with_depth, with_row_pitch, with_rows
from lumsim.search.plane import Plane, evenly, plane_of, plane_parts, plane_row, usual_plane
from lumsim.simulation import ALL_LIGHT, Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

PITCHES = (Fraction(12, 100), Fraction(15, 100), Fraction(2, 10))
DEPTHS = (0.1, 0.2)
EVEN = Requirement(max_to_min=2.0, coefficient_of_variation=0.2)


def plane(lighting: Lighting, leave_out: int | None = None) -> Plane:
    """Light a small plane, perhaps without one of its parts."""
    parts = plane_parts(cabinet(0.15), 0, EVEN, pitches=PITCHES, depths=DEPTHS, lighting=lighting)
    rows = {number: plane_row(part) for number, part in enumerate(parts) if number != leave_out}
    return plane_of(parts, rows, DEPTHS)


@pytest.mark.parametrize(("lighting", "within"), [(DIRECT, 2e-5), (ALL_LIGHT, 3e-3)], ids=["direct", "all"])
def test_each_point_is_a_simulation_of_its_own(lighting: Lighting, within: float) -> None:
    """Numbers and verdict equal those of a whole simulation; with reflected light as far as the plane says itself."""
    found = plane(lighting)
    assert found.finished
    assert (found.error is None) is lighting.direct_only
    assert found.error is None or found.error < within
    for row, depth in zip(found.points, DEPTHS, strict=True):
        assert row is not None
        for point, pitch in zip(row, PITCHES, strict=True):
            whole = simulate(
                with_row_pitch(with_depth(cabinet(0.15), depth), 0, pitch), EVEN, lighting=lighting
            )
            assert (point.pitch, point.depth) == (float(pitch), depth)
            assert point.rows == round(0.6 / float(pitch))
            for name, value in point.numbers.items():
                assert value == pytest.approx(getattr(whole.evenness, name), rel=within), name
            assert point.met is whole.verdict.met
            assert set(point.missed) == {one.name for one in whole.verdict.judged if not one.met}
            assert set(point.numbers) >= {
                "max_to_min",
                "stripe_max_to_min",
                "edge_dimming",
                "coefficient_of_variation",
            }


def test_a_depth_that_was_not_come_to_is_missing_and_said() -> None:
    """The other depths stand; the plane is not finished."""
    found = plane(DIRECT, leave_out=1)
    assert not found.finished
    assert found.points[1] is None
    assert found.points[0] is not None


def test_counts_that_no_pitch_has_are_known() -> None:
    """0.6 m at 0.06, 0.12 and 0.2 m has 10, 5 and 3 rows: 9, 8, 7, 6 and 4 are nowhere."""
    pitches = (Fraction(6, 100), Fraction(12, 100), Fraction(2, 10))
    parts = plane_parts(cabinet(0.15), 0, EVEN, pitches=pitches, depths=DEPTHS, lighting=DIRECT)
    assert plane_of(parts, {0: plane_row(parts[0])}, DEPTHS).skipped == (9, 8, 7, 6, 4)
    assert plane(DIRECT, leave_out=1).skipped == ()


def test_a_plane_tells_between_which_pitches_its_counts_hold() -> None:
    """0.6 m holds 5 rows at 0.12 m as from 0.6/5.5 to 0.6/4.5 m, 4 at 0.15 m and 3 at 0.2 m."""
    expected = [(0.6 / (count + 0.5), 0.6 / (count - 0.5)) for count in (5, 4, 3)]
    assert plane(DIRECT, leave_out=1).alike == tuple(pytest.approx(ends) for ends in expected)


def test_lengths_are_evenly_spaced_with_both_ends() -> None:
    """Four lengths from 1 to 2: a third apart, exactly where that is on a mark."""
    third = Fraction(1, 3)
    assert evenly(Fraction(1), Fraction(2), 4, mark=third) == (3 * third, 4 * third, 5 * third, 6 * third)


def test_lengths_between_the_ends_are_on_marks_and_none_stands_twice() -> None:
    """From 0.95 to 2.05 in six, on marks of a quarter: 1.25, 1.5 and 1.75; the ends are as they were asked for."""
    least, most = Fraction(95, 100), Fraction(205, 100)
    quarter = Fraction(1, 4)
    assert evenly(least, most, 6, mark=quarter) == (least, 5 * quarter, 6 * quarter, 7 * quarter, most)
    assert evenly(least, most, 3, mark=Fraction(2)) == (least, Fraction(2), most)
    assert evenly(least, most, 2, mark=quarter) == (least, most)


def test_the_usual_plane_holds_the_study_s_own_point() -> None:
    """Half to twice the own pitch and depth."""
    (least, most), (shallow, deep) = usual_plane(cabinet(0.15), 0, mark=Fraction(1, 1000))
    assert least <= Fraction(15, 100) <= most
    assert shallow <= 0.15 <= deep


def test_a_depth_without_throw_is_refused() -> None:
    """The least depth must leave the modules a throw."""
    raised = with_rows(cabinet(0.15), 0, z=0.03)
    with pytest.raises(InputError, match="leaves no throw"):
        plane_parts(raised, 0, EVEN, pitches=PITCHES, depths=(0.029, 0.2), lighting=DIRECT)
