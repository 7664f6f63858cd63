"""The best cutting plan of a few rows by looking at every one of them: slow, and plain enough to be believed."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from lumsim.sheet.rules import Stock

__all__ = ["best_of_all"]


def best_of_all(rows: Sequence[int], stock: Stock) -> tuple[int, int, int] | None:
    """Return fewest rolls, of those fewest joints, of those the most left in one piece; None where there is no plan.

    Parameters
    ----------
    rows : sequence of int
        Modules in each. [1]
    stock : Stock
    """
    found: list[tuple[int, int, int]] = []
    for chosen in itertools.product(*[list(_ways(row, stock.most_joints, stock)) for row in rows]):
        sections = sorted(itertools.chain(*chosen), reverse=True)
        joints = len(sections) - len(rows)
        for rolls in _dealt_out(sections, stock.roll_modules):
            found.append((len(rolls), joints, -max(stock.roll_modules - used for used in rolls)))
    if not found:
        return None
    fewest, joints, left = min(found)
    return fewest, joints, -left


def _ways(row: int, joints: int, stock: Stock, most: int | None = None) -> Iterator[tuple[int, ...]]:
    """Go through the falling sections a row may be made of."""
    most = stock.roll_modules if most is None else most
    if stock.shortest_section <= row <= most and row % stock.cut_every == 0:
        yield (row,)
    if joints:
        for first in range(stock.shortest_section, min(most, row - 1) + 1):
            if first % stock.cut_every == 0:
                for rest in _ways(row - first, joints - 1, stock, first):
                    yield first, *rest


def _dealt_out(sections: Sequence[int], roll: int) -> set[tuple[int, ...]]:
    """Go through all that may be used of each roll when sections are dealt out in every way."""
    states: set[tuple[int, ...]] = {()}
    for section in sections:
        further = set()
        for used in states:
            further.add(tuple(sorted((*used, section))))
            for at, one in enumerate(used):
                if one + section <= roll:
                    further.add(tuple(sorted((*used[:at], one + section, *used[at + 1 :]))))
        states = further
    return states
