"""The fewest modules, watts or rows with which a cabinet meets a requirement."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.chunks import ALONE, Crew, in_chunks
from lumsim.errors import InputError
from lumsim.search.asked import FewestAsked
from lumsim.search.families import Family, families
from lumsim.search.layouts import on_marks
from lumsim.search.scanning import HOPELESS
from lumsim.search.trying import (
    COARSE,
    Found,
    Progress,
    Trials,
    Tried,
    closest_of,
    refuse_unlimited,
)
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["FewestSearch", "fewest"]

WORTH_IT = 1.15
"""Counts whose best look is at most this far above the limit are searched on by scipy.optimize. [1]"""

MOST_LOOKS = 80
"""For one pair of counts in that search. [1]"""

MOST_BUILDABLE = 60
"""Layouts on marks that are looked at for one pair of counts, those nearest to the best of all pitches. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FewestSearch(Found):
    """The fewest, with the most to spare of several with as few; to build, both pitches on whole marks.

    What was tried holds the best of each pair of counts, as it was looked at.
    """

    asked: FewestAsked
    looks: int
    """layouts that were looked at [1]"""


def fewest(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    asked: FewestAsked,
    *,
    mark: Fraction,
    lighting: Lighting = ALL_LIGHT,
    ageing: Ageing | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> FewestSearch:
    """Search the fewest modules, watts or rows of one group with which the cabinet meets a requirement.

    Counts are whole: every pair of a row count and a module count that the ranges allow is taken in order of what there
    are to be fewest of, in each direction, but none on which stripes that are limited could not be judged. Within a
    pair both pitches are free as far as the edge distances let them: looks spread over both show which pairs may do,
    and from the best of them scipy.optimize goes on (Nelder and Mead, for the worst of several limits has kinks). The
    first pair that does, looked at closely, is the answer; of several with as few, the one with most to spare. The
    buildable answer is the same among pitches on whole marks; it may need more modules. Nothing is taken for monotone,
    and nothing is drawn by chance. Stopped by Ctrl-C, the best so far is the answer.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
        With at least one limit.
    asked : FewestAsked
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    lighting : Lighting
        How light is followed.
    ageing : Ageing, optional
        The requirement must be met by the cabinet aged too.
    crew : Crew
        Who does the work, a pair of counts at a time; the answer is the same to the last byte.
    progress : callable, optional

    Raises
    ------
    InputError
        Where the requirement sets no limit, the ranges hold no layout, or watts are asked for of modules without any.
    """
    refuse_unlimited(requirement)
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    if asked.of == "watts" and rows.module.watts is None:
        raise InputError(
            f"the fewest watts are asked for, and the module {rows.module.name!r} has none: "
            f"give modules.{rows.module.name}.watts, or ask for the fewest modules"
        )
    parts = [
        _Part(family=family, requirement=requirement, mark=mark, lighting=lighting, ageing=ageing)
        for family in families(cabinet, group, requirement, asked)
    ]

    def enough(first: Sequence[_Done]) -> bool:
        """Whether there is one to build, and only such are left as need more."""
        built = min((one.key for one in first if one.buildable is not None), default=None)
        return built is not None and len(first) < len(parts) and parts[len(first)].family.counts.key > built

    chunks = in_chunks(
        _best_of, parts, crew=crew, progress=progress, what="row and module count", enough=enough
    )
    done = list(chunks.done.values())
    if progress is not None:
        progress(1.0, "done")

    def first(found: Callable[[_Done], Tried | None]) -> Tried | None:
        """The fewest, and of those with as few the one with most to spare."""
        answers = [(one.key, tried.excess, tried) for one in done if (tried := found(one)) is not None]
        return min(answers, key=lambda one: one[:2])[2] if answers else None

    exact, buildable = first(lambda one: one.exact), first(lambda one: one.buildable)
    closest = None
    if exact is None:
        trials = Trials(group=group, requirement=requirement, lighting=lighting, ageing=ageing)
        closest = trials.verify(closest_of((one.best for one in done), lambda tried: tried.modules).cabinet)
    return FewestSearch(
        asked=asked,
        exact=exact,
        buildable=buildable,
        closest=closest,
        tried=tuple(one.best for one in done),
        looks=sum(one.looks for one in done),
        finished=chunks.finished,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """One pair of counts to search: what one worker does at a time."""

    family: Family
    requirement: Requirement
    mark: Fraction
    """[m]"""
    lighting: Lighting
    ageing: Ageing | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Done:
    """What a pair of counts came to."""

    key: tuple[int, int]
    """of its counts [1]"""
    best: Tried
    """as it was looked at"""
    exact: Tried | None
    """the best, verified, or that on marks; None where neither meets the requirement"""
    buildable: Tried | None
    """the best with pitches on whole marks, verified; None where none of those looked at does"""
    looks: int
    """layouts [1]"""


_KEPT: dict[tuple[object, ...], Trials] = {}
"""The trials of the box searched last, whose exchange is worth keeping from one pair of counts to the next."""


def _best_of(part: _Part) -> _Done:
    """Search one pair of counts."""
    family = part.family
    asked = (family.cabinet.box, family.group, part.requirement, part.lighting, part.ageing)
    if asked not in _KEPT:
        _KEPT.clear()
        _KEPT[asked] = Trials(
            group=family.group, requirement=part.requirement, lighting=part.lighting, ageing=part.ageing
        )
    looks = _Looks(_KEPT[asked])
    at = _best_at(family, looks)
    best = looks.closest
    assert best is not None
    exact = buildable = None
    # Pitches on marks are among all pitches.
    if best.excess <= 1 + COARSE:
        whole = looks.trials.verify(family.laid(*at))
        buildable = _verified_on_marks(family, looks, at, part.mark)
        exact = whole if whole.verdict.met else buildable
    return _Done(key=family.counts.key, best=best, exact=exact, buildable=buildable, looks=looks.count)


class _Looks:
    """Quick looks, counted, and the closest of them."""

    def __init__(self, trials: Trials) -> None:
        self.trials = trials
        self.count = 0
        self.closest: Tried | None = None

    def __call__(self, cabinet: Cabinet) -> float:
        tried = self.trials.look(cabinet)
        self.count += 1
        if self.closest is None or tried.excess < self.closest.excess:
            self.closest = tried
        return tried.excess


def _best_at(family: Family, looks: _Looks) -> tuple[float, float]:
    """The row pitch and module pitch that do best: looks spread over both, then scipy.optimize. [m]"""
    rows, modules = (
        [float(low + (high - low) * Fraction(i, 4)) for i in range(5)] if high > low else [float(low)]
        for low, high in (family.row_pitch, family.module_pitch)
    )
    seen: dict[tuple[float, float], float] = {}

    def look(row_pitch: float, module_pitch: float) -> float:
        at = (row_pitch, module_pitch)
        if at not in seen:
            seen[at] = looks(family.laid(*at))
        return seen[at]

    middle = modules[len(modules) // 2]
    for row_pitch in rows[::2]:
        look(row_pitch, middle)
    if min(seen.values()) <= HOPELESS:
        for row_pitch in rows:
            for module_pitch in modules[::2]:
                look(row_pitch, module_pitch)
    starts = sorted(seen, key=lambda at: (seen[at], at))[:2]
    if seen[starts[0]] <= WORTH_IT and (len(rows) > 1 or len(modules) > 1):
        for start in starts:
            _descend(family, look, start)
    return min(seen, key=lambda one: (seen[one], one))


def _descend(family: Family, look: Callable[[float, float], float], start: tuple[float, float]) -> None:
    """Go down from a start as far as few looks lead."""
    bounds = [(float(low), float(high)) for low, high in (family.row_pitch, family.module_pitch)]
    free = [i for i, (low, high) in enumerate(bounds) if high > low]
    widths = [bounds[i][1] - bounds[i][0] for i in free]

    def down(shares: NDArray[np.float64]) -> float:
        at = list(start)
        for i, width, share in zip(free, widths, shares, strict=True):
            at[i] = min(max(bounds[i][0] + width * float(share), bounds[i][0]), bounds[i][1])
        return look(at[0], at[1])

    first = np.array([(start[i] - bounds[i][0]) / width for i, width in zip(free, widths, strict=True)])
    # A first simplex as wide as the looks are apart, inwards from an end.
    simplex = np.array(
        [first, *(first + step for step in np.eye(len(free)) * np.where(first < 0.5, 0.2, -0.2))]
    )
    minimize(
        down,
        first,
        method="Nelder-Mead",
        bounds=[(0.0, 1.0)] * len(free),
        options={"initial_simplex": simplex, "maxfev": MOST_LOOKS, "xatol": 1e-3, "fatol": 1e-5},
    )


def _verified_on_marks(
    family: Family, looks: _Looks, best: tuple[float, float], mark: Fraction
) -> Tried | None:
    """The best layout with both pitches on marks, lit whole; None where none of those looked at does. [m]"""
    rows, modules = (
        on_marks(low, high, mark) if high > low else [low]
        for low, high in (family.row_pitch, family.module_pitch)
    )
    near = sorted(
        ((row_pitch, module_pitch) for row_pitch in rows for module_pitch in modules),
        key=lambda at: math.hypot(*(float(one) / other - 1 for one, other in zip(at, best, strict=True))),
    )[:MOST_BUILDABLE]
    scanned = sorted((looks(family.laid(*at)), at) for at in near)
    for excess, at in scanned:
        if excess > 1 + COARSE:
            break
        tried = looks.trials.verify(family.laid(*at))
        if tried.verdict.met:
            return tried
    return None
