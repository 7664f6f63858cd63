"""The light thrown back at points of the face: gathered exactly from the patches, not from their centres."""

from __future__ import annotations

import math

import numpy as np
from scipy import fft
from scipy.interpolate import RectBivariateSpline

from lumsim.light.edges import ReturnsBesideFace
from lumsim.light.surfaces import Array, Mesh

__all__ = ["ReflectedLight", "corner_parallel", "corner_perpendicular"]


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


class ReflectedLight:
    """Illuminance on the inner side of the face from the light that the cabinet throws back.

    Each surface's part is gathered exactly where it can be interpolated well, and a cubic spline lies through
    it: the back's at every half step of the mesh, for it changes over no less than the depth; a return's at
    every half step along it, and off it at distances that grow from a fraction of its narrowest layer, for
    beside a return its light rises steeply.
    """

    def __init__(self, mesh: Mesh, back: Array, returns: ReturnsBesideFace) -> None:
        self._mesh = mesh
        half_x = np.arange(2 * mesh.columns + 1) * mesh.step_x / 2
        half_y = np.arange(2 * mesh.rows + 1) * mesh.step_y / 2
        self._back = RectBivariateSpline(half_y, half_x, _from_back(mesh, back), kx=3, ky=3, s=0)
        self._returns = tuple(
            _Beside(mesh.depth - returns.z, values, half, step, size)
            for values, half, step, size in (
                (returns.bottom, half_x, mesh.step_x, mesh.height),
                (returns.top, half_x, mesh.step_x, mesh.height),
                (returns.left, half_y, mesh.step_y, mesh.width),
                (returns.right, half_y, mesh.step_y, mesh.width),
            )
        )

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at points of the face, in lux.

        Parameters
        ----------
        x, y : float64 arrays of one shape
            [m]
        """
        return self._sum(np.asarray(x), np.asarray(y), grid=False)

    def on_grid(self, x: Array, y: Array) -> Array:
        """Illuminance on the mesh of rising y by rising x, in lux."""
        return self._sum(x, y, grid=True)

    def _sum(self, x: Array, y: Array, *, grid: bool) -> Array:
        bottom, top, left, right = self._returns
        E = np.asarray(self._back(y, x, grid=grid), dtype=np.float64)
        E = E + bottom.at(y, x, grid=grid) + top.at(self._mesh.height - y, x, grid=grid)
        from_sides = left.at(x, y, grid=grid) + right.at(self._mesh.width - x, y, grid=grid)
        return E + (from_sides.T if grid else from_sides)


class _Beside:
    """The light that one return casts on the face, by the distance c from it and the place b along it.

    In the face's corners, at the ends of the return, it tends to M atan(b/c)/2π with the exitance M of the
    end's patch beside the face, which no spline can follow: that part is kept apart and computed.
    """

    def __init__(self, heights: Array, exitance: Array, along: Array, step: float, farthest: float) -> None:
        self._ends = (float(exitance[-1, 0]), float(exitance[-1, -1]))
        self._length = float(along[-1])
        self._scale = float(heights[-2] - heights[-1]) / 2
        last = math.log1p(farthest / self._scale)
        t = np.linspace(0, last, max(8, math.ceil(STEPS_PER_FOLD * last) + 1))
        distance = self._scale * np.expm1(t)
        E = _from_return(heights, exitance, step, distance)
        smooth = E - self._at_ends(distance[:, None], along, corner=0.0)
        self._spline = RectBivariateSpline(t, along, smooth, kx=3, ky=3, s=0)

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


def _corners(exitance: Array) -> Array:
    """Strength of each corner of the patches: a patch adds its exitance at two and takes it at two."""
    padded = np.pad(exitance, 1)
    return np.asarray(padded[1:, 1:] - padded[:-1, 1:] - padded[1:, :-1] + padded[:-1, :-1])


def _from_back(mesh: Mesh, exitance: Array) -> Array:
    """Illuminance from the back at every half step of the face."""
    nx, ny = mesh.columns, mesh.rows
    size = tuple(fft.next_fast_len(3 * n + 2, real=True) for n in (ny, nx))
    strengths = fft.rfft2(_corners(exitance), size)
    E = np.empty((2 * ny + 1, 2 * nx + 1))
    for half_y in (0, 1):
        for half_x in (0, 1):
            # Offsets from a point to a corner, falling, so that a convolution adds what belongs together.
            offset_x = (np.arange(nx, -nx - 1.0, -1) - half_x / 2) * (mesh.step_x / mesh.depth)
            offset_y = (np.arange(ny, -ny - 1.0, -1) - half_y / 2) * (mesh.step_y / mesh.depth)
            kernel = fft.rfft2(corner_parallel(offset_x, offset_y[:, None]), size)
            E[half_y::2, half_x::2] = fft.irfft2(strengths * kernel, size)[
                ny : 2 * ny + 1 - half_y, nx : 2 * nx + 1 - half_x
            ]
    return E


def _from_return(heights: Array, exitance: Array, step: float, distance: Array) -> Array:
    """Illuminance from one return at every half step of the face: (points off the return, points along it).

    Parameters
    ----------
    heights : (layers + 1,)
        Where layers meet, off the face, falling to 0. [m]
    exitance : (layers, n)
        [lm/m²]
    step : float
        Along the return. [m]
    distance : (points,)
        From the return. [m]
    """
    n = exitance.shape[1]
    size = fft.next_fast_len(3 * n + 2, real=True)
    # Heights are counted from the face, which turns the sign of every corner.
    strengths = -fft.rfft(_corners(exitance), size)
    E = np.empty((len(distance), 2 * n + 1))
    for half in (0, 1):
        offset = (np.arange(n, -n - 1.0, -1) - half / 2) * step
        kernel = corner_perpendicular(heights[:, None], offset, np.maximum(distance, 0.0)[:, None, None])
        gathered = np.einsum("kf,pkf->pf", strengths, fft.rfft(kernel, size))
        E[:, half::2] = fft.irfft(gathered, size)[:, n : 2 * n + 1 - half]
    return E
