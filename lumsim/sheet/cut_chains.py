"""Rows joined from the end of one roll to the beginning of another: small programmes, and all that is needed mostly.

A row that is joined ends one roll, may take whole rolls, and begins another. Where any row may be joined anywhere no
other way has fewer rolls or joints: the rows and rolls of a plan, with a line from each row to each roll that it is
cut from, fall into groups; a group of r rolls needs r − 1 joints, and its rows laid end to end on its rolls have no
more. Where short sections are not allowed, or a row has too few joints to be laid anywhere, others may be better.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lumsim.sheet.cut_lengths import Cuts, Demand, rolls_filled
from lumsim.sheet.cut_programme import MOST_ENTRIES, Columns, Programme

__all__ = ["chained"]


def chained(demand: Demand) -> Programme | None:
    """Return the programme of rows that are joined from end to beginning, or not at all; None where it is too large.

    Parameters
    ----------
    demand : Demand
    """
    places = list(_places(demand))
    roll, kinds = demand.roll, len(demand.rows)
    if sum(demand.rows[kind][0] for kind, _ in places) + roll**2 / 2 > MOST_ENTRIES:
        return None
    columns = Columns()
    for kind, start in places:
        whole, rest = divmod(demand.rows[kind][0], roll)
        over = np.full(roll, whole)
        over[np.arange(start, start + rest) % roll] += 1
        steps = np.flatnonzero(over)
        columns.add(
            np.append(steps, roll + kind), np.append(over[steps], 1), joints=_crossed(demand, kind, start)
        )
    lefts = range(1, roll)
    for left in lefts:
        columns.add(np.append(np.arange(roll - left, roll), roll + kinds), left=left)
    columns.add(np.arange(roll), -1)
    counts = [float(count) for _, count in demand.rows]

    def read(used: NDArray[np.int64]) -> Cuts:
        placed: list[tuple[int, int]] = []
        rows: list[tuple[int, ...]] = []
        for (kind, start), times in zip(places, used.tolist(), strict=False):
            sections = _sections(demand, kind, start)
            rows += [sections] * times
            starts = (start, *[0] * (len(sections) - 1))
            placed += list(zip(starts, sections, strict=True)) * times
        for left, times in zip(lefts, used[len(places) : -1].tolist(), strict=True):
            placed += [(roll - left, -left)] * times
        return Cuts(rolls=rolls_filled(roll, placed), rows=tuple(rows))

    return Programme(
        matrix=columns.matrix(roll + kinds + 1),
        least=np.array([*[-np.inf] * roll, *counts, 0.0]),
        most=np.array([*[0.0] * roll, *counts, 1.0]),
        joints=np.array(columns.joints, dtype=np.float64),
        left=np.array(columns.left, dtype=np.float64),
        read=read,
        every_plan=not demand.joints
        or (demand.shortest == 1 and all(length <= demand.joints * roll for length, _ in demand.rows)),
    )


def _places(demand: Demand) -> Iterator[tuple[int, int]]:
    """Each kind of row at each step of a roll where it may begin; without joints longer rows come first."""
    reached = {0}
    for kind, (length, count) in enumerate(demand.rows):
        if not demand.joints:
            ends = {start + times * length for start in reached for times in range(count + 1)}
            reached = {end for end in ends if end <= demand.roll}
        for start in range(demand.roll) if demand.joints else sorted(reached):
            sections = _sections(demand, kind, start)
            if _crossed(demand, kind, start) <= demand.joints and (
                len(sections) == 1 or min(sections) >= demand.shortest
            ):
                yield kind, start


def _crossed(demand: Demand, kind: int, start: int) -> int:
    """How many ends of rolls a row that begins at a step goes over."""
    return -(-(start + demand.rows[kind][0]) // demand.roll) - 1


def _sections(demand: Demand, kind: int, start: int) -> tuple[int, ...]:
    """What a row that begins at a step is made of."""
    ends = [demand.roll * (one + 1) for one in range(_crossed(demand, kind, start))]
    cuts = [start, *ends, start + demand.rows[kind][0]]
    return tuple(end - begin for begin, end in pairwise(cuts))
