"""What a sign takes from the mains in a year, and what that costs.

    E = P / η · d · h · 365 / 1000

E: energy from the mains [kWh]; P: power that leaves the supplies with the sign at full light [W]; η: efficiency of the
supplies; d: the share of that power that it is dimmed to; h: hours a day. A year is taken as 365 days. η is one number:
that most supplies are worse at part load is left to the number that is given.

By hand: 40 W from supplies of efficiency 0.8 are 50 W from the mains; 10 h a day make 0.5 kWh a day and 182.5 kWh a
year, which cost 54.75 at 0.30 for each kWh.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from lumsim.errors import InputError

__all__ = ["DAYS_A_YEAR", "Running", "cost_a_year", "kwh_a_year"]

DAYS_A_YEAR: Final = 365
"""Leap years are not told apart. [d]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """How long a sign is lit, and what its energy costs.

    Raises
    ------
    InputError
        Where one of them cannot be.
    """

    hours_a_day: float
    """lit, in the mean of the year [h]"""
    efficiency: float
    """of the supplies: power they give over power they take [1]"""
    tariff: Decimal | None = None
    """for each kWh, in the study's currency; None: not told"""
    dimmed_to: float = 1.0
    """share of the power at full light, in the mean of the hours that it is lit [1]"""

    def __post_init__(self) -> None:
        if not 0 <= self.hours_a_day <= 24:
            raise InputError(f"a day has 0 to 24 hours, got {self.hours_a_day:g}")
        if self.tariff is not None and not (self.tariff.is_finite() and self.tariff >= 0):
            raise InputError(f"a tariff must be 0 or more for each kWh, got {self.tariff}")
        if not 0 < self.efficiency <= 1:
            raise InputError(
                f"the efficiency of supplies must be more than 0 and at most 1, got {self.efficiency:g}"
            )
        if not 0 < self.dimmed_to <= 1:
            raise InputError(
                f"a sign is dimmed to a share that is more than 0 and at most 1, got {self.dimmed_to:g}"
            )


def kwh_a_year(watts_from_supplies: float, running: Running) -> float:
    """Energy that a sign takes from the mains in 365 days. [kWh]

    Parameters
    ----------
    watts_from_supplies : float
        That leave all its supplies at full light: what modules take and wires lose. [W]
    running : Running

    Raises
    ------
    InputError
        For less than 0 W.
    """
    if not 0 <= watts_from_supplies < math.inf:
        raise InputError(f"supplies give 0 W or more, got {watts_from_supplies:g} W")
    mains = watts_from_supplies * running.dimmed_to / running.efficiency
    return mains * running.hours_a_day * DAYS_A_YEAR / 1000


def cost_a_year(watts_from_supplies: float, running: Running) -> Decimal | None:
    """What that energy costs in 365 days, in the study's currency; None without a tariff.

    Parameters
    ----------
    watts_from_supplies : float
        As for ``kwh_a_year``. [W]
    running : Running

    Raises
    ------
    InputError
        For less than 0 W.
    """
    kwh = kwh_a_year(watts_from_supplies, running)
    return None if running.tariff is None else Decimal(repr(float(kwh))) * running.tariff
