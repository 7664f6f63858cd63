"""Row pitch against depth: the widest row pitch at each of several depths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.chunks import ALONE, Crew, in_chunks
from lumsim.errors import InputError
from lumsim.search.layouts import least_depth, with_depth
from lumsim.search.row_pitch import PitchSearch, widest_row_pitch
from lumsim.search.trying import Progress
from lumsim.simulation import Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["pitch_against_depth", "refuse_shallow"]


def refuse_shallow(cabinet: Cabinet, depths: Sequence[float]) -> None:
    """Refuse depths that leave the modules no throw.

    Parameters
    ----------
    cabinet : Cabinet
    depths : sequence of float
        [m]

    Raises
    ------
    InputError
        Which names the first of them, and the least depth.
    """
    least = least_depth(cabinet, LEAST_THROW)
    for depth in depths:
        if not depth >= least:
            raise InputError(
                f"a depth of {depth * 1000:.4g} mm leaves no throw: these modules need one of at least "
                f"{least * 1000:.4g} mm"
            )


def pitch_against_depth(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    depths: Sequence[float],
    *,
    mark: Fraction,
    lighting: Lighting,
    ageing: Ageing | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> tuple[PitchSearch, ...]:
    """Search the widest row pitch at each depth, in the order given; after Ctrl-C those that were come to.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
        With at least one limit.
    depths : sequence of float
        [m]
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    lighting : Lighting
        How light is followed.
    ageing : Ageing, optional
        The requirement must be met by the cabinet aged too.
    crew : Crew
        Who does the work, a depth at a time; the answer is the same to the last byte.
    progress : callable, optional

    Raises
    ------
    InputError
        Where a depth leaves no throw.
    KeyboardInterrupt
        After Ctrl-C, where no depth was done yet.
    """
    refuse_shallow(cabinet, depths)
    parts = [
        _Part(
            cabinet=with_depth(cabinet, depth),
            group=group,
            requirement=requirement,
            mark=mark,
            lighting=lighting,
            ageing=ageing,
        )
        for depth in depths
    ]
    return tuple(in_chunks(_searched, parts, crew=crew, progress=progress, what="depth").done.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """One depth to search: what one worker does at a time."""

    cabinet: Cabinet
    """at that depth"""
    group: int
    requirement: Requirement
    mark: Fraction
    """[m]"""
    lighting: Lighting
    ageing: Ageing | None


def _searched(part: _Part) -> PitchSearch:
    """Search one depth to its end."""
    found = widest_row_pitch(
        part.cabinet,
        part.group,
        part.requirement,
        mark=part.mark,
        lighting=part.lighting,
        ageing=part.ageing,
    )
    if not found.finished:
        raise KeyboardInterrupt
    return found
