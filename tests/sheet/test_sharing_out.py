"""Sharing out by kinds: both ways of finding loads, their bounds, and evenness, against everything tried."""

from __future__ import annotations

import time
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from lumsim.sheet import sharing_out
from lumsim.sheet.sharing_out import EVEN, SharedOut, evened, shared_out
from lumsim.sheet.supply_kind import EXACT, Circuit, SupplyKind
from tests.sheet.replay_supplies import best_of_all

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def soon() -> float:
    """Return when to give up [s]."""
    return time.monotonic() + 10


def tried_all(shares: Floats, counts: Ints) -> tuple[int, Fraction]:
    """Return fewest supplies and least greatest loading of all groupings of the circuits."""
    circuits = [
        Circuit(row=1 + place, watts=float(shares[kind, 0]), length=float(shares[kind, 1]))
        for place, kind in enumerate(np.repeat(np.arange(len(counts)), counts).tolist())
    ]
    return best_of_all(circuits, SupplyKind(watts=1.0, loading_share=1.0, longest_string=1.0))


small = st.lists(
    st.tuples(st.integers(1, 20), st.integers(0, 20), st.integers(1, 3)), min_size=1, max_size=7
).filter(lambda kinds: sum(count for *_, count in kinds) <= 7)


@given(kinds=small, written_down=st.booleans())
def test_small_demands_get_the_fewest_supplies_and_the_evenest_loads(
    kinds: list[tuple[int, int, int]], written_down: bool
) -> None:
    """By all loads and by loads made as they are called for; the bounds are below what everything tried gives."""
    shares = np.array([[watts / 20, length / 20] for watts, length, _ in kinds])
    counts = np.array([count for *_, count in kinds])
    fewest, greatest = tried_all(shares, counts)
    with pytest.MonkeyPatch.context() as patched:
        if not written_down:
            patched.setattr(sharing_out, "MOST_LOADS", 0)
        found = shared_out(shares, counts, until=soon())
        assert (found.loads.sum(axis=0) == counts).all()
        assert (found.loads @ shares <= 1 + EXACT).all()
        assert found.least <= fewest <= len(found.loads)
        loads, bound = evened(shares, counts, found.loads, until=soon())
    assert (loads.sum(axis=0) == counts).all()
    if written_down:
        assert found.least == fewest == len(found.loads)
        assert (loads @ shares).max() <= float(greatest) * (1 + EVEN) + EXACT
    if len(loads) == fewest:
        assert bound <= float(greatest) + EXACT
        assert float(greatest) <= (loads @ shares).max() + EXACT


@pytest.mark.parametrize("most", [sharing_out.MOST_LOADS, 0])
def test_the_programme_finds_what_first_fit_misses(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 20: first-fit by falling size makes 8 + 8, 7 + 7 + 5 and 5; twice 8 + 7 + 5 is two supplies, both full."""
    monkeypatch.setattr(sharing_out, "MOST_LOADS", most)
    shares, counts = np.array([[8.0, 0.0], [7.0, 0.0], [5.0, 0.0]]) / 20, np.array([2, 2, 2])
    found = shared_out(shares, counts, until=soon())
    assert found.loads.tolist() == [[1, 1, 1], [1, 1, 1]]
    assert found.least == 2


def test_a_bound_beyond_the_sums_is_proven() -> None:
    """Seven circuits of 0.51 sum to 3.57, and no two go together: seven supplies, by either way of finding loads."""
    shares, counts = np.array([[0.51, 0.1], [0.52, 0.1]]), np.array([4, 3])
    for most in (sharing_out.MOST_LOADS, 0):
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(sharing_out, "MOST_LOADS", most)
            found = shared_out(shares, counts, until=soon())
        assert (len(found.loads), found.least) == (7, 7)


def test_what_a_solver_lets_pass_is_held_to_the_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two circuits of 0.50000005 are a ten-millionth too much for one supply: they get two, without a proof."""
    monkeypatch.setattr(sharing_out, "MOST_LOADS", 0)
    shares, counts = np.array([[0.50000005, 0.0], [0.50000004, 0.0]]), np.array([1, 1])
    found = shared_out(shares, counts, until=soon())
    assert sorted(found.loads.tolist()) == [[0, 1], [1, 0]]
    assert found.least == 1


def test_a_question_without_an_answer_is_no_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing is found and nothing proven, the bound stays with the sums: 0.6 + 0.5 + 0.4 on two are 0.75."""
    shares, counts = np.array([[0.6, 0.0], [0.5, 0.0], [0.4, 0.0]]), np.array([1, 1, 1])
    begin = np.array([[1, 0, 0], [0, 1, 1]])

    def unknown(*_: object, **__: object) -> SharedOut:
        return SharedOut(loads=np.eye(3, dtype=np.int64), least=1)

    monkeypatch.setattr(sharing_out, "shared_out", unknown)
    loads, bound = evened(shares, counts, begin, until=soon())
    assert (loads @ shares).max() == pytest.approx(0.9, rel=1e-12)
    assert bound == pytest.approx(0.75, rel=1e-12)


def test_enough_is_answered_either_way() -> None:
    """Twelve thirds go into 4 of 1, and into no 4 of 0.99: which is known without the fewest."""
    shares, counts = np.array([[1 / 3, 0.0]]), np.array([12])
    assert len(shared_out(shares, counts, until=soon(), enough=4).loads) == 4
    assert shared_out(shares, counts, until=soon(), enough=4, limit=0.99).least > 4


def test_equal_circuits_are_evened_to_the_last() -> None:
    """Seven fifths on two supplies are 4 and 3, on three 3, 2 and 2; the bound is that of the greatest."""
    shares = np.array([[0.2, 0.1]])
    for supplies, sizes in ((2, [4, 3]), (3, [3, 2, 2])):
        begin = np.zeros((supplies, 1), dtype=np.int64)
        begin[:2, 0] = 5, 2
        loads, bound = evened(shares, np.array([7]), begin, until=soon())
        assert sorted(loads[:, 0].tolist(), reverse=True) == sizes
        assert bound == pytest.approx(0.2 * sizes[0], rel=EVEN)


def test_without_time_first_fit_and_the_sums_are_the_answer() -> None:
    """Nothing is solved once time is up, and what is told is true."""
    made = np.random.default_rng(5)
    shares, counts = made.uniform(0.05, 0.4, (60, 2)), np.ones(60, dtype=np.int64)
    found = shared_out(shares, counts, until=time.monotonic())
    assert (found.loads.sum(axis=0) == counts).all()
    assert (found.loads @ shares <= 1 + EXACT).all()
    assert np.ceil(shares.sum(axis=0).max()) == found.least <= len(found.loads)
