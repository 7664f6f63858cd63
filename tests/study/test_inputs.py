"""What a study says is told key by key: in its units, in SI, with the line where it stands and its origin."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from lumsim.study.inputs import Input
from lumsim.study.reading import read_study, study_from_text
from tests.study.written import SIGN, changed, line_of, problem

ORIGINS = """
[submittal]
project = "Quay 7"
date = 2026-03-09

[submittal.origins]
"face.transmittance" = "sample, measured"
face.reflectance = "data sheet, page 2"
modules.standard = "data sheet of the module"
"""


def by_key(text: str, **more: object) -> Mapping[str, Input]:
    """Inputs of a study by their keys."""
    study = study_from_text(text, shown="sign.toml", **more)  # type: ignore[arg-type]
    return {one.key: one for one in study.inputs}


def test_length_in_both_units() -> None:
    """A length is told in the study's units and in metres: 48 in is 1.2192 m, 0.5 in is 1/2 in."""
    inputs = by_key(SIGN)
    assert (inputs["cabinet.width"].value, inputs["cabinet.width"].si) == ("48 in", "1.2192 m")
    assert (inputs["rows.z"].value, inputs["rows.z"].si) == ("1/2 in", "0.0127 m")


def test_length_that_a_tape_would_round() -> None:
    """A length that sixteenths of an inch would round is told as it is written."""
    inputs = by_key(changed(('depth = "6 in"', 'depth = "150 mm"')))
    assert (inputs["cabinet.depth"].value, inputs["cabinet.depth"].si) == ("150 mm", "0.15 m")


def test_lines() -> None:
    """Each key that the file gives has the line on which it stands."""
    inputs = by_key(SIGN)
    for key, text in (("cabinet.depth", "depth ="), ("face.reflectance", "reflectance = 0.40")):
        assert inputs[key].line == line_of(SIGN, text), key


def test_units_of_numbers() -> None:
    """A number has the unit of its key; an angle is told in radians too (120 deg are 2.0944)."""
    beam = 'lumens = 90.0\nbeam = { shape = "cosine-power", half_intensity_angle = "120 deg" }'
    inputs = by_key(changed(("lumens = 90.0", beam)))
    assert inputs["modules.standard.lumens"].value == "90 lm"
    angle = inputs["modules.standard.beam.half_intensity_angle"]
    assert (angle.value, angle.si) == ("120 deg", "2.0944 rad")


def test_defaults_are_told_as_such() -> None:
    """What the study leaves out and the result rests on is told as a default, without a line."""
    one = by_key(SIGN)["interior.return_reflectance"]
    assert (one.value, one.default, one.line) == ("0.85", True, None)


def test_changes_are_told_as_such() -> None:
    """What is tried on the command line has no line of the file, and is no default."""
    one = by_key(SIGN, changes=["cabinet.depth=8 in"])["cabinet.depth"]
    assert (one.value, one.changed, one.line, one.default) == ("8 in", True, None, False)


def test_stated_origins() -> None:
    """An origin holds for its key, quoted or not, and that of a table for every key of it."""
    inputs = by_key(SIGN + ORIGINS)
    assert inputs["face.transmittance"].stated == "sample, measured"
    assert inputs["face.reflectance"].stated == "data sheet, page 2"
    assert inputs["modules.standard.lumens"].stated == "data sheet of the module"
    assert inputs["cabinet.depth"].stated is None


def test_title_block() -> None:
    """The title block says what the study says; a TOML date as it stands."""
    block = study_from_text(SIGN + ORIGINS).title_block
    assert (block.project, block.date, block.sheet) == ("Quay 7", "2026-03-09", None)


@pytest.mark.parametrize(
    ("text", "key", "said"),
    [
        (
            '[submittal.origins]\n"face.transmitance" = "x"',
            'submittal.origins."face.transmitance"',
            "did you mean face.transmittance",
        ),
        (
            '[submittal.origins]\n"face.transmittance" = 3',
            "submittal.origins",
            "face.transmittance: must be text in quotes",
        ),
        ("[submittal]\nrevision = 2", "submittal.revision", 'text in quotes such as "2", got 2'),
        ('[submittal]\nproject = ""', "submittal.project", "1 to 120 characters"),
        ('[submittal]\nprepared = "x"', "submittal.prepared", "did you mean prepared_by"),
    ],
)
def test_faults(text: str, key: str, said: str) -> None:
    """What does not fit is told with its key and what would be right."""
    one = problem(f"{SIGN}\n{text}\n")
    assert one.key == key
    assert said in one.text


@pytest.mark.parametrize("file", sorted(Path("studies").rglob("*.toml")), ids=lambda path: path.stem)
def test_every_study_tells_its_inputs(file: Path) -> None:
    """Each demo's inputs have their lines, and no key is told twice."""
    inputs = read_study(file).inputs
    keys = [one.key for one in inputs]
    assert len(set(keys)) == len(keys)
    text = file.read_text(encoding="utf-8").splitlines()
    for one in inputs:
        if one.line is not None:
            assert one.key.rpartition(".")[2] in text[one.line - 1], one.key
