"""What a study says of its modules' beams, lumens, LEDs and openings: what is taken, what is refused and how."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.lm63 import read_lm63_file
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.modules import Module
from lumsim.cabinet.rows import Rows
from lumsim.report.document import light_document
from lumsim.report.light_text import cabinet_text, light_text
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests.beams.written_lm63 import NAME, cosine_power, sweep, written
from tests.study.test_form import complaints
from tests.study.written import changed, line_of, problem, problems

STUDIES = Path(__file__).parents[2] / "studies"

VERTICAL = np.linspace(0, 90, 19)
FILE = written(VERTICAL, [0.0], cosine_power(1.0, VERTICAL, np.zeros(1), peak=100.0), size=(0.008, 0.012, 0))
"""A Lambertian module of 100 cd on its axis, told every 5 degrees, 12 by 8 mm."""

FLUX = 100 * math.pi
"""Of 100 cd cos θ. [lm]"""


def sign(module: str) -> str:
    """Return the sign with other lines under its only kind of module."""
    return changed(("lumens = 90.0", module))


def with_beam(beam: str) -> str:
    """Return the sign with a beam."""
    return sign(f"lumens = 90.0\nbeam = {beam}")


def module_of(study: Study) -> Module:
    """Return the only kind of module."""
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    return group.module


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a photometric file."""
    (tmp_path / NAME).write_text(FILE, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("said", "beam"),
    [
        ('{ shape = "lambertian" }', LAMBERTIAN),
        ('{ shape = "cosine-power", exponent = 2.5 }', CosinePower(exponent=2.5)),
        ('{ shape = "cosine-power", half_intensity_angle = "120 deg" }', LAMBERTIAN),
        ('{ shape = "wide", width = 2.0 }', Wide(width=2.0)),
        ('{ shape = "wide", width = 0 }', Wide(width=0.0)),
        ('{ shape = "uniform-plane", cut_off = "60 deg" }', UniformPlane(cut_off=math.radians(60))),
        ('{ shape = "uniform-plane", cut_off = "85 deg" }', UniformPlane(cut_off=math.radians(85))),
        (
            '{ table = [["0 deg", 1.0], ["22.5 deg", 0.9], ["90 deg", 0]] }',
            Table(angles=(0.0, math.radians(22.5), math.radians(90)), values=(1.0, 0.9, 0.0)),
        ),
    ],
)
def test_a_beam_is_what_the_study_says(said: str, beam: object) -> None:
    """Each way to say a beam gives that beam, and an editor that checks by the schema accepts it."""
    assert module_of(study_from_text(with_beam(said))).beam == beam
    assert complaints(with_beam(said)) == []


@pytest.mark.parametrize(
    ("beam", "key", "said"),
    [
        ("{ }", "beam", "takes one of shape, table and file; none is given"),
        ("{ exponent = 2 }", "beam", "takes one of shape, table and file; none is given"),
        ('{ shape = "lambertian", file = "a.ies" }', "beam", "shape and file are given"),
        ('{ table = [["0 deg", 1], ["9 deg", 1]], file = "a.ies" }', "beam", "table and file are given"),
        (
            '{ shape = "lambertian", width = 2 }',
            "beam.width",
            'a lambertian beam has none: write shape = "wide"',
        ),
        (
            '{ shape = "lambertian", exponent = 2 }',
            "beam.exponent",
            'a lambertian beam has none: write shape = "cosine-power"',
        ),
        (
            '{ shape = "wide", width = 2, cut_off = "60 deg" }',
            "beam.cut_off",
            'a wide beam has none: write shape = "uniform-plane"',
        ),
        (
            '{ table = [["0 deg", 1], ["9 deg", 1]], exponent = 2 }',
            "beam.exponent",
            "a beam by its table has none: leave it out",
        ),
        ('{ shape = "wide" }', "beam", "a wide beam takes a width, such as width = 2.0; none is given"),
        (
            '{ shape = "uniform-plane" }',
            "beam",
            'a uniform-plane beam takes a cut_off, such as cut_off = "60 deg"; none is given',
        ),
        ('{ shape = "wide", width = 100.5 }', "beam.width", "must be 0 or more and at most 100, got 100.5"),
        ('{ shape = "wide", width = -1 }', "beam.width", "must be 0 or more and at most 100, got -1"),
        ('{ shape = "wide", width = nan }', "beam.width", "must be 0 or more and at most 100, got nan"),
        (
            '{ shape = "uniform-plane", cut_off = "86 deg" }',
            "beam.cut_off",
            "must be above 0 deg and at most 85 deg, got 86 deg",
        ),
        ('{ shape = "uniform-plane", cut_off = 60 }', "beam.cut_off", 'in quotes such as "60 deg", got 60'),
        ('{ shape = "wyde", width = 2 }', "beam.shape", 'did you mean "wide"?'),
        ('{ shape = "wide", widht = 2 }', "beam.widht", "is no known key; did you mean width?"),
        ('{ table = [["0 deg", 1]] }', "beam.table", "needs two angles or more, each with its intensity"),
        ('{ table = "0 deg" }', "beam.table", 'must be a list such as [["0 deg", 1.0], ["10 deg", 0.98]]'),
        (
            '{ table = [["5 deg", 1], ["9 deg", 1]] }',
            "beam.table.1",
            "the first angle must be 0 deg, the axis, got 5 deg",
        ),
        (
            '{ table = [["0 deg", 1], ["20 deg", 1], ["20 deg", 1]] }',
            "beam.table.3",
            "angles must rise, got 20 deg after 20 deg",
        ),
        ('{ table = [["0 deg", 0], ["9 deg", 0]] }', "beam.table", "every intensity is 0"),
        (
            '{ table = [["0 deg", 1], ["200 deg", 0]] }',
            "beam.table.2",
            "must be from 0 deg to 180 deg, got 200 deg",
        ),
        (
            '{ table = [["0 deg", 1], [9, 0]] }',
            "beam.table.2",
            'must be an angle in quotes such as "10 deg", got 9',
        ),
        ('{ table = [["0 deg", 1], ["9 deg", -1]] }', "beam.table.2", "must be a number, 0 or more"),
        ('{ table = [["0 deg", 1], ["9 deg", inf]] }', "beam.table.2", "must be a number, 0 or more"),
        ('{ table = [["0 deg", 1], ["9 deg"]] }', "beam.table.2", 'such as ["10 deg", 0.98], got'),
        ("{ file = 3 }", "beam.file", "must be text in quotes, got 3"),
    ],
)
def test_a_beam_that_cannot_be_is_refused(beam: str, key: str, said: str) -> None:
    """What does not fit is told once, at its line and key, with what would be right."""
    text = with_beam(beam)
    found = problem(text)
    assert (found.line, found.key) == (line_of(text, "beam"), f"modules.standard.{key}")
    assert said in found.text


@given(
    steps=st.lists(
        st.tuples(st.integers(1, 400), st.floats(0, 1e6, allow_subnormal=False)), min_size=1, max_size=12
    ),
    axis=st.floats(0.1, 1e6),
)
def test_any_table_is_read_as_it_stands(steps: list[tuple[int, float]], axis: float) -> None:
    """Angles in tenths of a degree and their intensities arrive in the beam to the last digit."""
    tenths = np.cumsum([0] + [step for step, _ in steps])
    tenths = tenths[tenths <= 1800]
    values = [axis, *(value for _, value in steps)][: len(tenths)]
    if len(tenths) < 2:
        return
    rows = ", ".join(f'["{t // 10}.{t % 10} deg", {v!r}]' for t, v in zip(tenths, values, strict=True))
    beam = module_of(study_from_text(with_beam(f"{{ table = [{rows}] }}"))).beam
    assert isinstance(beam, Table)
    assert beam.values == tuple(values)
    assert beam.angles == pytest.approx([math.radians(t / 10) for t in tenths], rel=1e-15, abs=0)


# --- whose lumens ----------------------------------------------------------------------------------------


def test_a_file_has_lumens_of_its_own(folder: Path) -> None:
    """Lumens left out are what the file's light adds up to, π times 100 cd, and are printed as a default."""
    study = study_from_text(sign(f'beam = {{ file = "{NAME}" }}'), folder=folder)
    module = module_of(study)
    assert isinstance(module.beam, Web)
    # Straight lines between 5 degrees lose (π/36)² / 12 of a cosine.
    assert module.lumens == pytest.approx(FLUX, rel=1e-3)
    assert module.lumens == module.beam.flux
    assert (
        dict(study.defaults)["modules.standard.lumens"] == f"{module.lumens:.4g} lm, what {NAME} adds up to"
    )
    assert f"{NAME}: 314 lm by its own angles; on the back" in "\n".join(cabinet_text(study))


def test_who_says_the_lumens_is_said_where_both_do(folder: Path) -> None:
    """Beside a file, lumens_from says whose lumens hold: the file gives the shape alone, or lumens are not used."""
    said = sign(f'lumens = 90.0\nbeam = {{ file = "{NAME}" }}')
    own = study_from_text(said, folder=folder, changes=['modules.standard.lumens_from="study"'])
    assert module_of(own).lumens == 90.0
    assert own.notes == ()
    assert f"90 lm, {NAME}: 314 lm by its own angles" in "\n".join(cabinet_text(own))
    files = study_from_text(said, folder=folder, changes=['modules.standard.lumens_from="file"'])
    assert module_of(files).lumens == pytest.approx(FLUX, rel=1e-3)
    note = (
        "modules.standard.lumens, 90 lm, is not used: lumens_from names the file, whose own "
        f"{module_of(files).lumens:.4g} lm hold"
    )
    assert files.notes == (note,)
    assert f"  note      {note}" in cabinet_text(files)
    assert light_document(files, answer(files, direct_only=True))["study"]["notes"] == [note]


@pytest.mark.parametrize(
    ("module", "key", "said"),
    [
        (
            f'lumens = 90.0\nbeam = {{ file = "{NAME}" }}',
            "lumens",
            "90 lm here, and the file module.ies has a flux",
        ),
        (
            f'lumens_from = "study"\nbeam = {{ file = "{NAME}" }}',
            "lumens_from",
            "names the study, which says no lumens: give them, or leave it out",
        ),
        (
            'lumens = 90.0\nlumens_from = "study"',
            "lumens_from",
            "the beam is no file, so lumens are the study's: leave it out",
        ),
        (
            'lumens = 90.0\nlumens_from = "file"',
            "lumens_from",
            "the beam is no file, so lumens are the study's: leave it out",
        ),
        (
            'lumens_from = "file"',
            "lumens_from",
            'names a file, and the beam is none: write beam = { file = "module.ies" }, or lumens = 90 without',
        ),
        ("watts = 1", "lumens", "is needed, such as 90"),
        ('beam = { shape = "wide", width = 2 }', "lumens", "is needed, such as 90"),
    ],
)
def test_lumens_that_nobody_or_two_say_are_refused(folder: Path, module: str, key: str, said: str) -> None:
    """Without a file lumens are needed and whose they are is no question; with one it must be answered."""
    text = sign(module)
    (found,) = problems(text, folder=folder)
    assert found.key == f"modules.standard.{key}"
    assert found.line == line_of(text, key if key in module else "[modules")
    assert said in found.text


def test_the_refusal_tells_the_files_lumens(folder: Path) -> None:
    """Who must choose sees both numbers and what to write."""
    (found,) = problems(sign(f'lumens = 90.0\nbeam = {{ file = "{NAME}" }}'), folder=folder)
    assert 'of its own, 314 lm: write lumens_from = "study" or "file"' in found.text


def test_an_editor_asks_for_lumens_unless_there_is_a_file() -> None:
    """By the schema lumens may be left out where the beam is a file, and nowhere else."""
    assert complaints(sign('beam = { file = "module.ies" }')) == []
    assert complaints(sign('beam = { shape = "lambertian" }'))
    assert complaints(sign("watts = 1"))
    assert complaints(with_beam('{ shape = "lambertian", file = "module.ies" }'))


@pytest.mark.parametrize("lumens", ["", "lumens = 90.0\n"])
@pytest.mark.parametrize(
    ("held", "said"), [(None, "there is no such file"), ("", "is empty"), ("1 2 3\n", "has no TILT line")]
)
def test_a_file_that_is_none_is_told_where_the_study_names_it(
    tmp_path: Path, lumens: str, held: str | None, said: str
) -> None:
    """One problem, at the study's line and key; nothing is said of the flux of a file that cannot be read."""
    if held is not None:
        (tmp_path / NAME).write_text(held, encoding="utf-8")
    text = sign(f'{lumens}beam = {{ file = "{NAME}" }}')
    (found,) = problems(text, folder=tmp_path)
    assert (found.where, found.line, found.key) == (
        "sign.toml",
        line_of(text, "beam"),
        "modules.standard.beam.file",
    )
    assert found.text.startswith(f"{tmp_path / NAME}: {said}")


# --- files -----------------------------------------------------------------------------------------------


def test_a_file_with_faults_is_refused_with_each_of_them_and_its_line(tmp_path: Path) -> None:
    """The file's problems stand beside the study's own, all at once, each with the file and its line."""
    lines = FILE.splitlines()
    numbers = next(i for i, line in enumerate(lines) if line.startswith("TILT")) + 1
    broken = [*lines[:numbers], lines[numbers].replace("1 -1", "one none"), *lines[numbers + 1 :]]
    (tmp_path / NAME).write_text("\n".join(broken), encoding="utf-8")
    text = sign(f'beam = {{ file = "{NAME}" }}').replace('pitch = "8 in"', 'pitch = "80 in"\ncount = 2', 1)
    found = problems(text, folder=tmp_path)
    theirs = [one for one in found if one.where == str(tmp_path / NAME)]
    assert [(one.line, one.key) for one in theirs] == [
        (numbers + 1, "lumens per lamp"),
        (numbers + 1, "number of lamps"),
    ]
    assert [one.key for one in found if one.where == "sign.toml"] == ["rows.1.count"]


def test_a_files_faults_are_told_beside_a_refused_form(tmp_path: Path) -> None:
    """A misspelt key elsewhere does not hide that the file is missing, and lumens are not missed."""
    text = sign(f'beam = {{ file = "{NAME}" }}').replace("title", "titel", 1)
    found = problems(text, folder=tmp_path)
    assert {(one.where, one.key) for one in found} == {
        ("sign.toml", "modules.standard.beam.file"),
        ("sign.toml", "titel"),
    }


def test_two_kinds_may_share_a_file(folder: Path) -> None:
    """A file that two kinds name is read once: one beam, and its faults told once."""
    text = sign(f'beam = {{ file = "{NAME}" }}\n[modules.other]\nbeam = {{ file = "{NAME}" }}')
    both = text + '\n[[rows]]\nmodule = "other"\nz = "1 in"\ncount = 2\n'
    one, other = study_from_text(both, folder=folder).cabinet.emitters().kinds
    assert one.beam is other.beam
    (folder / NAME).write_text("no photometric file", encoding="utf-8")
    found = problems(both, folder=folder)
    assert len({str(problem) for problem in found}) == len(found)


def test_what_is_odd_in_a_file_is_a_warning(tmp_path: Path) -> None:
    """Remarks of the file are warnings in text and JSON, with the file's name."""
    odd = written(VERTICAL, [0.0], cosine_power(1.0, VERTICAL, np.zeros(1)), twelfth=2)
    (tmp_path / NAME).write_text(odd, encoding="utf-8")
    study = study_from_text(sign(f'beam = {{ file = "{NAME}" }}'), folder=tmp_path)
    (remark,) = read_lm63_file(tmp_path / NAME).remarks
    assert study.remarks == (f"{NAME}: {remark}",)
    lit = answer(study, direct_only=True)
    assert f"WARNING: {NAME}: {remark}" in light_text(study, lit)
    assert f"{NAME}: {remark}" in light_document(study, lit)["warnings"]


def test_a_file_with_too_much_light_is_refused(tmp_path: Path) -> None:
    """More than a million lumens are no module."""
    bright = written(VERTICAL, [0.0], cosine_power(1.0, VERTICAL, np.zeros(1), peak=1e7))
    (tmp_path / NAME).write_text(bright, encoding="utf-8")
    (found,) = problems(sign(f'beam = {{ file = "{NAME}" }}'), folder=tmp_path)
    assert found.key == "modules.standard.beam.file"
    assert "at most 1e+06 lm are taken" in found.text


def test_a_lambertian_file_lights_as_a_lambertian_module_does(folder: Path) -> None:
    """The cabinet lit with a file of a cosine every 5 degrees is the one lit by the formula, to 0.3 per cent."""
    measured = study_from_text(sign(f'beam = {{ file = "{NAME}" }}'), folder=folder)
    formula = study_from_text(sign(f"lumens = {module_of(measured).lumens!r}"))
    found, expected = (answer(study).evenness for study in (measured, formula))
    assert found.mean == pytest.approx(expected.mean, rel=3e-3)
    assert found.max_to_min == pytest.approx(expected.max_to_min, rel=3e-3)


def test_the_demo_file_is_the_formula_that_it_names() -> None:
    """Every value of the demo's invented file is 12 cd ((1 + a) cos γ − a cos³γ), a = 1.8 + 0.6 cos 2C, to 0.001 cd."""
    file = read_lm63_file(STUDIES / "juniper-wharf-module.ies")
    assert file.remarks == ()
    assert "invented" in dict(file.keywords)["TEST"]
    C, gamma = np.radians(file.horizontal)[:, None], np.radians(file.vertical)
    a = 1.8 + 0.6 * np.cos(2 * C)
    formula = 12 * ((1 + a) * np.cos(gamma) - a * np.cos(gamma) ** 3)
    np.testing.assert_allclose(file.candela, formula, rtol=0, atol=5.1e-4)


# --- LEDs and openings -----------------------------------------------------------------------------------


def test_leds_and_what_shines_are_taken_as_they_stand() -> None:
    """Places along and across, signed, in any unit; lengths of what shines, or a diameter."""
    long = sign(
        'lumens = 90\nleds = [["-1/2 in", "0 mm"], ["12.7 mm", "3 mm"]]\nopening = ["6 mm", "1/4 in"]'
    )
    assert complaints(long) == []
    module = module_of(study_from_text(long))
    assert module.leds == ((-0.0127, 0.0), (0.0127, 0.003))
    assert (module.opening, module.round_opening) == ((0.006, 0.00635), False)
    disc = module_of(study_from_text(sign('lumens = 90\nopening_diameter = "8 mm"')))
    assert (disc.opening, disc.round_opening, disc.leds) == ((0.008, 0.008), True, ((0.0, 0.0),))


@pytest.mark.parametrize(
    ("module", "key", "said"),
    [
        ("leds = []", "leds", "is empty: give at least one"),
        ('leds = [["0 mm"]]', "leds.1", 'such as ["-20 mm", "0 mm"], got [\'0 mm\']'),
        ("leds = [[1, 2]]", "leds.1", "a length needs its unit and quotes, got the bare number 1"),
        ('leds = "0 mm"', "leds", 'must be a list such as [["-20 mm", "0 mm"], ["20 mm", "0 mm"]]'),
        (
            'leds = [["5 mm", "0 mm"], ["0 mm", "0 mm"], ["0.5 cm", "0 in"]]',
            "leds.3",
            "the same place as LED 1: each place counts once",
        ),
        (
            "leds = [" + ", ".join(f'["{n} mm", "0 mm"]' for n in range(101)) + "]",
            "leds",
            "at most 100 are taken, got 101",
        ),
        ('opening = ["6 mm"]', "opening", 'such as ["60 mm", "12 mm"], got'),
        ('opening = ["6 mm", "0 mm"]', "opening", "must be more than 0, got 0 mm"),
        ('opening_diameter = "0 mm"', "opening_diameter", "must be more than 0, got 0 mm"),
        (
            'opening = ["6 mm", "6 mm"]\nopening_diameter = "6 mm"',
            "opening_diameter",
            "opening is given too: leave one of the two out",
        ),
    ],
)
def test_leds_and_openings_that_cannot_be_are_refused(module: str, key: str, said: str) -> None:
    """What does not fit is told once, at its line and key, with what would be right."""
    text = sign(f"lumens = 90.0\n{module}")
    found = problem(text)
    assert (found.line, found.key) == (line_of(text, key.partition(".")[0] + " ="), f"modules.standard.{key}")
    assert said in found.text


@pytest.mark.parametrize(
    ("more", "opening", "is_round"),
    [
        ("", (0.012, 0.008), False),
        ('opening_diameter = "5 mm"', (0.005, 0.005), True),
        ('leds = [["-5 mm", "0 mm"], ["5 mm", "0 mm"]]', None, False),
    ],
)
def test_a_files_own_opening_is_taken_for_a_single_led(
    folder: Path, more: str, opening: tuple[float, float] | None, is_round: bool
) -> None:
    """Unless the study says one, the file's length is along the module and its width across; of several LEDs none."""
    module = module_of(study_from_text(sign(f'{more}\nbeam = {{ file = "{NAME}" }}'), folder=folder))
    assert (module.opening, module.round_opening) == (opening, is_round)


def test_a_file_that_says_no_size_has_no_opening(tmp_path: Path) -> None:
    """Sizes of 0 are what a file writes that does not know; a negative one is a diameter."""
    for size, expected in (((0, 0, 0), None), ((-0.02, -0.02, 0), (0.02, 0.02))):
        text = written(VERTICAL, [0.0], cosine_power(1.0, VERTICAL, np.zeros(1)), size=size)
        (tmp_path / NAME).write_text(text, encoding="utf-8")
        module = module_of(study_from_text(sign(f'beam = {{ file = "{NAME}" }}'), folder=tmp_path))
        assert (module.opening, module.round_opening) == (expected, expected is not None)


def test_a_beam_can_be_tried_without_editing() -> None:
    """--set reaches a beam's keys, LEDs and whose lumens hold, with the same messages."""
    text = with_beam('{ shape = "wide", width = 2.0 }')
    tried = study_from_text(
        text, changes=["modules.standard.beam.width=3", 'modules.standard.leds=[["1 in","0 in"]]']
    )
    assert (module_of(tried).beam, module_of(tried).leds) == (Wide(width=3.0), ((0.0254, 0.0),))
    found = problem(text, ["modules.standard.beam.cut_off=60 deg"])
    assert (found.where, found.key) == ("--set", "modules.standard.beam.cut_off")


def test_a_web_with_many_planes_keeps_its_own_direction(tmp_path: Path) -> None:
    """A file that is wide along its angle 0 lights a face lengthwise along the row, and across it when turned."""
    planes = sweep(90)
    wide = np.radians(VERTICAL)[None, :] * np.ones((len(planes), 1))
    along = np.cos(np.radians(planes))[:, None] ** 2
    candela = 100 * np.cos(wide) ** np.where(along > 0.5, 1.0, 6.0)
    (tmp_path / NAME).write_text(written(VERTICAL, planes, np.round(np.abs(candela), 6)), encoding="utf-8")
    text = sign(f'beam = {{ file = "{NAME}" }}').replace(
        'pitch = "8 in"\nmodule_pitch = "4 in"', "count = 1\nmodule_count = 1", 1
    )
    lit = {
        turn: answer(study_from_text(text, folder=tmp_path, changes=[f"rows.turn={turn}"]), direct_only=True)
        for turn in ("0 deg", "90 deg")
    }
    middle, off = (24 * 0.0254, 12 * 0.0254), 6 * 0.0254

    def at(turn: str, dx: float, dy: float) -> float:
        places = np.array([middle[0] + dx]), np.array([middle[1] + dy])
        return float(lit[turn].luminance.at(*places)[0])

    assert at("0 deg", off, 0) > 2 * at("0 deg", 0, off)
    # To what looking a measured beam up is good for, which depends on how it lies.
    assert at("90 deg", 0, off) == pytest.approx(at("0 deg", off, 0), rel=1e-4)
    assert at("90 deg", off, 0) == pytest.approx(at("0 deg", 0, off), rel=1e-4)


def test_a_beam_named_by_a_word_is_told_how_it_is_written() -> None:
    """A beam that is no table is refused with one as an example."""
    found = problem(with_beam('"wide"'))
    assert found.key == "modules.standard.beam"
    assert found.text == "must be a table such as { shape = \"wide\", width = 2.0 }, got 'wide'"
