"""How bright a lit face is against what is asked for: to what share to dim it, how many lumens it takes.

Light is linear in the lumens of the modules: the same box with the same layout and a factor times the lumens has a
factor times the luminance everywhere, and the same ratios.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import Literal

from lumsim.errors import InputError
from lumsim.simulation import LitFace, Simulation
from lumsim.uniformity.requirement import Judged, Requirement

__all__ = [
    "SQUARE_FOOT",
    "Level",
    "LumensNeeded",
    "State",
    "dim_share",
    "levels",
    "lumens_needed",
    "luminance_to_reach",
    "tightest_of",
]

State = Literal["new", "aged"]
"""Of a cabinet."""

SQUARE_FOOT = 0.09290304
"""Exactly, for a foot is 0.3048 m. [m²]"""

DIGITS = 3
"""Of the share to dim to. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One face in one state."""

    state: State
    lit: LitFace

    @property
    def mean(self) -> float:
        """Luminance of the visible face at full output. [cd/m²]"""
        return self.lit.evenness.mean


def levels(simulation: Simulation) -> tuple[Level, ...]:
    """Every face in every state, new before aged and front before rear."""
    states: list[tuple[State, Simulation]] = [("new", simulation)]
    if simulation.aged is not None:
        states.append(("aged", simulation.aged))
    return tuple(Level(state=state, lit=lit) for state, one in states for lit in one.faces)


def tightest_of(simulation: Simulation, name: str) -> tuple[Level, Judged] | None:
    """Where one limit has the least to spare, of all faces and states; None where it is not set.

    Parameters
    ----------
    simulation : Simulation
    name : str
        Of ``LIMITS``.
    """
    found = [
        (level, judged)
        for level in levels(simulation)
        for judged in level.lit.verdict.judged
        if judged.name == name
    ]
    return min(found, key=lambda one: one[1].margin, default=None)


def dim_share(mean: float, limit: float) -> float:
    """The share of full output at which a mean luminance is at most a limit, rounded down to three digits; at most 1.

    Parameters
    ----------
    mean : float
        At full output. [cd/m²]
    limit : float
        [cd/m²]
    """
    if not mean > limit:
        return 1.0
    share = Decimal(limit) / Decimal(mean)
    step = Decimal(1).scaleb(share.adjusted() + 1 - DIGITS)
    found = share.quantize(step, rounding=ROUND_FLOOR)
    # The product in floats may lie a digit above the limit where the share is exact.
    while float(found) * mean > limit:
        found -= step
    return float(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class LumensNeeded:
    """What a mean luminance takes in this box with this layout, in lumens of new modules."""

    luminance: float
    """mean, or lowest, of the darker face, of an aged cabinet when aged [cd/m²]"""
    total: float
    """[lm]"""
    per_area: float
    """for each square metre of one face, inside width by height [lm/m²]"""
    per_module: float
    """on average [lm]"""
    level: Level
    """the face and the state that it rests on"""

    @property
    def per_square_foot(self) -> float:
        """For each square foot of one face, inside width by height. [lm/ft²]"""
        return self.per_area * SQUARE_FOOT


def lumens_needed(
    simulation: Simulation, luminance: float, *, of: Literal["mean", "darkest_luminance"] = "mean"
) -> LumensNeeded:
    """Lumens for a luminance: those that there are, times what is wanted over what they give.

    Of two faces the darker one decides, of a cabinet new and aged the aged one.

    Parameters
    ----------
    simulation : Simulation
    luminance : float
        Wanted, above 0. [cd/m²]
    of : {"mean", "darkest_luminance"}
        Of the whole visible face, or of its darkest place.

    Raises
    ------
    InputError
        Where it is not above 0.
    """
    if not luminance > 0:
        raise InputError(f"a wanted luminance must be more than 0 cd/m², got {luminance:g} cd/m²")
    darkest = min(levels(simulation), key=lambda one: getattr(one.lit.evenness, of))
    total = simulation.ledger.emitted * luminance / getattr(darkest.lit.evenness, of)
    cabinet = simulation.cabinet
    return LumensNeeded(
        luminance=luminance,
        total=total,
        per_area=total / cabinet.whole_face.area,
        per_module=total / cabinet.modules,
        level=darkest,
    )


def luminance_to_reach(simulation: Simulation, requirement: Requirement) -> float | None:
    """The luminance that is wanted, or else the least that is required where it is missed; else None.

    Parameters
    ----------
    simulation : Simulation
    requirement : Requirement
        That it was judged by.
    """
    if requirement.wanted_luminance is not None:
        return requirement.wanted_luminance
    least = tightest_of(simulation, "min_luminance")
    return None if least is None or least[1].met else least[1].limit
