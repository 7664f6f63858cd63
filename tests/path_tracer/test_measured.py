"""The statistics that compare with a noisy measurement, on measurements of known noise."""

from __future__ import annotations

import numpy as np
import pytest

from tests.path_tracer.measured import Comparison, Measured

TRUE = 1000.0 + 40.0 * np.arange(72.0).reshape(6, 12)
"""[lx]"""


def measured(seed: int, *, batches: int = 256, noise: float = 0.03) -> Measured:
    """Draw a measurement whose batches scatter about the truth by a share of it."""
    scatter = np.random.default_rng(seed).normal(size=(batches, 6, 12))
    return Measured(batches=TRUE * (1 + noise * scatter), samples=1, seconds=10.0)


def test_standard_errors_are_those_of_the_mean_of_the_batches() -> None:
    """Noise of 3 % in each of 256 batches leaves 3/16 % in a cell, and that over √72 in the mean of cells."""
    drawn = measured(1)
    assert drawn.relative_error == pytest.approx(0.03 / 16, rel=0.02)
    spread = 0.03 / 16 * np.sqrt(np.sum(TRUE**2)) / np.sum(TRUE)
    assert drawn.mean_error / drawn.mean == pytest.approx(spread, rel=0.1)
    assert drawn.seconds_to(0.03 / 16 / 2) == pytest.approx(40.0, rel=0.04)


@pytest.mark.parametrize("batches", [8, 256])
def test_chance_alone_is_called_chance(batches: int) -> None:
    """Where computed is the truth, the probability lies below 0.2 in a fifth of all drawn measurements."""
    drawn = [
        Comparison(computed=TRUE, measured=measured(seed, batches=batches, noise=0.01)).probability
        for seed in range(300)
    ]
    assert np.mean(np.array(drawn) < 0.2) == pytest.approx(0.2, abs=3 * np.sqrt(0.2 * 0.8 / 300))


@pytest.mark.parametrize("factor", [0.995, 1.005])
def test_half_a_per_cent_is_not_called_chance(factor: float) -> None:
    """At the noise of the path tracer's test, half a per cent too much or too little everywhere stands out."""
    found = Comparison(computed=factor * TRUE, measured=measured(2))
    assert found.probability < 1e-6
    assert found.mean_difference == pytest.approx(factor - 1, abs=3 * found.mean_error)
    assert abs(found.mean_difference) > 10 * found.mean_error


def test_one_wrong_cell_is_seen() -> None:
    """A cell that is 2 % off, at a noise of 0.2 %, is the largest difference, with its sign."""
    computed = TRUE.copy()
    computed[4, 7] *= 0.98
    found = Comparison(computed=computed, measured=measured(3))
    assert found.largest == -found.differences[4, 7] > 7


def test_noise_overstated_is_improbable_too() -> None:
    """Batches that scatter more than their means differ give a chi-square improbably small."""
    drawn = measured(4)
    damped = Measured(batches=TRUE + (drawn.batches - drawn.batches.mean(axis=0)), samples=1, seconds=1.0)
    assert Comparison(computed=TRUE, measured=damped).probability < 1e-6
