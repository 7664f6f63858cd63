"""The strip below a drawing: what it is of, its scale, and a bar to measure a copy of another size by. In inches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from matplotlib.patches import Rectangle

from lumsim.pictures import look
from lumsim.pictures.drawing_paper import Paper, inches_per_metre
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.sheet import PAD, Mark, Sheet, length_ticks
from lumsim.units import Units

__all__ = ["STRIP_HEIGHT", "TitleStrip", "draw_title_strip"]

STRIP_HEIGHT: Final = 1.05

_SCALE_WIDTH: Final = 2.75
"""Of the field that tells the scale."""
_BAR_WIDTH: Final = 3.5
"""Of the field with the bar."""
_BAR_HEIGHT: Final = 0.1
_INSET: Final = 0.12
_FRAME: Final = Mark(line=look.INK, line_width=0.8)
_CAUTION: Final = "arithmetic, not compliance; see the cautions of the sheet"
_COPY: Final = "Print at 100 %. On a copy of another size measure by the bar."


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleStrip:
    """What the strip says."""

    title: str
    facts: Sequence[str]
    paper: Paper
    ratio: int
    """how many times smaller the drawing is [1]"""
    units: Units


def draw_title_strip(sheet: Sheet, strip: TitleStrip) -> None:
    """Draw the strip along the foot of a sheet, and the frame around the whole.

    Parameters
    ----------
    sheet : Sheet
    strip : TitleStrip
    """
    left, right, foot, head = PAD, sheet.width - PAD, PAD, PAD + STRIP_HEIGHT
    top = sheet.height - PAD
    sheet.line([left, right, right, left, left], [foot, foot, top, top, foot], _FRAME)
    sheet.line([left, right], [head, head], _FRAME)
    bar, scale = right - _BAR_WIDTH, right - _BAR_WIDTH - _SCALE_WIDTH
    for x in (bar, scale):
        sheet.line([x, x], [foot, head], _FRAME)
    _write_down(
        sheet,
        left + _INSET,
        scale - left - 2 * _INSET,
        [(strip.title, look.HEADING, True), *((fact, look.TICK, False) for fact in strip.facts)],
    )
    sheet.write(left + _INSET, foot + 0.1, _CAUTION, look.TICK, colour=look.MUTED)
    unit = "inches" if strip.units == "in" else "millimetres"
    _write_down(
        sheet,
        scale + _INSET,
        _SCALE_WIDTH - 2 * _INSET,
        [
            (f"scale 1:{strip.ratio} on {strip.paper.name}", look.HEADING, True),
            (f"lengths in {unit}, inside dimensions", look.TICK, False),
            (_COPY, look.TICK, False),
        ],
    )
    _draw_bar(sheet, bar + _INSET, foot + 0.5, _BAR_WIDTH - 2 * _INSET, strip)


def _write_down(sheet: Sheet, x: float, width: float, texts: Sequence[tuple[str, float, bool]]) -> None:
    """Write texts one below the other, from the strip's head."""
    y = PAD + STRIP_HEIGHT - 0.06
    for text, size, bold in texts:
        for line in wrapped(text, size, width, bold=bold, most_lines=2):
            sheet.write(x, y - 0.75 * line_height(size), line, size, bold=bold)
            y -= line_height(size)


def _draw_bar(sheet: Sheet, x: float, y: float, width: float, strip: TitleStrip) -> None:
    """Draw a bar of round lengths, the first of them graduated finer."""
    per_unit = inches_per_metre(strip.ratio, strip.units)
    # Half of the first and of the last number reach beyond the bar.
    widest = text_width(f"{width / per_unit:.0f}", look.TICK)
    start, room = x + widest / 2, width - widest - text_width(f" {strip.units}", look.TICK)
    ticks = length_ticks(
        room / per_unit, strip.units, inches_per_unit=per_unit, apart=max(0.42, widest + 0.12)
    )
    for number, (one, other) in enumerate(pairwise(ticks)):
        sheet.add(
            Rectangle(
                (start + one * per_unit, y),
                (other - one) * per_unit,
                _BAR_HEIGHT,
                facecolor=look.PAPER if number % 2 else look.INK,
                edgecolor=look.INK,
                linewidth=0.6,
            )
        )
    ends = [start + tick * per_unit for tick in ticks]
    sheet.line(ends, [y] * len(ends), Mark(line=look.INK, line_width=0.6)).set_gid("scale-bar")
    for tick, at in zip(ticks, ends, strict=True):
        sheet.line([at, at], [y, y - 0.06], Mark(line=look.INK, line_width=0.7))
        sheet.write(at, y - 0.09, f"{tick:g}", look.TICK, across="center", up="top")
    sheet.write(ends[-1] + widest / 2, y - 0.09, f" {strip.units}", look.TICK, up="top")
    for fine in length_ticks(ticks[1], strip.units, inches_per_unit=per_unit, apart=0.07):
        at = start + fine * per_unit
        sheet.line([at, at], [y + _BAR_HEIGHT, y + _BAR_HEIGHT + 0.06], Mark(line=look.INK, line_width=0.5))
