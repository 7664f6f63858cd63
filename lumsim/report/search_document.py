"""What a search answered as one JSON document: same study, same bytes. What an answer does not have is null."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lumsim.report.counting import counting_warnings
from lumsim.report.document import requirement_part, study_part
from lumsim.report.json_text import SCHEMA
from lumsim.report.levels import state_of, tried_state
from lumsim.report.notes import followed, light_followed, little_to_spare, warnings
from lumsim.search.depth import DepthSearch
from lumsim.search.edge_distance import EdgeSearch
from lumsim.search.fewest import FewestSearch
from lumsim.search.outcomes import Outcome
from lumsim.search.plane import Plane, PlanePoint
from lumsim.search.row_pitch import PitchSearch
from lumsim.search.trying import Found, Tried
from lumsim.simulation import Simulation
from lumsim.study.reading import Study
from lumsim.study.searching import PlaneAnswer, SearchAnswer
from lumsim.units import Units

__all__ = ["layout_part", "outcome_part", "plane_part", "search_document"]


def search_document(study: Study, answers: Sequence[SearchAnswer | PlaneAnswer]) -> dict[str, Any]:
    """Everything that a study's questions were answered with.

    Parameters
    ----------
    study : Study
    answers : sequence of SearchAnswer or PlaneAnswer
        At least one.
    """
    return {
        "schema": SCHEMA,
        "study": study_part(study),
        "light": light_followed(answers[0].own),
        "own_layout": _own(answers[0].own, study.units),
        "answers": [
            plane_part(study, one) if isinstance(one, PlaneAnswer) else _answer(study, one) for one in answers
        ],
        "warnings": [followed(answers[0].own), *study.remarks],
    }


def _own(own: Simulation, units: Units) -> dict[str, Any]:
    return {
        "face": own.deciding.worse.side,
        "state": state_of(own),
        "max_to_min": own.deciding.worse.evenness.max_to_min,
        "requirement": requirement_part(own.deciding.verdict),
        "requirement_met": own.met,
        "little_to_spare": little_to_spare(own.deciding.verdict),
        "warnings": counting_warnings(own.cabinet, units),
    }


def _answer(study: Study, answer: SearchAnswer) -> dict[str, Any]:
    found = answer.found
    return {
        "question": answer.question,
        "group": answer.group + 1,
        "step_m": float(answer.step),
        **_searched(found),
        **_found(found),
        "against_depth": [{"depth_m": one.depth, **_found(one)} for one in answer.against_depth],
        "tried": [_looked_at(one) for one in found.tried],
        "warnings": warnings(answer.verified, study.units),
    }


def _searched(found: Found) -> dict[str, Any]:
    """Between what a search looked."""
    if isinstance(found, PitchSearch):
        return {"depth_m": found.depth}
    if isinstance(found, DepthSearch):
        return {"least_depth_m": found.least, "most_depth_m": found.most}
    if isinstance(found, EdgeSearch):
        return {"least_edge_distance_m": found.least, "most_edge_distance_m": found.most}
    assert isinstance(found, FewestSearch)
    return {"fewest_of": found.asked.of, "looked_at": found.looks}


def _found(found: Found) -> dict[str, Any]:
    return {
        "finished": found.finished,
        "requirement_met": found.met,
        "exact": None if found.exact is None else _tried(found.exact),
        "to_build": None if found.buildable is None else _tried(found.buildable),
        "closest": None if found.closest is None else _tried(found.closest),
    }


def layout_part(one: Tried) -> dict[str, Any]:
    """How a layout is laid."""
    rows = one.moved
    return {
        "depth_m": one.cabinet.box.depth,
        "direction": rows.direction,
        "rows": one.rows.count,
        "pitch_m": None if one.rows.pitch is None else float(one.rows.pitch),
        "edge_distance_m": float(one.rows.edge_distances[0]),
        "modules_in_a_row": rows.modules.count,
        "module_pitch_m": None if rows.modules.pitch is None else float(rows.modules.pitch),
        "module_edge_distance_m": float(rows.modules.edge_distances[0]),
        "staggered": any(rows.shifts),
        "first_modules_m": [float(first) for first in rows.first_modules[:2]],
        "modules": one.modules,
        "face": one.side,
        "state": tried_state(one),
    }


def _tried(one: Tried) -> dict[str, Any]:
    return {
        **layout_part(one),
        "positions_m": [float(position) for position in one.rows.positions],
        "mean_cd_m2": one.evenness.mean,
        "max_to_min": one.evenness.max_to_min,
        "stripe_max_to_min": one.evenness.stripe_max_to_min,
        "edge_dimming": one.evenness.edge_dimming,
        "hot_spot_contrast": one.evenness.hot_spot_contrast,
        "requirement": requirement_part(one.verdict),
        "requirement_met": one.verdict.met,
        "little_to_spare": little_to_spare(one.verdict),
    }


def _looked_at(one: Tried) -> dict[str, Any]:
    return {
        **layout_part(one),
        "numbers": dict(one.numbers),
        "worst_of_actual_over_limit": one.excess,
        "requirement_met": one.verdict.met,
        "verified": one.whole is not None,
    }


def plane_part(study: Study, answer: PlaneAnswer) -> dict[str, Any]:
    """The plane of row pitch and depth.

    Parameters
    ----------
    study : Study
    answer : PlaneAnswer
    """
    plane: Plane = answer.plane
    return {
        "question": "plane",
        "group": answer.group + 1,
        "finished": plane.finished,
        "pitches_m": [float(pitch) for pitch in plane.pitches],
        "depths_m": list(plane.depths),
        "points": [None if row is None else [_point(point) for point in row] for row in plane.points],
        "numerical_error": plane.error,
        "own_pitch_m": study.cabinet.groups[answer.group].row_pitch,
        "own_depth_m": study.cabinet.box.depth,
        "endless_rows": {"max_to_min": answer.endless_limit, "depths_m": list(answer.endless_depths)},
    }


def _point(point: PlanePoint) -> dict[str, Any]:
    return {
        "rows": point.rows,
        "edge_distance_m": point.edge_distance,
        **point.numbers,
        **outcome_part(point),
    }


def outcome_part(one: Outcome, *, judged: bool = True) -> dict[str, Any]:
    """How something that was lit stands, beside its numbers.

    Parameters
    ----------
    one : Outcome
    judged : bool
        Whether anything is required, that may be met.
    """
    return {
        "worst_of_actual_over_limit": one.excess,
        "requirement_met": one.met if judged else None,
        "limits_missed": list(one.missed),
        "face": one.side,
        "state": "aged" if one.aged else "new",
    }
