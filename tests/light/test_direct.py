"""Direct light: what each function promises, and how exact it is."""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.sources import Sources, sources_of
from lumsim.light.direct import DirectFlux, DirectLight, direct_flux, flux_on
from tests import cabinets

TABLE = 1e-9
"""The table of powers is good to 1e-10 for each module."""

ROUNDING = 1e-13

QUADRATURE = 1e-9
"""Share of the flux by 48 nodes: rounding at whole exponents, some 1e-10 at others. [1]"""

DEPTH = 0.2

Array = NDArray[np.float64]


def drawn(seed: int, count: int = 20) -> Emitters:
    """Draw modules of several beams and throws in a cabinet of 2 × 1 m."""
    draw = np.random.default_rng(seed)
    return cabinets.cosine_powers(
        draw.uniform(0, 2, count),
        draw.uniform(0, 1, count),
        z=draw.uniform(0, 0.15, count),
        flux=draw.uniform(10, 200, count),
        exponent=draw.choice([0.0, 0.3, 0.5, 1.0, 1.0, 2.0, 7.7, 60.0], count),
    )


def one(x: float = 0.0, y: float = 0.0, *, m: float = 1.0, flux: float = 1.0) -> Sources:
    """Place one module."""
    return sources_of(cabinets.cosine_powers([x], [y], flux=flux, exponent=m))


def test_illuminance_is_the_sum_of_intensity_times_cosine_over_distance_squared() -> None:
    """Illuminance is Σ I(θ) cos β / d² over the modules, in vectors, whatever their beams and throws."""
    emitters = drawn(1)
    draw = np.random.default_rng(2)
    x, y = draw.uniform(0, 2, 50), draw.uniform(0, 1, 50)
    expected, exponents = np.zeros(50), cabinets.exponents(emitters)
    normal = np.array([0.0, 0.0, 1.0])
    for i in range(50):
        for k in range(len(emitters)):
            way = np.array([x[i], y[i], DEPTH]) - [emitters.x[k], emitters.y[k], emitters.z[k]]
            d = float(np.linalg.norm(way))
            cosine = float(way @ normal) / d
            m = float(exponents[k])
            intensity = float(emitters.flux[k]) * (m + 1) / (2 * math.pi) * cosine**m
            expected[i] += intensity * cosine / d**2
    light = DirectLight(sources_of(emitters), DEPTH)
    np.testing.assert_allclose(light.illuminance(x, y), expected, rtol=TABLE, atol=0)


@pytest.mark.parametrize("shape", [(0,), (1,), (7,), (3, 5), (2, 3, 3)])
def test_illuminance_comes_in_the_shape_of_the_points(shape: tuple[int, ...]) -> None:
    """Points of any shape are answered in that shape, also views and none at all."""
    light = DirectLight(sources_of(drawn(3)), DEPTH)
    draw = np.random.default_rng(4)
    x, y = draw.uniform(0, 2, shape), draw.uniform(0, 1, shape)
    together = light.illuminance(x, y)
    assert together.shape == shape
    np.testing.assert_array_equal(together.ravel(), light.illuminance(x.ravel(), y.ravel()))
    np.testing.assert_array_equal(light.illuminance(x.T, y.T), together.T)


def test_the_modules_of_one_light_do_not_change_with_their_arrays() -> None:
    """A DirectLight keeps what it was made from."""
    sources = sources_of(drawn(5))
    light = DirectLight(sources, DEPTH)
    at = np.array([0.5])
    before = light.illuminance(at, at)
    sources.x[:] = 0
    assert light.illuminance(at, at) == before


@pytest.mark.parametrize("m", [0.0, 0.1, 0.3, 0.8048, 1.0, 1.5, 3.0, 60.0, 333.3])
@pytest.mark.parametrize(
    ("X", "Y"), [(1.0, 1.0), (0.01, 0.01), (1e-5, 3.0), (0.3, 1000.0), (20.0, 20.0), (1e-9, 1.0)]
)
def test_flux_on_a_corner_rectangle(m: float, X: float, Y: float) -> None:
    """The share of a module's flux on a rectangle with its corner over it is the law integrated.

    The integral along y is a hypergeometric function; along x it is done by quadrature of many digits.
    """
    q = (m + 3) / 2

    def along_y(x: mpmath.mpf) -> mpmath.mpf:
        s = 1 + x**2
        return s**-q * Y * mpmath.hyp2f1(0.5, q, 1.5, -(Y**2) / s)

    edges = [0] + [X * t for t in (0.001, 0.01, 0.1, 0.3) if X > 1] + [X]
    share = (m + 1) / (2 * mpmath.pi) * mpmath.quad(along_y, edges)
    got = flux_on(one(m=m), 1.0, Rectangle(x0=0.0, x1=X, y0=0.0, y1=Y))
    assert got == pytest.approx(float(share), rel=0, abs=QUADRATURE if m % 1 else ROUNDING * 10)


@pytest.mark.parametrize("m", [0.0, 0.3, 1.0, 60.0])
def test_flux_adds_over_parts(m: float) -> None:
    """The flux on a rectangle is that on its pieces together, wherever the module stands to the cuts."""
    whole = Rectangle(x0=0.2, x1=1.4, y0=0.1, y1=0.9)
    for x, y in ((0.8, 0.5), (0.2, 0.1), (0.0, 0.0), (0.8, 0.1), (1.9, 0.5)):
        sources = one(x, y, m=m, flux=100.0)
        pieces = [
            flux_on(sources, DEPTH, Rectangle(x0=x0, x1=x1, y0=y0, y1=y1))
            for x0, x1 in ((0.2, 0.8), (0.8, 1.4))
            for y0, y1 in ((0.1, 0.5), (0.5, 0.9))
        ]
        assert sum(pieces) == pytest.approx(flux_on(sources, DEPTH, whole), rel=0, abs=100 * QUADRATURE)
        assert min(pieces) >= 0


@pytest.mark.parametrize("m", [0.0, 0.3, 1.0, 2.0, 60.0])
def test_a_boundless_face_gets_all_the_flux(m: float) -> None:
    """A face that goes on for ever gets all lumens; what still misses it falls as (h/R)^(m+1)."""
    reach = 1e7
    everywhere = Rectangle(x0=-reach, x1=reach, y0=-reach, y1=reach)
    assert flux_on(one(m=m, flux=80.0), 1.0, everywhere) == pytest.approx(
        80, rel=2 * reach ** -(min(m, 1) + 1) + 1e-9
    )


def test_a_part_without_extent_gets_nothing() -> None:
    """A line gets no flux, also straight over the module."""
    for x in (0.0, 0.3):
        assert flux_on(one(), 1.0, Rectangle(x0=x, x1=x, y0=-1.0, y1=1.0)) == pytest.approx(0, abs=ROUNDING)


def test_direct_flux_names_each_surface() -> None:
    """Face and returns together get what the modules emit, and the visible face a part of the face's."""
    cabinet = cabinets.shop_sign()
    flux = direct_flux(cabinet)
    assert flux.emitted == 24 * 50.0
    assert flux.on_face == flux_on(cabinet.sources(), 0.15, cabinet.whole_face)
    assert 0 < flux_on(cabinet.sources(), 0.15, cabinet.visible) < flux.on_face < flux.emitted
    assert flux.on_left_return == pytest.approx(flux.on_right_return, rel=1e-12)
    assert flux.on_bottom_return == pytest.approx(flux.on_top_return, rel=1e-12)
    assert flux.on_bottom_return > flux.on_left_return


def test_the_balance_error_is_the_share_that_did_not_arrive() -> None:
    """What is missing on all surfaces and in the modules shows in the balance, with its sign."""
    flux = DirectFlux(
        emitted=100.0,
        on_face=60.0,
        on_back=0.0,
        on_left_return=5.0,
        on_right_return=5.0,
        on_bottom_return=10.0,
        on_top_return=8.0,
        absorbed_modules=2.0,
    )
    assert flux.balance_error == pytest.approx(0.1)


@pytest.mark.parametrize("distance", [0.0, 1e-16, 1e-12, 1e-8, 1e-5, 1e-3])
@pytest.mark.parametrize("m", [0.0, 0.3, 1.0, 60.0])
def test_near_a_return_the_flux_changes_steadily(distance: float, m: float) -> None:
    """A module that comes up to a return casts half of its lumens on it in the end, without a jump."""
    cabinet = cabinets.listed(4, 4, 0.01, [(distance, 2.0)], lumens=1.0, exponent=m)
    flux = direct_flux(cabinet)
    # On an endless return: ½ − (share between the axis and the edge), which is at most peak · π/2 · D/h.
    lost = (m + 1) / 2 * distance / 0.01 + (0.01 / 2) ** (min(m, 1) + 1)
    assert 0.5 - lost <= flux.on_left_return <= 0.5 + 1e-12
    assert flux.on_face >= 0
