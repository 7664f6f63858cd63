"""Where the lumens went: at each surface, arriving = absorbed + thrown back + through."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.errors import BalanceError
from lumsim.light.exchange import Exchange
from lumsim.light.interreflection import Interreflection, reflectances

__all__ = ["BALANCE", "SURFACE", "FluxLedger", "balanced_arrivals", "book"]

BALANCE = 1e-6
"""The largest share of the lumens that may be unaccounted for, and of a patch's factors from adding up to 1. [1]"""

SURFACE: dict[Side, str] = {"front": "face", "rear": "back"}
"""Which of ``Surfaces`` is the face on a side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FluxLedger:
    """Where the lumens went."""

    emitted: float
    """by the modules [lm]"""
    through_face: float
    """out through the whole face, sheet and film, return to return; through both where there are two [lm]"""
    leaving_visible_face: float
    """of these, through the part that the retainer leaves free [lm]"""
    absorbed_face: float
    """in the sheet of the face, or of both [lm]"""
    absorbed_back: float
    """in the back; 0 where there is none [lm]"""
    absorbed_left_return: float
    """[lm]"""
    absorbed_right_return: float
    """[lm]"""
    absorbed_bottom_return: float
    """[lm]"""
    absorbed_top_return: float
    """[lm]"""
    not_followed: float
    """thrown back by faces and returns, where only direct light is followed; else 0 [lm]"""
    absorbed_modules: float = 0.0
    """in the modules themselves: what they send behind the surface that they lie flat on [lm]"""
    absorbed_film: float = 0.0
    """in the film before the face, or before both; 0 where there is none [lm]"""

    @property
    def absorbed_returns(self) -> float:
        """In the four returns together. [lm]"""
        return math.fsum(
            (
                self.absorbed_left_return,
                self.absorbed_right_return,
                self.absorbed_bottom_return,
                self.absorbed_top_return,
            )
        )

    @property
    def balance_error(self) -> float:
        """What is unaccounted for, as a share of what was emitted. [1]"""
        booked = (
            self.through_face
            + self.absorbed_film
            + self.absorbed_face
            + self.absorbed_back
            + self.absorbed_returns
            + self.absorbed_modules
            + self.not_followed
        )
        return abs(booked - self.emitted) / self.emitted

    def scaled(self, factor: float) -> FluxLedger:
        """Return the same shares of a factor times the lumens."""
        return FluxLedger(**{field.name: getattr(self, field.name) * factor for field in fields(self)})


def balanced_arrivals(exchange: Exchange, balanced: Interreflection) -> dict[str, float]:
    """Flux on each surface, direct and thrown back, by the names of ``Surfaces``, in lumens.

    Parameters
    ----------
    exchange : Exchange
    balanced : Interreflection
        Of the same box.
    """
    fluxes = balanced.illuminance.each(np.multiply, exchange.areas)
    return {name: float(values.sum()) for name, values in fluxes._asdict().items()}


def book(
    cabinet: Cabinet,
    arriving: Mapping[str, float],
    visible: Mapping[Side, float],
    *,
    absorbed_modules: float,
    followed: bool,
) -> FluxLedger:
    """Book the light.

    Parameters
    ----------
    cabinet : Cabinet
    arriving : mapping
        Flux on each surface, by the names of ``Surfaces``. [lm]
    visible : mapping
        Of it, on the visible part of each side's face. [lm]
    absorbed_modules : float
        What the modules keep of their own light. [lm]
    followed : bool
        Whether it holds the light thrown back; else what would be thrown back is booked as not followed.

    Raises
    ------
    BalanceError
        Where the lumens do not balance, which is a fault of lumsim.
    """
    rho = {name: float(value) for name, value in reflectances(cabinet)._asdict().items()}
    kept = {name: (1 - rho[name]) * arriving[name] for name in arriving}
    faces = cabinet.faces
    ledger = FluxLedger(
        emitted=float(np.sum(cabinet.emitters().flux)),
        through_face=math.fsum(face.outward_transmittance * arriving[SURFACE[side]] for side, face in faces),
        leaving_visible_face=math.fsum(face.outward_transmittance * visible[side] for side, face in faces),
        absorbed_film=math.fsum(face.film_absorptance * arriving[SURFACE[side]] for side, face in faces),
        absorbed_face=math.fsum(face.absorptance * arriving[SURFACE[side]] for side, face in faces),
        absorbed_modules=absorbed_modules,
        absorbed_back=0.0 if cabinet.double_sided else kept["back"],
        absorbed_left_return=kept["left"],
        absorbed_right_return=kept["right"],
        absorbed_bottom_return=kept["bottom"],
        absorbed_top_return=kept["top"],
        not_followed=0.0 if followed else math.fsum(rho[name] * arriving[name] for name in arriving),
    )
    if not ledger.balance_error < BALANCE:
        raise BalanceError(
            f"the lumens do not balance: {ledger.balance_error:.3g} of them is unaccounted for; "
            "this is a fault of lumsim, please report it with the study"
        )
    return ledger
