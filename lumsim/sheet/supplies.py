"""Which supply feeds what: as few supplies as can be, evenly loaded, each with its neighbours or spread out."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError, TooLargeError
from lumsim.search.trying import Progress
from lumsim.sheet.neighbours import even_blocks, exchanged, loadings_of_blocks
from lumsim.sheet.sharing_out import evened, shared_out
from lumsim.sheet.supply_kind import EXACT, Circuit, SupplyKind, circuits_fit

__all__ = ["ABOUT_EVEN", "Supply", "SupplyPlan", "assign_supplies"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ABOUT_EVEN: Final = 0.05
"""Of the greatest loading, that may be given away for shorter or better spread wires. [1]"""

ALIKE: Final = 12
"""Digits to which circuits of one kind take the same."""

MOST_CIRCUITS: Final = 2000
"""That are planned together. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """One supply and what it feeds."""

    number: int
    """from 1, in the order of the first row that each feeds"""
    kind: SupplyKind
    circuits: tuple[int, ...]
    """by their place in the plan's list, from 0, rising by row"""
    watts: float
    """that they take [W]"""
    length: float
    """of theirs [m]"""

    @property
    def loading_by_watts(self) -> float:
        """Of the usable watts. [1]"""
        return self.kind.loading(self.watts, self.length)[0]

    @property
    def loading_by_length(self) -> float:
        """Of the longest string that it may feed; 0 where that is not told. [1]"""
        return self.kind.loading(self.watts, self.length)[1]

    @property
    def loading(self) -> float:
        """The larger of the two. [1]"""
        return max(self.loading_by_watts, self.loading_by_length)

    @property
    def binds(self) -> Literal["watts", "length"]:
        """Which of the two it is; of equals watts."""
        return "watts" if self.loading_by_watts >= self.loading_by_length else "length"


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyPlan:
    """Which supply feeds which circuits."""

    kind: SupplyKind
    circuits: tuple[Circuit, ...]
    """in the order that they were given"""
    supplies: tuple[Supply, ...]
    least_supplies: int
    """no plan has fewer [1]"""
    least_loading: float
    """no plan of as many supplies has a greatest loading below it [1]"""
    interleaved: bool
    """whether neighbours were asked to be on different supplies"""

    @property
    def proven(self) -> bool:
        """Whether it is known that no plan has fewer supplies."""
        return self.least_supplies == len(self.supplies)

    @property
    def greatest_loading(self) -> float:
        """Of its supplies. [1]"""
        return max(supply.loading for supply in self.supplies)

    @property
    def supply_of(self) -> tuple[int, ...]:
        """The number of each circuit's supply, in the order of the circuits."""
        found = [0] * len(self.circuits)
        for supply in self.supplies:
            for index in supply.circuits:
                found[index] = supply.number
        return tuple(found)

    @property
    def interleaved_as_asked(self) -> bool:
        """False where neighbours were to be on different supplies, and one supply feeds everything."""
        return not self.interleaved or len(self.supplies) > 1

    @property
    def neighbours_on_one_supply(self) -> int:
        """Of neighbouring rows' circuits of one number, how many pairs are on one supply. [1]"""
        rank = {row: place for place, row in enumerate(sorted({one.row for one in self.circuits}))}
        fed = {
            (rank[one.row], one.circuit): supply
            for one, supply in zip(self.circuits, self.supply_of, strict=True)
        }
        return sum(fed.get((place + 1, circuit)) == supply for (place, circuit), supply in fed.items())


def assign_supplies(
    circuits: Sequence[Circuit],
    kind: SupplyKind,
    *,
    interleaved: bool = False,
    seconds: float = 10.0,
    progress: Progress | None = None,
) -> SupplyPlan:
    """Say which supply feeds which circuits.

    Each circuit is on one supply, and no supply is above its usable watts or the longest string that it may feed. In
    this order:

    1. As few supplies as can be: by an integer programme, never more than first-fit decreasing, with the bound that is
       known. Its bound is at least the sum of watts over the usable watts, and of lengths over the longest string.
    2. Evenly: the greatest loading, the larger of the two shares, as small as can be found for so many supplies, again
       with the bound that is known. A plan within ``sharing_out.EVEN`` of the bound is looked at no further.
    3. Near or far, for which the greatest loading may be ``ABOUT_EVEN`` of itself above the smallest found, but
       never above the limits:

       * each supply feeds a block of neighbours, in the order of rows and their circuits, where so many blocks do: of
         such the greatest loading least, then the sum of the squares of loadings. Where none do, circuits are exchanged
         between supplies two at a time as long as that lowers the sum of squared differences of rows, over all pairs
         on one supply.
       * interleaved, so that a dead supply thins out the light everywhere and leaves no block dark: circuits are dealt
         out in the order of rows, one to each supply in turn, or else one row on for each row; where either keeps the
         limits it is the beginning, else the even plan is. From it circuits are exchanged as long as that lowers the
         sum over all pairs on one supply of 1/d⁴, with d² the square of their difference of rows and that of circuits:
         neighbours, and the circuits of one row, come apart first.

    Whether every answer was found is a matter of the time given only where many circuits are unlike.

    Parameters
    ----------
    circuits : sequence of Circuit
        In any order; each row and circuit once.
    kind : SupplyKind
    interleaved : bool
        Neighbours on different supplies. Where one supply is enough, one is used and the plan says so.
    seconds : float
        After which the best so far is taken. [s]
    progress : callable, optional

    Raises
    ------
    InputError
        Where there is no circuit, one is there twice, or one alone is more than a supply may feed.
    """
    _refuse(circuits, kind)
    begun = time.monotonic()

    def tell(share: float, what: str) -> None:
        if progress is not None:
            progress(share, what)

    tell(0.0, "fewest supplies")
    shares, kinds = _kinds(circuits, kind)
    counts = np.bincount(kinds)
    found = shared_out(shares, counts, until=begun + 0.5 * seconds)
    loads, least_loading = evened(
        shares,
        counts,
        found.loads,
        until=begun + 0.85 * seconds,
        tell=lambda: tell(min(0.85, max(0.5, (time.monotonic() - begun) / seconds)), "even loading"),
    )
    tell(0.85, "which circuits together")
    limit = min(1.0, float((loads @ shares).max()) * (1 + ABOUT_EVEN))
    arrange = _apart if interleaved else _together
    groups = arrange(circuits, shares[kinds], _handed_out(circuits, loads, kinds), limit, begun + seconds)
    tell(1.0, "supplies")
    return SupplyPlan(
        kind=kind,
        circuits=tuple(circuits),
        supplies=_supplies(circuits, kind, groups),
        least_supplies=found.least,
        least_loading=least_loading,
        interleaved=interleaved,
    )


def _refuse(circuits: Sequence[Circuit], kind: SupplyKind) -> None:
    """Refuse what cannot be fed."""
    if not circuits:
        raise InputError("there is no circuit to feed: give at least one")
    if len(circuits) > MOST_CIRCUITS:
        raise TooLargeError(f"circuits are planned up to {MOST_CIRCUITS} at a time, got {len(circuits)}")
    seen: set[tuple[int, int]] = set()
    for one in circuits:
        if (one.row, one.circuit) in seen:
            raise InputError(f"{one} is there twice: each circuit is fed once")
        seen.add((one.row, one.circuit))
        if not circuits_fit(kind, one):
            raise InputError(
                f"{one} takes {one.watts:g} W on {one.length:g} m of string, more than a supply of {kind.told} "
                "may feed: cut the row into pieces, or take a larger supply"
            )


def _kinds(circuits: Sequence[Circuit], kind: SupplyKind) -> tuple[Floats, Ints]:
    """What a circuit of each kind takes of a supply, and the kind of each circuit."""
    taken = np.array([kind.loading(one.watts, one.length) for one in circuits])
    _, first, kinds = np.unique(np.round(taken, ALIKE), axis=0, return_index=True, return_inverse=True)
    return taken[first], kinds.reshape(-1)


def _in_order(circuits: Sequence[Circuit]) -> list[int]:
    """The circuits by row and number."""
    return sorted(range(len(circuits)), key=lambda index: (circuits[index].row, circuits[index].circuit))


def _ranks(circuits: Sequence[Circuit]) -> Floats:
    """(circuits, 2) how many rows, and how many circuit numbers, come before each circuit's own."""
    return np.stack(
        [
            np.unique([one.row for one in circuits], return_inverse=True)[1],
            np.unique([one.circuit for one in circuits], return_inverse=True)[1],
        ],
        axis=1,
    ).astype(np.float64)


def _handed_out(circuits: Sequence[Circuit], loads: Ints, kinds: Ints) -> Ints:
    """The supply of each circuit: those of a kind in order to the supplies that have some."""
    groups = np.zeros(len(circuits), dtype=np.int64)
    order = np.array(_in_order(circuits))
    for kind in range(loads.shape[1]):
        groups[order[kinds[order] == kind]] = np.repeat(np.arange(len(loads)), loads[:, kind])
    return groups


def _together(circuits: Sequence[Circuit], shares: Floats, groups: Ints, limit: float, until: float) -> Ints:
    """Blocks of neighbours where they do, else the groups that were found, their members exchanged."""
    order = _in_order(circuits)
    blocks = even_blocks(loadings_of_blocks(shares[order], limit), int(groups.max()) + 1)
    if blocks is not None:
        found = np.empty_like(groups)
        found[order] = np.repeat(np.arange(len(blocks)), blocks)
        return found
    rows = _ranks(circuits)[:, 0]
    return exchanged(groups, (rows[:, None] - rows[None, :]) ** 2, shares, limit, until=until)


def _apart(circuits: Sequence[Circuit], shares: Floats, groups: Ints, limit: float, until: float) -> Ints:
    """Neighbours dealt out to one supply after another where that does, and exchanged."""
    count = int(groups.max()) + 1
    ranks = _ranks(circuits)
    squared = ((ranks[:, None, :] - ranks[None, :, :]) ** 2).sum(axis=2)
    force = np.divide(1.0, squared**2, out=np.zeros_like(squared), where=squared > 0)
    in_turn = np.empty_like(groups)
    in_turn[_in_order(circuits)] = np.arange(len(circuits)) % count
    one_on = ranks.sum(axis=1).astype(np.int64) % count

    def keeps(dealt: Ints) -> bool:
        taken = [shares[dealt == group].sum(axis=0).max() for group in range(count)]
        return bool(min(taken) > 0 and max(taken) <= limit * (1 + EXACT))

    def pull(dealt: Ints) -> float:
        return float(force[dealt[:, None] == dealt[None, :]].sum())

    dealt = min(filter(keeps, (in_turn, one_on)), key=pull, default=groups)
    return exchanged(dealt, force, shares, limit, until=until)


def _supplies(circuits: Sequence[Circuit], kind: SupplyKind, groups: Ints) -> tuple[Supply, ...]:
    """Supplies by their first circuit."""
    order = _in_order(circuits)
    members: dict[int, list[int]] = {}
    for index in order:
        members.setdefault(int(groups[index]), []).append(index)
    return tuple(
        Supply(
            number=number,
            kind=kind,
            circuits=tuple(own),
            watts=math.fsum(circuits[index].watts for index in own),
            length=math.fsum(circuits[index].length for index in own),
        )
        for number, own in enumerate(members.values(), start=1)
    )
