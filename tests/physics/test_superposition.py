"""Light adds: it does not matter how modules are grouped, in what order they come, or in which unit of lumens."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.direct import DirectLight, direct_flux
from lumsim.simulation import simulate
from tests import cabinets
from tests.cabinets import DIRECT

ROUNDING = 1e-13
"""Sums of some ten terms, in another order."""

Array = NDArray[np.float64]


def mixed(seed: int) -> tuple[Array, Array, Array, Array]:
    """Draw positions, z, lumens and exponents of twelve modules."""
    draw = np.random.default_rng(seed)
    return (
        draw.uniform([0, 0], [1.5, 1.0], (12, 2)),
        draw.uniform(0, 0.05, 12),
        draw.uniform(10, 200, 12),
        draw.choice([0.0, 0.7, 1.0, 2.0, 12.5], 12),
    )


def built(positions: Array, z: Array, lumens: Array, exponent: Array) -> Cabinet:
    """Build the cabinet that the modules stand in."""
    return cabinets.listed(1.5, 1.0, 0.15, positions, z=z, lumens=lumens, exponent=exponent)


def on_the_face(cabinet: Cabinet) -> Array:
    """Illuminance at 63 points of the face, edges included [lx]."""
    x, y = np.meshgrid(np.linspace(0, 1.5, 9), np.linspace(0, 1.0, 7))
    return DirectLight(cabinet.sources(), cabinet.box.depth).illuminance(x, y)


def test_illuminance_is_the_sum_over_modules() -> None:
    """All modules together give at each point the sum of what each gives alone."""
    given = mixed(seed=3)
    alone = [on_the_face(built(*(part[i : i + 1] for part in given))) for i in range(12)]
    np.testing.assert_allclose(on_the_face(built(*given)), np.sum(alone, axis=0), rtol=ROUNDING, atol=0)


def test_flux_is_the_sum_over_modules() -> None:
    """All modules together cast on face and returns the sum of what each casts alone."""
    given = mixed(seed=4)
    fluxes = [direct_flux(built(*(part[i : i + 1] for part in given))) for i in range(12)]
    together = direct_flux(built(*given))
    for name in (
        "emitted",
        "on_face",
        "on_left_return",
        "on_right_return",
        "on_bottom_return",
        "on_top_return",
    ):
        assert getattr(together, name) == pytest.approx(
            sum(getattr(one, name) for one in fluxes), rel=ROUNDING
        )


def test_the_order_of_modules_does_not_matter() -> None:
    """The same modules in another order give the same light."""
    given = mixed(seed=5)
    order = np.random.default_rng(6).permutation(12)
    shuffled = built(*(part[order] for part in given))
    np.testing.assert_allclose(on_the_face(built(*given)), on_the_face(shuffled), rtol=ROUNDING, atol=0)


def test_two_groups_are_the_sum_of_both() -> None:
    """A cabinet with two groups of rows has the light of both."""
    one = cabinets.in_rows(1.5, 1.0, 0.15, rows=2, modules=3)
    other = cabinets.in_rows(1.5, 1.0, 0.15, rows=3, modules=2, direction="vertical", z=0.03)
    both = Cabinet(box=one.box, face=one.face, groups=one.groups + other.groups)
    np.testing.assert_allclose(
        on_the_face(both), on_the_face(one) + on_the_face(other), rtol=ROUNDING, atol=0
    )


def test_lumens_scale_the_light_and_no_ratio() -> None:
    """Three times the lumens is three times the luminance everywhere, and no ratio changes."""
    one, three = (
        simulate(cabinets.in_rows(1.2, 0.6, 0.15, rows=2, modules=5, lumens=lumens), lighting=DIRECT)
        for lumens in (30.0, 90.0)
    )
    np.testing.assert_allclose(three.luminance.values, 3 * one.luminance.values, rtol=ROUNDING, atol=0)
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming", "coefficient_of_variation", "ripple_y"):
        assert getattr(three.evenness, name) == pytest.approx(getattr(one.evenness, name), rel=1e-9)
    assert three.ledger.emitted == pytest.approx(3 * one.ledger.emitted, rel=ROUNDING)
