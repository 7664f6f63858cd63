"""How even a face is: one number for each complaint."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

import numpy as np

from lumsim.errors import InputError
from lumsim.uniformity.extremes import Extreme, highest, lowest
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.prominence import RowsRun, hot_spot_contrast
from lumsim.uniformity.windows import RunningIntegral, Window, least_stretch_mean

__all__ = [
    "LEVELS",
    "Evenness",
    "edge_dimming_of",
    "evenness",
    "extremes_of",
    "nine_points",
    "numbers_asked",
    "stripes_of",
]


LEVELS = frozenset({"mean", "darkest_luminance"})
"""The numbers that go with the light, in cd/m²: all others are ratios, which it does not change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evenness:
    """Every number on how even a face is. Ratios are over the continuous map, not over samples."""

    brightest: Extreme
    """the highest luminance and where [cd/m², m]"""
    darkest: Extreme
    """the lowest luminance and where [cd/m², m]"""
    mean: float
    """area mean [cd/m²]"""
    max_to_min: float
    """highest over lowest luminance [1]"""
    min_to_mean: float
    """lowest over mean: the overall uniformity U₀ of EN 12464-1, here of luminance [1]"""
    min_to_max: float
    """lowest over highest [1]"""
    coefficient_of_variation: float
    """standard deviation over the area, by the mean [1]"""
    nine_point: float
    """max/min of nine samples at the centres of three by three equal parts; it aliases with the pitch [1]"""
    window: float
    """side of the averaging square, before it takes a smaller face's own size [m]"""
    stripe_max_to_min: float
    """max/min of luminance over the mean M of the square around it: what rows too far apart do [1]"""
    stripe_max: Extreme
    """where luminance is highest against M [1, m]"""
    stripe_min: Extreme
    """where luminance is lowest against M [1, m]"""
    edge_dimming: float
    """mean of M over the least mean along a stretch of the outline: what dark edges do [1]"""
    hot_spot_contrast: float
    """greatest contrast of a stripe or a dot, see ``prominence.py`` [1]"""
    ripple_x: float
    """max/min along x once the mean over the window's height has taken the detail along y away [1]"""
    ripple_y: float
    """max/min along y once the mean over the window's width has taken the detail along x away [1]"""
    periods: tuple[float, float]
    """how many windows the places of the window's centre span, along x and y; below 1 the stripes number
    does not see a whole period [1]"""

    @property
    def darkest_luminance(self) -> float:
        """The lowest luminance. [cd/m²]"""
        return self.darkest.value

    def scaled(self, factor: float) -> Evenness:
        """Return the same face with all its light times a factor: levels change, ratios do not."""
        brightest, darkest = (
            replace(one, value=one.value * factor) for one in (self.brightest, self.darkest)
        )
        return replace(self, brightest=brightest, darkest=darkest, mean=self.mean * factor)


def nine_points(face: FaceMap) -> float:
    """Highest over lowest of nine samples, at the centres of three by three equal parts of the map.

    References
    ----------
    .. [1] The nine measuring points of IEC 61947-1 for projected light (from memory).
    """
    x0, x1, y0, y1 = face.bounds
    shares = np.array([1, 3, 5]) / 6
    x, y = np.meshgrid(x0 + shares * (x1 - x0), y0 + shares * (y1 - y0))
    values = face.at(x, y)
    return float(values.max() / values.min())


def evenness(face: FaceMap, window: float, rows: RowsRun | None = None) -> Evenness:
    """Judge a face.

    Two complaints with two cures are told apart. Let M be the mean of the map over a square of side
    ``window``, one row pitch, centred on a point, wherever the square lies wholly on the map; over exactly
    one period the stripes average away. ``stripe_max_to_min`` is max/min of L/M over those points: for
    infinite rows it is the lattice's own max/min. ``edge_dimming`` is the mean of M over those points, over
    the least mean along any straight stretch of length ``window`` of the map's outline. A map smaller than
    the window, in either direction, takes its own size there.

    Parameters
    ----------
    face : FaceMap
    window : float
        More than 0. [m]
    rows : RowsRun, optional
        How the rows run; for the contrast of stripes, see ``prominence.hot_spot_contrast``.

    Returns
    -------
    Evenness
    """
    if not 0 < window < np.inf:
        raise InputError(f"the stripe window must be more than 0 m, got {window:g} m")
    brightest, darkest = extremes_of(face)
    integral = RunningIntegral(face)
    square = Window(face, window)
    stripe_max, stripe_min = stripes_of(face, integral, square)
    ripple_x, ripple_y = _ripples_of(face, integral, square)
    mean = integral.mean() if face.mean is None else face.mean
    return Evenness(
        brightest=brightest,
        darkest=darkest,
        mean=mean,
        max_to_min=brightest.value / darkest.value,
        min_to_mean=darkest.value / mean,
        min_to_max=darkest.value / brightest.value,
        coefficient_of_variation=integral.variation(face.detail),
        nine_point=nine_points(face),
        window=window,
        stripe_max_to_min=stripe_max.value / stripe_min.value,
        stripe_max=stripe_max,
        stripe_min=stripe_min,
        edge_dimming=edge_dimming_of(face, integral, window),
        hot_spot_contrast=hot_spot_contrast(face, rows),
        ripple_x=ripple_x,
        ripple_y=ripple_y,
        periods=(
            (face.bounds[1] - face.bounds[0]) / square.width - 1,
            (face.bounds[3] - face.bounds[2]) / square.height - 1,
        ),
    )


def numbers_asked(
    face: FaceMap,
    window: float,
    names: Collection[str],
    rows: RowsRun | None = None,
    *,
    last_digits: bool = False,
) -> dict[str, float]:
    """Some of the numbers of ``evenness``, without the work of the others.

    Extremes are looked for as closely, but for their last digits: a ratio is good to some 1e-6, where a face goes
    right into its corners to some 1e-2.

    Parameters
    ----------
    face : FaceMap
    window : float
        More than 0. [m]
    names : collection of str
        Of ``mean``, ``darkest_luminance``, ``max_to_min``, ``min_to_mean``, ``coefficient_of_variation``,
        ``stripe_max_to_min``, ``edge_dimming`` and ``hot_spot_contrast``.
    rows : RowsRun, optional
        As for ``evenness``.
    last_digits : bool
        As in ``extremes.highest``.

    Returns
    -------
    dict
        By name, in the order asked for.
    """
    integral = RunningIntegral(face)
    found: dict[str, float] = {}
    if not {"max_to_min", "min_to_mean", "darkest_luminance"}.isdisjoint(names):
        top, bottom = extremes_of(face, last_digits=last_digits)
        found["max_to_min"], found["darkest_luminance"] = top.value / bottom.value, bottom.value
    if not {"mean", "min_to_mean"}.isdisjoint(names):
        found["mean"] = integral.mean() if face.mean is None else face.mean
        found["min_to_mean"] = found.get("darkest_luminance", 0.0) / found["mean"]
    if "coefficient_of_variation" in names:
        found["coefficient_of_variation"] = integral.variation(face.detail)
    if "stripe_max_to_min" in names:
        top, bottom = stripes_of(face, integral, Window(face, window), last_digits=last_digits)
        found["stripe_max_to_min"] = top.value / bottom.value
    if "edge_dimming" in names:
        found["edge_dimming"] = edge_dimming_of(face, integral, window)
    if "hot_spot_contrast" in names:
        found["hot_spot_contrast"] = hot_spot_contrast(face, rows)
    return {name: found[name] for name in names}


def extremes_of(face: FaceMap, *, last_digits: bool = True) -> tuple[Extreme, Extreme]:
    """Highest and lowest point of the map. [cd/m², m]

    Parameters
    ----------
    face : FaceMap
    last_digits : bool
        As in ``extremes.highest``.
    """
    return (
        highest(face.at, face.x, face.y, face.values, last_digits=last_digits),
        lowest(face.at, face.x, face.y, face.values, last_digits=last_digits),
    )


def stripes_of(
    face: FaceMap, integral: RunningIntegral, square: Window, *, last_digits: bool = True
) -> tuple[Extreme, Extreme]:
    """Highest and lowest of L/M, where the square lies wholly on the map. [1, m]

    Parameters
    ----------
    face : FaceMap
    integral : RunningIntegral
        Of that map.
    square : Window
        On that map.
    last_digits : bool
        As in ``extremes.highest``.
    """
    x, y = _centres(face, square)

    def against_mean(px: Array, py: Array) -> Array:
        return face.at(px, py) / integral.square(px, py, square)

    samples = integral.samples(x, y) / integral.square(x, y, square, grid=True)
    return (
        highest(against_mean, x, y, samples, last_digits=last_digits),
        lowest(against_mean, x, y, samples, last_digits=last_digits),
    )


def edge_dimming_of(face: FaceMap, integral: RunningIntegral, window: float) -> float:
    """Mean of M over the least mean along a stretch of the outline. [1]

    Parameters
    ----------
    face : FaceMap
    integral : RunningIntegral
        Of that map.
    window : float
        [m]
    """
    middle = integral.mean_of_windows(Window(face, window), face.detail)
    return middle / least_stretch_mean(face, window)


def _ripples_of(face: FaceMap, integral: RunningIntegral, square: Window) -> tuple[float, float]:
    """Ripple along x and along y, where the square lies wholly on the map. [1]"""
    x, y = _centres(face, square)
    M = integral.square(x, y, square, grid=True)

    def ripple(stretch: Callable[..., Array]) -> float:
        def field(px: Array, py: Array) -> Array:
            return np.asarray(stretch(px, py, square) / integral.square(px, py, square), dtype=np.float64)

        samples = stretch(x, y, square, grid=True) / M
        top = highest(field, x, y, samples, last_digits=False)
        return top.value / lowest(field, x, y, samples, last_digits=False).value

    return ripple(integral.stretch_along_y), ripple(integral.stretch_along_x)


def _centres(face: FaceMap, square: Window) -> tuple[Array, Array]:
    """Even samples of where the window's centre may be, as fine as the map's own."""
    x0, x1, y0, y1 = square.centres
    sx, sy = face.steps

    def line(start: float, end: float, step: float) -> Array:
        # A leftover of rounding is a single place, not a line.
        if end - start <= 1e-9 * step:
            return np.array([start])
        return np.linspace(start, end, max(3, int(np.ceil((end - start) / step)) + 1))

    return line(x0, x1, sx), line(y0, y1, sy)
