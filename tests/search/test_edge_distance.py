"""The best edge distance is the one that trying every one would find, in whatever basin it lies."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import listed, place
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.edge_distance import best_edge_distance
from lumsim.search.layouts import with_rows
from lumsim.simulation import simulate
from lumsim.uniformity.requirement import Requirement
from lumsim.units import exact_length
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

MILLIMETRE = Fraction(1, 1000)
HEIGHT = 0.6
WITHIN = (0.1, 0.28)


def two_basins() -> Cabinet:
    """Two rows stay; two others may stand a little inside of them or near the middle: two basins of max/min."""
    built = cabinet(0.15, height=HEIGHT, depth=0.12)
    rows = built.groups[0]
    assert isinstance(rows, Rows)
    stay = replace(rows, rows=listed(exact_length(HEIGHT), [exact_length(at) for at in (0.12, 0.48)]))
    return replace(built, groups=(rows, stay))


def laid(built: Cabinet, count: int, edge: float) -> Cabinet:
    """Lay so many rows at an edge distance. [m]"""
    places = place(exact_length(HEIGHT), count=count, edge_distance=exact_length(edge))
    return with_rows(built, 0, rows=places)


def scanned(built: Cabinet, count: int, least: float, most: float, steps: int) -> dict[float, float]:
    """Max/min at every edge distance of a scan."""
    return {
        float(edge): simulate(laid(built, count, float(edge)), lighting=DIRECT).evenness.max_to_min
        for edge in np.linspace(least, most, steps)
    }


def test_of_two_basins_the_deeper_is_found() -> None:
    """Max/min has a basin at 0.152 m and another at 0.221 m; the answer is no worse than the best of a fine scan."""
    numbers = scanned(two_basins(), 2, *WITHIN, 37)
    edges = list(numbers)
    dips = [
        b
        for a, b, c in zip(edges, edges[1:], edges[2:], strict=False)
        if numbers[b] < min(numbers[a], numbers[c])
    ]
    assert len(dips) == 2
    answer = best_edge_distance(
        two_basins(), 0, Requirement(), count=2, least_most=WITHIN, mark=MILLIMETRE, lighting=DIRECT
    )
    assert answer.exact is not None
    best = min(numbers, key=lambda edge: numbers[edge])
    assert float(answer.exact.rows.edge_distances[0]) == pytest.approx(best, abs=0.003)
    assert answer.exact.evenness.max_to_min <= numbers[best] * (1 + 1e-6)


@pytest.mark.parametrize(
    ("count", "steps"), [(3, 21), *(pytest.param(n, 41, marks=pytest.mark.slow) for n in (2, 3, 4))]
)
def test_the_best_edge_distance_is_what_trying_every_one_finds(count: int, steps: int) -> None:
    """No edge distance of a scan does better, and the answer lies within a step of the scan's best."""
    built = cabinet(0.15, height=HEIGHT, depth=0.1)
    answer = best_edge_distance(built, 0, Requirement(), count=count, mark=MILLIMETRE, lighting=DIRECT)
    assert answer.exact is not None
    numbers = scanned(built, count, answer.least, answer.most, steps)
    best = min(numbers, key=lambda edge: numbers[edge])
    step = (answer.most - answer.least) / (steps - 1)
    assert float(answer.exact.rows.edge_distances[0]) == pytest.approx(best, abs=step)
    assert answer.exact.evenness.max_to_min <= numbers[best] * (1 + 1e-6)


def test_rows_to_build_are_on_centre_by_whole_marks_and_the_best_of_those() -> None:
    """Of every row pitch in whole centimetres the one with the least max/min, what is left shared by the edges."""
    centimetre = Fraction(1, 100)
    built = cabinet(0.15, height=HEIGHT, depth=0.1)
    answer = best_edge_distance(built, 0, Requirement(), count=3, mark=centimetre, lighting=DIRECT)
    assert answer.buildable is not None
    pitch = answer.buildable.rows.pitch
    assert pitch is not None
    assert (pitch / centimetre).denominator == 1
    near, far = answer.buildable.rows.edge_distances
    assert near == far
    every = {
        marks: simulate(laid(built, 3, (HEIGHT - 2 * marks / 100) / 2), lighting=DIRECT).evenness.max_to_min
        for marks in range(20, 30)
    }
    assert float(pitch) == min(every, key=lambda marks: every[marks]) / 100
    assert answer.buildable.evenness.max_to_min == pytest.approx(min(every.values()), rel=1e-9)


def test_with_a_requirement_the_worst_of_its_limits_is_made_least() -> None:
    """Stripes want rows far apart and edges want them near the returns: the answer balances what is used of each."""
    built = cabinet(0.15, height=HEIGHT, depth=0.1)
    requirement = Requirement(stripe_max_to_min=1.3, edge_dimming=1.3)
    answer = best_edge_distance(built, 0, requirement, count=4, mark=MILLIMETRE, lighting=DIRECT)
    assert answer.exact is not None

    def used(edge: float) -> float:
        even = simulate(laid(built, 4, edge), lighting=DIRECT).evenness
        return max(even.stripe_max_to_min / 1.3, even.edge_dimming / 1.3)

    least = min(used(float(edge)) for edge in np.linspace(answer.least, answer.most, 21))
    assert answer.exact.excess <= least * (1 + 1e-5)
    assert answer.met is (answer.buildable is not None and answer.buildable.verdict.met)


@pytest.mark.parametrize(
    ("count", "within", "said"),
    [
        (1, None, "a single row sits in the middle"),
        (3, (0.2, 0.1), "the least must be below the most"),
        (3, (0.1, 0.3), "leaves no room between the rows"),
    ],
)
def test_a_range_that_is_none_is_refused(count: int, within: tuple[float, float] | None, said: str) -> None:
    """A single row, a range the wrong way round, and one that reaches the middle."""
    with pytest.raises(InputError, match=said):
        best_edge_distance(
            cabinet(0.15), 0, Requirement(), count=count, least_most=within, mark=MILLIMETRE, lighting=DIRECT
        )
