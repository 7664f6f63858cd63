"""What is good enough, and by how much a face meets it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lumsim.errors import InputError

if TYPE_CHECKING:
    # A study is read, and a beam told of, also where nothing is lit, and then no loop should be compiled for it.
    from lumsim.uniformity.evenness import Evenness

__all__ = [
    "LIMITS",
    "MOST_LUMINANCE",
    "Judged",
    "Requirement",
    "Verdict",
    "judge",
    "judge_numbers",
    "measured",
    "names_asked",
    "standing",
    "tightest_of_each",
]

LIMITS = {
    "max_to_min": "at most",
    "stripe_max_to_min": "at most",
    "edge_dimming": "at most",
    "hot_spot_contrast": "at most",
    "coefficient_of_variation": "at most",
    "min_to_mean": "at least",
    "max_luminance": "at most",
    "min_luminance": "at least",
    "darkest_luminance": "at least",
}
"""Each number that can be limited, and from which side."""

_MEASURED = {"max_luminance": "mean", "min_luminance": "mean"}
"""Limits that are not named after the number of ``Evenness`` that they limit."""

MOST_LUMINANCE = 1e9
"""The largest luminance that can be asked for. [cd/m²]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """Limits, each optional, judged on luminance along the face's normal; and how to look."""

    max_to_min: float | None = None
    """highest over lowest luminance, at most [1]"""
    stripe_max_to_min: float | None = None
    """the stripes number, at most [1]"""
    edge_dimming: float | None = None
    """middle over darkest edge, at most [1]"""
    hot_spot_contrast: float | None = None
    """greatest contrast of a stripe or a dot, at most [1]"""
    coefficient_of_variation: float | None = None
    """at most [1]"""
    min_to_mean: float | None = None
    """lowest over mean luminance, at least [1]"""
    max_luminance: float | None = None
    """mean luminance of the visible face at full output, at most [cd/m²]"""
    min_luminance: float | None = None
    """mean luminance of the visible face at full output, at least [cd/m²]"""
    darkest_luminance: float | None = None
    """lowest luminance of the visible face at full output, at least [cd/m²]"""
    wanted_luminance: float | None = None
    """mean luminance whose lumens are to be told; nothing is judged by it [cd/m²]"""
    stripe_window: float | None = None
    """side of the averaging square; None: one row pitch [m]"""
    spot_contrast: float = 0.02
    """least contrast of a hot or dark spot or a stripe [1]"""

    def __post_init__(self) -> None:
        for name in ("max_to_min", "stripe_max_to_min", "edge_dimming"):
            limit = getattr(self, name)
            if limit is not None and not 1 <= limit < 1e6:
                raise InputError(f"{name} cannot be below 1, got {limit:g}; 1 is perfectly even")
        if self.hot_spot_contrast is not None and not 0 <= self.hot_spot_contrast <= 1:
            raise InputError(
                f"hot_spot_contrast must be from 0 to 1, got {self.hot_spot_contrast:g}; 0 is perfectly even"
            )
        if self.coefficient_of_variation is not None and not 0 <= self.coefficient_of_variation < 1e6:
            raise InputError(
                f"coefficient_of_variation cannot be below 0, got {self.coefficient_of_variation:g}"
            )
        if self.min_to_mean is not None and not 0 < self.min_to_mean <= 1:
            raise InputError(
                f"min_to_mean must be above 0 and at most 1, got {self.min_to_mean:g}; 1 is perfectly even"
            )
        for name in ("max_luminance", "min_luminance", "darkest_luminance", "wanted_luminance"):
            level = getattr(self, name)
            if level is not None and not 0 < level <= MOST_LUMINANCE:
                raise InputError(
                    f"{name} must be above 0 and at most {MOST_LUMINANCE:g} cd/m², got {level:g} cd/m²"
                )
        for name in ("min_luminance", "darkest_luminance"):
            least = getattr(self, name)
            if least is not None and self.max_luminance is not None and least > self.max_luminance:
                raise InputError(
                    f"{name} {least:g} cd/m² is above max_luminance {self.max_luminance:g} cd/m²: "
                    "no luminance meets both"
                )
        if self.stripe_window is not None and not 0 < self.stripe_window < 1e6:
            raise InputError(f"stripe_window must be more than 0 m, got {self.stripe_window:g} m")
        if not 0 < self.spot_contrast < 1:
            raise InputError(f"spot_contrast must be between 0 and 1, got {self.spot_contrast:g}")

    @property
    def limits(self) -> dict[str, float]:
        """The limits that are set, in the order of ``LIMITS``."""
        return {name: getattr(self, name) for name in LIMITS if getattr(self, name) is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One limit and how the face stands to it."""

    name: str
    actual: float
    limit: float
    met: bool
    """up to and including the limit, at full precision"""
    margin: float
    """how much worse the face might still be, as a share of itself: limit/actual − 1, or actual/limit − 1 for an
    "at least" [1]"""

    @property
    def to_spare(self) -> float:
        """How much is to spare, as a share of the limit; below 0 where it is missed. [1]"""
        if self.limit == 0:
            return 0.0 if self.met else -math.inf
        over = self.actual / self.limit - 1
        return -over if LIMITS[self.name] == "at most" else over


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Every limit judged."""

    judged: tuple[Judged, ...]

    @property
    def met(self) -> bool:
        """Whether every limit is met; true where there is none."""
        return all(one.met for one in self.judged)

    @property
    def tightest(self) -> Judged | None:
        """The limit with the least margin; None where there is none."""
        return min(self.judged, key=lambda one: one.margin, default=None)


def measured(even: Evenness, name: str) -> float:
    """The number that a limit of that name is set to.

    Parameters
    ----------
    even : Evenness
    name : str
        Of ``LIMITS``.
    """
    return float(getattr(even, _MEASURED.get(name, name)))


def judge(even: Evenness, requirement: Requirement) -> Verdict:
    """Hold a face's evenness against a requirement.

    Parameters
    ----------
    even : Evenness
    requirement : Requirement
    """
    return judge_numbers(
        {_MEASURED.get(name, name): measured(even, name) for name in requirement.limits}, requirement
    )


def names_asked(requirement: Requirement) -> tuple[str, ...]:
    """Which numbers a requirement's limits are set to, each once, by their names in ``Evenness``."""
    return tuple(dict.fromkeys(_MEASURED.get(name, name) for name in requirement.limits))


def judge_numbers(numbers: Mapping[str, float], requirement: Requirement) -> Verdict:
    """Hold numbers on a face's evenness against a requirement.

    Parameters
    ----------
    numbers : mapping
        By their names in ``Evenness``, at least ``names_asked``.
    requirement : Requirement
    """
    judged = []
    for name, limit in requirement.limits.items():
        actual = numbers[_MEASURED.get(name, name)]
        at_most = LIMITS[name] == "at most"
        margin = float("inf") if actual == 0 else (limit / actual if at_most else actual / limit) - 1
        judged.append(
            Judged(
                name=name,
                actual=actual,
                limit=limit,
                met=actual <= limit if at_most else actual >= limit,
                margin=margin,
            )
        )
    return Verdict(judged=tuple(judged))


def tightest_of_each(verdicts: Sequence[Verdict]) -> Verdict:
    """Of several verdicts by one requirement, each limit as it stands where it has the least to spare.

    Parameters
    ----------
    verdicts : sequence of Verdict
        At least one.
    """
    by_limit = zip(*(verdict.judged for verdict in verdicts), strict=True)
    return Verdict(judged=tuple(min(alike, key=lambda one: one.margin) for alike in by_limit))


def standing(max_to_min: float, verdict: Verdict) -> tuple[bool, float, float]:
    """How a face stands, to hold one against another: the lesser is the worse.

    By whether the requirement is met, then by the least margin; where nothing is required by max/min. To nine
    digits, so that faces lit alike are equals, whatever rounding makes of them.

    Parameters
    ----------
    max_to_min : float
        Of the face. [1]
    verdict : Verdict
        On the same face.
    """
    tightest = verdict.tightest
    margin, ratio = (0.0, -max_to_min) if tightest is None else (tightest.margin, 0.0)
    return verdict.met, round(margin, 9), round(ratio, 9)
