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

from lumsim.light.mirrors import mirrored
from lumsim.light.strips import (
    TOO_FAR,
    DirectOnStrips,
    ReturnsBesideFace,
    overlaps,
    polynomial_means,
    strips_of,
)
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["returns_beside_face", "strips_at_edge"]


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


def returns_beside_face(
    mesh: Mesh, illuminance: Surfaces, direct: Surfaces, on_strips: DirectOnStrips, reflectance: Surfaces
) -> ReturnsBesideFace:
    """What the returns throw back, finer than the patches beside the face.

    Parameters
    ----------
    mesh : Mesh
    illuminance : Surfaces
        All light on the mesh's patches. [lx]
    direct : Surfaces
        The direct light in it. [lx]
    on_strips : DirectOnStrips
        The same on the strips of ``strips_of``. [lx]
    reflectance : Surfaces
        One each, arrays of no dimension. [1]
    """
    strips = strips_of(mesh)
    E = illuminance
    reflected = E.each(np.subtract, direct)

    def on_return(
        name: str, face: Array, face_reflected: Array, face_direct: Array, off: Array, step: float
    ) -> Array:
        rho, layers = getattr(reflectance, name), strips.layers
        own, own_reflected = getattr(E, name)[::-1], getattr(reflected, name)[::-1]
        edge = _Edge(
            on_return=strips.coarse,
            on_face=np.arange(strips.rows + 1.0) * step,
            fine_on_return=strips.fine,
            fine_on_face=off,
            rho_return=float(rho),
            rho_face=float(reflectance.face),
        )
        near = edge.solved_again(
            (own[:layers], own_reflected[:layers], getattr(on_strips, name)[::-1][: len(strips.fine) - 1]),
            (face[: strips.rows], face_reflected[: strips.rows], face_direct),
        )
        return np.asarray(rho * np.concatenate([near, own[layers:]])[::-1])

    F, R = E.face, reflected.face
    # What is its own mirror image, as the balance of direct light in mirror image is, is solved once.
    in_x, in_y = mirrored(E, reflectance)
    y, x = (strips.face_y, mesh.step_y), (strips.face_x, mesh.step_x)
    bottom = on_return("bottom", F, R, on_strips.face_bottom, *y)
    left = on_return("left", F.T, R.T, on_strips.face_left, *x)
    return ReturnsBesideFace(
        bottom=bottom,
        top=bottom if in_y else on_return("top", F[::-1], R[::-1], on_strips.face_top, *y),
        left=left,
        right=left if in_x else on_return("right", F.T[::-1], R.T[::-1], on_strips.face_right, *x),
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
        g = direct + polynomial_means(self.on_return, self.fine_on_return, len(E)) @ elsewhere
        g_face = direct_face + polynomial_means(self.on_face, self.fine_on_face, len(E_face)) @ elsewhere_face
        balance: Array = np.eye(len(K)) - self.rho_return * self.rho_face * K_own @ K_face
        found: Array = np.asarray(np.linalg.solve(balance, g + self.rho_face * K_own @ g_face))

        moved = overlaps(self.on_return, self.fine_on_return) @ found - E
        # Strips are taken for long; where light changes along them within a patch, patches are the better solution.
        unlike_long = np.max(np.abs(moved) / np.maximum(E, np.finfo(float).tiny), axis=0) > TOO_FAR
        return np.asarray(np.where(unlike_long, overlaps(self.fine_on_return, self.on_return) @ E, found))
