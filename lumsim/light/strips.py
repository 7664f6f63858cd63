"""Where patches beside the edges of the face are cut into strips that narrow towards the edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lumsim.light.surfaces import Array, Mesh

__all__ = ["ReturnsBesideFace", "Strips", "strips_of"]

ROWS = 6
"""Rows of patches that are cut into strips, on the face; on the return as many as reach about as far. [1]"""

HALVINGS = 6
"""How often the patch at the edge is halved towards it; the others once. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Where patches beside the edges of the face are cut; all counted off an edge, from 0."""

    rows: int
    """of patches on the face that are cut"""
    layers: int
    """of patches on a return that are cut"""
    coarse: Array
    """(layers + 1,) where these meet, off the face [m]"""
    fine: Array
    """(strips + 1,) where the return's strips meet, off the face [m]"""
    z: Array
    """where all layers of a return meet, those beside the face cut into strips, rising [m]"""
    face_x: Array
    """where the face's strips meet, off left and right returns [m]"""
    face_y: Array
    """off bottom and top returns [m]"""


class ReturnsBesideFace(NamedTuple):
    """What the returns throw back, in the layers of ``Strips.z``: finer than the patches beside the face."""

    bottom: Array
    """(layers, columns) exitance [lm/m²]"""
    top: Array
    """[lm/m²]"""
    left: Array
    """(layers, rows) [lm/m²]"""
    right: Array
    """[lm/m²]"""


def strips_of(mesh: Mesh) -> Strips:
    """How a mesh is cut beside the edges of the face."""
    off_face = mesh.depth - np.asarray(mesh.z)[::-1]
    rows = min(ROWS, mesh.columns, mesh.rows)
    reach = min(rows * max(mesh.step_x, mesh.step_y), 0.6 * mesh.depth)
    layers = max(2, int(np.argmin(np.abs(off_face - reach))))
    coarse = off_face[: layers + 1]
    fine = _narrowing(coarse)
    return Strips(
        rows=rows,
        layers=layers,
        coarse=coarse,
        fine=fine,
        z=mesh.depth - np.concatenate([fine, off_face[layers + 1 :]])[::-1],
        face_x=_narrowing(np.arange(rows + 1.0) * mesh.step_x),
        face_y=_narrowing(np.arange(rows + 1.0) * mesh.step_y),
    )


def _narrowing(edges: Array) -> Array:
    """Cut intervals from 0 onwards: the first by halving again and again towards 0, the others in two."""
    first = edges[1] * 0.5 ** np.arange(HALVINGS, -1, -1)
    return np.concatenate(
        [[0.0], first, np.stack([(edges[1:-1] + edges[2:]) / 2, edges[2:]], axis=1).ravel()]
    )
