"""Where patches beside the edges of the face are cut into narrowing strips, and how means carry over to these."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lumsim.light.surfaces import Array, Mesh

__all__ = [
    "TOO_FAR",
    "DirectOnStrips",
    "ReturnsBesideFace",
    "Squares",
    "Strips",
    "narrowing",
    "overlaps",
    "polynomial_means",
    "spans",
    "strips_of",
]

ROWS = 6
"""Rows of patches that are cut into strips, on the face; on the return as many as reach about as far. [1]"""

HALVINGS = 6
"""How often the patch at the edge is halved towards it; the others once. [1]"""

TOO_FAR = 0.05
"""Share by which solving again may move the mean of a patch. More means light that changes within a patch, beside a
module very near to face and return: there what is solved again is left out. [1]"""


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


def strips_of(mesh: Mesh) -> Strips:
    """How a mesh is cut beside the edges of the face."""
    off_face = mesh.depth - np.asarray(mesh.z)[::-1]
    rows = min(ROWS, mesh.columns, mesh.rows)
    reach = min(rows * max(mesh.step_x, mesh.step_y), 0.6 * mesh.depth)
    layers = max(2, int(np.argmin(np.abs(off_face - reach))))
    coarse = off_face[: layers + 1]
    fine = narrowing(coarse, HALVINGS)
    return Strips(
        rows=rows,
        layers=layers,
        coarse=coarse,
        fine=fine,
        z=mesh.depth - np.concatenate([fine, off_face[layers + 1 :]])[::-1],
        face_x=narrowing(np.arange(rows + 1.0) * mesh.step_x, HALVINGS),
        face_y=narrowing(np.arange(rows + 1.0) * mesh.step_y, HALVINGS),
    )


def narrowing(edges: Array, halvings: int) -> Array:
    """Cut intervals: the first by halving again and again towards 0, the others in two.

    Parameters
    ----------
    edges : (n + 1,)
        Where they meet, rising from 0. [m]
    halvings : int
        How often the first is halved. [1]
    """
    first = edges[1] * 0.5 ** np.arange(halvings, -1, -1)
    return np.concatenate(
        [[0.0], first, np.stack([(edges[1:-1] + edges[2:]) / 2, edges[2:]], axis=1).ravel()]
    )


def overlaps(edges: Array, others: Array) -> Array:
    """Means over intervals from those over others: the share that each of the others has in each. [1]

    Parameters
    ----------
    edges, others : (m + 1,), (n + 1,)
        Where intervals meet, rising; the others cover them. [m]

    Returns
    -------
    (m, n)
    """
    low = np.maximum(edges[:-1, None], others[:-1])
    high = np.minimum(edges[1:, None], others[1:])
    return np.asarray(np.maximum(high - low, 0.0) / np.diff(edges)[:, None])


def polynomial_means(edges: Array, fine: Array, terms: int) -> Array:
    """Means over finer intervals, of the polynomial nearest to given means: what to multiply those with. [1]

    Parameters
    ----------
    edges, fine : (n + 1,), (m + 1,)
        Where intervals meet, both rising from 0 to the same end. [m]
    terms : int
        Of the polynomial; with n of them it has just the means given.

    Returns
    -------
    (m, n)
    """
    powers = np.arange(1, terms + 1)
    over_edges, over_fine = (
        np.diff(at[:, None] ** powers / powers, axis=0) / np.diff(at)[:, None]
        for at in (2 * edges / edges[-1] - 1, 2 * fine / edges[-1] - 1)
    )
    return np.asarray(over_fine @ np.linalg.pinv(over_edges))


def spans(edges: Array, extent: float) -> bool:
    """Whether edges reach from one return to the other and are their own mirror image.

    Parameters
    ----------
    edges : (n + 1,)
        Rising. [m]
    extent : float
        From return to return. [m]
    """
    return bool(len(edges) % 2) and edges[0] == 0 and bool(np.isclose(edges[-1], extent, rtol=1e-12))
