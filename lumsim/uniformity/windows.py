"""Means over windows and stretches of a face map, from the running integral of its samples."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from scipy.interpolate import RectBivariateSpline, make_interp_spline

from lumsim.uniformity.face_map import DEGREE, Array, FaceMap

__all__ = ["RunningIntegral", "Window", "least_stretch_mean", "panels"]


def _integrated(samples: Array, coordinate: Array, axis: int) -> Array:
    spline = make_interp_spline(coordinate, samples, k=DEGREE, axis=axis)
    return np.asarray(spline.antiderivative()(coordinate), dtype=np.float64)


class Window:
    """A window of a given size; a face smaller than the window takes its own size."""

    def __init__(self, face: FaceMap, side: float) -> None:
        x0, x1, y0, y1 = face.bounds
        self.width = min(side, x1 - x0)
        """along x [m]"""
        self.height = min(side, y1 - y0)
        """along y [m]"""
        self.centres = (
            x0 + self.width / 2,
            max(x1 - self.width / 2, x0 + self.width / 2),
            y0 + self.height / 2,
            max(y1 - self.height / 2, y0 + self.height / 2),
        )
        """x0, x1, y0, y1 of where its centre may be, so that it lies wholly on the map [m]"""


class RunningIntegral:
    """The integral of a face map from its lower left corner, as a spline; window means are differences of it.

    The mean over a window of exactly one period of the rows has no stripes left in it.
    """

    def __init__(self, face: FaceMap) -> None:
        self._coordinates, self._through = (face.x, face.y), face.spline
        # Taken from one sample's level, so that a perfectly flat face has no rounding ripple.
        self._level = float(face.values[0, 0])
        # No mean is lower; where a face is next to dark, rounding would make it so, or even negative.
        self._least = float(face.values.min()) / 2
        self._values = face.values - self._level
        self._bounds = face.bounds
        self._area = (face.x[-1] - face.x[0]) * (face.y[-1] - face.y[0])

    def _spline(self, samples: Array) -> RectBivariateSpline:
        x, y = self._coordinates
        return RectBivariateSpline(y, x, samples, kx=DEGREE, ky=DEGREE, s=0)

    @cached_property
    def _along_x(self) -> Array:
        return _integrated(self._values, self._coordinates[0], 1)

    @cached_property
    def _along_both(self) -> Array:
        return _integrated(self._along_x, self._coordinates[1], 0)

    @cached_property
    def _plain(self) -> RectBivariateSpline:
        return self._spline(self._values)

    @cached_property
    def _x(self) -> RectBivariateSpline:
        return self._spline(self._along_x)

    @cached_property
    def _y(self) -> RectBivariateSpline:
        return self._spline(_integrated(self._values, self._coordinates[1], 0))

    @cached_property
    def _both(self) -> RectBivariateSpline:
        return self._spline(self._along_both)

    def samples(self, x: Array, y: Array) -> Array:
        """The map itself on the mesh y by x, by the spline through its samples. [cd/m²]"""
        if self._through is not None:
            return np.asarray(self._through(y, x), dtype=np.float64)
        return np.asarray(self._level + self._plain(y, x), dtype=np.float64)

    def mean(self) -> float:
        """Mean over the whole map, an area integral. [cd/m²]"""
        return self._level + float(self._along_both[-1, -1]) / float(self._area)

    def variation(self, detail: float) -> float:
        """Coefficient of variation: standard deviation over the area, by the mean. [1]

        By Gauss-Legendre panels of two details, for the square of the map has twice as fine detail as the map.
        """
        x0, x1, y0, y1 = self._bounds
        x, wx = panels(x0, x1, 2 * detail)
        y, wy = panels(y0, y1, 2 * detail)
        mean = self.mean()
        from_mean = self._plain(y, x) + (self._level - mean)
        return float(np.sqrt(wy @ from_mean**2 @ wx)) / mean

    def square(self, x: Array, y: Array, window: Window, *, grid: bool = False) -> Array:
        """Mean over the window centred on each point; on the mesh y by x where ``grid``. [cd/m²]"""
        a, b = window.width / 2, window.height / 2
        inside = (
            self._both(y + b, x + a, grid=grid)
            - self._both(y - b, x + a, grid=grid)
            - self._both(y + b, x - a, grid=grid)
            + self._both(y - b, x - a, grid=grid)
        )
        return np.maximum(self._level + inside / (window.width * window.height), self._least)

    def stretch_along_x(self, x: Array, y: Array, window: Window, *, grid: bool = False) -> Array:
        """Mean over the window's width along x, centred on each point. [cd/m²]"""
        a = window.width / 2
        inside = self._x(y, x + a, grid=grid) - self._x(y, x - a, grid=grid)
        return np.maximum(self._level + inside / window.width, self._least)

    def stretch_along_y(self, x: Array, y: Array, window: Window, *, grid: bool = False) -> Array:
        """Mean over the window's height along y, centred on each point. [cd/m²]"""
        b = window.height / 2
        inside = self._y(y + b, x, grid=grid) - self._y(y - b, x, grid=grid)
        return np.maximum(self._level + inside / window.height, self._least)

    def mean_of_windows(self, window: Window, detail: float) -> float:
        """Mean of the window means over all places where the window lies wholly on the map. [cd/m²]

        Gauss-Legendre panels of four details each; where the window fills the map in one direction, the
        places shrink to a line or a point and the mean is taken along that.
        """
        x0, x1, y0, y1 = window.centres
        x, wx = panels(x0, x1, 4 * detail)
        y, wy = panels(y0, y1, 4 * detail)
        return self._level + float(wy @ (self.square(x, y, window, grid=True) - self._level) @ wx)


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def panels(start: float, end: float, length: float) -> tuple[Array, Array]:
    """Nodes and weights (summing to 1) of composite Gauss-Legendre quadrature.

    Parameters
    ----------
    start, end : float
        [m]
    length : float
        Of a panel, at most; eight nodes each. [m]

    Returns
    -------
    nodes, weights : (n,) arrays
        [m], [1]
    """
    count = max(1, int(np.ceil((end - start) / length)))
    edges = np.linspace(start, end, count + 1)
    half = np.diff(edges) / 2
    nodes = (edges[:-1, None] + half[:, None] * (_NODES + 1)).ravel()
    return nodes, np.tile(_WEIGHTS / (2 * count), count)


def least_stretch_mean(face: FaceMap, length: float) -> float:
    """Least mean along any straight stretch of a given length of the map's outline, in cd/m².

    A stretch lies on one side and turns no corner; a side shorter than it is taken whole.

    Parameters
    ----------
    face : FaceMap
    length : float
        [m]
    """
    sides = (
        (face.x, face.values[0]),
        (face.x, face.values[-1]),
        (face.y, face.values[:, 0]),
        (face.y, face.values[:, -1]),
    )
    return min(_least_mean(coordinate, values, length) for coordinate, values in sides)


def _least_mean(coordinate: Array, values: Array, length: float) -> float:
    """Least mean of a profile over any stretch of a given length."""
    level = float(values[0])
    integral = make_interp_spline(coordinate, values - level, k=DEGREE).antiderivative()
    begin, end = float(coordinate[0]), float(coordinate[-1])
    length = min(length, end - begin)
    last = end - length
    step = float(coordinate[1] - coordinate[0]) / 4
    starts = np.linspace(begin, last, max(2, int((last - begin) / step) + 2))
    best = np.inf
    # Each round looks closer around the lowest few; a mean over a stretch is smooth, so it cannot hide a dip.
    for _ in range(4):
        means = (integral(starts + length) - integral(starts)) / length
        lowest = np.argsort(means, kind="stable")[:8]
        best = min(best, float(means[lowest[0]]))
        starts = np.clip((starts[lowest][:, None] + np.linspace(-step, step, 33)).ravel(), begin, last)
        step /= 16
    return max(level + best, float(values.min()))
