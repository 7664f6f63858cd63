"""Mirrored cabinets have mirrored light."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.light.direct import direct_flux
from lumsim.simulation import Simulation, simulate
from tests import cabinets
from tests.cabinets import DIRECT

WIDTH, HEIGHT, DEPTH = 1.3, 0.8, 0.14

ROUNDING = 1e-12
"""Sums in another order, of mirrored coordinates that are themselves rounded."""

NAMES = (
    "max_to_min",
    "mean",
    "coefficient_of_variation",
    "nine_point",
    "stripe_max_to_min",
    "edge_dimming",
)


def scattered() -> NDArray[np.float64]:
    """Draw nine positions that have no symmetry of their own."""
    return np.random.default_rng(8).uniform([0, 0], [WIDTH, HEIGHT], (9, 2))


def lit(positions: NDArray[np.float64]) -> Simulation:
    """Light modules at these positions."""
    return simulate(cabinets.listed(WIDTH, HEIGHT, DEPTH, positions, exponent=1.5), lighting=DIRECT)


def test_left_and_right() -> None:
    """Modules mirrored left to right give the mirrored map, mirrored extremes and the same ratios."""
    one = lit(scattered())
    other = lit(np.array([WIDTH, 0]) + scattered() * [-1, 1])
    np.testing.assert_allclose(other.luminance.values, one.luminance.values[:, ::-1], rtol=ROUNDING, atol=0)
    assert other.evenness.brightest.x == pytest.approx(WIDTH - one.evenness.brightest.x, abs=1e-6)
    assert other.evenness.brightest.y == pytest.approx(one.evenness.brightest.y, abs=1e-6)
    for name in NAMES:
        assert getattr(other.evenness, name) == pytest.approx(getattr(one.evenness, name), rel=1e-8)


def test_bottom_and_top() -> None:
    """Modules mirrored bottom to top give the mirrored map, mirrored extremes and the same ratios."""
    one = lit(scattered())
    other = lit(np.array([0, HEIGHT]) + scattered() * [1, -1])
    np.testing.assert_allclose(other.luminance.values, one.luminance.values[::-1], rtol=ROUNDING, atol=0)
    assert other.evenness.darkest.y == pytest.approx(HEIGHT - one.evenness.darkest.y, abs=1e-6)
    for name in NAMES:
        assert getattr(other.evenness, name) == pytest.approx(getattr(one.evenness, name), rel=1e-8)


def test_width_and_height() -> None:
    """A cabinet turned on its side, x for y, has the transposed map, and its ripples change places."""
    one = lit(scattered())
    turned = simulate(
        cabinets.listed(HEIGHT, WIDTH, DEPTH, scattered()[:, ::-1], exponent=1.5), lighting=DIRECT
    )
    np.testing.assert_allclose(turned.luminance.values, one.luminance.values.T, rtol=ROUNDING, atol=0)
    assert turned.evenness.ripple_x == pytest.approx(one.evenness.ripple_y, rel=1e-8)
    assert turned.evenness.ripple_y == pytest.approx(one.evenness.ripple_x, rel=1e-8)
    for name in NAMES:
        assert getattr(turned.evenness, name) == pytest.approx(getattr(one.evenness, name), rel=1e-8)


def test_flux_on_mirrored_returns() -> None:
    """Mirrored left to right, the returns change places and the face keeps its lumens."""
    one = direct_flux(cabinets.listed(WIDTH, HEIGHT, DEPTH, scattered()))
    other = direct_flux(cabinets.listed(WIDTH, HEIGHT, DEPTH, np.array([WIDTH, 0]) + scattered() * [-1, 1]))
    assert other.on_left_return == pytest.approx(one.on_right_return, rel=ROUNDING)
    assert other.on_right_return == pytest.approx(one.on_left_return, rel=ROUNDING)
    assert other.on_top_return == pytest.approx(one.on_top_return, rel=ROUNDING)
    assert other.on_face == pytest.approx(one.on_face, rel=ROUNDING)


@pytest.mark.parametrize(("rows", "modules"), [(2, 4), (3, 5), (4, 4)])
def test_a_symmetric_cabinet_has_its_first_extreme_in_the_lower_left(rows: int, modules: int) -> None:
    """Where four mirror images tie, the extreme with the lowest y, then the lowest x is named."""
    even = simulate(cabinets.in_rows(1.2, 0.6, 0.1, rows=rows, modules=modules), lighting=DIRECT).evenness
    for extreme in (even.brightest, even.darkest):
        assert extreme.x <= 0.6 + 1e-6
        assert extreme.y <= 0.3 + 1e-6
    assert (even.darkest.x, even.darkest.y) == (0.0, 0.0)
