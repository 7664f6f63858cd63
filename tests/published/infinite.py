"""Infinite lattices by lumsim's own light: a finite block of modules, and what lies beyond it in closed form.

Beyond the block the lattice is as good as a uniform sheet: the light of what is left out is that sheet's less
the block's share, and by reciprocity that share is the flux which a module at the field point would cast on the
block's rectangle (``flux_on``). What the sheet gets wrong falls as R^−(m+3) with the block's half size R (the
midpoint rule's error on a tail that falls so), so two blocks, one three times the other, give it away
(Richardson): it is taken off, and what then remains falls two orders faster.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.closed import Wide
from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.sources import Sources, sources_of
from lumsim.light.direct import DirectLight, flux_on
from tests.cabinets import cosine_powers

Array = NDArray[np.float64]

THROW = 1.0
"""All lengths here are in throws."""

SIX_DIGITS = 50.0
"""Half size of the larger block that leaves less than 3e-8. [h]"""

TWELVE_DIGITS = 300.0
"""Half size of the larger block that leaves less than 1e-13. [h]"""

CONTINUOUS = 0.15
"""Module pitch at which a row cannot be told from a continuous one: T₁(2π/0.15) = 6e-18. [h]"""


def modules_at(x: Array, y: Array, *, m: float = 1.0, flux: float = 1.0) -> Sources:
    """Place alike modules at a throw of 1."""
    return sources_of(cosine_powers(x, y, flux=flux, exponent=m))


def light_at(sources: Sources, x: float, y: float) -> float:
    """Illuminance at one point, for modules at a throw of 1 [lx]."""
    return float(DirectLight(sources, THROW).illuminance(np.array([x]), np.array([y]))[0])


def _odd(size: float) -> int:
    return 2 * math.ceil(size / 2) + 1


def _with_sheet(x: float, y: float, *, a: float, b: float, m: float, counts: tuple[int, int]) -> float:
    """E/mean at a point, from a block of counts of modules around (0, 0) and a sheet beyond it."""
    nx, ny = counts
    sx, sy = np.meshgrid(a * (np.arange(nx) - nx // 2), b * (np.arange(ny) - ny // 2))
    block = light_at(modules_at(sx.ravel(), sy.ravel(), m=m), x, y) * a * b
    here = modules_at(np.array([x]), np.array([y]), m=m)
    rectangle = Rectangle(x0=-nx * a / 2, x1=nx * a / 2, y0=-ny * b / 2, y1=ny * b / 2)
    return block + 1 - flux_on(here, THROW, rectangle)


@cache
def lattice(x: float, y: float, *, a: float, b: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """E/mean of an infinite lattice of modules at (i a, j b), at one point [1].

    Parameters
    ----------
    x, y, a, b, reach : float
        Point, pitches, half size of the larger block. [h]
    m : float
        Exponent of the beam. [1]
    """
    small = (_odd(2 * reach / a / 3), _odd(2 * reach / b / 3))
    large = (3 * small[0], 3 * small[1])
    near = _with_sheet(x, y, a=a, b=b, m=m, counts=small)
    far = _with_sheet(x, y, a=a, b=b, m=m, counts=large)
    return far + (far - near) / (3 ** (m + 3) - 1)


def rows(y: float, *, pitch: float, m: float = 1.0, reach: float = SIX_DIGITS) -> float:
    """E/mean of infinitely many continuous rows, at y from one of them [1]."""
    return lattice(0.0, y, a=CONTINUOUS, b=pitch, m=m, reach=reach)


def hexagonal(x: float, y: float, *, pitch: float, m: float = 1.0) -> float:
    """E/mean of a triangular lattice: two rectangular ones, one in the middle of the other's cells [1]."""
    a, b = pitch, math.sqrt(3) * pitch
    return (lattice(x, y, a=a, b=b, m=m) + lattice(x - a / 2, y - b / 2, a=a, b=b, m=m)) / 2


class OfWideBeams:
    """An infinite lattice of modules of a wide beam at (i a, j b).

    The slower of the beam's two terms falls off like a Lambertian one, so that the same two blocks give away what
    the sheet gets wrong.

    Parameters
    ----------
    a, b, reach : float
        Pitches, half size of the larger block. [h]
    width : float
        Of the beam. [1]
    """

    def __init__(self, *, a: float, b: float, width: float, reach: float = 40.0) -> None:
        self._kind = Module(name="wide", lumens=1.0, beam=Wide(width=width))
        self._cell = a * b
        nx, ny = _odd(2 * reach / a / 3), _odd(2 * reach / b / 3)
        self._blocks = [self._block(a, b, nx, ny), self._block(a, b, 3 * nx, 3 * ny)]

    def _block(self, a: float, b: float, nx: int, ny: int) -> tuple[DirectLight, Rectangle]:
        sx, sy = np.meshgrid(a * (np.arange(nx) - nx // 2), b * (np.arange(ny) - ny // 2))
        light = DirectLight(self._sources(sx.ravel(), sy.ravel()), THROW)
        return light, Rectangle(x0=-nx * a / 2, x1=nx * a / 2, y0=-ny * b / 2, y1=ny * b / 2)

    def _sources(self, x: Array, y: Array) -> Sources:
        return sources_of(Emitters.upright(self._kind, x, y))

    def at(self, x: Array, y: Array) -> Array:
        """E/mean at (n,) points [1]."""
        near, far = (
            light.illuminance(x, y) * self._cell
            + 1
            - np.array(
                [flux_on(self._sources(x[i : i + 1], y[i : i + 1]), THROW, part) for i in range(len(x))]
            )
            for light, part in self._blocks
        )
        return np.asarray(far + (far - near) / (3**4 - 1), dtype=np.float64)
