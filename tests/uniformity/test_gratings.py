"""The first harmonic of rows and of modules on a face."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lumsim.beams.closed import LAMBERTIAN
from lumsim.cabinet.face import Face
from lumsim.errors import InputError
from lumsim.light.infinite_rows import InfiniteRows
from lumsim.light.matern import matern
from lumsim.simulation import simulate
from lumsim.uniformity.gratings import Axis, modulation_along, whole_periods
from tests import cabinets
from tests.cabinets import DIRECT
from tests.uniformity.known_faces import Array, face_of, flat, rippled

SPLINE = 5e-6


@pytest.mark.parametrize("amplitude", [1e-4, 0.05, 0.8])
@pytest.mark.parametrize(("pitch", "shift"), [(0.3, 0.0), (0.24, 0.113), (0.1, 0.03)])
def test_a_cosine_has_its_own_modulation(amplitude: float, pitch: float, shift: float) -> None:
    """1 + a cos kx has the modulation a, wherever its crests lie and however much of a period is left over."""
    face = rippled(pitch=pitch, amplitude=amplitude, shift=shift, width=1.37, height=0.7)
    assert modulation_along(face, "x", pitch) == pytest.approx(amplitude, rel=2e-5)


def test_a_flat_face_has_none() -> None:
    """On a flat face it is 0 exactly, along either axis."""
    assert modulation_along(flat(123.456), "x", 0.3) == 0
    assert modulation_along(flat(1 / 3), "y", 0.1) == 0


def test_the_other_axis_is_averaged_away() -> None:
    """Of (1 + a cos kx)(1 + b cos ly) each axis has its own, over whole periods of the other."""
    k, l = 2 * math.pi / 0.3, 2 * math.pi / 0.2  # noqa: E741
    face = face_of(
        lambda x, y: 50 * (1 + 0.2 * np.cos(k * x)) * (1 + 0.4 * np.cos(l * y)), 1.2, 1.0, detail=0.03
    )
    assert modulation_along(face, "x", 0.3) == pytest.approx(0.2, rel=SPLINE)
    assert modulation_along(face, "y", 0.2) == pytest.approx(0.4, rel=SPLINE)


def test_higher_harmonics_are_left_out() -> None:
    """Of a profile of several harmonics the first alone counts."""
    k = 2 * math.pi / 0.3
    face = face_of(
        lambda x, y: 9 * (1 + 0.1 * np.cos(k * x) + 0.05 * np.cos(2 * k * x) + 0.02 * np.sin(3 * k * x)) + 0 * y,
        1.5, 0.5, detail=0.02,
    )  # fmt: skip
    assert modulation_along(face, "x", 0.3) == pytest.approx(0.1, rel=2e-5)


def test_dark_edges_do_not_leak_in() -> None:
    """With dim edges, half as light and 0.15 m wide, a face without stripes has next to none, and stripes keep theirs.

    The plain Fourier component over the same face would be some 5 % from the edges alone.
    """

    def edges(x: Array) -> Array:
        return np.asarray(1 - 0.25 * (np.exp(-x / 0.15) + np.exp(-(2.1 - x) / 0.15)))

    k = 2 * math.pi / 0.2
    plain = face_of(lambda x, y: edges(x) + 0 * y, 2.1, 0.5, detail=0.03)
    striped = face_of(lambda x, y: edges(x) * (1 + 0.1 * np.cos(k * x)) + 0 * y, 2.1, 0.5, detail=0.03)
    leaked = modulation_along(plain, "x", 0.2)
    x = np.linspace(0, 2, 20001)
    simple = 2 * abs(np.trapezoid(edges(x) * np.exp(1j * k * x), x)) / np.trapezoid(edges(x), x)
    assert simple > 5 * leaked
    assert leaked < 0.004
    assert modulation_along(striped, "x", 0.2) == pytest.approx(0.1, abs=0.004)


@pytest.mark.parametrize(
    ("pitch", "plates"), [(0.8, (0, 0)), (1.3, (0, 0)), (2.2, (0, 0)), (1.6, (0.85, 0.4))]
)
def test_of_endless_rows_it_is_the_poisson_sums_first_harmonic(
    pitch: float, plates: tuple[float, float]
) -> None:
    """Of rows without end it is 2 T₁(2πh/p), thrown back between plates 2 T₁ (1 − R)/(1 − R T₁²)."""
    rows = InfiniteRows(
        beam=LAMBERTIAN, throw=1.0, depth=1.0, back_reflectance=plates[0], face_reflectance=plates[1]
    )
    face = face_of(
        lambda x, y: rows.illuminance(np.zeros(1), np.ravel(y), pitch).reshape(np.shape(y)) + 0 * x,
        2.0, 4.7 * pitch, detail=0.4,
    )  # fmt: skip
    T = float(matern(1.0, np.array([2 * math.pi / pitch]))[0])
    R = plates[0] * plates[1]
    assert modulation_along(face, "y", pitch) == pytest.approx(2 * T * (1 - R) / (1 - R * T**2), rel=1e-4)


def test_in_the_middle_of_a_large_cabinet_it_comes_near_that() -> None:
    """Twelve rows 1.5 throws apart, a border of four throws: 2 T₁, and a little more: light beyond is missing.

    Beyond s throws a half plane of light would give 1/(4 s²) of the mean: some 1.5 % of the four together.
    """
    face = Face(transmittance=0.4, reflectance=0.4, visible_border=0.4)
    lit = simulate(cabinets.in_rows(1.8, 1.8, 0.1, rows=12, modules=36, face=face), lighting=DIRECT)
    T = float(matern(1.0, np.array([2 * math.pi / 1.5]))[0])
    assert 2 * T < modulation_along(lit.luminance, "y", 0.15) < 1.02 * 2 * T


def test_it_is_converged_with_the_samples() -> None:
    """Twice as many samples move it by less than a ten-thousandth, of stripes and of dots."""
    cabinet = cabinets.in_rows(1.2, 0.9, 0.12, rows=5, modules=6)
    usual, fine = (
        simulate(cabinet, lighting=DIRECT, samples_per_detail=samples).luminance for samples in (4.0, 8.0)
    )
    gratings: tuple[tuple[Axis, float], ...] = (("y", 0.18), ("x", 0.2))
    for axis, pitch in gratings:
        modulation = modulation_along(fine, axis, pitch)
        assert modulation > 0.01
        assert modulation_along(usual, axis, pitch) == pytest.approx(modulation, rel=1e-4)


def test_so_many_whole_periods_are_left() -> None:
    """The running mean takes one pitch off the face; of what is left whole periods count, to the last digit."""
    face = flat(1.0)
    pitches = (0.3, 0.31, 0.4, 0.6, 0.61, 1.2, 5.0)
    assert [whole_periods(face, "x", pitch) for pitch in pitches] == [3, 2, 2, 1, 0, 0, 0]
    assert [whole_periods(face, "y", pitch) for pitch in (0.3, 0.1, 0.2)] == [1, 5, 2]


def test_a_face_too_small_for_a_period_is_refused() -> None:
    """Below two pitches there is nothing to take a harmonic of."""
    with pytest.raises(InputError, match=r"2 pitches of 0.61 m are needed along x, the face has 1.2 m"):
        modulation_along(flat(1.0), "x", 0.61)
