"""A cabinet built larger in every length: the same picture, its light spread over more area."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.simulation import simulate
from lumsim.uniformity.requirement import Requirement
from tests import cabinets
from tests.cabinets import DIRECT

ROUNDING = 1e-12


@pytest.mark.parametrize("factor", [0.05, 0.5, 2.0, 7.3])
def test_every_length_times_a_factor(factor: float) -> None:
    """All lengths times k: luminance is 1/k² of what it was at the like point, and no ratio changes."""
    positions = np.random.default_rng(21).uniform([0, 0], [1.13, 0.71], (8, 2))
    small, large = (
        simulate(
            cabinets.listed(1.13 * k, 0.71 * k, 0.12 * k, positions * k, z=0.01 * k),
            Requirement(stripe_window=0.2 * k),
            lighting=DIRECT,
        )
        for k in (1.0, factor)
    )
    np.testing.assert_allclose(
        large.luminance.values * factor**2, small.luminance.values, rtol=ROUNDING, atol=0
    )
    for name in (
        "max_to_min",
        "min_to_mean",
        "coefficient_of_variation",
        "nine_point",
        "stripe_max_to_min",
        "edge_dimming",
        "ripple_x",
        "ripple_y",
    ):
        # Extremes are polished to some 1e-9, on paths that rounding may turn.
        assert getattr(large.evenness, name) == pytest.approx(getattr(small.evenness, name), rel=1e-7)
    assert large.evenness.darkest.x == pytest.approx(small.evenness.darkest.x * factor, rel=1e-4, abs=1e-5)
    assert large.ledger.through_face == pytest.approx(small.ledger.through_face, rel=ROUNDING)
    assert len(large.spots.hot) == len(small.spots.hot)


def test_transmittance_scales_luminance_alone() -> None:
    """A face that lets half as much through is half as bright, and no less even."""
    opal = cabinets.OPAL
    darker = type(opal)(transmittance=opal.transmittance / 2, reflectance=opal.reflectance)
    one, other = (
        simulate(cabinets.in_rows(1, 0.5, 0.1, rows=2, modules=4, face=face), lighting=DIRECT)
        for face in (opal, darker)
    )
    assert other.evenness.mean == pytest.approx(one.evenness.mean / 2, rel=ROUNDING)
    assert other.evenness.max_to_min == pytest.approx(one.evenness.max_to_min, rel=1e-9)
    at = np.array([0.3])
    np.testing.assert_allclose(
        other.direct.illuminance(at, at), one.direct.illuminance(at, at), rtol=ROUNDING, atol=0
    )
