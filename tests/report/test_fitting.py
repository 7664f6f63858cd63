"""A reader is warned of what cannot be built as it is laid."""

from __future__ import annotations

import pytest

from lumsim.report.fitting import fitting_warnings
from lumsim.report.notes import layout_warnings
from lumsim.study.reading import study_from_text
from tests.cli.called import SMALL


def told(*changes: str, text: str = SMALL) -> list[str]:
    """Return these warnings of the small study's layout with some keys changed."""
    study = study_from_text(text, changes=changes)
    return fitting_warnings(study.cabinet, study.units)


def leds(reach: str) -> str:
    """Two LEDs in a module, so far from its middle."""
    return f'modules.standard.leds=[["-{reach}", "0 in"], ["{reach}", "0 in"]]'


def test_modules_with_room_are_no_warning() -> None:
    """Points, small openings, and openings that just touch one another are laid as they may be."""
    assert told() == []
    assert told(leds("1.9 in")) == []
    assert told('modules.standard.opening=["4 in", "1/4 in"]') == []
    assert told('modules.standard.opening_diameter="4 in"') == []


def test_leds_of_neighbours_that_meet_or_interleave_are_warned_of() -> None:
    """LEDs 2 in either side of modules 4 in apart are two in one place; 2 1/4 in either side they interleave."""
    (warning,) = [one for one in told(leds("2 in"), "rows.module_count=2") if "overlap" in one]
    assert warning == (
        "module 1 of row 1 and module 2 of row 1 overlap: they are 4 in apart on centre, and their LEDs take 4 in "
        "each. Modules cannot be built into one another"
    )
    near = ["rows.module_pitch=", "rows.module_count=7", 'rows.module_edge_distance="3 in"']
    (warning,) = told(leds("2 in"), *near)
    assert "they are 1 in apart on centre, and their LEDs take 4 in each" in warning


def test_openings_that_overlap_or_stick_out_are_warned_of() -> None:
    """Openings of 20 in on modules 4 in apart overlap, and reach 10 - 2 in past either return."""
    overlap, left, right = told('modules.standard.opening=["20 in", "1 in"]')
    assert "4 in apart on centre, and their openings take 20 in by 1 in each" in overlap
    assert left.startswith("the opening of module 1 of row 1 sticks out 8 in past the left return")
    assert right.startswith("the opening of module 3 of row 1 sticks out 8 in past the right return")


def test_what_is_less_than_a_mark_is_told_in_decimals() -> None:
    """Discs of 4.02 in on modules 4 in apart overlap by a hair and stick out by half of it: neither is told as none."""
    found = told('modules.standard.opening_diameter="4.02 in"')
    assert "take 4.02 in by 4.02 in each" in found[0]
    assert [one.partition("sticks out ")[2].partition(":")[0] for one in found[1:]] == [
        f"0.01 in past the {side} return" for side in ("left", "right", "bottom", "top")
    ]


def test_an_led_right_at_a_return_is_warned_of() -> None:
    """A point at the return is half in it; what rows are on is no such wall."""
    left, right = told('rows.module_edge_distance="0 in"')
    assert left.startswith("an LED of module 1 of row 1 is right at the left return, half of it beyond")
    assert right.startswith("an LED of module 4 of row 1 is right at the right return, half of it beyond")
    assert told('rows.z="0 in"') == []
    edge_lit = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1')
    assert told(text=edge_lit) == []


def test_groups_in_the_same_place_are_warned_of_and_named() -> None:
    """Rows laid twice are modules in one another; rows of another height above the back are not."""
    again = '[[rows]]\nz = "0.5 in"\npitch = "4 in"\nmodule_pitch = "4 in"\n\n[requirement]'
    text = SMALL.replace("[requirement]", again)
    (warning,) = told(text=text)
    assert warning.startswith(
        "module 1 of row 1 of rows 1 and module 1 of row 1 of rows 2 overlap: they are in the same place. "
    )
    assert told('rows.2.z="1 in"', text=text) == []


def test_a_tilted_module_may_sink_into_what_it_is_on() -> None:
    """A bracket holds it off; into a face in front of it, it may not reach."""
    square = 'modules.standard.opening=["1 in", "1 in"]'
    assert told(square, 'rows.z="0 in"', 'rows.tilt="30 deg"') == []
    (warning,) = told(square, 'rows.z="5.9 in"', 'rows.tilt="30 deg"')
    # Half an inch leans forward by a quarter.
    assert warning.startswith("the opening of module 1 of row 1 sticks out 0.15 in past the face")


@pytest.mark.parametrize(
    ("change", "warned"),
    [
        ('rows.pitch="16 in"', []),
        (
            'rows.pitch="8 ft"',
            ["the row pitch, 96 in, is wider than the 16 in that there is: one row stands in the middle"],
        ),
        ('rows.module_pitch="12 in"', []),
        (
            'rows.module_pitch="12.1 in"',
            [
                "the module pitch, 12 1/8 in, is wider than the 12 in that there is: one module stands in the middle"
            ],
        ),
    ],
)
def test_a_pitch_wider_than_the_cabinet_is_warned_of(change: str, warned: list[str]) -> None:
    """The cabinet is 12 in wide and 16 in high: up to that, one row or module is what was asked for."""
    assert told(change) == warned


def test_on_a_return_a_row_pitch_is_held_against_the_depth() -> None:
    """Rows on a return lie across the depth, here 6 in."""
    text = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\npitch = "7 in"')
    assert told(text=text) == [
        "the row pitch, 7 in, is wider than the 6 in of depth that there is: one row stands in the middle"
    ]


@pytest.mark.parametrize("units", ["in", "mm"])
def test_layout_warnings_carry_them_in_the_units_of_the_study(units: str) -> None:
    """`check` and `light` print them."""
    study = study_from_text(SMALL, changes=[f"units={units}", 'modules.standard.opening=["5 in", "1/4 in"]'])
    found = [one for one in layout_warnings(study.cabinet, study.units) if "overlap" in one]
    size = "5 in by 1/4 in" if units == "in" else "127 mm by 6.35 mm"
    assert [f"openings take {size} each" in one for one in found] == [True]
