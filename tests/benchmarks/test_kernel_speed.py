"""Kernels beside plain NumPy loops (`pytest tests/benchmarks --benchmark-enable`).

Each group is one table: the kernel and its rivals on the same points, 100 modules. No time is asserted; that
they agree is. ``ratios.py`` times them in turn, which is fairer on a busy machine.
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pytest_benchmark.fixture import BenchmarkFixture

from lumsim.kernels.merge_tree import component_extents, merge_tree
from tests.benchmarks.contests import Contest, contests
from tests.benchmarks.loops import Loop, Scene, scene

MODULES = 100
ENTRIES = [
    pytest.param(contest, rival, id=f"{contest.name}: {rival or 'kernel'}")
    for contest in contests()
    for rival in (None, *contest.loops)
]


def milliseconds(function: Loop, given: Scene) -> float:
    """Median of three runs."""
    times = []
    for _ in range(3):
        start = perf_counter()
        function(*given)
        times.append(perf_counter() - start)
    return 1e3 * median(times)


@pytest.mark.parametrize("points", [18_000, 300_000])
@pytest.mark.parametrize(("contest", "rival"), ENTRIES)
def test_point_sources(benchmark: BenchmarkFixture, contest: Contest, rival: str | None, points: int) -> None:
    """A kernel and the NumPy loops that do the same agree on every point."""
    given = scene(points if benchmark.enabled else points // 1000, MODULES, seed=21)
    benchmark.group = f"{contest.name}, {points} points"
    runner = contest.loops[rival] if rival else contest.kernel
    found = benchmark(runner, *given)
    assert_allclose(found, contest.kernel(*given), rtol=contest.rtol)
    assert_allclose(found, next(iter(contest.loops.values()))(*given), rtol=contest.rtol)
    if benchmark.enabled:
        ratio = milliseconds(runner, given) / milliseconds(contest.kernel, given)
        benchmark.extra_info["time / time of the kernel"] = ratio


def test_merge_tree(benchmark: BenchmarkFixture) -> None:
    """A lattice of 12 × 10 spots of unlike heights on 300 000 cells has 120 peaks, one without a saddle."""
    ny, nx = (500, 600) if benchmark.enabled else (50, 60)
    y, x = np.mgrid[0:ny, 0:nx]
    spots = np.sin(np.pi * 10 * (y + 0.5) / ny) * np.sin(np.pi * 12 * (x + 0.5) / nx)
    values = np.ravel(spots * spots * (1.0 + 0.1 * x / nx + 0.07 * y / ny))
    order = np.argsort(-values, kind="stable")
    benchmark.group = "peaks of a map"
    peaks, saddles, _ = benchmark(merge_tree, values, order, ny, nx)
    assert peaks.size == 120
    assert np.count_nonzero(saddles < 0) == 1


def test_component_extents(benchmark: BenchmarkFixture) -> None:
    """A hundred starts on a map all alight each reach over the whole of it."""
    ny, nx = (500, 600) if benchmark.enabled else (50, 60)
    values = np.random.default_rng(22).random(ny * nx)
    starts = np.random.default_rng(23).integers(0, ny * nx, 100)
    benchmark.group = "extents on a map"
    extents = benchmark(component_extents, values, starts, np.zeros(100), ny, nx)
    assert np.array_equal(extents, np.tile([0, ny - 1, 0, nx - 1], (100, 1)))
