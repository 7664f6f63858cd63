"""Dimension lines drawn below a view or on its left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from matplotlib.text import Text

from lumsim.pictures import look
from lumsim.pictures.dimensions import NUMBER_LINE, Chain, Number
from lumsim.pictures.lettering import text_width
from lumsim.pictures.sheet import Mark, Sheet

__all__ = ["BEFORE_LINE", "DIMENSION", "GROUND", "Axis", "DimensionSide", "draw_chain"]

Axis = Literal["x", "y"]
"""Along which distances are told."""

DIMENSION: Final = Mark(line=look.INK, line_width=0.5)
"""Dimension lines."""
_EXTENSION: Final = Mark(line=look.HAIR, line_width=0.5)
"""From what is measured to the dimension line."""
_TICK: Final = 0.035
"""Half of the stroke across a line's ends. [in]"""
GROUND: Final = {"facecolor": look.PAPER, "edgecolor": "none", "pad": 0.8}
"""Under a number beside its line, which lines to what is measured may cross."""
BEFORE_LINE: Final = 0.2
"""From what is drawn before it to a dimension line. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DimensionSide:
    """The side of a view along which distances are told; places are along it and outwards from it."""

    axis: Axis
    """x: below the view; y: on its left"""
    x: float
    """the view's lower left corner on the sheet [in]"""
    y: float
    """[in]"""
    past: float
    """how far out lines to what is measured begin [in]"""

    def at(self, along: float, out: float) -> tuple[float, float]:
        """Return the place on the sheet. [in]"""
        return (self.x + along, self.y - out) if self.axis == "x" else (self.x - out, self.y + along)

    def line(self, sheet: Sheet, one: tuple[float, float], other: tuple[float, float], mark: Mark) -> None:
        """Draw a line between two places."""
        (x0, y0), (x1, y1) = self.at(*one), self.at(*other)
        sheet.line([x0, x1], [y0, y1], mark)

    def tick(self, sheet: Sheet, along: float, out: float) -> None:
        """Draw the stroke that ends a distance, and the line to what is measured."""
        self.line(sheet, (along, self.past), (along, out + 0.05), _EXTENSION)
        x, y = self.at(along, out)
        sheet.line([x - _TICK, x + _TICK], [y - _TICK, y + _TICK], Mark(line=look.INK, line_width=0.9))


def draw_chain(sheet: Sheet, side: DimensionSide, chain: Chain, out: float, name: str) -> None:
    """Draw several distances along one line, with the letter that notes call it by.

    Parameters
    ----------
    sheet : Sheet
    side : DimensionSide
    chain : Chain
    out : float
        How far out the line is. [in]
    name : str
    """
    for along in chain.points:
        side.tick(sheet, along, out)
    inside = [number for number in chain.numbers if not number.beside]
    _broken(sheet, side, chain.points[0], chain.points[-1], out, inside)
    x, y = side.at(chain.points[0] - 0.14, out)
    sheet.write(x, y, name, look.NUMBER, bold=True, across="center", up="center")
    for number in chain.numbers:
        if number.beside and chain.running:
            side.line(sheet, (number.of, out), (number.at, out + 0.11), DIMENSION)
            x, y = side.at(number.at, out + 0.13)
            below = side.axis == "x"
            written = sheet.write(
                x,
                y,
                number.text,
                look.NUMBER,
                across="center" if below else "right",
                up="top" if below else "center",
                rotation=90 if below else 0,
            )
            written.set_bbox(GROUND)
        elif number.beside:
            side.line(sheet, (number.of, out), (number.at, out + 0.08), DIMENSION)
            _write(sheet, side, number.at, out + 0.09 + NUMBER_LINE / 2, number.text).set_bbox(GROUND)


def _broken(
    sheet: Sheet, side: DimensionSide, start: float, end: float, out: float, numbers: list[Number]
) -> None:
    """Draw a dimension line that leaves its numbers free, and write them."""
    at = start
    for number in sorted(numbers, key=lambda one: one.at):
        half = text_width(number.text, look.NUMBER) / 2 + 0.03
        side.line(sheet, (at, out), (number.at - half, out), DIMENSION)
        _write(sheet, side, number.at, out, number.text)
        at = number.at + half
    side.line(sheet, (at, out), (end, out), DIMENSION)


def _write(sheet: Sheet, side: DimensionSide, along: float, out: float, text: str) -> Text:
    """Write along the line."""
    x, y = side.at(along, out)
    rotation = 90 if side.axis == "y" else 0
    return sheet.write(x, y, text, look.NUMBER, across="center", up="center", rotation=rotation)
