"""Direct light on the patches: what interreflection starts from. Mean illuminance of each patch, exact in flux."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.modules import Emitters
from lumsim.kernels.past_edges import lambertian_past_edges
from lumsim.light.direct import DirectLight, off_returns, past_edge
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["DirectOnEdges", "direct_on_edges", "direct_on_patches"]


def direct_on_patches(mesh: Mesh, emitters: Emitters) -> Surfaces:
    """Mean direct illuminance of every patch, in lux; modules on the back light no patch of the back.

    On the face by Gauss-Legendre points, as many as the throw asks for. On the returns by differences of the
    flux past an edge: what would fly past an edge at one height and not past one at a lower height lands on
    the strip between them. What modules in mirror image cast is computed on one side of the mirror only.

    Parameters
    ----------
    mesh : Mesh
    emitters : Emitters
        n modules, all facing the face. [m, lm]
    """
    casting = _Casting(mesh, emitters)
    returns = casting.on_returns(np.asarray(mesh.z))
    face = casting.on_face(mesh.edges_x, mesh.edges_y)
    return Surfaces(np.zeros_like(face), face, *returns)


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectOnEdges:
    """Mean direct illuminance of strips beside the edges of the face."""

    bottom: Array
    """(layers, columns) on the return [lx]"""
    top: Array
    """[lx]"""
    left: Array
    """(layers, rows) [lx]"""
    right: Array
    """[lx]"""
    face_bottom: Array
    """(strips, columns) on the face, from the edge inwards [lx]"""
    face_top: Array
    """[lx]"""
    face_left: Array
    """(strips, rows) [lx]"""
    face_right: Array
    """[lx]"""


def direct_on_edges(mesh: Mesh, emitters: Emitters, z: Array, off_x: Array, off_y: Array) -> DirectOnEdges:
    """Mean direct illuminance of strips beside the edges of the face, in lux.

    Parameters
    ----------
    mesh : Mesh
        How the strips are cut along the edge.
    emitters : Emitters
        n modules, all facing the face. [m, lm]
    z : (layers + 1,)
        Where strips on the returns meet, rising. [m]
    off_x, off_y : (strips + 1,)
        Where strips on the face meet, off left and right returns, and off bottom and top ones; from 0. [m]
    """
    casting = _Casting(mesh, emitters)
    bottom, top, left, right = casting.on_returns(z)
    face_bottom = casting.on_face(mesh.edges_x, off_y)
    face_left = casting.on_face(off_x, mesh.edges_y).T
    return DirectOnEdges(
        bottom=bottom,
        top=top,
        left=left,
        right=right,
        face_bottom=face_bottom,
        face_top=face_bottom
        if casting.mirrored_y
        else casting.on_face(mesh.edges_x, mesh.height - off_y[::-1])[::-1],
        face_left=face_left,
        face_right=face_left
        if casting.mirrored_x
        else casting.on_face(mesh.width - off_x[::-1], mesh.edges_y).T[::-1],
    )


class _Casting:
    """Modules in a box, and the mirrors under which they are their own images."""

    def __init__(self, mesh: Mesh, emitters: Emitters) -> None:
        self._mesh, self._emitters = mesh, emitters
        self._light = DirectLight(emitters, mesh.depth)
        self._x, self._y = off_returns(emitters.x, mesh.width), off_returns(emitters.y, mesh.height)
        self._detail = float(np.min((mesh.depth - emitters.z) / np.sqrt(emitters.exponent + 3)))
        self.mirrored_x = _mirrored(emitters, 0, mesh.width)
        self.mirrored_y = _mirrored(emitters, 1, mesh.height)

    def on_face(self, edges_x: Array, edges_y: Array) -> Array:
        """Mean illuminance of cells of the face between rising edges, (rows, columns). [lx]"""
        x, weights_x, columns = self._points(edges_x)
        y, weights_y, rows = self._points(edges_y)

        def cells(x: Array, y: Array) -> Array:
            return self._light.illuminance(*np.meshgrid(x, y))

        def in_x(y: Array) -> Array:
            return _by_half(
                lambda x: cells(x, y), x, mirrored=self.mirrored_x and _spans(edges_x, self._mesh.width)
            )

        E = _by_half(
            lambda y: in_x(y).T, y, mirrored=self.mirrored_y and _spans(edges_y, self._mesh.height)
        ).T
        E = E.reshape(rows, len(weights_y), columns, len(weights_x))
        return np.asarray(np.einsum("jaib,a,b->ji", E, weights_y, weights_x), dtype=np.float64)

    def _points(self, edges: Array) -> tuple[Array, Array, int]:
        """Gauss-Legendre points in each interval, one interval after the other, and their weights."""
        # Six points for each finest detail of the light leave less than 1e-9 of its flux.
        count = max(3, math.ceil(6 * float(np.max(np.diff(edges))) / self._detail))
        nodes, weights = np.polynomial.legendre.leggauss(count)
        points = edges[:-1, None] + np.diff(edges)[:, None] * (nodes + 1) / 2
        return points.ravel(), weights / 2, len(edges) - 1

    def on_returns(self, z: Array) -> tuple[Array, Array, Array, Array]:
        """Mean illuminance of bottom, top, left and right returns in layers between rising z. [lx]"""
        mesh = self._mesh
        x, y = (self._x, mesh.edges_x, self.mirrored_x), (self._y, mesh.edges_y, self.mirrored_y)
        bottom, left = self._on_return(self._y, z, *x), self._on_return(self._x, z, *y)
        top = bottom if self.mirrored_y else self._on_return(mesh.height - self._y, z, *x)
        right = left if self.mirrored_x else self._on_return(mesh.width - self._x, z, *y)
        return bottom, top, left, right

    def _on_return(self, distance: Array, z: Array, along: Array, edges: Array, mirrored: bool) -> Array:
        areas = np.diff(z)[:, None] * (edges[1] - edges[0])
        if mirrored:
            half = self._past(distance, z, along, edges[len(edges) // 2 :])
            landed = np.diff(np.diff(half, axis=0), axis=1)
            return np.concatenate([landed[:, ::-1], landed], axis=1) / areas
        return np.asarray(np.diff(np.diff(self._past(distance, z, along, edges), axis=0), axis=1) / areas)

    def _past(self, distance: Array, z: Array, along: Array, edges: Array) -> Array:
        """Flux that flies past the edge at each height, up to each place along it, (heights, places). [lm]"""
        emitters = self._emitters
        lambertian = emitters.exponent == 1
        past = lambertian_past_edges(
            *(
                np.ascontiguousarray(one[lambertian])
                for one in (distance, along, emitters.z, emitters.flux)
            ),
            np.ascontiguousarray(z),
            np.ascontiguousarray(edges),
        )
        for k in np.nonzero(~lambertian)[0]:
            # Below the module's plane there is no light.
            heights = np.maximum(z - emitters.z[k], 0.0)
            past += emitters.flux[k] * past_edge(
                distance[k], edges - along[k], heights[:, None], float(emitters.exponent[k])
            )
        return past


def _spans(edges: Array, extent: float) -> bool:
    """Whether edges reach from one return to the other and are their own mirror image."""
    return bool(len(edges) % 2) and edges[0] == 0 and bool(np.isclose(edges[-1], extent, rtol=1e-12))


def _by_half(values: Callable[[Array], Array], places: Array, *, mirrored: bool) -> Array:
    """Values at places along the last axis; of mirrored ones those of the upper half, taken twice."""
    if not mirrored:
        return values(places)
    half = values(places[len(places) // 2 :])
    return np.concatenate([half[..., ::-1], half], axis=-1)


SAME_PLACE = 1e-9
"""How near a module must be to another's mirror image to be taken for it. [m]"""


def _mirrored(emitters: Emitters, axis: int, extent: float) -> bool:
    """Whether every module has a twin across the middle of the width (axis 0) or of the height (1)."""
    table = np.stack([emitters.x, emitters.y, emitters.z, emitters.flux, emitters.exponent], axis=-1)
    image = table.copy()
    image[:, axis] = extent - image[:, axis]
    table, image = (rows[np.lexsort(np.round(rows, 8).T)] for rows in (table, image))
    return bool(np.all(np.abs(table - image) <= SAME_PLACE * np.maximum(1, np.abs(table))))
