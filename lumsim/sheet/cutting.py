"""What to cut from which roll: the fewest rolls, of those plans the fewest joints, of those the most left in one piece.

Rows are pieces of string that are fed by themselves, rolls are as the string is bought. That is the cutting-stock
problem, solved as an integer programme; where time runs out the best plan so far comes with a bound that holds.
"""

from __future__ import annotations

import time
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from lumsim.errors import InputError
from lumsim.search.trying import Progress
from lumsim.sheet.cut_anywhere import joined_anywhere
from lumsim.sheet.cut_chains import chained
from lumsim.sheet.cut_lengths import Cuts, Demand, first_fit_cuts, joined_cuts
from lumsim.sheet.cut_programme import Programme, Reached, improved
from lumsim.sheet.rules import Stock

__all__ = ["CuttingPlan", "Roll", "Section", "cut", "first_fit"]

_STEPS, _STEPS_WITH_JOINTS = 3, 10
"""The most that are told of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A piece of string between two cuts."""

    row: int
    """that it is of, from 0"""
    start: int
    """its first module, in its row from 0"""
    modules: int
    """[1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """What is cut from one roll."""

    sections: tuple[Section, ...]
    """in the order they are cut"""
    leftover: int
    """modules, in one piece [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingPlan:
    """What to cut from which roll."""

    stock: Stock
    rolls: tuple[Roll, ...]
    """those that least is left of first"""
    proven: bool
    """whether no plan has fewer rolls"""
    least_rolls: int
    """no plan has fewer [1]"""

    @property
    def joints(self) -> int:
        """In all rows. [1]"""
        return sum(section.start > 0 for roll in self.rolls for section in roll.sections)

    @property
    def leftovers(self) -> tuple[int, ...]:
        """Modules left of each roll that something is left of, falling. [1]"""
        return tuple(sorted((roll.leftover for roll in self.rolls if roll.leftover), reverse=True))

    @property
    def modules_left(self) -> int:
        """On all rolls. [1]"""
        return sum(roll.leftover for roll in self.rolls)

    def sections_of(self, row: int) -> tuple[tuple[int, Section], ...]:
        """The sections of a row along it, each with the roll that it is cut from, from 0."""
        found = [(at, one) for at, roll in enumerate(self.rolls) for one in roll.sections if one.row == row]
        return tuple(sorted(found, key=lambda one: one[1].start))


def cut(
    rows: Sequence[int],
    stock: Stock,
    *,
    names: Sequence[str] | None = None,
    seconds: float = 10.0,
    progress: Progress | None = None,
) -> CuttingPlan:
    """Return the plan of the fewest rolls, of those the fewest joints, of those the most left in one piece.

    Fewest rolls are told as proven only where they are. Joints and leftovers are the best that was found: up to a few
    hundred rows of a few lengths are looked through to the end; of many lengths that may be joined the time can run
    out first, and then the plan may also differ from one run to another.

    Parameters
    ----------
    rows : sequence of int
        Modules in each. [1]
    stock : Stock
    names : sequence of str, optional
        What each row is called where it is refused; its number from 1 unless said.
    seconds : float
        To give up after, with the best so far; kept to within about a second. [s]
    progress : callable, optional
        Takes the share done and what is being done.

    Raises
    ------
    InputError
        For rows that cannot be cut so, with the row, and for less than no time.
    """
    if not seconds >= 0:
        raise InputError(f"seconds must be 0 or more, got {seconds:g}")
    until = time.monotonic() + seconds
    demand = _demand(rows, stock, names)
    steps = 0

    def step(what: str) -> None:
        nonlocal steps
        if progress is not None:
            progress(min(steps / (_STEPS_WITH_JOINTS if demand.joints else _STEPS), 0.99), what)
        steps += 1

    reached = Reached(
        cuts=first_fit_cuts(demand), least_rolls=demand.least_rolls, least_joints=demand.least_joints
    )
    if rows:
        reached = _bettered(demand, reached, until, seconds, step)
    if progress is not None:
        progress(1.0, "done")
    return _plan(rows, stock, reached)


def first_fit(rows: Sequence[int], stock: Stock, *, names: Sequence[str] | None = None) -> CuttingPlan:
    """Return the plan that a person would make: the longest row first, each from the first roll that has enough left.

    Of a row longer than a roll whole rolls are cut first.

    Parameters
    ----------
    rows : sequence of int
        Modules in each. [1]
    stock : Stock
    names : sequence of str, optional
        As for ``cut``.

    Raises
    ------
    InputError
        For rows that cannot be cut so, with the row.
    """
    demand = _demand(rows, stock, names)
    reached = Reached(
        cuts=first_fit_cuts(demand), least_rolls=demand.least_rolls, least_joints=demand.least_joints
    )
    return _plan(rows, stock, reached)


def _by(
    programme: Programme | None,
    demand: Demand,
    reached: Reached,
    until: float,
    step: Callable[[str], None],
    *,
    leftovers: bool = True,
) -> Reached:
    """Better a plan by a programme, if there is one."""
    if programme is None:
        return reached
    return improved(programme, demand, reached, until=until, step=step, leftovers=leftovers)


def _bettered(
    demand: Demand, reached: Reached, until: float, seconds: float, step: Callable[[str], None]
) -> Reached:
    """A plan as good as is found: packed without joints, then with rolls saved by joints, then all at once."""
    if not demand.joints:
        return _by(chained(demand), demand, reached, until, step)
    rows = reached.cuts.rows
    whole = demand.without_joints()
    sections = tuple((section,) for row in rows for section in row)
    alone = replace(reached, cuts=Cuts(rolls=reached.cuts.rolls, rows=sections), least_joints=0)
    packed = _by(chained(whole), whole, alone, until - 0.75 * seconds, step, leftovers=False)
    if len(packed.cuts.rolls) == demand.least_rolls and len(sections) == len(rows):
        return _by(chained(whole), whole, packed, until, step)
    starts = (reached.cuts, Cuts(rolls=packed.cuts.rolls, rows=rows))
    plans = [joined_cuts(demand, cuts) for cuts in starts]
    reached = replace(reached, cuts=min(plans, key=lambda one: one.rank(demand.roll)))
    programme = chained(demand)
    reached = _by(programme, demand, reached, until, step)
    if programme is not None and programme.every_plan:
        return reached
    # Where even joints anywhere would not save one, no other way of joining betters the plan.
    free = replace(demand, shortest=1, joints=max(-(-length // demand.roll) for length, _ in demand.rows))
    bounds = _by(chained(free), free, reached, until, step, leftovers=False)
    reached = replace(reached, least_rolls=bounds.least_rolls, least_joints=bounds.least_joints)
    return reached if reached.joints_proven else _by(joined_anywhere(demand), demand, reached, until, step)


def _demand(rows: Sequence[int], stock: Stock, names: Sequence[str] | None) -> Demand:
    """The rows in steps of legal cuts, once every row is known to be possible."""
    for name, modules in zip(names or map(str, range(1, len(rows) + 1)), rows, strict=True):
        _refuse_impossible(name, modules, stock)
    counts = Counter(modules // stock.cut_every for modules in rows)
    return Demand(
        roll=stock.roll_modules // stock.cut_every,
        shortest=-(-stock.shortest_section // stock.cut_every),
        joints=stock.most_joints,
        rows=tuple(sorted(counts.items(), reverse=True)),
    )


def _refuse_impossible(name: str, modules: int, stock: Stock) -> None:
    """Refuse a row that cannot be cut from such rolls, in words."""
    if modules < 1:
        raise InputError(f"row {name}: a row has 1 module or more, got {modules}")
    if modules % stock.cut_every:
        raise InputError(
            f"row {name}: {modules} modules cannot be cut from string that is cut after every {stock.cut_every} "
            f"modules; next to it are {stock.next_to(modules)}"
        )
    if modules < stock.shortest_section:
        raise InputError(
            f"row {name}: {modules} modules are fewer than the shortest section of {stock.shortest_section}: "
            f"lower shortest_section to {modules}, or give the row more"
        )
    needed = -(-modules // stock.roll_modules)
    if needed > stock.most_joints + 1:
        allowed = f", and it may have {stock.most_joints} joints at most" if stock.most_joints else ""
        raise InputError(
            f"row {name}: {modules} modules are more than a roll of {stock.roll_modules}{allowed}: "
            f"set most_joints to {needed - 1} or more, or feed it as {needed} rows"
        )
    shortest = stock.cut_every * -(-stock.shortest_section // stock.cut_every)
    if modules < needed * shortest:
        raise InputError(
            f"row {name}: {modules} modules are more than a roll of {stock.roll_modules} and fewer than {needed} "
            f"sections of {shortest}: lower shortest_section, or change its modules"
        )


def _plan(rows: Sequence[int], stock: Stock, reached: Reached) -> CuttingPlan:
    """Tell which row each section is of: rolls that least is left of come first, and lower rows from those."""
    step = stock.cut_every
    made: dict[int, list[tuple[int, ...]]] = defaultdict(list)
    for sections in sorted(reached.cuts.rows, key=lambda one: (len(one), one)):
        made[sum(sections)].append(sections)
    waiting: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for row in reversed(range(len(rows))):
        sections = made[rows[row] // step].pop()
        starts = list(accumulate(sections, initial=0))
        for section, start in reversed(list(zip(sections, starts, strict=False))):
            waiting[section].append((row, start))
    rolls = []
    for lengths in sorted(reached.cuts.rolls, key=lambda one: (-sum(one), [-length for length in one])):
        cut_here = []
        for length in lengths:
            row, start = waiting[length].pop()
            cut_here.append(Section(row=row, start=start * step, modules=length * step))
        rolls.append(Roll(sections=tuple(cut_here), leftover=stock.roll_modules - step * sum(lengths)))
    return CuttingPlan(
        stock=stock, rolls=tuple(rolls), proven=reached.proven, least_rolls=reached.least_rolls
    )
