"""The rows of a cabinet as strings of modules: where each is on the tape, and which modules are in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.rows import SAME_ROW, Direction, ListedModules, Rows
from lumsim.units import exact_length

__all__ = ["RowString", "row_strings", "with_light"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowString:
    """One row: the string of modules that is set there."""

    number: int
    """over the whole sign, from 1; group by group, from the left or the bottom"""
    group: int
    """from 1"""
    direction: Direction
    across: Fraction
    """its line, from the left or bottom return; of a row on a return above the back or rear face [m]"""
    along: tuple[Fraction, ...]
    """each module on centre, from the left or bottom return, rising [m]"""
    modules: tuple[int, ...]
    """the same modules by their number in the cabinet, from 0"""
    kind: Module
    """of all of them"""
    part: int = 0
    """from 1, where a row is fed in several parts; 0 where it is one"""
    start: int = 0
    """which module of its row a part begins with, from 0"""
    beyond: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    """string beyond the first and the last module: half of the gap there is, or was before the row was cut [m]"""

    @property
    def name(self) -> str:
        """What the sheet calls it: ``3``, or of a row in parts ``3.1``."""
        return f"{self.number}.{self.part}" if self.part else str(self.number)

    @property
    def count(self) -> int:
        """How many modules. [1]"""
        return len(self.modules)

    @property
    def first(self) -> Fraction:
        """The first module on centre, from the left or bottom return. [m]"""
        return self.along[0]

    @property
    def last(self) -> Fraction:
        """The last module on centre, from the left or bottom return. [m]"""
        return self.along[-1]

    @property
    def length(self) -> Fraction:
        """From the first module to the last, on centre. [m]"""
        return self.last - self.first

    @property
    def gaps(self) -> tuple[Fraction, ...]:
        """Between neighbouring modules, on centre. [m]"""
        return tuple(other - one for one, other in pairwise(self.along))

    def in_parts(self, counts: Sequence[int]) -> tuple[RowString, ...]:
        """The row cut into parts, from its left or bottom end.

        Parameters
        ----------
        counts : sequence of int
            Modules of each part, together those of the row. [1]
        """
        if len(counts) == 1:
            return (self,)
        ends = tuple(accumulate(counts, initial=0))
        # At each cut half of the gap goes either way.
        beyond = (self.beyond[0], *(self.gaps[cut - 1] / 2 for cut in ends[1:-1]), self.beyond[1])
        return tuple(
            replace(
                self,
                along=self.along[start:end],
                modules=self.modules[start:end],
                part=number,
                start=start,
                beyond=(beyond[number - 1], beyond[number]),
            )
            for number, (start, end) in enumerate(pairwise(ends), start=1)
        )


def row_strings(cabinet: Cabinet) -> tuple[RowString, ...]:
    """Every row of a cabinet as a string.

    Listed modules fall into rows as in ``ListedModules.row_lines``: a gap across above ``SAME_ROW`` begins a new one.
    Those of several kinds on one line are a string for each kind.

    Parameters
    ----------
    cabinet : Cabinet
    """
    found: list[RowString] = []
    start = 0
    for number, group in enumerate(cabinet.groups, start=1):
        rows = _laid(group) if isinstance(group, Rows) else _listed(group)
        for across, along, modules, kind in rows:
            found.append(
                RowString(
                    number=len(found) + 1,
                    group=number,
                    direction=group.direction,
                    across=across,
                    along=along,
                    modules=tuple(start + module for module in modules),
                    kind=kind,
                    beyond=_beyond(along),
                )
            )
        start += len(group)
    return tuple(found)


def _beyond(along: tuple[Fraction, ...]) -> tuple[Fraction, Fraction]:
    """Half of the gap at either end; nothing beside a single module."""
    if len(along) == 1:
        return Fraction(0), Fraction(0)
    return (along[1] - along[0]) / 2, (along[-1] - along[-2]) / 2


_Row = tuple[Fraction, tuple[Fraction, ...], tuple[int, ...], Module]


def _laid(group: Rows) -> list[_Row]:
    count = group.modules.count
    return [
        (
            across,
            tuple(place + shift for place in group.modules.positions),
            tuple(range(row * count, (row + 1) * count)),
            group.module,
        )
        for row, (across, shift) in enumerate(zip(group.rows.positions, group.shifts, strict=True))
    ]


def _listed(group: ListedModules) -> list[_Row]:
    placed = group.placed
    along, across = (placed.x, placed.y) if group.direction == "horizontal" else (placed.y, placed.x)
    order = np.argsort(across, kind="stable")
    rows = np.split(order, np.nonzero(np.diff(across[order]) > SAME_ROW)[0] + 1)
    found = []
    for row in (line[placed.kind[line] == kind] for line in rows for kind in np.unique(placed.kind[line])):
        ordered = row[np.argsort(along[row], kind="stable")].tolist()
        found.append(
            (
                exact_length(float(np.mean(across[row]))),
                tuple(exact_length(float(along[module])) for module in ordered),
                tuple(ordered),
                placed.kinds[int(placed.kind[ordered[0]])],
            )
        )
    return found


def with_light(cabinet: Cabinet, shares: NDArray[np.float64]) -> Cabinet:
    """The same cabinet, each module with a share of its light; those with none are left out.

    Parameters
    ----------
    cabinet : Cabinet
    shares : (modules,) or (modules, 2)
        0 or more; in the cabinet's order of modules; of what each sends the way its axis points, and of what it sends
        the other way. [1]

    Raises
    ------
    InputError
        Where no module is left.
    """
    ways = np.stack([shares, shares], axis=1) if shares.ndim == 1 else shares
    groups: list[Rows | ListedModules] = []
    start = 0
    for group in cabinet.groups:
        own = ways[start : start + len(group)]
        start += len(group)
        if (own == 1).all():
            groups.append(group)
            continue
        placed: Emitters = group.emitters() if isinstance(group, Rows) else group.placed
        front, rear = placed.front_share * own[:, 0], (1 - placed.front_share) * own[:, 1]
        left = front + rear
        if (left > 0).any():
            front_share = np.divide(front, left, where=left > 0, out=np.ones(len(left)))
            lit = replace(placed, flux=placed.flux * left, front_share=front_share).only(left > 0)
            groups.append(ListedModules(direction=group.direction, placed=lit))
    return replace(cabinet, groups=tuple(groups))
