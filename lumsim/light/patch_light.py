"""Direct light on the patches: what interreflection starts from. Mean illuminance of each patch, exact in flux."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from lumsim.beams.tables import STEP_SHARPNESS
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.sources import Sources
from lumsim.kernels.past_edges import cosine_power_past_edges, lambertian_past_edges
from lumsim.light.cells import AnyWay, Size
from lumsim.light.direct import off_returns
from lumsim.light.face_grid import finest_detail
from lumsim.light.shaped import ShapedLight
from lumsim.light.strips import overlaps, strips_of
from lumsim.light.surfaces import Array, Mesh, Surfaces
from lumsim.light.symmetry import sources_in_mirror, uprights_in_mirror
from lumsim.light.upright import Upright, UprightLight, upright_terms

__all__ = ["DirectInside", "DirectOnStrips", "Squares", "direct_on_patches"]


MOST_POINTS_IN_CELL = 5
"""Along each side of a cell; where the light asks for more, flux through cells is as quick. [1]"""


class DirectInside:
    """Direct light on the inside of a cabinet: as means over patches and over what is cut beside each face's edges.

    Modules of closed form that shine straight at the face or straight away from it are lit one way at a time; all
    others together.

    Parameters
    ----------
    mesh : Mesh
        Of its box.
    cabinet : Cabinet
    """

    def __init__(self, mesh: Mesh, cabinet: Cabinet) -> None:
        ahead, others = upright_terms(cabinet.sources())
        behind, rest = upright_terms(others.mirrored(mesh.depth))
        self._ways: dict[Side, _OneWay] = {}
        if len(ahead) > 0:
            self._ways["front"] = _OneWay(mesh, ahead)
        if len(behind) > 0:
            mirrored = cabinet.mirrored_faces
            self._ways["rear"] = self._ways["front"] if mirrored else _OneWay(mesh, behind)
        self._mesh = mesh
        self._rest: dict[Side, _AnyWay] = {}
        if len(rest) > 0:
            self._rest["front"] = _AnyWay(mesh, rest.mirrored(mesh.depth))
            if cabinet.double_sided:
                self._rest["rear"] = _AnyWay(mesh, rest)

    def on_patches(self) -> Surfaces:
        """Mean illuminance of every patch. [lx]"""
        parts: list[Surfaces] = []
        ahead, behind = self._ways.get("front"), self._ways.get("rear")
        if ahead is not None:
            parts.append(ahead.on_patches())
        if behind is not None:
            parts.append((parts[0] if behind is ahead else behind.on_patches()).mirrored())
        if self._rest:
            parts.append(self._rest["front"].on_patches())
        return Surfaces(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

    def on_strips(self, side: Side) -> DirectOnStrips:
        """Mean illuminance of the strips beside the edges of the face on a side, as if it were at z = depth. [lx]"""
        parts: list[DirectOnStrips] = []
        near, far = self._near_and_far(side)
        if near is not None:
            parts.append(near.on_strips())
        if far is not None:
            # What shines the other way lights no face here, but the returns as far as it reaches.
            parts.append(far.behind_strips())
        if self._rest:
            parts.append(self._rest[side].on_strips())
        return DirectOnStrips(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

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
        parts: list[Squares] = []
        near, far = self._near_and_far(side)
        if near is not None:
            parts.append(near.on_corner(x, y, z, right=right, top=top))
        if far is not None:
            parts.append(
                Squares(np.zeros((len(y) - 1, len(x) - 1)), *far.behind_corner(x, y, z, right=right, top=top))
            )
        if self._rest:
            parts.append(self._rest[side].on_corner(x, y, z, right=right, top=top))
        return Squares(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

    def _near_and_far(self, side: Side) -> tuple[_OneWay | None, _OneWay | None]:
        """What shines straight at the face on a side, and what shines straight away from it."""
        other: Side = "rear" if side == "front" else "front"
        return self._ways.get(side), self._ways.get(other)


def direct_on_patches(mesh: Mesh, upright: Upright) -> Surfaces:
    """Mean direct illuminance of every patch from what shines straight at the face, in lux; 0 on the back.

    Parameters
    ----------
    mesh : Mesh
    upright : Upright
        [m, lm]
    """
    return _OneWay(mesh, upright).on_patches()


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


class _AnyWay:
    """Direct light of sources of any beam that point anywhere, on patches, strips and in corners.

    On surfaces by flux through cells. On the face, where that allows, by Gauss-Legendre points, which is quicker; all
    its patches are then brought to the exact flux.

    Parameters
    ----------
    mesh : Mesh
    sources : Sources
        At least one; as if the face whose strips and corners are asked for were at z = depth.
    """

    def __init__(self, mesh: Mesh, sources: Sources) -> None:
        self._mesh = mesh
        self._light = AnyWay(sources, Size(mesh.width, mesh.height, mesh.depth))
        self._on_points = ShapedLight(sources, mesh.depth)
        self._detail = finest_detail(sources, mesh.depth)
        self._mirrored_x = sources_in_mirror(sources, 0, mesh.width)
        self._mirrored_y = sources_in_mirror(sources, 1, mesh.height)
        self._stepped = any(half.beam.sharpness >= STEP_SHARPNESS for half in sources.halves)
        self._strips = strips_of(mesh)
        self._returns = self._on_returns()

    def on_patches(self) -> Surfaces:
        """Mean illuminance of every patch. [lx]"""
        mesh = self._mesh
        layers = overlaps(np.asarray(mesh.z), self._strips.z)
        returns = {name: np.asarray(layers @ E) for name, E in self._returns.items()}
        back = self._mirrored_cells("back", mesh.edges_x, mesh.edges_y)
        areas = mesh.areas()
        elsewhere = float(np.sum(back * areas.back)) + sum(
            float(np.sum(E * getattr(areas, name))) for name, E in returns.items()
        )
        face = self._on_face(mesh.edges_x, mesh.edges_y)
        lit, left = float(np.sum(face * areas.face)), self._light.into_the_box() - elsewhere
        if lit > 0:
            # Points leave a little of a beam's kinks out; what is sent out is exact.
            face = face * (left / lit)
        return Surfaces(back=back, face=face, **returns)

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
            **self._returns, face_bottom=bottom, face_top=top, face_left=left, face_right=right
        )

    def on_corner(self, x: Array, y: Array, z: Array, *, right: bool, top: bool) -> Squares:
        """Mean illuminance of cells in a corner of the face, see ``DirectInside.on_corner``. [lx]"""
        mesh, light = self._mesh, self._light
        at_x, at_y = mesh.width - x[::-1] if right else x, mesh.height - y[::-1] if top else y
        to_x, to_y = slice(None, None, -1 if right else 1), slice(None, None, -1 if top else 1)
        at_z = mesh.depth - z[::-1]
        return Squares(
            face=self._on_face(at_x, at_y)[to_y, to_x],
            along_x=light.means("top" if top else "bottom", at_x, at_z)[::-1, to_x],
            along_y=light.means("right" if right else "left", at_y, at_z)[::-1, to_y],
        )

    def _on_returns(self) -> dict[str, Array]:
        """Mean illuminance of the returns in the layers of the strips. [lx]"""
        mesh, z = self._mesh, self._strips.z
        bottom = self._mirrored_cells("bottom", mesh.edges_x, z)
        left = self._mirrored_cells("left", mesh.edges_y, z)
        return {
            "bottom": bottom,
            "top": bottom if self._mirrored_y else self._mirrored_cells("top", mesh.edges_x, z),
            "left": left,
            "right": left if self._mirrored_x else self._mirrored_cells("right", mesh.edges_y, z),
        }

    def _mirrored_cells(self, surface: str, along: Array, up: Array) -> Array:
        """Mean illuminance of the cells of a whole surface; of one in mirror image half is computed. [lx]"""
        if not (self._mirrored_y if surface in {"left", "right"} else self._mirrored_x):
            return self._light.means(surface, along, up)
        half = self._light.means(surface, along[len(along) // 2 :], up)
        return np.concatenate([half[:, ::-1], half], axis=1)

    def _on_face(self, edges_x: Array, edges_y: Array) -> Array:
        """Mean illuminance of cells of the face between rising edges, (rows, columns). [lx]"""
        in_x = self._mirrored_x and _spans(edges_x, self._mesh.width)
        in_y = self._mirrored_y and _spans(edges_y, self._mesh.height)
        x = edges_x[len(edges_x) // 2 :] if in_x else edges_x
        y = edges_y[len(edges_y) // 2 :] if in_y else edges_y
        E = self._on_part_of_face(x, y)
        if in_x:
            E = np.concatenate([E[:, ::-1], E], axis=1)
        return np.concatenate([E[::-1], E]) if in_y else E

    def _on_part_of_face(self, edges_x: Array, edges_y: Array) -> Array:
        details = max(float(np.max(np.diff(edges))) for edges in (edges_x, edges_y)) / self._detail
        count = max(2, math.ceil(6 * details))
        if self._stepped or count > MOST_POINTS_IN_CELL:
            return self._light.means("face", edges_x, edges_y)
        nodes, weights = np.polynomial.legendre.leggauss(count)
        x, y = (
            (edges[:-1, None] + np.diff(edges)[:, None] * (nodes + 1) / 2).ravel()
            for edges in (edges_x, edges_y)
        )
        xs, ys = np.meshgrid(x, y)
        E = self._on_points.illuminance(xs.ravel(), ys.ravel())
        E = E.reshape(len(edges_y) - 1, count, len(edges_x) - 1, count)
        return np.asarray(np.einsum("jaib,a,b->ji", E, weights / 2, weights / 2), dtype=np.float64)


def _spans(edges: Array, extent: float) -> bool:
    """Whether edges reach from one return to the other and are their own mirror image."""
    return bool(len(edges) % 2) and edges[0] == 0 and bool(np.isclose(edges[-1], extent, rtol=1e-12))


def _by_half(values: Callable[[Array], Array], places: Array, *, mirrored: bool) -> Array:
    """Values at places along the last axis; of mirrored ones those of the upper half, taken twice."""
    if not mirrored:
        return values(places)
    half = values(places[len(places) // 2 :])
    return np.concatenate([half[..., ::-1], half], axis=-1)
