"""The light thrown back at points of the face: gathered exactly from the patches, not from their centres."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Protocol

import numpy as np
from scipy import fft
from scipy.interpolate import RectBivariateSpline

from lumsim.cabinet.cabinet import Rectangle
from lumsim.light.quadrature import legendre
from lumsim.light.strips import ReturnsBesideFace, strips_of
from lumsim.light.surfaces import Array, Mesh

__all__ = [
    "Corners",
    "Correction",
    "Gathering",
    "ReflectedLight",
    "corner_parallel",
    "corner_perpendicular",
    "corner_strengths",
]


CORNER_REACH = 2.0
"""From a corner, along either side, where its correction is felt, in patches. [1]"""

STEPS_PER_FOLD = 6
"""Distances from a return at which its light is gathered, for each e-fold of the distance. [1]"""


def corner_parallel(X: Array, Y: Array) -> Array:
    """Factor from a point to the rectangle whose corner is right across, opposite sides X by Y; odd in both. [1]

    Parameters
    ----------
    X, Y : arrays that broadcast
        Sides over the distance of the planes. [1]

    References
    ----------
    .. [1] Corner form of the factor of a parallel rectangle, as in J. R. Howell's catalog (from memory;
       derived again for this project).
    """
    x, y = np.sqrt(1 + X**2), np.sqrt(1 + Y**2)
    return (X / x * np.arctan(Y / x) + Y / y * np.arctan(X / y)) / (2 * math.pi)


def corner_perpendicular(a: Array, b: Array, c: Array) -> Array:
    """Factor from a point to a rectangle standing upright across, from its foot to (a up, b along); odd in b. [1]

    Parameters
    ----------
    a, b, c : arrays that broadcast
        Height along the point's normal, length, distance; c may be 0. [m]

    References
    ----------
    .. [1] Corner form of the factor of a perpendicular rectangle, as in J. R. Howell's catalog (from memory;
       derived again for this project).
    """
    slant = np.sqrt(a**2 + c**2)
    # At the foot itself nothing of the rectangle is left: the share tends to 1 there.
    share = np.divide(c, slant, out=np.ones(np.broadcast(a, c).shape), where=slant > 0)
    factor: Array = (np.arctan2(b, c) - share * np.arctan2(b, slant)) / (2 * math.pi)
    return factor


class Correction(Protocol):
    """What has to be added to the light beside a corner."""

    @property
    def nearest(self) -> float:
        """To the corner that it is known. [m]"""

    @property
    def corrected(self) -> bool:
        """Whether there is anything to add."""

    def illuminance(self, x: Array, y: Array) -> Array:
        """What it adds, (n,) points off the corner. [lx]"""


Corners = Callable[[bool, bool], Correction]
"""Right? top? → the correction of that corner."""


class Gathering:
    """How the light of each surface reaches the face of one box; exitances do not enter, so it is kept for all."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        heights = mesh.depth - strips_of(mesh).z
        self._from_back = _FromBack(mesh)
        self._from_x_return = _FromReturn(heights, mesh.columns, mesh.step_x, mesh.height)
        self._from_y_return = _FromReturn(heights, mesh.rows, mesh.step_y, mesh.width)

    def light(
        self,
        back: Array,
        returns: ReturnsBesideFace,
        corners: Corners | None = None,
        *,
        mirrored: tuple[bool, bool] = (False, False),
    ) -> ReflectedLight:
        """The light thrown back at the face.

        Parameters
        ----------
        back : (rows, columns)
            Exitance of the back. [lm/m²]
        returns : ReturnsBesideFace
        corners : callable, optional
            Corrections beside the face's corners, each asked for only where light is; None: there are none.
        mirrored : (bool, bool)
            Whether all of this is its own image in the mirror across x, across y.
        """

        def pair(gather: _FromReturn, low: Array, high: Array) -> tuple[_Beside, _Beside]:
            beside = gather(low)
            return beside, beside if np.array_equal(low, high) else gather(high)

        return ReflectedLight(
            self.mesh,
            self._from_back(back),
            pair(self._from_x_return, returns.bottom, returns.top),
            pair(self._from_y_return, returns.left, returns.right),
            corners=corners,
            mirrored=mirrored,
        )


class ReflectedLight:
    """Illuminance on the inner side of the face from the light that the cabinet throws back.

    Each surface's part is gathered exactly where it can be interpolated well, and a spline lies through it: the
    back's wherever patches meet, for it changes over no less than the depth; a return's at every half step along
    it, and off it at distances that grow from a fraction of its narrowest strip, for beside a return its light
    rises steeply.
    """

    def __init__(
        self,
        mesh: Mesh,
        back: RectBivariateSpline,
        bottom_top: tuple[_Beside, _Beside],
        left_right: tuple[_Beside, _Beside],
        *,
        corners: Corners | None = None,
        mirrored: tuple[bool, bool] = (False, False),
        factor: float = 1.0,
    ) -> None:
        self._mesh, self._back, self._factor = mesh, back, factor
        self._corners, self._mirrored = corners, mirrored
        self._bottom_top, self._left_right = bottom_top, left_right

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at points of the face, in lux.

        Parameters
        ----------
        x, y : float64 arrays of one shape
            [m]
        """
        return self._sum(np.asarray(x), np.asarray(y), grid=False)

    def on_grid(self, x: Array, y: Array) -> Array:
        """Illuminance on the mesh of rising y by rising x, in lux; what is another part's mirror image is copied."""
        (in_x, in_y), mesh = self._mirrored, self._mesh
        half_x = _half(x, mesh.width) if in_x else len(x)
        half_y = _half(y, mesh.height) if in_y else len(y)
        E = self._sum(x[:half_x], y[:half_y], grid=True)
        E = np.concatenate([E, E[:, : len(x) - half_x][:, ::-1]], axis=1)
        return np.concatenate([E, E[: len(y) - half_y][::-1]])

    def scaled(self, factor: float) -> ReflectedLight:
        """Return all of this light times a factor."""
        return ReflectedLight(
            self._mesh,
            self._back,
            self._bottom_top,
            self._left_right,
            corners=self._corners,
            mirrored=self._mirrored,
            factor=self._factor * factor,
        )

    def error_at(self, x: float, y: float, reflectance: float) -> float:
        """By how much all light at a point may be off beside a corner, where no finer mesh tells, relative.

        Towards a corner, where three surfaces meet, exitance depends on the direction seen from it at any scale,
        and the last patch of a return is even along it. Measured against an independent graded solution in boxes of
        several reflectances, right in the corner and up to 5 mm off it.

        Parameters
        ----------
        x, y : float
            [m]
        reflectance : float
            Of the face's inner side. [1]
        """
        mesh = self._mesh
        off = math.hypot(min(x, mesh.width - x), min(y, mesh.height - y))
        step = max(mesh.step_x, mesh.step_y)
        if off > CORNER_REACH * step:
            return 0.0
        corrected = (
            self._corners is not None and self._corners(x > mesh.width / 2, y > mesh.height / 2).corrected
        )
        most = 0.006 if corrected else 0.07 - 0.08 * min(reflectance, 0.5)
        return most * math.exp(-off / (0.17 * step))

    def mean(self, part: Rectangle) -> float:
        """Mean illuminance of a part of the face, in lux.

        Parameters
        ----------
        part : Rectangle
            [m]
        """
        depth = self._mesh.depth
        x, weights_x = _points(part.x0, part.x1, self._mesh.width, depth)
        y, weights_y = _points(part.y0, part.y1, self._mesh.height, depth)
        return float(weights_y @ self.on_grid(x, y) @ weights_x) / part.area

    def _sum(self, x: Array, y: Array, *, grid: bool) -> Array:
        (bottom, top), (left, right) = self._bottom_top, self._left_right
        E = np.asarray(self._back(y, x, grid=grid), dtype=np.float64)
        E = E + bottom.at(y, x, grid=grid) + top.at(self._mesh.height - y, x, grid=grid)
        from_sides = left.at(x, y, grid=grid) + right.at(self._mesh.width - x, y, grid=grid)
        E = E + (from_sides.T if grid else from_sides)
        if self._corners is not None:
            E = E + self._beside_corners(*(np.meshgrid(x, y) if grid else (x, y)))
        # A spline may swing below nought beside a patch that a module lights from very near.
        return self._factor * np.maximum(E, 0.0)

    def _beside_corners(self, x: Array, y: Array) -> Array:
        """What the corrections add at points of any one shape. [lx]"""
        assert self._corners is not None
        mesh = self._mesh
        added = np.zeros(np.shape(x))
        reach = CORNER_REACH * max(mesh.step_x, mesh.step_y)
        for right in (False, True):
            off_x = mesh.width - x if right else x
            for top in (False, True):
                off_y = mesh.height - y if top else y
                near = (off_x < reach) & (off_y < reach)
                if near.any():
                    correction = self._corners(right, top)
                    u, v = np.maximum(off_x[near], 0.0), np.maximum(off_y[near], 0.0)
                    # Nearer than its cells the light is taken as it is there, midway between the returns.
                    least = correction.nearest / math.sqrt(2)
                    inside = np.hypot(u, v) < correction.nearest
                    added[near] += correction.illuminance(
                        np.where(inside, least, u), np.where(inside, least, v)
                    )
        return added


def _half(places: Array, extent: float) -> int:
    """How many of some places to compute, the others being their images in the mirror midway; all, where not so. [1]

    Parameters
    ----------
    places : (n,)
        Rising. [m]
    extent : float
        [m]
    """
    alike = np.allclose(places + places[::-1], extent, rtol=0.0, atol=1e-12 * extent)
    return (len(places) + 1) // 2 if alike else len(places)


def _points(start: float, end: float, extent: float, depth: float) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights from start to end, crowded towards both returns, in steps of the depth."""
    off = depth * 4.0 ** np.arange(-6, 1)
    steps = np.linspace(start, end, math.ceil((end - start) / depth) + 1)
    edges = np.unique(np.clip(np.concatenate([steps, off, extent - off]), start, end))
    nodes, weights = legendre(5)
    halves = np.diff(edges)[:, None] / 2
    return (edges[:-1, None] + halves * (nodes + 1)).ravel(), (halves * weights).ravel()


class _Beside:
    """The light that one return casts on the face, by the distance c from it and the place b along it.

    In the face's corners, at the ends of the return, it tends to M atan(b/c)/2π with the exitance M of the
    end's strip beside the face, which no spline can follow: that part is kept apart and computed.
    """

    def __init__(self, gather: _FromReturn, exitance: Array) -> None:
        self._ends = (float(exitance[-1, 0]), float(exitance[-1, -1]))
        self._length = float(gather.along[-1])
        self._scale = gather.scale
        smooth = gather.illuminance(exitance) - self._at_ends(
            gather.distance[:, None], gather.along, corner=0.0
        )
        self._spline = RectBivariateSpline(gather.t, gather.along, smooth, kx=3, ky=3, s=0)

    def _at_ends(self, distance: Array, along: Array, *, corner: float) -> Array:
        """The two ends' parts; ``corner`` is the angle right in a corner, where every angle is a limit."""
        angles = (
            np.where(
                (distance <= 0) & (b <= 0), corner, np.arctan2(np.maximum(b, 0.0), np.maximum(distance, 0.0))
            )
            for b in (along, self._length - along)
        )
        return np.asarray(
            sum(M * angle for M, angle in zip(self._ends, angles, strict=True)) / (2 * math.pi),
            dtype=np.float64,
        )

    def at(self, distance: Array, along: Array, *, grid: bool) -> Array:
        """Illuminance by distance and place along; (distance, along) where ``grid``, of any order. [lx]"""
        t = np.log1p(np.maximum(distance, 0.0) / self._scale)
        # The other return that meets in a corner takes the other half of the right angle.
        ends = self._at_ends(distance[:, None] if grid else distance, along, corner=math.pi / 4)
        if grid and len(t) > 1 and t[0] > t[-1]:
            return np.asarray(self._spline(t[::-1], along, grid=True)[::-1] + ends, dtype=np.float64)
        return np.asarray(self._spline(t, along, grid=grid) + ends, dtype=np.float64)


def corner_strengths(exitance: Array) -> Array:
    """Strength of each corner of the patches: a patch adds its exitance at two and takes it at two."""
    padded = np.pad(exitance, 1)
    return np.asarray(padded[1:, 1:] - padded[:-1, 1:] - padded[1:, :-1] + padded[:-1, :-1])


class _FromBack:
    """Illuminance from the back wherever patches of the face meet, as a spline."""

    def __init__(self, mesh: Mesh) -> None:
        nx, ny = mesh.columns, mesh.rows
        self._x, self._y = mesh.edges_x, mesh.edges_y
        self._size = tuple(fft.next_fast_len(2 * n + 1, real=True) for n in (ny, nx))
        # Offsets from a point to a corner of a patch, from 0 to the far end and, wrapped around, below 0.
        x, y = (
            np.concatenate([np.arange(n + 1.0), np.zeros(size - 2 * n - 1), np.arange(-n, 0.0)])
            for n, size in ((nx, self._size[1]), (ny, self._size[0]))
        )
        factor = corner_parallel(x * (mesh.step_x / mesh.depth), y[:, None] * (mesh.step_y / mesh.depth))
        # A convolution turns offsets around; the factor is odd in both, so that nothing else changes.
        self._kernel = fft.rfft2(factor)

    def __call__(self, exitance: Array) -> RectBivariateSpline:
        E = fft.irfft2(fft.rfft2(corner_strengths(exitance), self._size) * self._kernel, self._size)
        E = E[: len(self._y), : len(self._x)]
        kx, ky = (min(5, len(nodes) - 1) for nodes in (self._y, self._x))
        return RectBivariateSpline(self._y, self._x, E, kx=kx, ky=ky, s=0)


class _FromReturn:
    """Illuminance from one return, at every half step along it and at growing distances from it.

    Parameters
    ----------
    heights : (layers + 1,)
        Where layers meet, off the face, falling to 0. [m]
    n : int
        Patches along the return.
    step : float
        Along the return. [m]
    farthest : float
        Where the opposite return is. [m]
    """

    def __init__(self, heights: Array, n: int, step: float, farthest: float) -> None:
        self.scale = float(heights[-2] - heights[-1]) / 2
        last = math.log1p(farthest / self.scale)
        self.t = np.linspace(0, last, max(8, math.ceil(STEPS_PER_FOLD * last) + 1))
        self.distance = self.scale * np.expm1(self.t)
        self.along = np.arange(2 * n + 1) * step / 2
        self._n = n
        self._size = fft.next_fast_len(3 * n + 2, real=True)
        self._kernels = []
        for half in (0, 1):
            # Offsets from a point to a corner, falling, so that a convolution adds what belongs together.
            offset = (np.arange(n, -n - 1.0, -1) - half / 2) * step
            kernel = corner_perpendicular(
                heights[:, None], offset, np.maximum(self.distance, 0.0)[:, None, None]
            )
            # A matrix of distances and layers for each frequency.
            self._kernels.append(np.ascontiguousarray(fft.rfft(kernel, self._size).transpose(2, 0, 1)))

    def __call__(self, exitance: Array) -> _Beside:
        return _Beside(self, exitance)

    def illuminance(self, exitance: Array) -> Array:
        """(distances, places along), from (layers, n) exitances. [lx]"""
        n = self._n
        # Heights are counted from the face, which turns the sign of every corner.
        strengths = -fft.rfft(corner_strengths(exitance), self._size)
        E = np.empty((len(self.distance), 2 * n + 1))
        for half, kernel in enumerate(self._kernels):
            gathered = (kernel @ strengths.T[..., None])[..., 0].T
            E[:, half::2] = fft.irfft(gathered, self._size)[:, n : 2 * n + 1 - half]
        return E
