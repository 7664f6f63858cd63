"""Sharing out: circuits of some kinds to as few supplies as can be, by an integer programme, and then evenly.

A circuit of kind t takes shares a_t of what one supply can give, one of watts and one of length, and there are n_t of
them. A load is what one supply may be given: p_t circuits of each kind with Σ p_t a_t up to 1 in both. With y_p
supplies that are given load p, the fewest are::

    least  Σ_p y_p    where  Σ_p p_t y_p ≥ n_t  for each kind, y_p whole

Circuits of one kind are one line, and supplies that are alike have no names, so that nothing is tried twice for
symmetry's sake. Where all loads can be written down, they are. Where they cannot, they are made as they are called for:
with prices π_t from the linear programme without "whole", the load worth most, an integer programme of its own, joins
until none is worth more than 1. Any prices give a bound: no sharing out needs fewer than Σ n_t π_t over the worth of
the dearest load. The whole numbers are then found among the loads that are there, which may miss the bound by some.

How evenly the fewest can be loaded is the same question again, asked with less than 1 of each supply.

References
----------
.. [1] P. C. Gilmore, R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9
   (1961).
.. [2] A. A. Farley, A note on bounding a class of linear programming problems, including cutting stock problems,
   Operations Research 38 (1990); from memory.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import LinearConstraint, linprog

from lumsim.sheet.supply_kind import EXACT
from lumsim.sheet.whole_numbers import CLOSE, solve_whole

__all__ = ["EVEN", "SharedOut", "evened", "shared_out"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

EVEN: Final = 1e-3
"""Of the greatest loading, by which it may miss the least there is and is looked at no further. [1]"""

ROUNDED: Final = 12
"""Digits to which loadings are equal."""

SMALLEST: Final = 1e-15
"""Share that is told from none. [1]"""

GENERATING: Final = 0.6
"""Of the time there is, in which loads are made; the rest is for whole numbers. [1]"""

MOST_LOADS: Final = 20_000
"""That are written down all together."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SharedOut:
    """Circuits shared out."""

    loads: Ints
    """(supplies, kinds) how many circuits of each kind each supply is given"""
    least: int
    """no sharing out needs fewer supplies"""


def shared_out(
    shares: Floats, counts: Ints, *, until: float, limit: float = 1.0, enough: int | None = None
) -> SharedOut:
    """Share circuits out to as few supplies as can be.

    Never to more than first-fit does by falling watts, length, the larger of the two, and their sum.

    Parameters
    ----------
    shares : (kinds, 2)
        That a circuit of each kind takes of a supply's watts and length, each up to ``limit``. [1]
    counts : (kinds,)
        How many there are of each kind. [1]
    until : float
        By ``time.monotonic``, when to give up with the best so far. [s]
    limit : float
        How much of a supply may be taken. [1]
    enough : int, optional
        Stop as soon as it is known whether so many supplies do. [1]
    """
    sizes = shares / limit
    best = _first_fit(sizes, counts)
    bound = max(1, *(math.ceil(total - CLOSE) for total in (counts @ sizes).tolist()))

    def settled() -> bool:
        return bound >= len(best) or (enough is not None and not bound <= enough < len(best))

    if settled():
        return SharedOut(loads=best, least=min(bound, len(best)))
    every = _every_load(sizes, counts)
    if every is None:
        loads = np.unique(np.vstack([best, np.diag(_most_of_each(sizes, counts))]), axis=0)
        now = time.monotonic()
        while not settled() and time.monotonic() < now + GENERATING * (until - now):
            prices = _prices(loads, counts)
            load, worth = _dearest(sizes, counts, prices, until)
            bound = max(bound, math.ceil(counts @ prices / max(worth, 1.0) - CLOSE))
            if load is None or worth <= 1 + CLOSE or (loads == load).all(axis=1).any():
                break
            loads = np.vstack([loads, load])
        loads = loads[_kept(loads, sizes)]
    else:
        loads = every
    if not settled():
        found, least = _whole(loads, counts, bound, len(best) - 1 if enough is None else enough, until)
        best = best if found is None else found
        bound = bound if every is None else least
    return SharedOut(loads=best, least=min(bound, len(best)))


def evened(
    shares: Floats,
    counts: Ints,
    loads: Ints,
    *,
    until: float,
    tell: Callable[[], None] = lambda: None,
) -> tuple[Ints, float]:
    """Share circuits out to as many supplies as before, with the greatest loading as small as can be found.

    To fewer, should it be found on the way that fewer do.

    Parameters
    ----------
    shares, counts
        As for ``shared_out``.
    loads : (supplies, kinds)
        To begin with.
    until : float
        By ``time.monotonic``, when to give up with the best so far. [s]
    tell : callable
        Called before each question.

    Returns
    -------
    loads : (supplies, kinds)
    bound : float
        The greatest loading of no sharing out to so many supplies is below it; nearer than ``EVEN`` unless time was
        up or a question was too hard. [1]
    """
    low = bound = max(float((counts @ shares).max()) / len(loads), float(shares.max()))
    loads = min(loads, _least_loaded(shares, counts, len(loads)), key=lambda one: float((one @ shares).max()))
    loads = _relieved(shares, loads, until)
    high = float((loads @ shares).max())
    aim = high * (1 - EVEN)
    while high - low > EVEN * high and time.monotonic() < until:
        tell()
        aim = max(aim, low)
        found = shared_out(shares, counts, until=until, limit=aim, enough=len(loads))
        if len(found.loads) <= len(loads):
            if len(found.loads) < len(loads):
                return evened(shares, counts, found.loads, until=until, tell=tell)
            loads = _relieved(shares, found.loads, until)
            high = float((loads @ shares).max())
        else:
            low = aim
            # A question without an answer counts as a no for what is asked next, but not for the bound.
            bound = aim if found.least > len(loads) else bound
        aim = (low + high) / 2
    return loads, min(bound, high)


def _kept(loads: Ints, sizes: Floats) -> NDArray[np.bool_]:
    """Which loads a supply may be given: solvers are content with a little too much."""
    return np.asarray((loads @ sizes <= 1 + EXACT).all(axis=-1))


def _most_of_each(sizes: Floats, counts: Ints) -> Ints:
    """How many circuits of one kind alone a supply may be given, for each kind."""
    room = np.floor((1 + EXACT) / np.maximum(sizes.max(axis=1), SMALLEST))
    return np.asarray(np.minimum(counts, room).astype(np.int64))


def _first_fit(sizes: Floats, counts: Ints) -> Ints:
    """Each circuit to the first supply that has room, by falling size; of four meanings of size the best."""
    found: list[Ints] = []
    for size in (sizes[:, 0], sizes[:, 1], sizes.max(axis=1), sizes.sum(axis=1)):
        loads = np.zeros((int(counts.sum()), len(counts)), dtype=np.int64)
        taken = np.zeros((len(loads), 2))
        for kind in np.argsort(-size, kind="stable"):
            for _ in range(counts[kind]):
                place = int(np.argmax((taken + sizes[kind] <= 1 + EXACT).all(axis=1)))
                loads[place, kind] += 1
                taken[place] = loads[place] @ sizes
        found.append(loads[loads.any(axis=1)])
    return min(found, key=len)


def _least_loaded(shares: Floats, counts: Ints, supplies: int) -> Ints:
    """Each circuit to the supply that is then the least loaded, by falling size; limits are not looked at."""
    loads = np.zeros((supplies, len(counts)), dtype=np.int64)
    taken = np.zeros((supplies, 2))
    for kind in np.argsort(-shares.max(axis=1), kind="stable"):
        for _ in range(counts[kind]):
            place = int(np.argmin((taken + shares[kind]).max(axis=1).round(ROUNDED)))
            loads[place, kind] += 1
            taken[place] += shares[kind]
    return loads


def _relieved(shares: Floats, loads: Ints, until: float) -> Ints:
    """Move a circuit from the most loaded supply, or exchange it for another, as long as both then have less."""
    loads = loads.copy()
    nothing = len(shares)
    changes = np.vstack([shares, np.zeros((1, 2))])
    while time.monotonic() < until:
        taken = loads @ shares
        most = int(taken.max(axis=1).argmax())
        given = np.flatnonzero(loads[most])
        # By what is given, by whom it is given to, and by what is taken for it, the last of them nothing.
        change = changes[given][:, None, None, :] - changes[None, None, :, :]
        after = np.maximum((taken[most] - change).max(axis=3), (taken[None, :, None, :] + change).max(axis=3))
        there = np.hstack([loads > 0, np.ones((len(loads), 1), dtype=bool)])
        there[most] = False
        after[:, ~there] = np.inf
        one, other, back = np.unravel_index(int(after.argmin()), after.shape)
        if not after[one, other, back] < taken[most].max() - EXACT:
            break
        loads[most, given[one]] -= 1
        loads[other, given[one]] += 1
        if back != nothing:
            loads[other, back] -= 1
            loads[most, back] += 1
    return loads


def _prices(loads: Ints, counts: Ints) -> Floats:
    """What one circuit of each kind is worth, in supplies, as long as these are all the loads there are."""
    solved = linprog(np.ones(len(loads)), A_ub=-loads.T, b_ub=-counts, method="highs")
    return np.maximum(-solved.ineqlin.marginals, 0.0)


def _dearest(sizes: Floats, counts: Ints, prices: Floats, until: float) -> tuple[Ints | None, float]:
    """The load worth most, None where time is up, and what none is worth more than."""
    solved = solve_whole(-prices, [LinearConstraint(sizes.T, -np.inf, 1 + EXACT)], most=counts, until=until)
    return solved.numbers, -solved.bound


def _whole(loads: Ints, counts: Ints, bound: int, most: int, until: float) -> tuple[Ints | None, int]:
    """Share out by these loads alone to as few supplies as can be, from a bound up to a most; and the bound anew."""
    solved = solve_whole(
        np.ones(len(loads)),
        [
            LinearConstraint(loads.T, counts, np.inf),
            LinearConstraint(np.ones((1, len(loads))), bound, most),
        ],
        until=until,
    )
    if solved.bound > bound:
        bound = most + 1 if math.isinf(solved.bound) else math.ceil(solved.bound - CLOSE)
    if solved.numbers is None:
        return None, bound
    found = _without_surplus(np.repeat(loads, solved.numbers, axis=0), counts)
    return (found if (found.sum(axis=0) == counts).all() else None), bound


def _without_surplus(loads: Ints, counts: Ints) -> Ints:
    """Loads less what they have of a kind beyond its count, from the last on; empty ones left out."""
    before = np.cumsum(loads, axis=0) - loads
    less = np.clip(counts - before, 0, loads)
    return np.asarray(less[less.any(axis=1)])


def _every_load(sizes: Floats, counts: Ints) -> Ints | None:
    """Every load to which no circuit can be added; None where there are too many to write down."""
    loads = np.zeros((1, 0), dtype=np.int64)
    for kind, count in enumerate(counts.tolist()):
        left = (1 + EXACT - loads @ sizes[:kind]) / np.maximum(sizes[kind], SMALLEST)
        room = np.clip(np.floor(left.min(axis=1)), 0, count).astype(np.int64)
        more = np.concatenate([np.arange(one + 1) for one in room.tolist()])
        if len(more) > MOST_LOADS:
            return None
        loads = np.column_stack([np.repeat(loads, room + 1, axis=0), more])
    full = np.ones(len(loads), dtype=bool)
    for kind, count in enumerate(counts.tolist()):
        full &= (loads[:, kind] >= count) | ~_kept(
            loads + np.eye(1, len(counts), kind, dtype=np.int64), sizes
        )
    return np.asarray(loads[full])
