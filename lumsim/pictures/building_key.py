"""The key of a building plan: each mark that is in it, and no other."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures.building_marks import (
    BORDER,
    INSIDE,
    MODULE,
    PLANE,
    SUPPLY,
    WIRE,
    MarkSizes,
    ModuleShapes,
    RowLine,
    cut_mark,
    dot_mark,
    feed_mark,
    joint_mark,
    support_mark,
)
from lumsim.pictures.building_supplies import SupplyBoxes
from lumsim.pictures.sheet import KeyEntry

__all__ = ["building_key"]

_IN_KEY = MarkSizes(dot=0.04, bar=0.14, feed=0.1, joint=0.08, dense=False)


def building_key(
    cabinet: Cabinet, lines: Sequence[RowLine], shapes: ModuleShapes, boxes: SupplyBoxes
) -> list[KeyEntry]:
    """List the marks of a plan and what they mean.

    Parameters
    ----------
    cabinet : Cabinet
    lines : sequence of RowLine
    shapes : ModuleShapes
    boxes : SupplyBoxes
    """
    entries = [KeyEntry(mark=INSIDE, text="inside of the returns")]
    if any(face.visible_border > 0 for _, face in cabinet.faces):
        entries.append(KeyEntry(mark=BORDER, text="edge of the visible face"))
    if shapes.outlines:
        entries.append(KeyEntry(mark=MODULE, text="module: what shines of it, to scale"))
    if len(shapes.dots):
        entries.append(KeyEntry(mark=dot_mark(_IN_KEY), text="module: its middle"))
    entries.append(KeyEntry(mark=WIRE, text="string of a row"))
    if any(not cabinet.mounting(group).on_return for group in cabinet.groups):
        entries.append(KeyEntry(mark=PLANE, text="plane of the modules"))
    # As it is in the first row that has one: marks stand across their rows.
    held = [one.direction for one in lines if one.row.supports]
    if held:
        entries.append(KeyEntry(mark=support_mark(held[0], _IN_KEY), text="support"))
    fed = [one.direction for one in lines if one.row.feeds]
    if fed:
        marker = "v" if fed[0] == "horizontal" else "<"
        entries.append(KeyEntry(mark=feed_mark(marker, _IN_KEY), text="feed point, S: its supply"))
    if any(one.row.joints for one in lines):
        entries.append(KeyEntry(mark=joint_mark(_IN_KEY), text="joint between sections"))
    if any(one.row.cuts for one in lines):
        entries.append(KeyEntry(mark=cut_mark(_IN_KEY), text="cut between parts, each fed by itself"))
    if boxes.placed:
        entries.append(KeyEntry(mark=SUPPLY, text="supply"))
    return entries
