"""How much of the light of point modules flies past the edges of their view, for light on the returns.

A module at a distance D from a return shines on a plane at a height h above it. The share of its flux that
passes the line in which that plane meets the return, from the module's foot point to Y along it, has landed on
the return above that height. For a Lambertian module, with s = √(D² + h²),

    share = (atan(Y/D) − (D/s) atan(Y/s)) / 2π.
"""

from __future__ import annotations

from math import asinh, atan, atan2, cosh, exp, hypot, log, pi, sinh, sqrt

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import VECTOR, compiled

__all__ = ["cosine_power_past_edges", "lambertian_past_edges"]

Vector = NDArray[np.float64]

NODES_4, WEIGHTS_4 = np.polynomial.legendre.leggauss(4)
NODES_8, WEIGHTS_8 = np.polynomial.legendre.leggauss(8)
NODES_48, WEIGHTS_48 = np.polynomial.legendre.leggauss(48)


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


@compiled(f"float64[:, ::1]({', '.join(6 * [VECTOR])}, float64)")
def cosine_power_past_edges(
    distance: Vector, along: Vector, plane: Vector, flux: Vector, z: Vector, edges: Vector, m: float
) -> NDArray[np.float64]:
    """Flux of modules of any cosine power past edges at every height and up to every place along them, in lumens.

    By the integral from edge to edge, with s = D² + y² and u = h²/(h² + s),

        ∫ u^((m+1)/2) D/s dy,

    where D < h as ∫ D/s dy, which is an angle, less ∫ (1 − u^((m+1)/2)) D/s dy, which has no peak at y = 0. By as
    many Gauss-Legendre points as the longer of D, h and |y| asks for, to 1e-8 of the flux from heights of 0.3 mm up
    and edges up to a few throws apart.

    Parameters
    ----------
    distance, along, plane, flux, z, edges
        As for ``lambertian_past_edges``; at least one edge, rising.
    m : float
        Exponent, 0 or more. [1]

    Returns
    -------
    (heights, places) float64       From the first edge on. [lm]
    """
    past = np.zeros((z.size, edges.size))
    q = (m + 1.0) / 2.0
    halves = round(m + 1.0)
    whole = abs(halves - (m + 1.0)) < 1e-12 and halves <= 24
    for k in range(distance.size):
        D = distance[k]
        c = flux[k] / (2 * pi)
        for i in range(z.size):
            h = z[i] - plane[k]
            if h <= 0.0:
                continue
            h2 = h * h
            split = h > D
            row = past[i]
            total = 0.0
            for j in range(1, edges.size):
                low = edges[j - 1] - along[k]
                high = edges[j] - along[k]
                nearest = 0.0 if low < 0.0 < high else min(abs(low), abs(high))
                scale = max(D, h / max(1.0, sqrt(q)), nearest)
                width = high - low
                if width < 0.3 * scale:
                    nodes, weights = NODES_4, WEIGHTS_4
                elif width < 1.2 * scale:
                    nodes, weights = NODES_8, WEIGHTS_8
                else:
                    nodes, weights = NODES_48, WEIGHTS_48
                # Where the cell is wide against all else, points crowd about the module's foot.
                crowded = width >= 1.2 * scale
                w = max(D, h / max(1.0, sqrt(q)))
                start = asinh(low / w) if crowded else low
                end = asinh(high / w) if crowded else high
                inner = 0.0
                for n in range(nodes.size):
                    t = 0.5 * (start + end) + 0.5 * (end - start) * nodes[n]
                    y = w * sinh(t) if crowded else t
                    s = D * D + y * y
                    u = h2 / (h2 + s)
                    if whole:
                        power = sqrt(u) if halves % 2 == 1 else 1.0
                        for _ in range(halves // 2):
                            power *= u
                    else:
                        power = exp(q * log(u))
                    value = (power - 1.0 if split else power) * D / s
                    if crowded:
                        value *= w * cosh(t)
                    inner += weights[n] * value
                inner *= 0.5 * (end - start)
                if split:
                    inner += atan2(high, D) - atan2(low, D)
                total += c * inner
                row[j] += total
    return past
