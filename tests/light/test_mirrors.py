"""Light in a box falls apart into four parts, each even or odd under its two mirrors, and back together."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.light.exchange import Exchange
from lumsim.light.mirrors import PARITIES, Parity, fold, unfold
from lumsim.light.surfaces import mesh_of
from tests.light.plain_exchange import drawn
from tests.light.seen_in_mirrors import mirrored_in_x, mirrored_in_y

MESH = mesh_of(0.5, 0.4, 0.15, patches_in_depth=4)


def test_the_four_parts_are_the_whole() -> None:
    """Folded into its four parts and unfolded again, any light is what it was."""
    light = drawn(MESH, 1)
    again = unfold({parity: fold(light, parity) for parity in PARITIES})
    np.testing.assert_allclose(again.joined(), light.joined(), rtol=1e-13, atol=1e-13)


@pytest.mark.parametrize("parity", PARITIES)
def test_a_part_is_even_or_odd(parity: Parity) -> None:
    """A part unfolded is its own image in both mirrors, each with its sign of the parity."""
    part = unfold({parity: fold(drawn(MESH, 2), parity)})
    np.testing.assert_array_equal(parity.x * mirrored_in_x(part).joined(), part.joined())
    np.testing.assert_array_equal(parity.y * mirrored_in_y(part).joined(), part.joined())


@pytest.mark.parametrize("parity", PARITIES)
def test_exchange_keeps_parts_apart(parity: Parity) -> None:
    """What one part sends out arrives as that part and as no other."""
    arriving = Exchange(MESH).arriving(unfold({parity: fold(drawn(MESH, 3), parity)}))
    largest = float(np.abs(arriving.joined()).max())
    for other in PARITIES:
        rest = max(float(np.abs(values).max()) for values in fold(arriving, other))
        assert (rest > 1e-3 * largest) if other == parity else (rest < 1e-12 * largest)
