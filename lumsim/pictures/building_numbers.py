"""Numbers of rows at their ends, on a building plan. Inches from the cabinet's corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Final

from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.building_marks import RowLine
from lumsim.pictures.dimensions import NUMBER_LINE, thinned
from lumsim.pictures.lettering import text_width
from lumsim.pictures.sheet import Across, Mark, Sheet, Up

__all__ = ["RowNumber", "RowNumbers", "draw_row_numbers", "row_numbers"]

_NEAR, _FAR, _NUMBER = 0.04, 0.1, 0.12
"""From the cabinet to both ends of a leader and to a row's number. [in]"""
_LEADER: Final = Mark(line=look.HAIR, line_width=0.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowNumber:
    """The number at both ends of a row, or of rows one behind the other."""

    text: str
    of: float
    """where the row lies across [in]"""
    at: float
    """where the number stands [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowNumbers:
    """Of the rows that run in one direction."""

    direction: Direction
    numbers: tuple[RowNumber, ...] = ()
    told: str = ""
    """which rows are numbered, in words; empty where all are"""
    room: float = 0.0
    """what they take at either end [in]"""


def row_numbers(lines: Sequence[RowLine], direction: Direction, extent: float, *, scale: float) -> RowNumbers:
    """Number the rows that run in a direction, where there is room for their numbers.

    Parameters
    ----------
    lines : sequence of RowLine
    direction : {"horizontal", "vertical"}
    extent : float
        The cabinet's inside across the rows. [in]
    scale : float
        [in of paper for 1 m]
    """
    ordered = sorted(
        (round(one.line * scale, 4), one.row.string.number) for one in lines if one.direction == direction
    )
    if not ordered:
        return RowNumbers(direction=direction)
    at, firsts, texts = [], [], []
    for place, same in groupby(ordered, key=lambda one: one[0]):
        numbers = [number for _, number in same]
        at.append(place)
        firsts.append(numbers[0])
        texts.append(_together(numbers))
    widest = max(text_width(text, look.NUMBER) for text in texts)
    horizontal = direction == "horizontal"
    halves = [NUMBER_LINE / 2 if horizontal else text_width(text, look.NUMBER) / 2 + 0.04 for text in texts]
    left = thinned(at, halves, -0.12, extent + 0.12, numbers=firsts)
    return RowNumbers(
        direction=direction,
        numbers=tuple(
            RowNumber(text=texts[i], of=at[i], at=place) for i, place in zip(left.kept, left.at, strict=True)
        ),
        told=left.told,
        room=_NUMBER + 0.05 + (widest if horizontal else NUMBER_LINE),
    )


def _together(numbers: Sequence[int]) -> str:
    """Write rising numbers: ``9–11``, or ``3, 9``."""
    if len(numbers) > 1 and all(other == one + 1 for one, other in pairwise(numbers)):
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(str(number) for number in numbers)


def draw_row_numbers(
    sheet: Sheet, numbers: RowNumbers, x: float, y: float, width: float, height: float
) -> None:
    """Write each row's number at both its ends, outside the cabinet.

    Parameters
    ----------
    sheet : Sheet
    numbers : RowNumbers
    x, y : float
        The cabinet's lower left corner. [in]
    width, height : float
        Of the cabinet. [in]
    """
    for one in numbers.numbers:
        for far in (False, True):
            way = 1 if far else -1
            if numbers.direction == "horizontal":
                edge = x + width if far else x
                sheet.line([edge + way * _NEAR, edge + way * _FAR], [y + one.of, y + one.at], _LEADER)
                across: Across = "left" if far else "right"
                sheet.write(
                    edge + way * _NUMBER, y + one.at, one.text, look.NUMBER, across=across, up="center"
                )
            else:
                edge = y + height if far else y
                sheet.line([x + one.of, x + one.at], [edge + way * _NEAR, edge + way * _FAR], _LEADER)
                up: Up = "bottom" if far else "top"
                sheet.write(x + one.at, edge + way * _NUMBER, one.text, look.NUMBER, across="center", up=up)
