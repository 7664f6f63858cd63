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

from scipy.optimize import brentq, minimize_scalar

__all__ = ["crossing", "first_met", "first_settled", "least"]

Excess = Callable[[float], float]
"""Takes a length [m], gives the worst of actual over limit; met up to and including 1. [1]"""

MAY_REACH = 1.25
"""A dip of the samples is minimised where its lowest sample is at most this far above what is looked for. [1]"""

FAR = 2.0
"""Stretches between two wide samples that are both this far above the limit are passed over: the number would have to
come down to half and rise again within a quarter of them. [1]"""

WIDE = 4
"""How many samples wide samples are apart. [1]"""

STEPS_ON = (0.0, 5e-4, 1e-3, 2e-3, 4e-3, 8e-3)
"""How much further than the quick look found a length is looked at closely, while it just fails there. [1]"""


def first_settled(
    look: Excess, look_closely: Excess, samples: Sequence[float], *, tolerance: float, coarse: float
) -> float | None:
    """The first length that meets a limit of 1 when looked at closely, found by looks that are quicker.

    What the quick look finds, and what it finds to miss by a hair, is settled by the close one: length by length on
    from what was found, and then the crossing between the last two.

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
    rising = left[-1] > left[0]
    while left:
        found = first_met(look, left, tolerance=tolerance, limit=1 + coarse)
        if found is None:
            return None
        length, before = found, found
        for share in STEPS_ON:
            length = min(found * (1 + share), left[-1]) if rising else max(found * (1 - share), left[-1])
            if look_closely(length) <= 1:
                if length == before:
                    return length
                return crossing(look_closely, length, before, tolerance=tolerance)
            before = length
        left = [one for one in left if (one > length if rising else one < length)]
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
    seen = {length: excess(length) for length in _worth_a_look(excess, samples, limit)}
    for length in _dips(excess, seen, limit):
        seen[length] = excess(length)
    ordered = sorted(seen, reverse=samples[0] > samples[-1])
    met = next((i for i, length in enumerate(ordered) if seen[length] <= limit), None)
    if met is None:
        return None
    if met == 0:
        return ordered[0]
    return crossing(excess, ordered[met], ordered[met - 1], tolerance=tolerance, limit=limit)


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
    seen = {length: excess(length) for length in samples}
    for left, length, right in _neighbours(list(samples)):
        if seen[length] <= min(seen[left], seen[right], MAY_REACH * min(seen.values())):
            found = _bottom(excess, left, right, tolerance)
            seen[found] = excess(found)
    return min(seen, key=lambda length: (seen[length], length))


def _worth_a_look(excess: Excess, samples: Sequence[float], limit: float) -> list[float]:
    """Every fourth sample and the last, and those between two of which one is not far off."""
    wide = sorted({*range(0, len(samples), WIDE), len(samples) - 1})
    chosen = set(wide)
    for one, other in itertools.pairwise(wide):
        if min(excess(samples[one]), excess(samples[other])) < FAR * limit:
            chosen.update(range(one, other))
    return [samples[i] for i in sorted(chosen)]


def _neighbours(lengths: list[float]) -> list[tuple[float, float, float]]:
    """Each length between its neighbours, at an end between itself and the one."""
    return list(zip([lengths[0], *lengths[:-1]], lengths, [*lengths[1:], lengths[-1]], strict=True))


def _dips(excess: Excess, seen: dict[float, float], limit: float) -> list[float]:
    """The bottom of every dip before the first length that meets the limit, where it might reach it."""
    found = []
    for left, length, right in _neighbours(list(seen)):
        if seen[length] <= limit:
            break
        if seen[length] > min(seen[left], seen[right], MAY_REACH * limit):
            continue
        # Between samples a dip goes on down by no more than it came down to the lowest of them.
        if 2 * seen[length] - max(seen[left], seen[right]) <= limit:
            found.append(_bottom(excess, left, right, 1e-4 * length, enough=limit))
    return found


class _EnoughError(Exception):
    """The number has come down to where it need not come down further."""


def _bottom(
    excess: Excess, one: float, other: float, tolerance: float, *, enough: float = -math.inf
) -> float:
    """Where a number is least between two lengths, or some place where it is as low as is enough. [m]"""

    def down(length: float) -> float:
        value = excess(length)
        if value <= enough:
            raise _EnoughError(length)
        return value

    try:
        bounds = (min(one, other), max(one, other))
        found = minimize_scalar(down, bounds=bounds, method="bounded", options={"xatol": tolerance})
    except _EnoughError as enough_found:
        return float(enough_found.args[0])
    return float(found.x)
