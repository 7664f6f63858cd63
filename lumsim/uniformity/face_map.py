"""FaceMap: luminance over a part of the face."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import RectBivariateSpline

from lumsim.errors import InputError

__all__ = ["DEGREE", "Array", "FaceMap"]

Array = NDArray[np.float64]

DEGREE = 5
"""Quintic splines: at four samples for each finest detail they hold the light to some 1e-6."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceMap:
    """Luminance over a rectangle of the face: even samples, and a way to ask for any point."""

    x: Array
    """(nx,) rising, evenly spaced, the rectangle's edges included [m]"""
    y: Array
    """(ny,) rising, evenly spaced, the rectangle's edges included [m]"""
    values: Array
    """(ny, nx) luminance at the samples [cd/m²]"""
    at: Callable[[Array, Array], Array]
    """luminance at points x, y of any one shape [m] → [cd/m²]"""
    detail: float
    """no feature of the map is narrower than this standard deviation [m]"""
    mean: float | None = None
    """over the rectangle, where it is known better than the samples tell [cd/m²]"""
    spline: RectBivariateSpline | None = None
    """through the samples, [y, x], where ``at`` asks nothing else [cd/m²]"""

    def __post_init__(self) -> None:
        if self.values.shape != (len(self.y), len(self.x)):
            raise InputError(
                f"a face map of {len(self.y)} by {len(self.x)} samples needs as many values, "
                f"got {self.values.shape}"
            )
        if not np.isfinite(self.values).all() or not (self.values > 0).all():
            raise InputError("luminance must be finite and above 0 everywhere on the face")

    @property
    def steps(self) -> tuple[float, float]:
        """Between samples along x and along y. [m]"""
        return float(self.x[1] - self.x[0]), float(self.y[1] - self.y[0])

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """x0, x1, y0, y1 of the rectangle. [m]"""
        return float(self.x[0]), float(self.x[-1]), float(self.y[0]), float(self.y[-1])

    def scaled(self, factor: float) -> FaceMap:
        """Return the same map with all luminance times a factor."""

        def at(x: Array, y: Array) -> Array:
            return self.at(x, y) * factor

        mean = None if self.mean is None else self.mean * factor
        return FaceMap(x=self.x, y=self.y, values=self.values * factor, at=at, detail=self.detail, mean=mean)

    def splined(self) -> FaceMap:
        """The same map, asked between its samples by a quintic spline through them and not by the light itself.

        Many times quicker where many maps are looked at; a ratio is then good to some 1e-5. Samples stay what they
        are, the corners among them; what lies within a millimetre of a corner of the whole inner face is not seen.
        """
        spline = RectBivariateSpline(self.y, self.x, self.values, kx=DEGREE, ky=DEGREE, s=0)

        def at(x: Array, y: Array) -> Array:
            return np.asarray(spline(y, x, grid=False), dtype=np.float64)

        return replace(self, at=at, spline=spline)

    def coarser(self) -> FaceMap:
        """The same map from every other sample: the odd count keeps the edges."""
        return FaceMap(
            x=self.x[::2],
            y=self.y[::2],
            values=self.values[::2, ::2],
            at=self.at,
            detail=self.detail,
            mean=self.mean,
        )
