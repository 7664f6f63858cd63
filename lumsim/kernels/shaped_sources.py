"""Illuminance on a plane from point sources with beams of any shape, by tables.

Three kernels, all in single precision where they look up and in double everywhere else:

    upright     beams alike all round their axis, which stands upright on the plane
    tilted      beams alike all round, in any direction
    aimed       any beam, any direction

Points are worked on in blocks that stay in the nearest cache while all sources pass over them. Looking up is a loop
of its own, for it cannot be vectorised and would hold back what can; a value and its slopes are packed into words of
64 bits, so that one load fetches two of them.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import VECTOR, compiled

__all__ = ["aimed", "aimed_table", "tilted", "upright", "upright_table"]

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]
Words = NDArray[np.uint64]

BLOCK = 256
"""Points worked on together. [1]"""

LOWEST, OCTAVES, BITS = -12, 40, 7
"""Of ``upright``'s table: s = tan²θ + 2^LOWEST, in so many octaves of 2^BITS cells each."""

STEPS = 64
"""Into which cells are cut to see whether a beam ends in one of them. [1]"""

WORDS = "Array(uint64, 1, 'C', readonly=True)"
MATRIX = "Array(float64, 2, 'C', readonly=True)"


def upright_table(relative: Callable[[Vector], Vector]) -> Words:
    """Build the table by which ``upright`` looks up a beam.

    E h²/Φ = I(θ) cos³θ is taken linear in tan²θ within each cell. The leading bits of s say which cell it is: close to
    the axis they are 2^(LOWEST − BITS) wide, elsewhere 2^−BITS of s itself.

    Parameters
    ----------
    relative : callable
        θ from 0 to π/2 [rad] → intensity for one lumen [cd/lm]; (n,) arrays.

    Returns
    -------
    (OCTAVES · 2^BITS,) uint64
        Value at s = 0 and slope of each cell, as single precision, the value in the lower half.
    """
    cells = 2**BITS
    starts = np.ravel(2.0 ** (LOWEST + np.arange(OCTAVES))[:, None] * (1 + np.arange(cells) / cells))
    s = np.append(starts, 2.0 ** (LOWEST + OCTAVES))
    theta = np.arctan(np.sqrt(s - s[0]))
    values = relative(theta) * np.cos(theta) ** 3
    slopes = np.diff(values) / np.diff(s)
    bases = values[:-1] - slopes * s[:-1]
    # Where a beam ends in a step within a cell, that takes its mean: the disc that it lights keeps its area.
    within = s[:-1, None] + np.diff(s)[:, None] * (np.arange(STEPS) + 0.5) / STEPS
    at = np.arctan(np.sqrt(within - s[0]))
    means = np.mean(relative(at.ravel()).reshape(at.shape) * np.cos(at) ** 3, axis=1)
    stepped = np.abs(means - (values[1:] + values[:-1]) / 2) > 0.02 * np.maximum(values[:-1], values[1:])
    return _packed(np.where(stepped, means, bases), np.where(stepped, 0.0, slopes))


def _packed(one: Matrix, other: Matrix) -> Words:
    pairs = np.stack([one, other], axis=-1).astype("<f4")
    return np.ascontiguousarray(pairs.view("<u8")[..., 0].astype(np.uint64))


@compiled(f"boolean({', '.join(5 * [VECTOR])}, float64)")
def _within(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, farthest: float) -> bool:
    """Whether tan²θ is below `farthest` for every point and source, all of them finite."""
    if x.size == 0 or sx.size == 0:
        return False
    low_x, high_x, low_y, high_y, least, strange = sx[0], sx[0], sy[0], sy[0], h[0], 0.0
    for k in range(sx.size):
        low_x, high_x = min(low_x, sx[k]), max(high_x, sx[k])
        low_y, high_y = min(low_y, sy[k]), max(high_y, sy[k])
        least = min(least, h[k])
    for i in range(x.size):
        low_x, high_x = min(low_x, x[i]), max(high_x, x[i])
        low_y, high_y = min(low_y, y[i]), max(high_y, y[i])
        # 0 but for what is infinite or no number.
        strange += (x[i] - x[i]) + (y[i] - y[i])
    across, up = high_x - low_x, high_y - low_y
    inside: bool = strange == 0.0 and across * across + up * up < farthest * least * least
    return inside


@compiled(f"float64({WORDS})")
def _lit(table: Words) -> float:
    """The tan²θ beyond which the table of a beam holds no light at all."""
    last = table.size
    while last > 0 and table[last - 1] == np.uint64(0):
        last -= 1
    octave, cell = last >> BITS, last & (2**BITS - 1)
    lit: float = 2.0 ** (LOWEST + octave) * (1.0 + cell / 2**BITS)
    return lit


@compiled("float64(float64, float64, float64, float64, float64, float64)")
def _apart(low_x: float, high_x: float, low_y: float, high_y: float, x: float, y: float) -> float:
    """The square of how far a point is from a rectangle."""
    across = max(low_x - x, 0.0, x - high_x)
    up = max(low_y - y, 0.0, y - high_y)
    apart: float = across * across + up * up
    return apart


@compiled(f"float64[::1]({', '.join(6 * [VECTOR])}, {WORDS})")
def upright(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector, table: Words) -> Vector:
    """Illuminance from sources alike all round, upright on the plane: E = Σ c I(θ) cos³θ [lx].

    Parameters
    ----------
    x, y : (n,) float64             Points. [m]
    sx, sy : (sources,) float64     Feet of the sources' perpendiculars. [m]
    h : (sources,) float64          Throws, more than 0. [m]
    c : (sources,) float64          Φ/h². [lm/m²]
    table : (cells,) uint64         From ``upright_table``.

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    E = np.zeros(n)
    shift = np.uint64(52 - BITS)
    first = np.uint64(1023 + LOWEST) << np.uint64(BITS)
    least = 2.0**LOWEST
    beyond = 2.0 ** (LOWEST + OCTAVES) * (1.0 - 1e-15)
    s, t = np.empty(BLOCK), np.empty(BLOCK)
    s_bits, t_bits = s.view(np.uint64), t.view(np.uint64)
    found, other = np.empty(BLOCK, np.uint64), np.empty(BLOCK, np.uint64)
    within = _within(x, y, sx, sy, h, 0.5 * beyond)
    lit = _lit(table)
    pairs, others = found.view(np.float32), other.view(np.float32)
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        low_x, high_x, low_y, high_y = xs[0], xs[0], ys[0], ys[0]
        for i in range(xs.size):
            low_x, high_x = min(low_x, xs[i]), max(high_x, xs[i])
            low_y, high_y = min(low_y, ys[i]), max(high_y, ys[i])
        for k in range(0, sx.size, 2):
            # The last of an odd number goes with itself, at no strength.
            after = min(k + 1, sx.size - 1)
            if within and (
                _apart(low_x, high_x, low_y, high_y, sx[k], sy[k]) > lit * h[k] * h[k]
                and _apart(low_x, high_x, low_y, high_y, sx[after], sy[after]) > lit * h[after] * h[after]
            ):
                continue
            sx_k, sy_k, c_k = sx[k], sy[k], c[k]
            sx_2, sy_2, c_2 = sx[after], sy[after], c[after] if after > k else 0.0
            per_k, per_2 = 1.0 / (h[k] * h[k]), 1.0 / (h[after] * h[after])
            if within:
                for i in range(xs.size):
                    dx = xs[i] - sx_k
                    dy = ys[i] - sy_k
                    s[i] = least + (dx * dx + dy * dy) * per_k
                    dx = xs[i] - sx_2
                    dy = ys[i] - sy_2
                    t[i] = least + (dx * dx + dy * dy) * per_2
            else:
                for i in range(xs.size):
                    dx = xs[i] - sx_k
                    dy = ys[i] - sy_k
                    one = least + (dx * dx + dy * dy) * per_k
                    s[i] = one if one < beyond else beyond
                    dx = xs[i] - sx_2
                    dy = ys[i] - sy_2
                    two = least + (dx * dx + dy * dy) * per_2
                    t[i] = two if two < beyond else beyond
            for i in range(xs.size):
                found[i] = table[(s_bits[i] >> shift) - first]
                other[i] = table[(t_bits[i] >> shift) - first]
            for i in range(xs.size):
                Es[i] += c_k * (pairs[2 * i] + s[i] * pairs[2 * i + 1]) + c_2 * (
                    others[2 * i] + t[i] * others[2 * i + 1]
                )
    return E


@compiled(f"float64[::1]({', '.join(5 * [VECTOR])}, {MATRIX}, {VECTOR}, {WORDS})")
def tilted(
    x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, axes: Matrix, c: Vector, table: Words
) -> Vector:
    """Illuminance from sources alike all round that point anywhere: E = Σ c I h / r³ [lx], 0 behind their horizon.

    With w = r cos θ that is Σ c h/w³ · I cos³θ, and tan²θ = r²/w² − 1: the table of ``upright`` serves, without a root.

    Parameters
    ----------
    x, y, sx, sy, h
        As for ``upright``.
    axes : (sources, 3) float64     In components along x, along y and from source to plane. [1]
    c : (sources,) float64          Φ. [lm]
    table : (cells,) uint64         From ``upright_table``.

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    E = np.zeros(n)
    shift = np.uint64(52 - BITS)
    first = np.uint64(1023 + LOWEST) << np.uint64(BITS)
    least = 2.0**LOWEST
    beyond = 2.0 ** (LOWEST + OCTAVES) * (1.0 - 1e-15)
    s, weight = np.empty(BLOCK), np.empty(BLOCK)
    s_bits = s.view(np.uint64)
    found = np.empty(BLOCK, np.uint64)
    pairs = found.view(np.float32)
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        for k in range(sx.size):
            sx_k, sy_k, h2 = sx[k], sy[k], h[k] * h[k]
            wx, wy, wz = axes[k, 0], axes[k, 1], axes[k, 2] * h[k]
            amount = c[k] * h[k]
            for i in range(xs.size):
                dx = xs[i] - sx_k
                dy = ys[i] - sy_k
                w = wx * dx + wy * dy + wz
                inverse = 1.0 / w
                tan2 = (dx * dx + dy * dy + h2) * inverse * inverse - 1.0
                # Rounding may leave a little less than 0 on the axis itself.
                tan2 = tan2 if tan2 > 0.0 else 0.0
                one = least + tan2
                s[i] = one if one < beyond else beyond
                weight[i] = amount * inverse * inverse * inverse if w > 0.0 and one < beyond else 0.0
            for i in range(xs.size):
                found[i] = table[(s_bits[i] >> shift) - first]
            for i in range(xs.size):
                Es[i] += weight[i] * (pairs[2 * i] + s[i] * pairs[2 * i + 1])
    return E


def aimed_table(relative: Callable[[Matrix, Matrix], Matrix], cells: int) -> Words:
    """Build the table by which ``aimed`` looks up a beam.

    The half space in front is laid flat by p = a/S, q = b/S, S = |a| + |b| + w, from the components a, b, w of a
    direction in the source's frame: a square on its corner, |p| + |q| ≤ 1. There I S³/r³ is taken linear in p and in q
    within each cell; the folds at p = 0 and q = 0 lie between cells.

    Parameters
    ----------
    relative : callable
        θ from 0 to π/2 and φ [rad] → intensity for one lumen [cd/lm]; arrays of one shape.
    cells : int
        Along each side of the square; even. [1]

    Returns
    -------
    (2 · cells²,) uint64
        Of each cell, q after q: the value at its corner and its slope in p, its slope in q and the mixed one.
    """
    p, q = np.meshgrid(*(2 * [np.linspace(-1.0, 1.0, cells + 1)]))
    w = 1 - np.abs(p) - np.abs(q)
    r = np.sqrt(p * p + q * q + w * w)
    theta, phi = np.arctan2(np.hypot(p, q), w), np.arctan2(q, p)
    # Cells that the horizon cuts need all their corners: behind it intensity goes on as straight as it came.
    behind = theta > np.pi / 2
    ahead = relative(np.where(behind, np.pi - theta, theta), phi)
    f = np.where(behind, 2 * relative(np.full(theta.shape, np.pi / 2), phi) - ahead, ahead) / r**3
    corner, in_p, in_q = f[:-1, :-1], f[:-1, 1:] - f[:-1, :-1], f[1:, :-1] - f[:-1, :-1]
    mixed = f[1:, 1:] - f[1:, :-1] - f[:-1, 1:] + f[:-1, :-1]
    return np.ascontiguousarray(np.stack([_packed(corner, in_p), _packed(in_q, mixed)], axis=-1).ravel())


@compiled(f"float64[::1]({', '.join(5 * [VECTOR])}, {MATRIX}, {VECTOR}, {WORDS})")
def aimed(
    x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, frames: Matrix, c: Vector, table: Words
) -> Vector:
    """Illuminance from sources of any beam in any direction: E = Σ c I h / r³ [lx], 0 behind a source's horizon.

    Parameters
    ----------
    x, y : (n,) float64             Points. [m]
    sx, sy : (sources,) float64     Feet of the sources' perpendiculars. [m]
    h : (sources,) float64          From source to plane, more than 0. [m]
    frames : (sources, 9) float64   The beam's 0 and 90 degree directions and its axis, each in components along x,
                                    along y and from source to plane. [1]
    c : (sources,) float64          Φ. [lm]
    table : (words,) uint64         From ``aimed_table``.

    Returns
    -------
    (n,) float64                    [lx]
    """
    n = x.size
    E = np.zeros(n)
    cells = round((table.size // 2) ** 0.5)
    half = 0.5 * cells
    last = cells - 1.0
    at = np.empty(BLOCK, np.int64)
    across, up, weight = np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK)
    found = np.empty(2 * BLOCK, np.uint64)
    fours = found.view(np.float32)
    for start in range(0, n, BLOCK):
        stop = min(start + BLOCK, n)
        xs = x[start:stop]
        ys = y[start:stop]
        Es = E[start:stop]
        for k in range(sx.size):
            sx_k, sy_k, h_k = sx[k], sy[k], h[k]
            ux, uy, uz = frames[k, 0], frames[k, 1], frames[k, 2] * h_k
            vx, vy, vz = frames[k, 3], frames[k, 4], frames[k, 5] * h_k
            wx, wy, wz = frames[k, 6], frames[k, 7], frames[k, 8] * h_k
            amount = c[k] * h_k
            for i in range(xs.size):
                dx = xs[i] - sx_k
                dy = ys[i] - sy_k
                a = ux * dx + uy * dy + uz
                b = vx * dx + vy * dy + vz
                w = wx * dx + wy * dy + wz
                inverse = 1.0 / (abs(a) + abs(b) + abs(w))
                p = a * inverse * half + half
                q = b * inverse * half + half
                j = np.floor(p if p < last else last)
                m = np.floor(q if q < last else last)
                across[i] = p - j
                up[i] = q - m
                at[i] = np.int64(m * cells + j)
                weight[i] = amount * inverse * inverse * inverse if w > 0.0 else 0.0
            for i in range(xs.size):
                cell = np.uint64(at[i]) << np.uint64(1)
                found[2 * i] = table[cell]
                found[2 * i + 1] = table[cell + np.uint64(1)]
            for i in range(xs.size):
                f = fours[4 * i] + across[i] * fours[4 * i + 1]
                g = fours[4 * i + 2] + across[i] * fours[4 * i + 3]
                Es[i] += weight[i] * (f + up[i] * g)
    return E
