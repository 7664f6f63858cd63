"""The exchange inside a box the plainest way: one dense matrix, patch by patch, no transforms and no symmetries.

Each factor is the textbook sum over the edges of two rectangles. ``tests/light/test_exchange.py`` holds these
sums against quadrature.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.light.surfaces import Mesh, Surfaces

Array = NDArray[np.float64]
Interval = tuple[float, float]
Axis = Literal["x", "y", "z"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A rectangle inside the box, at right angles to one axis."""

    normal: Axis
    at: float
    """on that axis [m]"""
    spans: dict[Axis, Interval]
    """along the other two [m]"""

    @property
    def area(self) -> float:
        """[m²]"""
        return math.prod(high - low for low, high in self.spans.values())


def patches_of(mesh: Mesh) -> list[Patch]:
    """Every patch, in the order of ``Surfaces.joined``."""
    x, y, z = (
        list(pairwise(edges)) for edges in (mesh.edges_x.tolist(), mesh.edges_y.tolist(), list(mesh.z))
    )
    found = [
        Patch(normal="z", at=at, spans={"x": a, "y": b}) for at in (0.0, mesh.depth) for b in y for a in x
    ]
    found += [
        Patch(normal="y", at=at, spans={"x": a, "z": c}) for at in (0.0, mesh.height) for c in z for a in x
    ]
    found += [
        Patch(normal="x", at=at, spans={"y": b, "z": c}) for at in (0.0, mesh.width) for c in z for b in y
    ]
    return found


def exchanged(one: Patch, other: Patch) -> float:
    """A_i F_ij of two patches [m²]."""
    if one.normal == other.normal:
        return 0.0 if one.at == other.at else _opposite(one, other)
    return _at_right_angles(one, other)


def _opposite(one: Patch, other: Patch) -> float:
    h = abs(one.at - other.at)
    (u1, u2), (v1, v2) = ((one.spans[axis], other.spans[axis]) for axis in one.spans)
    total = 0.0
    for i, j, k, n in product(range(2), repeat=4):
        x, y = u1[i] - u2[j], v1[k] - v2[n]
        a, b = math.hypot(x, h), math.hypot(y, h)
        value = x * b * math.atan(x / b) + y * a * math.atan(y / a) - h * h * math.log(x * x + b * b) / 2
        total += (-1) ** (i + j + k + n) * value
    return total / (2 * math.pi)


def _at_right_angles(one: Patch, other: Patch) -> float:
    (common,) = one.spans.keys() & other.spans.keys()
    # How far each patch reaches from the line where the two planes meet.
    p1, p2 = sorted(abs(end - other.at) for end in one.spans[other.normal])
    q1, q2 = sorted(abs(end - one.at) for end in other.spans[one.normal])
    total = 0.0
    for i, j in product(range(2), repeat=2):
        x = one.spans[common][i] - other.spans[common][j]
        for p, q, sign in ((p2, q2, 1), (p1, q2, -1), (p2, q1, -1), (p1, q1, 1)):
            rho2 = p * p + q * q
            r2 = x * x + rho2
            if r2 > 0:
                rho = math.sqrt(rho2)
                value = (x * x - rho2) * math.log(r2) / 2 + 2 * rho * abs(x) * math.atan2(abs(x), rho)
                total += (-1) ** (i + j) * sign * value
    return total / (4 * math.pi)


def dense(mesh: Mesh) -> Array:
    """A_i F_ij of every pair of patches, in the order of ``Surfaces.joined`` [m²]."""
    patches = patches_of(mesh)
    return np.array([[exchanged(one, other) for other in patches] for one in patches])


def drawn(mesh: Mesh, seed: int) -> Surfaces:
    """Draw a value for each patch, 0.5 to 2."""
    draw = np.random.default_rng(seed)
    return mesh.areas().each(lambda area: draw.uniform(0.5, 2, area.shape))


UNEVEN = Mesh(width=1.1, height=0.5, depth=0.3, columns=6, rows=4, z=(0.0, 0.05, 0.12, 0.18, 0.25, 0.3))
"""A small box with sides that have nothing in common, its returns cut unevenly."""
