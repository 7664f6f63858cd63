"""The lit face with what stands out on it, and the profile across the rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.ticker import MaxNLocator

from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.contours import contour_shares, draw_contours, write_on_contours
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.lettering import Box, Taken, is_within, line_height, text_width, wrapped
from lumsim.pictures.sheet import (
    PAD,
    Heading,
    KeyEntry,
    Mark,
    Sheet,
    key_height,
    key_rows,
    length_ticks,
    plain_number,
)
from lumsim.simulation import Simulation
from lumsim.uniformity.face_map import Array
from lumsim.uniformity.spots import Spot, Stripe
from lumsim.units import Units, length_number

__all__ = ["draw_face"]

NUMBERED = 5
"""Spots of each kind that bear their number, strongest first. [1]"""

LEAST_RANGE = 0.1
"""The colours span at least this share of the maximum, so that an even face looks even. [1]"""

_AREA = 30.0
"""Of the face on paper. [in²]"""
_LONGEST = (10.5, 9.0)
"""The face on paper, along x and y. [in]"""
_LEAST_WIDTH = 6.2
"""Of the sheet. [in]"""
_PROFILE = 2.4
"""The profile's luminance axis on paper. [in]"""
_STRIP = 0.11
"""Width of the strip of colours along the luminance axis. [in]"""
_TICK = 0.04
"""Length of a tick. [in]"""
_TICK_PAD = 5.5
"""From a tick to its number: enough for a marker on the map's corner. [pt]"""
_ABOVE = 0.13
"""From an axis to the label above it, likewise. [in]"""
_LABEL_WIDTH = 1.3
"""A label may always be so wide. [in]"""
_MANY_MODULES = 4000
"""From here on modules are dots of an image in an SVG file too. [1]"""

_BESIDE: Final = ((1, 0), (-1, 0), (0, 1), (0, -1), (0.8, 0.8), (-0.8, 0.8), (0.8, -0.8), (-0.8, -0.8))
"""Where a spot's number may stand, best first. [1]"""

HOT: Final = Mark(marker="^", size=6.0, face=look.PAPER, edge=look.INK)
DARK: Final = Mark(marker="v", size=6.0, face=look.INK, edge=look.PAPER)
BRIGHTEST: Final = Mark(marker="o", size=12.0, edge=look.INK, edge_width=1.3, halo=look.PAPER)
DARKEST: Final = Mark(marker="s", size=11.5, edge=look.INK, edge_width=1.3, halo=look.PAPER)
MEAN: Final = Mark(line=look.INK, line_width=1.6)
RANGE: Final = Mark(patch=look.BAND)
ROW: Final = Mark(line=look.MUTED, line_width=0.7, dashes=(0, (1, 2.5)))
CONTOUR: Final = Mark(line=look.INK, line_width=0.8)
BORDER: Final = Mark(patch=look.HIDDEN)


def draw_face(simulation: Simulation, *, title: str, units: Units, facts: Sequence[str]) -> Figure:
    """Draw the lit face in its place in the cabinet, and beside it the profile across the rows.

    The map's colours and the profile share one luminance axis, and so do the contour lines and the ticks on
    the profile's far side. Rows that run along the width have their profile to the right of the map, rows
    that run along the height below it, in either case on the map's own scale of lengths.

    Parameters
    ----------
    simulation : Simulation
    title : str
    units : {"in", "mm"}
        Of the axes.
    facts : sequence of str
        Lines under the title.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    with look.drawing():
        plan = _Plan.of(simulation, title=title, units=units, facts=facts)
        sheet = Sheet(plan.width, plan.height)
        sheet.heading(plan.heading)
        face = sheet.axes(*plan.face, label="face")
        profile = sheet.axes(*plan.profile, label="profile")
        _draw_lengths(sheet, face, plan)
        _draw_map(sheet, face, plan)
        _draw_profile(profile, plan)
        _draw_luminances(sheet, plan)
        _draw_stripes(sheet, plan)
        sheet.key(plan.key, plan.key_at[0], plan.key_at[1])
        return sheet.figure


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """Where everything goes; boxes are x, y, width, height in inches."""

    simulation: Simulation
    drawn: DrawnMap
    units: Units
    heading: Heading
    labels: dict[str, list[str]]
    """of the axes of lengths, in lines"""
    key: list[list[KeyEntry]]
    key_at: tuple[float, float]
    width: float
    height: float
    face: tuple[float, float, float, float]
    profile: tuple[float, float, float, float]
    scale: float
    """of lengths on paper [in of paper for one of the unit]"""
    limits: tuple[float, float]
    """of the luminance axis and the colours [cd/m²]"""
    ticks: list[float]
    """of the luminance axis [cd/m²]"""
    upright: bool
    """whether stripes' labels are turned to run upwards"""

    @property
    def horizontal(self) -> bool:
        """Whether the rows run along the width."""
        return self.simulation.spots.direction == "horizontal"

    @property
    def size(self) -> tuple[float, float]:
        """Of the cabinet's inside, width and height, in the unit."""
        box = self.simulation.cabinet.box
        return length_number(box.width, self.units), length_number(box.height, self.units)

    @property
    def shares(self) -> list[float]:
        """Of the maximum, where contour lines are drawn."""
        top, bottom = self.simulation.evenness.brightest.value, self.simulation.evenness.darkest.value
        return contour_shares(bottom / top, (self.limits[1] - self.limits[0]) / top)

    def on_paper(self, x: float, y: float) -> tuple[float, float]:
        """Return the place of a point of the face [m] on the sheet [in]."""
        return (
            self.face[0] + length_number(x, self.units) * self.scale,
            self.face[1] + length_number(y, self.units) * self.scale,
        )

    @staticmethod
    def of(simulation: Simulation, *, title: str, units: Units, facts: Sequence[str]) -> _Plan:
        box, stripes = simulation.cabinet.box, simulation.spots.stripes
        horizontal = simulation.spots.direction == "horizontal"
        size = length_number(box.width, units), length_number(box.height, units)
        shape = size[0] / size[1]
        scale = min(
            math.sqrt(_AREA * shape) / size[0],
            *(longest / side for longest, side in zip(_LONGEST, size, strict=True)),
        )
        map_width, map_height = size[0] * scale, size[1] * scale

        limits = _luminance_limits(simulation)
        ticks = _luminance_ticks(limits)
        lengths = length_ticks(size[1], units, inches_per_unit=scale, apart=0.36)
        tick = _TICK + _TICK_PAD / 72
        left = PAD + tick + 0.02 + max(text_width(f"{length:g}", look.TICK) for length in lengths)
        labels = {
            axis: wrapped(_length_label(axis, units), look.LABEL, max(map_width, _LABEL_WIDTH))
            for axis in "xy"
        }
        column = max(map_width, *(text_width(line, look.LABEL) for axis in "xy" for line in labels[axis]))
        stripe_width = max((text_width(_told(stripe), look.NUMBER) for stripe in stripes), default=0.0)
        upright = not horizontal and _closest(stripes, units) * scale < stripe_width + 0.1
        if horizontal:
            stripe_room = stripe_width + 0.2 if stripes else 0.0
            width = left + column + 0.4 + _PROFILE + stripe_room + PAD
        else:
            stripe_room = (stripe_width if upright else line_height(look.NUMBER)) + 0.15 if stripes else 0.0
            luminances = max(text_width(f"{value:g}", look.TICK) for value in ticks)
            left = max(left, PAD + _STRIP + 0.03 + tick + 0.02 + luminances)
            shares = text_width("99.5 %", look.TICK) + _TICK + 0.08
            # The last tick's and the last stripe's label may reach beyond the map by half.
            width = left + max(column, map_width + max(shares, stripe_width / 2)) + PAD
        width = max(width, _LEAST_WIDTH)

        heading = Heading.wrapped(title, facts, width - 2 * PAD)
        entries = _key(simulation)
        beside = not horizontal and width - left - column > 3.0
        key_left = left + column + 0.4 if beside else PAD
        key = key_rows(entries, width - key_left - PAD)

        label = line_height(look.LABEL)
        above, below = (len(labels[axis]) * label for axis in "yx")
        tick_room = tick + line_height(look.TICK)
        map_top = PAD + heading.height + (0.15 if heading.height else 0.0) + _ABOVE + above
        map_bottom = map_top + map_height
        if horizontal:
            bottom = map_bottom + max(tick_room + below, _STRIP + 0.03 + tick_room + label)
        else:
            profile_top = map_bottom + tick_room + below + 0.12 + label + _ABOVE
            bottom = profile_top + _PROFILE + stripe_room
        height = bottom + PAD + (0.0 if beside else 0.12 + key_height(key))
        if beside:
            height = max(height, map_top + key_height(key) + PAD)
        return _Plan(
            simulation=simulation,
            drawn=DrawnMap.of(simulation.luminance, units),
            units=units,
            heading=heading,
            labels=labels,
            key=key,
            key_at=(key_left, height - map_top if beside else height - bottom - 0.12),
            width=width,
            height=height,
            face=(left, height - map_bottom, map_width, map_height),
            profile=(left + column + 0.4, height - map_bottom, _PROFILE, map_height)
            if horizontal
            else (left, height - profile_top - _PROFILE, map_width, _PROFILE),
            scale=scale,
            limits=limits,
            ticks=ticks,
            upright=upright,
        )


def _luminance_limits(simulation: Simulation) -> tuple[float, float]:
    top = simulation.evenness.brightest.value
    bottom = min(simulation.evenness.darkest.value, (1 - LEAST_RANGE) * top)
    room = 0.02 * (top - bottom)
    return max(bottom - room, 0.0), top + room


def _luminance_ticks(limits: tuple[float, float]) -> list[float]:
    ticks = MaxNLocator(nbins=4, steps=[1, 2, 2.5, 5, 10]).tick_values(*limits)
    # Ten digits do away with the last bits of a multiple of a tenth.
    return [float(f"{tick:.10g}") for tick in ticks if limits[0] <= tick <= limits[1]]


def _length_label(axis: str, units: Units) -> str:
    return f"{axis} from the {'left' if axis == 'x' else 'bottom'} return [{units}]"


def _told(stripe: Stripe) -> str:
    """Say what a stripe's label says: its rows and its contrast."""
    rows = f"rows {stripe.rows[0]}–{stripe.rows[-1]}" if len(stripe.rows) > 1 else f"row {stripe.rows[0]}"
    return f"{rows}: {stripe.contrast:.2f}"


def _closest(stripes: Sequence[Stripe], units: Units) -> float:
    """Return the least distance between stripes, in the unit."""
    positions = [length_number(stripe.position, units) for stripe in stripes]
    return min((b - a for a, b in pairwise(positions)), default=math.inf)


def _key(simulation: Simulation) -> list[KeyEntry]:
    even, spots = simulation.evenness, simulation.spots
    modules = len(simulation.cabinet.emitters())
    entries = [
        KeyEntry(mark=BRIGHTEST, text=f"brightest, {plain_number(even.brightest.value)} cd/m²"),
        KeyEntry(mark=DARKEST, text=f"darkest, {plain_number(even.darkest.value)} cd/m²"),
    ]
    for mark, kind, listed, rest in (
        (HOT, "hot", spots.hot, spots.hot_not_listed),
        (DARK, "dark", spots.dark, spots.dark_not_listed),
    ):
        if listed:
            more = f", {rest} weaker ones not shown" if rest else ""
            text = f"{kind} spot{'s' if len(listed) > 1 else ''}: {len(listed)}{more}"
            entries.append(KeyEntry(mark=mark, text=text))
    entries += [
        KeyEntry(mark=_module_mark(2.4), text=f"module{'s' if modules > 1 else ''}: {modules}"),
        KeyEntry(mark=CONTOUR, text="contour: share of the maximum"),
    ]
    if spots.stripes:
        entries.append(KeyEntry(mark=_stripe_mark(spots.direction), text="stripe: its rows, its contrast"))
    entries += [
        KeyEntry(mark=MEAN, text="mean along the rows"),
        KeyEntry(mark=RANGE, text="lowest to highest along the rows"),
        KeyEntry(mark=ROW, text="row"),
    ]
    if simulation.cabinet.face.visible_border > 0:
        entries.append(KeyEntry(mark=BORDER, text="hidden by the retainer"))
    return entries


def _stripe_mark(direction: Direction) -> Mark:
    return Mark(marker="<" if direction == "horizontal" else "^", size=4.5, face=look.INK, edge_width=0.0)


def _module_mark(size: float) -> Mark:
    return Mark(marker="o", size=size, face=look.INK, edge=look.PAPER, edge_width=min(0.5, size / 5))


def _draw_lengths(sheet: Sheet, face: Axes, plan: _Plan) -> None:
    """Draw the cabinet's inside as a frame, with what is measured along it."""
    width, height = plan.size
    x, y, _, map_height = plan.face
    face.set_xlim(0, width)
    face.set_ylim(0, height)
    face.set_facecolor(look.HIDDEN)
    face.tick_params(length=72 * _TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=_TICK_PAD)
    widest = text_width(f"{width:.0f}", look.TICK)
    along = length_ticks(width, plan.units, inches_per_unit=plan.scale, apart=max(0.5, widest + 0.25))
    up = length_ticks(height, plan.units, inches_per_unit=plan.scale, apart=0.36)
    face.set_xticks(along, [f"{tick:g}" for tick in along])
    face.set_yticks(up, [f"{tick:g}" for tick in up])
    below = y - _TICK - _TICK_PAD / 72 - line_height(look.TICK)
    for number, line in enumerate(plan.labels["x"]):
        sheet.write(x, below - number * line_height(look.LABEL), line, look.LABEL, up="top")
    for number, line in enumerate(reversed(plan.labels["y"])):
        sheet.write(x, y + map_height + _ABOVE + number * line_height(look.LABEL), line, look.LABEL)


def _draw_map(sheet: Sheet, face: Axes, plan: _Plan) -> None:
    drawn, taken = plan.drawn, Taken()
    x0, x1, y0, y1 = (float(edge) for edge in (drawn.x[0], drawn.x[-1], drawn.y[0], drawn.y[-1]))
    # A sample sits in the middle of its dot: the outermost dots reach beyond the map by half, and are cut.
    half_x, half_y = ((places[1] - places[0]) / 2 for places in (drawn.x, drawn.y))
    image = face.imshow(
        drawn.values,
        cmap=look.colour_map(),
        norm=Normalize(*plan.limits),
        origin="lower",
        extent=(x0 - half_x, x1 + half_x, y0 - half_y, y1 + half_y),
        interpolation="bilinear",
        interpolation_stage="data",
        aspect="auto",
    )
    visible = Rectangle((x0, y0), x1 - x0, y1 - y0, transform=face.transData)
    image.set_clip_path(visible)
    face.add_patch(Rectangle((x0, y0), x1 - x0, y1 - y0, fill=False, edgecolor=look.INK, linewidth=0.6))
    # imshow may widen what it is shown in.
    face.set_xlim(0, plan.size[0])
    face.set_ylim(0, plan.size[1])

    marks = _draw_marks(sheet, face, plan, taken)
    top = plan.simulation.evenness.brightest.value
    lines = draw_contours(face, drawn, [share * top for share in plan.shares], plan.limits)
    paper = (plan.face[0], plan.face[1], plan.scale)
    edge = 0.04
    inside = (
        plan.face[0] + x0 * plan.scale + edge,
        plan.face[1] + y0 * plan.scale + edge,
        plan.face[0] + x1 * plan.scale - edge,
        plan.face[1] + y1 * plan.scale - edge,
    )
    _number_spots(sheet, marks, taken, inside, plan)
    write_on_contours(sheet, lines, plan.shares, plan.limits, top, paper, inside, taken)


def _draw_marks(sheet: Sheet, face: Axes, plan: _Plan, taken: Taken) -> list[tuple[Spot, float, float, int]]:
    """Draw modules, spots and extremes; return the spots that bear a number, and their places."""
    simulation = plan.simulation
    emitters = simulation.cabinet.emitters()
    room = math.sqrt(plan.face[2] * plan.face[3] / len(emitters))
    modules = _module_mark(min(2.4, max(0.5, 72 * 0.22 * room))).drawn_at(
        [length_number(x, plan.units) for x in emitters.x.tolist()],
        [length_number(y, plan.units) for y in emitters.y.tolist()],
        layer=3,
    )
    modules.set_rasterized(len(emitters) > _MANY_MODULES)
    face.add_line(modules)

    numbered = []
    for mark, spots in ((DARK, simulation.spots.dark), (HOT, simulation.spots.hot)):
        for number, spot in enumerate(spots, start=1):
            x, y = plan.on_paper(spot.x, spot.y)
            taken.take(_around(x, y, 0.05))
            if number <= NUMBERED:
                numbered.append((spot, x, y, number))
        if spots:
            places = [plan.on_paper(spot.x, spot.y) for spot in spots]
            sheet.mark([x for x, _ in places], [y for _, y in places], mark)
    for mark, extreme in ((BRIGHTEST, simulation.evenness.brightest), (DARKEST, simulation.evenness.darkest)):
        x, y = plan.on_paper(extreme.x, extreme.y)
        sheet.mark([x], [y], mark)
        taken.take(_around(x, y, 0.1))
    return numbered


def _around(x: float, y: float, reach: float) -> Box:
    return x - reach, y - reach, x + reach, y + reach


def _number_spots(
    sheet: Sheet,
    numbered: Sequence[tuple[Spot, float, float, int]],
    taken: Taken,
    inside: Box,
    plan: _Plan,
) -> None:
    """Write the strongest spots' numbers beside them, where there is room."""
    for spot, x, y, number in sorted(numbered, key=lambda one: one[3]):
        text = str(number)
        half_width, half_height = text_width(text, look.NUMBER) / 2 + 0.01, 0.055
        share = (spot.luminance - plan.limits[0]) / (plan.limits[1] - plan.limits[0])
        places = [
            (x + dx * (distance + half_width), y + dy * (distance + half_height))
            for distance in (0.06, 0.11)
            for dx, dy in _BESIDE
        ]
        for px, py in places:
            box = (px - half_width, py - half_height, px + half_width, py + half_height)
            if is_within(box, inside) and taken.take_if_free(box):
                colour = look.ink_on(share)
                halo = look.PAPER if colour == look.INK else look.INK
                sheet.write(
                    px,
                    py,
                    text,
                    look.NUMBER,
                    colour=colour,
                    bold=True,
                    across="center",
                    up="center",
                    halo=halo,
                )
                break


def _draw_profile(profile: Axes, plan: _Plan) -> None:
    """Draw mean, lowest and highest along the rows, against the place across them."""
    drawn, horizontal = plan.drawn, plan.horizontal
    places, along, axis = (drawn.y, drawn.x, 1) if horizontal else (drawn.x, drawn.y, 0)
    mean: Array = np.trapezoid(drawn.values, along, axis=axis) / (along[-1] - along[0])
    low, high = drawn.values.min(axis=axis), drawn.values.max(axis=axis)
    extent = plan.size[1] if horizontal else plan.size[0]
    rows = [length_number(line, plan.units) for line in plan.simulation.cabinet.row_lines]
    contours = [share * plan.simulation.evenness.brightest.value for share in plan.shares]
    profile.set_xlim(*(plan.limits if horizontal else (0, extent)))
    profile.set_ylim(*((0, extent) if horizontal else plan.limits))
    fill, row_lines, contour_lines = (
        (profile.fill_betweenx, profile.hlines, profile.vlines)
        if horizontal
        else (profile.fill_between, profile.vlines, profile.hlines)
    )
    fill(places, low, high, color=look.BAND, linewidth=0)
    contour_lines(contours, 0, extent, colors=look.HAIR, linewidth=0.6, zorder=0.5)
    row_lines(rows, *plan.limits, colors=look.MUTED, linewidth=ROW.line_width, linestyles=ROW.dashes)
    profile.plot(
        *((mean, places) if horizontal else (places, mean)),
        color=look.INK,
        linewidth=MEAN.line_width,
        zorder=3,
    )


def _draw_luminances(sheet: Sheet, plan: _Plan) -> None:
    """Draw the luminance axis: cd/m² along the strip of colours, shares of the maximum on the far side."""
    x, y, width, height = plan.profile
    low, high = plan.limits
    top = plan.simulation.evenness.brightest.value
    label = "luminance [cd/m²]"
    ramp = np.linspace(low, high, 256)[None, :]
    if plan.horizontal:
        strip = sheet.axes(x, y - _STRIP - 0.03, width, _STRIP, label="colours")
        strip.imshow(ramp, cmap=look.colour_map(), aspect="auto", extent=(low, high, 0, 1))
        strip.set_xticks(plan.ticks, [f"{tick:g}" for tick in plan.ticks])
        below = y - _STRIP - 0.03 - _TICK - _TICK_PAD / 72 - line_height(look.TICK)
        sheet.write(x, below, label, look.LABEL, up="top")
    else:
        strip = sheet.axes(x - _STRIP - 0.03, y, _STRIP, height, label="colours")
        strip.imshow(ramp.T, cmap=look.colour_map(), aspect="auto", extent=(0, 1, low, high), origin="lower")
        strip.set_yticks(plan.ticks, [f"{tick:g}" for tick in plan.ticks])
        sheet.write(PAD, y + height + _ABOVE, label, look.LABEL)
    strip.tick_params(length=72 * _TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=_TICK_PAD)
    for share in plan.shares:
        text = f"{100 * share:g} %"
        part = (share * top - low) / (high - low)
        if plan.horizontal:
            at = x + part * width
            sheet.line([at, at], [y + height, y + height + _TICK], CONTOUR)
            sheet.write(at, y + height + _TICK + 0.04, text, look.TICK, colour=look.MUTED, across="center")
        else:
            at = y + part * height
            sheet.line([x + width, x + width + _TICK], [at, at], CONTOUR)
            sheet.write(
                x + width + _TICK + 0.05, at, text, look.TICK, colour=look.MUTED, up="center_baseline"
            )


def _draw_stripes(sheet: Sheet, plan: _Plan) -> None:
    """Point at each stripe from the profile's free side; tell the strongest where not all have room."""
    x, y, width, _ = plan.profile
    taken, mark = Taken(), _stripe_mark(plan.simulation.spots.direction)
    half_line = 0.45 * line_height(look.NUMBER)
    for stripe in sorted(
        plan.simulation.spots.stripes, key=lambda one: (-round(one.contrast, 8), one.position)
    ):
        text = _told(stripe)
        at_x, at_y = plan.on_paper(stripe.position, stripe.position)
        if plan.horizontal:
            sheet.mark([x + width + 0.07], [at_y], mark)
            if taken.take_if_free((0, at_y - half_line, 1, at_y + half_line)):
                sheet.write(x + width + 0.15, at_y, text, look.NUMBER, up="center_baseline")
            continue
        sheet.mark([at_x], [y - 0.07], mark)
        half = half_line if plan.upright else text_width(text, look.NUMBER) / 2 + 0.03
        if taken.take_if_free((at_x - half, 0, at_x + half, 1)):
            sheet.write(
                at_x,
                y - 0.14,
                text,
                look.NUMBER,
                across="center",
                up="top",
                rotation=90 if plan.upright else 0,
            )
