"""Signs that build sheets are tried on, and what their studies say."""

from __future__ import annotations

from lumsim.sheet.assembly import Assembly, assembled
from lumsim.sheet.strings import row_strings
from lumsim.study.reading import Study, study_from_text

SIGN = """
[cabinet]
width = "60 in"
height = "24 in"
depth = "6 in"
[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"
[[rows]]
pitch = "6 in"
module_count = 12
module_pitch = "5 in"
[modules.standard]
lumens = 60.0
watts = 0.7
volts = 12.0
"""
"""Four rows of twelve modules, 0.7 W each."""

STRING = '[modules.standard.string]\nroll_modules = 30\npitch = "5 in"\nmodule_length = "2 in"\n'
SUPPORTS = '[supports]\nhorizontal_interval = "25 in"\n'
POWER = "[power]\nsupply_watts = 25.0\n"


def sign(*more: str, without: str = "") -> Study:
    """Return the study, its text going on; and without a piece of it."""
    return study_from_text(SIGN.replace(without, "") + "".join(more))


def built(study: Study) -> Assembly:
    """Put a study's sign together."""
    asked = study.sheet
    return assembled(
        row_strings(study.cabinet),
        study.cabinet,
        study.building.rules,
        None if asked.untold else asked.electrics,
        asked.wiring,
    )
