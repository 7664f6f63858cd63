"""Feed points on a building plan: their marks, and the numbers of their supplies. Inches from the cabinet's corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.building_marks import MarkSizes, RowLine
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, text_width
from lumsim.uniformity.face_map import Array

__all__ = ["FeedNumber", "FeedNumbers", "feed_numbers", "feed_place"]

_HALF_HEIGHT: Final = 0.06
"""Of a number. [in]"""
_CLEAR: Final = 0.015
"""Between a mark and its number. [in]"""
_NEAR: Final = 0.6
"""Modules that are farther from a feed point are not in its number's way. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedNumber:
    """A supply's number beside a feed point."""

    text: str
    x: float
    """[in]"""
    y: float
    """[in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedNumbers:
    """The numbers that are written, and why others are not."""

    written: tuple[FeedNumber, ...]
    notes: tuple[str, ...]


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
    off = (sizes.feed + sizes.dot) / 2
    return (x, y + off) if line.direction == "horizontal" else (x + off, y)


def feed_numbers(
    lines: Sequence[RowLine], sizes: MarkSizes, inside: Box, avoid: Sequence[Box], *, scale: float
) -> FeedNumbers:
    """Write each feed point's supply beside it as far as there is room; of close rows fed alike the first and the last.

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
    """
    fed = {line.row.string.number: sorted(supply or 0 for _, supply in line.row.feeds) for line in lines}

    def between(number: int) -> bool:
        return sizes.dense and fed.get(number - 1) == fed[number] == fed.get(number + 1)

    marks = np.array(
        [_around(*place, *half) for line in lines for place, half in _marks(line, sizes, scale)]
    ).reshape(-1, 4)
    modules = np.concatenate([line.places for line in lines]) * scale
    taken = Taken()
    for box in avoid:
        taken.take(box)
    written, skipped, missing = [], False, 0
    for line in lines:
        for module, supply in line.row.feeds:
            if supply is None:
                continue
            if between(line.row.string.number):
                skipped = True
                continue
            x, y = feed_place(line, module, sizes, scale=scale)
            text = f"S{supply}"
            near = modules[(abs(modules - (x, y)) < _NEAR).all(axis=1)]
            boxes = [
                box
                for box in _beside(x, y, text, line.direction, sizes)
                if is_within(box, inside) and taken.is_free(box) and not _meets(marks, box)
            ]
            if not boxes:
                missing += 1
                continue
            box = min(boxes, key=lambda one: any_in(near, one))
            taken.take(box)
            written.append(FeedNumber(text=text, x=(box[0] + box[2]) / 2, y=(box[1] + box[3]) / 2))
    notes = []
    if skipped:
        notes.append("rows between two that are fed alike are fed like them, and bear no S")
    if missing:
        notes.append(f"feed points without room for their S: {missing}")
    return FeedNumbers(written=tuple(written), notes=tuple(notes))


def _marks(
    line: RowLine, sizes: MarkSizes, scale: float
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Every mark of a row with half its size across and up."""
    feed, joint = sizes.feed / 2, sizes.joint / 2
    bar = (_CLEAR, sizes.bar / 2) if line.direction == "horizontal" else (sizes.bar / 2, _CLEAR)
    return [
        *((feed_place(line, module, sizes, scale=scale), (feed, feed)) for module, _ in line.row.feeds),
        *(((x, y), bar) for x, y in (line.supports * scale).tolist()),
        *(((x, y), (joint, joint)) for x, y in (line.joints * scale).tolist()),
    ]


def _beside(x: float, y: float, text: str, direction: Direction, sizes: MarkSizes) -> list[Box]:
    """Where a number may stand beside a feed point's mark, best first."""
    half = text_width(text, look.NUMBER) / 2 + 0.02
    reach = sizes.feed / 2 + _CLEAR
    # On the row's other side, past its module.
    past = (sizes.feed + sizes.dot) / 2 + sizes.dot + _CLEAR
    right, up = reach + half, reach + _HALF_HEIGHT
    if direction == "horizontal":
        lift = 0.02
        places = [(right, lift), (-right, lift), (0, up), (right, up), (-right, up)]
        low = -past - _HALF_HEIGHT
        places += [(0, low), (right / 2, low), (-right / 2, low)]
    else:
        left = -past - half
        places = [(right, 0), (0, up), (0, -up), (left, 0), (left, up), (left, -up)]
    return [_around(x + across, y + over, half, _HALF_HEIGHT) for across, over in places]


def _around(x: float, y: float, across: float, up: float) -> Box:
    return x - across, y - up, x + across, y + up


def _meets(boxes: Array, box: Box) -> bool:
    """Whether a box touches any of (n, 4) others."""
    x0, y0, x1, y1 = box
    a, b, c, d = boxes.T
    return bool(((x0 < c) & (a < x1) & (y0 < d) & (b < y1)).any())
