"""The exchange inside a box: exact, closed, the same both ways, and what the plain formulas say."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.light.exchange import Exchange, parallel, perpendicular
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from tests.light.plain_exchange import UNEVEN, Axis, Patch, dense, drawn, exchanged, patches_of
from tests.published.reflected_closed_forms import opposite_rectangles, rectangles_at_right_angles

Array = NDArray[np.float64]

CLOSURE = 1e-9

AXES: tuple[Axis, ...] = ("x", "y", "z")

PROPORTIONS = [
    (1.0, 1.0, 1.0),
    (2.4, 1.2, 0.127),
    (3.0, 0.4, 0.3),
    (0.3, 2.0, 0.1),
    (0.2, 0.25, 0.9),
    (8.0, 1.0, 0.2),
]
"""width, height, depth [m]"""


def only(mesh: Mesh, name: str) -> Surfaces:
    """Let one surface send out 1 lm/m² and the others nothing."""
    dark = mesh.areas().each(np.zeros_like)
    return dark._replace(**{name: np.ones_like(getattr(dark, name))})


def shares(mesh: Mesh, name: str) -> dict[str, float]:
    """Share of what one surface sends out that arrives on each."""
    arriving = Exchange(mesh).arriving(only(mesh, name))
    area = float(getattr(mesh.areas(), name).sum())
    return {to: float(flux.sum()) / area for to, flux in arriving._asdict().items()}


@pytest.mark.parametrize("size", PROPORTIONS)
def test_a_closed_box_loses_nothing(size: tuple[float, float, float]) -> None:
    """Where all patches send out the same, each receives just that: its factors add up to 1."""
    for n in (4, 10):
        exchange = Exchange(mesh_of(*size, patches_in_depth=n))
        assert exchange.row_sum_defect() < CLOSURE


@pytest.mark.parametrize("size", PROPORTIONS)
def test_opposite_surfaces_exchange_what_the_catalogue_says(size: tuple[float, float, float]) -> None:
    """All patches of two opposite surfaces together exchange as two identical opposite rectangles do."""
    width, height, depth = size
    mesh = mesh_of(*size, patches_in_depth=6)
    from_back = opposite_rectangles(width / depth, height / depth)
    assert shares(mesh, "back")["face"] == pytest.approx(from_back, rel=1e-9)
    assert shares(mesh, "face")["back"] == pytest.approx(from_back, rel=1e-9)
    across_y = opposite_rectangles(width / height, depth / height)
    assert shares(mesh, "bottom")["top"] == pytest.approx(across_y, rel=1e-8)
    assert shares(mesh, "top")["bottom"] == pytest.approx(across_y, rel=1e-8)
    across_x = opposite_rectangles(height / width, depth / width)
    assert shares(mesh, "left")["right"] == pytest.approx(across_x, rel=1e-7)
    assert shares(mesh, "right")["left"] == pytest.approx(across_x, rel=1e-7)


@pytest.mark.parametrize("size", PROPORTIONS)
def test_adjacent_surfaces_exchange_what_the_catalogue_says(size: tuple[float, float, float]) -> None:
    """All patches of two adjacent surfaces together exchange as two rectangles at a common edge do."""
    width, height, depth = size
    mesh = mesh_of(*size, patches_in_depth=6)
    for name in ("back", "face"):
        found = shares(mesh, name)
        for to in ("bottom", "top"):
            assert found[to] == pytest.approx(
                rectangles_at_right_angles(depth / width, height / width), rel=1e-9
            )
        for to in ("left", "right"):
            assert found[to] == pytest.approx(
                rectangles_at_right_angles(depth / height, width / height), rel=1e-9
            )
    for name in ("bottom", "top"):
        found = shares(mesh, name)
        for to in ("left", "right"):
            assert found[to] == pytest.approx(
                rectangles_at_right_angles(height / depth, width / depth), rel=1e-9
            )
    for name in ("left", "right"):
        found = shares(mesh, name)
        for to in ("bottom", "top"):
            assert found[to] == pytest.approx(
                rectangles_at_right_angles(width / depth, height / depth), rel=1e-9
            )


def test_no_surface_lights_itself() -> None:
    """A flat surface sends nothing to itself."""
    mesh = mesh_of(0.5, 0.3, 0.2, patches_in_depth=4)
    for name in Surfaces._fields:
        assert shares(mesh, name)[name] == pytest.approx(0, abs=1e-15)


@pytest.mark.parametrize(
    "mesh", [UNEVEN, Mesh(width=0.4, height=0.9, depth=0.7, columns=2, rows=6, z=(0.0, 0.1, 0.6, 0.7))]
)
def test_every_pair_of_patches_is_the_plain_formula(mesh: Mesh) -> None:
    """Each patch lit alone gives the column of the dense matrix, and a drawn exitance the matrix times it."""
    matrix = dense(mesh)
    exchange = Exchange(mesh)
    columns = np.array(
        [exchange.arriving(exchange.areas.split(unit)).joined() for unit in np.eye(mesh.patches)]
    ).T
    np.testing.assert_allclose(columns, matrix, rtol=0, atol=1e-13 * mesh.width * mesh.height)
    exitance = drawn(mesh, 7)
    np.testing.assert_allclose(
        exchange.arriving(exitance).joined(), matrix @ exitance.joined(), rtol=1e-12, atol=0
    )


def test_exchange_is_the_same_both_ways() -> None:
    """What one patch sends to another at unit exitance comes back at unit exitance: A_i F_ij = A_j F_ji."""
    exchange = Exchange(mesh_of(0.31, 0.23, 0.11, patches_in_depth=4))
    units = np.eye(exchange.mesh.patches)[::61]
    for i, unit in enumerate(units):
        arriving = exchange.arriving(exchange.areas.split(unit)).joined()
        for j in range(i):
            back = exchange.arriving(exchange.areas.split(units[j])).joined()
            assert arriving[61 * j] == pytest.approx(float(back[61 * i]), rel=1e-6, abs=1e-16)


def test_nothing_arrives_that_is_less_than_nothing() -> None:
    """No patch of a long shallow box takes light away from another, beyond what rounding leaves."""
    exchange = Exchange(mesh_of(20.0, 0.5, 0.1, patches_in_depth=6))
    area = exchange.areas.joined()
    for at in (0, exchange.mesh.columns // 2, exchange.mesh.patches - 1):
        unit = np.zeros(exchange.mesh.patches)
        unit[at] = 1.0
        arriving = exchange.arriving(exchange.areas.split(unit)).joined()
        assert float((arriving / area).min()) > -1e-8


def _quadrature(one: Patch, other: Patch) -> float:
    """A_i F_ij by Gauss-Legendre points on both patches, as the double area integral stands [m²]."""
    nodes, weights = np.polynomial.legendre.leggauss(16)

    def points(patch: Patch) -> tuple[Array, Array]:
        (first, a), (second, b) = patch.spans.items()
        at = {first: a, second: b}
        grids = {axis: low + (high - low) * (nodes + 1) / 2 for axis, (low, high) in at.items()}
        u, v = np.meshgrid(grids[first], grids[second], indexing="ij")
        place = {first: u.ravel(), second: v.ravel(), patch.normal: np.full(u.size, patch.at)}
        return (
            np.stack([place["x"], place["y"], place["z"]], axis=-1),
            np.outer(weights, weights).ravel() * patch.area / 4,
        )

    (here, weigh_here), (there, weigh_there) = points(one), points(other)
    way = there[None] - here[:, None]
    r2 = np.sum(way**2, axis=-1)
    axes = "xyz"
    cosines = np.abs(way[..., axes.index(one.normal)] * way[..., axes.index(other.normal)])
    return float(weigh_here @ (cosines / (math.pi * r2**2)) @ weigh_there)


def test_the_plain_formulas_are_the_integral() -> None:
    """For pairs of patches that do not touch, A_i F_ij is the double integral of cos cos / (π r²)."""
    patches = patches_of(UNEVEN)
    draw = np.random.default_rng(3)
    tried = 0
    while tried < 150:
        one, other = (patches[i] for i in draw.integers(len(patches), size=2))
        if one.normal == other.normal and one.at == other.at:
            continue
        gap = max(_gap(one, other, axis) for axis in AXES)
        if gap < 0.05:
            continue
        assert exchanged(one, other) == pytest.approx(_quadrature(one, other), rel=1e-7, abs=0)
        tried += 1


def _gap(one: Patch, other: Patch, axis: Axis) -> float:
    """How far apart two patches lie along an axis [m]."""
    (a, b), (c, d) = (patch.spans.get(axis, (patch.at, patch.at)) for patch in (one, other))
    return float(max(c - b, a - d, 0.0))


def test_the_antiderivatives_are_differentiated_to_the_law() -> None:
    """∂⁴/∂x²∂y² of ``parallel`` is h²/(π r⁴), and ∂⁴/∂x²∂p∂q of ``perpendicular`` is p q/(π r⁴)."""
    step = 2e-2
    first = np.array([1.0, -8, 0, 8, -1]) / (12 * step)
    second = np.array([-1.0, 16, -30, 16, -1]) / (12 * step**2)
    offsets = step * np.arange(-2.0, 3.0)
    x, y, h = 0.7, -0.4, 0.9
    values = parallel(x + offsets[:, None], y + offsets, h)
    r2 = x**2 + y**2 + h**2
    assert second @ values @ second == pytest.approx(h**2 / (math.pi * r2**2), rel=1e-4)
    p, q = 0.5, 0.8
    cube = perpendicular(x + offsets[:, None, None], p + offsets[:, None], q + offsets)
    r2 = x**2 + p**2 + q**2
    assert np.einsum("abc,a,b,c", cube, second, first, first) == pytest.approx(
        p * q / (math.pi * r2**2), rel=1e-4
    )


def test_light_seen_in_a_mirror_is_exchanged_as_in_the_box() -> None:
    """Mirrored midway along the depth, what is sent out arrives as the mirror image; mirrored twice it is itself."""
    exchange = Exchange(UNEVEN)
    sent = drawn(UNEVEN, 8)
    there = exchange.arriving(sent.mirrored())
    for found, expected in zip(there, exchange.arriving(sent).mirrored(), strict=True):
        np.testing.assert_allclose(found, expected, rtol=1e-10)
    for found, expected in zip(sent.mirrored().mirrored(), sent, strict=True):
        np.testing.assert_array_equal(found, expected)
    assert sent.mirrored().back is sent.face
