"""Modules: one kind of them, and many of them placed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN
from lumsim.cabinet.orientation import UPRIGHT, mirrored
from lumsim.errors import InputError

__all__ = ["MOST_LEDS", "Emitters", "Module", "led_places"]

MOST_LEDS = 100
"""Of one module. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One kind of LED module: a point of light, or several LEDs that are a point each."""

    name: str
    """what the study calls it"""
    lumens: float
    """flux of one module [lm]"""
    beam: Beam = LAMBERTIAN
    """how the intensity of each of its LEDs falls off from the axis"""
    watts: float | None = None
    """power of one module [W]"""
    volts: float | None = None
    """supply voltage [V]"""
    leds: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    """place of each LED from the module's middle, along the module and across it; they share the lumens [m]"""
    opening: tuple[float, float] | None = None
    """length and width of what shines of the module, or of one LED where there are several; None: not told [m]"""
    round_opening: bool = False
    """whether it is a disc or an ellipse"""

    def __post_init__(self) -> None:
        if not 0 < self.lumens < 1e9:
            raise InputError(f"lumens must be more than 0 and below 1e9, got {self.lumens:g} lm")
        for name, unit in (("watts", "W"), ("volts", "V")):
            value = getattr(self, name)
            if value is not None and not 0 < value < 1e9:
                raise InputError(f"{name} must be more than 0 and below 1e9, got {value:g} {unit}")
        if not 1 <= len(self.leds) <= MOST_LEDS:
            raise InputError(f"a module has from 1 to {MOST_LEDS} LEDs, got {len(self.leds)}")
        if len(set(self.leds)) < len(self.leds):
            raise InputError("two LEDs of a module are at the same place")
        if not all(math.isfinite(place) for led in self.leds for place in led):
            raise InputError("the place of an LED must be a length")
        if self.opening is not None and not min(self.opening) >= 0:
            raise InputError(
                f"what shines of a module cannot be less than 0 long, got {min(self.opening):g} m"
            )


def led_places(
    kind: Module, middles: NDArray[np.float64], frames: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Where the LEDs of modules of one kind are.

    Parameters
    ----------
    kind : Module
    middles : (n, 3)
        x, y and z of the modules. [m]
    frames : (n, 3, 3)
        See ``Emitters``.

    Returns
    -------
    (n, LEDs, 3)
        [m]
    """
    along, across = np.array(kind.leds).T[..., None]
    return np.asarray(middles[:, None] + along * frames[:, None, 0] + across * frames[:, None, 1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Emitters:
    """Modules placed in the cabinet, one array element each.

    A module shines the way its axis points with ``front_share`` of its flux, and with the rest as its mirror image
    midway along the depth would: on the back and on a return ``front_share`` is 1.
    """

    x: NDArray[np.float64]
    """(n,) [m]"""
    y: NDArray[np.float64]
    """(n,) [m]"""
    z: NDArray[np.float64]
    """(n,) light-emitting point above the back, with two faces above the rear face [m]"""
    flux: NDArray[np.float64]
    """(n,) of the whole module [lm]"""
    front_share: NDArray[np.float64]
    """(n,) of the flux goes the way the axis points, the rest mirrored backward; 1 on a back [1]"""
    frames: NDArray[np.float64]
    """(n, 3, 3) unit vectors: the beam's 0 degree direction, along the module; its 90 degree direction; its axis"""
    kind: NDArray[np.intp]
    """(n,) which of ``kinds`` each is"""
    kinds: tuple[Module, ...]
    """with their beams and LEDs; their lumens are those of ``flux`` only where nothing else is listed"""

    def __len__(self) -> int:
        return len(self.x)

    @property
    def places(self) -> NDArray[np.float64]:
        """(n, 3) x, y and z. [m]"""
        return np.stack([self.x, self.y, self.z], axis=-1)

    def mirrored(self, depth: float) -> Emitters:
        """The modules that shine at the rear face, seen in a mirror: as if that face were at z = depth.

        Parameters
        ----------
        depth : float
            From the rear face to the face. [m]
        """
        return Emitters(
            x=self.x,
            y=self.y,
            z=depth - self.z,
            flux=self.flux,
            front_share=self.front_share,
            frames=mirrored(self.frames),
            kind=self.kind,
            kinds=self.kinds,
        )

    def only(self, chosen: NDArray[np.bool_]) -> Emitters:
        """Those that are chosen, (n,)."""
        arrays = {name: getattr(self, name)[chosen] for name in Emitters.__slots__ if name != "kinds"}
        return Emitters(**arrays, kinds=self.kinds)

    @staticmethod
    def upright(
        kind: Module,
        x: NDArray[np.float64],
        y: NDArray[np.float64],
        *,
        z: NDArray[np.float64] | float = 0.0,
        flux: NDArray[np.float64] | float | None = None,
        front_share: float = 1.0,
        frame: NDArray[np.float64] = UPRIGHT,
    ) -> Emitters:
        """Modules of one kind at (n,) places, all pointing the same way, at the face unless said."""
        n = len(x)

        def each(value: NDArray[np.float64] | float) -> NDArray[np.float64]:
            return np.broadcast_to(np.asarray(value, dtype=np.float64), n).copy()

        return Emitters(
            x=each(x),
            y=each(y),
            z=each(z),
            flux=each(kind.lumens if flux is None else flux),
            front_share=each(front_share),
            frames=np.broadcast_to(frame, (n, 3, 3)).copy(),
            kind=np.zeros(n, dtype=np.intp),
            kinds=(kind,),
        )

    @staticmethod
    def together(parts: Sequence[Emitters]) -> Emitters:
        """All the modules of several groups, in their order."""
        starts = np.cumsum([0, *(len(part.kinds) for part in parts)])
        arrays = {
            name: np.concatenate([getattr(part, name) for part in parts])
            for name in Emitters.__slots__
            if name not in {"kind", "kinds"}
        }
        return Emitters(
            **arrays,
            kind=np.concatenate([part.kind + start for part, start in zip(parts, starts, strict=False)]),
            kinds=tuple(kind for part in parts for kind in part.kinds),
        )
