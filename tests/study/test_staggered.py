"""``staggered`` in a study: what it means, what is refused, and how it is told."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from lumsim.cabinet.rows import Rows
from lumsim.report.document import study_part
from lumsim.report.notes import layout_warnings
from lumsim.report.rows_text import rows_lines
from lumsim.search.asked import FewestAsked
from lumsim.search.fewest import fewest
from lumsim.search.layouts import with_row_pitch
from lumsim.simulation import Lighting
from lumsim.study.reading import Study, read_study, study_from_text
from lumsim.study.saving import changed_rows, saved_study
from lumsim.uniformity.requirement import Requirement
from tests.study.written import SIGN, changed, problem, problems

INCH = Fraction(254, 10_000)
STAGGERED = changed(('module_pitch = "4 in"', 'module_pitch = "4 in"\nstaggered = true'))


def rows_of(study: Study) -> Rows:
    """Return the only group."""
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    return group


def test_rows_are_staggered_where_a_study_says_so() -> None:
    """Of 4 in on centre an inch: the first of row 1 is 3 in from the left, that of row 2 1 in; false moves none."""
    assert rows_of(study_from_text(STAGGERED)).first_modules == (3 * INCH, INCH, 3 * INCH)
    straight = study_from_text(STAGGERED.replace("staggered = true", "staggered = false"))
    assert rows_of(straight) == rows_of(study_from_text(SIGN))


@pytest.mark.parametrize(
    ("text", "key", "what"),
    [
        (STAGGERED.replace("true", '"yes"'), "staggered", "must be true or false, without quotes, got 'yes'"),
        (STAGGERED.replace("true", "1"), "staggered", "must be true or false, without quotes, got 1"),
        (STAGGERED.replace('z = "0.5 in"', 'on = "top"'), "staggered", "not on a return: leave it out"),
        (STAGGERED.replace('pitch = "8 in"', "count = 1"), "staggered", "a single row has none beside it"),
        (STAGGERED.replace('module_pitch = "4 in"', "module_count = 1"), "staggered", "a single module in each row"),
        (
            STAGGERED.replace('module_pitch = "4 in"', 'module_count = 12\nmodule_edge_distance = "1 in"'),
            "module_edge_distance",
            "must be at least a quarter of the module pitch",
        ),
        (
            STAGGERED.replace('module_pitch = "4 in"', 'module_count = 12\nmodule_pitch = "4 1/4 in"'),
            "staggered",
            "brings modules 5/8 in from the return past it",
        ),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused_with_what_would_be_right(text: str, key: str, what: str) -> None:
    """One problem at its key: no flag, a return, nothing beside it, no module pitch, past the return."""
    one = problem(text)
    assert one.key.endswith(f".{key}")
    assert what in one.text


def test_listed_modules_are_not_staggered(tmp_path: Path) -> None:
    """A list says where each module is."""
    (tmp_path / "built.csv").write_text("x_in,y_in\n3,4\n20,12\n")
    text = STAGGERED.replace('pitch = "8 in"\nmodule_pitch = "4 in"', 'positions = "built.csv"')
    (one,) = problems(text, folder=tmp_path)
    assert (one.key, one.text) == (
        "rows.1.staggered", "the modules are listed by positions, which are not moved: leave it out",
    )  # fmt: skip


def test_leds_that_a_stagger_brings_past_the_return_are_refused() -> None:
    """LEDs 2 in beside their modules' middles, an inch from the return, would be an inch past it."""
    text = STAGGERED.replace("lumens = 90.0", 'lumens = 90.0\nleds = [["-2 in", "0 in"], ["2 in", "0 in"]]')
    told = problems(text)
    assert {one.key for one in told} == {"rows.1.module_pitch"}
    assert all(
        "module_edge_distance, from which staggered rows are moved, must be 3 in or more" in one.text
        for one in told
    )


def test_openings_that_a_stagger_brings_past_the_return_are_warned_of() -> None:
    """An opening of 3 in, an inch from the return, sticks out by half an inch, and only staggered."""
    opening = 'lumens = 90.0\nopening = ["3 in", "1/4 in"]'
    for text, out in ((SIGN, False), (STAGGERED, True)):
        study = study_from_text(text.replace("lumens = 90.0", opening))
        told = " ".join(layout_warnings(study.cabinet, "in"))
        assert ("sticks out 1/2 in past the left return" in told) is out


def test_rows_in_words_say_where_each_begins() -> None:
    """A person with a tape measure starts at 3 in in one row and at 1 in in the next."""
    told = " ".join(rows_lines(study_from_text(STAGGERED).cabinet, "in"))
    assert (
        "12 modules 4 in on centre in each; staggered, edge distance 3 in left, 1 in right in rows 1, 3 and so on, "
        "1 in left, 3 in right in rows 2, 4 and so on" in told
    )


def test_the_document_says_where_each_row_begins() -> None:
    """In JSON: the first module of each row, and the outermost of all."""
    (told,) = study_part(study_from_text(STAGGERED))["rows"]
    assert told["staggered"] is True
    np.testing.assert_allclose(told["first_modules_m"], [0.0762, 0.0254, 0.0762])
    np.testing.assert_allclose(told["module_edge_distances_m"], [0.0254, 0.0254])
    (straight,) = study_part(study_from_text(SIGN))["rows"]
    assert straight["staggered"] is False
    np.testing.assert_allclose(straight["first_modules_m"], [0.0508] * 3)


def test_dark_edges_are_warned_of_by_the_mean_of_the_rows() -> None:
    """Ten modules 4 in on centre end 6 in from the returns in the mean, which is too far."""
    text = STAGGERED.replace('module_pitch = "4 in"', 'module_pitch = "4 in"\nmodule_count = 10')
    told = " ".join(layout_warnings(study_from_text(text).cabinet, "in"))
    assert (
        "the outermost module is 6 in, in the mean of staggered rows, from the left and right returns" in told
    )
    assert "outermost module" not in " ".join(layout_warnings(study_from_text(STAGGERED).cabinet, "in"))


def test_a_staggered_layout_is_saved_as_one(tmp_path: Path) -> None:
    """Laid at another pitch the rows stay staggered; a single row left of them is not."""
    source = tmp_path / "sign.toml"
    source.write_text(STAGGERED)
    study = read_study(source)
    laid = with_row_pitch(study.cabinet, 0, 6 * INCH)
    text = saved_study(source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid))
    assert text.count("staggered = true") == 1
    alone = with_row_pitch(study.cabinet, 0, 20 * INCH)
    text = saved_study(source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, alone))
    assert "staggered" not in text
    source.write_text(SIGN)
    rows = rows_of(study_from_text(STAGGERED))
    assert "staggered = true" in saved_study(source, tmp_path / "b.toml", rows={0: rows})


def test_a_search_tries_only_what_can_be_staggered() -> None:
    """With edge distances down to nothing the fewest staggered modules still leave a quarter of a pitch."""
    cabinet = study_from_text(STAGGERED, changes=["cabinet.width=24 in", "cabinet.height=16 in"]).cabinet
    found = fewest(
        cabinet, 0, Requirement(max_to_min=4.0),
        FewestAsked(edge_distance=(0.0, 0.1), row_pitch=(0.1, 0.3), module_pitch=(0.1, 0.7)),
        mark=INCH / 2, lighting=Lighting(direct_only=True),
    )  # fmt: skip
    assert found.exact is not None
    rows = found.exact.moved
    assert rows.staggered
    assert min(rows.first_modules) >= 0
    assert rows.modules.count > 1
