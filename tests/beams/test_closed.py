"""Beams of closed form: what is refused, and what comes back as it went in."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lumsim.beams.closed import (
    LAMBERTIAN,
    LARGEST_EXPONENT,
    CosinePower,
    exponent_from_half_intensity_angle,
)
from lumsim.errors import InputError


@pytest.mark.parametrize("exponent", [-0.1, math.nan, math.inf, LARGEST_EXPONENT * 1.001])
def test_an_exponent_that_cannot_be_is_refused(exponent: float) -> None:
    """A beam's exponent lies from 0 to the largest that is taken."""
    with pytest.raises(InputError, match=f"exponent must be from 0 to 1000, got {exponent:g}"):
        CosinePower(exponent=exponent)


@pytest.mark.parametrize("exponent", [0.1, 0.5128, 1.0, 2.0, 60.0, 999.0])
def test_an_exponent_comes_back_from_its_angle(exponent: float) -> None:
    """The half-intensity angle of an exponent gives that exponent back."""
    angle = CosinePower(exponent=exponent).half_intensity_angle
    assert exponent_from_half_intensity_angle(angle) == pytest.approx(exponent, rel=1e-9)


def test_120_degrees_is_lambertian_exactly() -> None:
    """The angle that data sheets print for a Lambertian module gives the exponent 1 and not a float near it."""
    assert exponent_from_half_intensity_angle(math.radians(120)) == LAMBERTIAN.exponent


def test_equal_intensity_all_over_never_halves() -> None:
    """A beam of the same intensity in every direction reaches to the plane of the module."""
    assert CosinePower(exponent=0.0).half_intensity_angle == math.pi
    assert CosinePower(exponent=1e-300).half_intensity_angle == pytest.approx(math.pi)


@pytest.mark.parametrize("degrees", [0.0, -10.0, 180.0, 200.0, math.nan, 1.0, 2.0, 1e-3, 1e-6, 1e-12])
def test_an_angle_that_cannot_be_is_refused(degrees: float) -> None:
    """An angle that no cosine power has, or only one too steep, is refused in words, however small."""
    with pytest.raises(InputError, match="half-intensity angle"):
        exponent_from_half_intensity_angle(math.radians(degrees))


def test_peak_intensity_takes_arrays() -> None:
    """Peak intensity comes for arrays as for single numbers."""
    flux = np.array([10.0, 20.0])
    np.testing.assert_allclose(LAMBERTIAN.peak_intensity(flux), flux / math.pi, rtol=1e-15)
