"""A section through the cabinet across its rows, true to scale: modules, their rays, and the luminance outside."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import Polygon, Rectangle

from lumsim.cabinet.cabinet import Side
from lumsim.pictures import look
from lumsim.pictures.dimension_lines import DIMENSION, GROUND, DimensionSide
from lumsim.pictures.face_plan import ABOVE, MEAN, ROW, TICK, TICK_PAD
from lumsim.pictures.face_profiles import profiles_of
from lumsim.pictures.lettering import line_height, text_width
from lumsim.pictures.section_layout import (
    ASIDE,
    DOWN,
    FACE,
    LEVEL,
    MODULE,
    RAY,
    WALL,
    Curve,
    Distance,
    SectionLayout,
)
from lumsim.pictures.sheet import PAD, Mark, Sheet, key_height
from lumsim.simulation import Simulation
from lumsim.units import Units

__all__ = ["draw_cabinet_section"]

_MODULE = (0.15, 0.05)
"""A module as drawn: its width and its thickness. [in]"""
_PLANE = Mark(line=look.MUTED, line_width=0.5, dashes=(0, (7, 2, 1, 2)))
_LEADER = Mark(line=look.HAIR, line_width=0.5)
_BREAK = Mark(line=look.INK, line_width=0.9)
_TEXTS_APART = 0.16
"""From one throw's text to the next. [in]"""
_LEAST_RAY = 0.02
"""Weaker rays would not be seen. [1]"""


def draw_cabinet_section(
    simulation: Simulation, *, title: str, units: Units, facts: Sequence[str], side: Side | None = None
) -> Figure:
    """Draw a section across the rows, face up, the same scale both ways, and luminance over it outside of each face.

    Across the rows runs along the paper, from the bottom or the left return on. Where it is twelve times the depth or
    longer its first stretch is drawn, up to a break, and the picture says so. Rays go straight to the surface that
    they meet first, each as thick as the intensity that way, by the greatest of all.

    Parameters
    ----------
    simulation : Simulation
    title : str
    units : {"in", "mm"}
        Of what is told.
    facts : sequence of str
        Lines under the title.
    side : {"front", "rear"}, optional
        Which face is up; unless said, the worse of two. The other one is drawn below.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    with look.drawing():
        layout = SectionLayout.of(simulation, title=title, units=units, facts=facts, side=side)
        sheet = Sheet(layout.width, layout.height)
        sheet.heading(layout.heading)
        _draw_rays(sheet, layout)
        _draw_walls(sheet, layout)
        _draw_modules(sheet, layout)
        _draw_depth(sheet, layout)
        _draw_across(sheet, layout)
        for curve in layout.curves:
            _draw_curve(sheet, layout, curve)
        foot = PAD + len(layout.notes) * line_height(look.TICK)
        sheet.key(layout.key, PAD, foot + 0.06 + key_height(layout.key))
        for number, line in enumerate(layout.notes):
            y = foot - (number + 0.75) * line_height(look.TICK)
            sheet.write(PAD, y, line, look.TICK, colour=look.MUTED)
        return sheet.figure


def _draw_rays(sheet: Sheet, layout: SectionLayout) -> None:
    axes = sheet.axes(*layout.frame, label="section")
    axes.set_axis_off()
    depth = layout.cabinet.box.depth
    axes.set_xlim(0, layout.shown)
    axes.set_ylim(*((depth, 0) if layout.turned else (0, depth)))
    rays = layout.rays
    seen = rays.strengths >= _LEAST_RAY
    lines = LineCollection(
        list(np.stack([rays.starts[seen], rays.ends[seen]], axis=1)),
        colors=RAY.line,
        linewidths=RAY.line_width * rays.strengths[seen],
        capstyle="butt",
        zorder=1,
    )
    lines.set_gid("rays")
    axes.add_collection(lines, autolim=False)


def _draw_walls(sheet: Sheet, layout: SectionLayout) -> None:
    """Draw returns, back or rear face, and face, outside of the inside; then the retainers, and the break."""
    x, y, width, height = layout.frame
    top, right = y + height, x + width
    walls = [(x - WALL, y - WALL, WALL, height + 2 * WALL)]
    if layout.whole:
        walls.append((right, y - WALL, WALL, height + 2 * WALL))
    double = layout.cabinet.double_sided
    if not double:
        walls.append((x - WALL, y - WALL, width + WALL * (2 if layout.whole else 1), WALL))
    for wall in walls:
        sheet.add(Rectangle(wall[:2], *wall[2:], facecolor=look.MUTED, edgecolor="none"))
    for curve in layout.curves:
        at = top if curve.up else y - WALL
        sheet.add(
            Rectangle((x, at), width, WALL, facecolor=FACE.patch, edgecolor=FACE.hatch_colour, linewidth=0.7)
        )
        border = curve.lit.face.visible_border * layout.scale
        if border > 0:
            outside = at + WALL if curve.up else at - WALL
            ends = [(x - WALL, border + WALL)]
            if layout.whole:
                ends.append((right - border, border + WALL))
            for start, length in ends:
                sheet.add(
                    Rectangle((start, outside), length, WALL, facecolor=look.RETAINER, edgecolor="none")
                )
    if not layout.whole:
        _draw_break(sheet, right, y - 2 * WALL, top + 2 * WALL)


def _draw_break(sheet: Sheet, x: float, low: float, high: float) -> None:
    middle, reach = (low + high) / 2, 0.07
    sheet.line(
        [x, x, x + reach, x - reach, x, x],
        [low, middle - 1.5 * reach, middle - reach / 2, middle + reach / 2, middle + 1.5 * reach, high],
        _BREAK,
    ).set_gid("break")


def _draw_modules(sheet: Sheet, layout: SectionLayout) -> None:
    modules = layout.modules
    half, thick = _MODULE[0] / 2, _MODULE[1]
    aside = []
    for (across, z), axis, both in zip(modules.places, modules.axes, modules.both_ways, strict=True):
        if across > layout.shown:
            continue
        at = np.array([layout.along(across), layout.up(z)])
        length = math.hypot(*axis)
        if length < 1e-4:
            aside.append(at)
            continue
        ahead = np.array([axis[0], -axis[1] if layout.turned else axis[1]]) / length
        beside = np.array([-ahead[1], ahead[0]])
        # What shines is at the place itself, the body behind it; one that shines both ways has its place in it.
        front, back = (thick / 2, thick / 2) if both else (0.0, thick)
        corners = [
            at + front * ahead + half * beside,
            at + front * ahead - half * beside,
            at - back * ahead - half * beside,
            at - back * ahead + half * beside,
        ]
        body = Polygon(corners, closed=True, facecolor=MODULE.patch, edgecolor="none", zorder=4)
        body.set_gid("module")
        sheet.add(body)
    if aside:
        sheet.mark([at[0] for at in aside], [at[1] for at in aside], ASIDE)


def _draw_depth(sheet: Sheet, layout: SectionLayout) -> None:
    """Draw the depth on the left of the section, and planes of modules and throws on its right."""
    x, y, width, _ = layout.frame
    left = DimensionSide(axis="y", x=x - WALL, y=0.0, past=0.04)
    _draw_distance(sheet, layout, left, layout.depth, DOWN)
    middle = y + layout.frame[3] / 2
    for number, part in enumerate(layout.depth.text.split(" ", maxsplit=1)):
        up = middle + (0.5 - number) * line_height(look.NUMBER)
        at = x - WALL - DOWN - 0.08
        sheet.write(at, up, part, look.NUMBER, across="right", up="center_baseline")
    right = x + width + (WALL if layout.whole else 0.0)
    for plane in layout.planes:
        sheet.line([x, x + width], [layout.up(plane)] * 2, _PLANE)
    out: dict[bool, int] = {False: 0, True: 0}
    placed = []
    for one in layout.throws:
        to_rear = one.start == 0 and "rear" in one.text
        column = out[to_rear]
        out[to_rear] += 1
        # Outwards is to the right here.
        side = DimensionSide(axis="y", x=right, y=0.0, past=-0.04)
        _draw_distance(sheet, layout, side, one, -DOWN - column * LEVEL)
        placed.append((layout.up((one.start + one.end) / 2), right + DOWN + column * LEVEL, one.text))
    beyond = right + DOWN + (max(out.values()) - 1) * LEVEL
    free = -math.inf
    for middle, line, text in sorted(placed):
        at = max(middle, free)
        free = at + _TEXTS_APART
        sheet.line([line, beyond + 0.13], [middle, at], _LEADER)
        sheet.write(beyond + 0.16, at, text, look.NUMBER, up="center_baseline")


def _draw_distance(
    sheet: Sheet, layout: SectionLayout, side: DimensionSide, one: Distance, out: float
) -> None:
    """Draw a distance of the depth as a line with strokes across its ends."""
    ends = layout.up(one.start), layout.up(one.end)
    for along in ends:
        side.tick(sheet, along, out)
    side.line(sheet, (ends[0], out), (ends[1], out), DIMENSION)


def _draw_across(sheet: Sheet, layout: SectionLayout) -> None:
    """Name what the section ends in, and draw distances across the rows below it, each on a line of its own."""
    x, _, width, _ = layout.frame
    top = layout.names_top
    for number, (name, share) in enumerate(layout.names):
        line = number if layout.names_stacked else 0
        # The ends' names end where the section does.
        across = x + share * (width - text_width(name, look.TICK))
        at = top - (line + 0.8) * line_height(look.TICK)
        sheet.write(across, at, name, look.TICK, colour=look.MUTED)
    side = DimensionSide(axis="x", x=x, y=layout.below, past=0.0)
    for level, one in enumerate(layout.across):
        out = 0.12 + LEVEL * (level + 0.5)
        start, end = one.start * layout.scale, one.end * layout.scale
        for along in (start, end):
            side.tick(sheet, along, out)
        side.line(sheet, (start, out), (end, out), DIMENSION)
        room = layout.width - PAD - (x + end + 0.1)
        fits = text_width(one.text, look.NUMBER) <= room
        at = x + end + 0.1 if fits else x + start - 0.1
        sheet.write(
            at,
            layout.below - out,
            one.text,
            look.NUMBER,
            across="left" if fits else "right",
            up="center_baseline",
        ).set_bbox(GROUND)


def _draw_curve(sheet: Sheet, layout: SectionLayout, curve: Curve) -> None:
    """Draw the luminance outside of a face over its place across the rows; below a face it grows downwards."""
    x, y, width, height = curve.box
    axes = sheet.axes(x, y, width, height, label=f"luminance {curve.lit.side}")
    across, _ = profiles_of(curve.lit)
    axes.set_xlim(0, layout.shown)
    axes.set_ylim(*(layout.limits if curve.up else layout.limits[::-1]))
    axes.fill_between(across.places, across.low, across.high, color=look.BAND, linewidth=0)
    axes.plot(across.places, across.mean, color=MEAN.line, linewidth=MEAN.line_width, zorder=3)
    rows = [line for line in layout.cabinet.row_lines if line <= layout.shown]
    axes.vlines(rows, *layout.limits, colors=look.MUTED, linewidth=ROW.line_width, linestyles=ROW.dashes)
    axes.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
    axes.set_yticks(layout.ticks, [f"{tick:g}" for tick in layout.ticks])
    away = ABOVE - 0.05
    at = y + height + away if curve.up else y - away
    sheet.write(x, at, curve.label, look.LABEL, up="baseline" if curve.up else "top")
