"""A study's search answered, question by question: what the command line, notebooks and tests all call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.chunks import ALONE, Crew, in_chunks
from lumsim.errors import InputError
from lumsim.light.interior import Interior
from lumsim.search.asked import FewestOf
from lumsim.search.depth import shallowest, usual_range
from lumsim.search.depths import pitch_against_depth, refuse_shallow
from lumsim.search.edge_distance import best_edge_distance
from lumsim.search.endless_rows import endless_rows_curve, endless_rows_limit
from lumsim.search.fewest import fewest
from lumsim.search.layouts import rows_to_vary
from lumsim.search.plane import Plane, evenly, plane_of, plane_parts, plane_row, usual_plane
from lumsim.search.row_pitch import PitchSearch, widest_row_pitch
from lumsim.search.trying import Found, Progress, refuse_unlimited
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.questions import MARK, Question, SearchAsked
from lumsim.study.reading import Study
from lumsim.whole_light import WholeLight

__all__ = [
    "PlaneAnswer",
    "SearchAnswer",
    "answers",
    "refuse_unanswerable",
    "search",
    "search_plane",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchAnswer:
    """One question and what was found."""

    question: Question
    group: int
    """whose rows were moved, from 0"""
    step: Fraction
    """what the layout to build is rounded to [m]"""
    found: Found
    verified: Simulation
    """the layout to build, or the one that came nearest, simulated whole"""
    own: Simulation
    """the study's own layout, simulated whole"""
    against_depth: tuple[PitchSearch, ...] = ()
    """the widest row pitch at each depth asked for"""
    finished: bool = True
    """whether the search was left to its end"""

    @property
    def at_depth(self) -> PitchSearch:
        """What was found of the widest row pitch at the study's own depth."""
        assert isinstance(self.found, PitchSearch)
        return self.found

    @property
    def met(self) -> bool:
        """Whether the layout to build meets the requirement."""
        return self.found.met


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneAnswer:
    """Evenness over row pitch and depth."""

    group: int
    """whose rows were moved, from 0"""
    plane: Plane
    own: Simulation
    """the study's own layout, simulated whole"""
    endless_limit: float
    """max/min of rows without end beside the requirement [1]"""
    endless_depths: tuple[float, ...]
    """at which they have it, for each pitch of the plane; nan where there is none, see ``endless_rows_curve`` [m]"""

    @property
    def met(self) -> bool:
        """Whether any point meets the requirement."""
        return any(point.met for row in self.plane.points if row is not None for point in row)

    @property
    def finished(self) -> bool:
        """Whether every depth was come to."""
        return self.plane.finished


def search(
    study: Study,
    question: Question = "pitch",
    *,
    asked: SearchAsked | None = None,
    whole_curve: bool = False,
    lighting: Lighting = ALL_LIGHT,
    own: Simulation | None = None,
    interior: Interior | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> SearchAnswer:
    """Answer one question of a study, other than the plane.

    Parameters
    ----------
    study : Study
    question : Question
    asked : SearchAsked, optional
        Between what lengths to look, and what to round to; as the study says unless given.
    whole_curve : bool
        For the widest row pitch try every pitch, not only down to the answer.
    lighting : Lighting
        How light is followed.
    own : Simulation, optional
        The study's own layout simulated whole, where it is known.
    interior : Interior, optional
        The exchange of the study's box, where it is known.
    crew : Crew
        Who searches further depths, and for the fewest; the answer is the same to the last byte.
    progress : callable, optional

    Raises
    ------
    InputError
        Where there is no limit, no group to move, or a length leaves no throw.
    """
    asked = study.search if asked is None else asked
    cabinet = study.cabinet
    group = rows_to_vary(cabinet, asked.group, units=study.units)
    if interior is None:
        interior = lighting.interior(cabinet.box)
    if question == "plane":
        raise InputError("the plane is no layout: ask for it by search_plane")

    def whole(one: Cabinet, known: Sequence[WholeLight] = ()) -> Simulation:
        return simulate(
            one,
            study.requirement,
            lighting=lighting,
            interior=interior if one.box == cabinet.box else None,
            ageing=study.ageing,
            known=known,
        )

    own = own or whole(cabinet)
    against_depth: tuple[PitchSearch, ...] = ()
    found: Found
    if question == "pitch":
        found, against_depth, finished = _pitches(
            study, group, asked, interior, whole_curve, lighting, crew, progress
        )
    else:
        found = _found(study, group, question, asked, lighting, crew, progress)
        finished = found.finished
    return SearchAnswer(
        question=question,
        group=group,
        step=asked.step,
        found=found,
        verified=whole(found.best.cabinet, found.best.light.lights),
        own=own,
        against_depth=against_depth,
        finished=finished,
    )


def _found(
    study: Study,
    group: int,
    question: Question,
    asked: SearchAsked,
    lighting: Lighting,
    crew: Crew,
    progress: Progress | None,
) -> Found:
    cabinet, requirement = study.cabinet, study.requirement
    if question == "depth":
        least, most = asked.depth_within or usual_range(cabinet)
        return shallowest(
            cabinet,
            group,
            requirement,
            least=least,
            most=most,
            mark=asked.step,
            lighting=lighting,
            ageing=study.ageing,
            progress=progress,
        )
    if question == "edge":
        rows = cabinet.groups[group]
        assert isinstance(rows, Rows)
        return best_edge_distance(
            cabinet,
            group,
            requirement,
            count=asked.edge.count or rows.rows.count,
            least_most=asked.edge.within,
            mark=asked.step,
            lighting=lighting,
            ageing=study.ageing,
            progress=progress,
        )
    assert question in {"modules", "watts", "rows"}
    of: FewestOf = "rows" if question == "rows" else "watts" if question == "watts" else "modules"
    return fewest(
        cabinet,
        group,
        requirement,
        replace(asked.fewest, of=of),
        mark=asked.step,
        lighting=lighting,
        ageing=study.ageing,
        crew=crew,
        progress=progress,
    )


def _pitches(
    study: Study,
    group: int,
    asked: SearchAsked,
    interior: Interior | None,
    whole_curve: bool,  # noqa: FBT001
    lighting: Lighting,
    crew: Crew,
    progress: Progress | None,
) -> tuple[PitchSearch, tuple[PitchSearch, ...], bool]:
    """The widest row pitch at the study's own depth, and at each other that is asked for; whether that is all."""
    cabinet = study.cabinet
    depths = tuple(depth for depth in asked.other_depths if depth != cabinet.box.depth)
    # Before minutes are spent on the study's own depth.
    refuse_shallow(cabinet, depths)
    own_share = 1 / (1 + len(depths))
    against: tuple[PitchSearch, ...] = ()

    def part(start: float, share: float) -> Progress | None:
        if progress is None:
            return None
        tell: Callable[[float, str], None] = progress
        return lambda done, what: tell(start + share * done, what)

    at_depth = widest_row_pitch(
        cabinet,
        group,
        study.requirement,
        mark=asked.step,
        whole_curve=whole_curve,
        lighting=lighting,
        interior=interior,
        ageing=study.ageing,
        progress=part(0.0, own_share),
    )
    if at_depth.finished and depths:
        with suppress(KeyboardInterrupt):
            against = pitch_against_depth(
                cabinet,
                group,
                study.requirement,
                depths,
                mark=asked.step,
                lighting=lighting,
                ageing=study.ageing,
                crew=crew,
                progress=part(own_share, 1 - own_share),
            )
    return at_depth, against, at_depth.finished and len(against) == len(depths)


def search_plane(
    study: Study,
    *,
    asked: SearchAsked | None = None,
    lighting: Lighting = ALL_LIGHT,
    own: Simulation | None = None,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> PlaneAnswer:
    """Light every point of the plane of row pitch and depth that a study asks for.

    Stopped by Ctrl-C, the depths that were come to are the answer.

    Parameters
    ----------
    study : Study
    asked : SearchAsked, optional
        Between what lengths; as the study says unless given.
    lighting : Lighting
        How light is followed.
    own : Simulation, optional
        The study's own layout simulated whole, where it is known.
    crew : Crew
        Who does the work; the answer is the same to the last byte.
    progress : callable, optional

    Raises
    ------
    InputError
        Where there is no group to move, or a depth leaves no throw.
    """
    asked = study.search if asked is None else asked
    cabinet = study.cabinet
    group = rows_to_vary(cabinet, asked.group, units=study.units)
    usual_pitches, usual = usual_plane(cabinet, group, mark=MARK[study.units])
    pitches = evenly(*(asked.plane.pitches or usual_pitches), asked.plane.pitch_count, mark=asked.step)
    span = asked.plane.depths or (Fraction(usual[0]), Fraction(usual[1]))
    depths = [float(depth) for depth in evenly(*span, asked.plane.depth_count, mark=asked.step)]
    parts = plane_parts(
        cabinet,
        group,
        study.requirement,
        pitches=pitches,
        depths=depths,
        lighting=lighting,
        ageing=study.ageing,
    )
    rows = in_chunks(plane_row, parts, crew=crew, progress=progress, what="depth").done
    if progress is not None:
        progress(1.0, "done")
    limit = endless_rows_limit(study.requirement)
    endless = endless_rows_curve(cabinet, group, limit, pitches, lighting=lighting)
    return PlaneAnswer(
        group=group,
        endless_limit=limit,
        endless_depths=tuple(float(depth) for depth in endless),
        plane=plane_of(parts, rows, depths),
        own=simulate(cabinet, study.requirement, lighting=lighting, ageing=study.ageing)
        if own is None
        else own,
    )


def answers(
    study: Study,
    asked: SearchAsked,
    *,
    whole_curve: bool = False,
    lighting: Lighting = ALL_LIGHT,
    crew: Crew = ALONE,
    progress_of: Callable[[Question], Progress | None] = lambda _: None,
) -> list[SearchAnswer | PlaneAnswer]:
    """Answer the questions asked of a study, one after the other, up to one that Ctrl-C stops.

    Parameters
    ----------
    study : Study
    asked : SearchAsked
        With at least one question.
    whole_curve : bool
        As of ``search``.
    lighting : Lighting
        How light is followed.
    crew : Crew
        Who does what can be shared out; the answer is the same to the last byte.
    progress_of : callable
        What is told of the progress of a question.

    Raises
    ------
    InputError
        As of ``search`` and ``search_plane``.
    """
    found: list[SearchAnswer | PlaneAnswer] = []
    interior = lighting.interior(study.cabinet.box)
    own: Simulation | None = None
    for question in asked.questions:
        progress = progress_of(question)
        if question == "plane":
            found.append(
                search_plane(study, asked=asked, lighting=lighting, own=own, crew=crew, progress=progress)
            )
        else:
            found.append(
                search(
                    study,
                    question,
                    asked=asked,
                    whole_curve=whole_curve,
                    lighting=lighting,
                    own=own,
                    interior=interior,
                    crew=crew,
                    progress=progress,
                )
            )
        own = found[-1].own
        if not found[-1].finished:
            break
    return found


def refuse_unanswerable(study: Study, asked: SearchAsked) -> None:
    """Refuse, before any work, questions that a study has no answer to.

    Parameters
    ----------
    study : Study
    asked : SearchAsked
        With its questions.

    Raises
    ------
    InputError
        Where there is no group to move, no limit to meet, or a depth that leaves no throw.
    """
    rows_to_vary(study.cabinet, asked.group, units=study.units)
    if set(asked.questions) - {"edge", "plane"}:
        refuse_unlimited(study.requirement)
    if "pitch" in asked.questions:
        refuse_shallow(study.cabinet, asked.other_depths)
