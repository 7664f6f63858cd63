"""Direct light of closed form on the patches: cosine powers that shine straight at the face."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from lumsim.kernels.past_edges import cosine_power_past_edges, lambertian_past_edges
from lumsim.light.direct import off_returns
from lumsim.light.quadrature import legendre
from lumsim.light.strips import DirectOnStrips, Squares, overlaps, spans, strips_of
from lumsim.light.surfaces import Array, Mesh, Surfaces
from lumsim.light.symmetry import uprights_in_mirror
from lumsim.light.upright import Upright, UprightLight

__all__ = ["OneWay"]


class OneWay:
    """Direct light of what shines straight at the face, on the patches and on the strips beside the face's edges.

    On the face by Gauss-Legendre points, as many as the throw asks for. On the returns by differences of the
    flux past an edge: what would fly past an edge at one height and not past one at a lower height lands on
    the strip between them. What modules in mirror image cast is computed on one side of the mirror only.

    Parameters
    ----------
    mesh : Mesh
    upright : Upright
        At least one. [m, lm]
    """

    def __init__(self, mesh: Mesh, upright: Upright) -> None:
        self._mesh, self._upright = mesh, upright
        self._light = UprightLight(upright, mesh.depth)
        self._x, self._y = off_returns(upright.x, mesh.width), off_returns(upright.y, mesh.height)
        # See ``face_grid.finest_detail``.
        self._detail = float(np.min((mesh.depth - upright.z) / np.sqrt(upright.exponent + 3)))
        self._mirrored_x = uprights_in_mirror(upright, 0, mesh.width)
        self._mirrored_y = uprights_in_mirror(upright, 1, mesh.height)
        self._strips = strips_of(mesh)
        self._returns = self._on_returns(self._strips.z)

    def on_patches(self) -> Surfaces:
        """Mean illuminance of every patch; none on the back. [lx]"""
        mesh = self._mesh
        face = self._on_face(mesh.edges_x, mesh.edges_y)
        layers = overlaps(np.asarray(mesh.z), self._strips.z)
        return Surfaces(np.zeros_like(face), face, *(layers @ E for E in self._returns))

    def on_strips(self) -> DirectOnStrips:
        """Mean illuminance of the strips beside the edges of the face. [lx]"""
        mesh, x, y = self._mesh, self._strips.face_x, self._strips.face_y
        bottom, left = self._on_face(mesh.edges_x, y), self._on_face(x, mesh.edges_y).T
        top, right = bottom, left
        if not self._mirrored_y:
            top = self._on_face(mesh.edges_x, mesh.height - y[::-1])[::-1]
        if not self._mirrored_x:
            right = self._on_face(mesh.width - x[::-1], mesh.edges_y).T[::-1]
        return DirectOnStrips(
            *self._returns, face_bottom=bottom, face_top=top, face_left=left, face_right=right
        )

    def behind_strips(self) -> DirectOnStrips:
        """The same beside a face at z = 0, from that face inwards: light on the returns alone. [lx]"""
        bottom, top, left, right = self._on_returns(self._mesh.depth - self._strips.z[::-1])
        along_x = np.zeros((len(self._strips.face_y) - 1, self._mesh.columns))
        along_y = np.zeros((len(self._strips.face_x) - 1, self._mesh.rows))
        return DirectOnStrips(
            bottom=bottom[::-1],
            top=top[::-1],
            left=left[::-1],
            right=right[::-1],
            face_bottom=along_x,
            face_top=along_x,
            face_left=along_y,
            face_right=along_y,
        )

    def on_corner(self, x: Array, y: Array, z: Array, *, right: bool, top: bool) -> Squares:
        """Mean illuminance of cells in a corner of the face, see ``DirectInside.on_corner``. [lx]"""
        mesh = self._mesh
        at_x = mesh.width - x[::-1] if right else x
        at_y = mesh.height - y[::-1] if top else y
        face = self._on_face(at_x, at_y)[:: -1 if top else 1, :: -1 if right else 1]
        along_x, along_y = self.behind_corner(x, y, mesh.depth - z[::-1], right=right, top=top)
        return Squares(face, along_x[::-1], along_y[::-1])

    def behind_corner(self, x: Array, y: Array, z: Array, *, right: bool, top: bool) -> tuple[Array, Array]:
        """Mean illuminance of cells of the two returns in a corner, in layers between rising z. [lx]"""
        mesh = self._mesh
        from_x = mesh.width - self._x if right else self._x
        from_y = mesh.height - self._y if top else self._y
        return (
            self._on_return(from_y, z, from_x, x, mirrored=False),
            self._on_return(from_x, z, from_y, y, mirrored=False),
        )

    def _on_face(self, edges_x: Array, edges_y: Array) -> Array:
        """Mean illuminance of cells of the face between rising edges, (rows, columns). [lx]"""
        x, weights_x, columns = self._points(edges_x)
        y, weights_y, rows = self._points(edges_y)

        def cells(x: Array, y: Array) -> Array:
            xs, ys = np.meshgrid(x, y)
            return self._light.illuminance(xs.ravel(), ys.ravel()).reshape(xs.shape)

        def in_x(y: Array) -> Array:
            return _by_half(
                lambda x: cells(x, y), x, mirrored=self._mirrored_x and spans(edges_x, self._mesh.width)
            )

        E = _by_half(
            lambda y: in_x(y).T, y, mirrored=self._mirrored_y and spans(edges_y, self._mesh.height)
        ).T
        E = E.reshape(rows, len(weights_y), columns, len(weights_x))
        return np.asarray(np.einsum("jaib,a,b->ji", E, weights_y, weights_x), dtype=np.float64)

    def _points(self, edges: Array) -> tuple[Array, Array, int]:
        """Gauss-Legendre points in each interval, one interval after the other, and their weights."""
        # Six points for each finest detail of the light, and a few where it is no longer than that, leave less
        # than 1e-8 of its flux.
        details = float(np.max(np.diff(edges))) / self._detail
        count = max(2 if details < 0.1 else 3, math.ceil(6 * details))
        nodes, weights = legendre(count)
        points = edges[:-1, None] + np.diff(edges)[:, None] * (nodes + 1) / 2
        return points.ravel(), weights / 2, len(edges) - 1

    def _on_returns(self, z: Array) -> tuple[Array, Array, Array, Array]:
        """Mean illuminance of bottom, top, left and right returns in layers between rising z. [lx]"""
        mesh = self._mesh

        def along_x(distance: Array) -> Array:
            return self._on_return(distance, z, self._x, mesh.edges_x, mirrored=self._mirrored_x)

        def along_y(distance: Array) -> Array:
            return self._on_return(distance, z, self._y, mesh.edges_y, mirrored=self._mirrored_y)

        bottom, left = along_x(self._y), along_y(self._x)
        top = bottom if self._mirrored_y else along_x(mesh.height - self._y)
        right = left if self._mirrored_x else along_y(mesh.width - self._x)
        return bottom, top, left, right

    def _on_return(self, distance: Array, z: Array, along: Array, edges: Array, *, mirrored: bool) -> Array:
        past = self._past(distance, z, along, edges[len(edges) // 2 :] if mirrored else edges)
        landed = np.diff(np.diff(past, axis=0), axis=1)
        if mirrored:
            landed = np.concatenate([landed[:, ::-1], landed], axis=1)
        return np.asarray(landed / np.outer(np.diff(z), np.diff(edges)))

    def _past(self, distance: Array, z: Array, along: Array, edges: Array) -> Array:
        """Flux that flies past the edge at each height, up to each place along it, (heights, places). [lm]"""
        upright = self._upright
        z, edges = np.ascontiguousarray(z), np.ascontiguousarray(edges)
        past = np.zeros((len(z), len(edges)))
        for m in np.unique(upright.exponent):
            chosen = upright.exponent == m
            D, places, planes, fluxes = (
                np.ascontiguousarray(one[chosen]) for one in (distance, along, upright.z, upright.flux)
            )
            if m == 1:
                past += lambertian_past_edges(D, places, planes, fluxes, z, edges)
            else:
                past += cosine_power_past_edges(D, places, planes, fluxes, z, edges, float(m))
        return past


def _by_half(values: Callable[[Array], Array], places: Array, *, mirrored: bool) -> Array:
    """Values at places along the last axis; of mirrored ones those of the upper half, taken twice."""
    if not mirrored:
        return values(places)
    half = values(places[len(places) // 2 :])
    return np.concatenate([half[..., ::-1], half], axis=-1)
