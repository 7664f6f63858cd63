"""The building plan: true to scale, every mark at its place, nothing on top of anything else."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

import matplotlib.colors
import numpy as np
import pytest
from matplotlib.collections import PolyCollection

from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.pictures.building_plan import PlanRow, PlanSupply, building_plan
from lumsim.pictures.drawing_paper import RATIOS
from lumsim.pictures.writing import picture_bytes
from lumsim.sheet.strings import row_strings
from lumsim.units import METRES_PER_UNIT
from tests.pictures.lettering_found import texts_of, unreadable
from tests.pictures.signs_built import (
    INCH,
    SIGNS,
    SUPPLIES,
    built,
    cabinet_of,
    plan_of,
    points_of,
    scale_of,
    sheet_of,
)

POINTS_PER_METRE = 72 / 0.0254
"""A point is 1/72 in."""

NAMES = list(SIGNS)


@pytest.mark.parametrize("name", NAMES)
def test_modules_are_true_to_scale(name: str) -> None:
    """All modules' places on the page, times the scale that is told, are their places in the cabinet."""
    cabinet, figure = cabinet_of(name), plan_of(name)
    scale = scale_of(texts_of(figure))
    emitters = cabinet.emitters()
    drawn = points_of(figure, "modules") - points_of(figure, "inside").min(axis=0)
    np.testing.assert_allclose(
        drawn * scale,
        np.column_stack([emitters.x, emitters.y]) * POINTS_PER_METRE,
        rtol=1e-6,
        atol=1e-6 * scale,
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_bar_measures_what_the_plan_shows(name: str) -> None:
    """The bar is as long on the page as its last number says, at the scale that is told; it begins at 0."""
    figure, units = plan_of(name), SIGNS[name][0]
    texts = texts_of(figure)
    ends = points_of(figure, "scale-bar")[:, 0]
    numbers = texts[texts.index("0") :]
    last = float(numbers[len(ends) - 1])
    length = last * float(METRES_PER_UNIT[units]) * POINTS_PER_METRE
    assert (ends[-1] - ends[0]) * scale_of(texts) == pytest.approx(length, rel=1e-6)
    assert numbers[len(ends)].strip() == units


@pytest.mark.parametrize(
    ("name", "page"), [("long", (17, 11)), ("portrait", (11, 17)), ("millimetres", (420, 297))]
)
def test_files_of_lines_are_true_to_scale(name: str, page: tuple[float, float]) -> None:
    """A SVG and a PDF file say how large their page is, and the SVG draws the cabinet to scale on it."""
    cabinet, figure, units = cabinet_of(name), plan_of(name), SIGNS[name][0]
    size = [side * float(METRES_PER_UNIT[units]) * POINTS_PER_METRE for side in page]
    root = ET.fromstring(picture_bytes(figure, ".svg"))
    assert [float(root.attrib[side].removesuffix("pt")) for side in ("width", "height")] == pytest.approx(
        size
    )
    (inside,) = [one for one in root.iter() if one.attrib.get("id") == "inside"]
    numbers = [float(one) for one in re.findall(r"-?[0-9.]+", inside[0].attrib["d"])]
    corners = np.array(numbers).reshape(-1, 2)
    box, scale = cabinet.box, scale_of(texts_of(figure))
    # An SVG file tells its places to a millionth of a point.
    np.testing.assert_allclose(
        np.ptp(corners, axis=0) * scale, np.array([box.width, box.height]) * POINTS_PER_METRE, rtol=1e-5
    )
    media = re.search(rb"/MediaBox \[ ([0-9. ]+) \]", picture_bytes(figure, ".pdf"))
    assert media is not None
    assert [float(one) for one in media[1].split()] == pytest.approx([0, 0, *size])


@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_and_nothing_is_cut_off(name: str) -> None:
    """No two texts share more than a dot, and none lies beyond the page."""
    figure = plan_of(name)
    assert unreadable(figure) == []
    inside = points_of(figure, "inside")
    width, height = figure.get_size_inches() * 72
    assert inside.min() > 0
    assert (inside[:, 0] < width).all()
    assert (inside[:, 1] < height).all()


def test_texts_on_top_of_each_other_would_be_found() -> None:
    """The check above finds a text that is written over another."""
    cabinet = cabinet_of("square")
    figure = building_plan(cabinet, built(cabinet), SUPPLIES, title="Invented sign", units="in")
    texts = [text for text in sheet_of(figure).texts if text.get_text() == "24 in"]
    sheet_of(figure).text(*texts[0].get_position(), "over it", fontsize=8)
    assert unreadable(figure) == ["24 in overlaps over it"]


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_plan_has_the_same_bytes(suffix: str) -> None:
    """Drawn twice, a plan is the same file to the byte."""
    cabinet = cabinet_of("on returns")
    files = [
        picture_bytes(building_plan(cabinet, built(cabinet), SUPPLIES, title="Shop", units="in"), suffix)
        for _ in range(2)
    ]
    assert files[0] == files[1]


@pytest.mark.parametrize("name", NAMES)
def test_every_row_is_numbered_or_the_rest_is_told(name: str) -> None:
    """Each row's number stands at both of its ends, alone or with those behind it, unless a note says which do."""
    texts = texts_of(plan_of(name))
    shown: list[int] = []
    for text in texts:
        if found := re.fullmatch(r"(\d+)–(\d+)", text):
            shown += range(int(found[1]), int(found[2]) + 1)
        elif re.fullmatch(r"\d+", text):
            shown.append(int(text))
    rows = [one.number for one in row_strings(cabinet_of(name))]
    told = " ".join(texts)
    if "numbered of horizontal rows: every 5th" in told:
        rows = [row for row in rows if row == 1 or row % 5 == 0]
    assert all(shown.count(row) >= 2 for row in rows)
    assert ("numbered of" in told) == (name == "dense")


@pytest.mark.parametrize("name", ["square", "vertical", "on returns"])
def test_supports_joints_and_feeds_stand_where_they_are(name: str) -> None:
    """A support lies on its row's line, a joint midway between its modules, a feed's triangle beside its module."""
    cabinet, figure = cabinet_of(name), plan_of(name)
    emitters, scale = cabinet.emitters(), scale_of(texts_of(figure))
    corner = points_of(figure, "inside").min(axis=0)

    def measured(mark: str) -> set[tuple[float, float]]:
        places = (points_of(figure, mark) - corner) * scale / POINTS_PER_METRE
        return {(round(x, 5), round(y, 5)) for x, y in places.tolist()}

    supports: set[tuple[float, float]] = set()
    fed = []
    for row in built(cabinet):
        at = list(row.string.modules)
        x, y = emitters.x[at], emitters.y[at]
        for along in row.supports:
            place = (float(along), y[0]) if row.string.direction == "horizontal" else (x[0], float(along))
            supports.add((round(place[0], 5), round(place[1], 5)))
        fed += [(x[module], y[module]) for module, _ in row.feeds]
    lines = [line.get_gid() for line in sheet_of(figure).lines]
    drawn = {
        mark: set().union(*(measured(one) for one in lines if one and one.startswith(mark)))
        for mark in ("supports", "joints", "feeds")
    }
    assert drawn["supports"] == supports
    # A triangle is at most 0.1 in on paper.
    nearest = [min(np.hypot(x - a, y - b) for a, b in drawn["feeds"]) for x, y in fed]
    assert max(nearest) <= 0.1 * 0.0254 * scale
    joints = [(row, after) for row in built(cabinet) for after in row.joints]
    assert len(drawn["joints"]) == len(joints)
    for row, after in joints:
        one, other = (row.string.modules[after + i] for i in (0, 1))
        middle = (emitters.x[[one, other]].mean(), emitters.y[[one, other]].mean())
        assert min(np.hypot(middle[0] - a, middle[1] - b) for a, b in drawn["joints"]) < 1e-5


def test_openings_are_drawn_to_scale() -> None:
    """What shines of a module is as long and as wide on the page as it is, at the scale; along its row."""
    plain = cabinet_of("vertical")
    (group,) = plain.groups
    assert isinstance(group, Rows)
    opening = (float(2 * INCH), float(INCH / 2))
    cabinet = replace(plain, groups=(replace(group, module=replace(group.module, opening=opening)),))
    figure = building_plan(cabinet, built(cabinet), (), title="Shop", units="in")
    scale = scale_of(texts_of(figure))
    (shapes,) = [one for one in sheet_of(figure).collections if isinstance(one, PolyCollection)]
    corners = np.array([np.asarray(path.vertices)[:4] for path in shapes.get_paths()])
    assert len(corners) == cabinet.modules
    np.testing.assert_allclose(np.ptp(corners, axis=1) * scale, [[0.5, 2.0]] * len(corners), rtol=1e-9)
    assert "module: what shines of it, to scale" in texts_of(figure)


def test_supplies_stand_where_they_are_told_to_or_in_the_strip() -> None:
    """Every supply is numbered once, and the strip says why one is in it."""
    texts = texts_of(plan_of("square"))
    assert "supplies, place not told (boxes not to scale):" in texts
    cabinet = cabinet_of("square")
    rows = [PlanRow(string=one) for one in row_strings(cabinet)]
    sticking = PlanSupply(number=4, at=(1 * INCH, 12 * INCH), size=(7 * INCH, 2 * INCH))
    texts = texts_of(building_plan(cabinet, rows, (*SUPPLIES, sticking), title="Shop", units="in"))
    assert sorted(text for text in texts if re.fullmatch(r"S\d+", text)) == ["S1", "S2", "S3", "S4"]
    assert any("sticking out of the cabinet where they are told to be: S4" in text for text in texts)
    without = texts_of(building_plan(cabinet, rows, (), title="Shop", units="in"))
    assert not [text for text in without if "supplies, place" in text or re.fullmatch(r"S\d+", text)]


def test_the_key_has_the_marks_that_are_there_and_no_others() -> None:
    """A row without supports, feeds and joints brings none of them into the key."""
    cabinet = cabinet_of("long")
    plain = texts_of(
        building_plan(
            cabinet, [PlanRow(string=one) for one in row_strings(cabinet)], (), title="Shop", units="in"
        )
    )
    for mark in ("support", "joint between sections", "feed point, S: its supply"):
        assert mark in texts_of(plan_of("long"))
        assert mark not in plain
    assert "module: its middle" in plain


def test_marks_differ_by_shape() -> None:
    """Modules, supports, feeds and joints are told apart without colour, and none is pale in grey print."""
    lines = {line.get_gid(): line for line in sheet_of(plan_of("double-sided")).lines}
    marks = [lines[name] for name in ("modules", "supports-horizontal", "feeds-above", "joints-horizontal")]
    assert len({mark.get_marker() for mark in marks}) == 4
    for mark in marks:
        # Weights of Rec. 709; edges carry the shape.
        assert np.dot(matplotlib.colors.to_rgb(mark.get_markeredgecolor()), [0.2126, 0.7152, 0.0722]) < 0.45


@pytest.mark.parametrize("name", NAMES)
def test_the_scale_is_a_usual_one_and_told_with_its_paper(name: str) -> None:
    """Scale, paper, units, sizes and the caution are in the title strip."""
    texts, units = texts_of(plan_of(name)), SIGNS[name][0]
    scale = scale_of(texts)
    assert scale in RATIOS[units]
    assert f"scale 1:{scale} on {'11 × 17 in' if units == 'in' else 'A3'}" in texts
    assert "arithmetic, not compliance; see the cautions of the sheet" in texts
    assert f"lengths in {'inches' if units == 'in' else 'millimetres'}, inside dimensions" in texts
    assert f"Invented sign, {name}" in texts


@pytest.mark.parametrize("name", ["long", "double-sided", "portrait"])
def test_the_scale_is_as_large_as_the_paper_allows(name: str) -> None:
    """At the next larger usual scale these cabinets are longer than the paper, 17 in."""
    scale = scale_of(texts_of(plan_of(name)))
    larger = RATIOS["in"][RATIOS["in"].index(scale) - 1]
    box = cabinet_of(name).box
    assert max(box.width, box.height) / 0.0254 / larger > 17


def test_distances_are_told_with_their_pitch() -> None:
    """Equal distances are told once: 4 rows 6 in on centre in 24 in; 24 modules 4 in on centre in 96 in."""
    square = texts_of(plan_of("square"))
    assert {"3 × 6 = 18", "5 × 4 = 20", "3", "2", "24 in"} <= set(square)
    wide = texts_of(plan_of("double-sided"))
    assert {"7 × 6 = 42", "23 × 4 = 92", "96 in", "48 in"} <= set(wide)


def test_distances_of_rows_that_are_not_alike_count_from_the_return() -> None:
    """Eighteen uneven rows each have their distance from the bottom return, and a note says so."""
    texts = texts_of(plan_of("uneven"))
    assert {"4 1/2", "7 1/4", "20 1/2", "26 1/2", "39"} <= set(texts)
    assert any("A: rows 1–18, each from the return" in text for text in texts)


def test_the_section_tells_depth_and_throws() -> None:
    """One face: the throw; two: both, from a plane 4 in above the rear of 9 in, and which face is which."""
    single = texts_of(plan_of("square"))
    assert {"throw 5 in", "depth 5 in", "back", "front"} <= set(single)
    double = texts_of(plan_of("double-sided"))
    assert {"throw to the front 5 in", "throw to the rear 4 in", "depth 9 in", "rear", "front"} <= set(double)
    assert "back" not in double


def test_rows_on_returns_tell_how_deep_they_are() -> None:
    """Rows on a return lie one behind the other from in front; how far from the back is told in words."""
    told = " ".join(texts_of(plan_of("on returns")))
    assert "rows 5–6 on the left return: 1 in, 4 in from the back" in told
    assert "row 7 on the top return: 2 1/2 in from the back" in told


def test_close_rows_tell_their_supplies_by_brackets() -> None:
    """Forty rows, fed by three supplies one after the other: each supply is named once, beyond its rows."""
    cabinet = cabinet_of("forty rows")
    texts = texts_of(building_plan(cabinet, built(cabinet), (), title="Shop", units="in"))
    assert [text for text in texts if re.fullmatch(r"S\d", text)] == ["S1", "S2", "S3"]
    assert any("brackets beyond the row numbers" in text for text in texts)


def test_a_feed_or_joint_beyond_the_row_is_refused() -> None:
    """A module that the row does not have is refused with its row."""
    (first, *_) = row_strings(cabinet_of("square"))
    with pytest.raises(InputError, match="row 1 has 6 modules"):
        PlanRow(string=first, feeds=((6, 1),))
    with pytest.raises(InputError, match="no joint follows 5"):
        PlanRow(string=first, joints=(5,))
    assert PlanRow(string=first, joints=(4,), feeds=((5, None),), supports=(Fraction(1, 10),)).joints == (4,)
