"""All that a submittal rests on: what the command line, notebooks and tests all call."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lumsim.chunks import ALONE, Crew
from lumsim.errors import InputError
from lumsim.search.trying import Progress
from lumsim.simulation import ALL_LIGHT, FINE, USUAL, Lighting, Simulation, simulate
from lumsim.study.questions import asked_for
from lumsim.study.reading import Study
from lumsim.study.searching import PlaneAnswer, refuse_unanswerable, search_plane
from lumsim.study.sheeting import SheetAnswer, sheet

__all__ = ["COARSE", "Meshed", "SubmittalAnswer", "submit"]

COARSE = 6
"""Patches in the depth from which it is shown that finer ones change little. [1]"""

SHEET_SHARE, MESH_SHARE = 0.25, 0.15
"""Of the whole work, for progress. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meshed:
    """The cabinet lit by one mesh."""

    patches_in_depth: int
    """[1]"""
    simulation: Simulation


@dataclass(frozen=True, slots=True, kw_only=True)
class SubmittalAnswer:
    """A study lit, its build sheet, its neighbours in pitch and depth, and how exact it is."""

    sheet: SheetAnswer
    meshes: tuple[Meshed, ...]
    """coarse to fine; none for direct light only, which has no mesh"""
    plane: PlaneAnswer | None
    """None where it was not asked for, or there is no pitch to move"""
    no_plane: str
    """why there is none; empty where there is"""

    @property
    def own(self) -> Simulation:
        """Every module at its rated voltage."""
        return self.sheet.own

    @property
    def met(self) -> bool:
        """Whether the requirement is met, with every module at its rated voltage and on its wire."""
        return self.own.met and self.sheet.met

    @property
    def finished(self) -> bool:
        """Whether Ctrl-C let it come to its end."""
        return self.sheet.finished and (self.plane is None or self.plane.finished)


def submit(
    study: Study,
    *,
    lighting: Lighting = ALL_LIGHT,
    with_plane: bool = True,
    crew: Crew = ALONE,
    progress: Progress | None = None,
) -> SubmittalAnswer:
    """Work out all that a submittal says of a study.

    Parameters
    ----------
    study : Study
    lighting : Lighting
        How light is followed.
    with_plane : bool
        Whether every point of the plane of row pitch and depth is lit too, which takes longest.
    crew : Crew
        Who does what can be shared out.
    progress : callable, optional

    Raises
    ------
    InputError
        Where a wire cannot carry its string.
    """

    def tell(done: float, what: str) -> None:
        if progress is not None:
            progress(done, what)

    def part(start: float, share: float) -> Progress:
        # That a part is done is no news: the next one tells where it is.
        return lambda done, what: tell(start + share * done, what) if done < 1 else None

    answer = sheet(study, lighting=lighting, progress=part(0.0, SHEET_SHARE))
    meshes: list[Meshed] = []
    for number, count in enumerate(() if lighting.direct_only else (COARSE, USUAL, FINE)):
        tell(SHEET_SHARE + MESH_SHARE * number / 3, f"mesh {number + 1} of 3")
        by_mesh = answer.own
        if count != lighting.patches_in_depth:
            finer = replace(lighting, patches_in_depth=count)
            by_mesh = simulate(study.cabinet, study.requirement, lighting=finer)
        meshes.append(Meshed(patches_in_depth=count, simulation=by_mesh))
    plane, why = None, "not asked for"
    if with_plane:
        asked = asked_for(study.search, ["plane"])
        try:
            refuse_unanswerable(study, asked)
            start = SHEET_SHARE + MESH_SHARE
            plane = search_plane(
                study,
                asked=asked,
                lighting=lighting,
                own=answer.own,
                crew=crew,
                progress=part(start, 1 - start),
            )
            why = ""
        except InputError as error:
            why = str(error)
    tell(1.0, "done")
    return SubmittalAnswer(sheet=answer, meshes=tuple(meshes), plane=plane, no_plane=why)
