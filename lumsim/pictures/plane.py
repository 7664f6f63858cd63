"""Evenness over the whole plane of row pitch and depth: a map of max/min, and where the requirement is met."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.colors import Colormap, LogNorm, to_hex
from matplotlib.figure import Figure
from numpy.typing import NDArray

from lumsim.pictures import look
from lumsim.pictures.contours import Label, Line, write_on_lines
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, line_height, text_width
from lumsim.pictures.pitch_search import OWN
from lumsim.pictures.plane_cells import FAR, EndlessRows, PlaneCells, PlaneDrawn, endless_line
from lumsim.pictures.row_counts import write_count
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, Sheet, key_height, key_rows
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.uniformity.requirement import LIMITS, Requirement
from lumsim.units import Units, format_length, length_number

__all__ = ["EndlessRows", "draw_plane"]

Array = NDArray[np.float64]

_SIZE: Final = (7.2, 5.0)
"""Of the map. [in]"""
_STRIP: Final = 0.24
"""For the row counts, over the map. [in]"""
_BAR: Final = (0.25, 0.2)
"""From the map to the bar of colours, and its width. [in]"""
_TICK_ROOM: Final = 0.26
"""[in]"""

LEVELS: Final = (1.05, 1.1, 1.2, 1.3, 1.5, 2.0, 3.0)
"""Max/min at which contour lines lie. [1]"""

_BAR_TICKS: Final = (1.01, 1.02, *LEVELS, 4.0, 2.5)
"""Max/min told beside the bar of colours. [1]"""

CONTOUR: Final = Mark(line=look.MUTED, line_width=0.9)
LIMIT: Final = Mark(line=look.LIMIT, line_width=2.4)
ENDLESS: Final = Mark(line=look.INK, line_width=1.6, dashes=(0, (6, 2.5)))
UNMET: Final = Mark(patch=look.MUTED, hatch="\\\\", hatch_colour=look.PAPER)
MISSING: Final = Mark(patch=look.HIDDEN)
_ENDLESS: Final = "endless rows, no walls"
_CLOSE: Final = 0.03
"""From point to point of a line, where text is kept clear of it. [in]"""
_FINE: Final = 601
"""Depths at which both sides of a change of count are compared. [1]"""
_MANY_CELLS: Final = 2500
"""From which they are pixels in an SVG file as well. [1]"""


def draw_plane(
    plane: PlaneDrawn,
    *,
    title: str,
    units: Units,
    requirement: Requirement,
    own_pitch: float | None,
    own_depth: float,
    infinite: EndlessRows | None,
    facts: Sequence[str],
) -> Figure:
    """Draw max/min over row pitch and depth, a cell for each layout, and where the requirement is met.

    Whole counts of rows make max/min a sawtooth along the pitch. Cells show it as it is, and meet where the count
    changes; contour lines and the requirement's own run within a count, and the latter along the changes too.

    Parameters
    ----------
    plane : PlaneDrawn
    title : str
    units : {"in", "mm"}
        Of the axes.
    requirement : Requirement
        That the plane was judged by; without limits only max/min is drawn.
    own_pitch : float or None
        What the study has; None where it has no row pitch. [m]
    own_depth : float
        What the study has. [m]
    infinite : EndlessRows or None
        The curve of rows without end; None or all nan: not drawn.
    facts : sequence of str
        Lines under the title.

    Raises
    ------
    InputError
        Where no depth was come to.
    """
    cells = PlaneCells.of(plane, units, judged=bool(requirement.limits))
    with look.drawing():
        low, high = cells.shown
        ticks = _bar_ticks(low, high)
        left = PAD + max(
            0.5, max(text_width(f"{tick:g}", look.TICK) for tick in cells.ticks(1, _SIZE[1], 0.36)) + 0.14
        )
        bar = left + _SIZE[0] + _BAR[0]
        width = bar + _BAR[1] + 0.1 + max(text_width(text, look.TICK) for _, text in ticks) + PAD
        width = max(width, bar + text_width("max/min [1]", look.LABEL) + PAD)
        heading = Heading.wrapped(title, facts, width - 2 * PAD)
        own = (
            None if own_pitch is None else (length_number(own_pitch, units), length_number(own_depth, units))
        )
        endless = endless_line(infinite, cells)
        key = key_rows(
            _key(cells, requirement, own, (own_pitch, own_depth), infinite, endless), width - 2 * PAD
        )
        over, under = line_height(look.LABEL) + 0.08 + _STRIP, _TICK_ROOM + line_height(look.LABEL) + 0.12
        sheet = Sheet(width, 2 * PAD + heading.height + 0.2 + over + _SIZE[1] + under + key_height(key))
        sheet.heading(heading)
        bottom = PAD + key_height(key) + under
        top = bottom + _SIZE[1]

        axes = sheet.axes(left, bottom, *_SIZE, label="plane")
        _draw_cells(axes, cells)
        lines = _draw_lines(axes, cells)
        for number, (axis, apart) in enumerate(((axes.xaxis, 0.6), (axes.yaxis, 0.36))):
            places = cells.ticks(number, _SIZE[number], apart)
            axis.set_ticks(places, labels=[f"{place:g}" for place in places])
        axes.tick_params(length=3, labelsize=look.TICK, labelcolor=look.MUTED, pad=3)
        on_paper = _OnPaper(cells, (left, bottom))
        _write(sheet, on_paper, cells, lines, own, endless)
        _write_counts(sheet, on_paper, cells, top)
        _draw_bar(sheet, (bar, bottom), ticks)
        sheet.write(left, top + _STRIP + 0.1, f"depth, inside [{units}]", look.LABEL)
        sheet.write(bar, top + _STRIP + 0.1, "max/min [1]", look.LABEL)
        sheet.write(left, bottom - _TICK_ROOM, f"row pitch, on centre [{units}]", look.LABEL, up="top")
        sheet.key(key, PAD, PAD + key_height(key))
        return sheet.figure


class _OnPaper:
    """From pitch and depth to inches on the sheet."""

    def __init__(self, cells: PlaneCells, corner: tuple[float, float]) -> None:
        self.first = np.array([edges[0] for edges in cells.edges])
        self.scale = np.array(_SIZE) / np.array([edges[-1] - edges[0] for edges in cells.edges])
        self.corner = np.array(corner)
        self.inside: Box = (
            corner[0] + 0.04,
            corner[1] + 0.04,
            corner[0] + _SIZE[0] - 0.04,
            corner[1] + _SIZE[1] - 0.04,
        )

    def __call__(self, places: Array) -> Array:
        """(n, 2) pitches and depths, on the sheet. [in]"""
        return np.asarray(self.corner + (places - self.first) * self.scale)

    def line(self, places: Line) -> Line:
        """(m, 2) points along a line on the sheet, close enough that no text slips between two of them. [in]"""
        corners = self(places)
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
        at = np.linspace(0, along[-1], 2 + math.ceil(along[-1] / _CLOSE))
        return np.column_stack([np.interp(at, along, one) for one in corners.T])


def _colours() -> Colormap:
    """From even, light, to uneven, dark."""
    return look.colour_map().reversed()


def _draw_cells(axes: Axes, cells: PlaneCells) -> None:
    axes.set_facecolor(look.HIDDEN)
    axes.pcolormesh(
        *cells.edges,
        np.ma.masked_invalid(cells.values),
        cmap=_colours(),
        norm=LogNorm(*cells.shown),
        rasterized=cells.values.size > _MANY_CELLS,
    )
    axes.set_xlim(cells.edges[0][0], cells.edges[0][-1])
    axes.set_ylim(cells.edges[1][0], cells.edges[1][-1])
    if cells.excess is None:
        return
    for part, piece in itertools.product(cells.stretches, cells.pieces):
        place = cells.judged(part, piece)
        if place[2].max() > 0:
            hatched = axes.contourf(
                *place, levels=[0, 2 * math.log(FAR)], colors="none", hatches=[UNMET.hatch], zorder=2
            )
            hatched.set(edgecolor=look.PAPER, linewidth=0)


def _levels(cells: PlaneCells) -> list[float]:
    """Those of ``LEVELS`` that there are lines of."""
    return [level for level in LEVELS if np.nanmin(cells.values) < level < np.nanmax(cells.values)]


def _draw_lines(axes: Axes, cells: PlaneCells) -> list[tuple[float, list[Line]]]:
    """Draw contour lines and the requirement's own; return the former by their levels, and the latter as level 0."""
    levels = _levels(cells)
    drawn: dict[float, list[Line]] = {level: [] for level in [*levels, 0.0]}
    for part, piece in itertools.product(cells.stretches, cells.pieces):
        if levels:
            contours = axes.contour(
                *cells.reaching_out(part, piece, cells.values),
                levels=[math.log(level) for level in levels],
                colors=[look.ink_on(1 - cells.share(level)) for level in levels],
                linewidths=CONTOUR.line_width,
                linestyles="solid",
                zorder=3,
            )
            for level, found in zip(levels, contours.allsegs, strict=True):
                drawn[level] += [np.asarray(line) for line in found if len(line) > 1]
        if cells.excess is not None:
            drawn[0.0] += _border(axes, cells.judged(part, piece))
    if cells.excess is not None:
        drawn[0.0] += _jumps(cells)
        for colour, width in ((look.PAPER, LIMIT.line_width + 2), (LIMIT.line, LIMIT.line_width)):
            axes.add_collection(
                LineCollection(
                    drawn[0.0],
                    colors=colour,
                    linewidths=width,
                    capstyle="projecting",
                    zorder=4,
                    label="limit",
                ),
                autolim=False,
            )
    return list(drawn.items())


def _border(axes: Axes, place: tuple[Array, Array, Array]) -> list[Line]:
    """Where a piece of the plane just meets the requirement, within one count of rows."""
    if not place[2].max() > 0 > place[2].min():
        return []
    border = axes.contour(*place, levels=[0])
    border.remove()
    return [np.asarray(line) for line in border.allsegs[0] if len(line) > 1]


def _jumps(cells: PlaneCells) -> list[Line]:
    """Where it is met on one side only of a pitch at which the count of rows changes: upright lines."""
    found = []
    for part, (one, other) in itertools.product(cells.stretches, itertools.pairwise(cells.pieces)):
        _, depths, left = cells.judged(part, one)
        right = cells.judged(part, other)[2]
        fine = np.linspace(depths[0], depths[-1], _FINE)
        differ = (np.interp(fine, depths, left[:, -1]) > 0) != (np.interp(fine, depths, right[:, 0]) > 0)
        turns = np.flatnonzero(np.diff(np.concatenate([[False], differ, [False]])))
        found += [
            np.array([[one.right, fine[begin]], [one.right, fine[end - 1]]])
            for begin, end in zip(turns[::2], turns[1::2], strict=True)
        ]
    return found


def _write(
    sheet: Sheet,
    on_paper: _OnPaper,
    cells: PlaneCells,
    lines: Sequence[tuple[float, list[Line]]],
    own: tuple[float, float] | None,
    endless: Line,
) -> None:
    """Draw the line of rows without end and the study's own point; write the line's name and contour lines' levels."""
    taken = Taken()
    marked = on_paper(np.array([own])).tolist() if own is not None and cells.holds(own) else []
    for x, y in marked:
        taken.take((x - 0.1, y - 0.1, x + 0.1, y + 0.1))
    border = [on_paper.line(line) for _, found in lines[-1:] for line in found]
    avoided = np.concatenate([np.empty((0, 2)), *border])
    if len(endless) > 1:
        line = on_paper(endless)
        sheet.line(
            line[:, 0].tolist(),
            line[:, 1].tolist(),
            replace(ENDLESS, line=look.PAPER, line_width=3.4, dashes="solid"),
        )
        sheet.line(line[:, 0].tolist(), line[:, 1].tolist(), ENDLESS)
        contours = np.concatenate(
            [np.empty((0, 2)), *(on_paper.line(one) for _, found in lines[:-1] for one in found)]
        )
        _write_beside(sheet, line, [line, avoided, contours], on_paper.inside, taken)
        avoided = np.concatenate([avoided, line])
    labels = [
        Label(
            text=f"{level:g}",
            ink=look.ink_on(1 - cells.share(level)),
            ground=to_hex(_colours()(cells.share(level))),
        )
        for level, _ in lines[:-1]
    ]
    found = [[on_paper.line(line) for line in of_level] for _, of_level in lines[:-1]]
    write_on_lines(sheet, found, labels, on_paper.inside, taken, avoided)
    for x, y in marked:
        sheet.mark([x], [y], OWN)


def _write_beside(sheet: Sheet, line: Line, avoided: Sequence[Array], inside: Box, taken: Taken) -> None:
    """Write what a rising line is beside it, where there is room; what is avoided last is given up first."""
    half, half_height, off = text_width(_ENDLESS, look.TICK) / 2 + 0.04, 0.09, 0.07
    for number in range(len(avoided), 0, -1):
        clear = np.concatenate(avoided[:number])
        for part in (0.85, 0.7, 0.55, 0.4, 0.25, 0.95, 0.1):
            at = line[int(part * (len(line) - 1))]
            # A corner of the text is next to the line: the upper left one below it, the lower right one above it.
            for way in (1, -1):
                x, y = (at + way * np.array([off + half, -off - half_height])).tolist()
                box = (x - half, y - half_height, x + half, y + half_height)
                if is_within(box, inside) and not any_in(clear, box) and taken.take_if_free(box):
                    written = sheet.write(x, y, _ENDLESS, look.TICK, across="center", up="center_baseline")
                    written.set_bbox(
                        {
                            "boxstyle": "square,pad=0.2",
                            "facecolor": look.PAPER,
                            "edgecolor": "none",
                            "alpha": 0.8,
                        }
                    )
                    return


def _write_counts(sheet: Sheet, on_paper: _OnPaper, cells: PlaneCells, top: float) -> None:
    """Write how many rows the pitches round to in a strip over the map, wherever there is room."""
    left = float(on_paper.corner[0])
    strip = sheet.axes(left, top, _SIZE[0], _STRIP, label="rows")
    strip.set_xlim(left, left + _SIZE[0])
    strip.set_ylim(0, 1)
    for number, piece in enumerate(cells.pieces):
        ends = np.array([[end, cells.edges[1][0]] for end in (piece.left, piece.right)])
        low, high = on_paper(ends)[:, 0].tolist()
        if number % 2:
            strip.axvspan(low, high, color=look.BAND, linewidth=0)
        write_count(sheet, cells.counts[piece.pitches.start], (low, high), top + _STRIP / 2)


def _bar_ticks(low: float, high: float) -> list[tuple[float, str]]:
    """What is told beside the bar: its ends and round numbers between, none near another; as shares of it."""
    span = math.log(high / low)

    def share(value: float) -> float:
        return math.log(value / low) / span

    apart = 0.17 / _SIZE[1]
    ticks = [(0.0, f"{low:.3g}"), (1.0, f"{high:.3g}")]
    for value in _BAR_TICKS:
        if low < value < high and all(abs(share(value) - other) >= apart for other, _ in ticks):
            ticks.append((share(value), f"{value:g}"))
    return sorted(ticks)


def _draw_bar(sheet: Sheet, at: tuple[float, float], ticks: Sequence[tuple[float, str]]) -> None:
    """Draw the bar of colours and what they mean."""
    axes = sheet.axes(*at, _BAR[1], _SIZE[1], label="colours")
    axes.imshow(
        np.linspace(0, 1, 256)[:, None], cmap=_colours(), aspect="auto", extent=(0, 1, 0, 1), origin="lower"
    )
    axes.yaxis.tick_right()
    axes.set_yticks([share for share, _ in ticks], [text for _, text in ticks])
    axes.tick_params(length=3, labelsize=look.TICK, labelcolor=look.MUTED, pad=3)


def _key(
    cells: PlaneCells,
    requirement: Requirement,
    own: tuple[float, float] | None,
    own_lengths: tuple[float | None, float],
    infinite: EndlessRows | None,
    endless: Line,
) -> list[KeyEntry]:
    units = cells.units
    entries = []
    if cells.excess is not None:
        judged = cells.excess[~np.isnan(cells.excess)]
        wanted = _told(requirement)
        if (judged > 1).all():
            entries.append(KeyEntry(mark=UNMET, text=f"nowhere met: {wanted}"))
        elif (judged <= 1).all():
            entries.append(KeyEntry(mark=Mark(patch=look.PAPER), text=f"met everywhere: {wanted}"))
        else:
            entries.append(KeyEntry(mark=LIMIT, text=f"just met: {wanted}"))
            entries.append(KeyEntry(mark=UNMET, text="not met"))
    if own is not None and own_lengths[0] is not None:
        pitch, depth = (format_length(length, units) for length in (own_lengths[0], own_lengths[1]))
        beyond = "" if cells.holds(own) else ", outside of what is shown"
        entries.append(KeyEntry(mark=OWN, text=f"this study, rows {pitch} on centre, {depth} deep{beyond}"))
    if infinite is not None and len(endless) > 1:
        entries.append(KeyEntry(mark=ENDLESS, text=f"{_ENDLESS}: max/min {infinite.limit:g}"))
    if _levels(cells):
        entries.append(KeyEntry(mark=CONTOUR, text="max/min"))
    if np.isnan(cells.values).any():
        entries.append(KeyEntry(mark=MISSING, text="unfinished: not come to"))
    if float(np.nanmax(cells.values)) > cells.shown[1]:
        entries.append(
            KeyEntry(mark=Mark(patch=to_hex(_colours()(1.0))), text=f"max/min {cells.shown[1]:g} and more")
        )
    return entries


def _told(requirement: Requirement) -> str:
    """The limits in words; how many there are where that would be long."""
    limits = [
        f"{NAMES[name]} {LIMITS[name]} {limit:g}{' ' + UNITS[name] if name in UNITS else ''}"
        for name, limit in requirement.limits.items()
    ]
    return ", ".join(limits) if len(limits) <= 3 else f"the requirement's {len(limits)} limits"
