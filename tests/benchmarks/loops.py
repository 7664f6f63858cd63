"""The best plain NumPy loops for what the point-source kernels do, and the scenes to time both on.

One expression a module over all points, in place, in two working arrays allocated once. They are what a
kernel has to beat, so they may use whatever NumPy has: a power as ``power``, as ``log`` and ``exp``, or by
hand as products and roots.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Beam

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]
Scene = tuple[Vector, Vector, Vector, Vector, Vector, Vector]
Loop = Callable[..., Vector]


def scene(points: int, modules: int, *, seed: int) -> Scene:
    """Draw points of a face of 2.4 m × 1.2 m and modules of nearly one throw behind it."""
    draw = np.random.default_rng(seed)
    return (
        draw.uniform(0.0, 2.4, points),
        draw.uniform(0.0, 1.2, points),
        draw.uniform(0.0, 2.4, modules),
        draw.uniform(0.0, 1.2, modules),
        draw.uniform(0.1, 0.2, modules),
        draw.uniform(100.0, 2000.0, modules),
    )


def _in_place(raise_and_scale: Callable[[Vector, Vector, float, float], object], q: float) -> Loop:
    """Loop over modules; `raise_and_scale` turns s = d² into c h^2q s^-q in place, with t to work in."""

    def loop(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        E, s, t = np.zeros_like(x), np.empty_like(x), np.empty_like(x)
        for k in range(sx.size):
            np.subtract(x, sx[k], out=s)
            np.multiply(s, s, out=s)
            np.subtract(y, sy[k], out=t)
            np.multiply(t, t, out=t)
            np.add(s, t, out=s)
            np.add(s, h[k] * h[k], out=s)
            raise_and_scale(s, t, q, float(c[k] * h[k] ** (2.0 * q)))
            np.add(E, s, out=E)
        return E

    return loop


def by_power(q: float) -> Loop:
    """s^-q by ``np.power``."""

    def raise_and_scale(s: Vector, t: Vector, q: float, scale: float) -> None:
        np.power(s, -q, out=s)
        np.multiply(s, scale, out=s)

    return _in_place(raise_and_scale, q)


def by_log_and_exp(q: float) -> Loop:
    """s^-q by ``np.log`` and ``np.exp``."""

    def raise_and_scale(s: Vector, t: Vector, q: float, scale: float) -> None:
        np.log(s, out=s)
        np.multiply(s, -q, out=s)
        np.exp(s, out=s)
        np.multiply(s, scale, out=s)

    return _in_place(raise_and_scale, q)


def by_hand(q: float) -> Loop:
    """s^-q as a division by products and roots of s, for q = 2, 2.25, 2.5 and 3."""

    def raise_and_scale(s: Vector, t: Vector, q: float, scale: float) -> None:
        if q == 3.0:
            np.multiply(s, s, out=t)
            np.multiply(s, t, out=s)
        else:
            if q > 2.0:
                np.sqrt(s, out=t)
            if q == 2.25:
                np.sqrt(t, out=t)
            np.multiply(s, s, out=s)
            if q > 2.0:
                np.multiply(s, t, out=s)
        np.divide(scale, s, out=s)

    return _in_place(raise_and_scale, q)


def by_law(beam: Beam, frame: Matrix | None = None) -> Loop:
    """I(θ, φ) h/r³ as the beam itself tells it, for modules that all point one way; c is the flux over h².

    Parameters
    ----------
    beam : Beam
    frame : (3, 3), optional
        The way they point; upright unless said.
    """

    def loop(x: Vector, y: Vector, sx: Vector, sy: Vector, h: Vector, c: Vector) -> Vector:
        E = np.zeros_like(x)
        for k in range(sx.size):
            dx, dy = x - sx[k], y - sy[k]
            r = np.sqrt(dx * dx + dy * dy + h[k] ** 2)
            if frame is None:
                a, b, w = dx, dy, np.full_like(x, h[k])
            else:
                a, b, w = (row[0] * dx + row[1] * dy + row[2] * h[k] for row in frame)
            told = beam.intensity(np.arccos(np.clip(w / r, -1, 1)), np.arctan2(b, a))
            E += np.where(w > 0, c[k] * h[k] ** 3 * told / r**3, 0.0)
        return E

    return loop
