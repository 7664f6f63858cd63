"""The building plan of a sign: cabinet, rows and what holds and feeds them, true to scale on paper."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.building_brackets import draw_brackets
from lumsim.pictures.building_layout import FRONT, INSET, BuildingLayout
from lumsim.pictures.building_marks import (
    BORDER,
    INSIDE,
    WIRE,
    PlanRow,
    cut_mark,
    dot_mark,
    feed_mark,
    joint_mark,
    support_mark,
)
from lumsim.pictures.building_numbers import draw_row_numbers
from lumsim.pictures.building_section import draw_section
from lumsim.pictures.building_supplies import PlanSupply, draw_boxes, draw_strip
from lumsim.pictures.dimension_lines import BEFORE_LINE, Axis, DimensionSide, draw_chain
from lumsim.pictures.lettering import drawable, line_height
from lumsim.pictures.sheet import PAD, Mark, Sheet
from lumsim.pictures.title_strip import TitleStrip, draw_title_strip
from lumsim.uniformity.face_map import Array
from lumsim.units import Units, format_size

__all__ = ["PlanRow", "PlanSupply", "building_plan"]

_EDGE_ON = 0.005
"""A thinner opening, as on a return, is a line. [in]"""
_MANY_MODULES = 4000
"""From here on modules are dots of an image in files of lines too. [1]"""


def building_plan(
    cabinet: Cabinet, rows: Sequence[PlanRow], supplies: Sequence[PlanSupply], *, title: str, units: Units
) -> Figure:
    """Draw what to build: the cabinet from in front and in section, its rows, supports, joints, feeds and supplies.

    The drawing is true to scale on paper, 11 × 17 in for inches and A3 for millimetres, at the largest usual
    scale at which everything has room.

    Parameters
    ----------
    cabinet : Cabinet
    rows : sequence of PlanRow
        All rows of the cabinet.
    supplies : sequence of PlanSupply
    title : str
        Of the study.
    units : {"in", "mm"}
        Of the numbers; it says the paper and the scales too.

    Returns
    -------
    Figure
        As large as the paper; bound to no window and known to no list of figures.

    Raises
    ------
    InputError
        Where it has no room on its paper at any usual scale.
    """
    with look.drawing():
        plan = BuildingLayout.of(cabinet, rows, supplies, units)
        sheet = Sheet(plan.paper.width, plan.paper.height)
        _draw_cabinet(sheet, plan)
        _draw_rows(sheet, plan)
        for numbers in plan.numbers:
            draw_row_numbers(sheet, numbers, *plan.front, *plan.size)
        (x, y), (width, height) = plan.front, plan.size
        for found in plan.brackets:
            if found.direction == "horizontal":
                draw_brackets(sheet, found, x + width + plan.out("y"), y)
            else:
                draw_brackets(sheet, found, x, y + height + plan.out("x"))
        _draw_distances(sheet, plan)
        draw_boxes(sheet, plan.supplies.placed, *plan.front)
        draw_section(sheet, plan.section, *plan.section_at, scale=plan.scale, sizes=plan.sizes)
        left = PAD + INSET
        draw_strip(sheet, plan.supplies, left, plan.strip_top)
        for number, note in enumerate(plan.notes):
            y = plan.notes_top - (number + 0.75) * line_height(look.TICK)
            sheet.write(left, y, note, look.TICK, colour=look.MUTED)
        sheet.key(plan.key, left, plan.key_top)
        box = cabinet.box
        draw_title_strip(
            sheet,
            TitleStrip(
                title=drawable(title),
                facts=[
                    f"{format_size((box.width, box.height, box.depth), units)} inside, width × height × depth",
                    f"rows: {len(rows)}, modules: {sum(row.string.count for row in rows)}, supplies: {len(supplies)}",
                ],
                paper=plan.paper,
                ratio=plan.ratio,
                units=units,
            ),
        )
        return sheet.figure


def _draw_cabinet(sheet: Sheet, plan: BuildingLayout) -> None:
    """Draw the inside of the returns and the edge of what is seen of the face."""
    (x, y), (width, height) = plan.front, plan.size
    inside = sheet.line([x, x + width, x + width, x, x], [y, y, y + height, y + height, y], INSIDE)
    inside.set_gid("inside")
    border = plan.cabinet.face.visible_border * plan.scale
    if border > 0:
        x0, x1, y0, y1 = x + border, x + width - border, y + border, y + height - border
        sheet.line([x0, x1, x1, x0, x0], [y0, y0, y1, y1, y0], BORDER)
    above = plan.out("x") + sum(one.room for one in plan.brackets if one.direction == "vertical")
    sheet.write(x, y + height + above + 0.12, FRONT, look.TICK, colour=look.MUTED)


def _draw_rows(sheet: Sheet, plan: BuildingLayout) -> None:
    """Draw strings with their modules, and what holds, joins and feeds them."""
    origin, scale, sizes = np.array(plan.front), plan.scale, plan.sizes
    strings = [origin + line.places * scale for line in plan.lines]
    sheet.add(LineCollection(strings, colors=WIRE.line, linewidths=WIRE.line_width, zorder=2))
    shapes = plan.shapes
    many = len(shapes.outlines) + len(shapes.dots) > _MANY_MODULES
    if shapes.outlines:
        outlines = [origin + outline * scale for outline in shapes.outlines]
        sheet.add(
            PolyCollection(
                outlines,
                facecolors=look.INK,
                edgecolors=look.INK,
                linewidths=[0.3 if np.ptp(one, axis=0).min() > _EDGE_ON else 1.8 for one in outlines],
                zorder=3,
                gid="openings",
                rasterized=many,
            )
        )
    if len(shapes.dots):
        dots = _marked(sheet, plan, shapes.dots, dot_mark(sizes), "modules")
        dots.set_rasterized(many)
        dots.set_zorder(3)
    directions: tuple[Direction, ...] = ("horizontal", "vertical")
    for direction in directions:
        lines = [line for line in plan.lines if line.direction == direction]
        supports = [line.supports for line in lines if line.row.supports]
        joints = [line.joints for line in lines if line.row.joints]
        if supports:
            _marked(
                sheet, plan, np.concatenate(supports), support_mark(direction, sizes), f"supports-{direction}"
            )
        if joints:
            _marked(sheet, plan, np.concatenate(joints), joint_mark(sizes), f"joints-{direction}")
        cuts = [line.cuts for line in lines if line.row.cuts]
        if cuts:
            _marked(sheet, plan, np.concatenate(cuts), cut_mark(sizes), f"cuts-{direction}")
    for name, marker in (("above", "v"), ("below", "^"), ("right", "<"), ("left", ">")):
        points = [(point.x, point.y) for point in plan.feed_points if point.marker == marker]
        if points:
            _marked(sheet, plan, np.array(points) / scale, feed_mark(marker, sizes), f"feeds-{name}")
    for number in plan.feed_numbers:
        x, y = origin + np.array((number.x, number.y))
        sheet.write(x, y, number.text, look.NUMBER, across="center", up="center", halo=look.PAPER)


def _marked(sheet: Sheet, plan: BuildingLayout, places: Array, mark: Mark, name: str) -> Line2D:
    """Draw a marker at (n, 2) places of the cabinet [m], by a name that it has in the file too."""
    x, y = (np.array(plan.front) + places * plan.scale).T.tolist()
    drawn = sheet.mark(x, y, mark)
    drawn.set_gid(name)
    return drawn


def _draw_distances(sheet: Sheet, plan: BuildingLayout) -> None:
    """Draw the dimension lines below the cabinet and on its left, the overall ones outermost."""
    x, y = plan.front
    axes: tuple[Axis, ...] = ("x", "y")
    for axis in axes:
        out = plan.out(axis)
        side = DimensionSide(axis=axis, x=x, y=y, past=max(out, 0.05))
        for one in plan.chains:
            if one.axis == axis:
                draw_chain(sheet, side, one.chain, out + BEFORE_LINE, one.letter)
                out += one.chain.room
