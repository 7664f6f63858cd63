"""Sources whose light has a closed form: cosine powers and sums of them, shining straight at the face."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.sources import Sources
from lumsim.kernels import point_sources
from lumsim.light.lattice import Alike, Kernel, node_step

__all__ = ["Upright", "UprightLight", "upright_terms"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upright:
    """Cosine powers that shine straight at the face, one array element each; a beam of two terms is two of them."""

    x: Array
    """(n,) [m]"""
    y: Array
    """(n,) [m]"""
    z: Array
    """(n,) [m]"""
    flux: Array
    """(n,) below 0 where a term takes away from another [lm]"""
    exponent: Array
    """(n,) m of the cosine power [1]"""

    def __len__(self) -> int:
        return len(self.x)


def upright_terms(sources: Sources) -> tuple[Upright, Sources]:
    """The sources of closed form, by their terms, and all others.

    Parameters
    ----------
    sources : Sources
        As if the face that is looked at were at z = depth.
    """
    chosen = sources.upright & sources.closed
    fit = sources.only(chosen)
    parts = [
        (fit.only(fit.half == number), term)
        for number, half in enumerate(sources.halves)
        for term in half.beam.terms
    ]
    arrays = {
        name: np.concatenate([np.zeros(0), *(getattr(part, name) for part, _ in parts)])
        for name in ("x", "y", "z")
    }
    flux = np.concatenate([np.zeros(0), *(part.flux * term.share for part, term in parts)])
    exponent = np.concatenate([np.zeros(0), *(np.full(len(part), term.exponent) for part, term in parts)])
    return Upright(**arrays, flux=flux, exponent=exponent), sources.only(~chosen)


class UprightLight:
    """Illuminance on the face from cosine powers that shine straight at it.

    Each is a point with I(θ) = I₀ cosᵐθ on the face's side, its axis along the face's normal::

        ----P-------------  face        d  distance source to point
            │╲                          h  throw
          h │ ╲ d                       θ  angle at the source from its axis, and at the face from its normal
            │θ ╲
        ----┴---S---------  sources     E = I(θ) cos θ / d² = (I₀/h²) cos^(m+3) θ
    """

    def __init__(self, upright: Upright, depth: float) -> None:
        self._alike = []
        for m in np.unique(upright.exponent).tolist():
            chosen = upright.exponent == m
            self._alike.append(
                Alike(
                    x=upright.x[chosen],
                    y=upright.y[chosen],
                    h=depth - upright.z[chosen],
                    strength=CosinePower(exponent=m).peak_intensity(upright.flux[chosen]),
                    kernel=_kernel(m),
                    # All but odd powers take a root or a table for each point and source.
                    step=None if m % 2 == 1 else node_step(m),
                    aslant=False,
                )
            )

    def illuminance(self, x: Array, y: Array) -> Array:
        """Illuminance at (n,) points of the face. [lx]"""
        total = np.zeros(x.shape)
        for some in self._alike:
            total += some.illuminance(x, y)
        return total

    def on_lattice(self, x: Array, y: Array) -> Array:
        """Illuminance on the face at (nx,) columns by (ny,) lines. [lx]

        Odd exponents are summed source by source; rows of all others by curves, see ``lattice``.
        """
        total = np.zeros((len(y), len(x)))
        for some in self._alike:
            total += some.on_lattice(x, y)
        return total


def _kernel(m: float) -> Kernel:
    """Illuminance from sources of an exponent, by their intensities on the axis [cd]."""
    table = None if m.is_integer() else point_sources.power_table((m + 3) / 2)

    def kernel(x: Array, y: Array, sx: Array, sy: Array, h: Array, I0: Array) -> Array:
        c = I0 / h**2
        if m == 1:
            return point_sources.lambertian(x, y, sx, sy, h, c)
        if table is None:
            return point_sources.cosine_power_by_roots(x, y, sx, sy, h, c, round(m + 3))
        return point_sources.cosine_power_by_table(x, y, sx, sy, h, c, *table)

    return kernel
