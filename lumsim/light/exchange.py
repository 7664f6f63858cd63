"""How much of what one patch sends out arrives on another: exact, area to area, and never stored pair by pair.

For two patches the flux exchanged at unit exitance is

    A_i F_ij = ∫∫ cos β_i cos β_j / (π r²) dA_i dA_j,      A_i F_ij = A_j F_ji.

For rectangles with parallel or perpendicular sides it is a sum of differences of one function of the distances
between their edges (``parallel``, ``perpendicular``). On equal patches that function's differences depend on
the offset between two patches only, so applying all of them is a convolution:

    back ↔ face             offsets in x and y       two-dimensional Fourier transforms
    return ↔ back or face   offsets along the return  one-dimensional ones, a small matrix for each frequency
    return ↔ opposite one   offsets along the return  likewise
    return ↔ adjacent one   a matrix of layers and columns by layers and rows, small since returns are narrow

Time grows as N log N and memory as N with the number N of patches in a plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import fft

from lumsim.cabinet.box import Box
from lumsim.errors import TooLargeError
from lumsim.light.surfaces import Array, Mesh, Surfaces, mesh_of

__all__ = ["Exchange", "Interior", "interior_of", "parallel", "perpendicular"]


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


class Exchange:
    """All exchange inside a box; reflectances and modules do not enter."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self.areas = mesh.areas()
        nx, ny = mesh.columns, mesh.rows
        z = np.asarray(mesh.z)
        self._length_x, self._length_y = (
            fft.next_fast_len(2 * nx, real=True),
            fft.next_fast_len(2 * ny, real=True),
        )
        edges_x, edges_y = mesh.edges_x, mesh.edges_y
        offsets_x, offsets_y = np.insert(edges_x, 0, -mesh.step_x), np.insert(edges_y, 0, -mesh.step_y)

        planes = parallel(offsets_x, offsets_y[:, None], mesh.depth)
        planes = _second(_second(planes).T).T
        self._planes = np.ascontiguousarray(
            fft.rfft2(_even(_even(planes, self._length_x).T, self._length_y).T).real
        )

        # [frequency along the return, patch of the plane off the return, layer]
        self._to_bottom = self._along(
            perpendicular(offsets_x, edges_y[:, None, None], z[:, None]), self._length_x
        )
        self._to_left = self._along(
            perpendicular(offsets_y, edges_x[:, None, None], z[:, None]), self._length_y
        )

        # [frequency, layer, layer of the opposite return]
        apart = np.abs(z[:, None] - z)[..., None]
        self._bottom_top = self._spectrum(
            _both_ends(_second(parallel(offsets_x, apart, mesh.height))), self._length_x
        )
        self._left_right = self._spectrum(
            _both_ends(_second(parallel(offsets_y, apart, mesh.width))), self._length_y
        )

        # [layer and column of the bottom return, layer and row of the left return]
        distances, which = np.unique(np.round(apart[..., 0], 12), return_inverse=True)
        corner = perpendicular(distances[:, None, None], edges_x[:, None], edges_y)
        corner = np.diff(np.diff(corner, axis=1), axis=2)
        corner = _both_ends(corner[which.reshape(len(z), len(z))])
        layers = len(z) - 1
        self._adjacent = np.ascontiguousarray(corner.transpose(0, 2, 1, 3).reshape(layers * nx, layers * ny))

    def _spectrum(self, kernel: Array, length: int) -> Array:
        """Spectrum of a kernel that is even in the offset, which is real: a matrix for each frequency."""
        return np.ascontiguousarray(fft.rfft(_even(kernel, length), axis=-1).real.transpose(2, 0, 1))

    def _along(self, edges: Array, length: int) -> Array:
        return self._spectrum(np.diff(np.diff(_second(edges), axis=0), axis=1), length)

    def arriving(self, exitance: Surfaces) -> Surfaces:
        """Flux that arrives on each patch from all others, in lumens.

        Parameters
        ----------
        exitance : Surfaces
            [lm/m²]
        """
        M, mesh = exitance, self.mesh
        nx, ny = mesh.columns, mesh.rows
        size = (self._length_y, self._length_x)
        face = fft.irfft2(self._planes * fft.rfft2(M.back, size), size)[:ny, :nx]
        back = fft.irfft2(self._planes * fft.rfft2(M.face, size), size)[:ny, :nx]

        bottom, top, on_back, on_face = _returns_and_planes(
            M.bottom, M.top, M.back, M.face, self._to_bottom, self._bottom_top, self._length_x
        )
        back, face = back + on_back, face + on_face
        left, right, on_back, on_face = _returns_and_planes(
            M.left, M.right, M.back.T, M.face.T, self._to_left, self._left_right, self._length_y
        )
        back, face = back + on_back.T, face + on_face.T

        # One corner's matrix serves all four, which are its mirror images: all at once, for reading it is the work.
        x_sides = np.stack([M.bottom, M.bottom[:, ::-1], M.top, M.top[:, ::-1]], axis=-1)
        y_sides = np.stack([M.left, M.right, M.left[:, ::-1], M.right[:, ::-1]], axis=-1)
        to_x = (self._adjacent @ y_sides.reshape(-1, 4)).reshape(x_sides.shape)
        to_y = (self._adjacent.T @ x_sides.reshape(-1, 4)).reshape(y_sides.shape)
        bottom = bottom + to_x[..., 0] + to_x[:, ::-1, 1]
        top = top + to_x[..., 2] + to_x[:, ::-1, 3]
        left = left + to_y[..., 0] + to_y[:, ::-1, 2]
        right = right + to_y[..., 1] + to_y[:, ::-1, 3]
        return Surfaces(back, face, bottom, top, left, right)

    def row_sum_defect(self) -> float:
        """How far the factors of any patch are from adding up to 1, at most: the box is closed. [1]"""
        ones = self.areas.each(np.ones_like)
        sums = self.arriving(ones).each(lambda flux, area: np.abs(flux / area - 1), self.areas)
        return max(float(one.max()) for one in sums)


def _even(kernel: Array, length: int) -> Array:
    """A kernel of offsets 0, 1, … along the last axis, laid out for a cyclic convolution of some length."""
    n = kernel.shape[-1]
    cyclic = np.zeros((*kernel.shape[:-1], length))
    cyclic[..., :n] = kernel
    cyclic[..., length - n + 1 :] = kernel[..., :0:-1]
    return cyclic


def _returns_and_planes(
    low: Array, high: Array, back: Array, face: Array, to_plane: Array, to_opposite: Array, length: int
) -> tuple[Array, Array, Array, Array]:
    """Flux between two opposite returns, and between them and back and face.

    Parameters
    ----------
    low, high : (layers, n)
        Exitance of the return that the planes' first row touches, and of the opposite one. [lm/m²]
    back, face : (rows, n)
        Exitance of the planes. [lm/m²]
    to_plane : (frequencies, rows, layers)
        Back and low return.
    to_opposite : (frequencies, layers, layers)

    Returns
    -------
    low, high, back, face
        Arriving flux. [lm]
    """
    n = low.shape[1]
    K = to_plane
    # The face meets the return at its last layer, the back at its first.
    K_face = K[:, :, ::-1]
    S = to_opposite

    # The matrices are real: real and imaginary parts go through them side by side.
    def spectrum(values: Array) -> Array:
        return (
            np.ascontiguousarray(fft.rfft(values, length, axis=-1).T).view(np.float64).reshape(len(K), -1, 2)
        )

    def space(values: Array) -> Array:
        whole = np.ascontiguousarray(values).view(np.complex128)[..., 0]
        return np.asarray(fft.irfft(whole.T, length, axis=-1)[:, :n])

    L, H, B, F = (spectrum(values) for values in (low, high, back, face))
    B_down, F_down = B[:, ::-1], F[:, ::-1]
    Kt, Kt_face = K.transpose(0, 2, 1), K_face.transpose(0, 2, 1)
    to_low = Kt @ B + Kt_face @ F + S @ H
    to_high = Kt @ B_down + Kt_face @ F_down + S @ L
    on_back = K @ L + (K @ H)[:, ::-1]
    on_face = K_face @ L + (K_face @ H)[:, ::-1]
    return space(to_low), space(to_high), space(on_back), space(on_face)


LEAST_IN_DEPTH = 4
"""Patches in the depth of a box, at least: max/min is then still good to a per cent. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interior:
    """The exchange of one box at two finenesses: one to answer by, one to tell how exact the answer is.

    It depends on the box's sizes alone: any layout of modules and any reflectances in that box may use it.
    """

    fine: Exchange
    coarse: Exchange
    """half as many patches each way"""


def interior_of(box: Box, *, patches_in_depth: int) -> Interior:
    """Compute the exchange of a box, as finely as asked or, in a very large and shallow box, as memory allows.

    Parameters
    ----------
    box : Box
    patches_in_depth : int
        How fine, see ``surfaces.mesh_of``; even. [1]

    Raises
    ------
    TooLargeError
        Where even ``LEAST_IN_DEPTH`` patches in the depth are too many.
    """
    count = patches_in_depth
    while True:
        try:
            mesh = mesh_of(box.width, box.height, box.depth, patches_in_depth=count)
            break
        except TooLargeError:
            if count <= LEAST_IN_DEPTH:
                raise
            count = max(LEAST_IN_DEPTH, count - 2)
    coarse = mesh_of(box.width, box.height, box.depth, patches_in_depth=count // 2)
    return Interior(fine=Exchange(mesh), coarse=Exchange(coarse))
