"""One number against one length, nothing monotone assumed: where is it least, and where does it first come down to 1?

The number is the worst of actual over limit, ``excess``, at a pitch, a depth or an edge distance. It may have several
basins, and feasible islands between infeasible stretches, so that samples come first, then every dip of them that
might reach the limit is minimised by itself, and only between a length that meets it and its neighbour that does not
is a crossing looked for.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from fractions import Fraction

from scipy.optimize import brentq, minimize_scalar

__all__ = ["HOPELESS", "crossing", "first_met", "first_settled", "least", "least_on_marks"]

Excess = Callable[[float], float]
"""Takes a length [m], gives the worst of actual over limit; met up to and including 1. [1]"""

MAY_WIN = 1.25
"""Of several dips those are minimised whose lowest sample is at most this far above the lowest of all. [1]"""

STEEPER = 2.0
"""By how much a number may go on more steeply between two samples than it came to them from outside. [1]"""

HOPELESS = 1.6
"""Counts whose first three wide looks are all this far above the limit are given up. [1]"""

NEAR = 1.02
"""What comes down this near to a limit is taken for what may meet it. [1]"""

WIDE = 4
"""How many samples wide samples are apart. [1]"""

MOST_WIDE = 24
"""Of many marks about this many are looked at first. [1]"""

ROUGHLY = 1e-3
"""How closely a crossing is found that is only to be looked at, of the first sample. [1]"""

ROUNDS = 6
"""How often a quick look is set right by a close one before its place is given up. [1]"""


def first_settled(
    look: Excess, look_closely: Excess, samples: Sequence[float], *, tolerance: float, coarse: float
) -> float | None:
    """The first length that meets a limit of 1 when looked at closely, found by looks that are quicker.

    Two looks at one place part by a share that hardly changes with the length: what quick looks find, or find to miss
    by a hair, is looked at closely, and found anew by quick looks set right by that share.

    Parameters
    ----------
    look, look_closely : callable
        The same number, quick and close.
    samples : sequence of float
        As for ``first_met``.
    tolerance : float
        To which a crossing is found. [m]
    coarse : float
        By which the quick one may be off. [1]

    Returns
    -------
    float or None
        [m]
    """
    left = list(samples)
    while left:
        scan = _Scan(look, left, 1 + coarse, least_limit=1 - 4 * coarse)
        length = scan.first(1 + coarse, tolerance=ROUGHLY * abs(left[0]))
        if length is None:
            return None
        for _ in range(ROUNDS):
            value = look_closely(length)
            limit = min(scan(length) / value * (1 - 1e-6), 1 + 2 * coarse)
            found = scan.first(limit, tolerance=tolerance / 4)
            if value <= 1 and found is not None and abs(found - length) <= tolerance:
                return length
            if found is None:
                break
            length = found
        left = [one for one in left if (one > length if left[-1] > left[0] else one < length)]
    return None


def first_met(
    excess: Excess, samples: Sequence[float], *, tolerance: float, limit: float = 1.0
) -> float | None:
    """The first length, in the order of the samples, at which a number is at most a limit.

    Parameters
    ----------
    excess : callable
    samples : sequence of float
        Rising or falling; the length wanted is the nearest to the first. [m]
    tolerance : float
        To which a crossing is found. [m]
    limit : float
        [1]

    Returns
    -------
    float or None
        On the feasible side of the crossing [m]; None where no sample and no dip between them comes down to it.
    """
    return _Scan(excess, samples, limit, least_limit=limit).first(limit, tolerance=tolerance)


class _Scan:
    """A number looked at along a length, as closely as a limit asks; each length once.

    First every fourth sample is looked at, then the one midway between two where the number might come down to the
    limit, again and again, then the bottom of every dip that might. Limits from ``least_limit`` to the limit can be
    asked of it.
    """

    def __init__(self, excess: Excess, samples: Sequence[float], limit: float, *, least_limit: float) -> None:
        self._excess = excess
        self._falling = samples[0] > samples[-1]
        self._seen: dict[float, float] = {}
        wide = [*samples[:-1:WIDE], samples[-1]]
        # What lies beyond the first that surely meets the limit is of no account.
        for length in wide:
            if self(length) <= least_limit:
                break
        places = {length: i for i, length in enumerate(samples)}
        while between := [
            samples[(places[left] + places[right]) // 2]
            for left, right in self._may_reach(self._ordered(), limit)
            if places[right] - places[left] > 1
        ]:
            for length in between:
                self(length)

    def __call__(self, length: float) -> float:
        if length not in self._seen:
            self._seen[length] = self._excess(length)
        return self._seen[length]

    def first(self, limit: float, *, tolerance: float) -> float | None:
        """The first length that meets a limit no higher than that of the scan. [m]"""
        self._look_into_dips(limit)
        ordered = self._ordered()
        met = next((i for i, length in enumerate(ordered) if self(length) <= limit), None)
        if met is None:
            return None
        if met == 0:
            return ordered[0]
        return crossing(self, ordered[met], ordered[met - 1], tolerance=tolerance, limit=limit)

    def _look_into_dips(self, limit: float) -> None:
        """Look for the bottom of every dip before the first length that meets the limit, where it might meet it."""
        ordered = self._ordered()
        for before, length, after in zip(
            [ordered[0], *ordered], ordered, [*ordered[1:], ordered[-1]], strict=False
        ):
            if self(length) <= limit:
                break
            if self(length) <= min(self(before), self(after)) and self._may_reach_in(before, after, limit):

                def enough(value: float, before: float = before, after: float = after) -> bool:
                    return value <= limit or not self._may_reach_in(before, after, limit)

                least_between(self, before, after, tolerance=1e-4 * length, enough=enough)

    def _may_reach_in(self, one: float, other: float, limit: float) -> bool:
        """Whether the number might still come down to the limit between two, by all that was looked at."""
        low, high = min(one, other), max(one, other)
        reached = self._may_reach(self._ordered(), limit)
        return any(low <= min(pair) and max(pair) <= high for pair in reached)

    def _ordered(self) -> list[float]:
        return sorted(self._seen, reverse=self._falling)

    def _may_reach(self, lengths: list[float], limit: float) -> list[tuple[float, float]]:
        """Neighbours up to the first that meets the limit between which the number might come down to it."""
        found = []
        for i, (left, right) in enumerate(itertools.pairwise(lengths)):
            if self(left) <= limit:
                break
            if lowest_between(self, lengths[max(i - 1, 0) : i + 3], i > 0) <= NEAR * limit:
                found.append((left, right))
        return found


def crossing(excess: Excess, inside: float, outside: float, *, tolerance: float, limit: float = 1.0) -> float:
    """Between a length that meets a limit and one that does not, the one at which it is just met.

    Parameters
    ----------
    excess : callable
    inside, outside : float
        That meets it, that does not. [m]
    tolerance : float
        [m]
    limit : float
        [1]

    Returns
    -------
    float
        On the feasible side. [m]
    """
    found = float(brentq(lambda length: excess(length) - limit, inside, outside, xtol=tolerance, rtol=1e-12))
    # The root finder may stop on either side.
    towards = 1 if inside > outside else -1
    for steps in (0, 2, 10, 100):
        length = found + towards * steps * tolerance
        if (inside - length) * towards <= 0:
            break
        if excess(length) <= limit:
            return length
    return inside


def least_on_marks(excess: Callable[[Fraction], float], marks: Sequence[Fraction]) -> Fraction:
    """The mark at which a number is least: every few marks are looked at, then all those about each dip of them.

    Parameters
    ----------
    excess : callable
        Takes a mark.
    marks : sequence of Fraction
        In their order, at least one. [m]

    Returns
    -------
    Fraction
        Of equals the first. [m]
    """
    apart = max(1, len(marks) // MOST_WIDE)
    wide = sorted({*range(0, len(marks), apart), len(marks) - 1})
    scan = {i: excess(marks[i]) for i in wide}
    lowest = min(scan.values())
    for before, here, after in zip([wide[0], *wide[:-1]], wide, [*wide[1:], wide[-1]], strict=True):
        if scan[here] <= min(scan[before], scan[after], MAY_WIN * lowest):
            scan.update({i: excess(marks[i]) for i in range(before, after + 1) if i not in scan})
    best: int = min(scan, key=lambda i: (scan[i], i))
    return marks[best]


def least(excess: Excess, samples: Sequence[float], *, tolerance: float) -> float:
    """Where a number is least: every dip of the samples that may hold the least is minimised by itself.

    Parameters
    ----------
    excess : callable
    samples : sequence of float
        Rising. [m]
    tolerance : float
        To which the place is found. [m]

    Returns
    -------
    float
        Of equals the first. [m]
    """
    scan = {length: excess(length) for length in samples}
    for left, length, right in zip(
        [samples[0], *samples[:-1]], samples, [*samples[1:], samples[-1]], strict=True
    ):
        if scan[length] <= min(scan[left], scan[right], MAY_WIN * min(scan.values())):
            found = least_between(excess, left, right, tolerance=tolerance)
            scan[found] = excess(found)
    return min(scan, key=lambda length: (scan[length], length))


def lowest_between(excess: Excess, around: Sequence[float], has_left: bool) -> float:  # noqa: FBT001
    """How far down a number might come between two of its samples, by how steeply it comes to them from outside.

    It goes on down from either by at most ``STEEPER`` times the slope that it has outside; at an end of all samples
    nothing is known of the slope, and only the other side's holds.

    Parameters
    ----------
    excess : callable
    around : sequence of float
        Up to four neighbouring samples, the two in the middle. [m]
    has_left : bool
        Whether the first of them is the one before the two.

    Returns
    -------
    float
        [1]
    """
    left, right = around[1:3] if has_left else around[:2]
    width = abs(right - left)

    def slope(inner: float, outer: float) -> float:
        """Down from the inner one, going on from the outer one. [1/m]"""
        return STEEPER * max(0.0, (excess(outer) - excess(inner)) / abs(outer - inner))

    from_left = slope(left, around[0]) if has_left else math.inf
    from_right = slope(right, around[-1]) if around[-1] != right else math.inf
    one, other = excess(left), excess(right)
    if math.isinf(from_left) and math.isinf(from_right):
        return -math.inf
    if math.isinf(from_left):
        return min(one, other - from_right * width)
    if math.isinf(from_right):
        return min(other, one - from_left * width)
    # Where the two lines meet, if between the two.
    if from_left + from_right == 0:
        return min(one, other)
    share = min(max((one - other + from_right * width) / ((from_left + from_right) * width), 0.0), 1.0)
    return min(one, other, max(one - from_left * width * share, other - from_right * width * (1 - share)))


class _EnoughError(Exception):
    """The number need not come down further."""


def least_between(
    excess: Excess,
    one: float,
    other: float,
    *,
    tolerance: float,
    enough: Callable[[float], bool] = lambda _: False,
) -> float:
    """Where a number is least between two lengths, or some place at which that was enough. [m]

    Parameters
    ----------
    excess : callable
    one, other : float
        [m]
    tolerance : float
        [m]
    enough : callable
        Takes the number at each place that is come to, and says whether to stop there.
    """

    def down(length: float) -> float:
        value = excess(length)
        if enough(value):
            raise _EnoughError(length)
        return value

    try:
        bounds = (min(one, other), max(one, other))
        found = minimize_scalar(down, bounds=bounds, method="bounded", options={"xatol": tolerance})
    except _EnoughError as enough_found:
        return float(enough_found.args[0])
    return float(found.x)
