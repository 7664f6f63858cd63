"""Numbers on a building plan: rows at their ends, supplies at the feed points. Paper in inches from the cabinet's corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Final

import numpy as np

from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.building_marks import MarkSizes, RowLine
from lumsim.pictures.dimensions import NUMBER_LINE, thinned
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, text_width
from lumsim.uniformity.face_map import Array

__all__ = ["FeedNumber", "RowNumber", "RowNumbers", "feed_numbers", "feed_place", "row_numbers"]

_LEADER: Final = 0.12
"""From the cabinet to a row's number. [in]"""


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

    numbers: tuple[RowNumber, ...] = ()
    step: int = 1
    """only every so many rows are numbered [1]"""
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
        return RowNumbers()
    at, firsts, texts = [], [], []
    for place, same in groupby(ordered, key=lambda one: one[0]):
        numbers = [number for _, number in same]
        at.append(place)
        firsts.append(numbers[0])
        texts.append(_together(numbers))
    widest = max(text_width(text, look.NUMBER) for text in texts)
    horizontal = direction == "horizontal"
    halves = [NUMBER_LINE / 2 if horizontal else text_width(text, look.NUMBER) / 2 + 0.04 for text in texts]
    step, kept, stand = thinned(at, halves, -0.12, extent + 0.12, numbers=firsts)
    return RowNumbers(
        numbers=tuple(
            RowNumber(text=texts[i], of=at[i], at=place) for i, place in zip(kept, stand, strict=True)
        ),
        step=step,
        room=_LEADER + 0.05 + (widest if horizontal else NUMBER_LINE),
    )


def _together(numbers: Sequence[int]) -> str:
    """Write rising numbers: ``9–11``, or ``3, 9``."""
    if len(numbers) > 1 and all(other == one + 1 for one, other in pairwise(numbers)):
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(str(number) for number in numbers)


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedNumber:
    """A supply's number beside a feed point."""

    text: str
    x: float
    """[in]"""
    y: float
    """[in]"""


def feed_place(line: RowLine, module: int, sizes: MarkSizes, *, scale: float) -> tuple[float, float]:
    """Where a feed point's mark is: it stands beside its module and points at it. [in]

    Parameters
    ----------
    line : RowLine
    module : int
        Of the row, from 0.
    sizes : MarkSizes
    scale : float
        [in of paper for 1 m]
    """
    x, y = (line.places[module] * scale).tolist()
    off = sizes.feed / 2 + sizes.dot / 2
    return (x, y + off) if line.direction == "horizontal" else (x + off, y)


def feed_numbers(
    lines: Sequence[RowLine], sizes: MarkSizes, inside: Box, avoid: Sequence[Box], *, scale: float
) -> tuple[list[FeedNumber], int]:
    """Write each feed point's supply beside it, as far as there is room: a supply's first and last row before others.

    Parameters
    ----------
    lines : sequence of RowLine
    sizes : MarkSizes
    inside : Box
        Of the cabinet.
    avoid : sequence of Box
        What must not be written over.
    scale : float
        [in of paper for 1 m]

    Returns
    -------
    numbers : list of FeedNumber
    missing : int
        How many had no room. [1]
    """
    feeds = [(line, module, supply) for line in lines for module, supply in line.row.feeds]
    taken = Taken()
    for box in avoid:
        taken.take(box)
    at = [feed_place(line, module, sizes, scale=scale) for line, module, _ in feeds]
    for x, y in at:
        taken.take(_around(x, y, sizes.feed / 2, sizes.feed / 2))
    for line in lines:
        bar = (0.015, sizes.bar / 2) if line.direction == "horizontal" else (sizes.bar / 2, 0.015)
        for x, y in (line.supports * scale).tolist():
            taken.take(_around(x, y, *bar))
        for x, y in (line.joints * scale).tolist():
            taken.take(_around(x, y, sizes.joint / 2, sizes.joint / 2))
    modules = np.concatenate([line.places for line in lines]) * scale
    rows: dict[int, list[int]] = {}
    for line, _, supply in feeds:
        if supply is not None:
            rows.setdefault(supply, []).append(line.row.string.number)
    ends = {supply: {min(numbers), max(numbers)} for supply, numbers in rows.items()}
    told = [
        (line.row.string.number not in ends[supply], number, f"S{supply}")
        for number, (line, _, supply) in enumerate(feeds)
        if supply is not None
    ]
    found = []
    for _, number, text in sorted(told):
        box = _free(*at[number], text, sizes, inside, taken, modules)
        if box is not None:
            taken.take(box)
            found.append(FeedNumber(text=text, x=(box[0] + box[2]) / 2, y=(box[1] + box[3]) / 2))
    return found, len(told) - len(found)


def _free(
    x: float, y: float, text: str, sizes: MarkSizes, inside: Box, taken: Taken, modules: Array
) -> Box | None:
    """Find room beside a mark, best where no module is covered."""
    half_width, half_height = text_width(text, look.NUMBER) / 2 + 0.02, 0.06
    reach = sizes.feed / 2 + 0.015
    places = [
        (x + dx * (reach + half_width), y + dy * (reach + half_height) + lift)
        for dx, dy, lift in ((1, 0, 0.02), (-1, 0, 0.02), (0, 1, 0.0), (0.8, 0.8, 0.0), (-0.8, 0.8, 0.0))
    ]
    boxes = [_around(px, py, half_width, half_height) for px, py in places]
    free = [box for box in boxes if is_within(box, inside) and taken.is_free(box)]
    return min(free, key=lambda box: any_in(modules, box), default=None)


def _around(x: float, y: float, across: float, up: float) -> Box:
    return x - across, y - up, x + across, y + up
