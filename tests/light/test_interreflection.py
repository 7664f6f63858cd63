"""The radiosity balance: what it must do whatever the numbers are."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.box import Box
from lumsim.light.exchange import Exchange
from lumsim.light.interreflection import Interreflection, interreflect, reflectances
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from tests import cabinets
from tests.light.plain_exchange import UNEVEN, dense, drawn
from tests.light.seen_in_mirrors import mirrored_in_x, mirrored_in_y

Array = NDArray[np.float64]

SOLVED = 1e-7
"""The balance is solved to 1e-8 of the direct light. [1]"""

BALANCE = 1e-6


def rho(back: float, face: float, bottom: float, top: float, left: float, right: float) -> Surfaces:
    """Reflectances of the six surfaces."""
    return Surfaces(*(np.asarray(value) for value in (back, face, bottom, top, left, right)))


WHITE = rho(0.85, 0.4, 0.85, 0.85, 0.85, 0.85)
UNLIKE = rho(0.9, 0.3, 0.9, 0.2, 0.6, 0.85)


def exchange_of(width: float = 0.7, height: float = 0.4, depth: float = 0.12, *, n: int = 6) -> Exchange:
    """Compute the exchange of a box."""
    return Exchange(mesh_of(width, height, depth, patches_in_depth=n))


def from_modules(exchange: Exchange, *places: tuple[float, float], lumens: float = 100.0) -> Surfaces:
    """Direct light of modules on the back."""
    mesh = exchange.mesh
    cabinet = cabinets.listed(mesh.width, mesh.height, mesh.depth, places, lumens=lumens)
    return direct_on_patches(mesh, cabinets.upright(cabinet))


def total(exchange: Exchange, density: Surfaces) -> float:
    """Flux on all patches [lm]."""
    return float(exchange.areas.joined() @ density.joined())


@pytest.mark.parametrize("reflectance", [0.1, 0.5, 0.95])
def test_a_furnace_all_of_one_reflectance_glows_evenly(reflectance: float) -> None:
    """Where all walls reflect ρ and get 1 − ρ straight, all get 1, at any patch of a box of any shape."""
    for size in ((0.7, 0.4, 0.12), (0.2, 0.2, 0.2), (2.0, 0.2, 0.3)):
        exchange = exchange_of(*size)
        direct = exchange.areas.each(lambda area: np.full(area.shape, 1 - reflectance))
        balanced = interreflect(exchange, direct, Surfaces(*(np.asarray(reflectance) for _ in range(6))))
        np.testing.assert_allclose(balanced.illuminance.joined(), 1, rtol=0, atol=SOLVED)


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_the_white_furnace(seed: int) -> None:
    """Where every wall glows by 1 − ρ of itself and reflects ρ, each sends out 1: light is even all through."""
    draw = np.random.default_rng(seed)
    reflectance = rho(*draw.uniform(0.1, 0.95, 6))
    width, height, depth = (float(one) for one in draw.uniform([0.2, 0.2, 0.1], [1.0, 1.0, 0.3]))
    exchange = exchange_of(width, height, depth)
    glow = exchange.areas.each(lambda area, one: np.full(area.shape, 1 - float(one)), reflectance)
    direct = exchange.arriving(glow).each(np.divide, exchange.areas)
    balanced = interreflect(exchange, direct, reflectance)
    sent = balanced.exitance.each(np.add, glow)
    np.testing.assert_allclose(sent.joined(), 1, rtol=0, atol=SOLVED)
    np.testing.assert_allclose(balanced.illuminance.joined(), 1, rtol=0, atol=SOLVED)


def test_a_black_box_throws_nothing_back() -> None:
    """Where nothing reflects, the light on every patch is the direct light, and nothing is thrown back."""
    exchange = exchange_of()
    direct = from_modules(exchange, (0.2, 0.1), (0.5, 0.3))
    balanced = interreflect(exchange, direct, rho(0, 0, 0, 0, 0, 0))
    np.testing.assert_allclose(balanced.illuminance.joined(), direct.joined(), rtol=1e-10, atol=0)
    assert not balanced.exitance.joined().any()


def test_lumens_balance_in_any_box() -> None:
    """Over random boxes, reflectances and modules, what surfaces keep or let through is what was emitted."""
    draw = np.random.default_rng(21)
    for _ in range(12):
        width, height = draw.uniform(0.1, 1.5, 2)
        exchange = exchange_of(width, height, float(draw.uniform(0.05, 0.4)), n=4)
        places = [tuple(one) for one in draw.uniform([0, 0], [width, height], (4, 2))]
        direct = from_modules(exchange, *places)
        reflectance = rho(*draw.choice([0.0, 0.05, 0.5, 0.9, 0.99], 6))
        balanced = interreflect(exchange, direct, reflectance)
        kept = balanced.illuminance.each(lambda E, one: E * (1 - float(one)), reflectance)
        assert total(exchange, kept) == pytest.approx(400, rel=BALANCE, abs=0)
        assert float(balanced.illuminance.joined().min()) > -1e-9 * float(direct.joined().max())


@pytest.mark.parametrize("reflectance", [0.2, 0.5, 0.9])
def test_each_wall_of_a_cube_gets_what_an_integrating_sphere_would(reflectance: float) -> None:
    """With a point in its middle alike in all directions each wall gets ρ Φ / (S (1 − ρ)) on average by reflection.

    A sixth of the lumens goes to each wall, on a patch by its solid angle: for a rectangle with a corner right
    across at a distance h that is atan(xy / (h √(x² + y² + h²))).
    """
    edges = np.linspace(-2, 2, 9)
    x, y, h = edges, edges[:, None], 2.0
    angle = np.diff(np.diff(np.arctan(x * y / (h * np.sqrt(x**2 + y**2 + h**2))), axis=0), axis=1)
    z = tuple(float(one) for one in edges + 2)
    exchange = Exchange(Mesh(width=4.0, height=4.0, depth=4.0, columns=8, rows=8, z=z))
    direct = exchange.areas.each(lambda area: 1000 * angle / (4 * np.pi) / area)
    assert total(exchange, direct) == pytest.approx(1000, rel=1e-12)
    balanced = interreflect(exchange, direct, Surfaces(*(np.asarray(reflectance) for _ in range(6))))
    expected = 1000 * reflectance / (96 * (1 - reflectance))
    for E, straight in zip(balanced.illuminance, direct, strict=True):
        assert float(np.mean(E - straight)) == pytest.approx(expected, rel=1e-8)


def test_an_almost_perfect_mirror_of_light_still_balances() -> None:
    """Where one lumen in ten thousand is lost at each bounce, the lumens balance all the same."""
    exchange = exchange_of(n=4)
    direct = from_modules(exchange, (0.2, 0.1))
    reflectance = rho(1, 0.9999, 1, 1, 1, 1)
    balanced = interreflect(exchange, direct, reflectance)
    through = 1e-4 * float(np.sum(exchange.areas.face * balanced.illuminance.face))
    assert through == pytest.approx(100, rel=BALANCE, abs=0)


def test_more_reflectance_is_more_light_everywhere() -> None:
    """A higher reflectance of any one surface gives more light on every patch."""
    exchange = exchange_of()
    direct = from_modules(exchange, (0.2, 0.1), (0.5, 0.3))
    before = interreflect(exchange, direct, UNLIKE).illuminance.joined()
    for name in Surfaces._fields:
        raised = UNLIKE._replace(**{name: getattr(UNLIKE, name) + 0.05})
        after = interreflect(exchange, direct, raised).illuminance.joined()
        assert (after > before).all(), name


def test_sources_add() -> None:
    """Lit together, modules give on every patch the sum of what they give one by one, thrown back included."""
    exchange = exchange_of()
    one, other = from_modules(exchange, (0.2, 0.1)), from_modules(exchange, (0.55, 0.33), lumens=40.0)
    together = interreflect(exchange, one.each(np.add, other), UNLIKE).illuminance.joined()
    apart = [interreflect(exchange, direct, UNLIKE).illuminance.joined() for direct in (one, other)]
    np.testing.assert_allclose(together, apart[0] + apart[1], rtol=1e-6, atol=0)


def _same(one: Interreflection, other: Surfaces) -> None:
    for found, expected in zip(one.illuminance, other, strict=True):
        np.testing.assert_allclose(found, expected, rtol=1e-7, atol=0)


def test_unequal_returns_swapped_mirror_the_light() -> None:
    """With left and right, or bottom and top, exchanged in place and reflectance, light is its mirror image."""
    exchange = exchange_of()
    places = [(0.13, 0.1), (0.5, 0.33)]
    balanced = interreflect(exchange, from_modules(exchange, *places), UNLIKE).illuminance
    in_x = interreflect(
        exchange,
        from_modules(exchange, *((0.7 - x, y) for x, y in places)),
        UNLIKE._replace(left=UNLIKE.right, right=UNLIKE.left),
    )
    _same(in_x, mirrored_in_x(balanced))
    in_y = interreflect(
        exchange,
        from_modules(exchange, *((x, 0.4 - y) for x, y in places)),
        UNLIKE._replace(bottom=UNLIKE.top, top=UNLIKE.bottom),
    )
    _same(in_y, mirrored_in_y(balanced))


def test_a_symmetric_box_is_lit_symmetrically() -> None:
    """A module in the middle of a box of equal returns lights it as its own mirror images."""
    exchange = exchange_of()
    balanced = interreflect(exchange, from_modules(exchange, (0.35, 0.2)), WHITE)
    _same(balanced, mirrored_in_x(balanced.illuminance))
    _same(balanced, mirrored_in_y(balanced.illuminance))


@pytest.mark.parametrize("reflectance", [WHITE, UNLIKE, rho(1, 0.9, 1, 1, 1, 1)])
def test_the_balance_is_that_of_a_dense_solution(reflectance: Surfaces) -> None:
    """On a small mesh the solution is that of the dense linear system solved directly."""
    exchange = Exchange(UNEVEN)
    areas = exchange.areas
    factors = dense(UNEVEN) / areas.joined()[:, None]
    of_each = areas.each(lambda area, one: np.full(area.shape, float(one)), reflectance).joined()
    direct = drawn(UNEVEN, 5)
    expected = np.linalg.solve(np.eye(UNEVEN.patches) - factors * of_each, direct.joined())
    balanced = interreflect(exchange, direct, reflectance)
    np.testing.assert_allclose(balanced.illuminance.joined(), expected, rtol=SOLVED, atol=0)
    np.testing.assert_allclose(balanced.exitance.joined(), of_each * expected, rtol=SOLVED, atol=0)


def test_reflectances_stand_at_their_surfaces() -> None:
    """Each surface has the reflectance that box or face gives it."""
    cabinet = cabinets.shop_sign()
    found = reflectances(cabinet)
    box = Box(
        width=1.2,
        height=0.6,
        depth=0.15,
        back_reflectance=0.1,
        left_return_reflectance=0.2,
        right_return_reflectance=0.3,
        bottom_return_reflectance=0.4,
        top_return_reflectance=0.5,
    )
    assert float(found.face) == 0.35
    unlike = reflectances(type(cabinet)(box=box, face=cabinet.face, groups=cabinet.groups))
    assert [float(one) for one in unlike] == [0.1, 0.35, 0.4, 0.5, 0.2, 0.3]
