"""Every kernel against its naive twin, and the power table against arithmetic of many digits."""

from __future__ import annotations

import mpmath
import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from numpy.typing import NDArray

from lumsim.kernels import merge_tree as tree
from lumsim.kernels import past_edges
from lumsim.kernels import point_sources as kernels
from tests.kernels import naive

Vector = NDArray[np.float64]
Indices = NDArray[np.int64]
Scene = tuple[Vector, Vector, Vector, Vector, Vector, Vector]

# No points, no modules, one, odd and even numbers of modules, blocks of 256 points: whole, begun, several.
SHAPES = [(0, 0), (0, 3), (3, 0), (1, 1), (1, 2), (5, 1), (256, 3), (257, 4), (600, 5)]
MAPS = [(1, 1), (1, 9), (9, 1), (2, 2), (2, 7), (5, 6), (8, 7)]


def scene(points: int, modules: int, *, seed: int) -> Scene:
    """Draw points of a face of 2.4 m × 1.2 m and modules of several throws behind it."""
    draw = np.random.default_rng(seed)
    return (
        draw.uniform(0.0, 2.4, points),
        draw.uniform(0.0, 1.2, points),
        draw.uniform(0.0, 2.4, modules),
        draw.uniform(0.0, 1.2, modules),
        draw.uniform(0.05, 0.3, modules),
        draw.uniform(100.0, 2000.0, modules),
    )


def radial_scene(cosine_squared: Vector) -> Scene:
    """Put a module of c = 1 lx 1 m over the origin, and points on the x axis that see it at these angles."""
    one, nought = np.ones(1), np.zeros(1)
    return np.sqrt(1.0 / cosine_squared - 1.0), np.zeros_like(cosine_squared), nought, nought, one, one


def falling(values: Vector) -> Indices:
    """Sort from high to low, ties in the order of the index, as ``merge_tree`` wants it."""
    return np.argsort(-values, kind="stable")


def found_peaks(values: Vector, ny: int, nx: int) -> list[tuple[int, int, int]]:
    """Call ``merge_tree`` and return what it finds in the form of its naive twin."""
    peaks, saddles, parents = tree.merge_tree(values, falling(values), ny, nx)
    return [
        (int(peak), int(saddle), int(peaks[parent]) if parent >= 0 else -1)
        for peak, saddle, parent in zip(peaks, saddles, parents, strict=True)
    ]


@pytest.mark.parametrize(("points", "modules"), SHAPES)
def test_lambertian(points: int, modules: int) -> None:
    """Lambertian modules light any number of points as the plain double loop does."""
    given = scene(points, modules, seed=11)
    assert_allclose(kernels.lambertian(*given), naive.illuminance(*given, q=2.0), rtol=1e-14)


@pytest.mark.parametrize(("points", "modules"), SHAPES)
@pytest.mark.parametrize("m", [0.0, 1.0, 2.0, 14.0, 15.0])
def test_roots_at_any_shape(points: int, modules: int, m: float) -> None:
    """Powers by roots hold for any number of points and modules, in each of the ways they are taken."""
    given = scene(points, modules, seed=12)
    expected = naive.illuminance(*given, q=(m + 3.0) / 2.0)
    assert_allclose(kernels.cosine_power_by_roots(*given, round(m + 3.0)), expected, rtol=5e-14)


@pytest.mark.parametrize("halves", [*range(20), 31, 32, 43, 103])
def test_roots_at_any_power(halves: int) -> None:
    """Every whole number of halves is a power by roots, u⁰ and those below m = 0 included."""
    given = scene(40, 3, seed=13)
    expected = naive.illuminance(*given, q=halves / 2.0)
    assert_allclose(kernels.cosine_power_by_roots(*given, halves), expected, rtol=5e-14)


@pytest.mark.parametrize("halves", [1001, 1002, 1003])
def test_roots_of_a_needle_beam_fall_to_nought(halves: int) -> None:
    """At m of 1000 the light far off the axis is too small for a double and is 0, on the axis it is c."""
    u = np.array([1.0, 0.9999, 0.99, 0.6, 1e-3, 1e-12])
    given = radial_scene(u)
    expected = naive.illuminance(*given, q=halves / 2.0)
    found = kernels.cosine_power_by_roots(*given, halves)
    assert_allclose(found, expected, rtol=1e-12, atol=1e-300)
    assert found[0] == 1.0
    assert_array_equal(found[-2:], 0.0)


@pytest.mark.parametrize(("points", "modules"), SHAPES)
@pytest.mark.parametrize("m", [0.8046, 2.37, 29.1])
def test_table_at_any_shape(points: int, modules: int, m: float) -> None:
    """Powers by table hold to 1e-10 for any number of points and modules."""
    given = scene(points, modules, seed=14)
    q = (m + 3.0) / 2.0
    found = kernels.cosine_power_by_table(*given, *kernels.power_table(q))
    assert_allclose(found, naive.illuminance(*given, q=q), rtol=1.1e-10)


@pytest.mark.parametrize("q", [0.3, 1.5, 1.9023, 2.0, 3.7, 15.2, 24.9, 50.3, 101.5, 501.5])
def test_table_over_the_whole_range_of_angles(q: float) -> None:
    """The table keeps its relative error of 1e-10 from the axis down to cos²θ = 1e-15, at any power."""
    given = radial_scene(np.geomspace(1.0, 1e-15, 61))
    found = kernels.cosine_power_by_table(*given, *kernels.power_table(q))
    with mpmath.workdps(40):
        expected = [float((1 + mpmath.mpf(float(x)) ** 2) ** -mpmath.mpf(q)) for x in given[0]]
    assert_allclose(found, expected, rtol=1.1e-10, atol=1e-300)


@pytest.mark.parametrize(("q", "rtol"), [(1.9023, 1e-14), (2.685, 1e-14), (3.9, 2e-14), (50.3, 1.1e-10)])
def test_table_within_and_between_cells(q: float, rtol: float) -> None:
    """The error stays as small at the edges of the table's cells as in their middles."""
    s = 1.0 + np.concatenate([np.arange(1025) / 1024.0, np.arange(1, 1025) / 1024.0 - 2.0**-50])
    given = radial_scene(1.0 / s)
    found = kernels.cosine_power_by_table(*given, *kernels.power_table(q))
    with mpmath.workdps(40):
        expected = [float((1 + mpmath.mpf(float(x)) ** 2) ** -mpmath.mpf(q)) for x in given[0]]
    assert_allclose(found, expected, rtol=rtol)


def test_table_beyond_its_end_is_nought() -> None:
    """Past the last octave of the table, and where a point is no number, the light is 0."""
    _, y, sx, sy, h, c = radial_scene(np.ones(4))
    x = np.array([0.0, 1e10, 1e150, np.nan])
    found = kernels.cosine_power_by_table(x, y, sx, sy, h, c, *kernels.power_table(1.9))
    assert found[0] == pytest.approx(1.0, rel=1e-14)
    assert_array_equal(found[1:], 0.0)


def test_past_edges() -> None:
    """Flux past the edges is the closed form one by one, also where modules are above some of the heights."""
    draw = np.random.default_rng(19)
    for modules, heights, places in ((0, 3, 4), (1, 1, 1), (7, 5, 11)):
        given = (
            draw.uniform(1e-3, 1.0, modules),
            draw.uniform(0.0, 2.4, modules),
            draw.uniform(0.0, 0.06, modules),
            draw.uniform(10.0, 200.0, modules),
            np.linspace(0.0, 0.127, heights),
            np.linspace(0.0, 2.4, places),
        )
        assert_allclose(
            past_edges.lambertian_past_edges(*given), naive.past_edges(*given), rtol=1e-12, atol=1e-14
        )


@pytest.mark.parametrize("m", [0.0, 0.8048, 1.0, 2.0, 7.7, 60.0])
def test_past_edges_of_any_power(m: float) -> None:
    """Flux past the edges is the integral by quadrature, for modules far from a return, near it and almost on it."""
    draw = np.random.default_rng(20)
    given = (
        np.array([0.3, 0.05, 2e-3, 1e-4]),
        draw.uniform(0.1, 0.9, 4),
        np.array([0.0, 0.01, 0.0, 0.03]),
        draw.uniform(10.0, 200.0, 4),
        np.array([0.005, 0.0301, 0.12]),
        np.linspace(0.0, 1.0, 9),
    )
    found = past_edges.cosine_power_past_edges(*given, m)
    assert_allclose(found, naive.cosine_power_past_edges(*given, m), rtol=0, atol=1e-8 * given[3].sum())


def test_locked_arrays_are_taken() -> None:
    """Arrays that may not be written to, such as fields of frozen things, are as good as any."""
    given = scene(3, 2, seed=15)
    values, starts = np.arange(4.0), np.array([3])
    order = falling(values)
    for array in (*given, values, order, starts):
        array.flags.writeable = False
    assert_allclose(kernels.lambertian(*given), naive.illuminance(*given, q=2.0), rtol=1e-14)
    assert_array_equal(tree.merge_tree(values, order, 2, 2)[0], [3])
    assert_array_equal(tree.component_extents(values, starts, values[:1], 2, 2), [[0, 1, 0, 1]])


@pytest.mark.parametrize(("ny", "nx"), MAPS)
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("levels", [2, 4, 10, 1000])
def test_merge_tree(ny: int, nx: int, seed: int, levels: int) -> None:
    """Peaks, key saddles and parents are those of falling water, on plateaus, with ties and without."""
    values = np.random.default_rng(seed).integers(0, levels, ny * nx).astype(np.float64)
    assert found_peaks(values, ny, nx) == naive.merge_tree(values, ny, nx)


@pytest.mark.parametrize(("ny", "nx"), [(0, 0), (0, 5), (5, 0)])
def test_merge_tree_of_no_cells(ny: int, nx: int) -> None:
    """A map without cells has no peaks."""
    assert found_peaks(np.empty(0), ny, nx) == []


@pytest.mark.parametrize(("ny", "nx"), MAPS)
def test_a_constant_map_has_one_peak(ny: int, nx: int) -> None:
    """A perfectly flat map is one plateau: one peak, at its first cell, without a saddle."""
    assert found_peaks(np.full(ny * nx, 7.0), ny, nx) == [(0, -1, -1)]


def test_peaks_of_a_profile_by_hand() -> None:
    """In 3 1 5 2 4 0 4 the fives rule, the fours join at 2 and 0, and the three joins at 1."""
    values = np.array([3.0, 1.0, 5.0, 2.0, 4.0, 0.0, 4.0])
    assert found_peaks(values, 1, 7) == [(2, -1, -1), (4, 3, 2), (6, 5, 2), (0, 1, 2)]


def test_of_two_equal_peaks_the_first_is_the_higher() -> None:
    """Two peaks of one height are parent and child in the order of their cells."""
    assert found_peaks(np.array([4.0, 1.0, 4.0]), 1, 3) == [(0, -1, -1), (2, 1, 0)]


def test_cells_touch_at_their_corners() -> None:
    """A ridge along a diagonal is one peak."""
    assert found_peaks(np.eye(5).ravel() * np.arange(1.0, 6.0).repeat(5), 5, 5) == [(24, -1, -1)]


@pytest.mark.parametrize(("ny", "nx"), [(7, 9), (7, 8), (6, 9), (6, 8)])
def test_as_many_peaks_as_a_map_can_hold(ny: int, nx: int) -> None:
    """A peak in every second cell of every second row, corners of the map included, is found."""
    peaked = np.zeros((ny, nx))
    peaked[::2, ::2] = np.arange(1.0, 1.0 + peaked[::2, ::2].size).reshape(peaked[::2, ::2].shape)
    values = peaked.ravel()
    found = found_peaks(values, ny, nx)
    assert len(found) == ((ny + 1) // 2) * ((nx + 1) // 2)
    assert found == naive.merge_tree(values, ny, nx)


@pytest.mark.parametrize(("ny", "nx"), MAPS)
@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("levels", [2, 3, 10])
def test_component_extents(ny: int, nx: int, seed: int, levels: int) -> None:
    """A lit part reaches as far as a flood from its start, at every level and from every cell."""
    values = np.random.default_rng(seed).integers(0, levels, ny * nx).astype(np.float64)
    starts = np.tile(np.arange(ny * nx), levels)
    heights = np.repeat(np.arange(levels, dtype=np.float64), ny * nx)
    expected = [
        naive.component_extent(values, int(start), float(level), ny, nx)
        for start, level in zip(starts, heights, strict=True)
    ]
    assert_array_equal(tree.component_extents(values, starts, heights, ny, nx), expected)
    assert tree.component_extent(values, 0, 1.0, ny, nx) == naive.component_extent(values, 0, 1.0, ny, nx)


def test_a_winding_part_is_followed_to_its_end() -> None:
    """A spiral one cell wide is one part, as wide and high as the map, while its gap is another."""
    spiral = np.array(
        [
            [1, 1, 1, 1, 1, 1, 1],
            [0, 0, 0, 0, 0, 0, 1],
            [1, 1, 1, 1, 1, 0, 1],
            [1, 0, 0, 0, 1, 0, 1],
            [1, 0, 1, 1, 1, 0, 1],
            [1, 0, 0, 0, 0, 0, 1],
            [1, 1, 1, 1, 1, 1, 1],
        ]
    )
    values = spiral.astype(np.float64).ravel()
    assert tree.component_extent(values, 4 * 7 + 2, 1.0, 7, 7) == (0, 6, 0, 6)
    assert tree.component_extent(-values, 7, 0.0, 7, 7) == (1, 5, 0, 5)


def test_no_starts_no_extents() -> None:
    """Without starts the answer is empty, and still has four columns."""
    nothing = np.empty(0, dtype=np.int64)
    assert tree.component_extents(np.ones(4), nothing, np.empty(0), 2, 2).shape == (0, 4)
