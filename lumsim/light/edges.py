"""Beside the edges of the face: what returns throw back there, solved again in strips much narrower than patches.

Where two surfaces meet at a right angle, the light on either changes ever faster towards the edge, like the
distance from it to some power below 1. Patches as wide as the mesh's average that away, and right at the edge
of the face the light would be half a per cent off. So the first few rows of patches on either side of the edge
are cut into strips that narrow towards it, and the balance between the two sides is solved again; all other
light that arrives there changes little over a strip and is taken from the patches' own balance.

Strips are taken for as long as the edge is, which near a corner they are not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumsim.light.interreflection import Interreflection
from lumsim.light.patch_light import DirectOnEdges
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["ReturnsBesideFace", "Strips", "returns_beside_face", "strips_at_edge", "strips_of"]

ROWS = 4
"""Rows of patches that are cut into strips, on the face; on the return as many as reach about as far. [1]"""

HALVINGS = 6
"""How often the patch at the edge is halved towards it; the others once. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnsBesideFace:
    """What the returns throw back, in layers that narrow towards the face."""

    z: Array
    """(layers + 1,) where layers meet, rising, the face at the last [m]"""
    bottom: Array
    """(layers, columns) exitance [lm/m²]"""
    top: Array
    """[lm/m²]"""
    left: Array
    """(layers, rows) [lm/m²]"""
    right: Array
    """[lm/m²]"""


def strips_at_edge(p: Array, q: Array) -> Array:
    """Exchange of long strips on two surfaces that meet at a right angle, for each metre of the edge. [m]

    Crossed strings: for intervals [a, b] and [c, d] off the edge, (√(b²+c²) + √(a²+d²) − √(a²+c²) − √(b²+d²))/2.

    Parameters
    ----------
    p, q : (m + 1,), (n + 1,)
        Where strips meet on either surface, off the edge. [m]

    Returns
    -------
    (m, n)

    References
    ----------
    .. [1] H. C. Hottel's crossed strings, as in J. R. Howell's catalog (from memory).
    """
    string = np.hypot(p[:, None], q)
    return np.asarray(-np.diff(np.diff(string, axis=0), axis=1) / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strips:
    """Where patches beside the edges of the face are cut; all counted off an edge, from 0."""

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


def strips_of(mesh: Mesh) -> Strips:
    """How a mesh is cut beside the edges of the face."""
    off_face = mesh.depth - np.asarray(mesh.z)[::-1]
    reach = min(ROWS * max(mesh.step_x, mesh.step_y), 0.6 * mesh.depth)
    layers = max(2, int(np.argmin(np.abs(off_face - reach))))
    coarse = off_face[: layers + 1]
    fine = _narrowing(coarse)
    return Strips(
        layers=layers,
        coarse=coarse,
        fine=fine,
        z=mesh.depth - np.concatenate([fine, off_face[layers + 1 :]])[::-1],
        face_x=_narrowing(np.arange(ROWS + 1) * mesh.step_x),
        face_y=_narrowing(np.arange(ROWS + 1) * mesh.step_y),
    )


def returns_beside_face(
    mesh: Mesh, balanced: Interreflection, direct: Surfaces, on_edges: DirectOnEdges, reflectance: Surfaces
) -> ReturnsBesideFace:
    """What the returns throw back, finer than the patches beside the face.

    Parameters
    ----------
    mesh : Mesh
    balanced : Interreflection
        On the mesh's patches.
    direct : Surfaces
        The direct light that it started from. [lx]
    on_edges : DirectOnEdges
        The same on the strips of ``strips_of``. [lx]
    reflectance : Surfaces
        One each, arrays of no dimension. [1]
    """
    strips = strips_of(mesh)
    E = balanced.illuminance
    reflected = E.each(np.subtract, direct)

    def on_return(name: str, face: Array, face_reflected: Array, face_direct: Array, off: Array, step: float) -> Array:
        rho, layers = getattr(reflectance, name), strips.layers
        own, own_reflected = getattr(E, name)[::-1], getattr(reflected, name)[::-1]
        edge = _Edge(
            on_return=strips.coarse,
            on_face=np.arange(ROWS + 1) * step,
            fine_on_return=strips.fine,
            fine_on_face=off,
            rho_return=float(rho),
            rho_face=float(reflectance.face),
        )
        near = edge.solved_again(
            (own[:layers], own_reflected[:layers], getattr(on_edges, name)[::-1][: len(strips.fine) - 1]),
            (face[:ROWS], face_reflected[:ROWS], face_direct),
        )
        return np.asarray(rho * np.concatenate([near, own[layers:]])[::-1])

    F, R = E.face, reflected.face
    y, x = (strips.face_y, mesh.step_y), (strips.face_x, mesh.step_x)
    return ReturnsBesideFace(
        z=strips.z,
        bottom=on_return("bottom", F, R, on_edges.face_bottom, *y),
        top=on_return("top", F[::-1], R[::-1], on_edges.face_top, *y),
        left=on_return("left", F.T, R.T, on_edges.face_left, *x),
        right=on_return("right", F.T[::-1], R.T[::-1], on_edges.face_right, *x),
    )


Light = tuple[Array, Array, Array]
"""All light on patches, what of it is reflected, and the direct light on strips; from an edge outwards [lx]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edge:
    """Two surfaces that meet at a right angle, both cut twice; all places counted off the edge. [m]"""

    on_return: Array
    on_face: Array
    fine_on_return: Array
    fine_on_face: Array
    rho_return: float
    rho_face: float

    def solved_again(self, own: Light, face: Light) -> Array:
        """Illuminance of the return's strips."""
        (E, reflected, direct), (E_face, reflected_face, direct_face) = own, face
        K = strips_at_edge(self.on_return, self.on_face)
        widths, widths_face = np.diff(self.on_return)[:, None], np.diff(self.on_face)[:, None]
        elsewhere = reflected - K @ (self.rho_face * E_face) / widths
        elsewhere_face = reflected_face - K.T @ (self.rho_return * E) / widths_face

        K = strips_at_edge(self.fine_on_return, self.fine_on_face)
        K_own, K_face = K / np.diff(self.fine_on_return)[:, None], K.T / np.diff(self.fine_on_face)[:, None]
        g = direct + _means(self.on_return, elsewhere, self.fine_on_return)
        g_face = direct_face + _means(self.on_face, elsewhere_face, self.fine_on_face)
        balance = np.eye(len(K)) - self.rho_return * self.rho_face * K_own @ K_face
        return np.asarray(np.linalg.solve(balance, g + self.rho_face * K_own @ g_face))


def _narrowing(edges: Array) -> Array:
    """Cut intervals from 0 onwards: the first by halving again and again towards 0, the others in two."""
    first = edges[1] * 0.5 ** np.arange(HALVINGS, -1, -1)
    return np.concatenate([[0.0], first, np.stack([(edges[1:-1] + edges[2:]) / 2, edges[2:]], axis=1).ravel()])


def _means(edges: Array, means: Array, fine: Array) -> Array:
    """Means over finer intervals of the polynomial that has the given means, exactly.

    Parameters
    ----------
    edges : (n + 1,)
        From 0. [m]
    means : (n, along)
    fine : (m + 1,)
        Within the same range. [m]
    """
    integral = np.concatenate([np.zeros((1, means.shape[1])), np.cumsum(means * np.diff(edges)[:, None], axis=0)])
    powers = np.arange(len(edges))
    coefficients = np.linalg.solve((edges[:, None] / edges[-1]) ** powers, integral)
    return np.asarray(np.diff((fine[:, None] / edges[-1]) ** powers @ coefficients, axis=0) / np.diff(fine)[:, None])
