"""Scanning a number along a length finds its least and its first crossing, whatever basins and islands there are."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.search.scanning import crossing, first_met, first_settled, least

SAMPLES = [float(x) for x in np.linspace(1, 2, 13)]


def two_basins(x: float) -> float:
    """Two basins: the lower 0.98 deep at 1.823, the other 1.1 at 1.302."""
    return 1.3 - 0.2 * math.exp(-(((x - 1.302) / 0.08) ** 2)) - 0.32 * math.exp(-(((x - 1.823) / 0.05) ** 2))


def test_the_least_lies_in_the_deeper_of_two_basins() -> None:
    """Both are minimised; the deeper one, which no sample marks as such, is the answer, to its tolerance."""
    assert least(two_basins, SAMPLES, tolerance=1e-7) == pytest.approx(1.823, abs=1e-5)


def test_at_an_end_of_the_range_the_least_may_lie_too() -> None:
    """A number that falls all the way is least at the last sample, and of equals the first is told."""
    assert least(lambda x: 3 - x, SAMPLES, tolerance=1e-7) == pytest.approx(2, abs=1e-6)
    assert least(lambda _: 1.2, SAMPLES, tolerance=1e-7) == 1


@pytest.mark.parametrize(("order", "edge"), [(1, 1.55 - 0.03), (-1, 1.55 + 0.03)])
def test_an_island_between_samples_is_entered_from_either_side(order: int, edge: float) -> None:
    """A feasible island of 0.06 between infeasible stretches: risen to from below, come down to from above."""

    def island(x: float) -> float:
        return 1 + 2 * (abs(x - 1.55) - 0.03)

    found = first_met(island, SAMPLES[::order], tolerance=1e-7)
    assert found == pytest.approx(edge, abs=1e-6)
    assert found is not None
    assert island(found) <= 1


def test_an_island_narrower_than_the_samples_is_found() -> None:
    """Feasible over a thousandth of the range, midway between two samples: minimised, for the samples come near."""

    def sliver(x: float) -> float:
        return 1 + 3 * (x - 1.54) ** 2 - 3 * 0.0005**2

    found = first_met(sliver, SAMPLES, tolerance=1e-7)
    assert found is not None
    assert abs(found - 1.54) <= 0.0005 + 1e-6
    assert sliver(found) <= 1


def test_nothing_is_found_where_nothing_meets_the_limit() -> None:
    """A basin that ends a hair above the limit is not met, and a higher limit is met by it."""

    def basin(x: float) -> float:
        return 1.0005 + (x - 1.4) ** 2

    assert first_met(basin, SAMPLES, tolerance=1e-7) is None
    assert first_met(basin, SAMPLES, tolerance=1e-7, limit=1.001) == pytest.approx(
        1.4 - math.sqrt(0.0005), abs=1e-5
    )


def test_stretches_far_above_the_limit_are_passed_over() -> None:
    """Where two wide samples are both at more than twice the limit what lies between is not asked for."""
    asked: list[float] = []

    def far(x: float) -> float:
        asked.append(x)
        return 5.0

    assert first_met(far, SAMPLES, tolerance=1e-7) is None
    assert set(asked) == {SAMPLES[i] for i in (0, 4, 8, 12)}


@pytest.mark.parametrize("off", [-8e-4, 0.0, 8e-4])
@pytest.mark.parametrize("order", [1, -1])
def test_what_quick_looks_find_is_settled_by_close_ones(off: float, order: int) -> None:
    """Quick looks may be off by as much as is told: the answer is the close number's own crossing."""

    def close(x: float) -> float:
        return 1 + 0.9 * (abs(x - 1.5) - 0.21)

    found = first_settled(lambda x: close(x) + off, close, SAMPLES[::order], tolerance=1e-7, coarse=1e-3)
    assert found is not None
    assert close(found) <= 1
    assert found == pytest.approx(1.5 - order * 0.21, abs=2e-3 if off > 0 else 1e-5)


def test_an_island_that_only_quick_looks_see_leads_on_to_the_next() -> None:
    """The first island fails when looked at closely, and the next one is the answer."""

    def quick(x: float) -> float:
        return 1 + min(abs(x - 1.2) - 0.0008, abs(x - 1.7) - 0.04)

    def close(x: float) -> float:
        return 1 + min(abs(x - 1.2) + 0.0004, abs(x - 1.7) - 0.04)

    found = first_settled(quick, close, SAMPLES, tolerance=1e-7, coarse=1e-3)
    assert found == pytest.approx(1.66, abs=1e-5)


@given(st.floats(1.01, 1.99), st.booleans())
def test_a_crossing_is_told_on_its_feasible_side(at: float, rising: bool) -> None:
    """Whatever side the root finder stops on, the length told meets the limit and lies within some tolerances."""
    slope: Callable[[float], float] = (lambda x: 1 + x - at) if rising else (lambda x: 1 - x + at)
    found = crossing(slope, 1.0 if rising else 2.0, 2.0 if rising else 1.0, tolerance=1e-6)
    assert slope(found) <= 1
    assert abs(found - at) <= 1.2e-5
