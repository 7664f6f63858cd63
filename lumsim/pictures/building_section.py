"""The section beside a building plan: depth, planes of modules, throws. Paper in inches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures import look
from lumsim.pictures.building_marks import BORDER, INSIDE, PLANE, MarkSizes, dot_mark
from lumsim.pictures.dimension_lines import DIMENSION, DimensionSide
from lumsim.pictures.lettering import text_width
from lumsim.pictures.sheet import Sheet
from lumsim.uniformity.face_map import Array
from lumsim.units import Units, format_length

__all__ = ["SECTION", "SectionPlan", "draw_section", "section_plan"]

SECTION: Final = "section, from the left"
"""What stands above it."""

_LABEL: Final = 0.2
"""What the name of a face takes beside it. [in]"""
_LEVEL: Final = 0.2
"""From one distance to the next. [in]"""
_MOST_PLANES: Final = 2
"""More planes of modules than this are not told one by one. [1]"""
_SAME_PLANE: Final = 5e-5
"""[m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionPlan:
    """What is drawn of the section."""

    depth: float
    """[m]"""
    height: float
    """[m]"""
    planes: tuple[float, ...]
    """of modules that are on no return, above the back or rear face, rising [m]"""
    told: tuple[tuple[str, float, float], ...]
    """distances: text, from, to [m]"""
    rear: str
    """what is at the rear"""
    borders: tuple[tuple[float, float], ...]
    """each face: where it is [m], and how much of it is hidden at either end [m]"""
    modules: Array
    """(n, 2) depth and height of modules [m]"""
    notes: tuple[str, ...]
    """what is not told in the drawing"""

    def width(self, scale: float) -> float:
        """What it takes beside the cabinet. [in]"""
        texts = max(text_width(text, look.NUMBER) for text, _, _ in self.told)
        drawn = 2 * _LABEL + self.depth * scale
        return max(drawn, _LABEL + self.depth * scale + 0.1 + texts, text_width(SECTION, look.TICK) + 0.05)

    @property
    def below(self) -> float:
        """What it takes below the cabinet. [in]"""
        return 0.1 + _LEVEL * len(self.told)


def section_plan(cabinet: Cabinet, units: Units) -> SectionPlan:
    """Find what a section through a cabinet shows.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
    """
    depth = cabinet.box.depth
    emitters = cabinet.emitters()
    parts = [group.emitters().z for group in cabinet.groups if not cabinet.mounting(group).on_return]
    heights = np.unique(np.concatenate(parts)) if parts else np.empty(0)
    starts = np.nonzero(np.diff(heights, prepend=-np.inf) > _SAME_PLANE)[0]
    planes = tuple(float(height) for height in heights[starts])
    shown = planes if len(planes) <= _MOST_PLANES else (planes[0], planes[-1])
    to_front = "throw to the front" if cabinet.double_sided else "throw"
    told = [(f"{to_front} {format_length(depth - z, units)}", z, depth) for z in reversed(shown)]
    if cabinet.double_sided:
        told += [(f"throw to the rear {format_length(z, units)}", 0.0, z) for z in shown]
    told.append((f"depth {format_length(depth, units)}", 0.0, depth))
    hidden = len(planes) - len(shown)
    return SectionPlan(
        depth=depth,
        height=cabinet.box.height,
        planes=planes,
        told=tuple(told),
        rear="rear" if cabinet.double_sided else "back",
        borders=tuple(
            (depth if side == "front" else 0.0, face.visible_border) for side, face in cabinet.faces
        ),
        modules=np.unique(np.round(np.column_stack([emitters.z, emitters.y]), 5), axis=0),
        notes=(f"section: planes of modules between those told: {hidden}",) if hidden else (),
    )


def draw_section(
    sheet: Sheet, plan: SectionPlan, x: float, y: float, *, scale: float, sizes: MarkSizes
) -> None:
    """Draw the section with the back's lower end at a place of the sheet.

    Parameters
    ----------
    sheet : Sheet
    plan : SectionPlan
    x, y : float
        [in]
    scale : float
        [in of paper for 1 m]
    sizes : MarkSizes
    """
    width, height = plan.depth * scale, plan.height * scale
    sheet.line([x, x + width, x + width, x, x], [y, y, y + height, y + height, y], INSIDE)
    for at, border in plan.borders:
        if border > 0:
            for end in (border, plan.height - border):
                sheet.line([x + at * scale - 0.07, x + at * scale + 0.07], [y + end * scale] * 2, BORDER)
    for z in plan.planes:
        sheet.line([x + z * scale] * 2, [y, y + height], PLANE)
    sheet.mark(
        (x + plan.modules[:, 0] * scale).tolist(),
        (y + plan.modules[:, 1] * scale).tolist(),
        dot_mark(sizes),
    )
    for name, at in ((plan.rear, x - _LABEL / 2 - 0.02), ("front", x + width + _LABEL / 2 + 0.02)):
        sheet.write(at, y + height / 2, name, look.TICK, across="center", up="center", rotation=90)
    sheet.write(x - _LABEL, y + height + 0.12, SECTION, look.TICK, colour=look.MUTED)
    side = DimensionSide(axis="x", x=x, y=y, past=0.04)
    for level, (text, start, end) in enumerate(plan.told):
        out = 0.1 + _LEVEL * (level + 0.5)
        for along in (start, end):
            side.tick(sheet, along * scale, out)
        side.line(sheet, (start * scale, out), (end * scale, out), DIMENSION)
        sheet.write(x + width + 0.1, y - out, text, look.NUMBER, up="center_baseline")
