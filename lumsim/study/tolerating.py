"""A study's sensitivity and tolerance: what the command line, notebooks and tests all call."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from lumsim.chunks import ALONE, Crew, in_chunks
from lumsim.search.dead import DeadModule, DeadPart, WorstDead, dead_of, dead_parts, worst_dead_of
from lumsim.search.sensitivity import SensitivityPart, Slopes, sensitivity_parts, slopes_of
from lumsim.search.tolerance import SignResult, SignsPart, Tolerance, signs_of, tolerance_of, tolerance_parts
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.reading import Study
from lumsim.study.spread import ToleranceAsked

__all__ = ["ToleranceAnswer", "part_of", "tolerance"]

Part = SensitivityPart | DeadPart | SignsPart
Result = Slopes | tuple[DeadModule, ...] | tuple[SignResult, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceAnswer:
    """How a study's numbers move, and how signs built from it stand."""

    own: Simulation
    """the study's own layout, simulated whole"""
    slopes: tuple[Slopes, ...]
    """of each quantity that was come to"""
    worst_dead: WorstDead | None
    """every module dead in turn; None for a single module, and where none was come to"""
    tolerance: Tolerance | None
    """None where signs do not differ by anything, and where none was come to"""
    asked: ToleranceAsked
    finished: bool
    """whether all was come to"""


def part_of(part: Part) -> Result:
    """Do one part, whichever kind it is.

    Parameters
    ----------
    part : SensitivityPart, DeadPart or SignsPart
    """
    if isinstance(part, SensitivityPart):
        return slopes_of(part)
    return dead_of(part) if isinstance(part, DeadPart) else signs_of(part)


def tolerance(
    study: Study,
    *,
    asked: ToleranceAsked | None = None,
    lighting: Lighting = ALL_LIGHT,
    crew: Crew = ALONE,
    progress: Callable[[float, str], None] | None = None,
) -> ToleranceAnswer:
    """Say how a study's numbers move, which dead module hurts most, and what share of built signs meets it.

    Stopped by Ctrl-C, what was come to is the answer.

    Parameters
    ----------
    study : Study
    asked : ToleranceAsked, optional
        How many signs, and what they differ in; as the study says unless given.
    lighting : Lighting
        How light is followed.
    crew : Crew
        Who does the work; the answer is the same.
    progress : callable, optional

    Raises
    ------
    InputError
        Where the cabinet cannot have that spread.
    """
    asked = study.tolerance if asked is None else asked
    given = (study.cabinet, study.requirement)
    slopes = sensitivity_parts(*given, lighting=lighting, ageing=study.ageing)
    dead = dead_parts(*given, lighting=lighting, ageing=study.ageing)
    signs: tuple[SignsPart, ...] = ()
    if asked.spread.any:
        signs = tolerance_parts(
            *given,
            asked.spread,
            signs=asked.signs,
            seed=asked.seed,
            lighting=lighting,
            ageing=study.ageing,
        )
    own = simulate(*given, lighting=lighting, ageing=study.ageing)
    parts: list[Part] = [*slopes, *dead, *signs]
    chunks = in_chunks(part_of, parts, crew=crew, progress=progress)

    def done(first: int, count: int) -> dict[int, Result]:
        """Results of some of the parts, numbered from 0."""
        return {number - first: one for number, one in chunks.done.items() if first <= number < first + count}

    judged = done(len(slopes) + len(dead), len(signs))
    return ToleranceAnswer(
        own=own,
        slopes=tuple(one for one in done(0, len(slopes)).values() if isinstance(one, Slopes)),
        worst_dead=worst_dead_of(dead, done(len(slopes), len(dead))),  # type: ignore[arg-type]
        tolerance=tolerance_of(signs, judged) if judged else None,  # type: ignore[arg-type]
        asked=asked,
        finished=chunks.finished,
    )
