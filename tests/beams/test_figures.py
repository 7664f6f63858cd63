"""Beams in figures: peak, beam angle, field angle and zones as closed forms have them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from lumsim.beams.beam import Array, Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.figures import BeamFigures, PlaneAngle, along_plane, beam_figures
from lumsim.beams.lm63 import read_lm63
from lumsim.beams.measured import whole_web
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.beams.zones import share_within
from lumsim.errors import InputError
from tests.beams.written_lm63 import NAME, cosine_power, sweep, written

DEGREES = math.radians(1)


def angles_of(figures: BeamFigures) -> tuple[PlaneAngle, PlaneAngle, PlaneAngle, PlaneAngle]:
    """Return beam angle and field angle in either plane."""
    (one, other), (third, fourth) = figures.beam_angles, figures.field_angles
    assert one is not None
    assert other is not None
    assert third is not None
    assert fourth is not None
    return one, other, third, fourth


def web(kind: str, values: Array, last: float = 90.0) -> Web:
    """Make a web with evenly spaced angles."""
    planes, count = values.shape
    horizontal = np.linspace(0, 360, planes) if kind == "C" else np.linspace(-90, 90, planes)
    vertical = np.linspace(0, last, count) if kind == "C" else np.linspace(-90, 90, count)
    return Web(
        photometric_type=kind,  # type: ignore[arg-type]
        vertical=np.radians(vertical),
        horizontal=np.radians(horizontal),
        values=values,
    )


def test_a_lambertian_beam_has_the_angles_of_its_cosine() -> None:
    """Cosines of a half and a tenth are at 60° and 84.26°: 120 and 168.52 degrees; of 90 lm 90/π cd straight ahead."""
    figures = beam_figures(LAMBERTIAN, 90.0)
    one, other, third, fourth = angles_of(figures)
    assert one.angle == other.angle == pytest.approx(120 * DEGREES, abs=1e-11)
    assert third.angle == fourth.angle == pytest.approx(2 * math.acos(0.1), abs=1e-11)
    assert figures.peak == pytest.approx(90 / math.pi)
    assert figures.peak_angle == 0
    assert figures.on_axis == figures.peak == pytest.approx(one.highest)
    assert (one.below_on_axis, one.dips, one.again_behind, one.cut_off) == (
        False,
        False,
        False,
        (False, False),
    )
    assert figures.axial


@pytest.mark.parametrize("m", [0.3, 1.0, 2.5, 20.0, 1000.0])
def test_cosine_powers_have_the_angles_of_their_inverse(m: float) -> None:
    """cosᵐθ is a share s at acos s^(1/m), and 1 − cosᵐ⁺¹θ of the flux lies within θ."""
    figures = beam_figures(CosinePower(exponent=m), 10.0)
    half, _, tenth, _ = angles_of(figures)
    assert half.last == -half.first == pytest.approx(math.acos(0.5 ** (1 / m)), abs=1e-10)
    assert tenth.last == -tenth.first == pytest.approx(math.acos(0.1 ** (1 / m)), abs=1e-10)
    assert figures.peak == pytest.approx(10 * (m + 1) / (2 * math.pi))
    for angle, share in figures.within:
        assert share == pytest.approx(1 - math.cos(angle) ** (m + 1), abs=1e-12)


def test_light_that_is_even_all_over_in_front_is_cut_off_at_90_degrees() -> None:
    """With m = 0 light never falls to a half: both angles are 180 degrees, and end in a step."""
    for angle in angles_of(beam_figures(CosinePower(exponent=0.0), 1.0)):
        assert (angle.first, angle.last) == pytest.approx((-math.pi / 2, math.pi / 2), abs=1e-9)
        assert angle.cut_off == (True, True)


@pytest.mark.parametrize("a", [0.6, 2.0, 8.0, 100.0])
def test_a_wide_beam_peaks_where_its_slope_is_0(a: float) -> None:
    """cos²θ = (1 + a)/3a there, and the beam angle ends at the outer root of the cubic for half of that."""
    figures = beam_figures(Wide(width=a), 1.0)
    cosine = math.sqrt((1 + a) / (3 * a))
    assert figures.peak_angle == pytest.approx(math.acos(cosine), abs=1e-12)

    def shape(c: float) -> float:
        return (1 + a) * c - a * c**3

    assert figures.peak / figures.on_axis == pytest.approx(shape(cosine))
    roots = np.roots([a, 0, -(1 + a), shape(cosine) / 2])
    outer = min(root.real for root in roots if 0 < root.real < 1)
    half = angles_of(figures)[0]
    assert half.last == -half.first == pytest.approx(math.acos(outer), abs=1e-8)
    assert half.below_on_axis == half.dips == (shape(cosine) > 2)


@pytest.mark.parametrize("degrees", [20.0, 60.0, 85.0])
def test_a_beam_that_lights_a_plane_evenly_is_measured_to_its_cut_off(degrees: float) -> None:
    """Its peak is at the cut-off, 1/cos³ times the axis; above 2 times it is hollow; its flux goes with tan²θ."""
    figures = beam_figures(UniformPlane(cut_off=degrees * DEGREES), 5.0)
    rise = math.cos(degrees * DEGREES) ** -3
    half, _, tenth, _ = angles_of(figures)
    assert half.angle == pytest.approx(2 * degrees * DEGREES, abs=1e-11)
    assert half.cut_off == (True, True)
    assert figures.peak / figures.on_axis == pytest.approx(rise)
    assert (half.below_on_axis, tenth.below_on_axis) == (rise > 2, rise > 10)
    for angle, share in figures.within:
        reached = math.tan(min(angle, degrees * DEGREES)) / math.tan(degrees * DEGREES)
        assert share == pytest.approx(reached**2)


def test_a_table_ends_where_it_ends() -> None:
    """Half of the peak is passed in the middle of a straight line; what is more than half at the end is cut off."""
    falls = Table(angles=(0.0, 40 * DEGREES, 60 * DEGREES), values=(1.0, 1.0, 0.0))
    half, _, tenth, _ = angles_of(beam_figures(falls, 1.0))
    assert half.angle == pytest.approx(100 * DEGREES, abs=1e-9)
    assert tenth.angle == pytest.approx(116 * DEGREES, abs=1e-9)
    assert half.cut_off == (False, False)
    ends = Table(angles=(0.0, 55 * DEGREES), values=(0.2, 1.0))
    figures = beam_figures(ends, 1.0)
    half = angles_of(figures)[0]
    assert half.angle == pytest.approx(110 * DEGREES, abs=1e-9)
    assert (half.cut_off, half.below_on_axis) == ((True, True), True)
    assert figures.peak_angle == pytest.approx(55 * DEGREES)


def test_even_light_all_round_has_no_end() -> None:
    """Of a table that is 1 as far as straight back both angles are 360 degrees, half of the flux is behind."""
    figures = beam_figures(Table(angles=(0.0, math.pi), values=(1.0, 1.0)), 4 * math.pi)
    for angle in angles_of(figures):
        assert angle.angle == pytest.approx(2 * math.pi)
        assert angle.cut_off == (False, False)
    assert figures.peak == pytest.approx(1.0)
    assert figures.behind == pytest.approx(0.5)
    edges = np.cos(np.radians(np.arange(0, 181, 10)))
    assert figures.zones == pytest.approx(-np.diff(edges) / 2)


def test_a_lobe_behind_does_not_widen_the_beam_in_front() -> None:
    """With as much light straight back as ahead, and little between, the beam angle is that of the front lobe."""
    lobes = Table(
        angles=(0.0, 60 * DEGREES, 120 * DEGREES, math.pi),
        values=(1.0, 0.0, 0.0, 1.0),
    )
    half, _, tenth, _ = angles_of(beam_figures(lobes, 1.0))
    assert half.angle == pytest.approx(60 * DEGREES, abs=1e-9)
    assert tenth.angle == pytest.approx(108 * DEGREES, abs=1e-9)
    assert half.again_behind
    back = Table(angles=(0.0, 120 * DEGREES, math.pi), values=(0.0, 0.0, 1.0))
    figures = beam_figures(back, 1.0)
    assert figures.peak_angle == pytest.approx(math.pi)
    assert figures.behind == pytest.approx(1.0)
    assert angles_of(figures)[0].below_on_axis


def test_a_file_of_a_cosine_has_the_cosines_figures() -> None:
    """Read from a file in steps of half a degree a Lambertian beam keeps its angles to a hundredth of a degree."""
    vertical, horizontal = np.arange(0, 90.1, 0.5), sweep(90.0)
    file = read_lm63(written(vertical, horizontal, cosine_power(1, vertical, horizontal)), NAME)
    beam = whole_web(file)
    figures = beam_figures(beam, beam.flux)
    one, other, third, fourth = angles_of(figures)
    assert one.angle == pytest.approx(120 * DEGREES, abs=0.01 * DEGREES)
    assert other.angle == pytest.approx(one.angle, abs=1e-9)
    assert third.angle == pytest.approx(2 * math.acos(0.1), abs=0.01 * DEGREES)
    assert fourth.angle == pytest.approx(third.angle, abs=1e-9)
    assert figures.peak == pytest.approx(100.0)
    assert figures.zones[:9] == pytest.approx(
        np.diff(np.sin(np.radians(np.arange(0, 91, 10))) ** 2), abs=1e-5
    )


def test_a_plane_is_measured_by_its_own_highest_intensity_and_on_either_side() -> None:
    """A beam on one side of the axis only, 20 to 60 degrees towards 90: its angle there is 40 degrees, off the axis."""
    gamma = np.arange(0, 91.0)
    values = np.zeros((5, 91))
    values[1, 20:61] = 10.0
    values[[0, 4], 0:11] = values[2, 0:11] = values[3, 0:11] = 1.0
    figures = beam_figures(web("C", values), 1.0)
    across = figures.beam_angles[1]
    assert across is not None
    assert across.first == pytest.approx(19.5 * DEGREES, abs=1e-9)
    assert across.last == pytest.approx(60.5 * DEGREES, abs=1e-9)
    assert not across.below_on_axis
    along = figures.beam_angles[0]
    assert along is not None
    assert along.angle == pytest.approx(21 * DEGREES, abs=1e-9)
    assert figures.peak_plane == pytest.approx(math.pi / 2)
    assert figures.peak_angle == pytest.approx(20 * DEGREES)
    assert gamma[20] == 20


def test_a_dark_plane_has_no_angle() -> None:
    """Where no light goes along a plane there is none, though there is in the other."""
    values = np.zeros((5, 10))
    values[[1, 3], 5] = 1.0
    figures = beam_figures(web("C", values), 1.0)
    assert figures.beam_angles[0] is None
    assert figures.field_angles[0] is None
    assert figures.beam_angles[1] is not None


@pytest.mark.parametrize("kind", ["A", "B"])
def test_zones_of_types_a_and_b_are_those_of_the_light(kind: str) -> None:
    """Shares within an angle agree with a plain sum over a fine web of directions, to its own error."""
    values = np.random.default_rng(20).random((9, 13))
    beam = web(kind, values)
    n = 2000
    theta = (np.arange(n) + 0.5) / n * math.pi / 2
    phi = (np.arange(n) + 0.5) / n * 2 * math.pi
    rings = beam.intensity(theta[:, None], phi[None, :]).mean(axis=1) * 2 * math.pi
    running = np.cumsum(rings * np.sin(theta)) * math.pi / 2 / n
    for place in (n // 9, n // 3, 2 * n // 3):
        within = share_within(beam, np.array([place / n * math.pi / 2]))[0]
        assert within == pytest.approx(running[place - 1], abs=2e-6)


@pytest.mark.parametrize("kind", ["A", "B"])
def test_within_a_cone_even_light_has_the_cones_solid_angle(kind: str) -> None:
    """Of the same intensity all over in front 1 − cos θ of the flux lies within θ, to 1e-6 and better."""
    beam = web(kind, np.ones((19, 37)))
    theta = np.radians([0.0, 3.0, 10.0, 45.0, 60.0, 89.0, 90.0, 150.0])
    expected = 1 - np.cos(np.minimum(theta, math.pi / 2))
    assert share_within(beam, theta) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("kind", ["A", "B", "C"])
@given(values=arrays(np.float64, (9, 13), elements=st.floats(0, 100).map(lambda one: round(one, 3))))
def test_the_peak_is_where_the_light_is_highest(kind: str, values: Array) -> None:
    """In the direction told the intensity is the peak, nowhere is it higher, and zones add up to all of the flux."""
    if kind == "C":
        values[-1] = values[0]
        # One direction has one intensity.
        values[:, 0] = values[0, 0]
    if not values[1:-1, 1:-1].any():
        return
    beam = web(kind, values, last=180.0)
    figures = beam_figures(beam, 3.0)
    at = beam.intensity(np.array([figures.peak_angle]), np.array([-figures.peak_plane]))[0]
    if figures.peak_angle < 89.9 * DEGREES:
        # At the poles of types A and B one direction has several intensities.
        assert 3.0 * at == pytest.approx(figures.peak, rel=1e-6)
    theta, phi = np.meshgrid(np.linspace(0, math.pi, 61), np.linspace(0, 2 * math.pi, 49))
    assert 3.0 * beam.intensity(theta, phi).max() <= figures.peak * (1 + 1e-9)
    assert math.fsum(figures.zones) == pytest.approx(1.0)


@pytest.mark.parametrize(
    "beam",
    [
        LAMBERTIAN,
        Wide(width=5.0),
        UniformPlane(cut_off=1.0),
        Table(angles=(0.0, 1.0, 2.5), values=(1.0, 3.0, 0.5)),
        web("C", np.random.default_rng(4).random((1, 10)).repeat(5, axis=0), last=180.0),
    ],
)
def test_zones_are_integrals_of_the_intensity(beam: Beam) -> None:
    """2π ∫ I sin θ dθ by a plain sum over each zone is its share of the flux."""
    figures = beam_figures(beam, 1.0)
    for zone, share in enumerate(figures.zones):
        n = 4000
        theta = (zone + (np.arange(n) + 0.5) / n) * 10 * DEGREES
        intensity = beam.intensity(theta, np.zeros(n))
        total = 2 * math.pi * float(np.sum(intensity * np.sin(theta))) * 10 * DEGREES / n
        assert share == pytest.approx(total, abs=1e-3 if isinstance(beam, UniformPlane) else 1e-6)


def test_half_planes_lie_on_either_side() -> None:
    """Angles above 0 are in the half plane C, below 0 in C + 180 degrees; C counts clockwise as seen from in front."""
    values = np.zeros((5, 3))
    values[:, 0] = 5.0
    for plane, value in enumerate((1.0, 2.0, 3.0, 4.0, 1.0)):
        values[plane, 1:] = value
    beam = web("C", values)
    t = np.radians([-90.0, 0.0, 90.0])
    assert beam.flux * along_plane(beam, 0.0, t) == pytest.approx([3.0, 5.0, 1.0])
    assert beam.flux * along_plane(beam, math.pi / 2, t) == pytest.approx([4.0, 5.0, 2.0])


def test_a_beam_of_another_kind_is_refused() -> None:
    """What is not known to be integrated is not guessed at."""

    class Spiral(CosinePower):
        @property
        def terms(self) -> tuple[()]:
            return ()

    with pytest.raises(InputError, match="Spiral"):
        share_within(Spiral(), np.array([1.0]))
