"""Signs of all shapes, lit once, to be drawn."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Direction, Rows
from lumsim.simulation import Simulation, simulate
from lumsim.study.reading import study_from_text
from lumsim.units import Units
from tests.cabinets import DIRECT, OPAL, in_rows
from tests.cli.called import SMALL
from tests.pictures.signs_built import cabinet_of

INCH = 0.0254
BORDERED = replace(OPAL, visible_border=INCH)

TILTED = SMALL.replace(
    '[[rows]]\nz = "0.5 in"\npitch = "4 in"',
    '[[rows]]\nz = "1 in"\npitch = "4 in"\ntilt = "20 deg"',
    1,
).replace("[requirement]", '[[rows]]\non = "bottom"\nat = ["2 in"]\nmodule_count = 3\n\n[requirement]', 1)
"""The small study with rows that lean to the top, and a row on the bottom return."""


def two_faced(cabinet: Cabinet, z: float) -> Cabinet:
    """Make a cabinet double-sided, its modules in a plane, half of their light each way. [m]"""
    (group,) = cabinet.groups
    assert isinstance(group, Rows)
    return replace(cabinet, rear=cabinet.face, groups=(replace(group, z=z, front_share=0.5),))


def _rows(
    width: float, height: float, rows: int, modules: int, direction: Direction = "horizontal"
) -> Cabinet:
    return in_rows(
        width, height, 0.12, rows=rows, modules=modules, direction=direction, face=BORDERED, z=0.05
    )


SIGNS: dict[str, Cabinet] = {
    "1:1": _rows(0.6, 0.6, 4, 6),
    "3:1": _rows(0.9, 0.3, 2, 6),
    "12:1": _rows(2.4, 0.2, 1, 12),
    "1:12": _rows(0.2, 2.4, 12, 1),
    "12:1 upright": _rows(2.4, 0.2, 16, 1, "vertical"),
    "1:12 upright": _rows(0.2, 2.4, 1, 16, "vertical"),
    "no border": in_rows(0.6, 0.3, 0.12, rows=2, modules=4),
    "deep": in_rows(0.1, 0.1, 0.5, rows=1, modules=1, face=BORDERED),
    "on returns": cabinet_of("on returns"),
    "tilted": study_from_text(TILTED).cabinet,
}
"""All with a throw of 70 mm but where modules are on the back itself or on returns."""
SIGNS |= {
    f"{name}, double-sided": two_faced(SIGNS[name], 0.05)
    for name in ("1:1", "3:1", "12:1", "1:12", "12:1 upright")
}

DRAWN: list[tuple[str, Units]] = [(name, "mm" if number % 2 else "in") for number, name in enumerate(SIGNS)]
"""Each of them, in one unit or the other."""


@cache
def lit(name: str) -> Simulation:
    """Light one of the signs, once, by direct light."""
    return simulate(SIGNS[name], lighting=DIRECT)
