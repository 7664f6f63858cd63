"""A reader is warned where a hair changes how many rows or modules there are."""

from __future__ import annotations

import re

import pytest

from lumsim.cabinet.places import place
from lumsim.report.counting import counting_warnings
from lumsim.report.notes import layout_warnings
from lumsim.study.reading import study_from_text
from lumsim.units import parse_length
from tests.cli.called import SMALL


def told(*changes: str, text: str = SMALL) -> list[str]:
    """Return these warnings of the small study's layout, 16 in high and 12 in wide, with some keys changed."""
    study = study_from_text(text, changes=changes)
    assert set(counting_warnings(study.cabinet, study.units)) <= set(
        layout_warnings(study.cabinet, study.units)
    )
    return counting_warnings(study.cabinet, study.units)


def test_a_face_of_four_and_a_half_pitches_is_warned_of() -> None:
    """36 in at 8 in: five rows, since a half goes up, and four if the pitch is a hair wider."""
    (warning,) = told("cabinet.height=36 in", "rows.pitch=8 in")
    assert warning == (
        "the row pitch, 8 in, is where the count changes: a pitch a hair wider, or a cabinet 1/16 in smaller, has one "
        "row less, 4 instead of 5; count = 5 keeps what is lit here"
    )


def test_the_count_that_is_recommended_keeps_the_layout_and_silences_the_warning() -> None:
    """With the count named, the same rows lie in the same places, and nothing hangs on a hair."""
    assert told("cabinet.height=36 in", "rows.pitch=8 in", "rows.count=5") == []
    assert place(36, pitch=8).positions == place(36, pitch=8, count=5).positions


def test_just_past_the_change_a_narrower_pitch_has_one_row_more() -> None:
    """A hair wider than 8 in there are four rows, and five at 8 in."""
    (warning,) = told("cabinet.height=36 in", "rows.pitch=8.001 in")
    assert "a pitch a hair narrower, or a cabinet 1/16 in larger, has one row more, 5 instead of 4" in warning


@pytest.mark.parametrize(
    ("height", "warned"),
    [
        ("36 1/8 in", 0),
        ("36 1/16 in", 0),
        ("36 1/32 in", 1),
        ("36 in", 1),
        ("35 15/16 in", 1),
        ("35 7/8 in", 0),
    ],
)
def test_a_mark_of_the_tape_measure_is_what_counts_as_a_hair(height: str, warned: int) -> None:
    """Within a sixteenth of an inch of four and a half pitches, on either side; a whole mark above it is enough."""
    assert len(told(f"cabinet.height={height}", "rows.pitch=8 in")) == warned


@pytest.mark.parametrize("height", ["900 mm", "899.5 mm", "901.5 mm"])
def test_the_warning_comes_where_a_cabinet_a_mark_off_is_laid_otherwise(height: str) -> None:
    """Four and a half pitches of 200 mm, a millimetre either way, by laying the rows anew."""
    pitch, mark, high = parse_length("200 mm"), parse_length("1 mm"), parse_length(height)
    others = {place(high + off, pitch=pitch).count for off in (-mark, mark)}
    changes = ("units=mm", f"cabinet.height={height}", "rows.pitch=200 mm")
    assert len(told(*changes)) == len(others - {place(high, pitch=pitch).count})


@pytest.mark.parametrize(
    "changes",
    [
        ["rows.count=4"],
        ["rows.pitch=", "rows.count=4"],
        ["rows.pitch=", "rows.count=4", "rows.edge_distance=2 in"],
        ["rows.pitch=", 'rows.at=["2 in", "6 in", "10 in"]'],
        ["rows.pitch=30 in"],
    ],
)
def test_rows_that_do_not_hang_on_a_pitch_are_not_warned_of(changes: list[str]) -> None:
    """By count, by edge distance, by list, or one row that no hair makes two."""
    assert told(*changes) == []


def test_modules_along_a_row_are_counted_likewise() -> None:
    """12 in of 8 in each is one and a half: two modules, or one."""
    (warning,) = told("rows.module_pitch=8 in")
    assert "the module pitch, 8 in, is where the count changes" in warning
    assert "has one module less, 1 instead of 2 in each row; module_count = 2 keeps" in warning


def test_the_group_is_named_where_there_are_several() -> None:
    """Rows are counted from 1."""
    text = SMALL.replace(
        "[requirement]", '[[rows]]\npitch = "32/7 in"\nmodule_pitch = "4 in"\n\n[requirement]'
    )
    (warning,) = told(text=text)
    assert re.match(r"the row pitch of rows 2, 4 9/16 in, is where", warning)


def test_pitches_finer_than_the_marks_are_not_warned_of_by_dozens() -> None:
    """One warning for each side at most, whatever the count."""
    assert len(told("rows.pitch=1/16 in")) <= 2
