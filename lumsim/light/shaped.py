"""Illuminance on the face from sources of any beam that point anywhere."""

from __future__ import annotations

import numpy as np

from lumsim.cabinet.sources import Half, Sources
from lumsim.kernels import shaped_sources
from lumsim.light.beam_tables import aimed_table_of, jumps, kink, upright_table_of
from lumsim.light.lattice import Alike, Kernel, node_step
from lumsim.light.surfaces import Array

__all__ = ["ShapedLight"]


class ShapedLight:
    """Illuminance on the face at z = depth from sources whose light has no closed form.

    Parameters
    ----------
    sources : Sources
    depth : float
        [m]
    """

    def __init__(self, sources: Sources, depth: float) -> None:
        lit = sources.only((sources.frames[:, 2, 2] > -1) & (depth - sources.z > 0))
        ways = np.column_stack([lit.half.astype(np.float64), lit.frames.reshape(-1, 9)])
        _, number = np.unique(ways, axis=0, return_inverse=True)
        self._alike = [
            _alike(lit.only(number.ravel() == way), depth) for way in range(number.max(initial=-1) + 1)
        ]

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at (n,) points of the face. [lx]"""
        total = np.zeros(x.shape)
        for some in self._alike:
            total += some.illuminance(x, y)
        return total

    def on_lattice(self, x: Array, y: Array) -> Array:
        """Illuminance on the face at (nx,) columns by (ny,) lines. [lx]

        Rows are summed by curves, see ``lattice``; sources in none and those whose light jumps are summed one by one.
        """
        total = np.zeros((len(y), len(x)))
        for some in self._alike:
            total += some.on_lattice(x, y)
        return total


def _alike(some: Sources, depth: float) -> Alike:
    half, frame = some.halves[some.half[0]], some.frames[0]
    upright, axial = bool(some.upright[0]), bool(some.axial[0])
    return Alike(
        x=some.x,
        y=some.y,
        h=depth - some.z,
        strength=some.flux,
        kernel=_upright(half)
        if upright and axial
        else _tilted(half, frame)
        if axial
        else _aimed(half, frame),
        step=None if jumps(half, to_horizon=not upright) else node_step(half.sharpness, kink(half)),
        aslant=not upright,
    )


def _upright(half: Half) -> Kernel:
    table = upright_table_of(half)
    return lambda x, y, sx, sy, h, flux: shaped_sources.upright(x, y, sx, sy, h, flux / h**2, table)


def _tilted(half: Half, frame: Array) -> Kernel:
    table = upright_table_of(half)

    def light(x: Array, y: Array, sx: Array, sy: Array, h: Array, flux: Array) -> Array:
        return shaped_sources.tilted(x, y, sx, sy, h, np.tile(frame[2], (len(sx), 1)), flux, table)

    return light


def _aimed(half: Half, frame: Array) -> Kernel:
    table = aimed_table_of(half)

    def light(x: Array, y: Array, sx: Array, sy: Array, h: Array, flux: Array) -> Array:
        return shaped_sources.aimed(x, y, sx, sy, h, np.tile(frame.ravel(), (len(sx), 1)), flux, table)

    return light
