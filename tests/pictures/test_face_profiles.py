"""Profiles of a lit face as numbers."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.pictures.face_profiles import cuts_along, profiles_of
from lumsim.simulation import simulate
from lumsim.study.answering import answer
from lumsim.study.reading import read_study
from lumsim.uniformity.spots import Spots
from tests.cabinets import DIRECT, in_rows
from tests.pictures.signs_lit import BORDERED, SIGNS, lit


@pytest.mark.parametrize(("name", "axes"), [("3:1", "yx"), ("12:1 upright", "xy")])
def test_the_first_profile_is_across_the_rows_and_the_second_along_them(name: str, axes: str) -> None:
    """Rows along the width are crossed by y, rows along the height by x; places are the visible face, in metres."""
    face = lit(name).front
    profiles = profiles_of(face)
    assert "".join(one.axis for one in profiles) == axes
    for one in profiles:
        visible = face.visible
        ends = (visible.x0, visible.x1) if one.axis == "x" else (visible.y0, visible.y1)
        assert (one.places[0], one.places[-1]) == pytest.approx(ends, rel=1e-12)
        assert one.places_in("mm") == pytest.approx(1000 * one.places)
        assert one.places_in("in") == pytest.approx(one.places / 0.0254)


@pytest.mark.parametrize("name", ["3:1", "12:1 upright"])
def test_mean_lowest_and_highest_are_those_of_the_light(name: str) -> None:
    """At a place of a profile they are what asking the face for a thousand points at right angles gives."""
    face = lit(name).front
    for one in profiles_of(face):
        start, end = (
            (face.visible.y0, face.visible.y1) if one.axis == "x" else (face.visible.x0, face.visible.x1)
        )
        other = np.linspace(start, end, 1001)
        for number in range(0, len(one.places), 83):
            here = np.full(1001, one.places[number])
            there = face.luminance.at(*((here, other) if one.axis == "x" else (other, here)))
            assert one.mean[number] == pytest.approx(np.trapezoid(there) / 1000, rel=1e-3)
            assert one.low[number] == pytest.approx(there.min(), rel=3e-3)
            assert one.high[number] == pytest.approx(there.max(), rel=3e-3)


@pytest.mark.parametrize("name", ["1:1", "12:1 upright"])
def test_cuts_run_along_a_row_and_between_rows(name: str) -> None:
    """The brightest is on the row of the highest mean, the darkest midway between two rows and darker than any."""
    simulation, cabinet = lit(name), SIGNS[name]
    lines = cabinet.row_lines
    brightest, darkest = cuts_along(simulation.front, lines)
    assert brightest is not None
    assert darkest is not None
    assert min(abs(darkest.at - (a + b) / 2) for a, b in pairwise(lines)) < 0.01
    _, along = profiles_of(simulation.front)

    def along_line(place: float) -> NDArray[np.float64]:
        here = np.full(len(along.places), place)
        return simulation.front.luminance.at(
            *((along.places, here) if along.axis == "x" else (here, along.places))
        )

    means = [along_line(line).mean() for line in lines]
    assert brightest.at in lines
    assert along_line(brightest.at).mean() == pytest.approx(max(means), rel=1e-5)
    assert darkest.values.mean() < min(means)
    for cut in (brightest, darkest):
        np.testing.assert_allclose(cut.values, along_line(cut.at), rtol=1e-9)


def test_a_single_row_has_nothing_between_rows() -> None:
    """With one row there is its own cut, and none between rows."""
    brightest, darkest = cuts_along(lit("12:1").front, SIGNS["12:1"].row_lines)
    assert brightest is not None
    assert brightest.at == pytest.approx(0.1)
    assert darkest is None


def test_a_row_behind_the_retainer_has_no_cut() -> None:
    """A single row that the retainer hides is not on the visible face."""
    face = simulate(in_rows(0.3, 0.3, 0.1, rows=1, modules=3, face=BORDERED), lighting=DIRECT).front
    assert cuts_along(face, (0.01,)) == (None, None)


def test_fall_to_the_edge_is_no_dark_line() -> None:
    """Where luminance only falls from the middle to the edges, no line between rows is told as a dark one."""
    study = read_study("studies/tannery-row.toml")
    lit = answer(study, direct_only=True).worse
    across, _ = profiles_of(lit)
    steps = np.sign(np.diff(across.mean))
    assert (np.diff(steps[steps != 0]) != 0).sum() == 1
    assert cuts_along(lit, study.cabinet.row_lines)[1] is None


def test_profiles_need_no_spots() -> None:
    """A profile is drawn while a slider moves: spots, which take as long as the light, are not looked for."""

    def looked() -> Spots:
        raise AssertionError("spots were looked for")

    face = lit("3:1").front
    across, along = profiles_of(replace(face, find_spots=looked))
    assert (across.axis, along.axis) == ("y", "x")
