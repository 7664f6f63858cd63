"""How much of what one patch sends out arrives on another: exact, area to area, and never stored pair by pair.

For two patches the flux exchanged at unit exitance is

    A_i F_ij = ∫∫ cos β_i cos β_j / (π r²) dA_i dA_j,      A_i F_ij = A_j F_ji.

For rectangles with parallel or perpendicular sides it is a sum of differences of one function of the distances
between their edges (``parallel``, ``perpendicular``). On equal patches that function's differences depend on
the offset between two patches only, so applying all of them is a convolution:

    back ↔ face             offsets in x and y        two-dimensional cosine or sine transforms
    return ↔ back or face   offsets along the return  one-dimensional ones, a small matrix for each frequency
    return ↔ opposite one   offsets along the return  likewise
    return ↔ adjacent one   a matrix of layers and columns by layers and rows, small since returns are narrow

All of it for each part of ``mirrors.py`` by itself. For larger and larger faces at one depth time grows as N log N
and memory as N with the number N of patches in a plane; where one box is cut ever finer its layers grow too, and
with them the last matrix, as N².
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from scipy import fft

from lumsim.light.mirrors import PARITIES, Parity, Quarter, fold, unfold
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["Exchange", "parallel", "perpendicular"]


def parallel(x: Array, y: Array, h: Array | float) -> Array:
    """Fourfold antiderivative of the exchange between parallel elements, in square metres.

    B with ∂⁴B/∂x²∂y² = h² / (π (x² + y² + h²)²), the exchange of two elements at offset (x, y) and distance
    h. For intervals [a, b] and [c, d] along x the exchange is −[B(d−b) − B(d−a) − B(c−b) + B(c−a)] and
    likewise along y.

    Parameters
    ----------
    x, y : arrays that broadcast
        Offsets between edges. [m]
    h : float or array
        Distance of the planes, more than 0. [m]

    References
    ----------
    .. [1] J. R. Howell, A catalog of radiation heat transfer configuration factors, C-11 (the formula from
       memory; derived again for this project).
    """
    to_y, to_x = np.sqrt(h**2 + y**2), np.sqrt(h**2 + x**2)
    return (
        x * to_y * np.arctan(x / to_y)
        + y * to_x * np.arctan(y / to_x)
        - h**2 / 2 * np.log(h**2 + x**2 + y**2)
    ) / (2 * math.pi)


def perpendicular(x: Array, p: Array, q: Array) -> Array:
    """Fourfold antiderivative of the exchange between perpendicular elements, in square metres.

    C with ∂⁴C/∂x²∂p∂q = p q / (π (x² + p² + q²)²), the exchange of two elements at offset x along the
    common edge and distances p and q from it. p and q are integrated plainly, x as in ``parallel``.

    Parameters
    ----------
    x, p, q : arrays that broadcast
        [m]

    References
    ----------
    .. [1] J. R. Howell, A catalog of radiation heat transfer configuration factors, C-14 (the formula from
       memory; derived again for this project).
    """
    rho2 = p**2 + q**2
    r2 = x**2 + rho2
    rho = np.sqrt(rho2)
    log = np.log(np.where(r2 > 0, r2, 1.0))
    arc: Array = np.abs(x) * np.arctan2(np.abs(x), rho)
    return -((x**2 - rho2) * log / 2 + 2 * rho * arc) / (4 * math.pi)


def _second(values: Array) -> Array:
    """Second differences along the last axis: an even step on both patches."""
    return values[..., 2:] - 2 * values[..., 1:-1] + values[..., :-2]


def _both_ends(values: Array) -> Array:
    """Exchange of all pairs of intervals from the antiderivative at all pairs of their edges, axes 0 and 1."""
    return -(values[1:, 1:] - values[:-1, 1:] - values[1:, :-1] + values[:-1, :-1])


EVEN = PARITIES[0]


class Exchange:
    """All exchange inside a box; reflectances and modules do not enter."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self.areas = mesh.areas()
        self._kernels = _Kernels(mesh)
        self._parts: dict[Parity, _Part] = {}

    def part(self, parity: Parity) -> _Part:
        """The exchange of light of one parity, a quarter of the box; computed where it is first asked for."""
        if parity not in self._parts:
            self._parts[parity] = _Part(self._kernels, parity)
        return self._parts[parity]

    def arriving(self, exitance: Surfaces) -> Surfaces:
        """Flux that arrives on each patch from all others, in lumens.

        Parameters
        ----------
        exitance : Surfaces
            [lm/m²]
        """
        return unfold({parity: self.part(parity).arriving(fold(exitance, parity)) for parity in PARITIES})

    def row_sum_defect(self) -> float:
        """How far the factors of any patch are from adding up to 1, at most: the box is closed. [1]"""
        areas = fold(self.areas, EVEN)
        sums = self.part(EVEN).arriving(areas.each(np.ones_like))
        return max(float(np.max(np.abs(flux / area - 1))) for flux, area in zip(sums, areas, strict=True))


class _Kernels:
    """What the antiderivatives say of the offsets of a mesh, before its halves are folded upon each other."""

    def __init__(self, mesh: Mesh) -> None:
        nx, ny = mesh.columns, mesh.rows
        z = np.asarray(mesh.z)
        self.mesh = mesh
        self.length_x, self.length_y = (fft.next_fast_len(n, real=True) for n in (nx, ny))
        edges_x, edges_y = mesh.edges_x, mesh.edges_y
        offsets_x, offsets_y = np.insert(edges_x, 0, -mesh.step_x), np.insert(edges_y, 0, -mesh.step_y)

        planes = parallel(offsets_x, offsets_y[:, None], mesh.depth)
        planes = _second(_second(planes).T).T
        self.planes = _spectrum(_spectrum(planes, self.length_x).T, self.length_y).T

        # [frequency along the return, patch of the plane off the return, layer]
        self.to_top = self._along(perpendicular(offsets_x, edges_y[:, None, None], z[:, None]), self.length_x)
        self.to_right = self._along(
            perpendicular(offsets_y, edges_x[:, None, None], z[:, None]), self.length_y
        )

        # [frequency, layer, layer of the opposite return]
        apart = np.abs(z[:, None] - z)[..., None]
        self.bottom_top = _by_frequency(
            _both_ends(_second(parallel(offsets_x, apart, mesh.height))), self.length_x
        )
        self.left_right = _by_frequency(
            _both_ends(_second(parallel(offsets_y, apart, mesh.width))), self.length_y
        )

        # [distance of two layers' edges, column off the one return, row off the other]
        distances, which = np.unique(np.round(apart[..., 0], 12), return_inverse=True)
        corner = perpendicular(distances[:, None, None], edges_x[:, None], edges_y)
        self.corner = np.diff(np.diff(corner, axis=1), axis=2)
        self.distance_of_layers = which.reshape(len(z), len(z))

    def _along(self, edges: Array, length: int) -> Array:
        return _by_frequency(np.diff(np.diff(_second(edges), axis=0), axis=1), length)


class _Part:
    """The exchange of light of one parity, on the upper right quarter of the box."""

    def __init__(self, kernels: _Kernels, parity: Parity) -> None:
        self._parity = parity
        self._size = (kernels.mesh.rows // 2, kernels.mesh.columns // 2)
        self._length_x, self._length_y = kernels.length_x, kernels.length_y
        in_x, in_y = _frequencies(parity.x), _frequencies(parity.y)
        self._planes = np.ascontiguousarray(kernels.planes[in_y, in_x])
        self._to_top = np.ascontiguousarray(_folded(kernels.to_top[in_x], parity.y, axis=1))
        self._to_right = np.ascontiguousarray(_folded(kernels.to_right[in_y], parity.x, axis=1))
        self._top_top = parity.y * np.ascontiguousarray(kernels.bottom_top[in_x])
        self._right_right = parity.x * np.ascontiguousarray(kernels.left_right[in_y])
        corner = _folded(_folded(kernels.corner, parity.x, axis=1), parity.y, axis=2)
        corner = _both_ends(corner[kernels.distance_of_layers])
        layers, _, columns, rows = corner.shape
        self._adjacent = np.ascontiguousarray(
            corner.transpose(0, 2, 1, 3).reshape(layers * columns, layers * rows)
        )

    def arriving(self, exitance: Quarter) -> Quarter:
        """Flux that arrives on each patch from all others of the whole box, in lumens.

        Parameters
        ----------
        exitance : Quarter
            [lm/m²]
        """
        M, (rows, columns) = exitance, self._size
        along_x, along_y = (
            _Waves(*one) for one in zip(self._parity, (self._length_x, self._length_y), strict=True)
        )

        # The back and the face, one above the other, are transformed along x, along y and along both.
        planes = np.stack([M.back, M.face])
        by_x, by_y = along_x.forward(planes, axis=2), along_y.forward(planes, axis=1)
        by_both = self._planes * along_y.forward(by_x, axis=1)[::-1]
        top, beside_top = _return_and_planes(
            along_x.forward(M.top, axis=1), by_x, self._to_top, self._top_top
        )
        right, beside_right = _return_and_planes(
            along_y.forward(M.right, axis=1), by_y.transpose(0, 2, 1), self._to_right, self._right_right
        )
        arriving = along_x.backward(along_y.backward(by_both, axis=1)[:, :rows] + beside_top, axis=2)[
            ..., :columns
        ]
        arriving += along_y.backward(beside_right, axis=2)[..., :rows].transpose(0, 2, 1)
        to_adjacent = self._adjacent @ M.right.ravel(), M.top.ravel() @ self._adjacent
        return Quarter(
            back=arriving[0],
            face=arriving[1],
            top=along_x.backward(top, axis=1)[:, :columns] + to_adjacent[0].reshape(M.top.shape),
            right=along_y.backward(right, axis=1)[:, :rows] + to_adjacent[1].reshape(M.right.shape),
        )


def _even(kernel: Array, length: int) -> Array:
    """A kernel of offsets 0, 1, … along the last axis, laid out for a cyclic convolution of some length."""
    n = kernel.shape[-1]
    cyclic = np.zeros((*kernel.shape[:-1], length))
    cyclic[..., :n] = kernel
    cyclic[..., length - n + 1 :] = kernel[..., :0:-1]
    return cyclic


def _spectrum(kernel: Array, length: int) -> Array:
    """Spectrum along the last axis of a kernel that is even in the offset: real, ``length`` + 1 frequencies."""
    return np.asarray(fft.rfft(_even(kernel, 2 * length), axis=-1).real)


def _by_frequency(kernel: Array, length: int) -> Array:
    """The same as a matrix for each frequency."""
    return np.ascontiguousarray(_spectrum(kernel, length).transpose(2, 0, 1))


def _frequencies(sign: int) -> slice:
    """The frequencies of cosines for what is even about the middle, of sines for what is odd."""
    return slice(0, -1) if sign > 0 else slice(1, None)


def _folded(off: Array, sign: int, *, axis: int) -> Array:
    """A kernel by distance off a return, of all patches: what those off that return and its opposite do together.

    From the middle of the box outwards, in the half that touches the return.
    """
    near, far = np.split(off, 2, axis=axis)
    return np.flip(near, axis=axis) + sign * far


class _Waves(NamedTuple):
    """Transforms of light even or odd about the middle of the box, given from there outwards."""

    sign: int
    length: int

    def forward(self, light: Array, *, axis: int) -> Array:
        """To cosines or sines."""
        return np.asarray((fft.dct if self.sign > 0 else fft.dst)(light, type=2, n=self.length, axis=axis))

    def backward(self, waves: Array, *, axis: int) -> Array:
        """And back."""
        return np.asarray((fft.idct if self.sign > 0 else fft.idst)(waves, type=2, n=self.length, axis=axis))


def _return_and_planes(own: Array, planes: Array, to_plane: Array, to_opposite: Array) -> tuple[Array, Array]:
    """Flux between a return, with its opposite folded upon it, and back and face; all transformed along it.

    Parameters
    ----------
    own : (layers, frequencies)
        Exitance of the return. [lm/m²]
    planes : (2, rows, frequencies)
        Of back and face, from the middle towards the return. [lm/m²]
    to_plane : (frequencies, rows, layers)
        Back and return.
    to_opposite : (frequencies, layers, layers)

    Returns
    -------
    own, planes
        Arriving flux. [lm]
    """
    K, S = to_plane, to_opposite
    # The face meets the return at its last layer, the back at its first.
    off_planes = planes.transpose(2, 0, 1) @ K
    to_own = off_planes[:, 0] + off_planes[:, 1, ::-1] + (S @ own.T[..., None])[..., 0]
    on_planes = K @ np.stack([own.T, own[::-1].T], axis=-1)
    return to_own.T, on_planes.transpose(2, 1, 0)
