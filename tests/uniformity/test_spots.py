"""Hot spots, dark spots and stripes, on faces where their contrast can be told by hand."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import pytest

from lumsim.beams.tables import UniformPlane
from lumsim.cabinet.face import Face
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import evenness
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.requirement import Requirement
from lumsim.uniformity.spots import MOST_LISTED, Spots, find_spots
from tests import cabinets
from tests.cabinets import DIRECT
from tests.uniformity.known_faces import Array, bump, face_of, flat

HEIGHTS = 1e-5
"""Peaks and saddles are climbed by parabolas, which leaves some 1e-6 of their height. [1]"""

PLACES = 1e-3
"""A height within 1e-6 leaves a place within sqrt(2e-6) of a detail of some 0.1 m. [m]"""


def spots_of(
    face: FaceMap,
    *,
    row_lines: tuple[float, ...] = (0.1, 0.2),
    direction: Literal["horizontal", "vertical"] = "horizontal",
    least_contrast: float = 0.02,
) -> Spots:
    """Find what stands out on a face."""
    even = evenness(face, 0.2)
    return find_spots(face, even, direction=direction, row_lines=row_lines, least_contrast=least_contrast)


def contrast(one: float, other: float) -> float:
    """Contrast of two luminances [1]."""
    return abs(one - other) / (one + other)


def egg_box(
    columns: int, rows: int, *, pitch: float = 0.2, level: float = 10.0, sign: int = 1, shift: float = 0.5
) -> FaceMap:
    """Return a face with level ± (cos kx + cos ky): columns by rows of equal peaks, a shift of a pitch inside."""
    k = 2 * math.pi / pitch
    return face_of(
        lambda x, y: level + sign * (np.cos(k * (x - shift * pitch)) + np.cos(k * (y - shift * pitch))),
        columns * pitch,
        rows * pitch,
        detail=pitch / (2 * math.pi),
    )


@pytest.mark.parametrize("level", [0.1, 1 / 3, 123.456])
def test_a_flat_face_has_nothing_that_stands_out(level: float) -> None:
    """A perfectly flat face has neither spots nor stripes, however small a contrast is asked for."""
    for row_lines in ((0.3,), (0.2, 0.4)):
        found = spots_of(flat(level), row_lines=row_lines, least_contrast=1e-9)
        assert (found.hot, found.dark, found.stripes) == ((), (), ())
        assert (found.hot_not_listed, found.dark_not_listed) == (0, 0)


@pytest.mark.parametrize(
    ("at", "where"),
    [
        ((0.43, 0.31), (0.43, 0.31)),
        ((0.43, 0.0), (0.43, 0.0)),
        ((0.43, 0.63), (0.43, 0.6)),
        ((0.0, 0.0), (0.0, 0.0)),
        ((1.04, 0.62), (1.0, 0.6)),
    ],
    ids=["inside", "on an edge", "beyond an edge", "in a corner", "beyond a corner"],
)
@pytest.mark.parametrize("sign", [1, -1], ids=["hot", "dark"])
def test_one_bump_is_one_spot(at: tuple[float, float], where: tuple[float, float], sign: int) -> None:
    """One bump is one spot, wherever it lies; with nothing beyond it to go to, its saddle is the far extreme."""
    face = face_of(lambda x, y: 100 + sign * 50 * bump(x, y, at=at, sigma=0.1), 1.0, 0.6, detail=0.07)
    found = spots_of(face)
    (spot,) = found.hot if sign > 0 else found.dark
    top = float(face.at(np.array(where[0]), np.array(where[1])))
    corners = face.at(np.array([0.0, 1.0, 0.0, 1.0]), np.array([0.0, 0.0, 0.6, 0.6]))
    far = float(corners.min() if sign > 0 else corners.max())
    assert (spot.x, spot.y) == pytest.approx(where, abs=PLACES)
    assert spot.luminance == pytest.approx(top, rel=HEIGHTS)
    assert spot.saddle == pytest.approx(far, rel=HEIGHTS)
    assert spot.contrast == pytest.approx(contrast(top, far), abs=HEIGHTS)


@pytest.mark.parametrize("sign", [1, -1], ids=["hot", "dark"])
@pytest.mark.parametrize("apart", [0.25, 0.3, 0.5])
def test_the_lower_of_two_bumps_ends_at_their_saddle(apart: float, sign: int) -> None:
    """Of two bumps the weaker's contrast is against the pass between them, which lies on the line through both."""
    one, other = (0.2, 0.3), (0.2 + apart, 0.3)

    def field(x: Array, y: Array) -> Array:
        return 100 + sign * (40 * bump(x, y, at=one, sigma=0.07) + 30 * bump(x, y, at=other, sigma=0.07))

    found = spots_of(face_of(field, 1.0, 0.6, detail=0.05))
    strong, weak = found.hot if sign > 0 else found.dark
    line = sign * field(np.linspace(one[0], other[0], 200_001), np.full(200_001, 0.3))
    middle = int(np.argmin(line))
    top, saddle = abs(float(line[middle:].max())), abs(float(line[middle]))
    assert strong.x == pytest.approx(0.2, abs=0.01)
    assert weak.x == pytest.approx(other[0], abs=0.01)
    assert weak.luminance == pytest.approx(top, rel=HEIGHTS)
    assert weak.saddle == pytest.approx(saddle, rel=HEIGHTS)
    assert weak.contrast == pytest.approx(contrast(top, saddle), abs=HEIGHTS)


def test_a_spot_is_told_from_the_least_contrast_on() -> None:
    """Three equal peaks with passes at 10 of 12 are told up to that contrast, and above it only one of them."""
    face = egg_box(3, 1)
    exact = contrast(12, 10)
    told = spots_of(face, least_contrast=exact - 1e-4)
    assert len(told.hot) == 3
    assert len(spots_of(face, least_contrast=exact + 1e-4).hot) == 1


@pytest.mark.parametrize("sign", [1, -1], ids=["hot", "dark"])
@pytest.mark.parametrize("shift", [0.5, 0.37, 0.813])
def test_of_equal_spots_the_lowest_counts_as_the_highest(shift: float, sign: int) -> None:
    """Of equal peaks the one with the lowest y, then x counts as the higher: its saddle is the far extreme.

    The others' saddles are the passes between neighbours: of 10 ± (cos kx + cos ky) at 10.
    """
    found = spots_of(egg_box(3, 2, sign=sign, shift=shift))
    listed = found.hot if sign > 0 else found.dark
    told = listed[:6] if shift == 0.5 else [s for s in listed if abs(s.luminance - (10 + 2 * sign)) < 1e-3]
    peak, far = 10 + 2 * sign, 10 - 2 * sign
    assert len(told) == 6
    assert (told[0].x, told[0].y) == pytest.approx((0.2 * shift, 0.2 * shift), abs=PLACES)
    assert told[0].contrast == pytest.approx(contrast(peak, far), abs=HEIGHTS)
    for spot in told[1:]:
        assert spot.contrast == pytest.approx(contrast(peak, 10), abs=HEIGHTS)
    places = [(round(spot.y, 3), round(spot.x, 3)) for spot in told]
    assert places[1:] == sorted(places[1:])


def test_four_equal_modules_are_told_from_the_lower_left_on() -> None:
    """In a symmetric cabinet four modules tie but for rounding: the lower left one counts as the highest."""
    simulation = simulate(
        cabinets.listed(1.0, 0.6, 0.1, [(0.3, 0.2), (0.7, 0.2), (0.3, 0.4), (0.7, 0.4)]), lighting=DIRECT
    )
    hot = simulation.spots.hot
    assert len(hot) == 4
    assert [(round(spot.x, 1), round(spot.y, 1)) for spot in hot] == [
        (0.3, 0.2),
        (0.7, 0.2),
        (0.3, 0.4),
        (0.7, 0.4),
    ]
    assert hot[0].saddle == pytest.approx(simulation.evenness.darkest.value, rel=HEIGHTS)
    # The lower right one has to cross the wide gap to it, the upper two only the narrow one below them.
    assert hot[1].contrast > 1.1 * hot[2].contrast
    assert hot[3].contrast == pytest.approx(hot[2].contrast, rel=1e-6)


def test_a_plateau_is_one_spot_at_its_lowest_point() -> None:
    """A level plateau is one spot, named at its lowest y, then x."""
    # A round plateau of radius 0.15 about (0.5, 0.3): its lowest sample lies at y = 0.15.
    face = face_of(
        lambda x, y: 100 + 50 * np.clip(2 - np.hypot(x - 0.5, y - 0.3) / 0.15, 0, 1), 1.0, 0.6, detail=0.06
    )
    (spot,) = spots_of(face).hot
    assert spot.luminance == 150
    assert spot.contrast == pytest.approx(contrast(150, 100), rel=1e-9)
    assert spot.y == pytest.approx(0.15, abs=1.5 * face.steps[1])


@pytest.mark.parametrize(("columns", "rows"), [(10, 8), (20, 15)])
def test_spots_beyond_the_most_listed_are_counted(columns: int, rows: int) -> None:
    """No more than fifty spots are listed of each kind, the strongest; all others are counted."""
    found = spots_of(egg_box(columns, rows))
    assert len(found.hot) == MOST_LISTED
    assert found.hot_not_listed == columns * rows - MOST_LISTED
    strengths = [round(spot.contrast, 6) for spot in found.hot]
    assert strengths == sorted(strengths, reverse=True)


def rowed(
    ripple: float, *, rows: int = 3, pitch: float = 0.2, amplitude: float = 0.3, dots: int = 6
) -> FaceMap:
    """Return a face with bright bands along x, half a pitch inside, each rippled by dots."""
    return face_of(
        lambda x, y: (
            100
            * (1 - amplitude * np.cos(2 * math.pi * y / pitch))
            * (1 - ripple * np.cos(2 * math.pi * x / (1.2 / dots)))
        ),
        1.2,
        rows * pitch,
        detail=0.03,
    )


ROW_LINES = (0.1, 0.3, 0.5)


@pytest.mark.parametrize("ripple", [0.0, 0.01, 0.019])
def test_a_ridge_along_a_row_is_a_stripe_and_no_list_of_spots(ripple: float) -> None:
    """Rows whose modules run together, above the least contrast, are one stripe each, and no spots."""
    found = spots_of(rowed(ripple), row_lines=ROW_LINES)
    assert found.hot == ()
    assert [stripe.rows for stripe in found.stripes] == [(1,), (2,), (3,)]
    for stripe, line in zip(found.stripes, ROW_LINES, strict=True):
        assert stripe.position == pytest.approx(line, abs=PLACES)
        assert stripe.luminance == pytest.approx(130, rel=2e-4)
        assert stripe.contrast == pytest.approx(0.3, abs=2e-4)


def test_dots_that_stand_out_of_their_row_are_spots_too() -> None:
    """Where dots along a row stand out by more than the least contrast they are listed, and the stripe too."""
    found = spots_of(rowed(0.2), row_lines=ROW_LINES)
    assert len(found.stripes) == 3
    assert len(found.hot) == 18
    # All tie at 130 · 1.2. The first falls to 70 · 0.8, the first of each other row to the valley at 70 · 1.2,
    # and all others to the pass along their row at 130 · 0.8.
    expected = [contrast(156, 56)] + 2 * [contrast(156, 84)] + 15 * [contrast(156, 104)]
    assert [spot.contrast for spot in found.hot] == pytest.approx(expected, abs=HEIGHTS)


def test_a_stripe_between_rows_belongs_to_both() -> None:
    """A bright band that lies between two rows is told with both."""
    found = spots_of(rowed(0.0), row_lines=(0.0, 0.2, 0.4, 0.6))
    assert [stripe.rows for stripe in found.stripes] == [(1, 2), (2, 3), (3, 4)]


def test_a_stripe_beyond_the_last_row_belongs_to_that_row() -> None:
    """A bright band outside all rows is told with the nearest."""
    found = spots_of(rowed(0.0), row_lines=(0.2, 0.4))
    assert [stripe.rows for stripe in found.stripes] == [(1,), (1, 2), (2,)]


def test_vertical_rows_are_told_alike() -> None:
    """A face turned on its side has the same stripes, across x."""
    face = rowed(0.01)

    def turned_at(x: Array, y: Array) -> Array:
        return face.at(y, x)

    turned = FaceMap(x=face.y, y=face.x, values=face.values.T, at=turned_at, detail=face.detail)
    upright = spots_of(turned, row_lines=ROW_LINES, direction="vertical")
    level = spots_of(face, row_lines=ROW_LINES)
    assert upright.direction == "vertical"
    assert [stripe.rows for stripe in upright.stripes] == [stripe.rows for stripe in level.stripes]
    for one, other in zip(upright.stripes, level.stripes, strict=True):
        assert one.position == pytest.approx(other.position, abs=1e-12)
        assert one.contrast == pytest.approx(other.contrast, rel=1e-9)
    assert upright.hot == level.hot == ()


def test_a_single_row_is_a_stripe_against_its_brighter_side() -> None:
    """The one band of a single row is a stripe; its valley is the higher of the lowest points beside it."""
    face = face_of(
        lambda x, y: 100 + 50 * np.exp(-((y - 0.3) ** 2) / 0.02) + 20 * y + 0 * x, 1.2, 0.6, detail=0.07
    )
    (stripe,) = spots_of(face, row_lines=(0.3,)).stripes
    y = np.linspace(0, 0.6, 600_001)
    profile = 100 + 50 * np.exp(-((y - 0.3) ** 2) / 0.02) + 20 * y
    top = int(np.argmax(profile))
    valley = max(float(profile[:top].min()), float(profile[top:].min()))
    assert stripe.rows == (1,)
    assert stripe.valley == pytest.approx(valley, rel=2e-4)
    assert stripe.contrast == pytest.approx(contrast(float(profile[top]), valley), abs=2e-4)


def test_a_dark_band_between_rows_is_no_list_of_dark_spots() -> None:
    """The dark bands between stripes are told by the stripes' contrast, and not again as dark spots."""
    face = rowed(0.01)
    dark = spots_of(face, row_lines=ROW_LINES).dark
    assert all(spot.y < 0.01 or spot.y > 0.59 for spot in dark)


def test_the_darkest_place_is_a_dark_spot_wherever_it_is() -> None:
    """A dip too faint to stand out of its dark band is the first dark spot if nothing is darker, and else none."""

    def dark_spots(dip: float) -> list[tuple[float, float]]:
        face = face_of(
            lambda x, y: (
                100
                - 20 * np.cos(2 * np.pi * y / 0.3)
                - dip * bump(x, y, at=(0.5, 0.3), sigma=0.1)
                - 3 * bump(x, y, at=(0, 0), sigma=0.05)
            ),
            1.2,
            0.6,
            detail=0.03,
        )
        return [(round(one.x, 3), round(one.y, 3)) for one in spots_of(face, row_lines=(0.15, 0.45)).dark]

    assert dark_spots(3.2)[0] == (0.5, 0.3)
    assert dark_spots(2.8)[0] == (0, 0)
    assert (0.5, 0.3) not in dark_spots(2.8)


@pytest.mark.parametrize("rows", [2, 4])
def test_many_modules_in_rows_are_stripes(rows: int) -> None:
    """Ninety-six modules close together along their rows are as many stripes as rows, and no hot spots."""
    cabinet = cabinets.in_rows(2.4, 0.25 * rows, 0.125, rows=rows, modules=96 // rows)
    spots = simulate(cabinet, lighting=DIRECT).spots
    assert [stripe.rows for stripe in spots.stripes] == [(row + 1,) for row in range(rows)]
    assert spots.hot == ()
    assert spots.hot_not_listed == 0


@pytest.mark.parametrize("least_contrast", [0.02, 0.05, 0.2])
@pytest.mark.parametrize(
    ("width", "height", "depth", "rows", "modules"),
    [(1.2, 0.8, 0.08, 3, 5), (1.2, 0.8, 0.08, 3, 4), (1.2, 0.6, 0.06, 2, 5), (2.4, 1.2, 0.1, 4, 9)],
)
def test_modules_far_apart_are_a_hot_spot_each(
    width: float, height: float, depth: float, rows: int, modules: int, least_contrast: float
) -> None:
    """Modules nearly three throws apart both ways are round dots: each is told, from any least contrast up."""
    cabinet = cabinets.in_rows(width, height, depth, rows=rows, modules=modules)
    spots = simulate(cabinet, Requirement(spot_contrast=least_contrast), lighting=DIRECT).spots
    assert len(spots.hot) + spots.hot_not_listed == rows * modules


def test_a_much_stronger_module_is_a_hot_spot_of_its_row() -> None:
    """A module three times as strong as its row's others is told as a hot spot where it stands."""
    row = np.column_stack([np.arange(0.05, 1.2, 0.1), np.full(12, 0.25)])
    lumens = np.full(12, 50.0)
    lumens[7] = 150.0
    spots = simulate(cabinets.listed(1.2, 0.5, 0.125, row, lumens=lumens), lighting=DIRECT).spots
    assert len(spots.hot) == 1
    assert (spots.hot[0].x, spots.hot[0].y) == pytest.approx((0.75, 0.25), abs=0.01)


@pytest.mark.parametrize("depth", [0.10, 0.12, 0.14])
def test_the_spot_that_is_the_face_s_extreme_stands_where_that_does(depth: float) -> None:
    """Brightest and darkest place, and the hot and the dark spot that they are, have one place and one luminance."""
    cabinet = cabinets.in_rows(0.6, 0.4, depth, rows=2, modules=3)
    lit = simulate(cabinet, Requirement(), lighting=DIRECT)
    even, spots = lit.evenness, lit.spots
    for found, own, other in (
        (spots.hot, even.brightest, even.darkest),
        (spots.dark, even.darkest, even.brightest),
    ):
        (spot,) = [one for one in found if one.saddle == other.value]
        assert (spot.x, spot.y, spot.luminance) == (own.x, own.y, own.value)


def test_hills_without_any_curvature_have_a_shape_too() -> None:
    """Discs of even light that overlap make plateaus, whose curvature is nothing but rounding: no number overflows."""
    even = cabinets.in_rows(
        48 * 0.0254,
        18 * 0.0254,
        4 * 0.0254,
        rows=3,
        modules=12,
        beam=UniformPlane(cut_off=math.radians(60)),
        face=Face(transmittance=0.4, reflectance=0.4, visible_border=0.0254),
    )
    found = simulate(even, lighting=DIRECT).worse.spots
    assert found.hot
    assert found.dark
