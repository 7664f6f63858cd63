"""Which dead module hurts most: every module off in turn, by linearity."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.search.built_light import lit_signs
from lumsim.search.outcomes import Outcome, as_it_stands
from lumsim.search.spread import Spread
from lumsim.search.trying import Trials, Tried
from lumsim.search.twins import twins
from lumsim.simulation import Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["DeadModule", "DeadPart", "WorstDead", "dead_of", "dead_parts", "without_module", "worst_dead_of"]

MODULES_AT_ONCE = 25
"""Of one part. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadPart:
    """Some modules that are dead in turn: what one worker does at a time."""

    cabinet: Cabinet
    requirement: Requirement
    lighting: Lighting
    ageing: Ageing | None
    modules: tuple[int, ...]
    """from 0"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadModule(Outcome):
    """The drawing with one module dead."""

    module: int
    """from 0"""
    alike: tuple[int, ...]
    """this one and those in mirror image, which hurt as much"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstDead:
    """Every module dead in turn."""

    tried: tuple[DeadModule, ...]
    """those that are no other's mirror image, the worst first"""
    finished: bool
    """whether every module was come to"""

    @property
    def worst(self) -> DeadModule:
        """The one that hurts most."""
        return self.tried[0]


def dead_parts(
    cabinet: Cabinet, requirement: Requirement, *, lighting: Lighting, ageing: Ageing | None = None
) -> tuple[DeadPart, ...]:
    """Cut the modules of a cabinet into parts; of those in mirror image one stands for all.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement
    lighting : Lighting
    ageing : Ageing, optional

    Returns
    -------
    tuple of DeadPart
        None for a cabinet of a single module.
    """
    alone = twins(cabinet).alone.tolist()
    if cabinet.modules < 2:
        return ()
    return tuple(
        DeadPart(
            cabinet=cabinet,
            requirement=requirement,
            lighting=lighting,
            ageing=ageing,
            modules=tuple(alone[first : first + MODULES_AT_ONCE]),
        )
        for first in range(0, len(alone), MODULES_AT_ONCE)
    )


def dead_of(part: DeadPart) -> tuple[DeadModule, ...]:
    """Judge the drawing with each of some modules dead in turn; by linearity, extremes over the whole face.

    Parameters
    ----------
    part : DeadPart
    """
    trials = Trials(group=0, requirement=part.requirement, lighting=part.lighting, ageing=part.ageing)
    stands_for = twins(part.cabinet).first
    found = []
    for module in part.modules:
        tried = without_module(trials, part.cabinet, module)
        found.append(
            DeadModule(
                module=module,
                alike=tuple(int(one) for one in np.nonzero(stands_for == module)[0]),
                **as_it_stands(tried),
            )
        )
    return tuple(found)


def without_module(trials: Trials, cabinet: Cabinet, module: int) -> Tried:
    """Judge a cabinet with one module dead: its light is taken away from that of all, extremes over the whole face.

    Parameters
    ----------
    trials : Trials
    cabinet : Cabinet
        With all its modules alight.
    module : int
        From 0.
    """

    def lit(state: Cabinet) -> list[tuple[Side, Mapping[str, float], None]]:
        signs = lit_signs(state, Spread(), trials.requirement, lighting=trials.lighting)
        return [(side, numbers, None) for side, numbers in signs.without(module).items()]

    return trials.judged(cabinet, lit)


def worst_dead_of(parts: Sequence[DeadPart], results: Mapping[int, Sequence[DeadModule]]) -> WorstDead | None:
    """Put dead modules together, however many of them were come to.

    Parameters
    ----------
    parts : sequence of DeadPart
        As ``dead_parts`` cut them.
    results : mapping
        What ``dead_of`` gave, by the number of its part.

    Returns
    -------
    WorstDead or None
        None where none was come to.
    """
    found = [one for number in sorted(results) for one in results[number]]
    if not found:
        return None
    return WorstDead(
        # Equals to nine digits stay in the cabinet's order, whatever rounding makes of them.
        tried=tuple(sorted(found, key=lambda one: (-float(f"{one.excess:.9g}"), one.module))),
        finished=len(results) == len(parts),
    )
