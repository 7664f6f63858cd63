"""Limits of class 2 supplies for direct current, and how a supply's rating stands against them.

    volts            any load     rated volt-amperes    rated amperes
    up to 20         8 A          5.0 V                 5.0 A
    above 20 to 30   8 A          100                   100 / V
    above 30 to 60   150 / V      100                   100 / V

V is the greatest voltage of the supply's output; each output is limited by itself, and outputs are not joined in
parallel. This is information only: what class a supply is of stands on its label, and which rules hold is for a
licensed electrician and the local authority. Editions number the tables differently.

References
----------
.. [1] NEC chapter 9, table 11(B), supplies that are limited inherently; quoted in a post of an IEEE mailing list on
   electromagnetic compatibility. The last line is from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from lumsim.errors import InputError

__all__ = ["HIGHEST", "Class2Limits", "Class2Standing", "class_2_limits", "stand_against_class_2"]

HIGHEST = 60.0
"""Voltage up to which limits are known here. [V]"""

ROUNDING = 1e-12
"""Of a limit, by which a quotient may miss it. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Class2Limits:
    """What a class 2 supply of one voltage may be rated for and may give."""

    volts: float
    """the greatest of its output [V]"""
    amperes_under_any_load: float
    """what it stays below, into whatever it is joined to [A]"""
    rated_volt_amperes: float
    """the most on its label [VA]"""
    rated_amperes: float
    """the most on its label [A]"""
    mark: Literal["seen", "from memory"]
    """what the origin of these numbers is worth"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Class2Standing:
    """How a supply's rating stands against the limits of its voltage; current under any load is not known from it."""

    limits: Class2Limits
    rated_volt_amperes: float
    """[VA]"""
    rated_amperes: float
    """[A]"""
    exceeded: tuple[Literal["rated volt-amperes", "rated amperes"], ...]
    """the limits of the rating that it is above; empty where it keeps both"""


def class_2_limits(volts: float) -> Class2Limits:
    """Return the limits for supplies of a voltage.

    Parameters
    ----------
    volts : float
        The greatest of the output, more than 0 and up to ``HIGHEST``. [V]

    Raises
    ------
    InputError
        For a voltage that is none, and above ``HIGHEST``.
    """
    if not 0 < volts <= HIGHEST:
        raise InputError(
            f"limits of class 2 supplies are known here for more than 0 V and up to {HIGHEST:g} V of direct current, "
            f"got {volts:g} V"
        )
    if volts <= 20:
        return Class2Limits(
            volts=volts,
            amperes_under_any_load=8.0,
            rated_volt_amperes=5.0 * volts,
            rated_amperes=5.0,
            mark="seen",
        )
    return Class2Limits(
        volts=volts,
        amperes_under_any_load=8.0 if volts <= 30 else 150 / volts,
        rated_volt_amperes=100.0,
        rated_amperes=100 / volts,
        mark="seen" if volts <= 30 else "from memory",
    )


def stand_against_class_2(volts: float, watts: float, amperes: float | None = None) -> Class2Standing:
    """Tell which limits of class 2 a supply's rating keeps and which it is above: information, no judgement.

    A limit counts as kept up to and including it.

    Parameters
    ----------
    volts : float
        The greatest of its output. [V]
    watts : float
        That it is rated for; of direct current the volt-amperes too. [W]
    amperes : float, optional
        That it is rated for; watts over volts where not given. [A]

    Raises
    ------
    InputError
        For ratings that cannot be, and above ``HIGHEST``.
    """
    limits = class_2_limits(volts)
    if not 0 < watts < math.inf:
        raise InputError(f"the rated power of a supply must be more than 0 W, got {watts:g} W")
    if amperes is None:
        amperes = watts / volts
    if not 0 < amperes < math.inf:
        raise InputError(f"the rated current of a supply must be more than 0 A, got {amperes:g} A")
    exceeded: list[Literal["rated volt-amperes", "rated amperes"]] = []
    if watts > limits.rated_volt_amperes * (1 + ROUNDING):
        exceeded.append("rated volt-amperes")
    if amperes > limits.rated_amperes * (1 + ROUNDING):
        exceeded.append("rated amperes")
    return Class2Standing(
        limits=limits, rated_volt_amperes=watts, rated_amperes=amperes, exceeded=tuple(exceeded)
    )
