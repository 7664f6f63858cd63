"""A film before a face: it takes its share of the luminance in front and touches nothing inside."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from lumsim.cabinet.face import Face
from lumsim.errors import InputError
from lumsim.simulation import Lighting, simulate
from tests import cabinets
from tests.cabinets import DIRECT, OPAL

QUICK = Lighting(patches_in_depth=4)


@pytest.mark.parametrize("lighting", [DIRECT, QUICK], ids=["direct", "reflected"])
def test_a_film_takes_its_share_of_luminance_and_lumens(lighting: Lighting) -> None:
    """With t = 0.25 a quarter of luminance and lumens is left in front, the rest is booked in the film."""
    bare = cabinets.shop_sign()
    filmed = replace(bare, face=replace(bare.face, film_transmittance=0.25))
    without, behind = simulate(bare, lighting=lighting), simulate(filmed, lighting=lighting)
    assert_allclose(behind.luminance.values, 0.25 * without.luminance.values, rtol=1e-12)
    assert behind.evenness.max_to_min == pytest.approx(without.evenness.max_to_min, rel=1e-9)
    x, y = np.array([0.2]), np.array([0.3])
    assert_allclose(behind.reflected_at(x, y), without.reflected_at(x, y), rtol=1e-12)
    # The same light behind the face, told from its luminance.
    assert behind.illuminance(0.25) == pytest.approx(without.illuminance(1.0), rel=1e-12)
    books, old = behind.ledger, without.ledger
    assert old.absorbed_film == 0
    assert books.through_face == pytest.approx(0.25 * old.through_face, rel=1e-12)
    assert books.leaving_visible_face == pytest.approx(0.25 * old.leaving_visible_face, rel=1e-12)
    assert books.absorbed_film == pytest.approx(0.75 * old.through_face, rel=1e-12)
    for name in ("absorbed_face", "absorbed_back", "absorbed_returns", "not_followed"):
        assert getattr(books, name) == pytest.approx(getattr(old, name), rel=1e-12)
    assert books.balance_error < 1e-6


def test_each_of_two_faces_has_its_own_film() -> None:
    """A film on the rear leaves the front's luminance; what each film keeps adds up in the books."""
    rear = replace(OPAL, film_transmittance=0.5)
    both = cabinets.listed(0.7, 0.4, 0.16, [(0.2, 0.2)], z=0.08, front_share=0.5, rear=rear)
    lit = simulate(both, lighting=QUICK)
    assert lit.rear is not None
    assert lit.rear.evenness.mean == pytest.approx(lit.front.evenness.mean / 2, rel=1e-7)
    assert lit.front.absorbed_film == 0
    assert lit.ledger.absorbed_film == lit.rear.absorbed_film == pytest.approx(lit.rear.through_face)
    assert lit.ledger.balance_error < 1e-6


@pytest.mark.parametrize("share", [0.0, -0.1, 1.1, math.nan])
def test_a_film_that_is_none_is_refused(share: float) -> None:
    """Nothing, less, more than all and NaN are refused."""
    with pytest.raises(InputError, match="film_transmittance must be more than 0 and at most 1, got"):
        Face(transmittance=0.4, reflectance=0.4, film_transmittance=share)
