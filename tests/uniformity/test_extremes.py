"""The highest and the lowest point of a face: none is missed, wherever it lies."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import extremes_of
from lumsim.uniformity.extremes import highest, lowest
from lumsim.whole_light import light_on_face
from tests import cabinets
from tests.cabinets import DIRECT
from tests.uniformity.known_faces import Array, Field, bump, face_of, flat
from tests.uniformity.searched import search_face

PROMISED = 1e-4
"""What max/min is promised to: against brute force, and against a finer grid."""

SEARCHED = 1e-6
"""How far brute force may be off, by its own proof."""


def study(number: int) -> Cabinet:
    """Draw one of many cabinets; the first eight are of kinds that must be among them."""
    draw = np.random.default_rng(1000 + number)
    throw = float(draw.uniform(0.05, 0.3))
    width, height = (float(size) for size in throw * draw.uniform(1, 12, 2))
    exponent: float | NDArray[np.float64] = float(
        draw.choice([0.0, 0.3, 0.8, 1.0, 1.0, 1.0, 1.5, 2.0, 5.5, 15.0, 33.3, 60.0])
    )
    border = float(draw.choice([0.0, 0.0, 0.05])) * min(width, height)
    count = int(draw.integers(2, 40))
    places = draw.uniform([0, 0], [width, height], (count, 2))
    z: float | NDArray[np.float64] = 0.0
    if number == 0:
        places = np.array([[0.37 * width, 0.61 * height]])
    elif number == 1:
        places = np.array([[0.0, height]])
    elif number == 2:  # throw 0.05 × pitch
        width, height = 60 * throw, 40 * throw
        places = _grid(width, height, 3, 2)
        exponent = 1.0
    elif number == 3:  # throw 0.05 × pitch, off the middle
        width, height = 45 * throw, 25 * throw
        places = _grid(width, height, 2, 1) + np.array([3.3, -2.1]) * throw
        exponent = 0.0
    elif number == 4:  # a steep beam
        width, height = 6 * throw, 4 * throw
        places = _grid(width, height, 8, 5)
        exponent = 60.0
    elif number == 5:  # off-centre rows
        places = _grid(width, height, 6, 3) * 0.8
    elif number == 6:  # throws and beams mixed
        z = draw.uniform(0, 0.6 * throw, count)
        exponent = draw.choice([0.0, 1.0, 2.0, 20.0, 60.0], count)
    elif number == 7:  # two modules nearer than where they part
        width, height = 4 * throw, 3 * throw
        places = np.array([[1.2, 1.4], [2.09, 1.4]]) * throw
        exponent = 1.0
    elif number % 3 == 0:  # rows and columns
        places = _grid(width, height, int(draw.integers(1, 9)), int(draw.integers(1, 5)))
    elif number % 3 == 1:  # rows, slightly off as built
        places = _grid(width, height, int(draw.integers(2, 9)), int(draw.integers(1, 5)))
        places = places + draw.normal(0, 0.02 * throw, places.shape)
        places = np.clip(places, 0, [width, height])
    face = Face(transmittance=0.4, reflectance=0.4, visible_border=border)
    depth = throw
    return cabinets.listed(width, height, depth, places, z=z, exponent=exponent, face=face)


def _grid(width: float, height: float, columns: int, rows: int) -> Array:
    x, y = np.meshgrid((np.arange(columns) + 0.5) / columns * width, (np.arange(rows) + 0.5) / rows * height)
    return np.column_stack([x.ravel(), y.ravel()])


def check_against_brute_force(cabinet: Cabinet, steps_per_throw: int) -> None:
    """Compare both extremes, and their ratio, with brute force."""
    truth = search_face(cabinet, steps_per_throw=steps_per_throw, short=SEARCHED)
    per_lux = cabinet.face.transmittance / math.pi
    brightest, darkest = extremes_of(light_on_face(cabinet))
    top, bottom = brightest.value / per_lux, darkest.value / per_lux
    # Every sample is a place on the face: none may pass what lumsim says, and lumsim may not pass the proof.
    assert top >= truth.grid_highest * (1 - 1e-9)
    assert bottom <= truth.grid_lowest * (1 + 1e-9)
    assert top <= truth.grid_highest * (1 + truth.grid_short) / (1 - truth.grid_short)
    assert top == pytest.approx(truth.highest, rel=PROMISED / 4, abs=0)
    assert bottom == pytest.approx(truth.lowest, rel=PROMISED / 4, abs=0)
    assert top <= truth.highest * (1 + 2 * truth.short)
    assert bottom >= truth.lowest * (1 - 2 * truth.short)
    assert top / bottom == pytest.approx(truth.highest / truth.lowest, rel=PROMISED, abs=0)


@pytest.mark.parametrize("number", range(50))
def test_max_to_min_is_what_brute_force_finds(number: int) -> None:
    """On fifty cabinets of every kind max/min is that of a search at a fortieth of the throw, within 1e-4."""
    check_against_brute_force(study(number), steps_per_throw=40)


@pytest.mark.parametrize("number", range(50))
def test_max_to_min_does_not_hang_on_the_grid(number: int) -> None:
    """Twice the samples for each detail change max/min by no more than 1e-4, on the same fifty cabinets."""
    cabinet = study(number)
    usual, finer = (extremes_of(light_on_face(cabinet, samples_per_detail=samples)) for samples in (4.0, 8.0))
    ratios = [brightest.value / darkest.value for brightest, darkest in (usual, finer)]
    assert ratios[0] == pytest.approx(ratios[1], rel=PROMISED, abs=0)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(50, 400))
def test_max_to_min_is_what_brute_force_finds_on_many_more(number: int) -> None:
    """On hundreds of further cabinets max/min is what brute force finds, and hangs on no grid."""
    check_against_brute_force(study(number), steps_per_throw=60)
    test_max_to_min_does_not_hang_on_the_grid(number)


def test_evenness_states_these_extremes() -> None:
    """The brightest and the darkest point of a simulation are the face's, and max/min is their ratio."""
    simulation = simulate(study(9), lighting=DIRECT)
    brightest, darkest = extremes_of(simulation.luminance)
    assert simulation.evenness.brightest == brightest
    assert simulation.evenness.darkest == darkest
    assert simulation.evenness.max_to_min == brightest.value / darkest.value


@pytest.mark.parametrize("level", [0.1, 0.3, 100.0, 123.456])
def test_on_a_flat_face_both_extremes_are_at_the_lower_left(level: float) -> None:
    """On a perfectly flat face every point ties: both extremes are at the lower left corner."""
    for extreme in extremes_of(flat(level)):
        assert (extreme.value, extreme.x, extreme.y) == (level, 0.0, 0.0)


def test_a_tie_goes_to_the_lowest_y_then_the_lowest_x() -> None:
    """Of equal peaks the one with the lowest y, then the lowest x is named, wherever the grid lies to them."""
    for pitch_x, pitch_y, x0, y0 in (
        (0.3, 0.25, 0.07, 0.06),
        (0.31, 0.23, 0.123, 0.099),
        (0.29, 0.37, 0.2, 0.3),
    ):

        def egg_box(
            x: Array,
            y: Array,
            pitch_x: float = pitch_x,
            pitch_y: float = pitch_y,
            x0: float = x0,
            y0: float = y0,
        ) -> Array:
            ripple_x = np.cos(2 * np.pi * (x - x0) / pitch_x)
            return np.asarray(10 + ripple_x + np.cos(2 * np.pi * (y - y0) / pitch_y), dtype=np.float64)

        face = face_of(egg_box, 1.3, 1.1, detail=0.03)
        brightest, darkest = extremes_of(face)
        assert (brightest.x, brightest.y) == pytest.approx((x0 % pitch_x, y0 % pitch_y), abs=1e-5)
        trough = ((x0 + pitch_x / 2) % pitch_x, (y0 + pitch_y / 2) % pitch_y)
        assert (darkest.x, darkest.y) == pytest.approx(trough, abs=1e-5)


@pytest.mark.parametrize("higher", [1e-6, 1e-3])
@pytest.mark.parametrize("across", [(1, 0), (0, 1), (1, 1)])
def test_the_higher_of_two_peaks_that_are_nearly_mirror_images_is_named(
    higher: float, across: tuple[int, int]
) -> None:
    """Of two bells at mirrored places the one that is a millionth higher is found, though it is not the lower left."""
    low = (0.3, 0.2)
    high = (0.7 if across[0] else 0.3, 0.4 if across[1] else 0.2)

    def two(x: Array, y: Array) -> Array:
        return 5 + bump(x, y, at=low, sigma=0.08) + (1 + higher) * bump(x, y, at=high, sigma=0.08)

    brightest, _ = extremes_of(face_of(two, 1.0, 0.6, detail=0.08))
    assert (brightest.x, brightest.y) == pytest.approx(high, abs=3e-2)


def test_of_mirror_images_the_lower_left_one_is_named() -> None:
    """A face that is its own image in both mirrors has its extremes told in the lower left quarter."""

    def four(x: Array, y: Array) -> Array:
        bells = [bump(x, y, at=(a, b), sigma=0.1) for a in (0.3, 0.7) for b in (0.2, 0.5)]
        return np.asarray(5 + np.sum(bells, axis=0), dtype=np.float64)

    brightest, darkest = extremes_of(face_of(four, 1.0, 0.7, detail=0.1))
    assert brightest.x < 0.5
    assert brightest.y < 0.35
    assert (darkest.x, darkest.y) == (0.0, 0.0)


def test_a_ridge_across_the_face_ties_along_itself() -> None:
    """Along a level ridge every point ties: the lowest one is named."""
    face = face_of(lambda x, y: 5 + bump(x, 0 * y, at=(0.43, 0.0), sigma=0.1), 1.0, 0.5, detail=0.1)
    brightest, _ = extremes_of(face)
    assert brightest.value == pytest.approx(6, rel=1e-9)
    assert (brightest.x, brightest.y) == pytest.approx((0.43, 0.0), abs=1e-5)


@pytest.mark.parametrize(
    ("at", "where"),
    [
        ((0.437, 0.281), (0.437, 0.281)),
        ((0.437, -0.02), (0.437, 0.0)),
        ((1.03, 0.281), (1.0, 0.281)),
        ((0.002, 0.598), (0.002, 0.598)),
        ((-0.01, 0.61), (0.0, 0.6)),
    ],
    ids=["inside", "below the edge", "right of the edge", "near a corner", "beyond a corner"],
)
@pytest.mark.parametrize("search", [highest, lowest])
def test_a_peak_is_found_inside_on_an_edge_and_in_a_corner(
    search: Callable[..., object], at: tuple[float, float], where: tuple[float, float]
) -> None:
    """A bell curve's top, or what the face leaves of it, is found to 1e-9, and likewise a pit's."""
    sigma, up = 0.1, search is highest

    def hill(x: Array, y: Array) -> Array:
        return bump(x, y, at=at, sigma=sigma)

    field: Field = hill if up else lambda x, y: -hill(x, y)
    face = face_of(lambda x, y: 2 + field(x, y), 1.0, 0.6, detail=sigma)
    extreme = (highest if up else lowest)(field, face.x, face.y, face.values - 2)
    expected = float(field(np.array(where[0]), np.array(where[1])))
    assert extreme.value == pytest.approx(expected, rel=1e-9)
    assert (extreme.x, extreme.y) == pytest.approx(where, abs=2e-5)


@pytest.mark.parametrize("gap", [1.9, 2.0, 2.05, 2.2])
def test_two_peaks_that_have_hardly_parted(gap: float) -> None:
    """Of two bells of unequal height about where they part, the higher sum's top is found to 1e-9."""
    sigma = 0.1
    apart = gap * sigma

    def pair(x: Array, y: Array) -> Array:
        return bump(x, y, at=(0.5, 0.3), sigma=sigma) + 0.999 * bump(x, y, at=(0.5 + apart, 0.3), sigma=sigma)

    face = face_of(lambda x, y: 1 + pair(x, y), 1.1, 0.6, detail=sigma / 2)
    brightest, _ = extremes_of(face)
    dense = np.linspace(0.45, 0.55 + apart, 2_000_001)
    assert brightest.value == pytest.approx(1 + float(pair(dense, np.full_like(dense, 0.3)).max()), rel=1e-9)


def test_a_line_and_a_point_are_fields_too() -> None:
    """A field without extent in one direction, or in both, has its extremes there."""
    x = np.linspace(0, 1, 41)

    def wave(px: Array, py: Array) -> Array:
        return np.asarray(3 + np.sin(7 * px) * np.cos(py), dtype=np.float64)

    y = np.array([0.3])
    top = highest(wave, x, y, wave(*np.meshgrid(x, y)))
    assert top.value == pytest.approx(3 + math.cos(0.3), rel=1e-9)
    assert (top.x, top.y) == pytest.approx((math.pi / 14, 0.3), abs=1e-5)
    point = lowest(wave, y, y, wave(*np.meshgrid(y, y)))
    assert point.value == pytest.approx(3 + math.sin(2.1) * math.cos(0.3), rel=1e-12)
