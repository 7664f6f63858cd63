"""Light thrown back at points of the face: the corner formulas, the sum over patches, and what lies between."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.light.gathering import corner_parallel, corner_perpendicular
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from lumsim.photometry import face_luminance
from lumsim.simulation import simulate
from tests import cabinets
from tests.light.from_patches import gathered
from tests.light.plain_exchange import Patch, drawn, patches_of
from tests.published.closed_forms import corner_beside, corner_in_front

Array = NDArray[np.float64]

SPLINE = 2e-5
"""How far the splines may be off where all surfaces send out the same. [1]"""


def _over(rectangle: tuple[float, float], integrand: Callable[[Array, Array], Array]) -> float:
    """Integral from the origin to a corner, by 400 × 400 Gauss-Legendre points."""
    nodes, weights = np.polynomial.legendre.leggauss(400)
    u, v = ((nodes + 1) / 2 * side for side in rectangle)
    values = integrand(u[:, None], v)
    return float(weights @ values @ weights) * rectangle[0] * rectangle[1] / 4


@pytest.mark.parametrize(("X", "Y"), [(0.1, 0.1), (1.0, 1.0), (0.3, 4.0), (5.0, 0.7), (8.0, 8.0)])
def test_the_parallel_corner_factor_is_the_integral(X: float, Y: float) -> None:
    """The factor from a point to a rectangle right across is ∫ cos²β / (π r²), and what is published for it."""
    found = float(corner_parallel(np.array(X), np.array(Y)))
    by_points = _over((X, Y), lambda u, v: 1 / (math.pi * (1 + u**2 + v**2) ** 2))
    assert found == pytest.approx(by_points, rel=1e-10)
    assert found == pytest.approx(corner_in_front(X, Y), rel=1e-13)
    assert float(corner_parallel(np.array(-X), np.array(Y))) == -found
    assert float(corner_parallel(np.array(X), np.array(-Y))) == -found


@pytest.mark.parametrize(
    ("a", "b", "c"), [(0.1, 0.1, 0.2), (1.0, 1.0, 1.0), (0.15, 2.0, 0.3), (2.0, 0.1, 0.4), (0.3, 5.0, 2.0)]
)
def test_the_perpendicular_corner_factor_is_the_integral(a: float, b: float, c: float) -> None:
    """The factor from a point to an upright rectangle is ∫ cos cos / (π r²), and what is published for it."""
    found = float(corner_perpendicular(np.array(a), np.array(b), np.array(c)))
    by_points = _over((a, b), lambda u, v: u * c / (math.pi * (u**2 + v**2 + c**2) ** 2))
    assert found == pytest.approx(by_points, rel=1e-9)
    assert found == pytest.approx(corner_beside(c, b, a), rel=1e-12)
    assert float(corner_perpendicular(np.array(a), np.array(-b), np.array(c))) == -found


def test_a_point_on_the_foot_of_a_rectangle_sees_a_quarter_of_it_and_a_line_nothing() -> None:
    """At distance 0 a rectangle of any height fills a quarter, and one without height still nothing."""
    heights = np.array([0.0, 1e-6, 0.1, 3.0])
    at_foot = corner_perpendicular(heights, np.array(1.0), np.array(0.0))
    np.testing.assert_allclose(at_foot, [0, 0.25, 0.25, 0.25], rtol=0, atol=1e-15)
    nearby = corner_perpendicular(np.array([0.0, 1.0]), np.array(1.0), np.array(1e-9))
    np.testing.assert_allclose(nearby, [0, 0.25], rtol=0, atol=1e-9)


def _seen_from(patch: Patch, mesh: Mesh, x: float, y: float) -> float:
    """Factor from a point of the face to a patch, by the published corner forms [1]."""
    if patch.normal == "z":
        (x1, x2), (y1, y2), h = patch.spans["x"], patch.spans["y"], mesh.depth

        def corner(u: float, v: float) -> float:
            return math.copysign(1, u) * math.copysign(1, v) * corner_in_front(abs(u) / h, abs(v) / h)

        return (
            corner(x2 - x, y2 - y) - corner(x1 - x, y2 - y) - corner(x2 - x, y1 - y) + corner(x1 - x, y1 - y)
        )
    distance, along, here = (
        (abs(patch.at - y), patch.spans["x"], x)
        if patch.normal == "y"
        else (abs(patch.at - x), patch.spans["y"], y)
    )
    low, high = (mesh.depth - end for end in reversed(patch.spans["z"]))

    def upright(b: float, a: float) -> float:
        return math.copysign(1, b) * corner_beside(distance, abs(b), a) if a > 0 else 0.0

    b1, b2 = (end - here for end in along)
    return upright(b2, high) - upright(b1, high) - upright(b2, low) + upright(b1, low)


def naive(mesh: Mesh, exitance: Surfaces, x: float, y: float) -> float:
    """Illuminance at a point of the face, patch by patch [lx]."""
    face = slice(mesh.columns * mesh.rows, 2 * mesh.columns * mesh.rows)
    strengths = exitance.joined()
    strengths[face] = 0
    return math.fsum(
        strength * _seen_from(patch, mesh, x, y)
        for strength, patch in zip(strengths, patches_of(mesh), strict=True)
        if strength
    )


def smooth(mesh: Mesh) -> Surfaces:
    """Exitance that varies over the depth and no faster, as thrown back light does."""
    x, y, z = (
        (edges[1:] + edges[:-1]) / 2 / mesh.depth
        for edges in (mesh.edges_x, mesh.edges_y, np.asarray(mesh.z))
    )
    back = 2 + np.cos(x) * np.sin(1 + y[:, None])
    return Surfaces(
        back,
        np.full_like(back, 5.0),
        1.5 + np.sin(x) * np.cos(z[:, None]),
        1.2 + 0.5 * np.cos(x + z[:, None]),
        1.7 + np.cos(y) * z[:, None] / 2,
        1.1 + np.sin(2 * y) / 2 - z[:, None] / 3,
    )


def test_at_the_gathered_points_the_light_is_the_sum_over_patches() -> None:
    """At half steps of the mesh, a patch and more from the returns, E is Σ M F by the corner forms."""
    mesh = mesh_of(0.5, 0.4, 0.15, patches_in_depth=5)
    exitance = smooth(mesh)
    light = gathered(mesh, exitance)
    draw = np.random.default_rng(31)
    for i, j in zip(
        draw.integers(2, 2 * mesh.columns - 1, 12), draw.integers(2, 2 * mesh.rows - 1, 12), strict=True
    ):
        x, y = i * mesh.step_x / 2, j * mesh.step_y / 2
        found = float(light.illuminance(np.array([x]), np.array([y]))[0])
        assert found == pytest.approx(naive(mesh, exitance, x, y), rel=2e-5)


@pytest.mark.parametrize("seed", [32, 33])
def test_between_them_too(seed: int) -> None:
    """Anywhere from a patch off the returns inwards, E is Σ M F as well."""
    mesh = mesh_of(0.5, 0.4, 0.15, patches_in_depth=5)
    exitance = smooth(mesh)
    light = gathered(mesh, exitance)
    draw = np.random.default_rng(seed)
    step = max(mesh.step_x, mesh.step_y)
    for x, y in draw.uniform([step, step], [0.5 - step, 0.4 - step], (12, 2)):
        found = float(light.illuminance(np.array([x]), np.array([y]))[0])
        assert found == pytest.approx(naive(mesh, exitance, float(x), float(y)), rel=2e-5)


def _everywhere(mesh: Mesh) -> tuple[Array, Array]:
    """Points all over the face, crowded at edges and corners, which are among them."""
    near = np.concatenate([[0.0], np.geomspace(1e-6, 0.3, 22)])
    x, y = (
        np.unique(
            np.clip(np.concatenate([near * size, size - near * size, np.linspace(0, size, 31)]), 0, size)
        )
        for size in (mesh.width, mesh.height)
    )
    return x, y


@pytest.mark.parametrize("size", [(1.2, 0.6, 0.15), (0.2, 0.2, 0.2), (2.4, 1.2, 0.127), (3.0, 0.4, 0.3)])
def test_even_surroundings_light_the_face_evenly(size: tuple[float, float, float]) -> None:
    """Where back and returns all send out 1 lm/m², every point of the face gets 1 lx, corners included."""
    mesh = mesh_of(*size, patches_in_depth=10)
    light = gathered(mesh, mesh.areas().each(np.ones_like))
    E = light.on_grid(*_everywhere(mesh))
    np.testing.assert_allclose(E, 1, rtol=0, atol=SPLINE)


@pytest.mark.parametrize(("size", "n"), [((1.2, 0.6, 0.15), 8), ((0.3, 0.3, 1.5), 8), ((0.3, 0.3, 20.0), 5)])
def test_each_surface_lights_the_face_as_the_corner_forms_say(
    size: tuple[float, float, float], n: int
) -> None:
    """Each surface alone at 1 lm/m² gives at any point of the face the sum of its four corner factors."""
    mesh = mesh_of(*size, patches_in_depth=n)
    width, height, depth = size
    dark = mesh.areas().each(np.zeros_like)
    x, y = (np.array([0.003, 0.21, 0.5, 0.777, 0.995]) * side for side in (width, height))
    at_x, at_y = np.meshgrid(x, y)

    def upright(distance: Array, along: Array, length: float) -> Array:
        return corner_perpendicular(np.array(depth), length - along, distance) + corner_perpendicular(
            np.array(depth), along, distance
        )

    def across(u: Array, v: Array) -> Array:
        return corner_parallel(u / depth, v / depth)

    expected = {
        "back": across(at_x, at_y)
        + across(width - at_x, at_y)
        + across(at_x, height - at_y)
        + across(width - at_x, height - at_y),
        "bottom": upright(at_y, at_x, width),
        "top": upright(height - at_y, at_x, width),
        "left": upright(at_x, at_y, height),
        "right": upright(width - at_x, at_y, height),
        "face": np.zeros(at_x.shape),
    }
    for name, values in expected.items():
        lit = dark._replace(**{name: np.ones_like(getattr(dark, name))})
        found = gathered(mesh, lit).on_grid(x, y)
        np.testing.assert_allclose(found, values, rtol=0, atol=SPLINE, err_msg=name)


def test_points_one_by_one_and_on_a_grid_are_the_same() -> None:
    """Illuminance at points is what the grid through them gives, in their shape."""
    mesh = mesh_of(0.5, 0.4, 0.15, patches_in_depth=5)
    light = gathered(mesh, drawn(mesh, 34))
    x, y = np.linspace(0, 0.5, 41), np.linspace(0, 0.4, 33)
    grid = light.on_grid(x, y)
    assert grid.shape == (33, 41)
    np.testing.assert_allclose(light.illuminance(*np.meshgrid(x, y)), grid, rtol=1e-12, atol=1e-12)


def test_a_finer_mesh_comes_nearer_by_the_square_of_its_step() -> None:
    """Halving the patches takes the error from a smooth exitance to about a quarter, away from the returns."""
    draw = np.random.default_rng(35)
    x, y = draw.uniform([0.05, 0.05], [0.95, 0.75], (200, 2)).T

    def found(patches_in_depth: int) -> Array:
        mesh = mesh_of(1.0, 0.8, 0.15, patches_in_depth=patches_in_depth)
        return gathered(mesh, smooth(mesh)).illuminance(x, y)

    best = found(30)
    errors = [float(np.abs(found(n) - best).max()) for n in (5, 10, 20)]
    assert errors[0] < 2e-2
    assert errors[1] < errors[0] / 3
    assert errors[2] < errors[1] / 3


def test_no_exitance_is_no_light() -> None:
    """Where nothing is thrown back, nothing arrives."""
    mesh = mesh_of(0.5, 0.4, 0.15, patches_in_depth=5)
    light = gathered(mesh, mesh.areas().each(np.zeros_like))
    assert not light.on_grid(np.linspace(0, 0.5, 9), np.linspace(0, 0.4, 9)).any()


@pytest.mark.parametrize("size", [(0.6, 0.6, 0.6), (2.4, 1.2, 0.127), (0.9, 0.6, 0.15)])
def test_the_mean_over_the_face_is_the_flux_on_its_patches(size: tuple[float, float, float]) -> None:
    """The light gathered at points, averaged over the whole face, is what the balance brought there, to 1e-4."""
    lit = simulate(cabinets.in_rows(*size, rows=3, modules=5))
    by_patches = face_luminance(lit.front.arriving / (size[0] * size[1]), 0.4)
    assert lit.evenness.mean == pytest.approx(by_patches, rel=1e-4)


@pytest.mark.parametrize("left", [0.85, 0.5])
def test_on_a_grid_what_is_copied_is_what_is_there(left: float) -> None:
    """What a grid copies from its mirror image is what each point by itself gets, beside a dull return too."""
    built = cabinets.in_rows(0.6, 0.4, 0.12, rows=3, modules=4)
    built = replace(built, box=replace(built.box, left_return_reflectance=left))
    reflected = simulate(built).front.reflected
    assert reflected is not None
    width, height = built.box.width, built.box.height
    for x, y in (
        (np.linspace(0, width, 17), np.linspace(0, height, 12)),
        (np.linspace(0.01, width, 17), np.linspace(0.02, height - 0.02, 12)),
    ):
        at_points = reflected.illuminance(*np.meshgrid(x, y))
        np.testing.assert_allclose(reflected.on_grid(x, y), at_points, rtol=1e-9)
