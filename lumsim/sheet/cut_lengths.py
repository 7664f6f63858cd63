"""What is to be cut from rolls, in lengths of whole legal cuts, and plans that a person would make.

Here a length is counted in steps of string between two legal cuts, and rows of one length are all alike.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Cuts", "Demand", "fewest_sections", "first_fit_cuts", "joined_cuts", "rolls_filled"]

Lengths = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """Rows to be cut, and what they are cut from."""

    roll: int
    """its length [steps]"""
    shortest: int
    """no section is shorter [steps]"""
    joints: int
    """the most in a row [1]"""
    rows: tuple[tuple[int, int], ...]
    """each length [steps] and how many rows have it, falling"""

    @property
    def total(self) -> int:
        """The length of all rows. [steps]"""
        return sum(length * count for length, count in self.rows)

    @property
    def least_rolls(self) -> int:
        """How many rolls hold as much string. [1]"""
        return -(-self.total // self.roll)

    @property
    def least_joints(self) -> int:
        """How many joints the rows longer than a roll need. [1]"""
        return sum((-(-length // self.roll) - 1) * count for length, count in self.rows)

    def without_joints(self) -> Demand:
        """The same with every section a row of its own that is not joined, longer rows in as few as they can be."""
        sections = Counter[int]()
        for length, count in self.rows:
            for section in fewest_sections(length, self.roll, self.shortest):
                sections[section] += count
        rows = tuple(sorted(sections.items(), reverse=True))
        return Demand(roll=self.roll, shortest=self.shortest, joints=0, rows=rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """A plan: which lengths are cut from each roll, and of which each row is made."""

    rolls: tuple[Lengths, ...]
    """the sections of each roll, falling [steps]"""
    rows: tuple[Lengths, ...]
    """the sections of each row [steps]"""

    @property
    def joints(self) -> int:
        """In all rows. [1]"""
        return sum(len(sections) - 1 for sections in self.rows)

    def longest_left(self, roll: int) -> int:
        """The most left of one roll of a length. [steps]"""
        return max((roll - sum(sections) for sections in self.rolls), default=0)

    def rank(self, roll: int) -> tuple[int, int, int]:
        """Least of the best plan: rolls, then joints, then the most left in one piece, from a roll's length."""
        return len(self.rolls), self.joints, -self.longest_left(roll)


def fewest_sections(length: int, roll: int, shortest: int) -> Lengths:
    """The fewest sections that make a row, whole rolls first; of them none shorter than is allowed, where that can be.

    Parameters
    ----------
    length, roll, shortest : int
        Of the row, a roll, and the shortest section. [steps]
    """
    sections = []
    for further in reversed(range(-(-length // roll))):
        sections.append(min(roll, length - further * shortest))
        length -= sections[-1]
    return tuple(sections)


def first_fit_cuts(demand: Demand) -> Cuts:
    """First-fit decreasing: the longest row first, each from the first roll that has enough left.

    Parameters
    ----------
    demand : Demand
    """
    rolls: list[list[int]] = []
    left: list[int] = []
    for length, count in demand.without_joints().rows:
        for _ in range(count):
            found = next((at for at, rest in enumerate(left) if rest >= length), len(left))
            if found == len(left):
                rolls.append([])
                left.append(demand.roll)
            rolls[found].append(length)
            left[found] -= length
    rows = [
        fewest_sections(length, demand.roll, demand.shortest)
        for length, count in demand.rows
        for _ in range(count)
    ]
    return Cuts(rolls=tuple(map(tuple, rolls)), rows=tuple(rows))


def joined_cuts(demand: Demand, cuts: Cuts) -> Cuts:
    """Save rolls of a plan by joints: where some rolls have whole rolls left together, their rows are laid anew.

    Rows are laid end to end, and one that does not fit the rest of a roll goes on in the next. It gives as few rolls
    as hold the string where no row is longer than a roll and any may be cut anywhere, else as few as it finds.

    Parameters
    ----------
    demand : Demand
        That allows joints.
    cuts : Cuts
        Of it.
    """
    whole = Counter(sections[0] for sections in cuts.rows if len(sections) == 1)
    rolls = []
    for roll in sorted(cuts.rolls, key=sum):
        pieces = []
        for length in roll:
            pieces.append((length, whole[length] > 0))
            whole[length] -= 1
        rolls.append(pieces)
    most = len(cuts.rolls) - demand.least_rolls
    at_once = [2**power for power in range(most.bit_length()) if 2**power < most]
    plans = [_saving(demand, cuts.rows, rolls, saved) for saved in (*at_once, most) if saved]
    return min([cuts, *plans], key=lambda one: one.rank(demand.roll))


_Pieces = list[tuple[int, bool]]
"""Of a roll: how long each is, and whether it is a row that may be joined. [steps]"""


def _saving(demand: Demand, made: Sequence[Lengths], rolls: Sequence[_Pieces], saved: int) -> Cuts:
    """Lay rolls anew, those with most left first, in groups that each save so many, and the last what it can."""
    rows = Counter(made)
    laid: list[Lengths] = []
    group: list[_Pieces] = []
    for number, roll in enumerate(rolls, start=1):
        group.append(roll)
        spare = demand.roll * len(group) - sum(length for pieces in group for length, _ in pieces)
        last = number == len(rolls)
        if spare < saved * demand.roll and not last:
            continue
        anew, joined = _end_to_end(demand, group)
        if len(anew) <= len(group) - (1 if last else saved):
            laid += anew
            rows.subtract((sum(sections),) for sections in joined)
            rows.update(joined)
            group = []
    laid += [tuple(length for length, _ in pieces) for pieces in group]
    return Cuts(rolls=tuple(laid), rows=tuple(rows.elements()))


def _end_to_end(demand: Demand, rolls: Sequence[_Pieces]) -> tuple[list[Lengths], list[Lengths]]:
    """Lay what some rolls hold end to end: the longest that fits goes first, else a row that is joined."""
    waiting = sorted((piece for pieces in rolls for piece in pieces), reverse=True)
    laid: list[list[int]] = [[]]
    joined: list[Lengths] = []
    free = demand.roll
    while waiting:
        fits = next((piece for piece in waiting if piece[0] <= free), None)
        splits = next(
            (
                piece
                for piece in waiting
                if piece[1] and min(free, piece[0] - demand.shortest) >= demand.shortest
            ),
            None,
        )
        if fits is not None:
            waiting.remove(fits)
            laid[-1].append(fits[0])
            free -= fits[0]
        elif splits is not None:
            waiting.remove(splits)
            first = min(free, splits[0] - demand.shortest)
            rest = splits[0] - first
            laid[-1].append(first)
            laid.append([rest])
            joined.append((first, rest))
            free = demand.roll - rest
        else:
            laid.append([])
            free = demand.roll
    return [tuple(sorted(one, reverse=True)) for one in laid], joined


def rolls_filled(roll: int, placed: Sequence[tuple[int, int]]) -> tuple[Lengths, ...]:
    """The rolls that hold lengths placed at a distance from a roll's end, as few as lie over one place.

    Parameters
    ----------
    roll : int
        Its length. [steps]
    placed : sequence of (int, int)
        Where each length begins on a roll, and how long it is; of no length but it takes room where it is negative.
        [steps]
    """
    rolls: list[list[int]] = []
    ends: list[int] = []
    for start, length in sorted(placed, key=lambda one: (one[0], -abs(one[1]), -one[1])):
        free = [at for at, end in enumerate(ends) if end <= start]
        if free:
            at = max(free, key=lambda one: (ends[one], -one))
        else:
            at = len(rolls)
            rolls.append([])
            ends.append(0)
        assert start + abs(length) <= roll
        ends[at] = start + abs(length)
        rolls[at].append(length)
    filled = (tuple(sorted((length for length in one if length > 0), reverse=True)) for one in rolls)
    return tuple(one for one in filled if one)
