"""Beams of closed form: their flux, their peaks, what is refused, and what comes back as it went in."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from lumsim.beams.closed import (
    LAMBERTIAN,
    LARGEST_EXPONENT,
    LARGEST_WIDTH,
    ClosedBeam,
    CosinePower,
    Wide,
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


BEAMS = [
    *(CosinePower(exponent=m) for m in (0.0, 0.5128, 1.0, 2.5, 60.0, 1000.0)),
    *(Wide(width=a) for a in (0.0, 0.3, 1.0, 2.0, 7.5, 100.0)),
]


def flux_of(beam: ClosedBeam) -> float:
    """All the light in front, 2π ∫ I sin θ dθ by quadrature. [lm]"""

    def ring(theta: float) -> float:
        return float(beam.intensity(np.array(theta), np.array(0.0))) * math.sin(theta)

    return 2 * math.pi * float(quad(ring, 0, math.pi / 2, epsabs=1e-11, epsrel=1e-11, limit=200)[0])


@pytest.mark.parametrize("beam", BEAMS, ids=repr)
def test_a_beam_of_closed_form_sends_out_one_lumen(beam: ClosedBeam) -> None:
    """Intensities are told for one lumen, integrated over the half space, and the terms share it out."""
    assert flux_of(beam) == pytest.approx(1, rel=1e-9)
    assert math.fsum(term.share for term in beam.terms) == pytest.approx(1, rel=1e-14)


@pytest.mark.parametrize("beam", BEAMS, ids=repr)
def test_a_beam_of_closed_form_sends_nothing_backward(beam: ClosedBeam) -> None:
    """Beyond 90 degrees from the axis there is no light, whatever the exponent."""
    behind = np.radians([90.001, 120.0, 180.0])
    assert (beam.intensity(behind, np.zeros(3)) == 0).all()
    assert beam.forward_share == 1


@pytest.mark.parametrize("a", [0.0, 0.3, 1.0, 2.0, 7.5])
def test_a_wide_beam_follows_its_formula(a: float) -> None:
    """I over I₀ is (1 + a) cos θ − a cos³θ, and the flux 2π I₀ [(1 + a)/2 − a/4]."""
    theta = np.radians(np.arange(0.0, 90.0, 5.0))
    I0 = 1 / (2 * math.pi * ((1 + a) / 2 - a / 4))
    c = np.cos(theta)
    got = Wide(width=a).intensity(theta, np.zeros(len(theta)))
    np.testing.assert_allclose(got, I0 * ((1 + a) * c - a * c**3), rtol=1e-13)


@pytest.mark.parametrize("a", [0.6, 1.0, 2.0, 5.0, 100.0])
def test_a_wide_beam_peaks_where_its_slope_vanishes(a: float) -> None:
    """Above a = 1/2 the peak lies at cos²θ = (1 + a)/3a, and nowhere is the intensity higher."""
    beam = Wide(width=a)
    assert math.cos(beam.peak_angle) ** 2 == pytest.approx((1 + a) / (3 * a), rel=1e-14)
    peak = float(beam.intensity(np.array(beam.peak_angle), np.array(0.0)))
    theta = np.linspace(0, math.pi / 2, 90_001)
    around = beam.intensity(theta, np.zeros(len(theta)))
    assert around.max() <= peak * (1 + 1e-15)
    assert theta[np.argmax(around)] == pytest.approx(beam.peak_angle, abs=1e-4)


@pytest.mark.parametrize("a", [0.0, 0.2, 0.5])
def test_a_little_widened_beam_peaks_on_its_axis(a: float) -> None:
    """Up to a = 1/2 the intensity falls from the axis on."""
    theta = np.linspace(0, math.pi / 2, 1001)
    assert Wide(width=a).peak_angle == 0
    assert (np.diff(Wide(width=a).intensity(theta, np.zeros(1001))) < 0).all()


def test_a_wide_beam_without_width_is_lambertian() -> None:
    """At a = 0 it is the Lambertian beam, term for term."""
    assert Wide(width=0.0).terms == LAMBERTIAN.terms


@pytest.mark.parametrize("width", [-0.1, math.nan, math.inf, LARGEST_WIDTH * 1.001])
def test_a_width_that_cannot_be_is_refused(width: float) -> None:
    """A wide beam's width lies from 0 to the largest that is taken."""
    with pytest.raises(InputError, match=f"width must be from 0 to 100, got {width:g}"):
        Wide(width=width)
