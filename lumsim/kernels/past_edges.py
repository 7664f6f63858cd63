"""How much of the light of point modules flies past the edges of their view, for light on the returns.

A module at a distance D from a return shines on a plane at a height h above it. The share of its flux that
passes the line in which that plane meets the return, from the module's foot point to Y along it, has landed on
the return above that height. For a Lambertian module, with s = √(D² + h²),

    share = (atan(Y/D) − (D/s) atan(Y/s)) / 2π.
"""

from __future__ import annotations

from math import atan, atan2, hypot, pi

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import VECTOR, compiled

__all__ = ["lambertian_past_edges"]

Vector = NDArray[np.float64]


@compiled(f"float64[:, ::1]({', '.join(6 * [VECTOR])})")
def lambertian_past_edges(
    distance: Vector, along: Vector, plane: Vector, flux: Vector, z: Vector, edges: Vector
) -> NDArray[np.float64]:
    """Flux of Lambertian modules past edges at every height and up to every place along them, in lumens.

    Parameters
    ----------
    distance : (modules,) float64   From the return, more than 0. [m]
    along : (modules,) float64      Place along the return. [m]
    plane : (modules,) float64      Light-emitting plane; below it there is no light. [m]
    flux : (modules,) float64       [lm]
    z : (heights,) float64          [m]
    edges : (places,) float64       Along the return. [m]

    Returns
    -------
    (heights, places) float64       From each module's foot point, signed like the way from there. [lm]
    """
    past = np.zeros((z.size, edges.size))
    first = np.empty(edges.size)
    for k in range(distance.size):
        D = distance[k]
        c = flux[k] / (2 * pi)
        for j in range(edges.size):
            first[j] = atan2(edges[j] - along[k], D)
        for i in range(z.size):
            h = z[i] - plane[k]
            if h <= 0.0:
                continue
            s = hypot(D, h)
            ratio = D / s
            row = past[i]
            for j in range(edges.size):
                row[j] += c * (first[j] - ratio * atan((edges[j] - along[k]) / s))
    return past
