"""Formulas in closed form, written out apart from the package: lengths in units of the throw h = 1.

A module is a point with I(θ) = I₀ cosᵐθ and lights a plane at the throw h with E(ρ) = I₀ h^(m+1) / (h² + ρ²)^((m+3)/2).
Its two-dimensional Fourier transform is Φ T_m(kh): with the exponent μ = (m + 1)/2 a Matérn function, and for the
Lambertian m = 1 just x K₁(x). A line of such modules has the same transform along one dimension.

References
----------
.. [1] I. S. Gradshteyn, I. M. Ryzhik, Table of Integrals, Series, and Products, 6.565.4: the Hankel transform.
.. [2] J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors: a rectangle from a point.
.. [3] I. Moreno, M. Avendaño-Alejo, R. I. Tzonchev, Applied Optics 45(10), 2265 (2006): maximally flat arrays.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.special import gamma, kv

Array = NDArray[np.float64]

NEGLIGIBLE = 1e-17
"""Harmonics below this are left out of the sums."""


def transform(m: float, x: Array) -> Array:
    """T_m(x) = 2^(1−μ)/Γ(μ) · x^μ K_μ(x), μ = (m + 1)/2, and 1 at x = 0 [1]."""
    mu = (m + 1) / 2
    x = np.asarray(x, dtype=np.float64)
    inside = np.where(x > 0, x, 1.0)
    values = 2 ** (1 - mu) / gamma(mu) * inside**mu * kv(mu, inside)
    return np.where(x > 0, values, 1.0)


def harmonics(m: float, pitch: float) -> int:
    """How many harmonics of a pitch [h] are not negligible."""
    count = 1
    while transform(m, np.array(2 * math.pi * count / pitch)) > NEGLIGIBLE:
        count += 1
    return count


def rows(y: Array, *, pitch: float, m: float = 1.0) -> Array:
    """E/mean of infinitely many continuous rows at y from one of them: Poisson's sum over the harmonics [1]."""
    j = np.arange(1, harmonics(m, pitch) + 1)
    strengths = transform(m, np.asarray(2 * math.pi * j / pitch, dtype=np.float64))
    return np.asarray(
        1 + 2 * np.cos(2 * math.pi * np.multiply.outer(y, j) / pitch) @ strengths, dtype=np.float64
    )


def rectangular(x: Array, y: Array, *, a: float, b: float, m: float = 1.0) -> Array:
    """E/mean of an infinite lattice of modules a apart along x and b along y, seen from one of them [1]."""
    i, j = np.arange(harmonics(m, a) + 1), np.arange(harmonics(m, b) + 1)
    strengths = transform(m, 2 * math.pi * np.hypot(i[:, None] / a, j / b))
    # Each harmonic but the zeroth stands for itself and its mirror image.
    strengths *= np.where(i == 0, 1, 2)[:, None] * np.where(j == 0, 1, 2)
    along_x = np.cos(2 * math.pi / a * np.multiply.outer(x, i))
    along_y = np.cos(2 * math.pi / b * np.multiply.outer(y, j))
    return np.asarray(np.sum((along_x @ strengths) * along_y, axis=-1), dtype=np.float64)


def hexagonal(x: Array, y: Array, *, pitch: float, m: float = 1.0) -> Array:
    """E/mean of a triangular lattice with neighbours a pitch apart, rows along x, seen from one module [1].

    The reciprocal lattice is spanned by (1, −1/√3)/p and (0, 2/√3)/p.
    """
    reach = harmonics(m, pitch) + 1
    total = np.zeros(np.broadcast(x, y).shape)
    for i in range(-reach, reach + 1):
        for j in range(-2 * reach, 2 * reach + 1):
            u, v = i / pitch, (2 * j - i) / (math.sqrt(3) * pitch)
            strength = float(transform(m, np.array(2 * math.pi * math.hypot(u, v))))
            if strength > NEGLIGIBLE:
                total += strength * np.cos(2 * math.pi * (u * x + v * y))
    return total


def line(y: Array, *, m: float = 1.0) -> Array:
    """E at y from the foot of an infinite continuous line of modules, by the line's Φ per length [1/h]."""
    top = gamma((m + 2) / 2) / (math.sqrt(math.pi) * gamma((m + 1) / 2))
    return np.asarray(top * (1 + np.asarray(y) ** 2) ** (-(m + 2) / 2), dtype=np.float64)


def on_axis(flux: float, throw: float, angle: float, *, m: float = 1.0) -> float:
    """E on a plane at a throw, seen by the module under an angle from its axis: I₀ cos^(m+3) θ / h² [lx]."""
    return float(flux * (m + 1) / (2 * math.pi) * math.cos(angle) ** (m + 3) / throw**2)


def corner_in_front(X: float, Y: float) -> float:
    """Share of a Lambertian point's flux on a rectangle X by Y that faces it, its corner on the axis [1]."""
    s, t = math.hypot(1, X), math.hypot(1, Y)
    return (X / s * math.atan(Y / s) + Y / t * math.atan(X / t)) / (2 * math.pi)


def corner_beside(distance: float, along: float, height: float = 1.0) -> float:
    """Share on an upright rectangle at a distance from the axis: from the foot so far along it, so high [1]."""
    r = math.hypot(height, distance)
    return (math.atan(along / distance) - distance / r * math.atan(along / r)) / (2 * math.pi)


def flattest_pair(m: float) -> float:
    """Distance of two modules whose light is flat midway to second order: √(4/(m + 4)) [h]."""
    return math.sqrt(4 / (m + 4))


def flattest_ring(m: float) -> float:
    """Radius of a ring of three or more modules whose light is flat at the centre: √(2/(m + 3)) [h]."""
    return math.sqrt(2 / (m + 3))


def flattest_square(m: float) -> float:
    """Side of a square of four modules whose light is flat at the centre: √(4/(m + 3)) [h]."""
    return math.sqrt(4 / (m + 3))
