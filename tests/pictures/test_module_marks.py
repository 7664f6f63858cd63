"""How modules are marked: as their LEDs where one could see these, on returns plain to see."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.pictures import look
from lumsim.pictures.module_marks import marked_modules
from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text
from tests.cabinets import in_rows
from tests.cli.called import SMALL
from tests.pictures.face_drawn import axes_of, drawn
from tests.pictures.lettering_found import texts_of, unreadable

LEDS = ((-0.02, 0.003), (0.0, -0.004), (0.02, 0.003))


ADDED = """
[[rows]]
module = "bar"
on = "left"
count = 1
module_count = 3

[[rows]]
module = "bar"
z = "1 in"
at = ["5 in"]
module_count = 2

[[rows]]
module = "standard"
on = "top"
count = 1
module_count = 2
"""
"""Bars of LEDs on a return and on the back, and modules on another return."""


def with_leds(*, turn: float = 0.0) -> Cabinet:
    """Give each of eight modules three LEDs. [m]"""
    cabinet = in_rows(0.4, 0.2, 0.05, rows=2, modules=4)
    (group,) = cabinet.groups
    assert isinstance(group, Rows)
    return replace(cabinet, groups=(replace(group, module=replace(group.module, leds=LEDS), turn=turn),))


@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_leds_are_drawn_where_they_are(turn: float) -> None:
    """Where the scale lets one see LEDs each has its mark, turned with its module, and the key counts both."""
    (part,) = marked_modules(with_leds(turn=np.radians(turn)), scale=25.0)
    expected = [
        (x + along, y + across) if turn == 0 else (x - across, y + along)
        for y in (0.05, 0.15)
        for x in (0.05, 0.15, 0.25, 0.35)
        for along, across in LEDS
    ]
    np.testing.assert_allclose(part.places, expected, atol=1e-12)
    assert part.text == "LEDs: 24, in 8 modules"


def test_leds_too_near_to_tell_apart_are_one_module() -> None:
    """Where LEDs would run into one another on paper, the module stands for them."""
    (part,) = marked_modules(with_leds(), scale=2.0)
    assert len(part.places) == 8
    assert part.text == "modules: 8"


def test_leds_and_modules_on_returns_are_told_apart() -> None:
    """A study with all of them has an entry of the key for each sort, and nothing overlaps."""
    bar = 'leds = [["-0.5 in", "0 in"], ["0.5 in", "0 in"]]'
    text = (
        SMALL.replace("[[rows]]", f'[modules.bar]\nlumens = 60\n{bar}\n\n[[rows]]\nmodule = "standard"', 1)
        + ADDED
    )
    simulation = answer(study_from_text(text), direct_only=True)
    standard = sum(len(group.emitters()) for group in simulation.cabinet.groups[:1])
    figure = drawn(simulation)
    assert {
        f"modules: {standard}",
        "LEDs: 4, in 2 modules",
        "modules on returns: 2",
        "LEDs on returns: 6, in 3 modules",
    } <= set(texts_of(figure))
    assert unreadable(figure) == []


def test_marks_on_the_frame_are_light_and_over_it() -> None:
    """A module on a return is a light disc over the frame's dark line, where a dark dot would be lost."""
    text = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1', 1)
    figure = drawn(answer(study_from_text(text), direct_only=True))
    face = axes_of(figure, "face")
    (marks,) = [line for line in face.get_lines() if line.get_marker() == "o"]
    assert marks.get_markerfacecolor() == look.PAPER
    assert marks.get_zorder() > max(spine.get_zorder() for spine in face.spines.values())
    assert not marks.get_clip_on()
