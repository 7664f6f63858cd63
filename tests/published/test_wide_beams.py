"""Lattices of wide beams by lumsim's own light against the exact sum over their harmonics."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.beams.closed import Wide
from tests.published import closed_forms, infinite


@pytest.mark.parametrize("pitch", [1.0, 2.0, 3.0])
@pytest.mark.parametrize("width", [1.0, 2.0, 4.0])
def test_rows_of_a_wide_beam_have_the_spectrum_of_its_two_terms(width: float, pitch: float) -> None:
    """The light of rows of a wide beam is that of its two cosine powers, each with its own closed transform."""
    y = np.linspace(0, pitch / 2, 9)
    E = infinite.OfWideBeams(a=infinite.CONTINUOUS, b=pitch, width=width).at(np.zeros(9), y)
    by_terms = sum(share * closed_forms.rows(y, pitch=pitch, m=m) for share, m in Wide(width=width).terms)
    np.testing.assert_allclose(E, by_terms, rtol=2e-6)


@pytest.mark.parametrize("pitch", [1.0, 2.0, 3.0])
def test_a_square_lattice_of_a_wide_beam_has_it_too(pitch: float) -> None:
    """The same of a square lattice, at points all over its cell."""
    draw = np.random.default_rng(3)
    x, y = draw.uniform(0, pitch, 20), draw.uniform(0, pitch, 20)
    E = infinite.OfWideBeams(a=pitch, b=pitch, width=4.0).at(x, y)
    by_terms = sum(
        share * closed_forms.rectangular(x, y, a=pitch, b=pitch, m=m) for share, m in Wide(width=4.0).terms
    )
    np.testing.assert_allclose(E, by_terms, rtol=2e-6)
