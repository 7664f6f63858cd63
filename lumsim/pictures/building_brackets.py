"""Brackets at the ends of rows on a building plan: which supplies feed these rows. Inches from the cabinet's corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.building_feeds import supplies_told
from lumsim.pictures.building_marks import RowLine
from lumsim.pictures.dimension_lines import DIMENSION
from lumsim.pictures.dimensions import NUMBER_LINE, thinned
from lumsim.pictures.lettering import text_width
from lumsim.pictures.sheet import Sheet

__all__ = ["Bracket", "Brackets", "brackets", "draw_brackets"]

_BRACKET: Final = 0.06
"""From row numbers to a bracket, and from there to its text. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bracket:
    """Rows side by side that the same supplies feed."""

    start: float
    """across the rows [in]"""
    end: float
    """[in]"""
    text: str
    """empty where there is no room for it"""
    at: float
    """where it stands across the rows [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brackets:
    """At the far ends of the rows that run in one direction."""

    direction: Direction
    brackets: tuple[Bracket, ...] = ()
    told: str = ""
    """which have their text, in words; empty where all have"""
    room: float = 0.0
    """what they take beyond the row numbers [in]"""


def brackets(lines: Sequence[RowLine], direction: Direction, extent: float, *, scale: float) -> Brackets:
    """Gather rows side by side that the same supplies feed.

    Parameters
    ----------
    lines : sequence of RowLine
    direction : {"horizontal", "vertical"}
        Of the rows that are gathered.
    extent : float
        The cabinet's inside across them. [in]
    scale : float
        [in of paper for 1 m]
    """
    at: dict[float, set[int]] = {}
    for line in lines:
        if line.direction == direction:
            supplies = {supply for _, supply in line.row.feeds if supply is not None}
            at.setdefault(round(line.line * scale, 4), set()).update(supplies)
    found = []
    for fed, same in groupby(sorted(at), key=lambda place: tuple(sorted(at[place]))):
        places = list(same)
        if fed:
            found.append((places[0], places[-1], supplies_told(fed)))
    if not found:
        return Brackets(direction=direction)
    horizontal = direction == "horizontal"
    widths = [text_width(text, look.NUMBER) for _, _, text in found]
    halves = [NUMBER_LINE / 2 if horizontal else width / 2 + 0.03 for width in widths]
    middles = [(start + end) / 2 for start, end, _ in found]
    left = thinned(middles, halves, -0.12, extent + 0.12, numbers=range(1, len(found) + 1), furthest=0.1)
    texts = dict(zip(left.kept, left.at, strict=True))
    return Brackets(
        direction=direction,
        brackets=tuple(
            Bracket(start=start, end=end, text=text if i in texts else "", at=texts.get(i, start))
            for i, (start, end, text) in enumerate(found)
        ),
        told=left.told,
        room=2 * _BRACKET + 0.05 + (max(widths) if horizontal else NUMBER_LINE),
    )


def draw_brackets(sheet: Sheet, found: Brackets, x: float, y: float) -> None:
    """Draw brackets with their supplies.

    Parameters
    ----------
    sheet : Sheet
    found : Brackets
    x, y : float
        Where row numbers end, and the cabinet's first corner across the rows. [in]
    """
    for one in found.brackets:
        # A lone row has a short stroke.
        start, end = min(one.start, one.end - 0.03), max(one.end, one.start + 0.03)
        out, foot = _BRACKET, _BRACKET - 0.04
        along, across = [start, start, end, end], [foot, out, out, foot]
        if found.direction == "horizontal":
            sheet.line([x + place for place in across], [y + place for place in along], DIMENSION)
            sheet.write(x + 2 * _BRACKET, y + one.at, one.text, look.NUMBER, up="center")
        else:
            sheet.line([x + place for place in along], [y + place for place in across], DIMENSION)
            sheet.write(x + one.at, y + 2 * _BRACKET, one.text, look.NUMBER, across="center", up="bottom")
