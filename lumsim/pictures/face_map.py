"""The lit face with what stands out on it, and the profile across the rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from lumsim.cabinet.cabinet import Side
from lumsim.pictures import look
from lumsim.pictures.contours import draw_contours, write_on_contours
from lumsim.pictures.face_plan import (
    ABOVE,
    BRIGHTEST,
    CONTOUR,
    DARK,
    DARKEST,
    HOT,
    MEAN,
    ROW,
    STRIP,
    TICK,
    TICK_PAD,
    FacePlan,
    hot_marked,
    marked,
    stripe_mark,
    told,
)
from lumsim.pictures.face_profiles import profiles_of
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, line_height, text_width
from lumsim.pictures.sheet import PAD, Sheet, length_ticks
from lumsim.simulation import Simulation
from lumsim.uniformity.face_map import Array
from lumsim.uniformity.spots import Spot
from lumsim.units import Units, length_number

__all__ = ["draw_face"]

_MANY_MODULES = 4000
"""From here on modules are dots of an image in an SVG file too. [1]"""

_BESIDE: Final = ((1, 0), (-1, 0), (0, 1), (0, -1), (0.8, 0.8), (-0.8, 0.8), (0.8, -0.8), (-0.8, -0.8))
"""Where a spot's number may stand, best first. [1]"""


def draw_face(
    simulation: Simulation, *, title: str, units: Units, facts: Sequence[str], side: Side | None = None
) -> Figure:
    """Draw the lit face in its place in the cabinet, and beside it the profile across the rows.

    The map's colours and the profile share one luminance axis, and so do the contour lines and the ticks on
    the profile's far side. Rows that run along the width have their profile to the right of the map, rows
    that run along the height below it, in either case on the map's own scale of lengths.

    The rear face is drawn as one sees it from behind, left and right swapped, and the picture says so. Its x
    still counts from the return that is the left one from the front, as in the study and in all other results:
    0 stands on the right of the picture, at the return that one behind the sign has on the right.

    Parameters
    ----------
    simulation : Simulation
    title : str
    units : {"in", "mm"}
        Of the axes.
    facts : sequence of str
        Lines under the title.
    side : {"front", "rear"}, optional
        Which face; unless said, the worse of two.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    with look.drawing():
        plan = FacePlan.of(simulation, title=title, units=units, facts=facts, side=side)
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


def _draw_lengths(sheet: Sheet, face: Axes, plan: FacePlan) -> None:
    """Draw the cabinet's inside as a frame, with what is measured along it."""
    width, height = plan.size
    x, y, _, map_height = plan.face
    face.set_xlim(*plan.along_x(0, width))
    face.set_ylim(0, height)
    face.set_facecolor(look.HIDDEN)
    face.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
    widest = text_width(f"{width:.0f}", look.TICK)
    along = length_ticks(width, plan.units, inches_per_unit=plan.scale, apart=max(0.5, widest + 0.25))
    up = length_ticks(height, plan.units, inches_per_unit=plan.scale, apart=0.36)
    face.set_xticks(along, [f"{tick:g}" for tick in along])
    face.set_yticks(up, [f"{tick:g}" for tick in up])
    below = y - TICK - TICK_PAD / 72 - line_height(look.TICK)
    for number, line in enumerate(plan.labels["x"]):
        sheet.write(x, below - number * line_height(look.LABEL), line, look.LABEL, up="top")
    for number, line in enumerate(reversed(plan.labels["y"])):
        sheet.write(x, y + map_height + ABOVE + number * line_height(look.LABEL), line, look.LABEL)


def _draw_map(sheet: Sheet, face: Axes, plan: FacePlan) -> None:
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
    face.set_xlim(*plan.along_x(0, plan.size[0]))
    face.set_ylim(0, plan.size[1])

    modules = _draw_modules(face, plan)
    marks = _draw_marks(sheet, plan, taken)
    top = plan.lit.evenness.brightest.value
    lines = draw_contours(face, drawn, [share * top for share in plan.shares], plan.limits)
    origin, scale = plan.origin, (plan.scale_x, plan.scale)
    edge = 0.04
    inside = (
        min(origin[0] + x * plan.scale_x for x in (x0, x1)) + edge,
        origin[1] + y0 * plan.scale + edge,
        max(origin[0] + x * plan.scale_x for x in (x0, x1)) - edge,
        origin[1] + y1 * plan.scale - edge,
    )
    _number_spots(sheet, marks, taken, inside, plan, modules)
    write_on_contours(sheet, lines, plan.shares, plan.limits, top, (*origin, *scale), inside, taken, modules)


def _draw_modules(face: Axes, plan: FacePlan) -> Array:
    """Draw modules, or their LEDs; return their places on the sheet, (n, 2). [in]"""
    on_paper = []
    for part in plan.modules:
        x, y = part.places.T.tolist()
        marks = part.mark.drawn_at(
            [length_number(place, plan.units) for place in x],
            [length_number(place, plan.units) for place in y],
            layer=5 if part.on_return else 3,
        )
        marks.set_rasterized(len(x) > _MANY_MODULES)
        face.add_line(marks)
        on_paper += [plan.on_paper(*place) for place in part.places.tolist()]
    return np.array(on_paper)


def _draw_marks(sheet: Sheet, plan: FacePlan, taken: Taken) -> list[tuple[Spot, float, float, int]]:
    """Draw spots and extremes; return the spots, their places and their numbers."""
    lit = plan.lit
    numbered = []
    for mark, spots in ((DARK, marked(lit.spots.dark)), (HOT, marked(hot_marked(lit)))):
        places = [plan.on_paper(spot.x, spot.y) for spot in spots]
        for number, (spot, (x, y)) in enumerate(zip(spots, places, strict=True), start=1):
            taken.take(_around(x, y, 0.05))
            numbered.append((spot, x, y, number))
        if spots:
            sheet.mark([x for x, _ in places], [y for _, y in places], mark)
    for mark, extreme in ((BRIGHTEST, lit.evenness.brightest), (DARKEST, lit.evenness.darkest)):
        x, y = plan.on_paper(extreme.x, extreme.y)
        sheet.mark([x], [y], mark)
        taken.take(_around(x, y, 0.1))
    return numbered


def _around(x: float, y: float, reach: float) -> Box:
    return x - reach, y - reach, x + reach, y + reach


def _wider(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _number_spots(
    sheet: Sheet,
    numbered: Sequence[tuple[Spot, float, float, int]],
    taken: Taken,
    inside: Box,
    plan: FacePlan,
    modules: Array,
) -> None:
    """Write spots' numbers beside them, where there is room, best where they cover no module."""
    for spot, x, y, number in sorted(numbered, key=lambda one: one[3]):
        text = str(number)
        half_width, half_height = text_width(text, look.NUMBER) / 2 + 0.025, 0.07
        share = (spot.luminance - plan.limits[0]) / (plan.limits[1] - plan.limits[0])
        places = [
            (x + dx * (distance + half_width), y + dy * (distance + half_height))
            for distance in (0.051, 0.101, 0.15)
            for dx, dy in _BESIDE
        ]
        boxes = [(px - half_width, py - half_height, px + half_width, py + half_height) for px, py in places]
        free = [box for box in boxes if is_within(box, inside) and taken.is_free(box)]
        if not free:
            continue
        # A dot that touches a number would be read as part of it.
        box = min(free, key=lambda one: (any_in(modules, _wider(one, 0.02)), any_in(modules, one)))
        taken.take(box)
        colour = look.ink_on(share)
        sheet.write(
            (box[0] + box[2]) / 2,
            (box[1] + box[3]) / 2,
            text,
            look.NUMBER,
            colour=colour,
            bold=True,
            across="center",
            up="center",
            halo=look.PAPER if colour == look.INK else look.INK,
        )


def _draw_profile(profile: Axes, plan: FacePlan) -> None:
    """Draw mean, lowest and highest along the rows, against the place across them."""
    horizontal = plan.horizontal
    across, _ = profiles_of(plan.lit, plan.drawn)
    places = across.places_in(plan.units)
    extent = plan.size[1] if horizontal else plan.size[0]
    rows = [length_number(line, plan.units) for line in plan.cabinet.row_lines]
    contours = [share * plan.lit.evenness.brightest.value for share in plan.shares]
    profile.set_xlim(*(plan.limits if horizontal else plan.along_x(0, extent)))
    profile.set_ylim(*((0, extent) if horizontal else plan.limits))
    fill, row_lines, contour_lines = (
        (profile.fill_betweenx, profile.hlines, profile.vlines)
        if horizontal
        else (profile.fill_between, profile.vlines, profile.hlines)
    )
    fill(places, across.low, across.high, color=look.BAND, linewidth=0)
    contour_lines(contours, 0, extent, colors=look.HAIR, linewidth=0.6, zorder=0.5)
    row_lines(rows, *plan.limits, colors=look.MUTED, linewidth=ROW.line_width, linestyles=ROW.dashes)
    profile.plot(
        *((across.mean, places) if horizontal else (places, across.mean)),
        color=look.INK,
        linewidth=MEAN.line_width,
        zorder=3,
    )


def _draw_luminances(sheet: Sheet, plan: FacePlan) -> None:
    """Draw the luminance axis: cd/m² along the strip of colours, shares of the maximum on the far side."""
    x, y, width, height = plan.profile
    low, high = plan.limits
    top = plan.lit.evenness.brightest.value
    label = "luminance [cd/m²]"
    ramp = np.linspace(low, high, 256)[None, :]
    if plan.horizontal:
        strip = sheet.axes(x, y - STRIP - 0.03, width, STRIP, label="colours")
        strip.imshow(ramp, cmap=look.colour_map(), aspect="auto", extent=(low, high, 0, 1))
        strip.set_xticks(plan.ticks, [f"{tick:g}" for tick in plan.ticks])
        below = y - STRIP - 0.03 - TICK - TICK_PAD / 72 - line_height(look.TICK)
        sheet.write(x, below, label, look.LABEL, up="top")
    else:
        strip = sheet.axes(x - STRIP - 0.03, y, STRIP, height, label="colours")
        strip.imshow(ramp.T, cmap=look.colour_map(), aspect="auto", extent=(0, 1, low, high), origin="lower")
        strip.set_yticks(plan.ticks, [f"{tick:g}" for tick in plan.ticks])
        sheet.write(PAD, y + height + ABOVE, label, look.LABEL)
    strip.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
    for share in plan.shares:
        text = f"{100 * share:g} %"
        part = (share * top - low) / (high - low)
        if plan.horizontal:
            at = x + part * width
            sheet.line([at, at], [y + height, y + height + TICK], CONTOUR)
            sheet.write(at, y + height + TICK + 0.04, text, look.TICK, colour=look.MUTED, across="center")
        else:
            at = y + part * height
            sheet.line([x + width, x + width + TICK], [at, at], CONTOUR)
            sheet.write(x + width + TICK + 0.05, at, text, look.TICK, colour=look.MUTED, up="center_baseline")


def _draw_stripes(sheet: Sheet, plan: FacePlan) -> None:
    """Point at each stripe from the profile's free side; tell the strongest where not all have room."""
    x, y, width, _ = plan.profile
    taken, mark = Taken(), stripe_mark(plan.lit.spots.direction)
    half_line = 0.45 * line_height(look.NUMBER)
    for stripe in sorted(plan.lit.spots.stripes, key=lambda one: (-round(one.contrast, 8), one.position)):
        text = told(stripe)
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
