"""Which cabinets have one pitch of rows, and one of modules."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.pitches import module_pitch_of, row_pitch_of
from lumsim.cabinet.places import Places, listed, place
from lumsim.cabinet.rows import Rows
from tests import cabinets

KIND = Module(name="standard", lumens=90.0)
PLAIN = Rows(module=KIND, direction="horizontal", rows=place(0.9, count=3), modules=place(1.2, count=6))
EDGE = Rows(
    module=KIND, direction="horizontal", on="bottom", rows=place(0.15, count=1), modules=place(1.2, count=6)
)


def at(*places: float) -> Places:
    """List rows across 0.9 m. [m]"""
    return listed(Fraction(9, 10), [Fraction(str(one)) for one in places], units="mm")


def holding(*groups: Rows) -> Cabinet:
    """Put groups into a cabinet of 1.2 × 0.9 × 0.15 m."""
    return Cabinet(box=Box(width=1.2, height=0.9, depth=0.15), face=cabinets.OPAL, groups=groups)


def test_rows_laid_by_a_rule_have_their_pitch() -> None:
    """Three rows across 0.9 m are 0.3 m apart, six modules along 1.2 m 0.2 m; so they are upright."""
    for direction, size in (("horizontal", (1.2, 0.9)), ("vertical", (0.9, 1.2))):
        cabinet = cabinets.in_rows(*size, 0.15, rows=3, modules=6, direction=direction)  # type: ignore[arg-type]
        assert row_pitch_of(cabinet).pitch == pytest.approx(0.3, rel=1e-12)
        assert module_pitch_of(cabinet).pitch == pytest.approx(0.2, rel=1e-12)
        axes = (row_pitch_of(cabinet).along, module_pitch_of(cabinet).along)
        assert axes == (("y", "x") if direction == "horizontal" else ("x", "y"))


def test_listed_rows_have_one_where_they_are_even_to_a_hair() -> None:
    """A hundredth of the pitch off is a hair, more is not; groups alike are taken together."""
    assert row_pitch_of(holding(replace(PLAIN, rows=at(0.1, 0.302, 0.5)))).pitch == pytest.approx(0.2)
    uneven = row_pitch_of(holding(replace(PLAIN, rows=at(0.1, 0.303, 0.5))))
    assert (uneven.pitch, uneven.why_not) == (None, "the rows are not evenly spaced")
    two = holding(replace(PLAIN, rows=at(0.1, 0.5)), replace(PLAIN, rows=at(0.3, 0.7)))
    assert row_pitch_of(two).pitch == pytest.approx(0.2)
    assert row_pitch_of(holding(PLAIN, PLAIN)).pitch is None


def test_rows_on_returns_beside_others_change_no_pitch() -> None:
    """Of a cabinet with rows on the back and on a return the pitch is that of the back's."""
    assert row_pitch_of(holding(PLAIN, EDGE)).pitch == pytest.approx(0.3)
    assert module_pitch_of(holding(PLAIN, EDGE)).pitch == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("cabinet", "of_rows", "of_modules"),
    [
        (cabinets.in_rows(1.2, 0.9, 0.15, rows=1, modules=6), "a single row has no pitch", ""),
        (cabinets.in_rows(1.2, 0.9, 0.15, rows=3, modules=1), "", "a single module in a row has no pitch"),
        (cabinets.in_rows(1.2, 0.9, 0.15, rows=3, modules=6, staggered=True), "", "modules of staggered rows"),
        (cabinets.listed(1.2, 0.9, 0.15, [(0.3, 0.3), (0.9, 0.6)]), "modules that are listed", "modules that are"),
        (holding(EDGE), "rows on a return", "rows on a return"),
        (holding(PLAIN, replace(PLAIN, module=replace(KIND, lumens=50.0))), "groups of rows", "groups of rows"),
        (holding(PLAIN, replace(PLAIN, z=0.02)), "groups of rows are unlike", "groups of rows are unlike"),
        (
            holding(PLAIN, replace(PLAIN, direction="vertical", rows=place(1.2, count=3), modules=place(0.9, count=6))),
            "rows run both ways",
            "rows run both ways",
        ),
    ],
)  # fmt: skip
def test_what_has_no_pitch_says_why(cabinet: Cabinet, of_rows: str, of_modules: str) -> None:
    """Where there is none the reason stands in its place; where there is one, nothing does."""
    for found, why in ((row_pitch_of(cabinet), of_rows), (module_pitch_of(cabinet), of_modules)):
        assert (found.pitch is None) == bool(why)
        assert found.why_not.startswith(why) if why else found.why_not == ""
