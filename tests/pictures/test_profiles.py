"""The picture of a face's profiles."""

from __future__ import annotations

import re

import numpy as np
import pytest
from matplotlib.figure import Figure

from lumsim.cabinet.cabinet import Side
from lumsim.pictures.profiles import draw_profiles
from lumsim.pictures.writing import picture_bytes
from lumsim.simulation import Simulation
from lumsim.units import Units, format_length
from tests.pictures.face_drawn import axes_of
from tests.pictures.lettering_found import texts_of, unreadable
from tests.pictures.signs_lit import DRAWN, SIGNS, lit


def profiles(simulation: Simulation, units: Units = "in", side: Side | None = None) -> Figure:
    """Draw profiles under an ordinary title and two facts."""
    facts = ["max/min 2.09 · stripes 1.17", "direct light only"]
    return draw_profiles(simulation, title="An invented sign", units=units, facts=facts, side=side)


@pytest.mark.parametrize(("name", "units"), DRAWN)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str, units: Units) -> None:
    """At any proportion, of one face or two, in inches and millimetres, every label can be read."""
    assert unreadable(profiles(lit(name), units)) == []


@pytest.mark.parametrize("name", ["1:1", "12:1 upright"])
def test_the_mean_drawn_is_that_of_the_face(name: str) -> None:
    """The first line of each panel is the mean of the luminance at right angles, to a part in a thousand."""
    simulation = lit(name)
    figure, visible = profiles(simulation, "mm"), simulation.front.visible
    for label in ("across", "along"):
        along_x = (label == "along") == (SIGNS[name].direction == "horizontal")
        mean = axes_of(figure, label).lines[0].get_xydata()
        start, end = (visible.y0, visible.y1) if along_x else (visible.x0, visible.x1)
        other = start + (np.arange(1000) + 0.5) / 1000 * (end - start)
        for place, value in np.asarray(mean)[::101]:
            here = np.full(1000, place / 1000)
            there = simulation.luminance.at(*((here, other) if along_x else (other, here)))
            assert value == pytest.approx(there.mean(), rel=1e-3)


def test_both_panels_have_one_luminance_axis() -> None:
    """Their axes are alike and level, from the darkest point to the brightest and a little beyond."""
    simulation = lit("1:1")
    figure = profiles(simulation)
    across, along = axes_of(figure, "across"), axes_of(figure, "along")
    assert across.get_ylim() == along.get_ylim()
    assert across.bbox.intervaly == pytest.approx(along.bbox.intervaly)
    low, high = across.get_ylim()
    assert low <= simulation.evenness.darkest.value
    assert simulation.evenness.brightest.value <= high


@pytest.mark.parametrize("name", ["1:1", "12:1 upright", "3:1, double-sided"])
def test_rows_and_modules_are_ticked_where_they_are(name: str) -> None:
    """On the left there is a tick at each row, on the right at each module's place along them."""
    figure, cabinet = profiles(lit(name), "mm"), SIGNS[name]
    (group,) = cabinet.groups
    modules = group.emitters()
    horizontal = cabinet.direction == "horizontal"
    for label, places in (
        ("across", modules.y if horizontal else modules.x),
        ("along", modules.x if horizontal else modules.y),
    ):
        (ticks,) = [line for line in axes_of(figure, "sheet").lines if line.get_gid() == f"{label}-ticks"]
        axes = axes_of(figure, label)
        at = axes.transData.inverted().transform(ticks.get_transform().transform(ticks.get_xydata()))[:, 0]
        np.testing.assert_allclose(at / 1000, np.unique(places.round(9)), atol=1e-6)


def test_cuts_are_told_with_their_place() -> None:
    """The key tells the brightest row's place, which is a row's, and the right panel has its line and the darkest's."""
    simulation, cabinet = lit("1:1"), SIGNS["1:1"]
    figure = profiles(simulation, "mm")
    told = [text for text in texts_of(figure) if text.startswith("along the brightest row, ")]
    rows = [format_length(line, "mm") for line in cabinet.row_lines]
    assert told[0].removeprefix("along the brightest row, ").removesuffix(" from bottom") in rows
    assert len(axes_of(figure, "along").lines) == 3
    assert any(text.startswith("along the darkest line between rows, ") for text in texts_of(figure))


def test_lines_differ_where_colours_cannot_be_seen() -> None:
    """The three lines of the right panel differ by their dashes."""
    figure = profiles(lit("1:1"))
    assert [line.is_dashed() for line in axes_of(figure, "along").lines] == [False, True, True]
    written = picture_bytes(figure, ".svg").decode()
    assert len(set(re.findall(r"stroke-dasharray: ([^;]+);", written))) == 2


@pytest.mark.parametrize("units", ["in", "mm"])
def test_axes_say_their_units(units: Units) -> None:
    """Places are in the study's unit from a return by name, luminance in cd/m²."""
    texts = texts_of(profiles(lit("1:1"), units))
    assert f"y from the bottom return [{units}]" in texts
    assert f"x from the left return [{units}]" in texts
    assert "luminance [cd/m²]" in texts


def test_the_face_is_named_where_there_are_two() -> None:
    """Of two faces the picture says which, and that places are as seen from in front."""
    texts = texts_of(profiles(lit("1:1, double-sided"), "in", "rear"))
    assert "rear face" in texts
    assert "x from the left return, as seen from in front [in]" in texts
    assert "front face" in texts_of(profiles(lit("1:1, double-sided"), "in", "front"))


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_face_has_the_same_bytes(suffix: str) -> None:
    """Drawn twice, the picture is the same file to the byte."""
    assert picture_bytes(profiles(lit("3:1")), suffix) == picture_bytes(profiles(lit("3:1")), suffix)
