"""What several studies build otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from lumsim.report.compare_built import Row, built_rows
from lumsim.report.compare_numbers import difference, number_rows
from lumsim.report.compare_text import alike_together
from lumsim.simulation import Lighting
from lumsim.study.comparing import Comparison, compare
from lumsim.study.reading import Study, study_from_text
from tests.study.written import SIGN, changed

DIRECT = Lighting(direct_only=True)
BEAM = 'lumens = 90.0\nbeam = { table = [["0 deg", 1.0], ["60 deg", 0.5], ["90 deg", 0.1]] }'


def compared(*studies: Study) -> Comparison:
    """Light some studies and hold them side by side."""
    return compare(studies, lighting=DIRECT)


def signs(*changes: str) -> Comparison:
    """The sign, and one more with each change."""
    return compared(*(study_from_text(SIGN, changes=[] if not one else [one]) for one in ("", *changes)))


def test_lengths_that_would_look_the_same_are_told_closer() -> None:
    """A hundredth of an inch, which a tape measure does not tell, is told in decimals."""
    assert built_rows(signs("cabinet.depth=6.01 in")) == [Row("depth", ("6 in", "6.01 in"))]


def test_what_looks_the_same_and_is_not_is_said_to_be_another() -> None:
    """Two tables of as many angles are told apart from each other."""
    other = BEAM.replace("0.5", "0.4")
    texts = [changed(("lumens = 90.0", beam)) for beam in (BEAM, BEAM, other)]
    (row,) = built_rows(compared(*(study_from_text(text) for text in texts)))
    assert row == Row(
        "beam", ("table of 3 angles", "table of 3 angles", "table of 3 angles, but not the same")
    )


@pytest.mark.parametrize(
    ("change", "label", "cells"),
    [
        ("interior.return_reflectance=0.5", "return reflectance", ("0.85", "0.5")),
        ("interior.back_reflectance=0.5", "back reflectance", ("0.85", "0.5")),
        (
            "interior.left_return_reflectance=0.5",
            "return reflectance",
            ("0.85", "left 0.5, right 0.85, bottom 0.85, top 0.85"),
        ),
        ("face.transmittance=0.3", "face transmittance", ("0.4", "0.3")),
        ("face.reflectance=0.3", "face reflectance", ("0.4", "0.3")),
        ("face.visible_border=2 in", "face visible border", ("1 in", "2 in")),
        ("face.film_transmittance=0.5", "face film", ("-", "transmittance 0.5")),
        ("rows.z=1 in", "z", ("1/2 in", "1 in")),
        ("rows.tilt=10 deg", "tilt", ("-", "10 deg")),
        ("rows.staggered=true", "staggered", ("-", "yes")),
        ("modules.standard.watts=0.8", "watts a module", ("-", "0.8 W")),
        ("modules.standard.beam={ shape = \"cosine-power\", exponent = 2 }", "beam", ("Lambertian", "cosine power 2")),
        ("ageing.maintenance_factor=0.7", "ageing", ("-", "lumens × 0.7, reflectances × 1")),
    ],
)  # fmt: skip
def test_each_thing_that_is_built_has_its_line(change: str, label: str, cells: tuple[str, ...]) -> None:
    """One thing changed is one line: what it is, and each study's own."""
    assert built_rows(signs(change)) == [Row(label, cells)]


def test_a_length_changes_what_follows_from_it() -> None:
    """A pitch is told with the count of rows and the edge distance that come of it."""
    rows = built_rows(signs("rows.pitch=6 in"))
    assert rows == [
        Row("rows", ("3", "4")),
        Row("row pitch", ("8 in", "6 in")),
        Row("row edge distance", ("4 in", "3 in")),
    ]


def test_listed_modules_elsewhere_are_another_list(tmp_path: Path) -> None:
    """Two lists of as many modules at other places differ."""
    listed = SIGN.replace('pitch = "8 in"\nmodule_pitch = "4 in"', 'positions = "at.csv"')
    studies = []
    for x in (10, 11):
        (tmp_path / "at.csv").write_text(f"x_in,y_in\n{x},6\n30,18\n", encoding="utf-8")
        studies.append(study_from_text(listed, folder=tmp_path))
    assert built_rows(compared(*studies)) == [Row("listed modules", ("2", "2, but not the same"))]


def test_differences_of_what_is_not_known_or_nothing() -> None:
    """A number that one study lacks has no difference, one against 0 no share, one of the last bits is none."""
    assert difference(None, 1.0) is None
    assert difference(0.0, 0.5) == (0.5, None)
    assert difference(2.0, 3.0) == (1.0, 0.5)
    assert difference(2.0, 2.0 + 1e-12) == (0.0, 0.0)


def test_small_differences_are_not_told_as_none() -> None:
    """What the printed digits cannot tell is said to be less than these, on its side."""
    rows = {row.label: row.against for row in number_rows(signs("cabinet.depth=6.0001 in"))}
    assert rows["stripes"] == ("less than 0.01 lower",)
    assert rows["spot contrast"] == ("less than 0.1 points lower",)
    assert rows["modules"] == ("0",)


def test_what_is_said_of_several_is_said_once() -> None:
    """Texts keep their order, each with all its letters."""
    told = alike_together(iter([("A", "dark"), ("B", "wide"), ("C", "dark")]))
    assert told == [("A, C", "dark"), ("B", "wide")]
