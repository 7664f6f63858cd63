"""Evenness against row pitch, and row pitch against depth: what a search found, from its answers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Final

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from lumsim.errors import InputError
from lumsim.pictures import look
from lumsim.pictures.lettering import Box, Taken, is_within, line_height, text_width
from lumsim.pictures.look import LineStyle
from lumsim.pictures.pitch_curve import PitchAnswer, PitchCurve, counted
from lumsim.pictures.row_counts import write_count
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, Sheet, key_height, key_rows, length_ticks
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.uniformity.requirement import LIMITS, Requirement
from lumsim.units import Units, format_length, length_number

__all__ = ["draw_pitch_search"]

_WIDTH = 8.8
"""Of the axes. [in]"""
_HEIGHTS = (3.5, 2.6)
"""Of the axes: against row pitch, against depth. [in]"""
_STRIP = 0.24
"""For the row counts, within the axes. [in]"""
_TICK_ROOM = 0.26
"""[in]"""
_ROW = 0.2
"""Of marks' labels above the axes. [in]"""

WIDEST: Final = Mark(marker="o", size=7.0, face=look.WIDEST, edge=look.PAPER, halo=look.WIDEST)
OWN: Final = Mark(marker="D", size=6.5, face=look.PAPER, edge=look.OWN, edge_width=1.6)
NONE: Final = Mark(marker="X", size=8.0, face=look.LIMIT, edge=look.PAPER, edge_width=0.8)
_POINTERS: Final = {
    "left": ("<", (1, 0)),
    "right": (">", (-1, 0)),
    "below": ("v", (0, 1)),
    "above": ("^", (0, -1)),
}
"""Marker where a curve leaves the frame, and the way inwards from there."""
_POINTER_SIZE: Final = 5.0
"""[pt]"""
_POINTERS_APART: Final = 0.1
"""Of one line. [in]"""
MET: Final = Mark(patch=look.FEASIBLE, hatch="//")


def draw_pitch_search(
    answers: Sequence[PitchAnswer],
    *,
    title: str,
    units: Units,
    requirement: Requirement,
    own_pitch: float | None,
    own_depth: float,
    facts: Sequence[str],
) -> Figure:
    """Draw how evenness goes with row pitch and, where there are several depths, row pitch with depth.

    Parameters
    ----------
    answers : sequence of PitchAnswer
        At one depth or several. The one nearest to the study's own depth gives the curve: of its one limited
        number, or of how much of each limit is used up where several numbers are limited.
    title : str
    units : {"in", "mm"}
        Of the axes.
    requirement : Requirement
        With the limits that were searched for.
    own_pitch : float or None
        What the study has; None where it has no row pitch. [m]
    own_depth : float
        What the study has. [m]
    facts : sequence of str
        Lines under the title.

    Raises
    ------
    InputError
        Where there is no answer or no limit to draw.
    """
    if not answers or not requirement.limits:
        raise InputError("there is nothing to draw: a picture of a search needs an answer and a limit")
    with look.drawing():
        own = min(answers, key=lambda answer: (abs(answer.depth - own_depth), answer.depth))
        curve = PitchCurve.of(own, requirement, own_pitch, units)
        depths = sorted(answers, key=lambda answer: answer.depth) if len(answers) > 1 else []
        left = PAD + max(0.5, max(text_width(f"{tick:g}", look.TICK) for tick in curve.ticks) + 0.14)
        width = left + _WIDTH + text_width(curve.limit_label, look.TICK) + 0.1 + PAD
        heading = Heading.wrapped(title, facts, width - 2 * PAD)
        keys = [
            key_rows(entries, width - 2 * PAD)
            for entries in (_curve_key(curve), _depth_key(depths, own_pitch, units))
        ]
        marks = _pitch_marks(curve, left, (PAD, width - PAD))
        marks_height = 0.06 + max(mark.box[3] for mark in marks)
        over = line_height(look.HEADING) + 0.06 + line_height(look.LABEL) + 0.06
        under = _TICK_ROOM + line_height(look.LABEL) + 0.12
        height = PAD + heading.height + 0.2 + over + marks_height + _HEIGHTS[0] + under + key_height(keys[0])
        second = 0.35 + over + _HEIGHTS[1] + under + key_height(keys[1]) if depths else 0.0
        sheet = Sheet(width, height + second + PAD)
        sheet.heading(heading)

        top = sheet.height - PAD - heading.height - 0.2
        _write_over(sheet, top, f"At {format_length(own.depth, units)} deep", curve.label, left)
        bottom = top - over - marks_height - _HEIGHTS[0]
        _draw_curve(sheet, (left, bottom), curve, [mark.place for mark in marks], units)
        _draw_pitch_marks(sheet, bottom, marks)
        sheet.write(left, bottom - _TICK_ROOM, f"row pitch, on centre [{units}]", look.LABEL, up="top")
        sheet.key(keys[0], PAD, bottom - under)
        if depths:
            top = bottom - under - key_height(keys[0]) - 0.35
            _write_over(sheet, top, "Row pitch against depth", f"widest row pitch [{units}]", left)
            bottom = top - over - _HEIGHTS[1]
            _draw_depths(sheet, (left, bottom), depths, (own_depth, own_pitch), units)
            sheet.write(left, bottom - _TICK_ROOM, f"depth, inside [{units}]", look.LABEL, up="top")
            sheet.key(keys[1], PAD, bottom - under)
        return sheet.figure


def _write_over(sheet: Sheet, top: float, heading: str, label: str, left: float) -> None:
    sheet.write(PAD, top - 0.75 * line_height(look.HEADING), heading, look.HEADING, bold=True)
    below = top - line_height(look.HEADING) - 0.06
    sheet.write(left, below - 0.75 * line_height(look.LABEL), label, look.LABEL)


def _curve_key(curve: PitchCurve) -> list[KeyEntry]:
    entries = []
    for number, (name, limit) in enumerate(zip(curve.names, curve.limits, strict=True)):
        colour, dashes = look.line_style(number)
        unit = f" {UNITS[name]}" if name in UNITS else ""
        told = f"{NAMES[name]}, {LIMITS[name]} {limit:g}{unit}"
        entries.append(KeyEntry(mark=Mark(line=colour, line_width=1.7, dashes=dashes), text=told))
    if curve.stretches:
        entries.append(KeyEntry(mark=MET, text="requirement met"))
    if any(curve.exits):
        entries.append(KeyEntry(mark=_pointer("above", look.MUTED), text="goes on beyond the frame"))
    return entries


def _pointer(side: str, colour: str) -> Mark:
    return Mark(marker=_POINTERS[side][0], size=_POINTER_SIZE, face=colour, edge=look.PAPER, edge_width=0.5)


def _draw_exits(
    sheet: Sheet, at: tuple[float, float], scales: tuple[float, float], curve: PitchCurve
) -> None:
    """Point out of the frame wherever a line leaves it, just inside."""
    inset = 0.6 * _POINTER_SIZE / 72
    for order, exits in enumerate(curve.exits):
        colour, _ = look.line_style(order)
        marked: list[tuple[float, float]] = []
        for one in exits:
            _, inwards = _POINTERS[one.side]
            x = at[0] + (one.pitch - curve.across[0]) * scales[0] + inset * inwards[0]
            y = at[1] + (one.number - curve.up[0]) * scales[1] + inset * inwards[1]
            if all(math.hypot(x - other[0], y - other[1]) >= _POINTERS_APART for other in marked):
                sheet.mark([x], [y], _pointer(one.side, colour))
                marked.append((x, y))


def _depth_key(answers: Sequence[PitchAnswer], own_pitch: float | None, units: Units) -> list[KeyEntry]:
    entries = []
    if any(answer.exact is not None for answer in answers):
        entries.append(KeyEntry(mark=WIDEST, text="widest row pitch that meets the requirement, its rows"))
    if any(answer.exact is None for answer in answers):
        entries.append(KeyEntry(mark=NONE, text="no row pitch meets it"))
    if own_pitch is not None:
        entries.append(
            KeyEntry(mark=OWN, text=f"this study, rows {format_length(own_pitch, units)} on centre")
        )
    return entries


def _draw_curve(
    sheet: Sheet, at: tuple[float, float], curve: PitchCurve, marked: Sequence[float], units: Units
) -> None:
    """Draw the curve into axes at a place; row counts stay clear of the marked places."""
    x, y = at
    height = _HEIGHTS[0]
    axes = sheet.axes(x, y, _WIDTH, height, label="row pitch")
    scale = _WIDTH / (curve.across[1] - curve.across[0])
    span = curve.up[1] - curve.up[0]
    full = span * height / (height - _STRIP)
    axes.set_xlim(*curve.across)
    axes.set_ylim(curve.up[0], curve.up[0] + full)
    _tick(axes, curve.across, curve.ticks, scale, units)

    for low, high in curve.stretches:
        met = Rectangle(
            (low, curve.up[0]), high - low, span, facecolor=look.FEASIBLE, hatch=MET.hatch, zorder=1
        )
        met.set(edgecolor=look.FEASIBLE_HATCH, linewidth=0.7)
        axes.add_patch(met)
    for number, (piece, (start, end)) in enumerate(zip(curve.pieces, pairwise(curve.borders), strict=True)):
        start, end = max(start, curve.across[0]), min(end, curve.across[1])  # noqa: PLW2901  as far as shown
        if not start < end:
            continue
        if number % 2:
            axes.axvspan(start, end, color=look.TINT, linewidth=0, zorder=0)
        room_from, room_to = _widest_part(
            x + (start - curve.across[0]) * scale, x + (end - curve.across[0]) * scale, marked
        )
        write_count(sheet, piece.count, (room_from, room_to), y + height - _STRIP / 2)
        for order, values in enumerate(piece.numbers):
            colour, dashes = look.line_style(order)
            (line,) = axes.plot(
                piece.pitches, values, color=colour, linestyle=dashes, linewidth=1.7, zorder=3
            )
            if len(values) == 1:
                line.set(marker="o", markersize=4)
    # Lines that leave upwards do so under the strip of row counts.
    strip = Rectangle((curve.across[0], curve.up[1]), curve.across[1] - curve.across[0], full, zorder=3.5)
    strip.set(facecolor=look.PAPER, edgecolor=look.HAIR, linewidth=0.6)
    axes.add_patch(strip)
    _draw_exits(sheet, at, (scale, height / full), curve)
    axes.axhline(curve.line, color=look.LIMIT, linewidth=1.3, zorder=2.5)
    line_y = y + (curve.line - curve.up[0]) / full * height
    sheet.write(
        x + _WIDTH + 0.08, line_y, curve.limit_label, look.TICK, colour=look.LIMIT, up="center_baseline"
    )
    point = WIDEST if curve.is_met else NONE
    axes.add_line(point.drawn_at([curve.best[0]], [curve.best[1]], layer=6))


def _widest_part(start: float, end: float, cuts: Sequence[float]) -> tuple[float, float]:
    """Cut a stretch at places and return its widest part."""
    ends = [start, *sorted(cut for cut in cuts if start < cut < end), end]
    return max(pairwise(ends), key=lambda part: part[1] - part[0])


def _tick(
    axes: Axes, across: tuple[float, float], ticks: Sequence[float], scale: float, units: Units
) -> None:
    along = length_ticks(across[1], units, inches_per_unit=scale, apart=0.6, start=across[0])
    axes.set_xticks(along, [f"{tick:g}" for tick in along])
    axes.set_yticks(list(ticks), [f"{tick:g}" for tick in ticks])
    axes.tick_params(length=3, labelsize=look.TICK, labelcolor=look.MUTED, pad=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class _PitchMark:
    """A row pitch marked by a line through the axes and a label above them."""

    place: float
    """of the line [in]"""
    box: Box
    """of the label, up from the top of the axes [in]"""
    label: str
    colour: str
    dashes: LineStyle


def _pitch_marks(curve: PitchCurve, left: float, within: tuple[float, float]) -> list[_PitchMark]:
    """Mark the widest pitch, or what came closest, and the study's own."""
    colour = look.WIDEST if curve.is_met else look.LIMIT
    marked: list[tuple[float, str, str, LineStyle]] = [(curve.best[0], curve.best_label, colour, "solid")]
    if curve.own_pitch is not None:
        marked.append((curve.own_pitch, curve.own_label, look.OWN, (0, (3, 2))))
    scale = _WIDTH / (curve.across[1] - curve.across[0])
    places = [left + (pitch - curve.across[0]) * scale for pitch, *_ in marked]
    boxes = _clear_boxes(places, [text_width(label, look.TICK) for _, label, *_ in marked], within)
    return [
        _PitchMark(place=place, box=box, label=label, colour=colour, dashes=dashes)
        for place, box, (_, label, colour, dashes) in zip(places, boxes, marked, strict=True)
    ]


def _clear_boxes(places: Sequence[float], widths: Sequence[float], within: tuple[float, float]) -> list[Box]:
    """Give each label a row above the axes and a side of its line, clear of every line and label.

    Lines and labels are few, so every choice is tried, those in the lowest row first.
    """

    def boxed(place: float, width: float, row: int, side: int) -> Box:
        x0 = place + 0.06 if side > 0 else place - 0.06 - width
        low = 0.04 + row * _ROW
        return (x0, low, x0 + width, low + _ROW)

    page = (within[0], 0.0, within[1], math.inf)
    choices = list(product(*([(row, side) for row in (0, 1) for side in (1, -1)] for _ in places)))
    for choice in sorted(choices, key=lambda chosen: max(row for row, _ in chosen)):
        boxes = [boxed(p, w, row, side) for p, w, (row, side) in zip(places, widths, choice, strict=True)]
        taken = Taken()
        for place, box in zip(places, boxes, strict=True):
            taken.take((place - 0.03, 0.0, place + 0.03, box[3]))
        if all(is_within(box, page) and taken.take_if_free(box) for box in boxes):
            return boxes
    # Labels too wide for their side of the page: each in a row of its own, as far right as it can stand.
    return [
        (x0, low, x0 + width, low + _ROW)
        for row, (place, width) in enumerate(zip(places, widths, strict=True))
        for x0, low in ((max(min(place + 0.06, within[1] - width), within[0]), 0.04 + row * _ROW),)
    ]


def _draw_pitch_marks(sheet: Sheet, bottom: float, marks: Sequence[_PitchMark]) -> None:
    top = bottom + _HEIGHTS[0]
    for mark in marks:
        line = Mark(line=mark.colour, dashes=mark.dashes)
        sheet.line([mark.place, mark.place], [bottom, top + mark.box[3]], line)
        sheet.write(mark.box[0], top + mark.box[1] + 0.05, mark.label, look.TICK, colour=mark.colour)


def _draw_depths(
    sheet: Sheet,
    at: tuple[float, float],
    answers: Sequence[PitchAnswer],
    own: tuple[float, float | None],
    units: Units,
) -> None:
    x, y = at
    height = _HEIGHTS[1]
    axes = sheet.axes(x, y, _WIDTH, height, label="depth")
    depths = [length_number(answer.depth, units) for answer in answers]
    own_depth, own_pitch = (
        length_number(own[0], units),
        None if own[1] is None else length_number(own[1], units),
    )
    pitches = [
        None if answer.exact is None else length_number(answer.exact.pitch, units) for answer in answers
    ]
    heights = [pitch for pitch in (*pitches, own_pitch) if pitch is not None]
    top = 1.2 * max(heights, default=1.0)
    shown = depths if own_pitch is None else [*depths, own_depth]
    margin = 0.06 * (max(shown) - min(shown)) or 0.1 * max(shown)
    across = (min(shown) - margin, max(shown) + margin)
    scale, rise = _WIDTH / (across[1] - across[0]), height / top
    axes.set_xlim(*across)
    axes.set_ylim(0, top)
    ticks = length_ticks(top, units, inches_per_unit=rise, apart=0.4)
    _tick(axes, across, ticks if heights else [], scale, units)
    axes.hlines(ticks[1:], *across, colors=look.TINT, linewidth=0.8, zorder=0)

    taken = Taken()
    if own_pitch is not None:
        axes.add_line(OWN.drawn_at([own_depth], [own_pitch], layer=6))
        taken.take(_around(x + (own_depth - across[0]) * scale, y + own_pitch * rise, 0.08))
    placed = [
        (answer, x + (depth - across[0]) * scale, y + (0.14 if pitch is None else pitch * rise), depth, pitch)
        for answer, depth, pitch in zip(answers, depths, pitches, strict=True)
    ]
    for _, paper_x, paper_y, *_ in placed:
        taken.take(_around(paper_x, paper_y, 0.07))
    widest_text = text_width("100 rows", look.TICK)
    crowded = any(other - one < widest_text for (_, one, *_), (_, other, *_) in pairwise(placed))
    for answer, paper_x, paper_y, depth, pitch in placed:
        if pitch is None or answer.exact is None:
            axes.add_line(NONE.drawn_at([depth], [0.14 / rise], layer=5))
            text = "none"
        else:
            axes.vlines([depth], 0, pitch, colors=look.HAIR, linewidth=1.2, zorder=1)
            axes.add_line(WIDEST.drawn_at([depth], [pitch], layer=5))
            rows = answer.exact.rows.count
            text = str(rows) if crowded else counted(rows)
        _write_beside(sheet, taken, (x, y, x + _WIDTH, y + height), (paper_x, paper_y), text)


def _write_beside(sheet: Sheet, taken: Taken, inside: Box, at: tuple[float, float], text: str) -> None:
    """Write a text over a marker, or else to its right or left, where there is room."""
    x, y = at
    width = text_width(text, look.TICK) + 0.06
    for x0, y0 in ((x - width / 2, y + 0.09), (x + 0.09, y - 0.08), (x - 0.09 - width, y - 0.08)):
        box = (x0, y0, x0 + width, y0 + 0.16)
        if is_within(box, inside) and taken.take_if_free(box):
            sheet.write(x0 + 0.03, y0 + 0.035, text, look.TICK)
            return


def _around(x: float, y: float, reach: float) -> Box:
    return x - reach, y - reach, x + reach, y + reach
