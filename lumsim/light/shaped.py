"""Illuminance on the face from sources of any beam that point anywhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.sources import Half, Sources
from lumsim.kernels import shaped_sources
from lumsim.light.beam_tables import aimed_table_of, jumps, kink, upright_table_of
from lumsim.light.lattice import light_of_rows, node_step
from lumsim.light.surfaces import Array

__all__ = ["ShapedLight"]


Kernel = Callable[[Array, Array, Array, Array, Array, Array], Array]
"""x, y, feet, throws, flux → E"""


class _Alike(NamedTuple):
    """Sources of one beam that point one way."""

    x: Array
    y: Array
    h: Array
    flux: Array
    step: float
    """between nodes, see ``lattice.node_step``"""
    aslant: bool
    stepped: bool
    """whether its light on the face jumps somewhere"""
    kernel: Kernel

    def of_one_lumen(self, x: Array, y: Array, which: NDArray[np.intp]) -> Array:
        """E/Φ from some of them together."""
        return self.kernel(x, y, self.x[which], self.y[which], self.h[which], np.ones(len(which)))


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
            total += some.kernel(x, y, some.x, some.y, some.h, some.flux)
        return total

    def on_lattice(self, x: Array, y: Array) -> Array:
        """Illuminance on the face at (nx,) columns by (ny,) lines. [lx]

        Sources in rows are summed by ``lattice.light_of_rows``, all others and those whose light jumps one by one.
        """
        total = np.zeros((len(y), len(x)))
        every_x, every_y = (one.ravel() for one in np.meshgrid(x, y))
        for some in self._alike:
            done = np.zeros(len(some.x), dtype=bool)
            if not some.stepped:
                E, done = light_of_rows(
                    x,
                    y,
                    some.x,
                    some.y,
                    some.h,
                    some.flux,
                    step=some.step,
                    aslant=some.aslant,
                    light=some.of_one_lumen,
                )
                total += E
            if not done.all():
                left = (one[~done] for one in (some.x, some.y, some.h, some.flux))
                total += some.kernel(every_x, every_y, *left).reshape(total.shape)
        return total


def _alike(some: Sources, depth: float) -> _Alike:
    half, frame = some.halves[some.half[0]], some.frames[0]
    upright, axial = bool(some.upright[0]), bool(some.axial[0])
    return _Alike(
        x=some.x,
        y=some.y,
        h=depth - some.z,
        flux=some.flux,
        step=node_step(half.sharpness, kink(half)),
        aslant=not upright,
        stepped=jumps(half, to_horizon=not upright),
        kernel=_upright(half)
        if upright and axial
        else _tilted(half, frame)
        if axial
        else _aimed(half, frame),
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
