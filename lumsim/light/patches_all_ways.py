"""Direct light of any beam on the patches, from sources that point anywhere."""

from __future__ import annotations

import math

import numpy as np

from lumsim.beams.tables import STEP_SHARPNESS
from lumsim.cabinet.sources import Sources
from lumsim.light.cells import AnyWay, Size
from lumsim.light.face_grid import finest_detail
from lumsim.light.quadrature import legendre
from lumsim.light.shaped import ShapedLight
from lumsim.light.strips import DirectOnStrips, Squares, overlaps, spans, strips_of
from lumsim.light.surfaces import Array, Mesh, Surfaces
from lumsim.light.symmetry import sources_in_mirror

__all__ = ["AllWays"]

MOST_POINTS_IN_CELL = 5
"""Along each side of a cell; where the light asks for more, flux through cells is as quick. [1]"""


class AllWays:
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
        self._stepped = any(half.sharpness >= STEP_SHARPNESS for half in sources.halves)
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
        in_x = self._mirrored_x and spans(edges_x, self._mesh.width)
        in_y = self._mirrored_y and spans(edges_y, self._mesh.height)
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
        nodes, weights = legendre(count)
        x, y = (
            (edges[:-1, None] + np.diff(edges)[:, None] * (nodes + 1) / 2).ravel()
            for edges in (edges_x, edges_y)
        )
        xs, ys = np.meshgrid(x, y)
        E = self._on_points.illuminance(xs.ravel(), ys.ravel())
        E = E.reshape(len(edges_y) - 1, count, len(edges_x) - 1, count)
        return np.asarray(np.einsum("jaib,a,b->ji", E, weights / 2, weights / 2), dtype=np.float64)
