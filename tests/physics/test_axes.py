"""Axes: x to the right, y up, z from the back to the face; maps are indexed [y, x]."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.light.direct import direct_flux
from lumsim.simulation import simulate
from tests import cabinets
from tests.cabinets import DIRECT

WIDTH, HEIGHT, DEPTH = 1.2, 0.5, 0.1
CORNERS = {
    "lower left": ((0.1, 0.1), (0, 0)),
    "lower right": ((1.1, 0.1), (0, -1)),
    "upper left": ((0.1, 0.4), (-1, 0)),
    "upper right": ((1.1, 0.4), (-1, -1)),
}


@pytest.mark.parametrize("corner", CORNERS)
def test_a_module_in_a_corner_makes_that_corner_bright(corner: str) -> None:
    """A module near a corner makes that corner of the map the brightest of the four."""
    place, index = CORNERS[corner]
    simulation = simulate(cabinets.listed(WIDTH, HEIGHT, DEPTH, [place]), lighting=DIRECT)
    values = simulation.luminance.values
    corners = [values[at] for _, at in CORNERS.values()]
    assert values[index] == max(corners)
    assert (simulation.evenness.brightest.x, simulation.evenness.brightest.y) == pytest.approx(
        place, abs=1e-5
    )


def test_the_map_is_indexed_by_y_then_x() -> None:
    """The map's first index is y and its second is x; its edges are the visible face's."""
    luminance = simulate(cabinets.shop_sign(), lighting=DIRECT).luminance
    assert luminance.values.shape == (len(luminance.y), len(luminance.x))
    assert len(luminance.x) > len(luminance.y)
    assert luminance.bounds == pytest.approx((0.02, 1.18, 0.02, 0.58), abs=1e-15)
    at = luminance.at(luminance.x[5:6], luminance.y[3:4])
    assert at[0] == luminance.values[3, 5]


@pytest.mark.parametrize(
    ("place", "nearest"),
    [
        ((0.05, 0.25), "on_left_return"),
        ((1.15, 0.25), "on_right_return"),
        ((0.6, 0.05), "on_bottom_return"),
        ((0.6, 0.45), "on_top_return"),
    ],
)
def test_the_nearest_return_gets_most(place: tuple[float, float], nearest: str) -> None:
    """A module near a return casts more on it than on any other."""
    flux = direct_flux(cabinets.listed(WIDTH, HEIGHT, DEPTH, [place]))
    returns = ("on_left_return", "on_right_return", "on_bottom_return", "on_top_return")
    assert max(returns, key=lambda name: float(getattr(flux, name))) == nearest


def test_a_higher_module_is_nearer_to_the_face() -> None:
    """The z axis runs from the back to the face: a module of greater z lights the point over it more."""
    low, high = (simulate(cabinets.listed(1, 1, 0.2, [(0.5, 0.5)], z=z), lighting=DIRECT) for z in (0.0, 0.1))
    assert high.evenness.brightest.value > 3.9 * low.evenness.brightest.value


def test_rows_run_as_they_are_told() -> None:
    """Horizontal rows ripple along y, vertical rows along x."""
    horizontal = simulate(cabinets.in_rows(1.2, 1.2, 0.1, rows=5, modules=24), lighting=DIRECT).evenness
    vertical = simulate(
        cabinets.in_rows(1.2, 1.2, 0.1, rows=5, modules=24, direction="vertical"), lighting=DIRECT
    ).evenness
    assert horizontal.ripple_y > horizontal.ripple_x
    assert vertical.ripple_x > vertical.ripple_y
    assert vertical.ripple_x == pytest.approx(horizontal.ripple_y, rel=1e-8)


def test_illuminance_and_luminance_lie_at_the_same_point() -> None:
    """Luminance in front of a point is τ/π of the illuminance behind that same point."""
    simulation = simulate(cabinets.shop_sign(), lighting=DIRECT)
    x, y = np.array([0.2, 0.9]), np.array([0.1, 0.5])
    np.testing.assert_allclose(
        simulation.luminance.at(x, y), simulation.direct.illuminance(x, y) * 0.4 / np.pi, rtol=1e-14, atol=0
    )
    assert simulation.illuminance(100.0) == pytest.approx(100.0 * np.pi / 0.4, rel=1e-14)
