"""Beams alike all round the axis: tables, and the beam that lights a plane evenly."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.tables import LARGEST_CUT_OFF, Table, UniformPlane
from lumsim.errors import InputError

Array = NDArray[np.float64]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(16)


def table(*pairs: tuple[float, float]) -> Table:
    """Make a table of angles in degrees and intensities."""
    degrees, values = zip(*pairs, strict=True)
    return Table(angles=tuple(math.radians(one) for one in degrees), values=values)


WIDE = table((0, 50), (30, 100), (60, 20), (80, 0))
STEP = table((0, 1), (40, 1))
BACKWARD = table((0, 10), (60, 40), (100, 30), (180, 5))


def flux_between(beam: Table | UniformPlane, edges: Array) -> float:
    """2π ∫ I sin θ dθ by Gauss-Legendre points between edges, beyond which the beam has its kinks. [lm]"""
    total = 0.0
    for low, high in pairwise(edges):
        theta = low + (high - low) * (NODES + 1) / 2
        total += float(WEIGHTS @ (beam.intensity(theta, np.zeros(16)) * np.sin(theta))) * (high - low) / 2
    return 2 * math.pi * total


@pytest.mark.parametrize("beam", [WIDE, STEP, BACKWARD])
def test_a_table_sends_out_one_lumen(beam: Table) -> None:
    """Intensities are told for one lumen: integrated over all directions they make 1."""
    assert flux_between(beam, np.array(beam.angles)) == pytest.approx(1, rel=1e-13)


def test_the_flux_of_a_table_is_that_of_its_intensities() -> None:
    """Even intensity within an angle θ sends out 2π I (1 − cos θ)."""
    assert STEP.flux == pytest.approx(2 * math.pi * (1 - math.cos(math.radians(40))), rel=1e-14)


@pytest.mark.parametrize("beam", [WIDE, STEP, BACKWARD])
def test_between_its_angles_a_table_is_linear(beam: Table) -> None:
    """At its angles a table has its intensities, between two of them their weighted mean, and none beyond."""
    for (a, one), (b, other) in pairwise(zip(beam.angles, beam.values, strict=True)):
        at = np.array([a, a + 0.25 * (b - a), a + 0.5 * (b - a), b])
        expected = np.array([one, 0.75 * one + 0.25 * other, (one + other) / 2, other])
        np.testing.assert_allclose(beam.intensity(at, np.zeros(4)) * beam.flux, expected, rtol=1e-12)
    beyond = np.linspace(beam.angles[-1], math.pi, 5)[1:]
    assert beam.angles[-1] == math.pi or (beam.intensity(beyond, np.zeros(4)) == 0).all()


def test_a_table_tells_how_much_goes_ahead() -> None:
    """The share within 90 degrees is the integral as far as there, also where no angle stands at 90 degrees."""
    ahead = np.radians([0.0, 60.0, 90.0])
    assert BACKWARD.forward_share == pytest.approx(flux_between(BACKWARD, ahead), rel=1e-13)
    assert 0.3 < BACKWARD.forward_share < 0.9
    assert WIDE.forward_share == STEP.forward_share == 1


def test_a_table_of_a_cosine_is_lambertian() -> None:
    """A fine table of a cosine has the peak of a Lambertian beam, 1/π for each lumen."""
    degrees = np.arange(0.0, 90.5, 0.5)
    beam = table(*((float(one), max(0.0, math.cos(math.radians(one)))) for one in degrees))
    assert float(beam.intensity(np.array(0.0), np.array(0.0))) == pytest.approx(1 / math.pi, rel=1e-5)


@pytest.mark.parametrize(
    ("angles", "values", "said"),
    [
        ((0.0,), (1.0,), "two angles or more"),
        ((0.0, 0.5), (1.0,), "2 angles and 1 intensities"),
        ((0.1, 0.5), (1.0, 1.0), "angles must rise from 0 deg"),
        ((0.0, 0.5, 0.5), (1.0, 1.0, 1.0), "angles must rise from 0 deg"),
        ((0.0, 3.2), (1.0, 1.0), "to 180 deg at most"),
        ((0.0, math.nan), (1.0, 1.0), "angles must rise"),
        ((0.0, 0.5), (1.0, -0.1), "must be 0 or more, and not all 0"),
        ((0.0, 0.5), (0.0, 0.0), "must be 0 or more, and not all 0"),
        ((0.0, 0.5), (1.0, math.inf), "must be 0 or more, and not all 0"),
        ((0.0, 0.5), (1.0, math.nan), "must be 0 or more, and not all 0"),
    ],
)
def test_a_table_that_cannot_be_is_refused(
    angles: tuple[float, ...], values: tuple[float, ...], said: str
) -> None:
    """Angles rise from the axis on, and intensities are 0 or more, with a word for what is wrong."""
    with pytest.raises(InputError, match=said):
        Table(angles=angles, values=values)


@pytest.mark.parametrize("degrees", [5.0, 30.0, 60.0, 70.0, 85.0])
def test_a_uniform_plane_beam_sends_out_one_lumen(degrees: float) -> None:
    """Within its cut-off a beam of I₀ / cos³θ with π I₀ tan²θc = 1 lm sends out that lumen."""
    beam = UniformPlane(cut_off=math.radians(degrees))
    edges = math.radians(degrees) * np.linspace(0, 1, 9)
    assert flux_between(beam, edges) == pytest.approx(1, rel=1e-9)
    on_axis = float(beam.intensity(np.array(0.0), np.array(0.0)))
    assert math.pi * on_axis * math.tan(math.radians(degrees)) ** 2 == pytest.approx(1, rel=1e-14)


@pytest.mark.parametrize("degrees", [30.0, 60.0, 80.0])
def test_a_uniform_plane_beam_lights_a_disc_evenly(degrees: float) -> None:
    """On a plane at a distance h the illuminance I cos³θ / h² is I₀/h² within h tan θc, and nothing beyond."""
    beam, h = UniformPlane(cut_off=math.radians(degrees)), 0.15
    radius = h * math.tan(math.radians(degrees))
    rho = radius * np.array([0.0, 0.3, 0.9, 0.9999, 1.0001, 1.5, 10.0])
    theta = np.arctan2(rho, h)
    E = beam.intensity(theta, np.zeros(len(rho))) * np.cos(theta) ** 3 / h**2
    # One lumen on the disc's area.
    np.testing.assert_allclose(E[:4], 1 / (math.pi * radius**2), rtol=1e-12)
    assert (E[4:] == 0).all()


@pytest.mark.parametrize("cut_off", [0.0, -0.1, math.nan, LARGEST_CUT_OFF * 1.001, math.pi / 2])
def test_a_cut_off_that_cannot_be_is_refused(cut_off: float) -> None:
    """A cut-off lies above 0 and not beyond the largest that is taken."""
    with pytest.raises(InputError, match="a cut-off must be above 0 deg and at most 85 deg"):
        UniformPlane(cut_off=cut_off)
