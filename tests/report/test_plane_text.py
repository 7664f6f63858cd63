"""The plane as text says what it leaves out, and what a number without a mark may miss."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lumsim.cabinet.places import nearest_count
from lumsim.report.plane_text import plane_lines
from lumsim.search.plane import Plane, PlanePoint
from lumsim.simulation import Simulation, simulate
from tests.cabinets import DIRECT, in_rows

EXTENT = Fraction(9, 10)


@pytest.fixture(scope="module")
def own() -> Simulation:
    """Light some layout."""
    return simulate(in_rows(0.3, 0.3, 0.1, rows=2, modules=2), lighting=DIRECT)


def made(pitches: int, depths: int, *, missed: tuple[str, ...] = ()) -> Plane:
    """Make up a plane all of whose points miss these limits."""
    at = tuple(Fraction(10 + i, 100) for i in range(pitches))
    deep = tuple(0.1 + 0.01 * j for j in range(depths))
    points = [
        tuple(
            PlanePoint(
                pitch=float(pitch), depth=depth, rows=nearest_count(EXTENT, pitch), edge_distance=0.05,
                numbers={"max_to_min": 1.5}, excess=1.1 if missed else 0.9, met=not missed, missed=missed,
                side="front", aged=False,
            )
            for pitch in at
        )
        for depth in deep
    ]  # fmt: skip
    return Plane(pitches=at, alike=((0.0, 1.0),) * pitches, depths=deep, points=tuple(points), error=None)


def text(plane: Plane, own: Simulation, *, judged: bool = True) -> str:
    """Return the lines as one."""
    return "\n".join(plane_lines(plane, own, "mm", judged=judged))


def test_lines_and_columns_left_out_are_counted(own: Simulation) -> None:
    """Of 10 pitches 8 stand in the table and of 14 depths 12; of fewer all, and nothing is said."""
    assert "shown are 8 of 10 pitches and 12 of 14 depths; a picture, CSV or JSON holds all" in text(
        made(10, 14), own
    )
    assert "shown are 12 of 14 depths;" in text(made(8, 14), own)
    assert "shown are" not in text(made(8, 12), own)


def test_a_number_below_its_limit_without_a_mark_is_explained(own: Simulation) -> None:
    """Where points keep max/min and miss stripes, the heading says by what else a point may fail."""
    told = text(made(3, 2, missed=("stripe_max_to_min",)), own)
    assert "max/min, * where the requirement is met (without: not met, by stripes too)" in told
    assert "0 of 6 points meet the requirement" in told
    assert "without:" not in text(made(3, 2, missed=("max_to_min",)), own)
    assert "without:" not in text(made(3, 2), own)
    assert "*" not in text(made(3, 2), own, judged=False)


def test_counts_of_rows_that_no_pitch_has_are_told(own: Simulation) -> None:
    """0.9 m at 0.1, 0.11 and 0.12 m has 9, 8 and 8 rows: none is left out; at 0.1 and 0.18 m 8, 7 and 6 are."""
    assert "no pitch" not in text(made(3, 2), own)
    wide = made(9, 1)
    few = Plane(
        pitches=wide.pitches[::8], alike=wide.alike[::8], depths=wide.depths,
        points=tuple(None if row is None else row[::8] for row in wide.points), error=None,
    )  # fmt: skip
    assert "no pitch looked at has 8, 7, 6 rows: more pitches (pitch_count) would" in text(few, own)
