"""Illuminance on a plane from point modules that face it.

Module k stands over the point (sx[k], sy[k]) of the plane at the throw h[k], its axis along the plane's
normal, with the intensity I(θ) = I₀ cosᵐ θ. The inverse-square and cosine laws give E = I(θ) cos θ / d² [lx],
and with

    u = cos² θ = h² / (h² + ρ²) = h² / d²,    ρ² = (x − sx)² + (y − sy)²,    c = I₀ / h²,    q = (m + 3) / 2

that is E(x, y) = Σ c u^q. One kernel for each way of raising to the power, quickest first:

    lambertian                 m = 1, rational arithmetic
    cosine_power_by_roots      m whole, by one square root at most, to full precision
    cosine_power_by_table      any m, to 1e-10, below m = 5 to 2e-14

All take points and modules as (n,) and (modules,) float64 arrays and return E as (n,) float64. Points are
worked on in blocks that stay in the nearest cache while all modules pass over them; the innermost loops run
over points, without branches, so that LLVM turns them into vector instructions.
"""

from __future__ import annotations

from math import ceil

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import VECTOR, compiled

__all__ = ["cosine_power_by_roots", "cosine_power_by_table", "lambertian", "power_table"]

Vector = NDArray[np.float64]

BLOCK = 256
"""Points worked on together: six arrays of as many doubles take 12 KiB of a nearest cache of 32 KiB."""


@compiled(f"float64[::1]({', '.join(6 * [VECTOR])})")
def lambertian(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
    """Illuminance from Lambertian modules, E = Σ c h⁴ / (h² + ρ²)² [lx].

    Two modules share one division, a/p + b/q = (a q + b p) / (p q), since a division costs as much as all the
    rest. The product of the four squared distances must be a normal number: lengths from 1e-30 m to 1e30 m.

    Parameters
    ----------
    x, y : (n,) float64             Points. [m]
    sx, sy : (modules,) float64     Feet of the modules' perpendiculars. [m]
    h : (modules,) float64          Throws, more than 0. [m]
    c : (modules,) float64          Illuminance straight below each module, I₀/h². [lx]

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    modules = sx.size
    pairs = modules - modules % 2
    E = np.zeros(n)
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        for k in range(0, pairs, 2):
            sx_a, sy_a, h2_a = sx[k], sy[k], h[k] * h[k]
            sx_b, sy_b, h2_b = sx[k + 1], sy[k + 1], h[k + 1] * h[k + 1]
            c_a = c[k] * h2_a * h2_a
            c_b = c[k + 1] * h2_b * h2_b
            for i in range(xs.size):
                dx = xs[i] - sx_a
                dy = ys[i] - sy_a
                d2_a = dx * dx + dy * dy + h2_a
                dx = xs[i] - sx_b
                dy = ys[i] - sy_b
                d2_b = dx * dx + dy * dy + h2_b
                d4_a = d2_a * d2_a
                d4_b = d2_b * d2_b
                Es[i] += (c_a * d4_b + c_b * d4_a) / (d4_a * d4_b)
        for k in range(pairs, modules):
            sx_a, sy_a, h2_a = sx[k], sy[k], h[k] * h[k]
            c_a = c[k] * h2_a * h2_a
            for i in range(xs.size):
                dx = xs[i] - sx_a
                dy = ys[i] - sy_a
                d2_a = dx * dx + dy * dy + h2_a
                Es[i] += c_a / (d2_a * d2_a)
    return E


@compiled(
    f"void({VECTOR}, {VECTOR}, float64, float64, float64, float64, int64, float64[::1])",
)
def _add_low_power(
    xs: Vector, ys: Vector, sx: float, sy: float, h: float, c: float, halves: int, Es: Vector
) -> None:
    """Add one module's c u^(halves/2), halves < 16, to a block of points: all in one loop over points.

    The whole part of the power is taken from u¹, u² and u⁴, each multiplied in or not.
    """
    one = (halves & 2) != 0
    two = (halves & 4) != 0
    four = (halves & 8) != 0
    per_h2 = 1.0 / (h * h)
    if halves % 2 == 0:
        for i in range(xs.size):
            dx = xs[i] - sx
            dy = ys[i] - sy
            u = 1.0 / (1.0 + (dx * dx + dy * dy) * per_h2)
            u2 = u * u
            e = c * (u if one else 1.0) * (u2 if two else 1.0)
            Es[i] += e * (u2 * u2 if four else 1.0)
    else:
        for i in range(xs.size):
            dx = xs[i] - sx
            dy = ys[i] - sy
            u = 1.0 / (1.0 + (dx * dx + dy * dy) * per_h2)
            u2 = u * u
            e = c * np.sqrt(u) * (u if one else 1.0) * (u2 if two else 1.0)
            Es[i] += e * (u2 * u2 if four else 1.0)


@compiled(
    f"void({VECTOR}, {VECTOR}, float64, float64, float64, float64, int64, {', '.join(3 * ['float64[::1]'])})"
)
def _add_high_power(
    xs: Vector,
    ys: Vector,
    sx: float,
    sy: float,
    h: float,
    c: float,
    halves: int,
    Es: Vector,
    u: Vector,
    e: Vector,
) -> None:
    """Add one module's c u^(halves/2) to a block of points, the whole part by repeated squaring.

    `u` and `e` are working memory of at least a block.
    """
    n = xs.size
    per_h2 = 1.0 / (h * h)
    for i in range(n):
        dx = xs[i] - sx
        dy = ys[i] - sy
        u[i] = 1.0 / (1.0 + (dx * dx + dy * dy) * per_h2)
        e[i] = c
    if halves % 2 == 1:
        for i in range(n):
            e[i] *= np.sqrt(u[i])
    whole = halves // 2
    while whole > 0:
        if whole % 2 == 1:
            for i in range(n):
                e[i] *= u[i]
        whole //= 2
        if whole > 0:
            for i in range(n):
                u[i] *= u[i]
    for i in range(n):
        Es[i] += e[i]


@compiled(f"float64[::1]({', '.join(6 * [VECTOR])}, int64)")
def cosine_power_by_roots(
    x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector, halves: int
) -> Vector:
    """Illuminance from modules with I = I₀ cosᵐ θ, m whole: E = Σ c u^(halves/2) [lx].

    By multiplication and square roots alone. A power too small for a double is 0.

    Parameters
    ----------
    x, y, sx, sy, h, c
        As for ``lambertian``.
    halves : int
        m + 3, at least 0: twice the power of u.

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    E = np.zeros(n)
    u = np.empty(BLOCK)
    e = np.empty(BLOCK)
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        for k in range(sx.size):
            if halves < 16:
                _add_low_power(xs, ys, sx[k], sy[k], h[k], c[k], halves, Es)
            else:
                _add_high_power(xs, ys, sx[k], sy[k], h[k], c[k], halves, Es, u, e)
    return E


def power_table(q: float) -> tuple[Vector, Vector, int]:
    """Build the tables by which ``cosine_power_by_table`` raises to the power `q`.

    The range of s = 1/u from 1 to 2^64 is cut into octaves, and each octave into 2^bits cells of one width,
    so that the leading bits of a double say which cell it lies in. With the middle s̄ of its cell,

        u^q = s̄^(-q) (1 + t)^q,    t = (s̄ − s)/s,    |t| ≤ 2^-(bits + 1),

    the first factor from a table and the second by its binomial series up to t⁴. The first term left out is
    binom(q, 5) t⁵; `bits` is the least, from 8 up, that holds it to 1e-10, so the relative error of u^q is at
    most about 1e-10 for any q (2e-14 for q below 4). Beyond the last octave, u < 2^-64, or where u^q
    is too small for a double, the power is 0.

    Parameters
    ----------
    q : float
        Power of u, more than 0: (m + 3)/2.

    Returns
    -------
    powers : (octaves · 2^bits + 1,) float64
        s̄^(-q) in order of s; the last is 0.
    series : (5,) float64
        Binomial coefficients of (1 + t)^q.
    bits : int
        Leading bits of the mantissa that number the cell within its octave.
    """
    series = np.ones(6)
    for order in range(1, 6):
        series[order] = series[order - 1] * (q - order + 1) / order
    bits = 8
    while abs(series[5]) * 2.0 ** (-5 * (bits + 1)) > 1e-10:
        bits += 1
    octaves = min(64, ceil(1075 / q))  # the least double is 2^-1074
    cells = 2**bits
    middles = 1.0 + (np.arange(cells) + 0.5) / cells
    powers = np.zeros(octaves * cells + 1)
    powers[:-1] = np.ravel((2.0 ** np.arange(octaves)[:, np.newaxis] * middles) ** -q)
    return powers, series[:5], bits


@compiled(f"float64[::1]({', '.join(8 * [VECTOR])}, int64)")
def cosine_power_by_table(
    x: Vector,
    y: Vector,
    sx: Vector,
    sy: Vector,
    h: Vector,
    c: Vector,
    powers: Vector,
    series: Vector,
    bits: int,
) -> Vector:
    """Illuminance from modules with I = I₀ cosᵐ θ, any m: E = Σ c u^q [lx], to 1e-10.

    Points must be finite: a NaN gets 0.

    Parameters
    ----------
    x, y, sx, sy, h, c
        As for ``lambertian``.
    powers, series, bits
        From ``power_table`` of q = (m + 3)/2.

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    E = np.zeros(n)
    # A double of 1 or more is 2^e (1 + f): 52 bits of f below the exponent 1023 + e.
    shift = np.uint64(52 - bits)
    one = np.uint64(1)
    half_a_cell = one << np.uint64(51 - bits)
    cell_bits = ~((one << shift) - one)
    first_cell = np.uint64(1023) << np.uint64(bits)
    beyond = 2.0 ** ((powers.size - 1) >> bits)
    s = np.empty(BLOCK)
    s_bits = s.view(np.uint64)
    middle = np.empty(BLOCK)
    middle_bits = middle.view(np.uint64)
    power = np.empty(BLOCK)
    a1, a2, a3, a4 = series[1], series[2], series[3], series[4]
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        for k in range(sx.size):
            sx_k, sy_k, c_k = sx[k], sy[k], c[k]
            per_h2 = 1.0 / (h[k] * h[k])
            for i in range(xs.size):
                dx = xs[i] - sx_k
                dy = ys[i] - sy_k
                s_i = 1.0 + (dx * dx + dy * dy) * per_h2
                s[i] = s_i if s_i < beyond else beyond  # a NaN too must not lead outside the table
            # Looking up stays in a loop of its own: it cannot be vectorised, and would hold back what can.
            for i in range(xs.size):
                power[i] = powers[(s_bits[i] >> shift) - first_cell]
            for i in range(xs.size):
                middle_bits[i] = (s_bits[i] & cell_bits) | half_a_cell
            for i in range(xs.size):
                t = (middle[i] - s[i]) / s[i]
                Es[i] += c_k * power[i] * (1.0 + t * (a1 + t * (a2 + t * (a3 + t * a4))))
    return E
