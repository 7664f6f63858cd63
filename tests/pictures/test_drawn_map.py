"""The map's pixels: neither too few nor too many, and the light that is there."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.pictures.drawn_map import FINEST, SMOOTH, DrawnMap, fewer_samples, more_samples
from lumsim.uniformity.face_map import FaceMap

Array = NDArray[np.float64]


def sampled(at: Callable[[Array, Array], Array], nx: int, ny: int) -> FaceMap:
    """Sample light over 1.2 by 0.6 m."""
    x, y = np.linspace(0, 1.2, nx), np.linspace(0, 0.6, ny)
    return FaceMap(x=x, y=y, values=at(*np.meshgrid(x, y)), at=at, detail=0.1)


def disc(x: Array, y: Array) -> Array:
    """Light a disc of 0.2 m in the middle twice as much as all around. [cd/m²]"""
    return np.where(np.hypot(x - 0.6, y - 0.3) < 0.2, 200.0, 100.0)


def hill(x: Array, y: Array) -> Array:
    """Light the middle most, and smoothly less towards the edges. [cd/m²]"""
    return np.asarray(100 + 100 * np.exp(-((x - 0.6) ** 2 + (y - 0.3) ** 2) / 0.08))


def test_fewer_samples_keep_edges_and_straight_lines() -> None:
    """Thinning leaves a plane a plane from edge to edge, and a map that is small enough as it is."""
    y, x = np.meshgrid(np.linspace(0, 1, 301), np.linspace(0, 1, 700), indexing="ij")
    thinned = fewer_samples(2 * x - 3 * y, 250)
    y, x = np.meshgrid(np.linspace(0, 1, 250), np.linspace(0, 1, 250), indexing="ij")
    np.testing.assert_allclose(thinned, 2 * x - 3 * y, atol=1e-12)
    np.testing.assert_array_equal(fewer_samples(thinned, 250), thinned)


def test_more_samples_follow_a_quintic() -> None:
    """A polynomial of fifth degree in each direction comes out of the smoothing unchanged."""

    def polynomial(n: int) -> NDArray[np.float64]:
        y, x = np.meshgrid(np.linspace(-1, 1, n), np.linspace(-1, 1, n), indexing="ij")
        return np.asarray(x**5 - 2 * x**2 * y**3 + y)

    np.testing.assert_allclose(more_samples(polynomial(15), 80), polynomial(80), atol=1e-12)


def test_drawn_grids_are_neither_coarse_nor_huge() -> None:
    """Whatever the face's own grid, smooth light is drawn with between 400 and 1500 samples along each side."""
    drawn = DrawnMap.of(sampled(hill, 2401, 41), "mm", sources=1)
    assert drawn.values.shape == (SMOOTH, FINEST)


def test_a_step_of_the_light_stays_a_step() -> None:
    """Where a beam ends in a step no sample is drawn between its two sides or beyond them, as a spline's would be."""
    drawn = DrawnMap.of(sampled(disc, 121, 61), "mm", sources=36)
    np.testing.assert_array_equal(np.unique(drawn.values), [100.0, 200.0])
    np.testing.assert_array_equal(
        drawn.values, disc(*(places / 1000 for places in np.meshgrid(drawn.x, drawn.y)))
    )
    assert drawn.values.shape == (FINEST // 2, FINEST)


def test_smooth_light_is_not_computed_anew() -> None:
    """Of smooth light only a few points are asked for, to see that it is smooth."""
    asked = []

    def counted(x: Array, y: Array) -> Array:
        asked.append(x.size)
        return hill(x, y)

    face = sampled(hill, 121, 61)
    drawn = DrawnMap.of(
        FaceMap(x=face.x, y=face.y, values=face.values, at=counted, detail=face.detail), "mm", sources=36
    )
    assert sum(asked) <= 2500
    np.testing.assert_allclose(
        drawn.values, hill(*(places / 1000 for places in np.meshgrid(drawn.x, drawn.y))), rtol=1e-4
    )


@pytest.mark.parametrize("sources", [10_000, 10**7])
def test_light_of_very_many_modules_is_not_computed_anew(sources: int) -> None:
    """With so many modules that it would take minutes, the samples that there are must do."""
    drawn = DrawnMap.of(sampled(disc, 121, 61), "mm", sources=sources)
    assert drawn.values.shape == (SMOOTH, SMOOTH)
