"""A programme of cutting solved by itself, to see what it knows."""

from __future__ import annotations

import time

from lumsim.sheet.cut_lengths import Demand, first_fit_cuts
from lumsim.sheet.cut_programme import Programme, Reached, improved

__all__ = ["solved"]


def solved(programme: Programme | None, demand: Demand) -> Reached:
    """Return what a programme makes of first fit."""
    assert programme is not None
    hand = Reached(
        cuts=first_fit_cuts(demand), least_rolls=demand.least_rolls, least_joints=demand.least_joints
    )
    return improved(programme, demand, hand, until=time.monotonic() + 20, step=lambda what: None)
