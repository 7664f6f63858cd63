"""The plane of row pitch and depth, ready to draw: its cells, their numbers and their places."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.pictures.sheet import length_ticks
from lumsim.units import Units, length_number

__all__ = ["FAR", "EndlessRows", "Piece", "PlaneCells", "PlaneDrawn", "PlanePointDrawn", "endless_line"]

Array = NDArray[np.float64]

MOST_SHOWN = 5.0
"""Max/min above which all has one colour. [1]"""

LEAST_SPAN = 1.01
"""The least ratio of the colours' ends. [1]"""

JUST_ABOVE = 1e-9
"""The logarithm of what is just above its limit. [1]"""

FAR = 1e3
"""What is higher counts as this where lines are looked for: they stay where they are. [1]"""


class PlanePointDrawn(Protocol):
    """One row pitch at one depth."""

    @property
    def rows(self) -> int:
        """Laid there. [1]."""

    @property
    def numbers(self) -> Mapping[str, float]:
        """Max/min among them."""

    @property
    def excess(self) -> float:
        """The worst of actual over limit; met up to and including 1. [1]."""


class PlaneDrawn(Protocol):
    """Evenness at every pitch and depth."""

    @property
    def pitches(self) -> Sequence[Fraction | float]:
        """Rising. [m]."""

    @property
    def alike(self) -> Sequence[tuple[float, float]]:
        """For each pitch the least and the most that round to the same count of rows. [m]."""

    @property
    def depths(self) -> Sequence[float]:
        """Rising. [m]."""

    @property
    def points(self) -> Sequence[Sequence[PlanePointDrawn] | None]:
        """By depth, then pitch; None for a depth that was not come to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndlessRows:
    """The depth at which rows without end are as even as a limit, for each pitch."""

    limit: float
    """of max/min [1]"""
    pitches: Sequence[float]
    """[m]"""
    depths: Sequence[float]
    """nan where there is none [m]"""


class Piece(NamedTuple):
    """Neighbouring pitches of one count of rows."""

    pitches: slice
    left: float
    """where it ends towards narrower pitches [the unit]"""
    right: float
    """towards wider ones [the unit]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneCells:
    """A plane in the unit of its axes: a cell for each layout that was lit."""

    pitches: Array
    depths: Array
    edges: tuple[Array, Array]
    """of cells, along pitch and depth: midway, but where the next count of rows begins they meet right there"""
    values: Array
    """max/min, by depth and pitch; nan where a depth was not come to"""
    excess: Array | None
    """worst of actual over limit; None where nothing is required"""
    counts: tuple[int, ...]
    """rows at each pitch"""
    units: Units

    @staticmethod
    def of(plane: PlaneDrawn, units: Units, *, judged: bool) -> PlaneCells:
        """Read a plane."""
        come_to = [row for row in plane.points if row is not None]
        if not come_to:
            raise InputError("there is nothing to draw: no depth of the plane was come to")
        nothing = [math.nan] * len(plane.pitches)
        values = [
            nothing if row is None else [point.numbers["max_to_min"] for point in row] for row in plane.points
        ]
        excess = [
            nothing if row is None else [FAR if math.isnan(one.excess) else one.excess for one in row]
            for row in plane.points
        ]
        pitches = np.array([length_number(float(pitch), units) for pitch in plane.pitches])
        depths = np.array([length_number(depth, units) for depth in plane.depths])
        alike = np.array([[length_number(one, units) for one in ends] for ends in plane.alike])
        counts = tuple(point.rows for point in come_to[0])
        return PlaneCells(
            pitches=pitches,
            depths=depths,
            edges=(_edges_by_count(pitches, alike, counts), _edges(depths)),
            values=np.minimum(np.array(values), FAR),
            excess=np.minimum(np.array(excess), FAR) if judged else None,
            counts=counts,
            units=units,
        )

    @property
    def shown(self) -> tuple[float, float]:
        """Max/min at the ends of the colours."""
        low, high = float(np.nanmin(self.values)), float(np.nanmax(self.values))
        low = min(low, MOST_SHOWN / 2)
        return low, max(min(high, MOST_SHOWN), low * LEAST_SPAN)

    @property
    def stretches(self) -> list[slice]:
        """Depths that were come to, in unbroken stretches."""
        found, start = [], 0
        for missing, members in groupby(np.isnan(self.values[:, 0])):
            end = start + len(list(members))
            if not missing:
                found.append(slice(start, end))
            start = end
        return found

    def share(self, value: float) -> float:
        """Where a max/min is on the colour map."""
        low, high = self.shown
        return float(np.clip(math.log(value / low) / math.log(high / low), 0, 1))

    def holds(self, place: tuple[float, float]) -> bool:
        """Whether a pitch and a depth are within the plane."""
        return all(edges[0] <= at <= edges[-1] for at, edges in zip(place, self.edges, strict=True))

    def ticks(self, number: int, size: float, apart: float) -> list[float]:
        """Ticks along the pitch, 0, or the depth, 1, on an axis so long and so far apart [in]; in the unit."""
        edges = self.edges[number]
        scale = size / float(edges[-1] - edges[0])
        return length_ticks(
            float(edges[-1]), self.units, inches_per_unit=scale, apart=apart, start=float(edges[0])
        )

    @property
    def pieces(self) -> list[Piece]:
        """Neighbouring pitches of one count each, from narrow to wide."""
        found, start = [], 0
        for _, members in groupby(self.counts):
            end = start + len(list(members))
            across = self.edges[0]
            found.append(Piece(slice(start, end), float(across[start]), float(across[end])))
            start = end
        return found

    def judged(self, part: slice, piece: Piece) -> tuple[Array, Array, Array]:
        """The logarithm of the worst of actual over limit, as ``reaching_out`` leads it on.

        Where the outermost does not meet the requirement, none beyond it is taken to: nobody looked there.
        """
        assert self.excess is not None
        x, y, values = self.reaching_out(part, piece, self.excess)
        for end, outermost in ((0, 1), (-1, -2)):
            values[:, end] = np.where(
                values[:, outermost] > 0, np.maximum(values[:, end], JUST_ABOVE), values[:, end]
            )
        return x, y, values

    def reaching_out(self, part: slice, piece: Piece, of: Array) -> tuple[Array, Array, Array]:
        """The logarithm of numbers in a stretch of depths and a piece, led on to the ends of both.

        Along the depth as they are at the outermost; along the pitch as straight on as the last two tell, where there
        are two, but by no more than these differ: within a count the outermost rows move with the pitch, and evenness
        with them.

        Returns
        -------
        x, y, values : (n,), (m,), (m, n) arrays
        """
        up = self.edges[1]
        x, values = self.pitches[piece.pitches], np.log(of[part, piece.pitches])
        ends = values[:, [0, -1]]
        if len(x) > 1:
            steps = np.abs(np.array([piece.left, piece.right]) - x[[0, -1]])
            shares = np.minimum(steps / (x[[1, -1]] - x[[0, -2]]), 1.0)
            ends = ends + (ends - values[:, [1, -2]]) * shares
        x = np.concatenate([[piece.left], x, [piece.right]])
        values = np.column_stack([ends[:, 0], values, ends[:, 1]])
        y = np.concatenate(
            [up[part.start : part.start + 1], self.depths[part], up[part.stop : part.stop + 1]]
        )
        return x, y, np.pad(values, ((1, 1), (0, 0)), mode="edge")


def _edges(places: Array) -> Array:
    """Edges of cells around rising places, as far beyond the outermost as midway to the next."""
    between = (places[1:] + places[:-1]) / 2
    reach = (places[1] - places[0], places[-1] - places[-2]) if len(places) > 1 else (places[0] / 5,) * 2
    return np.concatenate([[places[0] - reach[0] / 2], between, [places[-1] + reach[1] / 2]])


def _edges_by_count(pitches: Array, alike: Array, counts: Sequence[int]) -> Array:
    """Edges of cells along the pitch.

    Where the next pitch has one row less, cells meet at the pitch that still has the one more; where several counts lie
    between two pitches, none of which was lit, they meet midway. No cell reaches beyond its own count at either end.

    Parameters
    ----------
    pitches : (n,)
        Rising. [the unit]
    alike : (n, 2)
        Least and most pitch of the same count. [the unit]
    counts : sequence of int
        Of rows. [1]
    """
    edges = _edges(pitches)
    edges[0] = min(max(edges[0], alike[0, 0]), pitches[0])
    edges[-1] = max(min(edges[-1], alike[-1, 1]), pitches[-1])
    for number, (more, fewer) in enumerate(pairwise(counts)):
        if more == fewer + 1:
            edges[number + 1] = alike[number, 1]
    return edges


def endless_line(infinite: EndlessRows | None, cells: PlaneCells) -> Array:
    """(n, 2) pitches and depths of the curve of rows without end, as far as it is shown; empty where it is not.

    Parameters
    ----------
    infinite : EndlessRows or None
    cells : PlaneCells
        Within which, in whose unit.
    """
    if infinite is None:
        return np.empty((0, 2))
    line = np.array(
        [
            [length_number(pitch, cells.units), length_number(depth, cells.units)]
            for pitch, depth in zip(infinite.pitches, infinite.depths, strict=True)
            if math.isfinite(depth)
        ]
    ).reshape(-1, 2)
    if len(line) < 2:
        return np.empty((0, 2))
    (left, right), (bottom, top) = ((edges[0], edges[-1]) for edges in cells.edges)
    # Fine enough that what lies beyond the frame can be left off point by point.
    x = np.linspace(max(left, line[0, 0]), min(right, line[-1, 0]), 801)
    y = np.interp(x, line[:, 0], line[:, 1])
    shown = (y >= bottom) & (y <= top)
    return np.asarray(np.column_stack([x, y])[shown])
