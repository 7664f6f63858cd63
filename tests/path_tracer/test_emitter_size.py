"""The square that stands for a module is small enough."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.path_tracer.cases import CASES
from tests.path_tracer.emitter_size import error_by_size

Array = NDArray[np.float64]


def light(x: Array, y: Array, wall: Array, normal: Array) -> Array:
    """Light on points of a wall from a Lambertian point at (x, y, 0) facing up, up to a factor: cos θ cos β / d²."""
    v = wall - np.stack([x, y, np.zeros_like(x)], axis=-1)
    return np.asarray(v[..., 2] * -(v @ normal) / np.sum(v**2, axis=-1) ** 2, dtype=np.float64)


@pytest.mark.parametrize("wall", ["face", "return"])
def test_a_square_in_place_of_a_point_errs_no_more_than_the_bound(wall: str) -> None:
    """For a square a hundredth as wide as the wall is away, all points of it are within s²/3p², and some near that."""
    side, away, n = 0.01, 1.0, 40_000
    draw = np.random.default_rng(5)
    in_plane = draw.normal(size=n) * draw.choice([0.03, 0.3, 3.0], size=n)
    if wall == "face":
        points = np.stack([in_plane, draw.normal(size=n) * in_plane, np.full(n, away)], axis=-1)
        normal = np.array([0.0, 0.0, -1.0])
    else:
        points = np.stack([np.full(n, away), in_plane, draw.exponential(1.0, size=n)], axis=-1)
        normal = np.array([-1.0, 0.0, 0.0])
    nodes, weights = np.polynomial.legendre.leggauss(4)
    squared = sum(
        w * v / 4 * light(np.full(n, side / 2 * a), np.full(n, side / 2 * b), points, normal)
        for a, w in zip(nodes, weights, strict=True)
        for b, v in zip(nodes, weights, strict=True)
    )
    off = np.abs(squared / light(np.zeros(n), np.zeros(n), points, normal) - 1)
    bound = side**2 / (3 * away**2)
    assert off.max() < bound * 1.001
    assert off.max() > bound * 0.9


@pytest.mark.parametrize("name", CASES)
def test_the_squares_of_every_case_are_far_below_the_noise(name: str) -> None:
    """Squares in place of points move no light by more than a hundred-thousandth."""
    assert error_by_size(CASES[name].cabinet) < 1e-5
