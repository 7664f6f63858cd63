"""The picture of a section through a cabinet."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import Polygon
from numpy.typing import NDArray

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.cabinet import Side
from lumsim.cabinet.rows import Rows
from lumsim.pictures.cabinet_section import draw_cabinet_section
from lumsim.pictures.writing import picture_bytes
from lumsim.simulation import Simulation, simulate
from lumsim.units import Units, format_length
from tests.cabinets import DIRECT, in_rows, listed
from tests.pictures.face_drawn import axes_of
from tests.pictures.lettering_found import texts_of, unreadable
from tests.pictures.signs_built import cabinet_of
from tests.pictures.signs_lit import BORDERED, DRAWN, SIGNS, lit

THICKEST = 1.3
"""Of a ray. [pt]"""


def section(simulation: Simulation, units: Units = "in", side: Side | None = None) -> Figure:
    """Draw a section under an ordinary title and two facts."""
    facts = ["max/min 2.09 · stripes 1.17", "direct light only"]
    return draw_cabinet_section(simulation, title="An invented sign", units=units, facts=facts, side=side)


@cache
def drawn(name: str, units: Units = "in", side: Side | None = None) -> Figure:
    """Draw one of the signs, once."""
    return section(lit(name), units, side)


def rays_of(figure: Figure) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(n, 2, 2) start and end of each ray, across the rows and in the depth [m], and (n,) its thickness [pt]."""
    (rays,) = [
        artist for artist in axes_of(figure, "section").collections if isinstance(artist, LineCollection)
    ]
    return np.array([np.asarray(one) for one in rays.get_segments()]), np.asarray(rays.get_linewidth())


def modules_of(figure: Figure) -> list[NDArray[np.float64]]:
    """Corners of each module on the sheet. [in]"""
    return [
        np.asarray(artist.get_xy())[:4]
        for artist in axes_of(figure, "sheet").patches
        if isinstance(artist, Polygon) and artist.get_gid() == "module"
    ]


def shown(figure: Figure) -> float:
    """How much of the section is drawn. [m]"""
    return float(axes_of(figure, "section").get_xlim()[1])


@pytest.mark.parametrize(("name", "units"), DRAWN)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str, units: Units) -> None:
    """At any proportion, of one face or two, in inches and millimetres, every label can be read."""
    assert unreadable(drawn(name, units)) == []


@pytest.mark.parametrize("side", ["front", "rear"])
def test_either_face_may_be_up(side: str) -> None:
    """Every label can be read whichever face is up."""
    assert unreadable(drawn("3:1, double-sided", "in", "rear" if side == "rear" else "front")) == []


@pytest.mark.parametrize("name", SIGNS)
def test_the_scale_is_the_same_both_ways(name: str) -> None:
    """A metre across the rows is as long on paper as a metre of the depth, and the depth is all drawn."""
    figure, box = drawn(name), SIGNS[name].box
    axes = axes_of(figure, "section")
    across = axes.bbox.width / abs(np.subtract(*axes.get_xlim()))
    deep = axes.bbox.height / abs(np.subtract(*axes.get_ylim()))
    assert across == pytest.approx(deep, rel=1e-9)
    assert sorted(axes.get_ylim()) == pytest.approx([0, box.depth])


@pytest.mark.parametrize("name", SIGNS)
def test_a_section_too_long_for_its_depth_is_drawn_in_part_and_says_so(name: str) -> None:
    """Twelve times as long as deep and more: a break, a stretch, and words; else all of it, and neither."""
    cabinet, figure = SIGNS[name], drawn(name, "mm")
    extent = cabinet.box.height if cabinet.direction == "horizontal" else cabinet.box.width
    broken = [line for line in axes_of(figure, "sheet").lines if line.get_gid() == "break"]
    said = [text for text in texts_of(figure) if text.startswith("drawn: ")]
    assert bool(broken) == bool(said) == (extent >= 12 * cabinet.box.depth)
    if broken:
        assert said[0].startswith(f"drawn: {format_length(shown(figure), 'mm')} from the ")
        assert f"of {format_length(extent, 'mm')} in all" in said[0]
        assert sum(line < shown(figure) for line in cabinet.row_lines) >= 3
        # Whatever is drawn is thick enough to read.
        assert axes_of(figure, "section").bbox.height / figure.dpi > 0.8
    else:
        assert shown(figure) == pytest.approx(extent)


@pytest.mark.parametrize("name", ["1:1", "1:1, double-sided", "12:1 upright", "12:1 upright, double-sided"])
def test_what_is_told_are_the_cabinets_lengths(name: str) -> None:
    """Depth, throws, row pitch, edge distance and visible border are written as the cabinet has them."""
    cabinet = SIGNS[name]
    texts = texts_of(drawn(name, "mm"))
    lines = cabinet.row_lines
    expected = [
        format_length(cabinet.box.depth, "mm"),
        f"row pitch {format_length(lines[1] - lines[0], 'mm')}",
        f"edge distance {format_length(lines[0], 'mm')}",
        "retainer over the visible border, 25.4 mm",
    ]
    expected += (
        ["throw to the front 70 mm", "throw to the rear 50 mm"] if cabinet.double_sided else ["throw 70 mm"]
    )
    for text in expected:
        assert text in texts


@pytest.mark.parametrize("name", ["1:1", "3:1, double-sided"])
def test_modules_stand_at_their_rows_and_heights(name: str) -> None:
    """What shines of each drawn module is where its row is, and as high above the back as its plane is."""
    figure, cabinet = drawn(name, side="front" if "double" in name else None), SIGNS[name]
    axes, sheet = axes_of(figure, "section"), axes_of(figure, "sheet")
    at = []
    for corners in modules_of(figure):
        # One that shines both ways is drawn around its place, any other behind it.
        place = corners.mean(axis=0) if cabinet.double_sided else corners[:2].mean(axis=0)
        at.append(axes.transData.inverted().transform(sheet.transData.transform(place)))
    expected = [(line, 0.05) for line in cabinet.row_lines]
    np.testing.assert_allclose(sorted(map(tuple, at)), expected, atol=1e-6)


def test_tilted_modules_are_drawn_tilted_and_those_on_a_return_upright() -> None:
    """Modules that lean by 20 degrees to the top lie 20 degrees askew; one on the bottom return shines along it."""
    figure = drawn("tilted")
    ahead = []
    for corners in modules_of(figure):
        way = corners[:2].mean(axis=0) - corners[2:].mean(axis=0)
        ahead.append(math.degrees(math.atan2(way[0], way[1])))
    # To the right is towards the top return, up is towards the face.
    assert sorted(ahead) == pytest.approx([20, 20, 20, 20, 90], abs=0.01)


def test_modules_that_shine_along_the_rows_have_no_rays() -> None:
    """A row on the left return, where rows run along the width, is marked, and its rays are not in the section."""
    figure = drawn("on returns")
    assert "module that shines along the rows" in texts_of(figure)
    starts = rays_of(figure)[0][:, 0]
    # The row on the top return, an inch below 24 in; all others are on the back, where the rows of this sign are.
    raised = starts[starts[:, 1] > 0.001]
    assert len(raised)
    np.testing.assert_allclose(raised[:, 0], 23 * 0.0254, atol=1e-6)


@pytest.mark.parametrize("exponent", [1.0, 4.0])
def test_rays_are_as_thick_as_the_intensity_that_way(exponent: float) -> None:
    """At an angle to the axis a ray of a cosine-power beam has the thickness of cosᵐ of it, by the ray on the axis."""
    cabinet = in_rows(0.4, 0.3, 0.12, rows=1, modules=2, beam=CosinePower(exponent=exponent), face=BORDERED)
    segments, widths = rays_of(section(simulate(cabinet, lighting=DIRECT)))
    ways = segments[:, 1] - segments[:, 0]
    angles = np.arctan2(ways[:, 0], ways[:, 1])
    np.testing.assert_allclose(np.diff(np.sort(np.degrees(angles))), 10, atol=1e-6)
    np.testing.assert_allclose(widths, THICKEST * np.cos(angles) ** exponent, rtol=1e-6)


def test_a_weaker_module_has_thinner_rays() -> None:
    """Rays on the axes of modules between two faces stand as their shares of the light do: 3 to 1 for 3/4 and 1/4."""
    double = SIGNS["3:1, double-sided"]
    (group,) = double.groups
    assert isinstance(group, Rows)
    cabinet = replace(double, groups=(replace(group, front_share=0.75),))
    segments, widths = rays_of(section(simulate(cabinet, lighting=DIRECT)))
    ways = segments[:, 1] - segments[:, 0]
    on_axis = np.abs(ways[:, 0]) < 1e-9
    front, rear = on_axis & (ways[:, 1] > 0), on_axis & (ways[:, 1] < 0)
    assert front.sum() == rear.sum() == 2
    np.testing.assert_allclose(widths[front], THICKEST, rtol=1e-9)
    np.testing.assert_allclose(widths[rear], THICKEST / 3, rtol=1e-9)


@pytest.mark.parametrize("name", ["1:1", "1:1, double-sided", "12:1 upright"])
def test_rays_go_straight_to_the_wall_that_they_meet_first(name: str) -> None:
    """Each ends on a face or on a return, and goes there at a whole multiple of ten degrees."""
    cabinet = SIGNS[name]
    segments, _ = rays_of(drawn(name))
    extent = cabinet.box.height if cabinet.direction == "horizontal" else cabinet.box.width
    for start, end in segments:
        assert start[1] == pytest.approx(0.05)
        on_face = math.isclose(end[1], 0.12) or (
            cabinet.double_sided and math.isclose(end[1], 0, abs_tol=1e-9)
        )
        on_return = math.isclose(end[0], 0, abs_tol=1e-9) or math.isclose(end[0], extent)
        assert on_face or on_return
        angle = math.degrees(math.atan2(end[0] - start[0], abs(end[1] - start[1])))
        assert angle / 10 == pytest.approx(round(angle / 10), abs=1e-6)
    upright = np.abs(segments[:, 0, 0] - segments[:, 1, 0]) < 1e-9
    faces = 2 if cabinet.double_sided else 1
    rows = sum(line <= shown(drawn(name)) for line in cabinet.row_lines)
    assert upright.sum() == faces * rows


def test_of_very_many_places_of_modules_some_have_rays_and_the_picture_says_so() -> None:
    """Forty rows close together: rays of 24 of them, and words of it."""
    cabinet = in_rows(0.2, 1.0, 0.12, rows=40, modules=1)
    figure = section(simulate(cabinet, lighting=DIRECT))
    assert "rays are drawn from 24 of 40 places of modules" in texts_of(figure)
    assert len(np.unique(rays_of(figure)[0][:, 0, 0].round(6))) == 24


@pytest.mark.parametrize("name", ["1:1", "12:1 upright"])
def test_the_curve_is_the_mean_along_the_rows_over_its_place(name: str) -> None:
    """The line outside the face is the mean of the luminance along the rows, on the section's own scale of lengths."""
    simulation, figure = lit(name), drawn(name)
    curve, axes = axes_of(figure, "luminance front"), axes_of(figure, "section")
    assert curve.get_xlim() == axes.get_xlim()
    assert curve.bbox.intervalx == pytest.approx(axes.bbox.intervalx)
    assert curve.bbox.y0 > axes.bbox.y1
    (line,) = curve.lines
    horizontal, visible = simulation.cabinet.direction == "horizontal", simulation.front.visible
    start, end = (visible.x0, visible.x1) if horizontal else (visible.y0, visible.y1)
    other = start + (np.arange(1000) + 0.5) / 1000 * (end - start)
    for place, value in np.asarray(line.get_xydata())[::57]:
        here = np.full(1000, place)
        there = simulation.luminance.at(*((other, here) if horizontal else (here, other)))
        assert value == pytest.approx(there.mean(), rel=1e-3)


@pytest.mark.parametrize("up", ["front", "rear"])
def test_two_faces_have_a_curve_each_and_the_one_asked_for_is_up(up: str) -> None:
    """Each curve is outside of its own face and grows away from it; both have the same axis."""
    side: Side = "rear" if up == "rear" else "front"
    simulation = lit("3:1, double-sided")
    figure = drawn("3:1, double-sided", side=side)
    axes = axes_of(figure, "section")
    upper, lower = (
        axes_of(figure, f"luminance {one}")
        for one in (("front", "rear") if up == "front" else ("rear", "front"))
    )
    assert upper.bbox.y0 > axes.bbox.y1
    assert lower.bbox.y1 < axes.bbox.y0
    assert upper.get_ylim() == lower.get_ylim()[::-1]
    # The front is at z = depth.
    assert (axes.get_ylim()[1] > axes.get_ylim()[0]) == (up == "front")
    assert f"numbers of the {up} face, which is up here" in texts_of(figure)
    for one in simulation.faces:
        (line,) = axes_of(figure, f"luminance {one.side}").lines
        place, value = np.asarray(line.get_xydata())[200]
        x = one.visible.x0 + (np.arange(1000) + 0.5) / 1000 * one.visible.width
        assert value == pytest.approx(one.luminance.at(x, np.full(1000, place)).mean(), rel=1e-3)


def test_uneven_rows_have_their_narrowest_and_widest_pitch_told() -> None:
    """Listed rows have no one pitch: the least and the greatest are told."""
    cabinet = cabinet_of("uneven")
    texts = texts_of(section(simulate(cabinet, lighting=DIRECT)))
    gaps = [b - a for a, b in pairwise(cabinet.row_lines)]
    assert f"narrowest row pitch {format_length(min(gaps), 'in')}" in texts
    assert f"widest row pitch {format_length(max(gaps), 'in')}" in texts
    assert "edge distance 1 in" in texts


def test_unlike_edge_distances_are_told_each() -> None:
    """Where the outermost rows are unlike far from the returns both distances are told, each by its return."""
    cabinet = listed(0.4, 0.3, 0.1, [(0.2, 0.06), (0.2, 0.2)])
    texts = texts_of(section(simulate(cabinet, lighting=DIRECT), "mm"))
    assert "edge distance at the bottom 60 mm" in texts
    assert "edge distance at the top 100 mm" in texts


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_sign_has_the_same_bytes(suffix: str) -> None:
    """Drawn twice, the picture is the same file to the byte."""
    assert picture_bytes(section(lit("3:1")), suffix) == picture_bytes(section(lit("3:1")), suffix)
