"""What is told of rows and modules: text, JSON, and warnings of modules that are no points and of coarse beams."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lumsim.report.document import light_document
from lumsim.report.flux_text import flux_lines
from lumsim.report.json_text import as_json
from lumsim.report.light_text import cabinet_text, light_text
from lumsim.report.notes import layout_warnings
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests.beams.written_lm63 import NAME, cosine_power, written
from tests.cli.called import MIRRORED, SMALL, UNEQUAL

ROWS = 'z = "0.5 in"\npitch = "4 in"\nmodule_pitch = "4 in"\n'


def study(rows: str = ROWS, module: str = "", *, text: str = SMALL, folder: Path = Path()) -> Study:
    """Return the small study, 12 by 16 by 6 in, with other lines under its rows and more under its module."""
    return study_from_text(
        text.replace(ROWS, f"{rows}\n", 1).replace("lumens = 90.0", f"lumens = 90.0\n{module}", 1),
        folder=folder,
    )


def told(asked: Study) -> str:
    """Return what the text says is built."""
    return "\n".join(cabinet_text(asked))


@pytest.mark.parametrize(
    ("beam", "said", "document"),
    [
        ('{ shape = "lambertian" }', "90 lm, Lambertian;", {"shape": "lambertian"}),
        (
            '{ shape = "cosine-power", exponent = 2.5 }',
            "90 lm, cosine power 2.5;",
            {"shape": "cosine-power", "exponent": 2.5},
        ),
        (
            '{ shape = "wide", width = 2.0 }',
            "90 lm, wide beam, width 2, peak at 45 deg;",
            {"shape": "wide", "width": 2.0, "peak_angle_deg": 45.0},
        ),
        (
            '{ shape = "wide", width = 0.4 }',
            "90 lm, wide beam, width 0.4, peak on its axis;",
            {"shape": "wide", "width": 0.4, "peak_angle_deg": 0.0},
        ),
        (
            '{ shape = "uniform-plane", cut_off = "60 deg" }',
            "90 lm, uniform-plane beam up to 60 deg;",
            {"shape": "uniform-plane", "cut_off_deg": 60.0},
        ),
        (
            '{ table = [["0 deg", 1], ["45 deg", 0.8], ["90 deg", 0]] }',
            "90 lm, table of 3 angles;",
            {"shape": "table", "angles": 3},
        ),
    ],
)
def test_a_beam_is_told_in_words_and_in_json(beam: str, said: str, document: dict[str, Any]) -> None:
    """The rows' lines name the beam with its numbers; JSON holds the same apart."""
    asked = study(module=f"beam = {beam}")
    assert said in told(asked)
    (rows,) = light_document(asked, answer(asked, direct_only=True))["study"]["rows"]
    assert json.loads(as_json({"beam": rows["beam"]}))["beam"] == document


@pytest.mark.parametrize(
    ("rows", "text", "lines"),
    [
        (
            ROWS,
            SMALL,
            ["4 rows 4 in on centre, horizontal; edge distance 2 in", "; on the back, throw 5 1/2 in"],
        ),
        (
            f'tilt = "-20 deg"\nturn = "90 deg"\n{ROWS}',
            SMALL,
            ["; on the back, turned 90 deg, tilted 20 deg towards the bottom, throw 5 1/2 in"],
        ),
        (
            f'direction = "vertical"\ntilt = "20.5 deg"\n{ROWS}',
            SMALL,
            ["; on the back, tilted 20.5 deg towards the right, throw"],
        ),
        (
            'on = "left"\nat = ["2 in"]\nz = "1 in"\ntilt = "10 deg"',
            SMALL,
            [
                "1 row on the left return, 2 in from the back, 4 in from the face",
                "4 modules 4 in on centre in each; edge distance 2 in",
                "; 1 in above the left return, tilted 10 deg towards the face, throw 4 in",
            ],
        ),
        (
            'on = "top"\ncount = 2\nedge_distance = "1 in"\ntilt = "-10 deg"',
            SMALL,
            [
                "2 rows 4 in on centre on the top return, 1 in from the back, 1 in from the face",
                "Lambertian; tilted 10 deg towards the back, throw 1 in to 5 in",
            ],
        ),
        (
            'on = "top"\nat = ["2 in"]',
            MIRRORED.replace('z = "3 in"', 'z = "0.5 in"'),
            [
                "1 row on the top return, 2 in from the rear face, 4 in from the front face",
                "Lambertian; throw 4 in to the front, 2 in to the rear",
            ],
        ),
    ],
)
def test_the_rows_lines_say_what_they_are_on_and_how_they_lean(
    rows: str, text: str, lines: list[str]
) -> None:
    """On what, turned and tilted which way, how far from back and face."""
    said = told(study(rows, text=text))
    assert [line for line in lines if line not in said] == []


def test_between_faces_is_said_of_rows_in_a_plane() -> None:
    """Double-sided rows are between the faces."""
    assert "; between the faces, throw 4 in to the front, 2 in to the rear" in told(study_from_text(UNEQUAL))


@pytest.mark.parametrize(
    ("module", "said"),
    [
        ("", "each a point, fit where what shines of it is at most 1 1/16 in long"),
        (
            'leds = [["-1 in", "0 in"], ["0 in", "0 in"], ["1 in", "0 in"]]',
            "3 LEDs in each, each a point, fit where what shines of it is at most 1 1/16 in long",
        ),
        ('opening = ["1 in", "1/2 in"]', "each a point for a rectangle of 1 × 1/2 in"),
        ('opening_diameter = "1/4 in"', "each a point for a disc of 1/4 in"),
    ],
)
def test_the_text_says_for_what_size_a_point_is_fit(module: str, said: str) -> None:
    """A fifth of the throw of 5 1/2 in, on a mark of the tape below it, unless the size is known."""
    assert said in told(study(module=module))


def test_json_tells_rows_on_returns() -> None:
    """on, turn and tilt in degrees, LEDs and openings; throws are those of the nearest row to each face."""
    rows = 'on = "top"\nat = ["1 in", "2 in"]\nz = "1 in"\ntilt = "-10 deg"\nturn = "90 deg"'
    asked = study(rows, 'leds = [["-10 mm", "0 mm"], ["10 mm", "0 mm"]]\nopening_diameter = "2 mm"')
    document = light_document(asked, answer(asked))
    (group,) = json.loads(as_json(document))["study"]["rows"]
    assert {key: group[key] for key in ("on", "direction", "z_m", "turn_deg", "tilt_deg", "throw_m")} == {
        "on": "top",
        "direction": "horizontal",
        "z_m": 0.0254,
        "turn_deg": 90.0,
        "tilt_deg": -10.0,
        "throw_m": 0.1016,
    }
    assert group["rear_throw_m"] is None
    assert group["positions_m"] == [0.0254, 0.0508]
    assert (group["leds_m"], group["opening_m"]) == ([[-0.01, 0.0], [0.01, 0.0]], [0.002, 0.002])
    assert group["round_opening"] is True


def test_json_tells_listed_modules_and_their_kinds(tmp_path: Path) -> None:
    """What a list is on, how it leans, and each kind with its beam."""
    (tmp_path / "built.csv").write_text("x_in,y_in\n4,4\n8,8\n", encoding="utf-8")
    asked = study('tilt = "20 deg"\npositions = "built.csv"', folder=tmp_path)
    (group,) = json.loads(as_json(light_document(asked, answer(asked, direct_only=True))))["study"]["rows"]
    assert (group["on"], group["turn_deg"], group["tilt_deg"]) == ("back", 0.0, 20.0)
    (kind,) = group["kinds"]
    assert (kind["name"], kind["lumens"], kind["beam"]) == ("standard", 90.0, {"shape": "lambertian"})
    assert "standard: 90 lm, Lambertian" in told(asked)


def test_light_that_modules_keep_is_told_where_there_is_any() -> None:
    """Flat on the back nothing is lost; tilted there, what goes behind the back is told, and JSON has both."""
    flat, tilted = (
        answer(study(f'{tilt}z = "0 in"\npitch = "4 in"\nmodule_pitch = "4 in"'))
        for tilt in ("", 'tilt = "60 deg"\n')
    )
    assert not any("modules themselves" in line for line in flux_lines(flat))
    (line,) = [line for line in flux_lines(tilted) if "absorbed in the modules themselves" in line]
    # A Lambertian beam that leans by 60 degrees sends (1 − cos 60°)/2 behind the plane it lies on.
    assert " 25.0 %" in line
    asked = study()
    document = [light_document(asked, lit)["flux"]["absorbed_modules_lm"] for lit in (flat, tilted)]
    assert document == [0.0, pytest.approx(0.25 * tilted.ledger.emitted, rel=1e-6)]


# --- the five-times rule ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("module", "warned"),
    [
        ('opening = ["1.1 in", "0.2 in"]', False),
        ('opening = ["1.11 in", "0.2 in"]', True),
        ('opening = ["0.2 in", "1.11 in"]', True),
        ('opening_diameter = "1.1 in"', False),
        ('opening_diameter = "1.11 in"', True),
        ("", False),
    ],
)
def test_a_module_nearer_than_five_times_its_longest_side_is_warned_of(module: str, warned: bool) -> None:
    """At a throw of 5 1/2 in, 1.1 in is just a point; a hair more is not."""
    asked = study(module=module)
    found = layout_warnings(asked.cabinet, asked.units)
    assert any("less than five times that" in one for one in found) == warned
    assert len(found) == warned


def test_the_warning_tells_throw_size_error_and_cure() -> None:
    """A 2 3/4 in square at twice its side is 8.3 % too bright right before it; its LEDs are to be placed."""
    asked = study(module='opening = ["2 3/4 in", "2 3/4 in"]')
    (found,) = layout_warnings(asked.cabinet, asked.units)
    assert found == (
        "modules are 5 1/2 in from the face and 2 3/4 in long, less than five times that: taken for a point, the light "
        "of a module there is off by up to 8.3 % of its highest; place its LEDs with leds = [[…, …], …]"
    )


def test_of_several_leds_each_is_looked_at() -> None:
    """A module of many small LEDs is no large one; LEDs that are too large are told as such, with no cure."""
    leds = 'leds = [["-0.6 in", "0 in"], ["0.6 in", "0 in"]]\n'
    small = study(module=f'{leds}opening_diameter = "1 in"')
    assert layout_warnings(small.cabinet, small.units) == []
    large = study(module=f'{leds}opening_diameter = "2 3/4 in"')
    (found,) = layout_warnings(large.cabinet, large.units)
    assert found == (
        "LEDs of modules are 5 1/2 in from the face and 2 3/4 in long, less than five times that: taken for a point, "
        "the light of an LED there is off by up to 6.2 % of its highest"
    )
    # D²/4h² at twice the diameter is 1/16.


def test_the_nearest_led_counts_and_both_faces_do() -> None:
    """A tilt brings an LED nearer; between two faces the nearer one counts, where light goes there."""
    tilted = study(
        'z = "3 in"\ntilt = "90 deg"\npitch = "4 in"\nmodule_pitch = "4 in"',
        'leds = [["0 in", "-1 in"], ["0 in", "1 in"]]\nopening_diameter = "1/2 in"',
    )
    _, found = layout_warnings(tilted.cabinet, tilted.units)
    assert found.startswith("LEDs of modules are 2 in from the face and 1/2 in long")
    two = study_from_text(UNEQUAL.replace("lumens = 90.0", 'lumens = 90.0\nopening_diameter = "1/2 in"', 1))
    (near,) = layout_warnings(two.cabinet, two.units)
    assert near.startswith("modules are 2 in from the rear face and 1/2 in long")
    forward = study_from_text(
        UNEQUAL.replace("lumens = 90.0", 'lumens = 90.0\nopening_diameter = "1/2 in"', 1).replace(
            "= 0.6", "= 1.0", 1
        )
    )
    assert layout_warnings(forward.cabinet, forward.units) == []


def test_the_error_is_that_of_the_beam_and_of_its_way() -> None:
    """A module on a return shines along the face, a narrow beam straight at it: each has an error of its own."""
    asked = study('on = "top"\ncount = 1', 'opening_diameter = "1 in"')
    (found,) = layout_warnings(asked.cabinet, asked.units)
    assert "3 in from the face and 1 in long" in found
    assert "off by up to 2.8 % of its highest" not in found
    narrow = study(module='opening_diameter = "2 3/4 in"\nbeam = { shape = "cosine-power", exponent = 20 }')
    (found,) = layout_warnings(narrow.cabinet, narrow.units)
    # 21 R² / 2 / (1 − (1 + R²)^(−21/2)) − 1 at R = 1/4
    assert "off by up to 39 % of its highest" in found


def test_of_several_groups_the_one_is_named() -> None:
    """With more than one group of rows the warning says whose modules they are."""
    text = SMALL.replace("lumens = 90.0", 'lumens = 90.0\nopening_diameter = "1 in"', 1).replace(
        "[requirement]", f"[[rows]]\n{ROWS.replace('0.5 in', '3 in')}\n[requirement]", 1
    )
    found = [one for one in layout_warnings(study_from_text(text).cabinet, "in") if "five times" in one]
    assert [one.partition(" are ")[0] for one in found] == ["modules of rows 2"]


# --- coarse steps ----------------------------------------------------------------------------------------


def test_coarse_steps_of_a_table_are_warned_of() -> None:
    """A cosine told every 30 degrees is warned of, with the size; every 10 degrees it is not."""

    def cosine(step: int) -> Study:
        rows = ", ".join(f'["{a} deg", {max(0.0, np.cos(np.radians(a))):.6f}]' for a in range(0, 91, step))
        return study(module=f"beam = {{ table = [{rows}] }}")

    (found,) = layout_warnings(cosine(30).cabinet, "in")
    assert found == (
        "the beam of modules.standard has coarse steps: between its angles a smooth curve differs from the straight "
        "lines taken by up to 2.8 % of its peak; give it more angles where it bends"
    )
    assert layout_warnings(cosine(10).cabinet, "in") == []


def test_coarse_steps_of_a_file_are_warned_of_in_every_output(tmp_path: Path) -> None:
    """Text and JSON carry the warning."""
    vertical = np.linspace(0, 90, 4)
    (tmp_path / NAME).write_text(
        written(vertical, [0.0], cosine_power(1.0, vertical, np.zeros(1))), encoding="utf-8"
    )
    text = SMALL.replace("lumens = 90.0", f'beam = {{ file = "{NAME}" }}', 1)
    asked = study_from_text(text, folder=tmp_path)
    lit = answer(asked, direct_only=True)
    assert "WARNING: the beam of modules.standard has coarse steps" in light_text(asked, lit)
    assert any("coarse steps" in one for one in light_document(asked, lit)["warnings"])


def test_rows_on_a_return_are_not_missed_at_the_other_edges() -> None:
    """Half a pitch from back or face is no distance from a return: no row of it is told to be too far in."""
    asked = study('on = "left"\nat = ["2.9 in", "3.1 in"]\nmodule_pitch = "4 in"')
    assert layout_warnings(asked.cabinet, asked.units) == []
