"""Dimension lines: what is written adds up, and no two numbers meet."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.pictures.dimensions import Chain, Run, runs, spread, thinned
from lumsim.units import METRES_PER_INCH

INCH = METRES_PER_INCH


@given(st.lists(st.integers(1, 3), min_size=1, max_size=30))
def test_runs_hold_every_distance_once(gaps: list[int]) -> None:
    """Runs follow each other without a gap, and spelt out they are the distances that there were."""
    places = [Fraction(sum(gaps[:i])) for i in range(len(gaps) + 1)]
    found = runs(places)
    assert [one.end for one in found[:-1]] == [one.start for one in found[1:]]
    assert [(one.end - one.start) / one.count for one in found for _ in range(one.count)] == gaps
    assert all((a.end - a.start) / a.count != (b.end - b.start) / b.count for a, b in pairwise(found))


def test_a_pitch_that_a_tape_does_not_tell_is_told_in_decimals() -> None:
    """16 pitches of 2 2/3 in are 42 2/3 in; rounded to a tape's 2 11/16 in each they would be 43 in."""
    third = Run(start=Fraction(0), end=Fraction(128, 3) * INCH, count=16)
    assert third.told("in") == "16 × 2.667 = 42 11/16"
    assert Run(start=Fraction(0), end=18 * INCH, count=3).told("in") == "3 × 6 = 18"
    assert Run(start=Fraction(0), end=Fraction(11, 2) * INCH, count=1).told("in") == "5 1/2"


def test_two_numbers_move_apart_by_the_same() -> None:
    """Two numbers an inch wide at the same place stand half an inch to either side of it."""
    assert spread([3.0, 3.0], [0.5, 0.5], 0, 10) == pytest.approx([2.5, 3.5])
    assert spread([0.1, 3.0], [0.5, 0.5], 0, 10) == pytest.approx([0.5, 3.0])
    assert spread([1.0, 2.0], [0.5, 0.6], 0, 2) is None
    assert spread([], [], 0, 1) == []


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 0.6)), min_size=1, max_size=6))
def test_numbers_move_by_as_little_as_can_be(numbers: list[tuple[float, float]]) -> None:
    """No two meet, all stay between the ends, and projecting again and again ends at the same places."""
    wanted = sorted(place for place, _ in numbers)
    halves = [half for _, half in numbers]
    at = spread(wanted, halves, -10, 20)
    assert at is not None
    apart = np.array([one + other for one, other in pairwise(halves)])
    assert (np.diff(at) >= apart - 1e-9).all()
    # Dykstra's projections, onto one pair of neighbours after the other, end at the nearest place that all allow.
    place, kept = np.array(wanted), np.zeros((len(apart), 2))
    for _ in range(3000):
        for pair, least in enumerate(apart):
            before = place[pair : pair + 2] + kept[pair]
            short = max(0.0, least - (before[1] - before[0])) / 2
            place[pair : pair + 2] = before + np.array((-short, short))
            kept[pair] = before - place[pair : pair + 2]
    np.testing.assert_allclose(at, place, atol=1e-4)


def test_numbers_are_thinned_as_one_counts() -> None:
    """Where every number would be a tenth of an inch from the next, every second stays, and first and last."""
    places = [0.1 * i for i in range(20)]
    left = thinned(places, [0.09] * 20, -1, 3, numbers=range(1, 21), furthest=0.1)
    assert [i + 1 for i in left.kept] == [1, 4, 6, 8, 10, 12, 14, 16, 18, 20]
    assert left.told == "every 2nd"
    whole = thinned(places, [0.05] * 20, -1, 3, numbers=range(1, 21))
    assert len(whole.kept) == 20
    assert whole.told == ""
    few = thinned([0.0, 0.01, 0.02], [0.09] * 3, -0.2, 0.2, numbers=[1, 2, 3], furthest=0.1)
    assert few.told == "the first and the last"
    one = thinned([0.0, 0.01], [0.09] * 2, -0.1, 0.1, numbers=[1, 2])
    assert (one.kept, one.told) == ([0], "the first")


def test_a_chain_adds_up_to_the_whole() -> None:
    """From return to return: 2 in, eleven pitches of 4 in, 2 in make 48 in."""
    chain = Chain.of([(2 + 4 * i) * INCH for i in range(12)], 48 * INCH, scale=10.0, units="in")
    assert sorted(number.text for number in chain.numbers) == ["11 × 4 = 44", "2", "2"]
    assert chain.points == pytest.approx([0, 20 * 0.0254, 460 * 0.0254, 480 * 0.0254])
    assert not chain.running


def test_a_number_wider_than_its_distance_stands_beside_it() -> None:
    """At a small scale 2 in has no room in its line and is told beside it, with room for it."""
    near = Chain.of([2 * INCH, 46 * INCH], 48 * INCH, scale=2.0, units="in")
    assert [number.text for number in near.numbers if number.beside] == ["2", "2"]
    far = Chain.of([2 * INCH, 46 * INCH], 48 * INCH, scale=20.0, units="in")
    assert not [number for number in far.numbers if number.beside]
    assert near.room > far.room
