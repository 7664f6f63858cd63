"""Programmes in whole numbers: answers tried out by hand, bounds, and silence."""

from __future__ import annotations

import math
import os
import time

import numpy as np
import pytest
from scipy.optimize import LinearConstraint

from lumsim.sheet.whole_numbers import solve_whole


def soon() -> float:
    """Return when to give up [s]."""
    return time.monotonic() + 10


def test_whole_numbers_cost_the_least_that_any_do() -> None:
    """At least 7 of what comes in packs of 3 for 4 and packs of 2 for 3: 3 + 2 + 2 for 10, as everything tried says."""
    costs, packs = np.array([4.0, 3.0]), np.array([[3.0, 2.0]])
    tried = min(
        4 * threes + 3 * twos for threes in range(5) for twos in range(5) if 3 * threes + 2 * twos >= 7
    )
    found = solve_whole(costs, [LinearConstraint(packs, 7, np.inf)], until=soon())
    assert found.numbers is not None
    assert found.numbers @ costs == tried
    assert found.bound == pytest.approx(tried, abs=1e-6)
    few = solve_whole(costs, [LinearConstraint(packs, 7, np.inf)], until=soon(), most=np.array([1, 9]))
    assert few.numbers is not None
    assert few.numbers.tolist() == [1, 2]


def test_what_nothing_solves_has_an_infinite_bound() -> None:
    """Twice a whole number is not 3."""
    found = solve_whole(np.ones(1), [LinearConstraint([[2.0]], 3, 3)], until=soon())
    assert found.numbers is None
    assert found.bound == math.inf


def test_standard_output_is_as_before_once_it_is_solved(capfd: pytest.CaptureFixture[str]) -> None:
    """What is written afterwards arrives."""
    solve_whole(np.ones(1), [LinearConstraint([[1.0]], 1, 2)], until=soon())
    os.write(1, b"after it\n")
    assert capfd.readouterr().out == "after it\n"


def test_a_process_without_standard_output_solves_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """A service may have closed it."""

    def closed(number: int) -> int:
        raise OSError(9, "closed")

    monkeypatch.setattr(os, "dup", closed)
    found = solve_whole(np.ones(1), [LinearConstraint([[1.0]], 1, 2)], until=soon())
    assert found.numbers is not None
    assert found.numbers.tolist() == [1]
