"""Direct light on the patches: what interreflection starts from. Mean illuminance of each patch, exact in flux."""

from __future__ import annotations

import math

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Emitters
from lumsim.light.direct import DirectLight, off_returns, past_edge
from lumsim.light.face_grid import finest_detail
from lumsim.light.surfaces import Array, Mesh, Surfaces

__all__ = ["direct_inside", "direct_on_patches"]


def direct_inside(mesh: Mesh, cabinet: Cabinet) -> Surfaces:
    """Mean direct illuminance of every patch of a cabinet's inside, from modules that shine one way or both, in lux.

    Parameters
    ----------
    mesh : Mesh
        Of its box.
    cabinet : Cabinet
    """
    forwards = direct_on_patches(mesh, cabinet.towards("front"))
    if not cabinet.double_sided:
        return forwards
    backwards = forwards if cabinet.mirrored_faces else direct_on_patches(mesh, cabinet.towards("rear"))
    return forwards.each(np.add, backwards.mirrored())


def direct_on_patches(mesh: Mesh, emitters: Emitters) -> Surfaces:
    """Mean direct illuminance of every patch from modules that shine at the face, in lux; 0 on the back.

    On the face by Gauss-Legendre points, as many as the throw asks for. On the returns by differences of the
    flux past an edge: what would fly past an edge at one height and not past one at a lower height lands on
    the strip between them.

    Parameters
    ----------
    mesh : Mesh
    emitters : Emitters
        n modules, their flux all towards the face. [m, lm]
    """
    areas = mesh.areas()
    x, y = mesh.edges_x, mesh.edges_y
    at_x, at_y = off_returns(emitters.x, mesh.width), off_returns(emitters.y, mesh.height)
    returns = (
        _on_return(mesh, emitters, at_y, at_x, x) / areas.bottom,
        _on_return(mesh, emitters, mesh.height - at_y, at_x, x) / areas.top,
        _on_return(mesh, emitters, at_x, at_y, y) / areas.left,
        _on_return(mesh, emitters, mesh.width - at_x, at_y, y) / areas.right,
    )
    return Surfaces(np.zeros_like(areas.back), _on_face(mesh, emitters), *returns)


def _on_face(mesh: Mesh, emitters: Emitters) -> Array:
    detail = finest_detail(emitters, mesh.depth)
    # Six points for each finest detail of the light leave less than 1e-9 of its flux.
    count = max(3, math.ceil(6 * max(mesh.step_x, mesh.step_y) / detail))
    nodes, weights = np.polynomial.legendre.leggauss(count)
    x = ((np.arange(mesh.columns)[:, None] + (nodes + 1) / 2) * mesh.step_x).ravel()
    y = ((np.arange(mesh.rows)[:, None] + (nodes + 1) / 2) * mesh.step_y).ravel()
    E = DirectLight(emitters, mesh.depth).illuminance(*np.meshgrid(x, y))
    E = E.reshape(mesh.rows, count, mesh.columns, count)
    return np.asarray(np.einsum("jaib,a,b->ji", E, weights / 2, weights / 2), dtype=np.float64)


def _on_return(mesh: Mesh, emitters: Emitters, distance: Array, along: Array, edges: Array) -> Array:
    """Flux on the patches of one return, in lumens, from modules at a distance from it.

    Parameters
    ----------
    distance, along : (n,)
        Of each module: from the return, and its place along it. [m]
    edges : (patches + 1,)
        Of the patches along the return. [m]
    """
    z = np.asarray(mesh.z)
    past = np.zeros((len(z), len(edges)))
    for k in range(len(emitters)):
        # Below the module's plane there is no light.
        heights = np.maximum(z - emitters.z[k], 0.0)
        past += emitters.flux[k] * past_edge(
            distance[k], edges - along[k], heights[:, None], float(emitters.exponent[k])
        )
    return np.asarray(np.diff(np.diff(past, axis=0), axis=1), dtype=np.float64)
