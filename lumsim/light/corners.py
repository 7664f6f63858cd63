"""In a corner of the face: what two returns throw back there, solved again on patches that narrow towards it.

Where three surfaces meet, exitance depends on the direction seen from the corner at any scale, which strips along
one edge cannot follow. So three squares that meet in the corner, six patches wide, are cut finely near it and
balanced again among themselves. What arrives from elsewhere is the patches' own light less what the squares'
patches give each other, and interpolated on the inner half, well away from what is left out.

All is told for the corner at the lower left; the others are its mirror images.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lu_factor, lu_solve

from lumsim.light.exchange import perpendicular
from lumsim.light.gathering import corner_perpendicular, corner_strengths
from lumsim.light.strips import (
    TOO_FAR,
    ReturnsBesideFace,
    Squares,
    narrowing,
    overlaps,
    polynomial_means,
    strips_of,
)
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["AtCorner", "CornerMesh"]

Factored = tuple[Array, NDArray[np.intp]]
"""An LU decomposition and its pivots."""

PATCHES, INNER = 6, 3
"""Patches along the squares' sides, and those of them that are cut and corrected. [1]"""

HALVINGS = 12
"""How often the patch in the corner is halved towards it. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtCorner:
    """What has to be added to the exitance of two returns beside a corner."""

    x: Array
    """where cells meet along x, from the corner [m]"""
    y: Array
    """[m]"""
    z: Array
    """off the face [m]"""
    along_x: Array
    """(z, x) [lm/m²]"""
    along_y: Array
    """(z, y) [lm/m²]"""
    nearest: float
    """to the corner that cells are fine enough for [m]"""
    corrected: bool
    """false where light is too uneven beside the corner: then all is 0"""

    def illuminance(self, x: Array, y: Array) -> Array:
        """What it adds on the face, (n,) points off the corner; nearer than ``nearest`` the limit. [lx]"""
        return _from_return(self.along_x, self.x, self.z, x, y) + _from_return(
            self.along_y, self.y, self.z, y, x
        )


def _from_return(exitance: Array, along: Array, heights: Array, at: Array, distance: Array) -> Array:
    seen = corner_perpendicular(
        heights[:, None], along - at[:, None, None], np.broadcast_to(distance[:, None, None], (len(at), 1, 1))
    )
    return np.asarray(np.einsum("zx,pzx->p", corner_strengths(exitance), seen))


class CornerMesh:
    """How the squares in a corner of a box are cut; no light enters, so it is kept for all layouts."""

    def __init__(self, mesh: Mesh) -> None:
        self._mesh = mesh
        self._patches = min(PATCHES, mesh.columns, mesh.rows)
        inner = min(INNER, self._patches)
        off_face = mesh.depth - np.asarray(mesh.z)[::-1]
        step = max(mesh.step_x, mesh.step_y)

        def layers(reach: float) -> int:
            return int(
                np.clip(np.argmin(np.abs(off_face - reach)), min(inner, len(off_face) - 1), len(off_face) - 1)
            )

        self._layers = layers(self._patches * step)
        self.x, self.y, self.z = (
            _Side(edges, cut)
            for edges, cut in (
                (np.arange(self._patches + 1.0) * mesh.step_x, inner),
                (np.arange(self._patches + 1.0) * mesh.step_y, inner),
                (off_face[: self._layers + 1], min(layers(inner * step), self._layers)),
            )
        )
        self._strips = strips_of(mesh)
        self._factored: dict[tuple[float, ...], Factored] = {}

    @cached_property
    def _coarse(self) -> tuple[Array, Array]:
        return _exchange(self.x.edges, self.y.edges, self.z.edges)

    @cached_property
    def _fine(self) -> tuple[Array, Array]:
        return _exchange(self.x.fine, self.y.fine, self.z.fine)

    def _balance(self, rho: tuple[float, ...]) -> Factored:
        """The balance of the cells by the reflectances of face and returns, factored; kept, for layouts share it."""
        if rho not in self._factored:
            K, areas = self._fine
            cells = [len(side.fine) - 1 for side in (self.x, self.y, self.z)]
            sizes = [cells[1] * cells[0], cells[2] * cells[0], cells[2] * cells[1]]
            # In place, column by column: the matrix is large enough for a copy or a check of it to count.
            balance = np.multiply(K, -np.repeat(rho, sizes), order="F")
            balance /= areas[:, None]
            balance[np.diag_indices_from(balance)] += 1.0
            self._factored[rho] = lu_factor(balance, overwrite_a=True, check_finite=False)
        return self._factored[rho]

    def solved_again(
        self,
        illuminance: Surfaces,
        direct: Surfaces,
        on_cells: Squares,
        returns: ReturnsBesideFace,
        reflectance: Surfaces,
        *,
        right: bool,
        top: bool,
    ) -> AtCorner:
        """What the returns throw back beside a corner, over what strips and patches say.

        Parameters
        ----------
        illuminance : Surfaces
            All light on the mesh's patches. [lx]
        direct : Surfaces
            The direct light in it. [lx]
        on_cells : Squares
            The direct light on the cells between the sides' ``fine``. [lx]
        returns : ReturnsBesideFace
            What strips and patches say. [lm/m²]
        reflectance : Surfaces
            One each, arrays of no dimension. [1]
        right, top : bool
            Which corner.
        """
        in_x, in_y = "top" if top else "bottom", "right" if right else "left"
        to_x, to_y = slice(None, None, -1 if right else 1), slice(None, None, -1 if top else 1)
        n, layers = self._patches, self._layers

        def squares(light: Surfaces) -> Squares:
            return Squares(
                light.face[to_y, to_x][:n, :n],
                getattr(light, in_x)[::-1, to_x][:layers, :n],
                getattr(light, in_y)[::-1, to_y][:layers, :n],
            )

        E = squares(illuminance)
        rho = [float(getattr(reflectance, name)) for name in ("face", in_x, in_y)]
        x, y, z = self.x, self.y, self.z

        K, areas = self._coarse
        reflected = _joined(E) - _joined(squares(direct))
        elsewhere = _split(reflected - K @ (_each(rho, E) * _joined(E)) / areas, E)
        g = Squares(
            y.interpolated @ elsewhere.face @ x.interpolated.T,
            z.interpolated @ elsewhere.along_x @ x.interpolated.T,
            z.interpolated @ elsewhere.along_y @ y.interpolated.T,
        )
        found = lu_solve(self._balance(tuple(rho)), _joined(g) + _joined(on_cells), check_finite=False)
        again = _split(found, g)
        moved = max(
            _moved(again.face, E.face, y, x),
            _moved(again.along_x, E.along_x, z, x),
            _moved(again.along_y, E.along_y, z, y),
        )
        corrected = moved < TOO_FAR
        heights = self._mesh.depth - self._strips.z[::-1]
        kept = z.inner

        def added(values: Array, side: _Side, strips: Array, rho_of_return: float) -> Array:
            by_layers = overlaps(z.fine[: kept + 1], heights) @ strips[::-1]
            step = side.edges[1]
            at = (np.arange(by_layers.shape[1]) + 0.5) * step
            before = np.stack([np.interp(side.centres, at, one) for one in by_layers])
            fading = z.fading[:, None] * side.fading
            return np.asarray((rho_of_return * values[:kept, : side.inner] - before) * fading * corrected)

        return AtCorner(
            x=x.fine[: x.inner + 1],
            y=y.fine[: y.inner + 1],
            z=z.fine[: kept + 1],
            along_x=added(again.along_x, x, getattr(returns, in_x)[:, to_x], rho[1]),
            along_y=added(again.along_y, y, getattr(returns, in_y)[:, to_y], rho[2]),
            nearest=4 * float(max(x.fine[1], y.fine[1])),
            corrected=corrected,
        )


class _Side:
    """One side of the squares: patches, the inner ones cut, and a parabola's means on what they are cut into."""

    def __init__(self, edges: Array, cut: int) -> None:
        self.edges, self.cut = edges, cut
        inner = narrowing(edges[: cut + 1], HALVINGS)
        self.inner = len(inner) - 1
        self.fine = np.concatenate([inner, edges[cut + 1 :]])
        self.centres = (inner[1:] + inner[:-1]) / 2
        # Farther out strips are the better solution: the correction fades over the second of the patches that are cut.
        self.fading = np.clip(2 - self.centres / edges[cut] * 3, 0.0, 1.0)
        self.interpolated = np.zeros((len(self.fine) - 1, len(edges) - 1))
        self.interpolated[: self.inner, :cut] = polynomial_means(edges[: cut + 1], inner, min(cut, 3))
        self.interpolated[self.inner :, cut:] = np.eye(len(edges) - 1 - cut)
        self.means = overlaps(edges[: cut + 1], self.fine)


def _moved(cells: Array, patches: Array, inwards: _Side, along: _Side) -> float:
    """By how much the mean of any patch that is cut has changed, relative."""
    before = patches[: inwards.cut, : along.cut]
    change = np.abs(inwards.means @ cells @ along.means.T - before)
    return float(np.max(change / np.maximum(before, np.finfo(float).tiny)))


def _joined(squares: Squares) -> Array:
    return np.concatenate([values.ravel() for values in squares])


def _split(vector: Array, like: Squares) -> Squares:
    parts = np.split(vector, np.cumsum([values.size for values in like])[:-1])
    return Squares(*(part.reshape(values.shape) for part, values in zip(parts, like, strict=True)))


def _each(rho: list[float], like: Squares) -> Array:
    return np.repeat(rho, [values.size for values in like])


def _exchange(x: Array, y: Array, z: Array) -> tuple[Array, Array]:
    """Exchange of all cells of the three squares with each other [m²], and their areas [m²]."""

    def upright(shared: Array, p: Array, q: Array) -> Array:
        """From cells (p, shared) to cells (q, shared) of two surfaces that meet at p = q = 0."""
        # Even in the way along the edge that they share: each pair of its places is computed once.
        one, other = np.tril_indices(len(shared))
        values = np.empty((len(shared), len(shared), len(p), len(q)))
        values[one, other] = perpendicular((shared[one] - shared[other])[:, None, None], p[:, None], q)
        values[other, one] = values[one, other]
        values = -np.diff(np.diff(values, axis=0), axis=1)
        values = np.diff(np.diff(values, axis=2), axis=3).transpose(2, 0, 3, 1)
        return np.asarray(values.reshape(values.shape[0] * values.shape[1], -1))

    nx, ny, nz = len(x) - 1, len(y) - 1, len(z) - 1
    face_x = upright(x, y, z)
    # Cells of the face and of the other return share y: [x, y] to [z, y], brought into the order [y, x].
    face_y = upright(y, x, z).reshape(nx, ny, -1).transpose(1, 0, 2).reshape(ny * nx, -1)
    # The two returns share z: [x, z] to [y, z].
    x_y = upright(z, x, y).reshape(nx, nz, ny, nz).transpose(1, 0, 3, 2).reshape(nz * nx, nz * ny)
    none = [np.zeros((n, n)) for n in (ny * nx, nz * nx, nz * ny)]
    exchange = np.block([[none[0], face_x, face_y], [face_x.T, none[1], x_y], [face_y.T, x_y.T, none[2]]])
    areas = [np.outer(np.diff(a), np.diff(b)).ravel() for a, b in ((y, x), (z, x), (z, y))]
    return exchange, np.concatenate(areas)
