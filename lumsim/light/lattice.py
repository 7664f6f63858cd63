"""Light on a lattice of points from rows of sources that all cast the same light.

Every source of a row sees the lattice's lines beside it in the same way, only from its own place. So the light that
one of them casts along those lines is computed once, at nodes, and what all of them cast is summed from there::

    ··|··|··|··|··|··|··   a line of points                u = dx/h = sinh(kt)/k
        ╲   |   ╱                                          nodes: evenly in t, so as close as the light is fine
    ─────S──S──S──S─────   a row: one curve, moved         near the foot, and in proportion to u far from it

Rows whose sources stand in the same places share those sums: their curves are added up first. Across the rows nothing
is interpolated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Alike", "Kernel", "light_of_rows", "node_step"]

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Light = Callable[[Array, Array, Indices], Array]
"""x, y and which of the sources → illuminance from those together"""

Kernel = Callable[[Array, Array, Array, Array, Array, Array], Array]
"""x, y, feet, throws and strengths of sources that differ in nothing else → illuminance from all of them"""

NODES_PER_DETAIL = 16
"""Nodes for each finest detail of the light: the cubics between them miss a cosine power's by 1e-5 of its peak. [1]"""

UPRIGHT, ASLANT = 3.0, 2.0
"""How many times as wide apart nodes are far away, in proportion to the distance; light of a beam that is aslant bends
there where its horizon is. [1]"""

KINK = 0.01
"""Change of slope times the distance of nodes, of the peak: kinks so small are missed by less than 1e-3 of it. [1]"""

GAIN = 2
"""Points times sources for each node from which rows are summed by their curves. [1]"""


def node_step(sharpness: float, kink: float = 0.0) -> float:
    """How far nodes are apart near the foot, in throws.

    Parameters
    ----------
    sharpness : float
        Of the beam, see ``Beam.sharpness``. [1]
    kink : float
        Its largest change of slope, of its peak. [1/rad]
    """
    smooth = 1 / (NODES_PER_DETAIL * math.sqrt(sharpness + 3))
    return min(smooth, KINK / kink) if kink > 0 else smooth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Alike:
    """Sources that differ in place and strength alone, one array element each."""

    x: Array
    """(n,) [m]"""
    y: Array
    """(n,) [m]"""
    h: Array
    """(n,) throw [m]"""
    strength: Array
    """(n,) in what the kernel takes: lumens, or candela on the axis"""
    kernel: Kernel
    step: float | None
    """between nodes, see ``node_step``; None where all are summed point by point"""
    aslant: bool
    """whether they do not shine straight at the lattice"""

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at (n,) points of the face. [lx]"""
        return self.kernel(x, y, self.x, self.y, self.h, self.strength)

    def on_lattice(self, x: Array, y: Array) -> Array:
        """Illuminance at (nx,) columns by (ny,) lines, rows by ``light_of_rows``, all others point by point. [lx]"""
        total = np.zeros((len(y), len(x)))
        left = np.ones(len(self.x), dtype=bool)
        if self.step is not None:
            total, done = light_of_rows(
                x,
                y,
                self.x,
                self.y,
                self.h,
                self.strength,
                step=self.step,
                aslant=self.aslant,
                light=self._of_strength_one,
            )
            left = ~done
        if left.any():
            at_x, at_y = (one.ravel() for one in np.meshgrid(x, y))
            some = self.kernel(at_x, at_y, self.x[left], self.y[left], self.h[left], self.strength[left])
            total += some.reshape(total.shape)
        return total

    def _of_strength_one(self, x: Array, y: Array, which: Indices) -> Array:
        return self.kernel(x, y, self.x[which], self.y[which], self.h[which], np.ones(len(which)))


def light_of_rows(
    x: Array,
    y: Array,
    sx: Array,
    sy: Array,
    h: Array,
    strength: Array,
    *,
    step: float,
    aslant: bool,
    light: Light,
) -> tuple[Array, NDArray[np.bool_]]:
    """Illuminance on a lattice from those sources that stand in rows.

    Parameters
    ----------
    x, y : (nx,) and (ny,)
        Columns and lines of the lattice. [m]
    sx, sy, h : (n,)
        Feet and throws of sources that differ in place and strength alone. [m]
    strength : (n,)
        [lm]
    step : float
        Between nodes near the foot, in throws, see ``node_step``. [1]
    aslant : bool
        Whether they do not shine straight at the lattice.
    light : callable
        (k,) x, (k,) y [m] and which of the sources → illuminance from those for strength one, together [lx/lm]

    Returns
    -------
    (ny, nx) array
        [lx]
    (n,) bool
        Which sources it is from; those that stand in no row long enough are left out.
    """
    across = [np.unique(np.stack([one, h]), axis=1).shape[1] for one in (sy, sx)]
    if across[0] > across[1]:

        def turned(y: Array, x: Array, which: Indices) -> Array:
            return light(x, y, which)

        E, done = light_of_rows(y, x, sy, sx, h, strength, step=step, aslant=aslant, light=turned)
        return np.ascontiguousarray(E.T), done

    far = ASLANT if aslant else UPRIGHT
    total = np.zeros((len(y), len(x)))
    done = np.zeros(len(sx), dtype=bool)
    for rows in _alike(sx, sy, h, strength):
        row = rows[0]
        throw = float(h[row[0]])
        t = np.arcsinh(far * (x[:, None] - sx[row]) / throw) / (far * step)
        first = np.floor(t.min()) - 1
        nodes = int(np.floor(t.max()) - first) + 3
        if GAIN * nodes > t.size:
            continue
        at = sx[row[0]] + throw * np.sinh(far * step * (first + np.arange(nodes))) / far
        columns, lines = np.meshgrid(at, y)
        curves = light(columns.ravel(), lines.ravel(), np.array([one[0] for one in rows]))
        total += curves.reshape(len(y), nodes) @ _weights(t - first, strength[row], nodes)
        done[np.concatenate(rows)] = True
    return total, done


def _alike(sx: Array, sy: Array, h: Array, strength: Array) -> list[list[Indices]]:
    """Rows of sources, those together that have their sources in the same places at the same throw and strength."""
    order = np.lexsort((strength, sx, sy, h))
    ends = np.flatnonzero((np.diff(sy[order]) != 0) | (np.diff(h[order]) != 0)) + 1
    found: dict[bytes, list[Indices]] = {}
    for row in np.split(order, ends):
        key = b"".join(one[row].tobytes() for one in (h, sx, strength))
        found.setdefault(key, []).append(row)
    return list(found.values())


def _weights(t: Array, strength: Array, nodes: int) -> Array:
    """What each node counts for each point: Lagrange's cubics through the four nodes about t; (nodes, n)."""
    node = np.floor(t).astype(np.intp)
    f = t - node
    past, ahead, beyond = f + 1, f - 1, f - 2
    cubics = [
        -f * ahead * beyond / 6,
        past * ahead * beyond / 2,
        -past * f * beyond / 2,
        past * f * ahead / 6,
    ]
    n, number = len(t), np.arange(len(t))[:, None]
    places = np.stack([(node + offset) * n + number for offset in (-1, 0, 1, 2)])
    values = np.stack([cubic * strength for cubic in cubics])
    flat = np.bincount(places.ravel(), values.ravel(), minlength=nodes * n)
    return np.asarray(flat.reshape(nodes, n), dtype=np.float64)
