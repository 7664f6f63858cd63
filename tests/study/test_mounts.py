"""What a study says of what rows are on, of turns and tilts: what is taken, what is refused and how."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.cabinet.orientation import turn_and_tilt
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.report.light_text import cabinet_text
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests.study.test_form import complaints
from tests.study.written import changed, line_of, problem, problems

ROWS = 'module = "standard"\nz = "0.5 in"\npitch = "8 in"\nmodule_pitch = "4 in"\n'

TWO = changed(('depth = "6 in"', 'depth = "6 in"\nfaces = 2'), ("back_reflectance", "return_reflectance"))
"""The sign of ``written.py``, 48 by 24 by 6 in, with two faces."""


def rows(said: str, *, text: str | None = None, module: str = "") -> str:
    """Return the sign with other lines under its only group of rows, and more under its module."""
    whole = changed() if text is None else text
    assert ROWS in whole
    return whole.replace(ROWS, f"{said}\n", 1).replace("lumens = 90.0", f"lumens = 90.0\n{module}", 1)


def group_of(study: Study) -> Rows:
    """Return the only group, laid by a rule."""
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    return group


@pytest.mark.parametrize(
    ("on", "place", "axis", "along"),
    [
        ("left", (0.0254, None, 0.0508), (1, 0, 0), 1),
        ("right", (47 * 0.0254, None, 0.0508), (-1, 0, 0), 1),
        ("bottom", (None, 0.0254, 0.0508), (0, 1, 0), 0),
        ("top", (None, 23 * 0.0254, 0.0508), (0, -1, 0), 0),
    ],
)
def test_rows_on_a_return_run_along_it_and_shine_inwards(
    on: str, place: tuple[float | None, ...], axis: tuple[int, int, int], along: int
) -> None:
    """A row an inch above a return, 2 in above the back, runs along that return and shines at the one opposite."""
    text = rows(f'on = "{on}"\nz = "1 in"\nat = ["2 in"]\nmodule_pitch = "4 in"')
    assert complaints(text) == []
    study = study_from_text(text)
    emitters = study.cabinet.emitters()
    for values, expected in zip((emitters.x, emitters.y, emitters.z), place, strict=True):
        if expected is not None:
            np.testing.assert_allclose(values, expected, rtol=1e-12)
    places = emitters.x if along == 0 else emitters.y
    np.testing.assert_allclose(np.diff(places), 4 * 0.0254, rtol=1e-9)
    assert len(places) == (12 if along == 0 else 6)
    assert (emitters.frames[:, 2] == axis).all()
    # A direction along a return is no choice, so it is no default.
    assert "rows.direction" not in dict(study.defaults)


def test_where_rows_on_a_return_are_is_counted_across_the_depth() -> None:
    """Pitch, count and edge distance lie between back and face: 6 in."""
    for said, expected in (
        ("count = 1", [3]),
        ("count = 2", [1.5, 4.5]),
        ('pitch = "2 in"', [1, 3, 5]),
        ('count = 2\nedge_distance = "1 in"', [1, 5]),
        ('at = ["1 in", "2 1/2 in"]', [1, 2.5]),
    ):
        group = group_of(study_from_text(rows(f'on = "left"\n{said}')))
        assert [float(p) / 0.0254 for p in group.rows.positions] == pytest.approx(expected, rel=1e-12)
        assert dict(study_from_text(rows(f'on = "left"\n{said}')).defaults)["rows.z"] == "0 in"


def test_a_double_sided_cabinet_may_be_lit_from_its_returns() -> None:
    """There rows on returns are counted from the rear face, and shine at both."""
    study = study_from_text(rows('on = "top"\nat = ["2 in"]', text=TWO))
    assert group_of(study).front_share == 1
    assert "rows.front_share" not in dict(study.defaults)
    np.testing.assert_allclose(study.cabinet.emitters().z, 0.0508)
    assert answer(study, direct_only=True).rear is not None


@pytest.mark.parametrize(
    ("on", "direction", "tilt", "axis"),
    [
        ("back", "horizontal", 30, (0, 0.5, math.sqrt(0.75))),
        ("back", "horizontal", -30, (0, -0.5, math.sqrt(0.75))),
        ("back", "vertical", 30, (0.5, 0, math.sqrt(0.75))),
        ("left", None, 30, (math.sqrt(0.75), 0, 0.5)),
        ("right", None, 30, (-math.sqrt(0.75), 0, 0.5)),
        ("bottom", None, -30, (0, math.sqrt(0.75), -0.5)),
        ("top", None, 30, (0, -math.sqrt(0.75), 0.5)),
        ("top", None, 90, (0, 0, 1)),
    ],
)
def test_a_tilt_leans_to_the_top_or_the_right_and_on_a_return_to_the_face(
    on: str, direction: str | None, tilt: int, axis: tuple[float, float, float]
) -> None:
    """Above 0 towards the top, of vertical rows the right, on every return the face; below 0 the other way."""
    runs = "" if direction is None else f'direction = "{direction}"\n'
    study = study_from_text(rows(f'on = "{on}"\n{runs}count = 1\ntilt = "{tilt} deg"'))
    np.testing.assert_allclose(study.cabinet.emitters().frames[0, 2], axis, atol=1e-15)
    assert group_of(study).tilt == math.radians(tilt)


def test_a_turn_is_counterclockwise_as_seen_from_the_side_that_is_lit() -> None:
    """Turned by 90 degrees, what lay to the right along a row on the back points to the top."""
    study = study_from_text(rows('pitch = "8 in"\nturn = "90 deg"'))
    np.testing.assert_array_equal(study.cabinet.emitters().frames[0], [[0, 1, 0], [-1, 0, 0], [0, 0, 1]])


@given(
    turn=st.integers(-179, 180),
    tilt=st.integers(-89, 89),
    vertical=st.booleans(),
)
def test_a_frame_tells_its_turn_and_tilt(turn: int, tilt: int, vertical: bool) -> None:
    """What a study says of turn and tilt is read back from the way its modules point."""
    direction = "vertical" if vertical else "horizontal"
    said = f'direction = "{direction}"\nturn = "{turn} deg"\ntilt = "{tilt} deg"\n'
    laid = study_from_text(rows(f'{said}pitch = "8 in"')).cabinet.emitters().frames[0]
    found = turn_and_tilt(laid, "vertical" if vertical else "horizontal")
    assert np.degrees(found) == pytest.approx((turn, tilt), abs=1e-9)


def test_a_list_leans_as_its_group_says(tmp_path: Path) -> None:
    """Turn and tilt are the group's, for every module of the list."""
    (tmp_path / "built.csv").write_text("x_in,y_in\n4,4\n8,8\n", encoding="utf-8")
    said = 'turn = "90 deg"\ntilt = "-20 deg"\n'
    listed = study_from_text(rows(f'{said}positions = "built.csv"'), folder=tmp_path)
    laid = study_from_text(rows(f'{said}pitch = "8 in"'))
    (group,) = listed.cabinet.groups
    assert isinstance(group, ListedModules)
    np.testing.assert_array_equal(group.placed.frames, laid.cabinet.emitters().frames[:2])
    assert "on the back, turned 90 deg, tilted 20 deg towards the bottom" in "\n".join(cabinet_text(listed))


@pytest.mark.parametrize(
    ("said", "key", "message"),
    [
        (
            'on = "left"\ndirection = "horizontal"\ncount = 1',
            "direction",
            'rows on the left return run along it: leave it out, or write "vertical"',
        ),
        (
            'on = "top"\ndirection = "vertical"\ncount = 1',
            "direction",
            'rows on the top return run along it: leave it out, or write "horizontal"',
        ),
        (
            'on = "left"\nfront_share = 1\ncount = 1',
            "front_share",
            "modules on a return shine inwards, all their light: leave it out",
        ),
        (
            'on = "left"\npositions = "built.csv"',
            "on",
            "lay the rows on the left return by pitch, count or at",
        ),
        (
            'on = "left"\nz = "48 in"\ncount = 1',
            "z",
            "48 in above the left return there is no room: it must be at most 1 mm less than the 48 in",
        ),
        (
            'on = "top"\nz = "24 in"\ncount = 1',
            "z",
            "at most 1 mm less than the 24 in to the return opposite",
        ),
        (
            'on = "left"\nat = ["6 in"]',
            "at",
            "a row on the left return would be 0 in from the face: at least 1 mm",
        ),
        ('on = "left"\ncount = 2\nedge_distance = "0 in"', "edge_distance", "would be 0 in from the face"),
        (
            'on = "left"\nat = ["6 1/2 in"]',
            "at",
            "a row at 6 1/2 in is outside the cabinet, which ends at 6 in",
        ),
        ('on = "roof"\ncount = 1', "on", 'or a return: "left", "right", "bottom" or "top", got \'roof\''),
        ('pitch = "8 in"\ntilt = "91 deg"', "tilt", "must be from -90 deg to 90 deg, got 91 deg"),
        ('pitch = "8 in"\ntilt = 20', "tilt", 'must be an angle in quotes such as "20 deg", got 20'),
        ('pitch = "8 in"\nturn = "400 deg"', "turn", "must be from -360 deg to 360 deg, got 400 deg"),
    ],
)
def test_rows_that_cannot_be_so_are_refused(said: str, key: str, message: str) -> None:
    """What does not fit is told once, at its line and key, with what would be right."""
    text = rows(said)
    found = problem(text)
    assert (found.line, found.key) == (line_of(text, f"{key} ="), f"rows.1.{key}")
    assert message in found.text


def test_rows_on_a_return_must_say_where_they_are() -> None:
    """As with other rows nothing is taken for granted; what would be right is told for the depth."""
    text = rows('on = "left"\nmodule_pitch = "4 in"')
    found = problem(text)
    assert (found.line, found.key) == (line_of(text, "[[rows]]"), "rows.1")
    assert found.text == (
        "says nothing of where the rows are across the depth: give count = 1 for one midway, or pitch, or count with "
        'edge_distance, or at = ["1 1/2 in"] above the back'
    )


def test_rows_on_a_return_keep_off_both_faces() -> None:
    """In a double-sided cabinet 1 mm is needed to the rear face too."""
    found = problem(rows('on = "left"\nat = ["0 in", "3 in"]', text=TWO))
    assert found.key == "rows.1.at"
    assert "would be 0 in from the rear face: at least 1 mm is needed" in found.text
    found = problem(rows('on = "left"\nat = ["6 in"]', text=TWO))
    assert "would be 0 in from the front face: at least 1 mm is needed" in found.text


def test_the_front_face_is_called_so_where_there_are_two() -> None:
    """An LED too near the front face of a double-sided cabinet is told so."""
    leds = 'leds = [["0 in", "-1 in"], ["0 in", "1 in"]]'
    text = rows('z = "5 in"\npitch = "8 in"\ntilt = "90 deg"', module=leds, text=TWO)
    assert any("too near the front face: at least 1 mm is needed" in one.text for one in problems(text))


@pytest.mark.parametrize(
    ("said", "leds", "key", "message"),
    [
        (
            'z = "1/2 in"\npitch = "8 in"\ntilt = "90 deg"',
            '[["0 in", "-1 in"], ["0 in", "1 in"]]',
            "z",
            "an LED would be 1/2 in past the back: z must be at least 1 in; so would less tilt",
        ),
        (
            'z = "5 in"\npitch = "8 in"\ntilt = "90 deg"',
            '[["0 in", "-1 in"], ["0 in", "1 in"]]',
            "z",
            "too near the face: at least 1 mm is needed to a face: z must be at most 4 15/16 in",
        ),
        (
            'pitch = "8 in"\nmodule_count = 2\nmodule_edge_distance = "1/2 in"',
            '[["-1 in", "0 in"], ["1 in", "0 in"]]',
            "module_edge_distance",
            "an LED would be 1/2 in past the left return: modules must be 1 in or more from it",
        ),
        (
            'pitch = "8 in"\nmodule_count = 2\nmodule_edge_distance = "0.99 in"',
            '[["-1 in", "0 in"], ["1 in", "0 in"]]',
            "module_edge_distance",
            "an LED would be 0.01 in past the left return: modules must be 1 in or more from it",
        ),
        (
            'at = ["12 in", "23 1/2 in"]',
            '[["0 in", "-1 in"], ["0 in", "1 in"]]',
            "at",
            "an LED would be 1/2 in past the top return: rows must be 1 in or more from it (edge_distance,",
        ),
        (
            'on = "left"\nat = ["1/2 in"]',
            '[["0 in", "-1 in"], ["0 in", "1 in"]]',
            "at",
            "an LED would be 1/2 in past the back: rows must be 1 in or more from it",
        ),
        (
            'on = "right"\ncount = 1\nz = "1/2 in"\ntilt = "90 deg"',
            '[["0 in", "-1 in"], ["0 in", "1 in"]]',
            "z",
            "an LED would be 1/2 in past the right return: z must be at least 1 in; so would less tilt",
        ),
    ],
)
def test_an_led_that_sticks_out_is_refused_at_the_key_that_cures_it(
    said: str, leds: str, key: str, message: str
) -> None:
    """Which LED is past which wall by how much is told, and what would bring it in; done so, it is in."""
    text = rows(said, module=f"leds = {leds}")
    found = problems(text)
    assert any(message in one.text for one in found)
    assert all((one.line, one.key) == (line_of(text, f"{key} ="), f"rows.1.{key}") for one in found)


def test_the_cure_that_is_told_cures() -> None:
    """With the z that the refusal names the study is taken."""
    said = 'z = "{}"\npitch = "8 in"\ntilt = "90 deg"'
    leds = 'leds = [["0 in", "-1 in"], ["0 in", "1 in"]]'
    problem(rows(said.format("15/16 in"), module=leds))
    study_from_text(rows(said.format("1 in"), module=leds))
    study_from_text(rows(said.format("4 15/16 in"), module=leds))
    problem(rows(said.format("5 in"), module=leds))


def test_a_module_that_is_larger_than_the_cabinet_is_told_so() -> None:
    """Where no z brings its LEDs in, none is named."""
    found = problems(
        rows(
            'z = "1 in"\npitch = "8 in"\ntilt = "90 deg"',
            module='leds = [["0 in", "-9 in"], ["0 in", "9 in"]]',
        )
    )
    assert any("the module is too large for this cabinet" in one.text for one in found)
    assert all("z must be" not in one.text for one in found)


def test_an_led_of_a_listed_module_that_sticks_out_is_told_with_its_line(tmp_path: Path) -> None:
    """The CSV file's line and column are named."""
    (tmp_path / "built.csv").write_text("x_in,y_in\n4,4\n1/2,8\n", encoding="utf-8")
    text = rows('positions = "built.csv"', module='leds = [["-1 in", "0 in"], ["1 in", "0 in"]]')
    (found,) = problems(text, folder=tmp_path)
    assert (found.where, found.line, found.key) == (str(tmp_path / "built.csv"), 3, "x")
    assert found.text == "an LED of this module would be 1/2 in past the left return"


def test_what_rests_on_a_size_that_is_refused_is_not_told() -> None:
    """Beside a depth that is badly written no row is said to be too near the face."""
    text = rows('on = "left"\nat = ["6 in"]').replace('depth = "6 in"', "depth = 6", 1)
    assert [one.key for one in problems(text)] == ["cabinet.depth"]


def test_mounts_can_be_tried_without_editing() -> None:
    """--set reaches on, tilt and turn, with the same messages."""
    tried = study_from_text(changed(), changes=["rows.on=left", "rows.pitch=2 in", "rows.tilt=10 deg"])
    assert (group_of(tried).on, group_of(tried).rows.count) == ("left", 3)
    found = problem(changed(), ["rows.tilt=100 deg"])
    assert (found.where, found.key) == ("--set", "rows.1.tilt")


def test_facing_rows_on_returns_light_a_face_alike_on_both_sides() -> None:
    """Rows on left and right returns, alike, light the face as its own mirror image."""
    two = rows('on = "left"\ncount = 1\ntilt = "10 deg"').replace(
        "[requirement]", '[[rows]]\non = "right"\ncount = 1\ntilt = "10 deg"\n\n[requirement]', 1
    )
    lit = answer(study_from_text(two))
    x, y = np.array([0.2, 0.05, 0.6]), np.array([0.3, 0.1, 0.25])
    left = lit.luminance.at(x, y)
    np.testing.assert_allclose(lit.luminance.at(48 * 0.0254 - x, y), left, rtol=1e-6)
    assert lit.ledger.balance_error < 1e-6
