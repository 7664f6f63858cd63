"""Where a row is held: supports in the gaps between its modules, as few as its rules allow, and as even as can be.

Where a support may stand makes stretches of tape: each gap between neighbouring modules, less what keeps clear of them,
and what is beyond the row's ends within reach. The fewest come from setting the first as far along as the row's start
lets it be, and each next as far along as the interval from the one before lets it be, until one reaches the row's end.
No other supports do with fewer: of any that keep the rules the first is not beyond this first; where the k-th is not
beyond this k-th, the next, an interval on at most, is on a stretch within an interval of this k-th too, and so not
beyond the farthest such place. So when any others reach the end, these have.

How far along the last of m comes rises with the interval, and the least interval that does is a distance between two
ends of stretches over a whole number of intervals, at most m − 1. All lengths therefore are counted in a unit small
enough to hold every such quotient, in whole numbers, and intervals are found exactly, by bisection.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

from lumsim.cabinet.rows import Direction
from lumsim.errors import InputError
from lumsim.units import Units, exact_length, format_length

__all__ = ["SupportRules", "place_supports"]

Stretch = tuple[int, int]
"""From a mark to a mark, both of it [units]"""

NAMES: Final = {
    "horizontal": "greatest interval between supports of horizontal rows",
    "vertical": "greatest interval between supports of vertical rows",
    "from_end": "greatest distance from the end of a row to a support",
    "clearance": "supports' clearance",
    "module_length": "length of a module",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportRules:
    """How rows are to be held; floats are taken as their shortest decimal.

    Raises
    ------
    InputError
        For an interval of nothing, and lengths below 0.
    """

    horizontal: Fraction | float
    """greatest interval between supports along horizontal rows [m]"""
    vertical: Fraction | float
    """along vertical rows [m]"""
    from_end: Fraction | float
    """greatest distance from the first or last module on centre to the first or last support, to either side [m]"""
    clearance: Fraction | float = Fraction(0)
    """least distance from a support's centre to the end of a module [m]"""
    module_length: Fraction | float = Fraction(0)
    """of a module along its row; 0 where it is not told, and clearance then counts from its centre [m]"""

    def __post_init__(self) -> None:
        for name, words in NAMES.items():
            length = exact_length(getattr(self, name))
            object.__setattr__(self, name, length)
            if length < 0 or (length == 0 and name in {"horizontal", "vertical"}):
                least = "more than 0" if name in {"horizontal", "vertical"} else "0 or more"
                raise InputError(f"the {words} must be {least}, got {float(length):g} m")

    def interval(self, direction: Direction) -> Fraction:
        """Greatest between supports of a row that runs so. [m]"""
        return exact_length(self.horizontal if direction == "horizontal" else self.vertical)

    @property
    def clear(self) -> Fraction:
        """Least distance from a support to a module, both on centre. [m]"""
        return exact_length(self.module_length) / 2 + exact_length(self.clearance)


def place_supports(
    along: Sequence[Fraction],
    direction: Direction,
    rules: SupportRules,
    *,
    ends: tuple[Fraction, Fraction] | None = None,
    step: Fraction | None = None,
    units: Units = "mm",
) -> tuple[Fraction, ...]:
    """Say where the supports of a row stand.

    Each is on a gap between modules, or beyond the row's ends, and clear of the modules; the first is within reach of
    the first module, the last of the last, none is farther out than that, and no two neighbours are farther apart than
    the rules allow. In this order: as few as can be; of those the greatest interval as short as can be; of those the
    least interval as long as can be; of those each near where equal intervals about the row's middle would have it. A
    row of one module is held by one support beside it.

    Parameters
    ----------
    along : sequence of Fraction
        The modules on centre, rising. [m]
    direction : {"horizontal", "vertical"}
        Which way the row runs.
    rules : SupportRules
    ends : (Fraction, Fraction), optional
        Between which supports can be, such as the returns; without, the rules alone say how far out. [m]
    step : Fraction, optional
        Every support is on a whole multiple of it, and is the best of those; without, anywhere. [m]
    units : {"in", "mm"}
        Of lengths in a refusal.

    Returns
    -------
    tuple of Fraction
        Rising. [m]

    Raises
    ------
    InputError
        Where rules cannot be kept, with the stretch that has no place and what would help; for modules that do not
        rise.
    """
    if not along:
        raise InputError("a row to be held has at least one module, got none")
    if any(other <= one for one, other in pairwise(along)):
        raise InputError("the modules of a row to be held must rise along it")
    if step is not None and step <= 0:
        raise InputError(f"the step of supports must be more than 0, got {float(step):g} m")
    interval = rules.interval(direction)
    stretches = _stretches(along, rules, ends)
    reach = exact_length(rules.from_end)
    lengths = [interval, reach, along[0], along[-1], *(length for one in stretches for length in one)]
    unit = step or Fraction(1, math.lcm(*(length.denominator for length in lengths)))
    marks = _Marks.of(stretches, along, reach, unit)
    few = marks.farthest(int(interval // unit))
    if not marks.reach_end(few):
        raise InputError(_refusal(along, marks, few, unit, interval, rules, units, on_marks=step is not None))
    if step is None:
        unit /= math.lcm(*range(1, len(few)))
        marks = _Marks.of(stretches, along, reach, unit)
    places = _evenest(marks, len(few), int(interval // unit), float((along[0] + along[-1]) / 2 / unit))
    return tuple(place * unit for place in places)


def _stretches(
    along: Sequence[Fraction], rules: SupportRules, ends: tuple[Fraction, Fraction] | None
) -> list[tuple[Fraction, Fraction]]:
    """Where a support may stand: rising, from one length to another [m]."""
    reach, clear = exact_length(rules.from_end), rules.clear
    outer = (along[0] - reach - clear, *along, along[-1] + reach + clear)
    low, high = (along[0] - reach, along[-1] + reach) if ends is None else ends
    found = []
    for one, other in pairwise(outer):
        start, end = max(one + clear, low), min(other - clear, high)
        if start <= end:
            found.append((start, end))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Marks:
    """A row's stretches, and where its first and last support may be, in whole units."""

    stretches: tuple[Stretch, ...]
    starts: tuple[int, ...]
    """of the stretches"""
    first: Stretch
    last: Stretch

    @staticmethod
    def of(
        stretches: Sequence[tuple[Fraction, Fraction]],
        along: Sequence[Fraction],
        reach: Fraction,
        unit: Fraction,
    ) -> _Marks:
        """Lengths in units, rounded to within each stretch; one that holds no mark is left out."""

        def inside(start: Fraction, end: Fraction) -> Stretch:
            return math.ceil(start / unit), math.floor(end / unit)

        marked = [inside(*one) for one in stretches]
        kept = tuple((start, end) for start, end in marked if start <= end)
        return _Marks(
            stretches=kept,
            starts=tuple(start for start, _ in kept),
            first=inside(along[0] - reach, along[0] + reach),
            last=inside(along[-1] - reach, along[-1] + reach),
        )

    def farthest(self, interval: int, most: int | None = None) -> list[int]:
        """Supports as far along as each can be, until one reaches the end, none is farther, or there are enough."""
        places: list[int] = []
        limit = self.first[1]
        while most is None or len(places) < most:
            index = bisect_right(self.starts, limit) - 1
            place = min(self.stretches[index][1], limit) if index >= 0 else self.first[0] - 1
            if place < self.first[0] or (places and place == places[-1]):
                break
            places.append(place)
            if place >= self.last[0]:
                break
            limit = place + interval
        return places

    def reach_end(self, places: Sequence[int]) -> bool:
        """Whether the last of some supports is near enough to the row's last module."""
        return bool(places) and places[-1] >= self.last[0]

    def layers(self, count: int, least: int, greatest: int) -> list[list[Stretch]]:
        """Where each of so many supports can be with those before it; empty ones where that cannot be."""
        here = _common([self.first], self.stretches)
        found = [here]
        for _ in range(count - 1):
            here = _common([(start + least, end + greatest) for start, end in here], self.stretches)
            found.append(here)
        found[-1] = _common(found[-1], [self.last])
        return found


def _common(ones: Sequence[Stretch], others: Sequence[Stretch]) -> list[Stretch]:
    """What is on one of the first stretches, which may overlap, and on one of the second; both rise."""
    found: list[Stretch] = []
    begin = 0
    for start, end in ones:
        while begin < len(others) and others[begin][1] < start:
            begin += 1
        for index in range(begin, len(others)):
            if others[index][0] > end:
                break
            low, high = max(start, others[index][0]), min(end, others[index][1])
            if found and low <= found[-1][1]:
                found[-1] = found[-1][0], max(high, found[-1][1])
            else:
                found.append((low, high))
    return found


def _evenest(marks: _Marks, count: int, interval: int, middle: float) -> list[int]:
    """So many supports: greatest interval least, then least interval greatest, then about the middle."""
    if count == 1:
        greatest = least = 0
    else:
        start = max(1, -(-(marks.last[0] - marks.first[1]) // (count - 1)))
        greatest = _first_true(start, interval, lambda one: marks.reach_end(marks.farthest(one, count)))
        # The least interval falls short of some length first where that length is one more than it.
        least = _first_true(1, greatest, lambda one: not marks.layers(count, one + 1, greatest)[-1])
    layers = marks.layers(count, least, greatest)
    places: list[int] = []
    for index in reversed(range(count)):
        here = layers[index]
        if places:
            here = _common([(places[-1] - greatest, places[-1] - least)], here)
        aim = middle + (index - (count - 1) / 2) * (least + greatest) / 2
        places.append(min((_nearest(aim, one) for one in here), key=lambda place: (abs(place - aim), place)))
    return places[::-1]


def _nearest(aim: float, stretch: Stretch) -> int:
    return min(max(round(aim), stretch[0]), stretch[1])


def _first_true(low: int, high: int, holds: Callable[[int], bool]) -> int:
    """The least whole number for which something holds that holds for all above it, and for the highest."""
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle + 1
    return low


def _refusal(
    along: Sequence[Fraction],
    marks: _Marks,
    few: Sequence[int],
    unit: Fraction,
    interval: Fraction,
    rules: SupportRules,
    units: Units,
    *,
    on_marks: bool,
) -> str:
    """Why a row cannot be held, and what would help."""

    def shown(length: Fraction) -> str:
        return format_length(length, units)

    reach = exact_length(rules.from_end)
    ways = ["a smaller clearance", "modules farther apart there"]
    if on_marks:
        ways.append("a finer step")
    beyond = [start for start in marks.starts if few and start > few[-1]]
    if not few or not beyond:
        end, module = ("last", along[-1]) if few else ("first", along[0])
        span = f"{shown(module - reach)} and {shown(module + reach)}"
        why = f"a support of this row must be between {span}, at its {end} module, where there is no place for it"
        ways.append(f"a reach from the row's end of more than {shown(reach)}")
    else:
        span = f"{shown(few[-1] * unit)} to {shown(beyond[0] * unit)}"
        why = (
            f"this row has no place for a support from {span} along it, which is longer than {shown(interval)} "
            "as supports may be apart"
        )
        ways.append(f"an interval of {shown((beyond[0] - few[-1]) * unit)}")
    gap = f"a support in a gap needs modules {shown(2 * rules.clear)} on centre; " if rules.clear else ""
    return f"{why}: {gap}{', '.join(ways[:-1])} or {ways[-1]} would help"
