"""The inverse-square law."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.light.direct import DirectLight
from tests import cabinets

ROUNDING = 1e-13
"""A few floating-point operations; the table of powers is good to 1e-10 and is not used at whole exponents."""

TABLE = 1e-9
"""The table of powers is good to 1e-10 for each module."""


@pytest.mark.parametrize("exponent", [0.0, 0.3, 1.0, 2.5, 60.0])
@pytest.mark.parametrize("factor", [2.0, 3.0, 10.0])
def test_illuminance_under_a_module_falls_with_the_square_of_the_throw(
    exponent: float, factor: float
) -> None:
    """Twice the throw quarters the illuminance straight under a module, whatever its beam."""
    at = np.array([0.5])
    near, far = (
        DirectLight(cabinets.listed(1, 1, depth, [(0.5, 0.5)], exponent=exponent).sources(), depth)
        for depth in (0.1, 0.1 * factor)
    )
    assert near.illuminance(at, at) / far.illuminance(at, at) == pytest.approx(factor**2, rel=TABLE, abs=0)


def test_the_throw_counts_and_not_the_depth() -> None:
    """A raised module lights the face as one on the back of a cabinet that much shallower does."""
    raised = cabinets.listed(1, 1, 0.2, [(0.4, 0.5)], z=0.05)
    shallow = cabinets.listed(1, 1, 0.15, [(0.4, 0.5)])
    x, y = np.meshgrid(np.linspace(0, 1, 7), np.linspace(0, 1, 5))
    np.testing.assert_allclose(
        DirectLight(raised.sources(), 0.2).illuminance(x, y),
        DirectLight(shallow.sources(), 0.15).illuminance(x, y),
        rtol=ROUNDING,
        atol=0,
    )


def test_far_from_a_small_group_the_group_is_one_module() -> None:
    """A group of modules seen from far away lights as one with all their lumens: within (size/throw)²."""
    around = 2 * np.pi * np.arange(8) / 8
    group = np.column_stack([25 + 0.01 * np.cos(around), 25 + 0.01 * np.sin(around)])
    many = cabinets.listed(50, 50, 10, group, lumens=10.0)
    one = cabinets.listed(50, 50, 10, [(25.0, 25.0)], lumens=80.0)
    x, y = np.array([25.0, 30.0]), np.array([25.0, 22.0])
    np.testing.assert_allclose(
        DirectLight(many.sources(), 10).illuminance(x, y),
        DirectLight(one.sources(), 10).illuminance(x, y),
        rtol=4e-6,
        atol=0,
    )
