"""The least depth at which a cabinet's rows, as they are laid, meet a requirement."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.errors import InputError
from lumsim.search.layouts import least_depth, midway, on_marks, with_depth
from lumsim.search.scanning import first_settled
from lumsim.search.trying import (
    COARSE,
    Found,
    Progress,
    Trials,
    Tried,
    closest_of,
    first_on_marks,
    refuse_unlimited,
)
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["DepthSearch", "shallowest", "usual_range"]

SAMPLES = 25
"""Depths that are scanned, evenly in the logarithm of the throw. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthSearch(Found):
    """The least depth; to build, the least on the tape measure's marks that is no less."""

    least: float
    """that was looked at [m]"""
    most: float
    """[m]"""


def usual_range(cabinet: Cabinet) -> tuple[float, float]:
    """The depths that are looked at unless a study says: throws from a fifth to three of the widest row pitch.

    Parameters
    ----------
    cabinet : Cabinet

    Returns
    -------
    least, most : float
        [m]
    """
    pitches = [group.row_pitch for group in cabinet.groups if group.row_pitch is not None]
    throws = 2 if midway(cabinet, cabinet.emitters()).any() else 1
    foot = _foot(cabinet)
    pitch = max(pitches, default=(cabinet.box.depth - foot) / throws)
    least = max(foot + throws * pitch / 5, least_depth(cabinet, LEAST_THROW))
    return least, max(foot + throws * 3 * pitch, 1.5 * cabinet.box.depth)


def shallowest(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    *,
    least: float,
    most: float,
    mark: Fraction,
    lighting: Lighting = ALL_LIGHT,
    ageing: Ageing | None = None,
    progress: Progress | None = None,
) -> DepthSearch:
    """Search the least depth at which the rows, left where they are, meet a requirement.

    With a wide beam evenness is not monotone in the depth: the depths are scanned as ``scanning`` does, and a deeper
    cabinet than the answer need not meet the requirement. Stopped by Ctrl-C, the best so far is the answer.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows are told of, from 0.
    requirement : Requirement
        With at least one limit.
    least, most : float
        Depths to search between. [m]
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    lighting : Lighting
        How light is followed.
    ageing : Ageing, optional
        The requirement must be met by the cabinet aged too.
    progress : callable, optional

    Raises
    ------
    InputError
        Where the requirement sets no limit, or the least depth leaves no throw or is not below the most.
    """
    refuse_unlimited(requirement)
    needed = least_depth(cabinet, LEAST_THROW)
    if not least >= needed * (1 - 1e-12):
        raise InputError(
            f"a depth of {least * 1000:.4g} mm leaves no throw: these modules need one of at least "
            f"{needed * 1000:.4g} mm"
        )
    if not most > least:
        raise InputError(
            f"the least depth, {least * 1000:.4g} mm, must be below the most, {most * 1000:.4g} mm"
        )
    trials = Trials(group=group, requirement=requirement, lighting=lighting, ageing=ageing)
    looked: dict[float, Tried] = {}
    verified: dict[float, Tried] = {}
    foot = _foot(cabinet)
    samples = [float(foot + throw) for throw in np.geomspace(least - foot, most - foot, SAMPLES)]

    def looked_at(depth: Fraction | float) -> Tried:
        depth = float(depth)
        if depth not in looked:
            if progress is not None:
                progress(min(len(looked) / (2 * SAMPLES), 0.99), f"depth {len(looked) + 1}")
            looked[depth] = trials.look(with_depth(cabinet, depth))
        return looked[depth]

    def verify(depth: float) -> Tried:
        if depth not in verified:
            verified[depth] = trials.verify(with_depth(cabinet, depth))
        return verified[depth]

    answer: Tried | None = None
    buildable: Tried | None = None
    finished = True
    try:
        found = first_settled(
            lambda depth: looked_at(depth).excess,
            lambda depth: verify(depth).excess,
            samples,
            tolerance=1e-5,
            coarse=COARSE,
        )
        if found is not None:
            answer = verify(found)
            marks = on_marks(found, most, mark)
            buildable = first_on_marks(looked_at, lambda depth: verify(float(depth)), marks)
    except KeyboardInterrupt:
        if not looked:
            raise
        finished = False
    closest = None
    if answer is None:
        closest = verify(closest_of(looked.values(), lambda tried: tried.cabinet.box.depth).cabinet.box.depth)
    if progress is not None:
        progress(1.0, "done")
    tried = looked | verified
    return DepthSearch(
        least=least,
        most=most,
        exact=answer,
        buildable=buildable,
        closest=closest,
        tried=tuple(tried[depth] for depth in sorted(tried)),
        finished=finished,
    )


def _foot(cabinet: Cabinet) -> float:
    """Where throws are counted from: the highest light-emitting plane, of modules midway between two faces 0. [m]"""
    emitters = cabinet.emitters()
    stay = ~midway(cabinet, emitters)
    return float(np.max(emitters.z[stay], initial=0.0))
