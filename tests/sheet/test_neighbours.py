"""Blocks of neighbours and exchanges between groups, against everything tried."""

from __future__ import annotations

import itertools
import math
import time

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lumsim.sheet.neighbours import even_blocks, exchanged, fewest_blocks, loadings_of_blocks


@given(
    members=st.lists(st.tuples(st.integers(0, 8), st.integers(1, 8)), min_size=1, max_size=9),
    limit=st.integers(8, 20),
    count=st.integers(1, 5),
)
def test_no_other_blocks_are_fewer_or_evener(members: list[tuple[int, int]], limit: int, count: int) -> None:
    """Against every division of up to nine members: as few blocks, then greatest least, then squares least."""
    loadings = loadings_of_blocks(np.array(members, dtype=float), limit)

    def loading(start: int, end: int) -> int:
        return max(sum(one[axis] for one in members[start:end]) for axis in (0, 1))

    good: dict[int, list[tuple[int, int, tuple[int, ...]]]] = {}
    for blocks in range(1, len(members) + 1):
        for cuts in itertools.combinations(range(1, len(members)), blocks - 1):
            ends = list(itertools.pairwise((0, *cuts, len(members))))
            loads = [loading(*one) for one in ends]
            if max(loads) <= limit:
                squares = sum(one**2 for one in loads)
                good.setdefault(blocks, []).append((max(loads), squares, tuple(e - s for s, e in ends)))
    assert fewest_blocks(loadings) == min(good)
    found = even_blocks(loadings, count)
    if count not in good:
        assert found is None
        return
    assert found is not None
    assert next(one[:2] for one in good[count] if one[2] == found) == min(one[:2] for one in good[count])


def test_loadings_of_blocks_are_sums_of_neighbours() -> None:
    """Row s and column i: the s + 1 members before i, by the larger of their sums; infinite where that is too much."""
    found = loadings_of_blocks(np.array([[1.0, 0.0], [0.0, 3.0], [2.0, 2.0]]), 5.0)
    nothing = math.inf
    assert found.tolist() == [
        [nothing, 1, 3, 2],
        [nothing, nothing, 3, 5],
        [nothing, nothing, nothing, 5],
    ]
    assert loadings_of_blocks(np.array([[1.0], [1.0]]), 1.0).tolist() == [[nothing, 1, 1]]


@given(
    groups=st.lists(st.integers(0, 2), min_size=2, max_size=9),
    seed=st.integers(0, 1000),
    slack=st.floats(1.0, 1.3),
)
def test_exchanges_lower_the_force_until_none_does(groups: list[int], seed: int, slack: float) -> None:
    """Sizes of groups stay; the sum within groups falls; then each single exchange is no lower, or above a limit."""
    made = np.random.default_rng(seed)
    force = made.uniform(-1, 1, (len(groups), len(groups)))
    force = force + force.T
    np.fill_diagonal(force, 0)
    shares = made.uniform(0, 1, (len(groups), 2))
    member = np.array(groups)[:, None] == np.arange(3)
    limit = slack * float((member.T @ shares).max())

    def total(state: list[int]) -> float:
        return math.fsum(
            force[one, other]
            for one, other in itertools.combinations(range(len(state)), 2)
            if state[one] == state[other]
        )

    def keeps(state: list[int]) -> bool:
        return all(
            sum(shares[member] for member in range(len(state)) if state[member] == group).max() <= limit
            for group in set(state)
        )

    found = exchanged(np.array(groups), force, shares, limit, until=time.monotonic() + 5).tolist()
    assert sorted(found) == sorted(groups)
    assert keeps(found)
    assert total(found) <= total(groups) + 1e-9
    for one, other in itertools.combinations(range(len(groups)), 2):
        swapped = list(found)
        swapped[one], swapped[other] = swapped[other], swapped[one]
        if keeps(swapped):
            assert total(swapped) >= total(found) - 1e-6


def test_exchanges_stop_when_time_is_up() -> None:
    """Nothing is moved then."""
    force = np.array([[0.0, 9, 0, 0], [9, 0, 0, 0], [0, 0, 0, 9], [0, 0, 9, 0]])
    begin, shares = np.array([0, 0, 1, 1]), np.ones((4, 2))
    assert exchanged(begin, force, shares, 2.0, until=time.monotonic()).tolist() == [0, 0, 1, 1]
    moved = exchanged(begin, force, shares, 2.0, until=time.monotonic() + 5).tolist()
    assert moved[0] != moved[1]
    assert moved[2] != moved[3]
