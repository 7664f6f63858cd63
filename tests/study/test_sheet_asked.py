"""What a study says of wire, supplies and modules: read, defaults told, and refused in the user's words."""

from __future__ import annotations

import pytest

from lumsim.errors import StudyError
from lumsim.sheet.dimming import MeasuredCurve, ResistorBallast, SteadyDriver
from lumsim.study.reading import study_from_text
from lumsim.study.sheet_asked import SheetAsked

SIGN = """
[cabinet]
width = "24 in"
height = "12 in"
depth = "5 in"
[face]
transmittance = 0.4
reflectance = 0.4
[[rows]]
pitch = "6 in"
[modules.standard]
lumens = 60.0
"""
RATED = "watts = 0.7\nvolts = 12.0\n"


def asked(more: str = "") -> SheetAsked:
    """Return what a sign asks of its sheet, its module's table going on."""
    return study_from_text(SIGN + more).sheet


def refused(more: str) -> str:
    """Return what a sign is refused with."""
    with pytest.raises(StudyError) as error:
        asked(more)
    return str(error.value)


def test_what_is_not_told_is_not_made_up() -> None:
    """Without watts and volts there are no voltages, and the keys that would give them are named."""
    found = asked()
    assert found.untold == ("modules.standard.watts", "modules.standard.volts")
    assert found.wiring is None
    assert not found.electrics
    assert asked(RATED).untold == ()


def test_every_default_is_told_and_nothing_else() -> None:
    """What the study leaves out is printed with its value; what it says is not."""
    keys = [key for key, _ in asked(RATED).defaults]
    assert keys == [
        "power.feed_at",
        "power.feed_length",
        "power.feed_wire",
        "power.wire_temperature",
        "modules.standard.electrics.takes",
        "modules.standard.electrics.drop_out",
    ]
    said = asked(
        RATED + '[modules.standard.electrics]\ntakes = "constant power"\ndrop_out = 9\n'
        '[power]\nfeed_at = "middle"\nfeed_length = "3 ft"\nfeed_wire = "1 mm²"\nwire_temperature = 60\n'
    )
    assert said.defaults == ()
    assert said.wiring is not None
    assert (said.wiring.feed_at, said.wiring.feed_wire.name, said.wiring.string_wire.temperature) == (
        "middle",
        "1 mm²",
        60.0,
    )


def test_each_way_to_dim_is_read() -> None:
    """A drop-out is a driver's, a forward voltage a resistor's, and points are a curve."""
    ways = {
        "drop_out = 10": SteadyDriver(drop_out=10.0),
        'takes = "resistor"\nforward_volts = 9': ResistorBallast(forward_voltage=9.0, rated_voltage=12.0),
        "light = [[9, 0.2], [12, 1.0]]": MeasuredCurve(points=((9.0, 0.2), (12.0, 1.0))),
    }
    for text, wanted in ways.items():
        found = asked(f"{RATED}[modules.standard.electrics]\n{text}\n").electrics["standard"]
        assert found.dimming == wanted


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ('[power]\nfeed_wire = "thick"\n', "power.feed_wire: "),
        ('[power]\nstring_wire = "99 AWG"\n', "power.string_wire: AWG goes from 40"),
        ('[power]\nfeed_at = "top"\n', "power.feed_at"),
        ("[power]\ncircuits_a_row = 0\n", "power.circuits_a_row"),
        ("[modules.standard.electrics]\nforward_volts = 9\n", 'belongs to takes = "resistor"'),
        ('[modules.standard.electrics]\ntakes = "resistor"\ndrop_out = 9\n', "it belongs to a driver"),
        (
            '[modules.standard.electrics]\ntakes = "resistor"\nforward_volts = 12\n',
            "below the rated voltage of 12 V",
        ),
        (
            "[modules.standard.electrics]\ndrop_out = 9\nlight = [[9, 0], [12, 1]]\n",
            "leave one of the two out",
        ),
        ("[modules.standard.electrics]\nlight = [[12, 1], [9, 0]]\n", "must rise from point to point"),
        ("[modules.standard.electrics]\nlight = [[12, 1], 9]\n", "such as [11.5, 0.9]"),
    ],
)
def test_what_does_not_fit_is_refused_with_its_key(more: str, told: str) -> None:
    """Each message names the key and what would be right."""
    assert told in refused(RATED + more)


def test_modules_for_different_voltages_need_the_supplys() -> None:
    """Two kinds rated for 12 V and 24 V on one kind of supply: which voltage it holds must be said."""
    other = (
        RATED
        + '[modules.other]\nlumens = 50\nwatts = 1\nvolts = 24\n[[rows]]\nmodule = "other"\nat = ["2 in"]\n'
    )
    two = SIGN.replace("[[rows]]\n", '[[rows]]\nmodule = "standard"\n')
    with pytest.raises(
        StudyError, match=r"power\.supply_volts: must be given where modules are rated for different"
    ):
        study_from_text(two + other)
    said = study_from_text(two + other + "[power]\nsupply_volts = 12\n").sheet
    assert said.wiring is not None
    assert said.wiring.supply_volts == 12.0
