"""The light thrown back: in a box from nothing, in a known one, against the dense direct solution.

As tables by `pytest tests/benchmarks --benchmark-enable`; more of them by ``inside.py``. No time is asserted; that
both ways agree is.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pytest_benchmark.fixture import BenchmarkFixture

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.exchange import Exchange
from lumsim.light.interior import Inside
from lumsim.light.interreflection import reflectances
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from lumsim.simulation import USUAL, simulate
from lumsim.uniformity.face_map import FaceMap
from tests import cabinets
from tests.benchmarks import dense_box, layouts
from tests.benchmarks.against_dense import AGREE, mesh, without_a_matrix
from tests.benchmarks.layouts import LAYOUTS, PROMISED
from tests.light.plain_exchange import UNEVEN, dense

NAMES = ["rows, Lambertian", "unequal returns"]


@cache
def inside(patches_in_depth: int) -> Inside:
    """The box that all layouts share."""
    box = LAYOUTS[NAMES[0]].box
    return Inside(mesh_of(box.width, box.height, box.depth, patches_in_depth=patches_in_depth))


def whole_answer(cabinet: Cabinet) -> FaceMap:
    """Everything that is told of a cabinet; the map of it."""
    lit = simulate(cabinet)
    assert (lit.error.max_to_min, lit.spots.least_contrast) > (0, 0)
    return lit.luminance


@pytest.mark.parametrize("way", [layouts.from_nothing, whole_answer], ids=["light at the face", "answer"])
@pytest.mark.parametrize("name", NAMES)
def test_first_in_its_box(benchmark: BenchmarkFixture, name: str, way: object) -> None:
    """The light of a layout in a box from nothing is that of a coarser mesh, to the thousandth promised."""
    benchmark.group = f"{name}, first in its box"
    assert callable(way)
    found = benchmark(way, LAYOUTS[name])
    assert layouts.difference(found, layouts.in_known_box(LAYOUTS[name], inside(USUAL - 2))) < PROMISED


@pytest.mark.parametrize("name", NAMES)
def test_another_in_a_known_box(benchmark: BenchmarkFixture, name: str) -> None:
    """A layout in a known box has the light that it has in the same box from nothing."""
    benchmark.group = f"{name}, in a known box"
    found = benchmark(layouts.in_known_box, LAYOUTS[name], inside(USUAL))
    assert layouts.difference(found, layouts.from_nothing(LAYOUTS[name])) < 1e-12


def by_dense_solution(given: Mesh, direct: Surfaces, reflectance: Surfaces) -> Surfaces:
    """All light on each patch by the dense direct solution, from nothing [lx]."""
    return dense_box.DenseBox(given, dense_box.balance(given, reflectance)).illuminance(direct)


def by_lumsim(given: Mesh, direct: Surfaces, reflectance: Surfaces) -> Surfaces:
    """All light on each patch by lumsim, from nothing [lx]."""
    return without_a_matrix(Exchange(given), direct, reflectance)


@pytest.mark.parametrize("name", ["modules askew", "unequal returns"])
@pytest.mark.parametrize("way", [by_lumsim, by_dense_solution], ids=["lumsim", "dense"])
def test_against_the_dense_solution(benchmark: BenchmarkFixture, way: object, name: str) -> None:
    """Every patch has the same light by the balance without a matrix and by the dense direct solution."""
    given, cabinet = mesh(44 if benchmark.enabled else 12, 3), LAYOUTS[name]
    start, rho = direct_on_patches(given, cabinets.upright(cabinet)), reflectances(cabinet)
    benchmark.group = f"{given.patches} patches, {name}"
    assert callable(way)
    found = benchmark(way, given, start, rho).joined()
    assert_allclose(found, by_lumsim(given, start, rho).joined(), rtol=AGREE)
    assert_allclose(found, by_dense_solution(given, start, rho).joined(), rtol=AGREE)


def test_the_dense_box_is_the_plainest_ones() -> None:
    """The exchange by broadcasting is that of the textbook sums, pair by pair."""
    expected = dense(UNEVEN)
    found = dense_box.exchange(UNEVEN)
    assert_allclose(found, expected, rtol=1e-9, atol=1e-15)
    assert np.array_equal(found, found.T)
