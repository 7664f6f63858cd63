"""Row pitch against depth: the widest row pitch at each of several depths."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
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
    progress: Progress | None = None,
) -> tuple[PitchSearch, ...]:
    """Search the widest row pitch at each depth, in the order given.

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
    progress : callable, optional

    Raises
    ------
    InputError
        Where a depth leaves no throw.
    """
    refuse_shallow(cabinet, depths)
    answers = []
    for number, depth in enumerate(depths):

        def part(share: float, what: str, number: int = number) -> None:
            if progress is not None:
                progress((number + share) / len(depths), f"depth {number + 1} of {len(depths)}, {what}")

        answers.append(
            widest_row_pitch(
                with_depth(cabinet, depth),
                group,
                requirement,
                mark=mark,
                lighting=lighting,
                ageing=ageing,
                progress=part,
            )
        )
    return tuple(answers)
