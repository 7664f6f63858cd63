"""A face map as it is drawn: fine enough to look smooth, coarse enough for a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import make_interp_spline

from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.units import Units, length_number

__all__ = ["FINEST", "SMOOTH", "DrawnMap", "fewer_samples", "more_samples"]

SMOOTH = 400
"""Samples along each side at least: some 40 to the inch on paper. [1]"""

FINEST = 1500
"""Samples along each side at most: as many as a printed page shows. [1]"""

_UNSEEN = 0.005
"""By this share of the map's range the spline may miss the light. [1]"""

_PROBED = 50
"""Cells along each side in whose middle the spline is held against the light. [1]"""

_MOST_EVALUATIONS = 1_000_000_000
"""The most times that one module's light at one point is computed for a picture: some seconds. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMap:
    """Luminance on an even grid, edges included."""

    x: Array
    """(nx,) rising [the drawing's unit]"""
    y: Array
    """(ny,) rising [the drawing's unit]"""
    values: Array
    """(ny, nx) [cd/m²]"""
    stepped: bool = False
    """whether the light has edges too sharp for a spline, so that every sample is the light itself"""

    @staticmethod
    def of(face: FaceMap, units: Units, *, sources: int) -> DrawnMap:
        """Put a face map on a grid between ``SMOOTH`` and ``FINEST``.

        The face's own grid resolves its finest detail, so the spline that smooths a coarse one adds nothing
        that is not there, unless a beam ends in a step: then the face is asked for the light at every sample
        that is drawn, where that is not too much to compute.

        Parameters
        ----------
        face : FaceMap
        units : {"in", "mm"}
        sources : int
            How many points of light shine at it. [1]
        """
        values = fewer_samples(more_samples(face.values, SMOOTH), FINEST)
        left, right, low, high = face.bounds
        longest = max(right - left, high - low)
        nx, ny = (max(SMOOTH, round(FINEST * side / longest)) for side in (right - left, high - low))
        stepped = nx * ny * sources <= _MOST_EVALUATIONS and _off(face) > _UNSEEN
        if stepped:
            values = face.at(*np.meshgrid(np.linspace(left, right, nx), np.linspace(low, high, ny)))
        x0, x1, y0, y1 = (length_number(bound, units) for bound in face.bounds)
        ny, nx = values.shape
        return DrawnMap(x=np.linspace(x0, x1, nx), y=np.linspace(y0, y1, ny), values=values, stepped=stepped)

    def thinned(self, most: int) -> DrawnMap:
        """Return the same map with at most so many samples along each side."""
        values = fewer_samples(self.values, most)
        ny, nx = values.shape
        return DrawnMap(
            x=np.linspace(self.x[0], self.x[-1], nx), y=np.linspace(self.y[0], self.y[-1], ny), values=values
        )


def _off(face: FaceMap) -> float:
    """Return by how much a quintic spline misses the light between samples, as a share of the map's range."""
    between, smoothed = [], face.values
    for axis, places in ((0, face.y), (1, face.x)):
        n = len(places)
        at = np.unique(np.linspace(0, n - 2, min(n - 1, _PROBED)).astype(np.int64)) + 0.5
        smoothed = make_interp_spline(np.arange(n), smoothed, k=5, axis=axis)(at)
        between.append(np.interp(at, np.arange(n), places))
    there = face.at(*np.meshgrid(between[1], between[0]))
    return float(np.abs(smoothed - there).max() / max(np.ptp(face.values), 1e-3 * face.values.max()))


def more_samples(values: Array, least: int) -> Array:
    """Put values on an even grid of at least so many samples along each side, by a quintic spline.

    Parameters
    ----------
    values : (ny, nx) array
        At least 6 along each side; the edges stay where they are.
    least : int
        [1]
    """
    for axis in (0, 1):
        n = values.shape[axis]
        if n < least:
            spline = make_interp_spline(np.arange(n), values, k=5, axis=axis)
            values = np.asarray(spline(np.linspace(0, n - 1, least)), dtype=np.float64)
    return values


def fewer_samples(values: Array, most: int) -> Array:
    """Put values on an even grid of at most so many samples along each side, by straight lines.

    Parameters
    ----------
    values : (ny, nx) array
        The edges stay where they are.
    most : int
        At least 2. [1]
    """
    for axis in (0, 1):
        n = values.shape[axis]
        if n > most:
            at = np.linspace(0, n - 1, most)
            below = np.minimum(at.astype(np.int64), n - 2)
            part = (at - below)[:, None] if axis == 0 else (at - below)[None, :]
            values = np.take(values, below, axis) * (1 - part) + np.take(values, below + 1, axis) * part
    return values
