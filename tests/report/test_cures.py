"""What is said to help, helps: advice goes by what rows are on and how their modules lean."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from lumsim.report.light_text import verdict_line
from lumsim.simulation import Simulation
from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text
from tests.beams.written_lm63 import sweep, written
from tests.cli.called import SMALL

WIDE = SMALL.replace('"12 in"', '"24 in"')
ONE_SIDE = WIDE.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1')
TWO_SIDES = ONE_SIDE.replace(
    "[requirement]", '[[rows]]\non = "right"\ncount = 1\nmodule_pitch = "4 in"\n\n[requirement]'
)
TILTED = SMALL.replace('pitch = "4 in"\nmodule', 'tilt = "60 deg"\npitch = "8 in"\nmodule')
ONE_ROW = SMALL.replace('pitch = "4 in"\nmodule_pitch = "4 in"', 'count = 1\nmodule_pitch = "6 in"')
COARSE_ROW = ONE_ROW.replace("12 in", "24 in").replace('module_pitch = "6 in"', 'module_pitch = "12 in"')
COARSE_SIDE = ONE_SIDE.replace('module_pitch = "4 in"', 'module_pitch = "8 in"')
RAISED = SMALL.replace('z = "0.5 in"', 'z = "4 in"')
STRICT = ["requirement.max_to_min=1.01", "requirement.stripe_max_to_min=1.001"]


@cache
def lit(text: str, *changes: str) -> Simulation:
    """Light a study whose requirement nothing meets."""
    return answer(study_from_text(text, changes=[*STRICT, *changes]))


def helps(simulation: Simulation) -> str:
    """What the verdict says to help."""
    return verdict_line(simulation).partition("What helps: ")[2]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            ONE_SIDE,
            "rows on the right return too, another tilt, rows nearer the back, or a whiter inside",
        ),
        (
            TWO_SIDES,
            "rows on the bottom and the top return, which are nearer to each other, another tilt,",
        ),
        (TWO_SIDES.replace('"24 in"', '"12 in"'), "another tilt, rows nearer the back, or a whiter inside"),
    ],
)
def test_edge_lit_signs_are_not_told_to_move_rows_on_a_back_that_has_none(text: str, told: str) -> None:
    """Rows on returns are told what lessens the fall of light from them, and nothing of closer rows or depth."""
    said = helps(lit(text))
    assert told in said
    assert said.endswith(" another tilt, rows nearer the back, or a whiter inside")
    assert "another tilt, or a wider visible border over the light beside the returns" in said
    for other in ("rows closer together", "deeper", "outer rows", "dark edges"):
        assert other not in said


@pytest.mark.parametrize(
    ("text", "text_with", "changes"),
    [
        (ONE_SIDE, TWO_SIDES, []),
        (ONE_SIDE, ONE_SIDE, ['rows.tilt="-40 deg"']),
        (ONE_SIDE, ONE_SIDE, ["rows.count=", 'rows.at=["1 in"]']),
        (ONE_SIDE, ONE_SIDE, ["interior.return_reflectance=0.95", "interior.back_reflectance=0.95"]),
        (TWO_SIDES, TWO_SIDES, ["rows.1.on=bottom", "rows.2.on=top"]),
        (TILTED, TILTED, ['rows.tilt="20 deg"']),
        (ONE_ROW, ONE_ROW, ["rows.count=2"]),
    ],
)
def test_what_is_said_to_help_lowers_max_to_min(text: str, text_with: str, changes: list[str]) -> None:
    """Of each kind of layout the advice given is tried on one sign, where it makes the whole face more even."""
    assert lit(text_with, *changes).evenness.max_to_min < lit(text).evenness.max_to_min


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        (COARSE_SIDE, ['rows.module_pitch="4 in"']),
        (ONE_SIDE, ['rows.tilt="20 deg"']),
        (ONE_SIDE, ['face.visible_border="2 in"']),
        (TILTED, ["rows.tilt="]),
        (TILTED, ['rows.pitch="4 in"']),
        (COARSE_ROW, ['rows.module_pitch="4 in"']),
        (ONE_ROW, ['cabinet.depth="9 in"']),
        (RAISED, ['rows.z="1 in"']),
        (RAISED, ['rows.module_pitch="2 in"']),
    ],
)
def test_what_is_said_to_help_against_stripes_does(text: str, changes: list[str]) -> None:
    """The same for stripes."""
    assert lit(text, *changes).evenness.stripe_max_to_min < lit(text).evenness.stripe_max_to_min


def test_a_single_row_is_not_told_to_move_closer_together() -> None:
    """One row has none to be closer to: a second one is what helps."""
    said = helps(lit(ONE_ROW))
    assert "a second row or a deeper cabinet" in said
    assert "rows closer" not in said


def test_where_modules_show_one_by_one_closer_ones_are_what_helps() -> None:
    """Modules so far apart that they show along a single row or a return: closer along it."""
    assert "a second row, modules closer along the row, or a deeper cabinet" in helps(lit(COARSE_ROW))
    assert "modules closer along the returns, another tilt, or a wider" in helps(lit(COARSE_SIDE))


@pytest.mark.parametrize(("z", "told"), [("1.9 in", False), ("2.1 in", True)])
def test_modules_raised_by_a_third_of_the_depth_are_told_to_go_back(z: str, told: bool) -> None:
    """The cabinet is 6 in deep: from 2 in above the back on, a smaller z comes before a deeper cabinet."""
    said = helps(lit(SMALL, f'rows.z="{z}"', 'rows.pitch="8 in"'))
    assert ("modules farther from the face (a smaller z), or a deeper cabinet" in said) == told
    assert ("a smaller z" in said) == told


@pytest.mark.parametrize(("text", "told"), [(RAISED, True), (SMALL, False)])
def test_where_modules_of_several_rows_show_one_by_one_closer_ones_help(text: str, told: bool) -> None:
    """Modules 4 in apart show from 2 in behind the face and not from 5 1/2 in."""
    assert ("rows closer together, modules closer along the rows, " in helps(lit(text))) == told


def test_modules_set_close_along_several_rows_are_not_told_to_go_closer() -> None:
    """Light that falls off towards the ends of long rows is no ripple that closer modules would take away."""
    text = SMALL.replace('"12 in"', '"48 in"')
    simulation = lit(text, 'rows.pitch="8 in"', 'rows.module_pitch="2 in"')
    assert simulation.evenness.ripple_x > 1.01
    assert "closer along" not in helps(simulation)


@pytest.mark.parametrize(("tilt", "told"), [("29 deg", False), ("30 deg", True), ("-45 deg", True)])
def test_strongly_tilted_rows_are_told_to_lean_less(tilt: str, told: bool) -> None:
    """From 30 degrees on less tilt comes first, against stripes and against dark edges."""
    said = helps(lit(TILTED, f'rows.tilt="{tilt}"'))
    assert ("less tilt, rows closer together, or a deeper cabinet" in said) == told
    assert ("less tilt, outer rows nearer the returns, or whiter returns" in said) == told


def test_untilted_rows_on_the_back_are_told_as_ever() -> None:
    """Rows closer together or depth against stripes, outer rows and white returns against dark edges."""
    said = helps(lit(SMALL))
    assert "rows closer together or a deeper cabinet; against dark edges" in said
    assert said.endswith("outer rows nearer the returns or whiter returns")


LEANING = "another turn or tilt of the modules, whose beam leans to one side"


def lit_by_file(folder: Path, lean: float, *changes: str, lobes: int = 1) -> Simulation:
    """Light the small study with a beam cos γ (1 + lean sin γ cos(lobes C)) from a file, so along the row."""
    vertical, horizontal = sweep(90, 10), np.arange(0, 361, 15.0)
    gamma, C = np.radians(vertical), np.radians(horizontal)[:, None]
    candela = 100 * np.clip(np.cos(gamma), 0, None) * (1 + lean * np.sin(gamma) * np.cos(lobes * C))
    (folder / "module.ies").write_text(written(vertical, horizontal, candela))
    beam = 'modules.standard.beam={ file = "module.ies" }'
    study = study_from_text(
        SMALL, folder=folder, changes=[*STRICT, beam, "modules.standard.lumens=", *changes]
    )
    return answer(study, direct_only=True)


@pytest.mark.parametrize(
    ("lean", "lobes", "changes", "told"),
    [
        (0.8, 1, [], True),
        (-0.8, 1, [], True),
        (0.8, 1, ['rows.turn="90 deg"'], True),
        # Two lobes opposite each other, and next to none.
        (0.8, 2, [], False),
        (0.02, 1, [], False),
        # Rows at one side darken the other with any beam, and with one that leans to it too.
        (0.0, 1, ["rows.pitch=", 'rows.at=["2 in", "5 in"]'], False),
        (0.8, 2, ["rows.pitch=", 'rows.at=["2 in", "5 in"]'], False),
        (0.8, 1, ['rows.turn="90 deg"', "rows.pitch=", 'rows.at=["2 in", "5 in"]'], False),
        (0.8, 1, ['rows.turn="-90 deg"', "rows.pitch=", 'rows.at=["2 in", "5 in"]'], True),
    ],
)
def test_a_beam_that_leans_to_one_side_is_named_where_the_other_is_darker(
    tmp_path: Path, lean: float, lobes: int, changes: list[str], told: bool
) -> None:
    """Only a beam without symmetry is told to turn or tilt, and only where its light goes to the brighter side."""
    assert (LEANING in helps(lit_by_file(tmp_path, lean, *changes, lobes=lobes))) == told


def test_a_tilt_against_its_lean_lowers_max_to_min(tmp_path: Path) -> None:
    """Turned so that it leans across the row, a beam that is tilted the other way lights the face more evenly."""
    turned = 'rows.turn="90 deg"'
    as_it_is = lit_by_file(tmp_path, 0.8, turned).evenness
    tilted = [lit_by_file(tmp_path, 0.8, turned, f'rows.tilt="{tilt} deg"').evenness for tilt in (-10, 10)]
    assert min(one.max_to_min for one in tilted) < as_it_is.max_to_min
