"""Direct light on the patches: what interreflection starts from. Mean illuminance of each patch, exact in flux."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.modules import Emitters
from lumsim.kernels.past_edges import cosine_power_past_edges, lambertian_past_edges
from lumsim.light.direct import DirectLight, off_returns
from lumsim.light.face_grid import finest_detail
from lumsim.light.strips import overlaps, strips_of
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["DirectInside", "DirectOnStrips", "Squares", "direct_on_patches"]


class DirectInside:
    """Direct light on the inside of a cabinet, from modules that shine one way or both.

    As means over patches and over the strips beside each face's edges.

    Parameters
    ----------
    mesh : Mesh
        Of its box.
    cabinet : Cabinet
    """

    def __init__(self, mesh: Mesh, cabinet: Cabinet) -> None:
        self._forwards = _OneWay(mesh, cabinet.towards("front"))
        self._backwards = None
        if cabinet.double_sided:
            mirrored = cabinet.mirrored_faces
            self._backwards = self._forwards if mirrored else _OneWay(mesh, cabinet.towards("rear"))

    def on_patches(self) -> Surfaces:
        """Mean illuminance of every patch; none on a back. [lx]"""
        front = self._forwards.on_patches()
        if self._backwards is None:
            return front
        rear = front if self._backwards is self._forwards else self._backwards.on_patches()
        return front.each(np.add, rear.mirrored())

    def on_strips(self, side: Side) -> DirectOnStrips:
        """Mean illuminance of the strips beside the edges of the face on a side, as if it were at z = depth. [lx]"""
        near, far = self._forwards, self._backwards
        if side == "rear":
            assert far is not None, "a single-faced cabinet has no rear face"
            near, far = far, near
        strips = near.on_strips()
        if far is None:
            return strips
        # What shines the other way lights no face here, but the returns as far as it reaches.
        also = far.behind_strips()
        return strips._replace(**{name: getattr(strips, name) + light for name, light in also.items()})

    def on_corner(self, side: Side, x: Array, y: Array, z: Array, *, right: bool, top: bool) -> Squares:
        """Mean illuminance of cells in a corner of the face on a side, as if it were at z = depth. [lx]

        Parameters
        ----------
        side : {"front", "rear"}
        x, y, z : rising arrays from 0
            Where cells meet, off the corner and off the face. [m]
        right, top : bool
            Which corner, as seen from in front.
        """
        near, far = self._forwards, self._backwards
        if side == "rear":
            assert far is not None, "a single-faced cabinet has no rear face"
            near, far = far, near
        face, *returns = near.on_corner(x, y, z, right=right, top=top)
        if far is not None:
            behind = far.behind_corner(x, y, z, right=right, top=top)
            returns = [one + other for one, other in zip(returns, behind, strict=True)]
        return Squares(face, *returns)


def direct_on_patches(mesh: Mesh, emitters: Emitters) -> Surfaces:
    """Mean direct illuminance of every patch from modules that shine at the face, in lux; 0 on the back.

    Parameters
    ----------
    mesh : Mesh
    emitters : Emitters
        n modules, their flux all towards the face. [m, lm]
    """
    return _OneWay(mesh, emitters).on_patches()


class Squares(NamedTuple):
    """One array for each of three squares that meet in a corner of the face, from the corner outwards."""

    face: Array
    """[y, x]"""
    along_x: Array
    """the bottom or top return [z, x], z off the face"""
    along_y: Array
    """the left or right return [z, y]"""


class DirectOnStrips(NamedTuple):
    """Mean direct illuminance of the strips beside the edges of the face."""

    bottom: Array
    """(layers, columns) on the return, all its layers [lx]"""
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


class _OneWay:
    """Direct light of modules that shine at the face, on the patches and on the strips beside the face's edges.

    On the face by Gauss-Legendre points, as many as the throw asks for. On the returns by differences of the
    flux past an edge: what would fly past an edge at one height and not past one at a lower height lands on
    the strip between them. What modules in mirror image cast is computed on one side of the mirror only.

    Parameters
    ----------
    mesh : Mesh
    emitters : Emitters
        n modules, their flux all towards the face. [m, lm]
    """

    def __init__(self, mesh: Mesh, emitters: Emitters) -> None:
        self._mesh, self._emitters = mesh, emitters
        self._light = DirectLight(emitters, mesh.depth)
        self._x, self._y = off_returns(emitters.x, mesh.width), off_returns(emitters.y, mesh.height)
        self._detail = finest_detail(emitters, mesh.depth)
        self._mirrored_x = _mirrored(emitters, 0, mesh.width)
        self._mirrored_y = _mirrored(emitters, 1, mesh.height)
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

    def behind_strips(self) -> dict[str, Array]:
        """Mean illuminance of the returns in the layers of a face at z = 0, from that face inwards. [lx]"""
        layers = self._on_returns(self._mesh.depth - self._strips.z[::-1])
        return {
            name: values[::-1]
            for name, values in zip(("bottom", "top", "left", "right"), layers, strict=True)
        }

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
            return self._light.illuminance(*np.meshgrid(x, y))

        def in_x(y: Array) -> Array:
            return _by_half(
                lambda x: cells(x, y), x, mirrored=self._mirrored_x and _spans(edges_x, self._mesh.width)
            )

        E = _by_half(
            lambda y: in_x(y).T, y, mirrored=self._mirrored_y and _spans(edges_y, self._mesh.height)
        ).T
        E = E.reshape(rows, len(weights_y), columns, len(weights_x))
        return np.asarray(np.einsum("jaib,a,b->ji", E, weights_y, weights_x), dtype=np.float64)

    def _points(self, edges: Array) -> tuple[Array, Array, int]:
        """Gauss-Legendre points in each interval, one interval after the other, and their weights."""
        # Six points for each finest detail of the light, and a few where it is no longer than that, leave less
        # than 1e-8 of its flux.
        details = float(np.max(np.diff(edges))) / self._detail
        count = max(2 if details < 0.1 else 3, math.ceil(6 * details))
        nodes, weights = np.polynomial.legendre.leggauss(count)
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
        emitters = self._emitters
        z, edges = np.ascontiguousarray(z), np.ascontiguousarray(edges)
        past = np.zeros((len(z), len(edges)))
        for m in np.unique(emitters.exponent):
            chosen = emitters.exponent == m
            D, places, planes, fluxes = (
                np.ascontiguousarray(one[chosen]) for one in (distance, along, emitters.z, emitters.flux)
            )
            if m == 1:
                past += lambertian_past_edges(D, places, planes, fluxes, z, edges)
            else:
                past += cosine_power_past_edges(D, places, planes, fluxes, z, edges, float(m))
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


SAME_PLACE, SAME_SHARE = 1e-9, 1e-11
"""How near a module must be to another's mirror image to be taken for it [m], and how alike in all else [1]."""


def _mirrored(emitters: Emitters, axis: int, extent: float) -> bool:
    """Whether every module has a twin across the middle of the width (axis 0) or of the height (1)."""
    table = np.stack([emitters.x, emitters.y, emitters.z, emitters.flux, emitters.exponent], axis=-1)
    image = table.copy()
    image[:, axis] = extent - image[:, axis]
    table, image = (rows[np.lexsort(np.round(rows, 8).T)] for rows in (table, image))
    room = np.concatenate([np.full((len(table), 3), SAME_PLACE), SAME_SHARE * np.abs(table[:, 3:])], axis=1)
    return bool(np.all(np.abs(table - image) <= room))
