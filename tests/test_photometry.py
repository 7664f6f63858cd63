"""Luminance: it takes arrays as it takes single numbers."""

from __future__ import annotations

import math

import numpy as np

from lumsim.photometry import face_luminance


def test_face_luminance_takes_arrays() -> None:
    """The luminance of a face comes for arrays as for single numbers."""
    illuminance = np.array([10.0, 20.0])
    np.testing.assert_allclose(face_luminance(illuminance, 0.5), illuminance / (2 * math.pi), rtol=1e-15)
