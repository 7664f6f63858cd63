"""Tolerance: what share of the signs built from one drawing meets the requirement."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import binomtest

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.errors import InputError
from lumsim.search.built_light import lit_signs
from lumsim.search.outcomes import Outcome, as_it_stands
from lumsim.search.spread import Spread, draw, refuse_unfit
from lumsim.search.trying import Trials
from lumsim.simulation import Lighting
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.requirement import Requirement

__all__ = [
    "CONFIDENCE",
    "INTERVAL",
    "SIGNS_AT_ONCE",
    "SignResult",
    "SignsPart",
    "Tolerance",
    "signs_of",
    "tolerance_of",
    "tolerance_parts",
]

SIGNS_AT_ONCE = 25
"""Of one part, whoever does it and however many do: so every sign is computed in the same company. [1]"""

CONFIDENCE = 0.95
"""Of the interval about the share. [1]"""

INTERVAL = "Clopper-Pearson"
"""Which interval it is: never narrower than it claims, also about 0 and 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignsPart:
    """Some signs: what one worker does at a time."""

    cabinet: Cabinet
    """as it should be"""
    requirement: Requirement
    lighting: Lighting
    ageing: Ageing | None
    spread: Spread
    seed: int
    first: int
    """number of the first sign, from 1"""
    count: int
    """of signs [1]"""
    solved_anew: bool | None = None
    """see ``LitSigns``"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignResult(Outcome):
    """One built sign and how it stands to the requirement."""

    number: int
    """from 1"""
    dead: tuple[int, ...]
    """which modules, from 0"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Signs built from one drawing."""

    spread: Spread
    seed: int
    asked: int
    """signs [1]"""
    signs: tuple[SignResult, ...]
    """by their number"""
    judged: bool
    """whether anything is required"""

    @property
    def finished(self) -> bool:
        """Whether every sign was come to."""
        return len(self.signs) == self.asked

    @property
    def meeting(self) -> int:
        """Signs that meet the requirement. [1]"""
        return sum(one.met for one in self.signs)

    @property
    def share(self) -> float:
        """Of the signs, that meets the requirement. [1]"""
        return self.meeting / len(self.signs)

    @property
    def interval(self) -> tuple[float, float]:
        """Where the share of all signs ever built lies, at ``CONFIDENCE``, if they differ as assumed. [1]

        References
        ----------
        .. [1] C. J. Clopper, E. S. Pearson, Biometrika 26, 404 (1934): the exact interval (from memory), as computed by
           scipy.stats.
        """
        found = binomtest(self.meeting, len(self.signs)).proportion_ci(CONFIDENCE, method="exact")
        return float(found.low), float(found.high)

    @property
    def worst(self) -> SignResult:
        """The sign that stands worst; of equals the first."""
        return max(self.signs, key=lambda one: one.excess)

    def percentiles(self, name: str, shares: Sequence[float] = (0.05, 0.5, 0.95)) -> tuple[float, ...]:
        """Values of a number that such shares of the signs lie below.

        Parameters
        ----------
        name : str
            Of the signs' numbers.
        shares : sequence of float
            [1]
        """
        return tuple(float(one) for one in np.quantile([sign.numbers[name] for sign in self.signs], shares))


def tolerance_parts(
    cabinet: Cabinet,
    requirement: Requirement,
    spread: Spread,
    *,
    signs: int,
    seed: int,
    lighting: Lighting,
    ageing: Ageing | None = None,
    solved_anew: bool | None = None,
) -> tuple[SignsPart, ...]:
    """Cut the signs to draw into parts of ``SIGNS_AT_ONCE``.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    requirement : Requirement
    spread : Spread
    signs : int
        How many, 1 or more. [1]
    seed : int
        0 or more.
    lighting : Lighting
    ageing : Ageing, optional
    solved_anew : bool, optional
        See ``LitSigns``.

    Raises
    ------
    InputError
        Where signs do not differ at all, or the cabinet cannot have that spread.
    """
    if not spread.any:
        raise InputError(
            "built signs do not differ by anything: set a spread under [tolerance], such as flux_scatter = 0.05, "
            'placing = "1/8 in", row_sag = "1/8 in", depth = "1/8 in", bow = "1/4 in" or dead_modules = 1'
        )
    if signs < 1 or seed < 0:
        raise InputError(f"signs must be 1 or more and the seed 0 or more, got {signs} and {seed}")
    refuse_unfit(cabinet, spread)
    return tuple(
        SignsPart(
            cabinet=cabinet,
            requirement=requirement,
            lighting=lighting,
            ageing=ageing,
            spread=spread,
            seed=seed,
            first=first,
            count=min(SIGNS_AT_ONCE, signs - first + 1),
            solved_anew=solved_anew,
        )
        for first in range(1, signs + 1, SIGNS_AT_ONCE)
    )


def signs_of(part: SignsPart) -> tuple[SignResult, ...]:
    """Draw and judge some signs.

    Parameters
    ----------
    part : SignsPart
    """
    cabinet = part.cabinet
    signs = [
        draw(cabinet, part.spread, seed=part.seed, number=number)
        for number in range(part.first, part.first + part.count)
    ]
    numbers: dict[bool, list[dict[Side, dict[str, float]]]] = {}

    def seen(number: int, state: Cabinet) -> list[tuple[Side, Mapping[str, float], Evenness | None]]:
        is_aged = state is not cabinet
        if is_aged not in numbers:
            numbers[is_aged] = lit_signs(
                state, part.spread, part.requirement, lighting=part.lighting, solved_anew=part.solved_anew
            ).numbers(signs)
        return [(side, found, None) for side, found in numbers[is_aged][number].items()]

    trials = Trials(group=0, requirement=part.requirement, lighting=part.lighting, ageing=part.ageing)
    results = []
    for number, sign in enumerate(signs):
        tried = trials.judged(cabinet, lambda state, number=number: seen(number, state))  # type: ignore[misc]
        results.append(
            SignResult(
                number=sign.number,
                **as_it_stands(tried),
                dead=sign.dead,
            )
        )
    return tuple(results)


def tolerance_of(parts: Sequence[SignsPart], results: Mapping[int, Sequence[SignResult]]) -> Tolerance:
    """Put signs together, however many of them were come to.

    Parameters
    ----------
    parts : sequence of SignsPart
        As ``tolerance_parts`` cut them.
    results : mapping
        What ``signs_of`` gave, by the number of its part; at least one.
    """
    return Tolerance(
        spread=parts[0].spread,
        seed=parts[0].seed,
        asked=sum(part.count for part in parts),
        signs=tuple(sign for number in sorted(results) for sign in results[number]),
        judged=bool(parts[0].requirement.limits),
    )
