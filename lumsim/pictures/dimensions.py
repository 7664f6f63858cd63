"""Dimension lines: what is written along them and where, so that no two numbers meet. Paper in inches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Final

import numpy as np
from scipy.optimize import isotonic_regression

from lumsim.pictures import look
from lumsim.pictures.lettering import line_height, text_width
from lumsim.units import METRES_PER_UNIT, Units, format_close, format_length

__all__ = ["NUMBER_LINE", "Chain", "Number", "Run", "Thinned", "plain_length", "runs", "spread", "thinned"]

NUMBER_LINE: Final = line_height(look.NUMBER)
"""A line of numbers. [in]"""

_ALIKE: Final = Fraction(1, 20_000)
"""Distances that differ by no more are equal: half of what is told of millimetres. [m]"""
_AROUND: Final = 0.13
"""What a number on a dimension line needs beside itself, for the line's ends. [in]"""
_LINE: Final = 0.27
"""What a dimension line takes across. [in]"""
_SECOND: Final = NUMBER_LINE + 0.03
"""What numbers beside it take further. [in]"""
_FURTHEST: Final = 0.6
"""How far a number may stand from what it tells, with a leader. [in]"""
_STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000)
_MOST_RUNS: Final = 16
"""More unlike distances than this are told from one return each, not one after the other. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Equal distances one after the other."""

    start: Fraction
    """[m]"""
    end: Fraction
    """[m]"""
    count: int
    """how many distances [1]"""

    def told(self, units: Units) -> str:
        """The distance, or of several ``5 × 6 = 30``."""
        length = self.end - self.start
        if self.count == 1:
            return plain_length(length, units)
        # A pitch rounded to what a tape tells may add up to another length than the whole.
        least = Fraction(1, 32) if units == "in" else Fraction(1, 20)
        within = float(least * METRES_PER_UNIT[units] / self.count)
        pitch = format_close(float(length / self.count), units, within=within)
        return f"{self.count} × {pitch.removesuffix(f' {units}')} = {plain_length(length, units)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """What is written at a dimension line."""

    text: str
    of: float
    """the middle of what it tells, along the line [in]"""
    at: float
    """where its middle is, along the line [in]"""
    beside: bool
    """whether it stands beside the line, with a leader, where it does not fit in it"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A dimension line with several distances: one after the other, or each from the return where these are many."""

    points: tuple[float, ...]
    """where it is ticked, along the line [in]"""
    numbers: tuple[Number, ...]
    running: bool
    """whether each number counts from the return, and is written across the line"""
    told: str
    """which distances are told, in words; empty where all are"""
    room: float
    """what it takes across [in]"""

    @staticmethod
    def of(places: Sequence[Fraction], extent: Fraction, *, scale: float, units: Units) -> Chain:
        """Lay out the distances from return to return over places between them.

        Parameters
        ----------
        places : sequence of lengths
            From the left or bottom return, rising. [m]
        extent : Fraction
            From return to return. [m]
        scale : float
            [in of paper for 1 m]
        units : {"in", "mm"}
        """
        between = runs(places)
        edges = (
            Run(start=Fraction(0), end=places[0], count=1),
            Run(start=places[-1], end=extent, count=1),
        )
        told = [run for run in (edges[0], *between, edges[1]) if run.end > run.start]
        if len(told) <= _MOST_RUNS:
            numbers = _one_after_the_other(told, extent, scale=scale, units=units)
            if numbers is not None:
                ends = (*(run.start for run in told), told[-1].end)
                return Chain(
                    points=tuple(float(end) * scale for end in ends),
                    numbers=numbers,
                    running=False,
                    told="",
                    room=_LINE + _SECOND * any(number.beside for number in numbers),
                )
        texts = [plain_length(place, units) for place in places]
        at = [float(place) * scale for place in places]
        left = thinned(
            at,
            [NUMBER_LINE / 2] * len(at),
            -0.2,
            float(extent) * scale + 0.2,
            numbers=range(1, len(at) + 1),
        )
        return Chain(
            points=(0.0, *(at[i] for i in left.kept), float(extent) * scale),
            numbers=tuple(
                Number(text=texts[i], of=at[i], at=place, beside=True)
                for i, place in zip(left.kept, left.at, strict=True)
            ),
            running=True,
            told=left.told,
            room=0.34 + max(text_width(texts[i], look.NUMBER) for i in left.kept),
        )

    @staticmethod
    def whole(extent: Fraction, *, scale: float, units: Units) -> Chain:
        """Lay out one distance from return to return, with its unit.

        Parameters
        ----------
        extent : Fraction
            [m]
        scale : float
            [in of paper for 1 m]
        units : {"in", "mm"}
        """
        text, length = format_length(extent, units), float(extent) * scale
        beside = not _fits(text, length)
        return Chain(
            points=(0.0, length),
            numbers=(Number(text=text, of=length / 2, at=length / 2, beside=beside),),
            running=False,
            told="",
            room=_LINE + _SECOND * beside,
        )


def _one_after_the_other(
    told: Sequence[Run], extent: Fraction, *, scale: float, units: Units
) -> tuple[Number, ...] | None:
    """Put each number into its distance, or beside it where it does not fit; None where there is no room for all."""
    numbers, beside = [], []
    for run in told:
        text, middle = run.told(units), float(run.start + run.end) / 2 * scale
        if _fits(text, float(run.end - run.start) * scale):
            numbers.append(Number(text=text, of=middle, at=middle, beside=False))
        else:
            beside.append((text, middle))
    middles = [middle for _, middle in beside]
    halves = [text_width(text, look.NUMBER) / 2 + 0.05 for text, _ in beside]
    at = spread(middles, halves, -0.1, float(extent) * scale + 0.1)
    if at is None or _moved(at, middles) > _FURTHEST:
        return None
    numbers += [
        Number(text=text, of=middle, at=place, beside=True)
        for (text, middle), place in zip(beside, at, strict=True)
    ]
    return tuple(numbers)


def _fits(text: str, length: float) -> bool:
    """Whether a number has room in a dimension line."""
    return text_width(text, look.NUMBER) + _AROUND <= length


def runs(places: Sequence[Fraction]) -> list[Run]:
    """Gather rising places [m] into runs of equal distances."""
    found: list[Run] = []
    for one, other in pairwise(places):
        last = found[-1] if found else None
        if last is not None and abs((other - one) - (last.end - last.start) / last.count) <= _ALIKE:
            found[-1] = Run(start=last.start, end=other, count=last.count + 1)
        else:
            found.append(Run(start=one, end=other, count=1))
    return found


def spread(wanted: Sequence[float], halves: Sequence[float], low: float, high: float) -> list[float] | None:
    """Move things in a line apart until none meet, by as little as can be (least squares).

    Parameters
    ----------
    wanted : sequence of float
        Where the middle of each would be, rising. [in]
    halves : sequence of float
        Half of what each takes. [in]
    low, high : float
        Between which all must stay. [in]

    Returns
    -------
    list of float or None
        Where each is; None where they do not fit between the ends. [in]
    """
    if not wanted:
        return []
    half = np.asarray(halves, dtype=np.float64)
    # Less what stands before it, each place may be anything that is not below the last one.
    before = np.concatenate([[0.0], np.cumsum(half[:-1] + half[1:])])
    least, most = low + half[0], high - half[-1] - before[-1]
    if least > most:
        return None
    free = isotonic_regression(np.asarray(wanted, dtype=np.float64) - before).x
    return [float(place) for place in np.clip(free, least, most) + before]


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinned:
    """What is left of numbers in a line."""

    kept: list[int]
    """which, from 0"""
    at: list[float]
    """where [in]"""
    told: str
    """which, in words; empty where all are"""


def thinned(
    wanted: Sequence[float],
    halves: Sequence[float],
    low: float,
    high: float,
    *,
    numbers: Sequence[int],
    furthest: float = 0.25,
) -> Thinned:
    """Thin out numbers in a line until there is room: the first, the last, and every second, fifth, tenth …

    Parameters
    ----------
    wanted : sequence of float
        Where each would be, rising. [in]
    halves : sequence of float
        Half of what each takes. [in]
    low, high : float
        Between which all must stay. [in]
    numbers : sequence of int
        What is counted: kept are multiples of 2, 5, 10 …
    furthest : float
        How far each may be moved. [in]
    """
    last = len(wanted) - 1

    def clear(one: int, other: int) -> bool:
        return abs(wanted[one] - wanted[other]) >= halves[one] + halves[other]

    for step in _STEPS:
        kept = [
            i
            for i in range(last + 1)
            if step == 1 or i in {0, last} or (numbers[i] % step == 0 and clear(i, 0) and clear(i, last))
        ]
        told = "" if len(kept) > last else _every(step) if len(kept) > 2 else "the first and the last"
        places = [wanted[i] for i in kept]
        at = spread(places, [halves[i] for i in kept], low, high)
        if at is not None and _moved(at, places) <= furthest:
            return Thinned(kept=kept, at=at, told=told)
        if len(kept) <= 2:
            break
    first = min(max(wanted[0], low + halves[0]), high - halves[0])
    return Thinned(kept=[0], at=[first], told="the first" if last else "")


def _moved(at: Sequence[float], wanted: Sequence[float]) -> float:
    return max((abs(one - other) for one, other in zip(at, wanted, strict=True)), default=0.0)


def plain_length(metres: Fraction, units: Units) -> str:
    """Write a length as a person marks it, without its unit.

    Parameters
    ----------
    metres : Fraction
        [m]
    units : {"in", "mm"}
    """
    return format_length(metres, units).removesuffix(f" {units}")


def _every(step: int) -> str:
    return f"every {step}{'nd' if step == 2 else 'th'}"
