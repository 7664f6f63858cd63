"""Neighbours together or apart: a sequence in blocks, and members of groups exchanged until none is better placed."""

from __future__ import annotations

import time
from typing import Final

import numpy as np
from numpy.typing import NDArray

from lumsim.sheet.supply_kind import EXACT

__all__ = ["even_blocks", "exchanged", "fewest_blocks", "loadings_of_blocks"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDED: Final = 12
"""Digits to which loadings are equal."""

WORTH_IT: Final = 1e-9
"""Of the whole, by which an exchange must lower it."""


def loadings_of_blocks(shares: Floats, limit: float) -> Floats:
    """The loading of every block of neighbours that keeps a limit.

    Parameters
    ----------
    shares : (members, limits)
        What each member takes of each of some limits, 0 or more. [1]
    limit : float
        Up to which a block may take of each. [1]

    Returns
    -------
    (longest, members + 1)
        In row s and column i, of the s + 1 members before member i, the largest of its shares; infinite where that is
        above the limit or there are not so many. [1]
    """
    total = np.vstack([np.zeros(shares.shape[1]), np.cumsum(shares, axis=0)])
    rows: list[Floats] = []
    for length in range(1, len(total)):
        row = np.full(len(total), np.inf)
        row[length:] = np.round((total[length:] - total[:-length]).max(axis=1), ROUNDED)
        row[row > limit * (1 + EXACT)] = np.inf
        if np.isinf(row).all():
            break
        rows.append(row)
    return np.array(rows).reshape(len(rows), len(total))


def fewest_blocks(loadings: Floats) -> int:
    """Into how few blocks of neighbours a sequence can be divided, each as long as it may be.

    Parameters
    ----------
    loadings : (longest, members + 1)
        As from ``loadings_of_blocks``, so that part of a block that may be may be too.
    """
    count = end = 0
    while end < loadings.shape[1] - 1:
        longest = min(len(loadings), loadings.shape[1] - 1 - end)
        end += max(
            length for length in range(1, longest + 1) if np.isfinite(loadings[length - 1, end + length])
        )
        count += 1
    return count


def even_blocks(loadings: Floats, count: int) -> tuple[int, ...] | None:
    """Divide a sequence into so many blocks of neighbours, as evenly as can be.

    In this order: the greatest loading least; the sum of the loadings' squares least; later blocks the shorter.

    Parameters
    ----------
    loadings : (longest, members + 1)
        As from ``loadings_of_blocks``; a block that may not be is infinite.
    count : int
        How many blocks. [1]

    Returns
    -------
    tuple of int
        How many members each block has; None where there is no such division.
    """
    longest, ends = loadings.shape
    before = np.arange(ends) - np.arange(1, longest + 1)[:, None]
    inside = before >= 0
    before = np.maximum(before, 0)
    start = np.full(ends, np.inf)
    start[0] = 0.0

    worst = start
    for _ in range(count):
        worst = np.maximum(np.where(inside, worst[before], np.inf), loadings).min(axis=0, initial=np.inf)
    if np.isinf(worst[-1]):
        return None

    squares = np.where(loadings <= worst[-1], loadings**2, np.inf)
    whole, chosen = start, []
    for _ in range(count):
        sums = np.round(np.where(inside, whole[before], np.inf) + squares, ROUNDED)
        chosen.append(sums.argmin(axis=0))
        whole = sums.min(axis=0)
    lengths: list[int] = []
    end = ends - 1
    for shortest in reversed(chosen):
        lengths.append(int(shortest[end]) + 1)
        end -= lengths[-1]
    return tuple(reversed(lengths))


def exchanged(groups: Ints, force: Floats, shares: Floats, limit: float, *, until: float) -> Ints:
    """Exchange members of groups, two at a time, as long as that lowers the sum of a force over pairs of one group.

    Each time the two whose exchange lowers it most, of equals the first; none may bring a group above the limit.

    Parameters
    ----------
    groups : (members,)
        The group that each is in, from 0.
    force : (members, members)
        Between each two; symmetric, nothing between a member and itself.
    shares : (members, limits)
        What each member takes of its group. [1]
    limit : float
        Up to which a group's sums may go. [1]
    until : float
        By ``time.monotonic``, when to stop with the best so far. [s]

    Returns
    -------
    (members,)
        The groups after it.
    """
    groups = groups.copy()
    among = np.arange(len(groups))
    while time.monotonic() < until:
        member = np.zeros((len(groups), int(groups.max()) + 1))
        member[among, groups] = 1
        felt = force @ member
        own = felt[among, groups]
        there = felt[:, groups]
        change = there + there.T - own[:, None] - own[None, :] - 2 * force
        taken = member.T @ shares
        after = taken[groups][:, None, :] - shares[:, None, :] + shares[None, :, :]
        fits = (after <= limit * (1 + EXACT)).all(axis=2)
        change[~(fits & fits.T) | (groups[:, None] == groups[None, :])] = np.inf
        one, other = np.unravel_index(int(change.argmin()), change.shape)
        if not change[one, other] < -WORTH_IT * max(float(own.sum()), 1.0):
            break
        groups[one], groups[other] = groups[other], groups[one]
    return groups
