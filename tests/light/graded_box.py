"""A cabinet solved the heavy way: patches that narrow towards every edge, one dense system, a quarter at a time.

Only for cabinets whose left half mirrors the right and whose lower half the upper. It shares with lumsim the
antiderivatives of the exchange, which are held against quadrature elsewhere, and nothing else.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.direct import DirectLight, past_edge
from lumsim.light.exchange import parallel, perpendicular
from lumsim.light.gathering import corner_parallel, corner_perpendicular
from tests import cabinets

Array = NDArray[np.float64]


def graded(extent: float, *, narrowest: float, growth: float, widest: float) -> Array:
    """Where patches meet from 0 to the extent, the narrowest at both ends [m]."""
    half, step = [0.0], narrowest
    while half[-1] < extent / 2:
        half.append(half[-1] + step)
        step = min(step * growth, widest)
    low = np.array(half) * (extent / 2 / half[-1])
    return np.concatenate([low, (extent - low[::-1])[1:]])


def _pairs(values: Array) -> Array:
    """Second difference over the edges of two intervals, axes 0 and 1."""
    return -np.diff(np.diff(values, axis=0), axis=1)


def _folded(values: Array, axis: int) -> Array:
    low, high = np.split(values, 2, axis=axis)
    return low + np.flip(high, axis=axis)


class GradedBox:
    """A mirrored cabinet with reflectances of its box and face."""

    def __init__(self, cabinet: Cabinet, *, narrowest: float, growth: float, widest: float) -> None:
        box = cabinet.box
        self._size = box.width, box.height, box.depth
        self._x, self._y, self._z = (
            graded(extent, narrowest=narrowest, growth=growth, widest=widest) for extent in self._size
        )
        x, y, z = self._x, self._y, self._z
        nx, ny, nz = (len(x) - 1) // 2, (len(y) - 1) // 2, len(z) - 1
        half_x, half_y = x[: nx + 1], y[: ny + 1]
        to_x, to_y, to_z = half_x[:, None] - x, half_y[:, None] - y, z[:, None] - z

        planes = _pairs(_pairs(parallel(to_x, to_y[:, :, None, None], box.depth)).transpose(2, 3, 0, 1))
        planes = _folded(_folded(planes, 1), 3).transpose(2, 0, 3, 1).reshape(ny * nx, ny * nx)

        def upright(offsets: Array, p: Array, q: Array) -> Array:
            values = _pairs(perpendicular(offsets[:, :, None, None], p[:, None], q))
            return np.asarray(np.diff(np.diff(values, axis=2), axis=3))

        to_bottom = _folded(_folded(upright(to_x, y, z), 1), 2).transpose(2, 0, 3, 1)
        to_left = _folded(_folded(upright(to_y, x, z), 1), 2).transpose(0, 2, 3, 1)
        across = [
            _folded(_pairs(_pairs(parallel(to, to_z[:, :, None, None], far)).transpose(2, 3, 0, 1)), 1)
            for to, far in ((to_x, box.height), (to_y, box.width))
        ]
        bottom_top, left_right = (
            one.transpose(2, 0, 3, 1).reshape(nz * n, nz * n) for one, n in zip(across, (nx, ny), strict=True)
        )
        adjacent = _folded(_folded(upright(to_z, x, y), 2), 3).transpose(0, 2, 1, 3).reshape(nz * nx, nz * ny)
        back_bottom, back_left = to_bottom.reshape(ny * nx, -1), to_left.reshape(ny * nx, -1)
        face_bottom, face_left = (one[:, :, ::-1].reshape(ny * nx, -1) for one in (to_bottom, to_left))
        none = np.zeros_like(planes)
        exchange = np.block(
            [
                [none, planes, back_bottom, back_left],
                [planes.T, none, face_bottom, face_left],
                [back_bottom.T, face_bottom.T, bottom_top, adjacent],
                [back_left.T, face_left.T, adjacent.T, left_right],
            ]
        )
        steps_x, steps_y, steps_z = np.diff(half_x), np.diff(half_y), np.diff(z)
        shapes = [(ny, nx), (ny, nx), (nz, nx), (nz, ny)]
        areas = [
            np.outer(a, b)
            for a, b in ((steps_y, steps_x), (steps_y, steps_x), (steps_z, steps_x), (steps_z, steps_y))
        ]
        area = np.concatenate([one.ravel() for one in areas])
        reflectances = (
            box.back_reflectance,
            cabinet.face.reflectance,
            box.bottom_return_reflectance,
            box.left_return_reflectance,
        )
        rho = np.repeat(reflectances, [one.size for one in areas])
        self._direct = DirectLight(cabinet.sources(), box.depth)
        start = np.concatenate([one.ravel() for one in self._starts(cabinet, half_x, half_y)]) / area
        E = np.linalg.solve(np.eye(len(area)) - exchange * rho / area[:, None], start)
        exitance = np.split(rho * E, np.cumsum([one.size for one in areas])[:-1])
        back, _, bottom, left = (one.reshape(shape) for one, shape in zip(exitance, shapes, strict=True))
        self._back = np.block([[back, back[:, ::-1]], [back[::-1], back[::-1, ::-1]]])
        self._bottom, self._left = (np.concatenate([one, one[:, ::-1]], axis=1) for one in (bottom, left))

    def _starts(self, cabinet: Cabinet, half_x: Array, half_y: Array) -> tuple[Array, Array, Array, Array]:
        """Direct flux on each patch: what passes no edge of the face lands on it [lm]."""
        z, depth = self._z, self._size[2]
        emitters = cabinet.emitters()
        face = np.zeros((len(half_y), len(half_x)))
        bottom, left = np.zeros((len(z), len(half_x))), np.zeros((len(z), len(half_y)))
        for x, y, plane, flux, m in zip(
            emitters.x, emitters.y, emitters.z, emitters.flux, cabinets.exponents(emitters), strict=True
        ):
            X, Y, h = half_x - x, (half_y - y)[:, None], depth - plane
            inside = 0.25 - past_edge(np.abs(X), np.abs(Y), h, m) - past_edge(np.abs(Y), np.abs(X), h, m)
            face += flux * np.sign(X) * np.sign(Y) * inside
            heights = np.maximum(z - plane, 0.0)[:, None]
            bottom += flux * past_edge(y, half_x - x, heights, m)
            left += flux * past_edge(x, half_y - y, heights, m)
        on_face, on_bottom, on_left = (np.diff(np.diff(one, axis=0), axis=1) for one in (face, bottom, left))
        return np.zeros_like(on_face), on_face, on_bottom, on_left

    def illuminance(self, x: Array, y: Array) -> Array:
        """All light at points of the face, (n,) each [lx]."""
        return np.array(
            [self._thrown_back(float(a), float(b)) for a, b in zip(x, y, strict=True)]
        ) + self._direct.illuminance(x, y)

    def _thrown_back(self, x: float, y: float) -> float:
        width, height, depth = self._size
        total = np.sum(
            _corners(self._back) * corner_parallel((self._x - x) / depth, ((self._y - y) / depth)[:, None])
        )
        heights = (depth - self._z)[:, None]
        for exitance, along, distances in (
            (self._bottom, self._x - x, (y, height - y)),
            (self._left, self._y - y, (x, width - x)),
        ):
            for distance in distances:
                total -= np.sum(_corners(exitance) * corner_perpendicular(heights, along, np.array(distance)))
        return float(total)


def _corners(exitance: Array) -> Array:
    """A patch adds its exitance at two of its corners and takes it at the other two."""
    return np.asarray(np.diff(np.diff(np.pad(exitance, 1), axis=0), axis=1))
