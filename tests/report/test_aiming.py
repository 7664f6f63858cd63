"""Modules that are aimed oddly are told as such, and others are not."""

from __future__ import annotations

import math

import pytest

from lumsim.beams.closed import LAMBERTIAN, CosinePower
from lumsim.report.aiming import aiming_warnings, share_behind
from lumsim.report.notes import layout_warnings
from lumsim.study.reading import study_from_text
from tests.cli.called import MIRRORED, SMALL

EDGE_LIT = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1')


def told(*changes: str, text: str = SMALL) -> list[str]:
    """Return these warnings of the small study's layout with some keys changed."""
    return aiming_warnings(study_from_text(text, changes=changes).cabinet)


@pytest.mark.parametrize("degrees", [0, 20, 45, 60, 90])
def test_of_a_lambertian_beam_half_of_one_less_the_cosine_goes_behind(degrees: int) -> None:
    """The part of a Lambertian beam past a plane through the module is (1 - cos t)/2, by its projected area."""
    tilt = math.radians(degrees)
    assert share_behind(LAMBERTIAN, "back", "horizontal", turn=0.3, tilt=tilt) == pytest.approx(
        (1 - math.cos(tilt)) / 2, abs=0.005
    )


def test_any_beam_alike_all_round_loses_half_when_it_shines_along() -> None:
    """Tilted by 90 degrees, a beam is cut in two equal halves."""
    beam = CosinePower(exponent=20)
    assert share_behind(beam, "top", "horizontal", turn=0, tilt=-math.pi / 2) == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(("tilt", "warned"), [("0 deg", 0), ("52 deg", 0), ("54 deg", 1), ("-54 deg", 1)])
def test_much_light_into_the_back_is_warned_of(tilt: str, warned: int) -> None:
    """A fifth of a Lambertian beam goes behind at arccos 0.6, 53.1 degrees."""
    assert len(told(f'rows.tilt="{tilt}"')) == warned


def test_the_warning_tells_the_share_and_the_wall() -> None:
    """At 60 degrees a quarter; rows on a return send it into that return."""
    assert told('rows.tilt="60 deg"') == [
        "modules are tilted so far that 25 % of their light goes straight into the back that they are on"
    ]
    (warning,) = told('rows.tilt="60 deg"', text=EDGE_LIT)
    assert "25 % of their light goes straight into the left return that they are on" in warning


def test_between_two_faces_there_is_nothing_to_shine_into() -> None:
    """Rows in a plane are on no wall."""
    assert told('rows.tilt="80 deg"', text=MIRRORED) == []


def test_a_turn_that_changes_nothing_is_told() -> None:
    """Turning a beam alike all round does nothing, unless LEDs or an opening turn with it."""
    assert told('rows.turn="30 deg"') == [
        "the turn of modules changes nothing: the beam of modules.standard is alike all round its axis"
    ]
    assert told('rows.turn="0 deg"') == []
    assert told('rows.turn="30 deg"', 'modules.standard.opening=["1/2 in", "1/4 in"]') == []
    leds = 'modules.standard.leds=[["-1/2 in", "0 in"], ["1/2 in", "0 in"]]'
    assert told('rows.turn="30 deg"', leds) == []


def test_layout_warnings_carry_them_with_the_group() -> None:
    """`check` and `light` print them; of several groups the one is named."""
    text = SMALL.replace("[requirement]", '[[rows]]\ncount = 3\ntilt = "60 deg"\nz = "1 in"\n\n[requirement]')
    study = study_from_text(text)
    (warning,) = layout_warnings(study.cabinet, study.units)
    assert warning.startswith("modules of rows 2 are tilted so far that 25 %")


def test_a_beam_measured_facing_up_is_told() -> None:
    """Light that lies mostly beyond 90 degrees is told; light that goes both ways evenly is not."""
    upwards = 'beam = { table = [["0 deg", 0], ["90 deg", 0], ["120 deg", 1], ["180 deg", 2]] }'
    (found,) = told(text=SMALL.replace("lumens = 90.0", f"lumens = 90.0\n{upwards}"))
    assert "100 % of the light of modules.standard lies beyond 90 deg from its axis" in found
    both = 'beam = { table = [["0 deg", 1], ["180 deg", 1]] }'
    assert told(text=SMALL.replace("lumens = 90.0", f"lumens = 90.0\n{both}")) == []
