"""Modules: one kind of them, and many of them placed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.photometry import LAMBERTIAN, CosinePower

__all__ = ["Emitters", "Module"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One kind of LED module, taken as a point of light."""

    name: str
    """what the study calls it"""
    lumens: float
    """flux of one module [lm]"""
    beam: CosinePower = LAMBERTIAN
    """how its intensity falls off from the axis"""
    watts: float | None = None
    """power of one module [W]"""
    volts: float | None = None
    """supply voltage [V]"""

    def __post_init__(self) -> None:
        if not 0 < self.lumens < 1e9:
            raise InputError(f"lumens must be more than 0 and below 1e9, got {self.lumens:g} lm")
        for name, unit in (("watts", "W"), ("volts", "V")):
            value = getattr(self, name)
            if value is not None and not 0 < value < 1e9:
                raise InputError(f"{name} must be more than 0 and below 1e9, got {value:g} {unit}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Emitters:
    """Modules placed in the cabinet, one array element each; their axes are at right angles to the face.

    A module shines forward, to the face at z = depth, with ``front_share`` of its flux, and backward with the
    rest, its beam mirrored. Light is computed one way at a time, from ``forwards()`` or ``backwards(depth)``.
    """

    x: NDArray[np.float64]
    """(n,) [m]"""
    y: NDArray[np.float64]
    """(n,) [m]"""
    z: NDArray[np.float64]
    """(n,) light-emitting point above the back, with two faces above the rear face [m]"""
    flux: NDArray[np.float64]
    """(n,) of the whole module [lm]"""
    exponent: NDArray[np.float64]
    """(n,) m of the cosine power [1]"""
    front_share: NDArray[np.float64]
    """(n,) of the flux goes forward, the rest backward; 1 on a back [1]"""

    def __len__(self) -> int:
        return len(self.x)

    def forwards(self) -> Emitters:
        """The modules that shine at the face at z = depth, each with the flux that it sends there."""
        return self._one_way(self.z, self.front_share)

    def backwards(self, depth: float) -> Emitters:
        """The modules that shine at the rear face, seen in a mirror: as if that face were at z = depth.

        Parameters
        ----------
        depth : float
            From the rear face to the face. [m]
        """
        return self._one_way(depth - self.z, 1 - self.front_share)

    def _one_way(self, z: NDArray[np.float64], share: NDArray[np.float64]) -> Emitters:
        that_way = share > 0
        return Emitters(
            x=self.x[that_way],
            y=self.y[that_way],
            z=z[that_way],
            flux=(self.flux * share)[that_way],
            exponent=self.exponent[that_way],
            front_share=np.ones(int(that_way.sum())),
        )

    @staticmethod
    def together(parts: list[Emitters]) -> Emitters:
        """All the modules of several groups, in their order."""
        return Emitters(
            **{name: np.concatenate([getattr(part, name) for part in parts]) for name in Emitters.__slots__}
        )
