"""The balance of light in a box as one dense system: every pair of patches, by closed forms, in plain NumPy.

What lumsim's exchange without a matrix is timed against, written as one would who has NumPy and the formulas: the
formulas evaluated by broadcasting over the patches' edges, a block for each two surfaces, the other half by
reciprocity, the system factored by LAPACK. It shares no arithmetic with lumsim.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lu_factor, lu_solve

from lumsim.light.surfaces import Mesh, Surfaces

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of the box, cut into patches [first axis, second axis]."""

    normal: str
    """the axis that it is at right angles to"""
    at: float
    """on that axis [m]"""
    edges: dict[str, Array]
    """where patches meet along the other two, the slower one first [m]"""

    @property
    def areas(self) -> Array:
        """Of all patches [m²]."""
        one, other = (np.diff(edges) for edges in self.edges.values())
        return np.outer(one, other).ravel()


def sides_of(mesh: Mesh) -> list[Side]:
    """The six sides in the order of ``Surfaces``."""
    x, y, z = mesh.edges_x, mesh.edges_y, np.asarray(mesh.z)
    return [
        *(Side(normal="z", at=at, edges={"y": y, "x": x}) for at in (0.0, mesh.depth)),
        *(Side(normal="y", at=at, edges={"z": z, "x": x}) for at in (0.0, mesh.height)),
        *(Side(normal="x", at=at, edges={"z": z, "y": y}) for at in (0.0, mesh.width)),
    ]


def exchange(mesh: Mesh) -> Array:
    """A_i F_ij of every pair of patches, in the order of ``Surfaces.joined`` [m²]."""
    sides = sides_of(mesh)
    ends = np.cumsum([0, *(one.areas.size for one in sides)])
    found = np.zeros((ends[-1], ends[-1]))
    for i, j in combinations(range(6), 2):
        form = _opposite if sides[i].normal == sides[j].normal else _at_right_angles
        block = form(sides[i], sides[j])
        found[ends[i] : ends[i + 1], ends[j] : ends[j + 1]] = block
        found[ends[j] : ends[j + 1], ends[i] : ends[i + 1]] = block.T
    return found


def _opposite(one: Side, other: Side) -> Array:
    """Of two parallel rectangles, the sum over their edges."""
    h = abs(one.at - other.at)
    (u1, v1), (u2, v2) = one.edges.values(), other.edges.values()
    # [edge u of one, edge v of one, edge u of the other, edge v of the other]
    x = u1[:, None, None, None] - u2[:, None]
    y = v1[:, None, None] - v2
    a, b = np.sqrt(x * x + h * h), np.sqrt(y * y + h * h)
    values = x * b * np.arctan(x / b)
    values += y * a * np.arctan(y / a)
    values -= h * h / 2 * np.log(x * x + b * b)
    return _between_edges(values).reshape(one.areas.size, other.areas.size) / (2 * math.pi)


def _at_right_angles(one: Side, other: Side) -> Array:
    """Of two rectangles at right angles, the sum over their edges."""
    (common,) = one.edges.keys() & other.edges.keys()
    p, q = np.abs(one.edges[other.normal] - other.at), np.abs(other.edges[one.normal] - one.at)
    # [edge of one along the common axis, edge off it, the same two of the other]
    x = np.abs(one.edges[common][:, None, None, None] - other.edges[common][:, None])
    rho2 = (p**2)[:, None, None] + q**2
    r2 = x * x + rho2
    values = (x * x - rho2) / 2 * np.log(np.where(r2 > 0, r2, 1.0))
    values += 2 * np.sqrt(rho2) * x * np.arctan2(x, np.sqrt(rho2))
    # Seen from the line where the two planes meet, edges off it may come in falling order.
    turned = (-1.0 if p[0] > p[-1] else 1.0) * (-1.0 if q[0] > q[-1] else 1.0)
    pairs = _between_edges(values) * (turned / (4 * math.pi))
    if next(iter(one.edges)) != common:
        pairs = pairs.swapaxes(0, 1)
    if next(iter(other.edges)) != common:
        pairs = pairs.swapaxes(2, 3)
    return pairs.reshape(one.areas.size, other.areas.size)


def _between_edges(values: Array) -> Array:
    for axis in range(4):
        values = np.diff(values, axis=axis)
    return values


def balance(mesh: Mesh, reflectance: Surfaces) -> Array:
    """The system 1 − F ρ of the balance E = E_direct + F ρ E, in the order of ``Surfaces.joined``."""
    areas = mesh.areas()
    rho = areas.each(lambda area, one: np.full(area.shape, one), reflectance).joined()
    system = exchange(mesh)
    system /= -areas.joined()[:, None]
    system *= rho
    system.flat[:: len(rho) + 1] += 1.0
    return system


class DenseBox:
    """A balance factored, for any layout of modules in its box; the system is overwritten."""

    def __init__(self, mesh: Mesh, system: Array) -> None:
        self._areas = mesh.areas()
        self._factors = lu_factor(system, overwrite_a=True, check_finite=False)

    def illuminance(self, direct: Surfaces) -> Surfaces:
        """All light on each patch [lx]."""
        return self._areas.split(lu_solve(self._factors, direct.joined(), check_finite=False))
