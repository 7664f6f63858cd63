"""Modules in one line, with nothing around them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import UniformPlane
from lumsim.cabinet.modules import Module
from lumsim.errors import InputError
from lumsim.light.direct import DirectLight
from lumsim.light.modules_in_line import along_line, merging_distance, modules_in_line
from tests import cabinets

KIND = Module(name="standard", lumens=100.0)


def test_light_along_a_line_is_that_at_its_points() -> None:
    """Both ends and the middle of a slanted line have the light of the face there, at their distance from its start."""
    cabinet = cabinets.shop_sign()
    light = DirectLight(cabinet.sources(), cabinet.box.depth)
    places, E = along_line(light, (0.1, 0.2), (0.4, 0.6), samples=5)
    assert places == pytest.approx([0, 0.125, 0.25, 0.375, 0.5])
    there = light.illuminance(np.array([0.1, 0.25, 0.4]), np.array([0.2, 0.4, 0.6]))
    assert E[::2] == pytest.approx(there)


def test_one_module_alone_is_the_inverse_square_and_the_cosines() -> None:
    """Over a Lambertian module E = Φ/π h², and at x from its foot that times (h²/(h² + x²))² (inverse-square law)."""
    places, E = along_line(modules_in_line(KIND, [0.3], 0.1), (0.0, 0.0), (0.6, 0.0), samples=7)
    expected = 100 / (math.pi * 0.1**2) * (0.1**2 / (0.1**2 + (places - 0.3) ** 2)) ** 2
    assert pytest.approx(expected) == E


@pytest.mark.parametrize("pitch", [0.5, 0.75, 1.0, 1.5])
def test_a_long_row_ripples_as_its_sum_says(pitch: float) -> None:
    """Along a long row max/min is Poisson's sum of Lambertian modules, whose transform is (1 + k) e^−k (derived)."""
    count = 201
    row = modules_in_line(KIND, [0.1 * pitch * number for number in range(count)], 0.1)
    middle = 0.1 * pitch * (count // 2)
    _, E = along_line(row, (middle, 0.0), (middle + 0.1 * pitch, 0.0), samples=3)
    k = 2 * math.pi / pitch * np.arange(1.0, 30.0)
    terms = 2 * (1 + k) * np.exp(-k)
    on, midway = 1 + terms.sum(), 1 + (terms * (-1) ** np.arange(1.0, 30.0)).sum()
    # What a row of so many pitches leaves out is 1e-5 of its light at most, on a module as midway.
    assert E.max() / E.min() == pytest.approx(on / midway, abs=2e-6)
    assert E[0] == E.max()
    assert E[1] == E.min()


@pytest.mark.parametrize("m", [0.0, 0.8, 1.0, 1.5, 2.0, 7.0, 1000.0])
def test_two_modules_part_at_the_published_distance(m: float) -> None:
    """Two become two humps at d = √(4/(m + 4)) h, whatever the throw (Moreno et al. 2006)."""
    for throw in (0.05, 1.0):
        assert merging_distance(CosinePower(exponent=m), throw) == pytest.approx(
            math.sqrt(4 / (m + 4)) * throw, rel=1e-12
        )


def test_nearer_there_is_one_hump_and_farther_two() -> None:
    """A little nearer than that the middle is the brightest place, a little farther it is a dip."""
    merging = merging_distance(LAMBERTIAN, 0.1)
    assert merging is not None
    for factor, dips in ((0.98, False), (1.02, True)):
        half = factor * merging / 2
        pair = modules_in_line(KIND, [-half, half], 0.1)
        _, E = along_line(pair, (-0.002, 0.0), (0.002, 0.0), samples=3)
        assert (E[1] < E[0]) == dips


def test_a_beam_with_a_dip_of_its_own_never_makes_one_hump() -> None:
    """A wide beam that is darkest over the module itself parts two of them at any distance."""
    assert merging_distance(Wide(width=5.0), 0.1) is None


def test_two_wide_modules_part_where_the_middle_is_flat() -> None:
    """At that distance the light of two wide modules has no curvature midway, by differences of the light itself."""
    merging = merging_distance(Wide(width=1.0), 1.0)
    assert merging is not None
    pair = modules_in_line(
        Module(name="wide", lumens=1.0, beam=Wide(width=1.0)), [-merging / 2, merging / 2], 1.0
    )
    bends = []
    for reach in (0.02, 0.01):
        _, E = along_line(pair, (-reach, 0.0), (reach, 0.0), samples=3)
        bends.append((E[0] - 2 * E[1] + E[2]) / (reach**2 * E[1]))
    # What is left is the fourth derivative's part, which falls with the square of the reach.
    assert bends[1] == pytest.approx(bends[0] / 4, rel=0.02)
    assert abs(bends[1]) < 1e-3


def test_beams_with_steps_are_refused() -> None:
    """Discs of light with sharp rims part where the rims do, which no curvature tells: they are refused."""
    with pytest.raises(InputError, match="cosine powers"):
        merging_distance(UniformPlane(cut_off=math.radians(60)), 0.1)
    with pytest.raises(InputError, match="throw"):
        merging_distance(LAMBERTIAN, 0.0)


@pytest.mark.parametrize(
    ("places", "throw", "says"),
    [([], 0.1, "no light"), ([0.0], 0.0, "throw"), ([0.0], math.inf, "throw"), ([math.nan], 0.1, "place")],
)
def test_what_gives_no_light_is_refused(places: list[float], throw: float, says: str) -> None:
    """No module, and a throw that is none, are told."""
    with pytest.raises(InputError, match=says):
        modules_in_line(KIND, places, throw)


def test_a_line_of_one_point_is_refused() -> None:
    """Fewer than two points are no line."""
    with pytest.raises(InputError, match="2 points"):
        along_line(modules_in_line(KIND, [0.0], 0.1), (0.0, 0.0), (1.0, 0.0), samples=1)
