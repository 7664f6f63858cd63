"""Flux of point sources through the cells of a rectangle, for beams of any shape that point anywhere.

With θ and φ from the source's axis and around it, and G(θ, φ) = ∫₀^θ I sin θ′ dθ′, the flux through a cell is the
integral of G dφ along its outline (Stokes on the sphere of directions). Along a straight edge, with a = U·d, b = V·d,
w = W·d for the way d from the source and r = |d|,

    G dφ = H (a db − b da) / r²,    H = G / sin²θ,

where a db − b da is constant along the edge and H is smooth, on the axis too. An edge counts for both cells that it
parts, so that no flux is lost or found between them. Behind the source's horizon, w ≤ 0, there is no light: of an edge
that crosses it the part in front is taken, and the outline is closed along the horizon, where ∫ G dφ is tabulated.

H is tabulated over the half space in front by p = a/(r + w), q = b/(r + w), a disc of radius 1 = tan(90°/2); for a
beam alike all round by √(p² + q²) = tan(θ/2) alone.
"""

from __future__ import annotations

from math import asinh, atan2, cosh, floor, pi, sinh, sqrt

import numpy as np
from numpy.typing import NDArray

from lumsim.kernels.compiling import VECTOR, compiled

__all__ = ["flux_through_cells"]

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]

MATRIX = "Array(float64, 2, 'C', readonly=True)"

NODES_2, WEIGHTS_2 = np.polynomial.legendre.leggauss(2)
NODES_3, WEIGHTS_3 = np.polynomial.legendre.leggauss(3)
NODES_5, WEIGHTS_5 = np.polynomial.legendre.leggauss(5)
NODES_8, WEIGHTS_8 = np.polynomial.legendre.leggauss(8)
NODES_12, WEIGHTS_12 = np.polynomial.legendre.leggauss(12)
NODES_48, WEIGHTS_48 = np.polynomial.legendre.leggauss(48)


@compiled(f"float64(float64, float64, float64, float64, {VECTOR}, {MATRIX})")
def _potential(a: float, b: float, w: float, r: float, axial: Vector, web: Matrix) -> float:
    """H in a direction in front of the source, linear between the table's nodes."""
    if web.shape[0] == 0:
        cells = axial.size - 1
        t = sqrt(a * a + b * b) / (r + w) * cells
        i = min(int(t), cells - 1)
        value: float = axial[i] + (t - i) * (axial[i + 1] - axial[i])
        return value
    cells = web.shape[0] - 1
    scale = 0.5 * cells / (r + w)
    p = a * scale + 0.5 * cells
    q = b * scale + 0.5 * cells
    i = min(max(int(q), 0), cells - 1)
    j = min(max(int(p), 0), cells - 1)
    f = q - i
    g = p - j
    low = web[i, j] + g * (web[i, j + 1] - web[i, j])
    high = web[i + 1, j] + g * (web[i + 1, j + 1] - web[i + 1, j])
    between: float = low + f * (high - low)
    return between


@compiled(f"float64({', '.join(11 * ['float64'])}, {VECTOR}, {MATRIX})")
def _along(
    low: float,
    high: float,
    off2: float,
    a0: float,
    a1: float,
    b0: float,
    b1: float,
    w0: float,
    w1: float,
    foot: float,
    turning: float,
    axial: Vector,
    web: Matrix,
) -> float:
    """∫ H (a db − b da)/r² along an edge from `low` to `high`, where a = a0 + a1 t and so on.

    r² = off2 + (t − foot)²; `turning` is a db/dt − b da/dt.
    """
    width = high - low
    nearest = 0.0 if low < foot < high else min(abs(low - foot), abs(high - foot))
    scale = sqrt(off2 + nearest * nearest)
    if width < 0.06 * scale:
        nodes, weights = NODES_2, WEIGHTS_2
    elif width < 0.15 * scale:
        nodes, weights = NODES_3, WEIGHTS_3
    elif width < 0.4 * scale:
        nodes, weights = NODES_5, WEIGHTS_5
    elif width < scale:
        nodes, weights = NODES_8, WEIGHTS_8
    elif width < 2.0 * scale:
        nodes, weights = NODES_12, WEIGHTS_12
    else:
        nodes, weights = NODES_48, WEIGHTS_48
    # Where an edge is long against all else, points crowd about the source's foot.
    crowded = width >= 2.0 * scale
    unit = sqrt(off2)
    start = asinh((low - foot) / unit) if crowded else low
    end = asinh((high - foot) / unit) if crowded else high
    total = 0.0
    for n in range(nodes.size):
        at = 0.5 * (start + end) + 0.5 * (end - start) * nodes[n]
        t = foot + unit * sinh(at) if crowded else at
        r2 = off2 + (t - foot) * (t - foot)
        value = _potential(a0 + a1 * t, b0 + b1 * t, w0 + w1 * t, sqrt(r2), axial, web) / r2
        if crowded:
            value *= unit * cosh(at)
        total += weights[n] * value
    return total * 0.5 * (end - start) * turning


@compiled(f"float64(float64, {VECTOR})")
def _horizon(phi: float, table: Vector) -> float:
    """∫ G dφ along the horizon from 0 to φ, any φ; the table reaches from 0 to 2π."""
    turns = floor(phi / (2.0 * pi))
    cells = table.size - 1
    t = (phi / (2.0 * pi) - turns) * cells
    i = min(int(t), cells - 1)
    value: float = turns * table[cells] + table[i] + (t - i) * (table[i + 1] - table[i])
    return value


@compiled(
    f"float64[:, ::1]({', '.join(3 * [VECTOR])}, {MATRIX}, {', '.join(4 * [VECTOR])}, {MATRIX}, {VECTOR}, int64)"
)
def flux_through_cells(
    px: Vector,
    py: Vector,
    gap: Vector,
    frames: Matrix,
    flux: Vector,
    x: Vector,
    y: Vector,
    axial: Vector,
    web: Matrix,
    horizon: Vector,
    pieces: int,
) -> Matrix:
    """Flux from point sources of one beam through each cell of a plane between edges x and y, in lumens.

    Parameters
    ----------
    px, py : (sources,) float64     Feet of the perpendiculars on the plane. [m]
    gap : (sources,) float64        From source to plane, more than 0. [m]
    frames : (sources, 9) float64   U, V, W of each, in components along x, along y and from source to plane. [1]
    flux : (sources,) float64       Into the half space in front. [lm]
    x : (columns + 1,) float64      Rising. [m]
    y : (rows + 1,) float64         Rising. [m]
    axial : (n,) float64            H by tan(θ/2) from 0 to 1, for one lumen; read where `web` is empty. [1/sr]
    web : (m, m) float64            H by q and p from −1 to 1, or (0, 0). [1/sr]
    horizon : (k,) float64          ∫ G dφ by φ from 0 to 2π, for one lumen: the last is 1. [1]
    pieces : int                    Into which each edge is cut: more where H has kinks that matter. [1]

    Returns
    -------
    (rows, columns) float64         [lm]
    """
    nx, ny = x.size - 1, y.size - 1
    along_x = np.zeros((ny + 1, nx))
    along_y = np.zeros((ny, nx + 1))
    found = np.zeros((ny, nx))
    ws = np.empty((ny + 1, nx + 1))
    phis = np.empty(2)
    for k in range(px.size):
        ux, uy, uz = frames[k, 0], frames[k, 1], frames[k, 2]
        vx, vy, vz = frames[k, 3], frames[k, 4], frames[k, 5]
        wx, wy, wz = frames[k, 6], frames[k, 7], frames[k, 8]
        h = gap[k]
        det = ux * (vy * wz - vz * wy) - uy * (vx * wz - vz * wx) + uz * (vx * wy - vy * wx)
        amount = flux[k] if det > 0.0 else -flux[k]
        ahead = 0
        for j in range(ny + 1):
            for i in range(nx + 1):
                w = wx * (x[i] - px[k]) + wy * (y[j] - py[k]) + wz * h
                ws[j, i] = w
                if w > 0.0:
                    ahead += 1
        if ahead == 0:
            continue
        # Along edges of constant y, t is x.
        for j in range(ny + 1):
            dy = y[j] - py[k]
            off2 = dy * dy + h * h
            a0 = uy * dy + uz * h - ux * px[k]
            b0 = vy * dy + vz * h - vx * px[k]
            w0 = wy * dy + wz * h - wx * px[k]
            turning = a0 * vx - b0 * ux
            for i in range(nx):
                low, high = x[i], x[i + 1]
                one, other = ws[j, i], ws[j, i + 1]
                if one <= 0.0 and other <= 0.0:
                    continue
                if one <= 0.0:
                    low += (high - low) * one / (one - other)
                elif other <= 0.0:
                    high = low + (high - low) * one / (one - other)
                step = (high - low) / pieces
                for piece in range(pieces):
                    one, other = low + piece * step, low + (piece + 1) * step
                    along_x[j, i] += amount * _along(
                        one, other, off2, a0, ux, b0, vx, w0, wx, px[k], turning, axial, web
                    )
        for i in range(nx + 1):
            dx = x[i] - px[k]
            off2 = dx * dx + h * h
            a0 = ux * dx + uz * h - uy * py[k]
            b0 = vx * dx + vz * h - vy * py[k]
            w0 = wx * dx + wz * h - wy * py[k]
            turning = a0 * vy - b0 * uy
            for j in range(ny):
                low, high = y[j], y[j + 1]
                one, other = ws[j, i], ws[j + 1, i]
                if one <= 0.0 and other <= 0.0:
                    continue
                if one <= 0.0:
                    low += (high - low) * one / (one - other)
                elif other <= 0.0:
                    high = low + (high - low) * one / (one - other)
                step = (high - low) / pieces
                for piece in range(pieces):
                    one, other = low + piece * step, low + (piece + 1) * step
                    along_y[j, i] += amount * _along(
                        one, other, off2, a0, uy, b0, vy, w0, wy, py[k], turning, axial, web
                    )
        if ahead == (nx + 1) * (ny + 1):
            continue
        for j in range(ny):
            for i in range(nx):
                lit = int(ws[j, i] > 0.0) + int(ws[j, i + 1] > 0.0)
                lit += int(ws[j + 1, i + 1] > 0.0) + int(ws[j + 1, i] > 0.0)
                if lit in (0, 4):
                    continue
                for corner in range(4):
                    # Round the cell counterclockwise.
                    i0 = i + (1 if corner in (1, 2) else 0)
                    j0 = j + (1 if corner in (2, 3) else 0)
                    i1 = i + (1 if corner in (0, 1) else 0)
                    j1 = j + (1 if corner in (1, 2) else 0)
                    one, other = ws[j0, i0], ws[j1, i1]
                    if (one > 0.0) == (other > 0.0):
                        continue
                    part = one / (one - other)
                    dx = x[i0] + part * (x[i1] - x[i0]) - px[k]
                    dy = y[j0] + part * (y[j1] - y[j0]) - py[k]
                    phis[0 if one > 0.0 else 1] = atan2(
                        vx * dx + vy * dy + vz * h, ux * dx + uy * dy + uz * h
                    )
                turn = phis[1] - phis[0]
                if turn > pi:
                    turn -= 2.0 * pi
                elif turn <= -pi:
                    turn += 2.0 * pi
                found[j, i] += amount * (_horizon(phis[0] + turn, horizon) - _horizon(phis[0], horizon))
    for j in range(ny):
        for i in range(nx):
            found[j, i] += along_x[j, i] + along_y[j, i + 1] - along_x[j + 1, i] - along_y[j, i]
    return found
