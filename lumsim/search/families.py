"""Every pair of a row count and a module count that a cabinet holds, and the layouts that it may have."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import MOST_PLACES, pitches_of, place
from lumsim.cabinet.rows import Direction, Rows
from lumsim.errors import InputError
from lumsim.search.asked import FewestAsked
from lumsim.search.layouts import with_rows
from lumsim.search.trying import widest_judged
from lumsim.uniformity.requirement import Requirement
from lumsim.units import exact_length

__all__ = ["Counts", "Family", "families", "usual_pitches"]


@dataclass(frozen=True, slots=True, order=True)
class Counts:
    """So many rows of so many modules, running one way; in order of what there are to be fewest of."""

    key: tuple[int, int]
    """what counts, and what counts where that is equal [1]"""
    direction: Direction
    rows: int
    modules: int
    """in each row [1]"""
    staggered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """All layouts of one pair of counts in one direction, straight or staggered."""

    cabinet: Cabinet
    group: int
    counts: Counts
    row_pitch: tuple[Fraction, Fraction]
    """least and most; equal where a single row sits in the middle [m]"""
    module_pitch: tuple[Fraction, Fraction]
    """likewise [m]"""

    def laid(self, row_pitch: Fraction | float, module_pitch: Fraction | float) -> Cabinet:
        """Return the cabinet with its rows at these pitches, within the ranges. [m]"""
        across, along = _extents(self.cabinet, self.counts.direction)
        row_pitch, module_pitch = (
            min(max(exact_length(pitch), low), high)
            for pitch, (low, high) in ((row_pitch, self.row_pitch), (module_pitch, self.module_pitch))
        )
        return with_rows(
            self.cabinet,
            self.group,
            direction=self.counts.direction,
            rows=place(across, count=self.counts.rows, pitch=row_pitch, what="row"),
            modules=place(along, count=self.counts.modules, pitch=module_pitch, what="module"),
            staggered=self.counts.staggered,
        )


def usual_pitches(cabinet: Cabinet, group: int) -> tuple[tuple[float, float], tuple[float, float]]:
    """Row and module pitches that are looked at unless a study says: from half to three throws, the own one among them.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        From 0.

    Returns
    -------
    row pitch, module pitch : (least, most) each
        [m]
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    alone = replace(cabinet, groups=(rows,))
    throw = min(float(np.min(alone.throws(side), initial=math.inf)) for side, _ in alone.faces)

    def around(own: Fraction | None) -> tuple[float, float]:
        pitch = throw if own is None else float(own)
        return min(throw / 2, pitch), max(3 * throw, pitch)

    return around(rows.rows.pitch), around(rows.modules.pitch)


def _extents(cabinet: Cabinet, direction: Direction) -> tuple[Fraction, Fraction]:
    """Across the rows and along them. [m]"""
    width, height = exact_length(cabinet.box.width), exact_length(cabinet.box.height)
    return (height, width) if direction == "horizontal" else (width, height)


def families(cabinet: Cabinet, group: int, requirement: Requirement, asked: FewestAsked) -> list[Family]:
    """Every pair of counts that the ranges allow, in order of what there are to be fewest of.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
        No rows are laid on which stripes that it limits could not be judged.
    asked : FewestAsked

    Raises
    ------
    InputError
        Where there is none.
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    usual_row, usual_module = usual_pitches(cabinet, group)
    row_pitch, module_pitch = asked.row_pitch or usual_row, asked.module_pitch or usual_module
    found = []
    for direction in asked.directions or (rows.direction,):
        across, along = _extents(cabinet, direction)
        judged = widest_judged(cabinet, direction, requirement)
        if judged < row_pitch[0]:
            continue
        rows_between = row_pitch[0], min(row_pitch[1], judged)
        for row_count, rows_range in _counts(across, rows_between, asked.edge_distance):
            if row_count == 1 and judged < across:
                continue
            for staggered in asked.staggered or (rows.staggered,):
                for module_count, modules_range in _counts(along, module_pitch, asked.edge_distance):
                    modules = row_count * module_count
                    key = (row_count, modules) if asked.of == "rows" else (modules, row_count)
                    between = (
                        _moved_a_quarter(along, module_count, modules_range, asked.edge_distance)
                        if staggered
                        else modules_range
                    )
                    if between is None or (staggered and row_count == 1) or modules > MOST_PLACES:
                        continue
                    found.append(
                        Family(
                            cabinet=cabinet,
                            group=group,
                            counts=Counts(key, direction, row_count, module_count, staggered),
                            row_pitch=rows_range,
                            module_pitch=between,
                        )
                    )
    if not found:
        raise InputError(
            "no layout falls within the ranges of [search.fewest]: widen row_pitch, module_pitch or edge_distance"
        )
    return sorted(found, key=lambda family: family.counts)


def _counts(
    extent: Fraction, pitches: tuple[float, float], edges: tuple[float, float] | None
) -> list[tuple[int, tuple[Fraction, Fraction]]]:
    """Every count that an extent holds within a range of pitches, with the pitches that it may have then."""
    least, most = (exact_length(pitch) for pitch in pitches)
    found = []
    # A single one sits in the middle: with nothing beside it, it has the whole extent for its pitch.
    middle = edges is None or exact_length(edges[0]) <= extent / 2 <= exact_length(edges[1])
    if middle and least <= extent <= 2 * most:
        found.append((1, (extent, extent)))
    for count in range(2, min(math.floor(extent / least) + 1, MOST_PLACES) + 1):
        if edges is None:
            low, high = pitches_of(extent, count)
        else:
            near, far = (exact_length(edge) for edge in edges)
            low, high = (extent - 2 * far) / (count - 1), (extent - 2 * near) / (count - 1)
        low, high = max(low, least), min(high, most, extent / (count - 1))
        if low <= high and low > 0:
            found.append((count, (low, high)))
    return found


def _moved_a_quarter(
    along: Fraction, count: int, pitches: tuple[Fraction, Fraction], edges: tuple[float, float] | None
) -> tuple[Fraction, Fraction] | None:
    """The pitches at which rows moved by a quarter of them keep off the returns; None where there is none.

    Centred, a row's ends are (along - (count - 1) pitch)/2 off the returns; moved, one of them is nearer by a quarter
    of the pitch and the other farther. Both must be within the edge distances; without any, a quarter of the pitch is
    left at the nearer one, as rows that are not moved leave it.
    """
    low, high = pitches
    if count == 1:
        return None
    if edges is None:
        high = min(high, along / count)
    else:
        near, far = (exact_length(edge) for edge in edges)
        low = max(low, (along - 2 * far) / (count - Fraction(3, 2)))
        high = min(high, (along - 2 * near) / (count - Fraction(1, 2)))
    return None if low > high else (low, high)
