"""Curves over one axis for lessons: few, large, told apart by colour and dashes, with marks where things stand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from numpy.typing import ArrayLike, NDArray

from lumsim.errors import InputError
from lumsim.pictures import look
from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
from lumsim.pictures.lettering import Box, Taken, drawable, line_height, text_width
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, Sheet, key_height, key_rows, length_ticks
from lumsim.units import Units

__all__ = ["Curve", "draw_curves"]

Array = NDArray[np.float64]

_SIZE: Final = (4.6, 2.3)
"""Of the axes: a small sheet, so that letters are large once it fills a screen. [in]"""
_TICK_ROOM: Final = 0.26
"""[in]"""
_ROW: Final = 0.2
"""Of marks' labels above the axes. [in]"""
_FOOT: Final = 0.11
"""Height of a mark without a label. [in]"""
_STRIP: Final = 0.34
"""Height of a strip that shows a curve as seen. [in]"""
_STRIP_NAME: Final = 0.21
"""For its name. [in]"""
_STRIP_ROW: Final = _STRIP + _STRIP_NAME + 0.08
"""[in]"""
_GREYS: Final = 460
"""Across such a strip. [1]"""
_WIDTH: Final = 2.0
"""Of a curve: the last row of a room sees it. [pt]"""
_LABELLED: Final = Mark(line=look.MUTED, line_width=1.0, dashes=(0, (3, 2)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One curve: values of y over rising x, NaN in y where there is nothing to show."""

    name: str
    """in the key; several curves are told apart by it"""
    x: ArrayLike
    y: ArrayLike
    seen: bool = True
    """whether it has a strip too where curves are shown as seen"""

    @property
    def places(self) -> tuple[Array, Array]:
        """X and y as (n,) arrays, refused where they are no curve.

        Raises
        ------
        InputError
            For fewer than two points, for lengths that differ, for values that no paper holds, and for places that do
            not rise.
        """
        x, y = (np.asarray(one, dtype=np.float64) for one in (self.x, self.y))
        if x.ndim != 1 or x.shape != y.shape or len(x) < 2:
            raise InputError(
                f"the curve {self.name!r} needs as many values as places, two at least: "
                f"got {y.size} at {x.size} places"
            )
        if not np.isfinite(x).all() or np.isinf(y).any() or np.isnan(y).all():
            raise InputError(f"the curve {self.name!r} has values that cannot be drawn")
        if not (np.diff(x) > 0).all():
            raise InputError(f"the curve {self.name!r} needs rising places")
        return x, y


def draw_curves(
    curves: Sequence[Curve],
    *,
    x_label: str,
    y_label: str,
    marks: Sequence[tuple[float, str]] = (),
    heading: str = "",
    from_zero: bool = True,
    y_range: tuple[float, float] | None = None,
    units: Units | None = None,
    white: float | None = None,
) -> Figure:
    """Draw curves over one axis, with marks along it.

    Parameters
    ----------
    curves : sequence of Curve
        At least one. Several need names that differ.
    x_label, y_label : str
        With their units.
    marks : sequence of (float, str)
        Places along x, in its unit. One with a text is a line with the text above it, one without a short stroke at the
        foot; those outside of the curves' x are left out.
    heading : str
        Above the picture, none where empty.
    from_zero : bool
        Whether the y axis begins at nought.
    y_range : (float, float), optional
        What the y axis shows at least: the same for one picture after another keeps their scale.
    units : {"in", "mm"}, optional
        What x is in where it is a length: ticks then are those of a tape measure.
    white : float, optional
        Where y is light: shows each curve that is to be ``seen`` as a strip too, as the eye would see it, in greys
        whose light on a screen stands in the ratios of the curve; this value, more than 0, and what is higher is
        white. [y's unit]

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.

    Raises
    ------
    InputError
        For no curve, for curves that share a name, for a curve that cannot be drawn, and for a white that is none.
    """
    if not curves:
        raise InputError("there is nothing to draw: give at least one curve")
    if len({curve.name for curve in curves}) < len(curves):
        raise InputError("curves in one picture need names that differ")
    if white is not None and not 0 < white < math.inf:
        raise InputError(f"a screen's white must stand for more than 0, got {white:g}")
    drawn = [curve.places for curve in curves]
    low, high = min(float(x.min()) for x, _ in drawn), max(float(x.max()) for x, _ in drawn)
    with look.drawing():
        up = _up([y for _, y in drawn], from_zero=from_zero, y_range=y_range)
        ticks = _ticks(up, 5)
        left = PAD + max(text_width(f"{tick:g}", look.TICK) for tick in ticks) + 0.1
        width, (across, rise) = left + _SIZE[0] + PAD, _SIZE
        scale = across / (high - low)
        shown = [(left + (place - low) * scale, text) for place, text in marks if low <= place <= high]
        labels = _boxed([(at, drawable(text)) for at, text in shown if text], width)
        marks_height = max((box[3] for _, _, box in labels), default=0.0)
        title = Heading.wrapped(heading, (), width - 2 * PAD) if heading else Heading(title=(), facts=())
        marked = [
            Mark(line=colour, dashes=dashes, line_width=_WIDTH)
            for colour, dashes in (look.line_style(number) for number in range(len(curves)))
        ]
        entries = [
            KeyEntry(mark=mark, text=drawable(curve.name))
            for mark, curve in zip(marked, curves, strict=True)
            if curve.name
        ]
        key = key_rows(entries, width - 2 * PAD)
        below = _TICK_ROOM + line_height(look.LABEL) + 0.1
        strips = [] if white is None else [curve for curve in curves if curve.seen]
        seen = len(strips) * _STRIP_ROW + line_height(look.TICK) + 0.08 if strips else 0.0
        bottom = PAD + key_height(key) + seen + below
        over = line_height(look.LABEL) + 0.06 + marks_height
        sheet = Sheet(width, bottom + rise + over + (title.height + 0.08 if heading else 0.0) + PAD)
        sheet.heading(title)
        sheet.write(PAD, bottom + rise + marks_height + 0.09, drawable(y_label), look.LABEL)
        axes = sheet.axes(left, bottom, across, rise, label="curves")
        axes.set_xlim(low, high)
        axes.set_ylim(*up)
        _tick(axes, ticks, (low, high), scale, units)
        for (x, y), mark in zip(drawn, marked, strict=True):
            axes.plot(x, y, color=mark.line, linestyle=mark.dashes, linewidth=mark.line_width, zorder=4)
        for at, text in shown:
            if not text:
                sheet.line([at, at], [bottom, bottom + _FOOT], Mark(line=look.INK, line_width=2.2)).set_gid(
                    "mark"
                )
        for at, text, box in labels:
            sheet.line([at, at], [bottom, bottom + rise + box[1] + 0.02], _LABELLED).set_gid("mark")
            sheet.write(box[0], bottom + rise + box[1] + 0.05, text, look.TICK, colour=look.MUTED)
        sheet.write(left, bottom - _TICK_ROOM, drawable(x_label), look.LABEL, up="top")
        if white is not None and strips:
            _draw_strips(sheet, (left, bottom - below), strips, (low, high), Exposure(white=white))
        sheet.key(key, PAD, PAD + key_height(key))
        return sheet.figure


def _up(
    values: Sequence[Array], *, from_zero: bool, y_range: tuple[float, float] | None
) -> tuple[float, float]:
    """What the y axis shows: all values and what is asked for, with a little air."""
    low = min(float(np.nanmin(y)) for y in values)
    high = max(float(np.nanmax(y)) for y in values)
    if y_range is not None:
        low, high = min(low, y_range[0]), max(high, y_range[1])
    if from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    air = 0.06 * (high - low) or 0.1 * abs(high) or 1.0
    return (low if from_zero and low == 0 else low - air), high + air


def _draw_strips(
    sheet: Sheet,
    at: tuple[float, float],
    curves: Sequence[Curve],
    between: tuple[float, float],
    exposure: Exposure,
) -> None:
    """Show each curve as the eye would see a face so lit, from a place down; where it shows nothing, the paper."""
    left, top = at
    for curve in curves:
        x, y = curve.places
        name = drawable(f"as seen: {curve.name}") if curve.name else "as seen"
        sheet.write(left, top - _STRIP_NAME + 0.05, name, look.TICK, colour=look.MUTED)
        scale = _SIZE[0] / (between[1] - between[0])
        from_x, to_x = (left + (float(end) - between[0]) * scale for end in (x[0], x[-1]))
        edges = np.linspace(x[0], x[-1], _GREYS + 1)
        greys = exposure.greys(np.interp((edges[1:] + edges[:-1]) / 2, x, y))
        sheet.greys((from_x, top - _STRIP_NAME - _STRIP), (to_x - from_x, _STRIP), greys[None]).set_gid(name)
        top -= _STRIP_ROW
    sheet.write(left, top - 0.75 * line_height(look.TICK), RATIOS_ONLY, look.TICK, colour=look.MUTED)


def _ticks(between: tuple[float, float], most: int) -> list[float]:
    ticks = MaxNLocator(nbins=most, steps=[1, 2, 2.5, 5, 10]).tick_values(*between)
    return [float(f"{tick:.10g}") for tick in ticks if between[0] <= tick <= between[1]]


def _tick(
    axes: Axes, up: Sequence[float], across: tuple[float, float], scale: float, units: Units | None
) -> None:
    """Tick both axes; faint lines lead from the y axis across."""
    if units is None:
        along = _ticks(across, 8)
    else:
        along = length_ticks(across[1], units, inches_per_unit=scale, apart=0.5, start=across[0])
    axes.set_xticks(along, [f"{tick:g}" for tick in along])
    axes.set_yticks(up, [f"{tick:g}" for tick in up])
    axes.tick_params(length=3, labelsize=look.TICK, labelcolor=look.INK, pad=3)
    axes.grid(axis="y", color=look.HAIR, linewidth=0.5)
    axes.set_axisbelow(True)


def _boxed(marks: Sequence[tuple[float, str]], width: float) -> list[tuple[float, str, Box]]:
    """Where labels stand, from the axes' upper edge: as low as they can, each on the sheet and clear of all lines.

    Over its line, or to its right or left. Those with room in the lowest row come first: a line ends below its own
    label, so that what stands higher may stand over it.
    """
    taken = Taken()
    placed: dict[int, Box] = {}

    def clear(number: int, box: Box) -> bool:
        others = (other for other in range(len(marks)) if other != number)
        over = [other for other in others if box[0] <= marks[other][0] <= box[2]]
        under = (there for there in placed.values() if there[1] < box[1])
        return all(other in placed and placed[other][1] < box[1] for other in over) and not any(
            there[0] <= marks[number][0] <= there[2] for there in under
        )

    for rows in (range(1), range(1, len(marks) + 1)):
        for number, (at, text) in enumerate(marks):
            if number in placed:
                continue
            ways = [
                box
                for box in _ways(at, text_width(text, look.TICK), width, rows)
                if taken.is_free(_aired(box))
            ]
            box = next((box for box in ways if clear(number, box)), ways[0] if ways and rows.start else None)
            if box is not None:
                taken.take(_aired(box))
                placed[number] = box
    return [(at, text, placed[number]) for number, (at, text) in enumerate(marks)]


def _ways(at: float, long: float, width: float, rows: range) -> Iterator[Box]:
    """Where a label might stand in some rows, best first: as many rows as labels have room for each."""
    middle = max(PAD, min(at - long / 2, width - PAD - long))
    for row in rows:
        for x0 in (middle, at + 0.05, at - 0.05 - long):
            if PAD <= x0 <= width - PAD - long or x0 == middle:
                yield x0, row * _ROW, x0 + long, (row + 1) * _ROW


def _aired(box: Box) -> Box:
    return box[0] - 0.06, box[1], box[2] + 0.06, box[3]
