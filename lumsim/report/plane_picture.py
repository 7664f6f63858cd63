"""The plane of row pitch and depth, as what a picture of it is drawn from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from lumsim.pictures.plane_cells import EndlessRows
from lumsim.report.search_text import plane_facts
from lumsim.study.reading import Study
from lumsim.study.searching import PlaneAnswer
from lumsim.uniformity.requirement import Requirement
from lumsim.units import Units

__all__ = ["ShownPlane", "shown_plane"]


class ShownPlane(TypedDict):
    """What ``draw_plane`` takes beside the plane."""

    title: str
    units: Units
    requirement: Requirement
    own_pitch: float | None
    own_depth: float
    infinite: EndlessRows
    facts: Sequence[str]


def shown_plane(study: Study, answer: PlaneAnswer) -> ShownPlane:
    """A plane ready to be drawn, with the study's own design on it.

    Parameters
    ----------
    study : Study
    answer : PlaneAnswer
    """
    return ShownPlane(
        title=study.title,
        units=study.units,
        requirement=study.requirement,
        own_pitch=study.cabinet.groups[answer.group].row_pitch,
        own_depth=study.cabinet.box.depth,
        infinite=EndlessRows(
            limit=answer.endless_limit,
            pitches=[float(pitch) for pitch in answer.plane.pitches],
            depths=answer.endless_depths,
        ),
        facts=plane_facts(study, answer),
    )
