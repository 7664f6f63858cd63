"""Rows joined in any way: every section at any place of a roll, for what short or few joints leave open.

A row is cut into sections one after another, the longest first: what remains of it has a length and joints left, and
remainders that are alike are counted together, whichever rows they are of.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.sheet.cut_lengths import Cuts, Demand, rolls_filled
from lumsim.sheet.cut_programme import Columns, Programme

__all__ = ["MOST_COLUMNS", "joined_anywhere"]

MOST_COLUMNS = 4000
"""Of the programme: a larger one is not solved in the time. [1]"""


@dataclass(frozen=True, slots=True)
class _Cut:
    """A section cut off what remains of a row; all of it where nothing remains."""

    length: int
    joints: int
    section: int


def joined_anywhere(demand: Demand) -> Programme | None:
    """Return the programme of rows that are joined in any way that is allowed; None where it is too large.

    Parameters
    ----------
    demand : Demand
    """
    cuts = _cuts(demand)
    if cuts is None:
        return None
    roll = demand.roll
    lengths = sorted({one.section for one in cuts}, reverse=True)
    places = list(_places(roll, lengths))
    if len(cuts) + len(places) + roll > MOST_COLUMNS:
        return None
    states = {state: roll + at for at, state in enumerate(sorted({(one.length, one.joints) for one in cuts}))}
    sections = {length: roll + len(states) + at for at, length in enumerate(lengths)}
    counted = roll + len(states) + len(sections)
    columns = Columns()
    for start, length in places:
        columns.add(
            np.append(np.arange(start, start + length), sections[length]),
            np.append(np.ones(length, np.int64), -1),
        )
    for one in cuts:
        rest = (one.length - one.section, one.joints - 1)
        whole = rest[0] == 0
        rows = [states[one.length, one.joints], sections[one.section], *([] if whole else [states[rest]])]
        columns.add(np.array(rows), np.array([1, 1, -1][: len(rows)]), joints=0 if whole else 1)
    lefts = range(1, roll)
    for left in lefts:
        columns.add(np.append(np.arange(roll - left, roll), counted), left=left)
    columns.add(np.arange(roll), -1)
    given = np.zeros(counted + 1)
    for length, count in demand.rows:
        given[states[length, demand.joints]] = count
    least = given.copy()
    least[:roll] = -np.inf
    given[counted] = 1

    def read(used: NDArray[np.int64]) -> Cuts:
        times = used.tolist()
        placed = [place for place, often in zip(places, times, strict=False) for _ in range(often)]
        for left, often in zip(lefts, times[len(places) + len(cuts) : -1], strict=True):
            placed += [(roll - left, -left)] * often
        made = Counter({one: often for one, often in zip(cuts, times[len(places) :], strict=False) if often})
        rows = [_row(length, demand.joints, made) for length, count in demand.rows for _ in range(count)]
        return Cuts(rolls=rolls_filled(roll, placed), rows=tuple(rows))

    return Programme(
        matrix=columns.matrix(counted + 1),
        least=least,
        most=given,
        joints=np.array(columns.joints, dtype=np.float64),
        left=np.array(columns.left, dtype=np.float64),
        read=read,
        every_plan=True,
    )


def _cuts(demand: Demand) -> list[_Cut] | None:
    """Every cut of every remainder that rows may come to; None where there are too many."""
    found: list[_Cut] = []
    seen: set[tuple[int, int]] = set()
    waiting = [(length, demand.joints) for length, _ in demand.rows]
    while waiting:
        length, joints = waiting.pop()
        if (length, joints) in seen:
            continue
        seen.add((length, joints))
        if length <= demand.roll:
            found.append(_Cut(length, joints, length))
        for section in range(demand.shortest, min(demand.roll, length - demand.shortest) + 1):
            rest = length - section
            # The longest of its sections comes first, and the rest has to be made of what joints are left.
            if joints and section * (joints + 1) >= length and _can_be_made(rest, joints - 1, demand):
                found.append(_Cut(length, joints, section))
                waiting.append((rest, joints - 1))
        if len(found) > MOST_COLUMNS:
            return None
    return found


def _can_be_made(length: int, joints: int, demand: Demand) -> bool:
    """Whether sections that are allowed make a length with so many joints."""
    sections = -(-length // demand.roll)
    return sections <= joints + 1 and sections * demand.shortest <= length


def _places(roll: int, lengths: list[int]) -> Iterator[tuple[int, int]]:
    """Each section at the steps of a roll that longer ones, or as long ones, leave it to begin at."""
    reached = {0}
    for length in lengths:
        ends = {start + times * length for start in reached for times in range(roll // length + 1)}
        reached = {end for end in ends if end <= roll}
        for start in sorted(reached):
            if start + length <= roll:
                yield start, length


def _row(length: int, joints: int, made: Counter[_Cut]) -> tuple[int, ...]:
    """Take the cuts of one row from those that were made."""
    sections: list[int] = []
    while length:
        cut = next(
            one for one, often in made.items() if often and (one.length, one.joints) == (length, joints)
        )
        made[cut] -= 1
        sections.append(cut.section)
        length, joints = length - cut.section, joints - 1
    return tuple(sections)
