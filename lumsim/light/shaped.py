"""Illuminance on the face from sources of any beam that point anywhere."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.sources import Sources
from lumsim.kernels import shaped_sources
from lumsim.light.beam_tables import aimed_table_of, upright_table_of
from lumsim.light.surfaces import Array

__all__ = ["ShapedLight"]

Words = NDArray[np.uint64]


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
        self._upright: list[tuple[Array, Array, Array, Array, Words]] = []
        self._tilted: list[tuple[Array, Array, Array, Array, Array, Words]] = []
        self._aimed: list[tuple[Array, Array, Array, Array, Array, Words]] = []
        for number, half in enumerate(lit.halves):
            straight = (lit.half == number) & lit.upright & lit.axial
            tilted = (lit.half == number) & ~lit.upright & lit.axial
            aimed = (lit.half == number) & ~lit.axial
            if straight.any():
                some = lit.only(straight)
                h = depth - some.z
                self._upright.append((some.x, some.y, h, some.flux / h**2, upright_table_of(half)))
            if tilted.any():
                some = lit.only(tilted)
                axes = np.ascontiguousarray(some.frames[:, 2])
                self._tilted.append((some.x, some.y, depth - some.z, axes, some.flux, upright_table_of(half)))
            if aimed.any():
                some = lit.only(aimed)
                frames = np.ascontiguousarray(some.frames.reshape(-1, 9))
                self._aimed.append((some.x, some.y, depth - some.z, frames, some.flux, aimed_table_of(half)))

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at (n,) points of the face. [lx]"""
        total = np.zeros(x.shape)
        for sx, sy, h, c, table in self._upright:
            total += shaped_sources.upright(x, y, sx, sy, h, c, table)
        for sx, sy, h, axes, flux, table in self._tilted:
            total += shaped_sources.tilted(x, y, sx, sy, h, axes, flux, table)
        for sx, sy, h, frames, flux, table in self._aimed:
            total += shaped_sources.aimed(x, y, sx, sy, h, frames, flux, table)
        return total
