"""Feed points on a building plan: their marks and their supplies' numbers. Inches from the cabinet's corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lumsim.pictures import look
from lumsim.pictures.building_marks import MarkSizes, RowLine
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, text_width
from lumsim.uniformity.face_map import Array

__all__ = ["FeedNumber", "FeedPoint", "feed_numbers", "feed_points", "supplies_told"]

_HALF_HEIGHT: Final = 0.06
"""Of a number. [in]"""
_CLEAR: Final = 0.015
"""Between a mark and its number. [in]"""
_NEAR: Final = 0.6
"""Modules that are farther from a feed point are not in its number's way. [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedPoint:
    """The mark beside a module that is fed, or beside several one behind the other."""

    x: float
    """[in]"""
    y: float
    """[in]"""
    marker: str
    """a triangle that points at the module"""
    supplies: tuple[int, ...]
    """as far as they are known"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedNumber:
    """Supplies' numbers beside a feed point."""

    text: str
    x: float
    """[in]"""
    y: float
    """[in]"""


def feed_points(
    lines: Sequence[RowLine], sizes: MarkSizes, size: tuple[float, float], *, scale: float
) -> list[FeedPoint]:
    """Place feed points' marks above horizontal rows and right of vertical ones, unless the cabinet ends there.

    Parameters
    ----------
    lines : sequence of RowLine
    sizes : MarkSizes
    size : tuple of float
        Of the cabinet. [in]
    scale : float
        [in of paper for 1 m]
    """
    off = (sizes.feed + sizes.dot) / 2
    # A little may lie on the return; among close rows a mark on the other side would meet the next row's.
    reach = off + 0.2 * sizes.feed
    found: dict[tuple[float, float, str], set[int]] = {}
    for line in lines:
        for module, supply in line.row.feeds:
            x, y = (line.places[module] * scale).tolist()
            if line.direction == "horizontal":
                above = y + reach <= size[1] or sizes.dense
                y, marker = (y + off, "v") if above else (y - off, "^")
            else:
                right = x + reach <= size[0] or sizes.dense
                x, marker = (x + off, "<") if right else (x - off, ">")
            known = found.setdefault((round(x, 4), round(y, 4), marker), set())
            if supply is not None:
                known.add(supply)
    return [
        FeedPoint(x=x, y=y, marker=marker, supplies=tuple(sorted(supplies)))
        for (x, y, marker), supplies in found.items()
    ]


def feed_numbers(
    points: Sequence[FeedPoint],
    lines: Sequence[RowLine],
    sizes: MarkSizes,
    inside: Box,
    avoid: Sequence[Box],
    *,
    scale: float,
) -> tuple[list[FeedNumber], int]:
    """Write supplies' numbers beside feed points, where there is room.

    Parameters
    ----------
    points : sequence of FeedPoint
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
    feed = sizes.feed / 2
    marks = [_around(point.x, point.y, feed, feed) for point in points]
    marks += [box for line in lines for box in _marks(line, sizes, scale)]
    boxes = np.array([*marks, *avoid]).reshape(-1, 4)
    modules = np.concatenate([line.places for line in lines]) * scale
    taken = Taken()
    written, missing = [], 0
    for point in points:
        if not point.supplies:
            continue
        text = supplies_told(point.supplies)
        near = modules[(abs(modules - (point.x, point.y)) < _NEAR).all(axis=1)]
        free = [
            box
            for box in _beside(point, text, sizes)
            if is_within(box, inside) and taken.is_free(box) and not _meets(boxes, box)
        ]
        if not free:
            missing += 1
            continue
        box = min(free, key=lambda one: any_in(near, one))
        taken.take(box)
        written.append(FeedNumber(text=text, x=(box[0] + box[2]) / 2, y=(box[1] + box[3]) / 2))
    return written, missing


def supplies_told(supplies: Sequence[int]) -> str:
    """Write supplies' numbers as on the plan: ``S1, S2``."""
    return ", ".join(f"S{number}" for number in supplies)


def _marks(line: RowLine, sizes: MarkSizes, scale: float) -> list[Box]:
    """What the supports, the joints and the cuts of a row take."""
    joint = sizes.joint / 2
    bar = (_CLEAR, sizes.bar / 2) if line.direction == "horizontal" else (sizes.bar / 2, _CLEAR)
    return [
        *(_around(x, y, *bar) for x, y in (line.supports * scale).tolist()),
        *(_around(x, y, joint, joint) for x, y in (line.joints * scale).tolist()),
        *(_around(x, y, joint, joint) for x, y in (line.cuts * scale).tolist()),
    ]


def _beside(point: FeedPoint, text: str, sizes: MarkSizes) -> list[Box]:
    """Where a number may stand beside a feed point's mark, best first."""
    half = text_width(text, look.NUMBER) / 2 + 0.02
    reach = sizes.feed / 2 + _CLEAR
    # On the row's other side, past its module.
    past = (sizes.feed + sizes.dot) / 2 + sizes.dot + _CLEAR
    right, up = reach + half, reach + _HALF_HEIGHT
    if point.marker in "v^":
        low = -past - _HALF_HEIGHT
        places = [(right, 0.02), (-right, 0.02), (0, up), (right, up), (-right, up)]
        places += [(0, low), (right / 2, low), (-right / 2, low)]
    else:
        left = -past - half
        places = [(right, 0), (0, up), (0, -up), (left, 0), (left, up), (left, -up)]
    way_x, way_y = -1 if point.marker == ">" else 1, -1 if point.marker == "^" else 1
    return [
        _around(point.x + way_x * across, point.y + way_y * over, half, _HALF_HEIGHT)
        for across, over in places
    ]


def _around(x: float, y: float, across: float, up: float) -> Box:
    return x - across, y - up, x + across, y + up


def _meets(boxes: Array, box: Box) -> bool:
    """Whether a box touches any of (n, 4) others."""
    x0, y0, x1, y1 = box
    a, b, c, d = boxes.T
    return bool(((x0 < c) & (a < x1) & (y0 < d) & (b < y1)).any())
