"""The highest and the lowest point of a field over a rectangle, edges and corners included.

First every local extreme of the samples is found; a parabola through each one's neighbours says how high the
field may rise between the samples, and only those that may win are kept. These climb on the field itself by
quadratic models in shrinking steps, and the winner is polished by scipy.optimize.

Strictness: a plateau counts as one extreme. Ties (within ``TIE``, which is rounding) go to the lowest y, then
the lowest x. On a perfectly flat field every point ties, so both extremes are at the lower left corner.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter
from scipy.optimize import minimize

from lumsim.uniformity.face_map import Array

__all__ = ["CLIMBERS", "TIE", "Extreme", "climb", "highest", "lowest", "stationary"]

Field = Callable[[Array, Array], Array]
Bounds = tuple[float, float, float, float]

TIE = 1e-9
"""Values closer than this, relative, are the same. [1]"""

CLIMBERS = 4096
"""The most candidates that take the first step. [1]"""

FINALISTS = 64
"""The most candidates that climb to the top. [1]"""

MAY_WIN = 0.01
"""How far below the best estimate a candidate may lie and still climb, relative: ten times the parabola's error. [1]"""

MAY_STILL_WIN = 1e-3
"""The same after the first step, which quarters the reach and so leaves some 1e-4 of error at most. [1]"""

LEAST_REACH = 0.1
"""Reach, in first steps, below which a climber stops. The last parabola then spans a quarter of the first
step, at most 1/32 of the field's detail: it misses the top's height by some 1e-6, and scipy.optimize polishes
the winner. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """One extreme of a field."""

    value: float
    """in the field's unit"""
    x: float
    """[m]"""
    y: float
    """[m]"""


_ENDS = np.array([[-1.0], [1.0]])
"""Of a stencil, in steps from its centre. [1]"""


def _summit(stencil: Array, sx: float, sy: float) -> tuple[Array, Array, Array]:
    """Highest point of the parabola through each 3 × 3 stencil, within the stencil.

    Parameters
    ----------
    stencil : (n, 3, 3)
        Values, [.., y, x].
    sx, sy : float
        Steps; 0 where the field has no extent in that direction. [m]

    Returns
    -------
    dx, dy, value : (n,) each
        From the stencil's centre [m], and the parabola there.
    """
    f = stencil
    fx = (f[:, 1, 2] - f[:, 1, 0]) / 2
    fy = (f[:, 2, 1] - f[:, 0, 1]) / 2
    fxx = f[:, 1, 2] - 2 * f[:, 1, 1] + f[:, 1, 0]
    fyy = f[:, 2, 1] - 2 * f[:, 1, 1] + f[:, 0, 1]
    fxy = (f[:, 2, 2] - f[:, 2, 0] - f[:, 0, 2] + f[:, 0, 0]) / 4
    ends = np.broadcast_to(_ENDS, (2, len(f)))
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):

        def inside(slope: Array, curve: Array) -> Array:
            """Highest point along a line, where it bends down; its ends are looked at apart."""
            return np.where(curve < 0, np.minimum(np.maximum(-slope / curve, -1.0), 1.0), 0.0)

        det = fxx * fyy - fxy**2
        u = np.where(det > 0, np.minimum(np.maximum((fxy * fy - fyy * fx) / det, -1.0), 1.0), 0.0)
        v = np.where(det > 0, np.minimum(np.maximum((fxy * fx - fxx * fy) / det, -1.0), 1.0), 0.0)
        along_x, along_y = inside(fx + fxy * ends, fxx), inside(fy + fxy * ends, fyy)
    low, high = ends
    # The top, then of either end the highest along the one side, along the other, and both corners.
    du = np.stack([u, low, along_x[0], low, low, high, along_x[1], high, high])
    dv = np.stack([v, along_y[0], low, low, high, along_y[1], high, low, high])
    value = f[:, 1, 1] + fx * du + fy * dv + fxx * du**2 / 2 + fxy * du * dv + fyy * dv**2 / 2
    top = np.argmax(value, axis=0)
    each = np.arange(len(f))
    best = value[top, each]
    # The centre stands where nothing around it is higher.
    higher = best > f[:, 1, 1]
    return (
        np.where(higher, du[top, each], 0.0) * sx,
        np.where(higher, dv[top, each], 0.0) * sy,
        np.where(higher, best, f[:, 1, 1]),
    )


_OFFSETS = np.array([-1.0, 0.0, 1.0])


def climb(
    field: Field, x: Array, y: Array, *, steps: tuple[float, float], bounds: Bounds, rounds: int = 8
) -> tuple[Array, Array, Array]:
    """Climb from each starting point to the local maximum nearby.

    Each round puts a parabola through nine points around where a climber stands and moves to its highest
    point in reach; a climber that need not use its whole reach has its reach quartered. The best point ever
    seen is kept, so climbing never loses height.

    Parameters
    ----------
    field : callable
        x, y [m] → values
    x, y : (n,)
        Starting points. [m]
    steps : (sx, sy)
        First reach; 0 in a direction without extent. [m]
    bounds : x0, x1, y0, y1
        [m]
    rounds : int
        The most rounds; a climber stops at a reach below ``LEAST_REACH``.

    Returns
    -------
    x, y, value : (n,) each
    """
    x0, x1, y0, y1 = bounds
    reach = np.minimum(np.asarray(steps), [(x1 - x0) / 2, (y1 - y0) / 2])
    n = len(x)
    best_x, best_y, best = x.copy(), y.copy(), np.full(n, -np.inf)
    here_x, here_y = x.copy(), y.copy()
    size = np.ones(n)
    active = np.arange(n)
    for _ in range(rounds):
        sx, sy = reach[0] * size[active], reach[1] * size[active]
        cx = np.clip(here_x[active], x0 + sx, x1 - sx)
        cy = np.clip(here_y[active], y0 + sy, y1 - sy)
        px = cx[:, None, None] + sx[:, None, None] * _OFFSETS[None, None, :]
        py = cy[:, None, None] + sy[:, None, None] * _OFFSETS[None, :, None]
        px, py = np.broadcast_arrays(px, py)
        values = field(px, py)
        flat = values.reshape(len(active), 9)
        top = np.argmax(flat, axis=1)
        rows = np.arange(len(active))
        seen = flat[rows, top]
        better = seen > best[active]
        chosen = active[better]
        best[chosen] = seen[better]
        best_x[chosen] = px.reshape(-1, 9)[rows, top][better]
        best_y[chosen] = py.reshape(-1, 9)[rows, top][better]
        du, dv, _ = _summit(values, 1.0, 1.0)
        here_x[active], here_y[active] = cx + du * sx, cy + dv * sy
        at_edge_x = (here_x[active] <= x0) | (here_x[active] >= x1)
        at_edge_y = (here_y[active] <= y0) | (here_y[active] >= y1)
        moved_fully = ((np.abs(du) > 0.99) & ~at_edge_x & (sx > 0)) | (
            (np.abs(dv) > 0.99) & ~at_edge_y & (sy > 0)
        )
        size[active] = np.where(moved_fully, size[active], size[active] / 4)
        active = active[size[active] > LEAST_REACH]
        if len(active) == 0:
            break
    values = field(here_x, here_y)
    better = values > best
    return np.where(better, here_x, best_x), np.where(better, here_y, best_y), np.where(better, values, best)


def _polished(field: Field, extreme: Extreme, steps: tuple[float, float], bounds: Bounds) -> Extreme:
    """The last digits, by scipy.optimize's bounded quasi-Newton method; never lower than before."""
    origin = np.array([extreme.x, extreme.y])
    scale = np.maximum(steps, 1e-12)
    height = abs(extreme.value) or 1.0
    lower, upper = np.array(bounds[::2]), np.array(bounds[1::2])
    # A thousandth of a step: the slope's own error is then below 1e-6, its rounding below 1e-12.
    reach = 1e-3 * np.array([[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]])

    def drop(moved: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        """What the field lies below the extreme, and its slope by central differences, in one call."""
        at = np.clip(origin + (moved + reach) * scale, lower, upper)
        value = field(at[:, 0], at[:, 1])
        width = (at[[1, 3]] - at[[2, 4]])[[0, 1], [0, 1]] / scale
        rise = value[[1, 3]] - value[[2, 4]]
        slope = np.where(width > 0, rise / np.where(width > 0, width, 1.0), 0.0)
        return float(extreme.value - value[0]) / height, -slope / height

    limits = list(zip((lower - origin) / scale, (upper - origin) / scale, strict=True))
    found = minimize(drop, np.zeros(2), jac=True, method="L-BFGS-B", bounds=limits, options={"maxiter": 20})
    x, y = np.clip(origin + found.x * scale, lower, upper)
    value = float(field(np.array([x]), np.array([y]))[0])
    better = value > extreme.value + TIE * height
    return Extreme(value=value, x=float(x), y=float(y)) if better else extreme


def _in_one_half(samples: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Samples that are their own image in a mirror midway, made so to the last digit, and where to look at them.

    The half, or the quarter, is the one that holds the lowest y and x, to which ties go anyway.

    Parameters
    ----------
    samples : (ny, nx)

    Returns
    -------
    samples, kept : (ny, nx) each
        Where they are no such image, as they are, and everywhere.
    """
    samples, kept = samples.copy(), np.ones(samples.shape, dtype=bool)
    for along, each in ((samples, kept), (samples.T, kept.T)):
        half = len(along) // 2
        one, other = along[:half], along[: -half - 1 : -1]
        if half and (np.abs(one - other) <= TIE * np.abs(other)).all():
            along[-half:] = along[half - 1 :: -1]
            each[-half:] = False
    return samples, kept


def highest(field: Field, x: Array, y: Array, samples: Array, *, last_digits: bool = True) -> Extreme:
    """The highest point of a field over the rectangle that x and y span.

    Parameters
    ----------
    field : callable
        x, y [m] of any one shape → values of that shape
    x, y : (nx,), (ny,)
        Rising and even, fine against the field's detail; a single point in a direction without extent. [m]
    samples : (ny, nx)
        The field on that grid, to 1e-3; what is told is asked of the field itself.
    last_digits : bool
        Whether scipy.optimize polishes the winner; without, its height is good to some 1e-6.

    Returns
    -------
    Extreme
        With ties and plateaus as this file's docstring says.
    """
    bounds = (float(x[0]), float(x[-1]), float(y[0]), float(y[-1]))
    steps = (float(x[1] - x[0]) if len(x) > 1 else 0.0, float(y[1] - y[0]) if len(y) > 1 else 0.0)
    samples, looked_at = _in_one_half(samples)
    iy, ix = np.nonzero(looked_at & (samples == maximum_filter(samples, size=3, mode="nearest")))
    # The parabola through the nine samples around, which at an edge are those just inside.
    padded = samples
    if len(x) < 3:
        padded = np.repeat(padded[:, :1], 3, axis=1)
    if len(y) < 3:
        padded = np.repeat(padded[:1], 3, axis=0)
    cy = np.clip(iy, 1, padded.shape[0] - 2)
    cx = np.clip(ix, 1, padded.shape[1] - 2)
    offsets = np.arange(-1, 2)
    stencil = padded[cy[:, None, None] + offsets[None, :, None], cx[:, None, None] + offsets[None, None, :]]
    dx, dy, estimate = _summit(stencil, *steps)
    start_x, start_y = x[np.clip(cx, 0, len(x) - 1)] + dx, y[np.clip(cy, 0, len(y) - 1)] + dy
    estimate = np.maximum(estimate, samples[iy, ix])

    def may_win(height: Array, margin: float, most: int) -> NDArray[np.int64]:
        order = np.argsort(-height, kind="stable")
        kept: NDArray[np.int64] = order[height[order] >= height.max() - margin * np.abs(height).max()]
        return kept[:most]

    chosen = may_win(estimate, MAY_WIN, CLIMBERS)
    half = (steps[0] / 2, steps[1] / 2)
    found_x, found_y, value = climb(
        field, start_x[chosen], start_y[chosen], steps=half, bounds=bounds, rounds=1
    )
    chosen = may_win(value, MAY_STILL_WIN, FINALISTS)
    eighth = (steps[0] / 8, steps[1] / 8)
    found_x, found_y, value = climb(field, found_x[chosen], found_y[chosen], steps=eighth, bounds=bounds)
    # The samples' places themselves too: on a flat field the lowest corner is one of them. The field is asked there,
    # for samples may be summed in another way, to fewer digits.
    kept = may_win(samples[iy, ix], MAY_STILL_WIN, CLIMBERS)
    at_x, at_y = x[ix[kept]], y[iy[kept]]
    found_x, found_y = np.concatenate([found_x, at_x]), np.concatenate([found_y, at_y])
    value = np.concatenate([value, field(at_x, at_y)])
    best = float(value.max())
    tied = np.nonzero(value >= best - TIE * abs(best))[0]
    # To a micrometre, so that rounding does not decide which of two mirror images is the lower.
    first = tied[np.lexsort((np.round(found_x[tied], 6), np.round(found_y[tied], 6)))[0]]
    extreme = Extreme(value=best, x=float(found_x[first]), y=float(found_y[first]))
    return _polished(field, extreme, steps, bounds) if last_digits else extreme


def lowest(field: Field, x: Array, y: Array, samples: Array, *, last_digits: bool = True) -> Extreme:
    """Find the lowest point of a field.

    Parameters
    ----------
    field, x, y, samples, last_digits
        As for ``highest``.
    """
    extreme = highest(lambda px, py: -field(px, py), x, y, -samples, last_digits=last_digits)
    return Extreme(value=-extreme.value, x=extreme.x, y=extreme.y)


def stationary(
    field: Field, x: Array, y: Array, *, steps: tuple[float, float], bounds: Bounds, rounds: int = 4
) -> Array:
    """Value at the saddle near each starting point.

    Newton's method on the parabola through nine points, in shrinking steps; along an edge of the bounds,
    only along that edge. Where a parabola has no saddle in reach, the starting point's value stands.

    Parameters
    ----------
    field : callable
        x, y [m] → values
    x, y : (n,)
        Starting points, samples next to a saddle. [m]
    steps : (sx, sy)
        Reach. [m]
    bounds : x0, x1, y0, y1
        [m]
    rounds : int
        How often the step shrinks.

    Returns
    -------
    (n,) values
    """
    x0, x1, y0, y1 = bounds
    start = field(x, y)
    if len(x) == 0:
        return start
    on_x = (x <= x0 + 1e-9) | (x >= x1 - 1e-9)
    on_y = (y <= y0 + 1e-9) | (y >= y1 - 1e-9)
    here_x, here_y = x.copy(), y.copy()
    good = np.ones(len(x), dtype=bool)
    value = start.copy()
    for number in range(rounds):
        sx, sy = steps[0] / 2 / 4**number, steps[1] / 2 / 4**number
        px = here_x[:, None, None] + sx * _OFFSETS[None, None, :]
        py = here_y[:, None, None] + sy * _OFFSETS[None, :, None]
        px = np.clip(np.broadcast_to(px, (len(x), 3, 3)), x0, x1)
        py = np.clip(np.broadcast_to(py, (len(x), 3, 3)), y0, y1)
        f = field(px, py)
        fx, fy = (f[:, 1, 2] - f[:, 1, 0]) / 2, (f[:, 2, 1] - f[:, 0, 1]) / 2
        fxx = f[:, 1, 2] - 2 * f[:, 1, 1] + f[:, 1, 0]
        fyy = f[:, 2, 1] - 2 * f[:, 1, 1] + f[:, 0, 1]
        fxy = (f[:, 2, 2] - f[:, 2, 0] - f[:, 0, 2] + f[:, 0, 0]) / 4
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            det = fxx * fyy - fxy**2
            u = np.where(on_x, 0.0, np.where(on_y, -fx / fxx, (fxy * fy - fyy * fx) / det))
            v = np.where(on_y, 0.0, np.where(on_x, -fy / fyy, (fxy * fx - fxx * fy) / det))
        reach = 3.0
        good &= np.isfinite(u) & np.isfinite(v) & (np.abs(u) <= reach) & (np.abs(v) <= reach)
        here_x = np.where(good, np.clip(here_x + u * sx, x0, x1), here_x)
        here_y = np.where(good, np.clip(here_y + v * sy, y0, y1), here_y)
    value = field(here_x, here_y)
    return np.where(good, value, start)
