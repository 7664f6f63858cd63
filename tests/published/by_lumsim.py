"""Every number from outside once more, by lumsim's own functions: one function for each kind of check.

A check takes the parameters of an entry of ``values.toml`` by name and returns lumsim's answer. Lengths that
are named after a throw are in throws.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize, minimize_scalar

from lumsim.beams.closed import LAMBERTIAN, CosinePower, exponent_from_half_intensity_angle
from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.cabinet.sources import Half
from lumsim.light.direct import DirectLight, direct_flux, flux_on
from lumsim.light.face_grid import face_grid
from lumsim.light.point_error import error_as_point
from lumsim.photometry import face_luminance
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import Evenness, evenness
from lumsim.uniformity.face_map import FaceMap
from tests import cabinets
from tests.cabinets import DIRECT
from tests.published import closed_forms, infinite
from tests.published.beams import BEAMS
from tests.published.built_signs import left_of_flux_scatter, over_module_dead_in_a_sign
from tests.published.endless_rows import endless_rows_pitch_equal_to_depth
from tests.published.infinite import SIX_DIGITS, THROW, TWELVE_DIGITS, light_at, modules_at
from tests.published.thrown_back import THROWN_BACK

Array = NDArray[np.float64]


def illuminance_under_angle(flux: float, throw: float, angle: float, m: float) -> float:
    """One module seen on the face under an angle from its axis [lx]."""
    cabinet = cabinets.listed(2.0, 1.0, throw, [(0.5, 0.5)], lumens=flux, exponent=m, face=cabinets.OPAL)
    light = DirectLight(cabinet.sources(), throw)
    x = np.array([0.5 + throw * math.tan(math.radians(angle))])
    return float(light.illuminance(x, np.array([0.5]))[0])


def peak_intensity(flux: float, m: float) -> float:
    """Intensity on the axis of a cosine power [cd]."""
    return CosinePower(exponent=m).peak_intensity(flux)


def exponent_of_angle(angle: float) -> float:
    """Exponent from the full half-intensity angle in degrees [1]."""
    return exponent_from_half_intensity_angle(math.radians(angle))


def luminance_of_face(illuminance: float, transmittance: float) -> float:
    """Luminance in front of a face lit from behind [cd/m²]."""
    return face_luminance(illuminance, transmittance)


def _flattest(array: Callable[[float], tuple[Array, Array]], m: float) -> float:
    """Size of an array at which the second derivative of E along x vanishes at its centre [h].

    By the fourth-order difference over five points 5e-3 apart: off by 1e-8.
    """
    step = 5e-3
    points = step * np.arange(-2.0, 3.0)
    weights = np.array([-1, 16, -30, 16, -1]) / (12 * step**2)

    def curvature(size: float) -> float:
        light = DirectLight(modules_at(*array(size), m=m), THROW)
        return float(weights @ light.illuminance(points, np.zeros(5)))

    return float(brentq(curvature, 0.3, 2.0, xtol=1e-13))


def flattest_pair(m: float) -> float:
    """Distance of two modules whose light is flattest midway [h]."""
    return _flattest(lambda d: (np.array([-d / 2, d / 2]), np.zeros(2)), m)


def flattest_ring(m: float, count: int) -> float:
    """Radius of a ring of modules whose light is flattest at the centre [h]."""
    around = 2 * math.pi * np.arange(count) / count
    return _flattest(lambda r: (r * np.cos(around), r * np.sin(around)), m)


def flattest_square(m: float) -> float:
    """Side of a square of four modules whose light is flattest at the centre [h]."""
    x, y = np.array([-1.0, 1, -1, 1]) / 2, np.array([-1.0, -1, 1, 1]) / 2
    return _flattest(lambda d: (d * x, d * y), m)


def middle_to_under_one(distance: float) -> float:
    """E midway between two modules over E under one of them [1]."""
    pair = modules_at(np.array([0.0, distance]), np.zeros(2))
    return light_at(pair, distance / 2, 0.0) / light_at(pair, 0.0, 0.0)


def rows_max(pitch: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """Highest illuminance of infinite rows over their mean: on a row [1]."""
    return infinite.rows(0.0, pitch=pitch, m=m, reach=reach)


def rows_min(pitch: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """Lowest illuminance of infinite rows over their mean: between rows [1]."""
    return infinite.rows(pitch / 2, pitch=pitch, m=m, reach=reach)


def rows_max_to_min(pitch: float, m: float = 1.0) -> float:
    """Highest over lowest illuminance of infinite rows [1]."""
    return rows_max(pitch, m) / rows_min(pitch, m)


def wide_rows_max_to_min(pitch: float, width: float) -> float:
    """Highest over lowest illuminance of infinite rows of a wide beam, wherever they lie [1].

    By Brent's method from the highest (lowest) of 13 points from a row to midway.
    """
    rows = infinite.OfWideBeams(a=infinite.CONTINUOUS, b=pitch, width=width)
    step = pitch / 24
    y = step * np.arange(13.0)
    E = rows.at(np.zeros(13), y)

    def polished(sign: float) -> float:
        def lower(y: float) -> float:
            return -sign * float(rows.at(np.zeros(1), np.array([y]))[0])

        start = float(y[np.argmax(sign * E)])
        return -sign * float(minimize_scalar(lower, (start - step, start + step)).fun)

    return polished(1.0) / polished(-1.0)


def wide_rows_bright_between(pitch: float, width: float) -> float:
    """Whether infinite rows of a wide beam are brighter midway than on a row: 1 or 0 [1]."""
    rows = infinite.OfWideBeams(a=infinite.CONTINUOUS, b=pitch, width=width)
    E = rows.at(np.zeros(2), np.array([0.0, pitch / 2]))
    return float(E[1] > E[0])


def wide_square_max_to_min(pitch: float, width: float) -> float:
    """Highest over lowest illuminance of an infinite square lattice of a wide beam [1].

    By a simplex from the highest (lowest) of a quarter of a cell.
    """
    lattice = infinite.OfWideBeams(a=pitch, b=pitch, width=width)
    places = np.linspace(0, pitch / 2, 7)
    x, y = (one.ravel() for one in np.meshgrid(places, places))
    E = lattice.at(x, y)

    def polished(sign: float) -> float:
        def lower(place: Array) -> float:
            return -sign * float(lattice.at(place[:1], place[1:])[0])

        start = int(np.argmax(sign * E))
        triangle = np.array([x[start], y[start]]) + pitch / 50 * np.array([[0.0, 0], [1, 0], [0, 1]])
        found = minimize(
            lower, triangle[0], method="Nelder-Mead", options={"fatol": 1e-7, "initial_simplex": triangle}
        )
        return -sign * float(found.fun)

    return polished(1.0) / polished(-1.0)


def rectangular_max_to_min(a: float, b: float) -> float:
    """Highest over lowest illuminance of an infinite rectangular lattice [1]."""
    return infinite.lattice(0.0, 0.0, a=a, b=b) / infinite.lattice(a / 2, b / 2, a=a, b=b)


def square_max(pitch: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """Highest illuminance of an infinite square lattice over its mean [1]."""
    return infinite.lattice(0.0, 0.0, a=pitch, b=pitch, m=m, reach=reach)


def square_min(pitch: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """Lowest illuminance of an infinite square lattice over its mean [1]."""
    return infinite.lattice(pitch / 2, pitch / 2, a=pitch, b=pitch, m=m, reach=reach)


def square_saddle(pitch: float) -> float:
    """Illuminance midway between two neighbours of an infinite square lattice over its mean [1]."""
    return infinite.lattice(pitch / 2, 0.0, a=pitch, b=pitch)


def square_max_to_min(pitch: float, m: float = 1.0) -> float:
    """Highest over lowest illuminance of an infinite square lattice [1]."""
    return square_max(pitch, m) / square_min(pitch, m)


def hexagonal_max_to_min(pitch: float) -> float:
    """Highest over lowest illuminance of an infinite triangular lattice [1]."""
    top = infinite.hexagonal(0.0, 0.0, pitch=pitch)
    return top / infinite.hexagonal(pitch / 2, pitch / (2 * math.sqrt(3)), pitch=pitch)


def rows_max_twelve_digits(pitch: float) -> float:
    """``rows_max`` to twelve digits [1]."""
    return rows_max(pitch, reach=TWELVE_DIGITS)


def rows_min_twelve_digits(pitch: float) -> float:
    """``rows_min`` to twelve digits [1]."""
    return rows_min(pitch, reach=TWELVE_DIGITS)


def square_max_twelve_digits(pitch: float) -> float:
    """``square_max`` to twelve digits [1]."""
    return square_max(pitch, reach=TWELVE_DIGITS)


def square_min_twelve_digits(pitch: float) -> float:
    """``square_min`` to twelve digits [1]."""
    return square_min(pitch, reach=TWELVE_DIGITS)


def rows_pitch_for(ratio: float) -> float:
    """Pitch at which infinite rows have a max/min [h]."""
    return float(brentq(lambda pitch: rows_max_to_min(pitch) - ratio, 0.5, 3.5, xtol=1e-8))


def square_pitch_for(ratio: float) -> float:
    """Pitch at which an infinite square lattice has a max/min [h]."""
    return float(brentq(lambda pitch: square_max_to_min(pitch) - ratio, 0.5, 3.5, xtol=1e-8))


def over_dead_module(pitch: float) -> float:
    """Illuminance over one dead module of an infinite square lattice, over what it is where all are lit [1]."""
    normal = square_max(pitch)
    one = light_at(modules_at(np.zeros(1), np.zeros(1)), 0.0, 0.0) * pitch**2
    return (normal - one) / normal


def over_dead_row(pitch: float) -> float:
    """Illuminance over a dead row of infinite continuous rows, over what it is where all are lit [1]."""
    normal = rows_max(pitch)
    return (normal - line_illuminance(0.0, 1.0) * pitch) / normal


def share_in_front(X: float, Y: float) -> float:
    """Share of a Lambertian module's flux on a rectangle of the face with its corner over the module [1]."""
    here = modules_at(np.zeros(1), np.zeros(1))
    return flux_on(here, THROW, Rectangle(x0=0.0, x1=X, y0=0.0, y1=Y))


def share_on_right_return(distance: float, below: float, above: float) -> float:
    """Share of a Lambertian module's flux on a return at a distance from it, at a depth of 1 [1]."""
    cabinet = cabinets.listed(1 + distance, below + above, THROW, [(1.0, below)], lumens=1.0)
    return direct_flux(cabinet).on_right_return


@cache
def _strip(count: int, pitch: float) -> Evenness:
    """Evenness of N long rows, half a pitch from long black returns, over one throw in the middle.

    Rows of 600 throws: what is missing beyond their ends is 2/(3·300³) = 2e-8 of each row's light.
    """
    along = 0.25 * np.arange(-1200, 1201.0)
    across = pitch * (np.arange(count) + 0.5)
    emitters = modules_at(np.tile(along, count), np.repeat(across, len(along)), flux=pitch * 0.25)
    return _judged(
        DirectLight(emitters, THROW).illuminance, (1.0, count * pitch), detail=THROW / 2, window=pitch
    )


def _judged(
    field: Callable[[Array, Array], Array], size: tuple[float, float], *, detail: float, window: float
) -> Evenness:
    """Judge a field over a rectangle from the origin."""
    # Eight samples for each detail, twice the usual, for the sake of the sixth digit.
    x, y = (np.linspace(0, side, 2 * max(8, math.ceil(4 * side / detail)) + 1) for side in size)
    face = FaceMap(x=x, y=y, values=field(*np.meshgrid(x, y)), at=field, detail=detail)
    return evenness(face, window)


def strip_edge(count: int, pitch: float) -> float:
    """Illuminance at the black return of N rows, over the mean of infinite rows [1]."""
    return _strip(count, pitch).darkest.value


def strip_max(count: int, pitch: float) -> float:
    """Highest illuminance of N rows between black returns, over the mean of infinite rows [1]."""
    return _strip(count, pitch).brightest.value


def strip_max_to_min(count: int, pitch: float) -> float:
    """Highest over lowest illuminance of N rows between black returns [1]."""
    return _strip(count, pitch).max_to_min


def strip_mean(count: int, pitch: float) -> float:
    """Mean illuminance of N rows between black returns, over the mean of infinite rows [1]."""
    return _strip(count, pitch).mean


def strip_min_to_mean(count: int, pitch: float) -> float:
    """Lowest over mean illuminance of N rows between black returns [1]."""
    return _strip(count, pitch).min_to_mean


@cache
def _exact_rows(pitch: float) -> Evenness:
    """Evenness of three pitches of the exact field of infinite rows."""
    return _judged(
        lambda x, y: closed_forms.rows(y, pitch=pitch) + 0 * x,
        (2 * pitch, 3 * pitch),
        detail=THROW / 2,
        window=pitch,
    )


@cache
def _exact_square(pitch: float) -> Evenness:
    """Evenness of three by three pitches of the exact field of an infinite square lattice."""
    return _judged(
        lambda x, y: closed_forms.rectangular(x, y, a=pitch, b=pitch),
        (3 * pitch, 3 * pitch),
        detail=THROW / 2,
        window=pitch,
    )


def stripes_of_exact_rows(pitch: float) -> float:
    """The stripes number of infinite rows [1]."""
    return _exact_rows(pitch).stripe_max_to_min


def stripes_of_exact_square(pitch: float) -> float:
    """The stripes number of an infinite square lattice [1]."""
    return _exact_square(pitch).stripe_max_to_min


def min_to_mean_of_exact_rows(pitch: float) -> float:
    """Lowest over mean illuminance of infinite rows, over whole pitches [1]."""
    return _exact_rows(pitch).min_to_mean


def min_to_mean_of_exact_square(pitch: float) -> float:
    """Lowest over mean illuminance of an infinite square lattice, over whole pitches [1]."""
    return _exact_square(pitch).min_to_mean


def staggered_in_wide_cabinet(pitch: float, size: float) -> float:
    """Highest over lowest illuminance in the middle of a real cabinet of staggered rows [1].

    Rows √3/2 of the module pitch apart, staggered, are a triangular lattice. What is missing beyond the cabinet shifts
    the ratio as in ``stripes_in_wide_cabinet``.
    """
    depth = 0.1
    rows, modules = 2 * round(size / pitch / math.sqrt(3)), round(size / pitch)
    width, height = modules * pitch * depth, rows * pitch * math.sqrt(3) / 2 * depth
    cabinet = cabinets.in_rows(width, height, depth, rows=rows, modules=modules, staggered=True)
    x, y, part = width / 2, height / 2, pitch * depth
    return _evenness_of(cabinet, Rectangle(x0=x - part, x1=x + part, y0=y - part, y1=y + part)).max_to_min


def stripes_in_wide_cabinet(pitch: float, module_pitch: float, size: float) -> float:
    """The stripes number of the middle of a real cabinet, many throws wide and high [1].

    The sheet of light that is missing beyond it is 1/(R/h)² of the mean for a half size R, and shifts the
    ratio by at most twice that.
    """
    depth = 0.1
    rows, modules = round(size / pitch), round(size / module_pitch)
    width, height = modules * module_pitch * depth, rows * pitch * depth
    cabinet = cabinets.in_rows(width, height, depth, rows=rows, modules=modules)
    x, y, window = width / 2, height / 2, cabinet.stripe_window
    part = Rectangle(x0=x - 1.5 * window, x1=x + 1.5 * window, y0=y - 1.5 * window, y1=y + 1.5 * window)
    return _evenness_of(cabinet, part).stripe_max_to_min


def _evenness_of(cabinet: Cabinet, part: Rectangle) -> Evenness:
    """Evenness of a part of a face by direct light alone, its stripes over the cabinet's own window."""
    depth = cabinet.box.depth
    sources = cabinet.sources()
    grid = face_grid(part, sources, depth)
    light = DirectLight(sources, depth).illuminance
    values = light(*np.meshgrid(grid.x, grid.y))
    return evenness(
        FaceMap(x=grid.x, y=grid.y, values=values, at=light, detail=grid.detail), cabinet.stripe_window
    )


def _boxes() -> Mapping[str, Cabinet]:
    return {
        "A": cabinets.listed(1.0, 1.0, 0.2, [(0.5, 0.5)], lumens=1000.0),
        "B": cabinets.in_rows(1.2, 0.6, 0.15, rows=3, modules=8, lumens=50.0),
        "C": cabinets.in_rows(1.2, 0.6, 0.15, rows=2, modules=12, lumens=50.0),
    }


def box_illuminance(box: str, x: float, y: float) -> float:
    """Direct illuminance at a point of a light box's face [lx]."""
    simulation = simulate(_boxes()[box], lighting=DIRECT)
    return float(simulation.direct.illuminance(np.array([x]), np.array([y]))[0])


def box_face_mean(box: str) -> float:
    """Mean direct illuminance on a light box's face, from the flux in closed form [lx]."""
    cabinet = _boxes()[box]
    return direct_flux(cabinet).on_face / cabinet.whole_face.area


def box_face_mean_from_map(box: str) -> float:
    """Mean direct illuminance on a light box's face, from the map [lx]."""
    simulation = simulate(_boxes()[box], lighting=DIRECT)
    return simulation.illuminance(simulation.evenness.mean)


def box_face_share(box: str) -> float:
    """Share of the lumens that go straight to a light box's face [1]."""
    flux = direct_flux(_boxes()[box])
    return flux.on_face / flux.emitted


def line_illuminance(distance: float, m: float) -> float:
    """Illuminance beside a long continuous row of 1 lm for each throw of length [1/h]."""
    along = infinite.CONTINUOUS * np.arange(-7000, 7001.0)
    row = modules_at(along, np.zeros(len(along)), m=m, flux=infinite.CONTINUOUS)
    return light_at(row, 0.0, distance)


def error_of_disc(times: float) -> float:
    """A disc told as a point from so many diameters away: too bright on its axis by [%]."""
    return _error_as_point(1.0, 1.0, times, round_opening=True)


def error_of_square(times: float) -> float:
    """A square told as a point from so many sides away: too bright on its axis by [%]."""
    return _error_as_point(1.0, 1.0, times, round_opening=False)


def error_of_line(times: float) -> float:
    """A line told as a point from so many lengths away: too bright on its axis by [%]."""
    return _error_as_point(1.0, 0.0, times, round_opening=False)


def _error_as_point(length: float, width: float, throw: float, *, round_opening: bool) -> float:
    half = Half(LAMBERTIAN, False)
    return 100 * error_as_point(half, np.eye(3), (length, width), throw, round_opening=round_opening)


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        **BEAMS,
        **THROWN_BACK,
        **{
            check.__name__: check
            for check in (
                illuminance_under_angle,
                peak_intensity,
                exponent_of_angle,
                error_of_disc,
                error_of_square,
                error_of_line,
                luminance_of_face,
                flattest_pair,
                flattest_ring,
                flattest_square,
                middle_to_under_one,
                rows_max,
                rows_min,
                rows_max_to_min,
                rows_max_twelve_digits,
                rows_min_twelve_digits,
                rows_pitch_for,
                endless_rows_pitch_equal_to_depth,
                rectangular_max_to_min,
                square_max,
                square_min,
                square_saddle,
                square_max_to_min,
                square_max_twelve_digits,
                square_min_twelve_digits,
                square_pitch_for,
                hexagonal_max_to_min,
                wide_rows_bright_between,
                wide_rows_max_to_min,
                wide_square_max_to_min,
                over_dead_module,
                over_module_dead_in_a_sign,
                left_of_flux_scatter,
                over_dead_row,
                share_in_front,
                share_on_right_return,
                strip_edge,
                strip_max,
                strip_max_to_min,
                strip_mean,
                strip_min_to_mean,
                stripes_of_exact_rows,
                stripes_of_exact_square,
                min_to_mean_of_exact_rows,
                min_to_mean_of_exact_square,
                staggered_in_wide_cabinet,
                stripes_in_wide_cabinet,
                box_illuminance,
                box_face_mean,
                box_face_mean_from_map,
                box_face_share,
                line_illuminance,
            )
        },
    }
)
"""Each check by its name in ``values.toml``."""
