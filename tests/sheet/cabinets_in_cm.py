"""Small cabinets with rows and modules at whole centimetres."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import listed
from lumsim.cabinet.rows import Direction, Rows
from tests.cabinets import OPAL

CM = Fraction(1, 100)
POINT = Module(name="point", lumens=100.0)


def in_centimetres(
    rows: list[int], modules: list[int], *, direction: Direction = "horizontal", kind: Module = POINT
) -> Cabinet:
    """A cabinet of 30 × 20 × 10 cm with rows and modules at whole centimetres."""
    across, along = (20, 30) if direction == "horizontal" else (30, 20)
    group = Rows(
        module=kind,
        direction=direction,
        rows=listed(across * CM, [row * CM for row in rows]),
        modules=listed(along * CM, [module * CM for module in modules]),
    )
    return Cabinet(box=Box(width=0.3, height=0.2, depth=0.1), face=OPAL, groups=(group,))


def with_rows_on_left(cabinet: Cabinet) -> Cabinet:
    """Add a row up the left return, 1 cm off it, 5 cm in front of the back."""
    group = Rows(
        module=POINT,
        direction="vertical",
        rows=listed(10 * CM, [5 * CM]),
        modules=listed(20 * CM, [4 * CM, 16 * CM]),
        on="left",
        z=0.01,
    )
    return replace(cabinet, groups=(*cabinet.groups, group))
