"""Marks of a building plan: modules to scale, supports, feed points and joints, each of its own shape."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np

from lumsim.cabinet.modules import Emitters, Module, led_places
from lumsim.cabinet.rows import Direction
from lumsim.errors import InputError
from lumsim.pictures import look
from lumsim.pictures.sheet import Mark
from lumsim.sheet.strings import RowString
from lumsim.uniformity.face_map import Array

__all__ = [
    "BORDER",
    "INSIDE",
    "MODULE",
    "PLANE",
    "SUPPLY",
    "WIRE",
    "MarkSizes",
    "ModuleShapes",
    "PlanRow",
    "RowLine",
    "cut_mark",
    "dot_mark",
    "feed_mark",
    "joint_mark",
    "module_shapes",
    "support_mark",
]

INSIDE = Mark(line=look.INK, line_width=1.6)
BORDER = Mark(line=look.MUTED, line_width=0.9, dashes=(0, (6, 3)))
WIRE = Mark(line=look.MUTED, line_width=0.6)
PLANE = Mark(line=look.MUTED, line_width=0.8, dashes=(0, (7, 2, 1, 2)))
MODULE = Mark(marker="s", size=5, face=look.INK, edge_width=0.0)
SUPPLY = Mark(patch=look.HIDDEN, hatch="", hatch_colour=look.INK)

_LEAST_SHAPE = 0.03
"""From here on what shines of a module is drawn to scale. [in of paper]"""
_DENSE = 0.22
"""Rows nearer than this are dense. [in of paper]"""
_ROUND = np.linspace(0, 2 * math.pi, 24, endpoint=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRow:
    """One row as it is built."""

    string: RowString
    supports: tuple[Fraction, ...] = ()
    """along the row, from the left or bottom return [m]"""
    feeds: tuple[tuple[int, int | None], ...] = ()
    """which module of the row is fed, from 0, and the number of its supply, where that is known"""
    joints: tuple[int, ...] = ()
    """after which modules of the row, from 0, one section ends and the next begins"""
    cuts: tuple[int, ...] = ()
    """after which modules of the row, from 0, it is cut into parts that are fed by themselves"""

    def __post_init__(self) -> None:
        count = self.string.count
        for module, _ in self.feeds:
            if not 0 <= module < count:
                raise InputError(
                    f"row {self.string.number} has {count} modules, from 0: none is number {module}"
                )
        for what, modules in (("joint", self.joints), ("cut", self.cuts)):
            for module in modules:
                if not 0 <= module < count - 1:
                    raise InputError(
                        f"row {self.string.number} has {count} modules: no {what} follows {module}"
                    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLine:
    """A row as seen from in front."""

    row: PlanRow
    places: Array
    """(n, 2) x and y of its modules, in order [m]"""

    @staticmethod
    def of(row: PlanRow, emitters: Emitters) -> RowLine:
        """Find a row's modules among those of the cabinet."""
        at = list(row.string.modules)
        return RowLine(row=row, places=np.column_stack([emitters.x[at], emitters.y[at]]))

    @property
    def direction(self) -> Direction:
        """How it runs."""
        return self.row.string.direction

    @property
    def line(self) -> float:
        """Where it lies across, from the left or bottom return. [m]"""
        return float(np.mean(self.places[:, self._across]))

    @property
    def supports(self) -> Array:
        """(supports, 2) x and y. [m]"""
        along = np.array([float(place) for place in self.row.supports])
        across = np.interp(along, self.places[:, 1 - self._across], self.places[:, self._across])
        return np.column_stack([along, across] if self.direction == "horizontal" else [across, along])

    @property
    def joints(self) -> Array:
        """(joints, 2) x and y, midway between two modules. [m]"""
        return self._after(self.row.joints)

    @property
    def cuts(self) -> Array:
        """(cuts, 2) x and y, midway between two modules. [m]"""
        return self._after(self.row.cuts)

    def _after(self, modules: tuple[int, ...]) -> Array:
        before = list(modules)
        return np.asarray((self.places[before] + self.places[[one + 1 for one in before]]) / 2)

    @property
    def _across(self) -> int:
        return 1 if self.direction == "horizontal" else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSizes:
    """How large marks are, so that those of one row stay clear of the next. [in of paper]"""

    dot: float
    bar: float
    """of a support, across its row"""
    feed: float
    joint: float
    dense: bool
    """whether rows are so near each other that few numbers have room between them"""

    @staticmethod
    def of(lines: Sequence[RowLine], *, scale: float) -> MarkSizes:
        """Take sizes from how near rows and modules are to each other.

        Parameters
        ----------
        lines : sequence of RowLine
        scale : float
            [in of paper for 1 m]
        """
        across = min(
            (
                _closest([one.line for one in lines if one.direction == way])
                for way in ("horizontal", "vertical")
            ),
        )
        along = min(_closest([float(place) for place in one.row.string.along]) for one in lines)
        rows, modules = scale * across, scale * along
        return MarkSizes(
            dot=min(0.035, max(0.01, 0.35 * min(rows, modules))),
            bar=min(0.2, max(0.05, 0.7 * rows)),
            feed=min(0.1, max(0.04, 0.45 * rows)),
            joint=min(0.075, max(0.03, 0.6 * min(modules, rows))),
            dense=rows < _DENSE,
        )


def _closest(places: Sequence[float]) -> float:
    """The least distance between places that are not the same. [m]"""
    return min((b - a for a, b in pairwise(sorted(places)) if b - a > 1e-6), default=math.inf)


def dot_mark(sizes: MarkSizes) -> Mark:
    """A dot at a module's middle."""
    return Mark(marker="o", size=72 * sizes.dot, face=look.INK, edge_width=0.0)


def support_mark(direction: Direction, sizes: MarkSizes) -> Mark:
    """A bar across a row.

    Parameters
    ----------
    direction : {"horizontal", "vertical"}
        How the row runs.
    sizes : MarkSizes
    """
    return Mark(
        marker="|" if direction == "horizontal" else "_", size=72 * sizes.bar, edge="#1f6fa8", edge_width=1.8
    )


def feed_mark(marker: str, sizes: MarkSizes) -> Mark:
    """A filled triangle that points at a module.

    Parameters
    ----------
    marker : {"v", "^", "<", ">"}
        Which way it points.
    sizes : MarkSizes
    """
    return Mark(
        marker=marker,
        size=72 * sizes.feed,
        face=look.LIMIT,
        edge=look.LIMIT,
        edge_width=0.4,
    )


def joint_mark(sizes: MarkSizes) -> Mark:
    """An empty lozenge on the row."""
    return Mark(marker="D", size=72 * sizes.joint / math.sqrt(2), face=look.PAPER, edge_width=0.9)


def cut_mark(sizes: MarkSizes) -> Mark:
    """A cross on the row."""
    return Mark(marker="x", size=72 * sizes.joint, edge_width=1.1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleShapes:
    """What shines of modules, as seen from in front."""

    outlines: list[Array]
    """(corners, 2) x and y of each opening that is drawn to scale [m]"""
    dots: Array
    """(n, 2) x and y of modules whose opening is not told or too small on paper [m]"""


def module_shapes(emitters: Emitters, *, scale: float) -> ModuleShapes:
    """Outline what shines of each module where that is told and large enough on paper.

    Parameters
    ----------
    emitters : Emitters
    scale : float
        [in of paper for 1 m]
    """
    outlines: list[Array] = []
    dots = [np.empty((0, 2))]
    for number, kind in enumerate(emitters.kinds):
        chosen = emitters.only(emitters.kind == number)
        places = np.column_stack([chosen.x, chosen.y, chosen.z])
        if kind.opening is None or max(kind.opening) * scale < _LEAST_SHAPE:
            dots.append(places[:, :2])
            continue
        corners = _corners(kind) @ chosen.frames[:, :2, :2]
        leds = led_places(kind, places, chosen.frames)[..., :2]
        shapes = leds[:, :, None] + corners[:, None]
        outlines += list(shapes.reshape(-1, *shapes.shape[2:]))
    return ModuleShapes(outlines=outlines, dots=np.concatenate(dots))


def _corners(kind: Module) -> Array:
    """Corners of an opening from its middle, along the module and across it. [m]"""
    assert kind.opening is not None
    half = np.array(kind.opening) / 2
    if kind.round_opening:
        return np.asarray(np.column_stack([np.cos(_ROUND), np.sin(_ROUND)]) * half)
    return np.asarray(np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half)
