"""A lit face as one JSON document: same study, same bytes. What a result does not have is null."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.report.json_text import SCHEMA
from lumsim.report.levels import aged_part, level_document
from lumsim.report.named_text import named_document
from lumsim.report.notes import followed, light_followed, warnings
from lumsim.report.points import PointAnswer, of_points
from lumsim.report.rows_text import beam_document
from lumsim.report.seeing_text import viewing_document
from lumsim.simulation import LitFace, Simulation
from lumsim.study.reading import Study
from lumsim.uniformity.extremes import Extreme
from lumsim.uniformity.requirement import Verdict
from lumsim.uniformity.spots import Spot

__all__ = ["light_document", "requirement_part", "study_part"]


def light_document(
    study: Study, simulation: Simulation, points: Sequence[tuple[float, float]] = ()
) -> dict[str, Any]:
    """Everything about a lit cabinet: of two faces the worse one answers, and ``faces`` holds both.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    points : sequence of (x, y)
        Points of the face to answer for. [m]
    """
    worse = simulation.worse
    ledger = simulation.ledger
    visible = math.fsum(one.arriving_visible for one in simulation.faces)
    direct = math.fsum(one.direct_share * one.arriving_visible for one in simulation.faces)
    return {
        "schema": SCHEMA,
        "study": study_part(study),
        "light": light_followed(simulation),
        "face": worse.side,
        **_seen(study, simulation, worse),
        "faces": None
        if simulation.rear is None
        else {
            one.side: {**_seen(study, simulation, one), "flux": _flux_of_face(one)}
            for one in simulation.faces
        },
        "flux": {
            "emitted_lm": ledger.emitted,
            "through_face_lm": ledger.through_face,
            "leaving_visible_face_lm": ledger.leaving_visible_face,
            "absorbed_film_lm": ledger.absorbed_film,
            "absorbed_face_lm": ledger.absorbed_face,
            "absorbed_back_lm": ledger.absorbed_back,
            "absorbed_left_return_lm": ledger.absorbed_left_return,
            "absorbed_right_return_lm": ledger.absorbed_right_return,
            "absorbed_bottom_return_lm": ledger.absorbed_bottom_return,
            "absorbed_top_return_lm": ledger.absorbed_top_return,
            "absorbed_modules_lm": ledger.absorbed_modules,
            "not_followed_lm": ledger.not_followed,
            "balance_error": ledger.balance_error,
            "row_sum_defect": worse.error.row_sum_defect,
            "direct_share_of_visible_face": direct / visible,
        },
        "points": _points(simulation, points),
        **level_document(study, simulation),
        "named_limits": named_document(study, simulation),
        "aged": None if simulation.aged is None else aged_part(study, light_document(study, simulation.aged)),
        "warnings": [followed(simulation), *study.remarks, *warnings(simulation, study.units)],
    }


def _seen(study: Study, simulation: Simulation, lit: LitFace) -> dict[str, Any]:
    """What is seen of one face, and how it is judged."""
    even, spots, face_map = lit.evenness, lit.spots, lit.luminance
    behind = lit.illuminance(1.0)
    horizontal = spots.direction == "horizontal"
    return {
        "illuminance": _levels(even.mean * behind, even.brightest, even.darkest, behind, "lx"),
        "luminance": _levels(even.mean, even.brightest, even.darkest, 1.0, "cd_m2"),
        "uniformity": {
            "max_to_min": even.max_to_min,
            "min_to_mean": even.min_to_mean,
            "min_to_max": even.min_to_max,
            "coefficient_of_variation": even.coefficient_of_variation,
            "nine_point": even.nine_point,
            "stripe_max_to_min": even.stripe_max_to_min,
            "stripe_window_m": even.window,
            "edge_dimming": even.edge_dimming,
            "hot_spot_contrast": even.hot_spot_contrast,
            "ripple_along": even.ripple_x if horizontal else even.ripple_y,
            "ripple_across": even.ripple_y if horizontal else even.ripple_x,
        },
        "hot_spots": [_spot(spot) for spot in spots.hot],
        "hot_spots_not_listed": spots.hot_not_listed,
        "dark_spots": [_spot(spot) for spot in spots.dark],
        "dark_spots_not_listed": spots.dark_not_listed,
        "stripes": [
            {
                "rows": list(stripe.rows),
                "direction": spots.direction,
                "position_m": stripe.position,
                "luminance_cd_m2": stripe.luminance,
                "valley_cd_m2": stripe.valley,
                "contrast": stripe.contrast,
            }
            for stripe in spots.stripes
        ],
        "viewing": viewing_document(study, simulation, lit),
        "requirement": requirement_part(lit.verdict),
        "requirement_met": lit.verdict.met if lit.verdict.judged else None,
        "grid": {
            "points_x": len(face_map.x),
            "points_y": len(face_map.y),
            "step_x_m": face_map.steps[0],
            "step_y_m": face_map.steps[1],
            "finest_detail_m": face_map.detail,
            "patches_inside": simulation.patches,
        },
        "numerical_error": {
            "max_to_min": lit.error.max_to_min,
            "stripe_max_to_min": lit.error.stripe_max_to_min,
            "edge_dimming": lit.error.edge_dimming,
            "hot_spot_contrast": lit.error.hot_spot_contrast,
            "mean": lit.error.mean,
        },
    }


def _flux_of_face(lit: LitFace) -> dict[str, Any]:
    return {
        "through_face_lm": lit.through_face,
        "leaving_visible_face_lm": lit.leaving_visible_face,
        "absorbed_film_lm": lit.absorbed_film,
        "absorbed_face_lm": lit.absorbed_face,
        "direct_share_of_visible_face": lit.direct_share,
    }


def study_part(study: Study) -> dict[str, Any]:
    """What a study is of: its cabinet and its rows."""
    cabinet = study.cabinet
    emitters = cabinet.emitters()
    return {
        "title": study.title,
        "file": study.source,
        "units": study.units,
        "changes": list(study.changes),
        "defaults": dict(study.defaults),
        "notes": list(study.notes),
        "named_limits": [one.limit.name for one in study.named_limits],
        "width_m": cabinet.box.width,
        "height_m": cabinet.box.height,
        "depth_m": cabinet.box.depth,
        "faces": len(cabinet.faces),
        "modules": len(emitters),
        "rows": [
            _rows(cabinet, group) if isinstance(group, Rows) else _listed(cabinet, group)
            for group in cabinet.groups
        ],
    }


def _rows(cabinet: Cabinet, group: Rows) -> dict[str, Any]:
    placed = group.emitters()
    return {
        "on": group.on,
        "direction": group.direction,
        "z_m": group.z,
        "throw_m": float((cabinet.box.depth - placed.z).min()),
        "rear_throw_m": float(placed.z.min()) if cabinet.double_sided else None,
        "front_share": group.front_share,
        "turn_deg": math.degrees(group.turn),
        "tilt_deg": math.degrees(group.tilt),
        **_kind(group.module),
        "count": group.rows.count,
        "pitch_m": None if group.rows.pitch is None else float(group.rows.pitch),
        "positions_m": [float(position) for position in group.rows.positions],
        "edge_distances_m": [float(distance) for distance in group.rows.edge_distances],
        "module_count": group.modules.count,
        "module_pitch_m": None if group.modules.pitch is None else float(group.modules.pitch),
        "module_edge_distances_m": [float(min(group.first_modules)), float(min(group.last_modules))],
        "staggered": group.staggered,
        "first_modules_m": [float(place) for place in group.first_modules],
    }


def _listed(cabinet: Cabinet, group: ListedModules) -> dict[str, Any]:
    z, share = group.placed.z, group.placed.front_share
    least, greatest = float(z.min()), float(z.max())
    mounting = cabinet.mounting(group)
    return {
        "on": mounting.on,
        "direction": group.direction,
        "listed_modules": len(group.placed),
        "throws_m": [cabinet.box.depth - greatest, cabinet.box.depth - least],
        "rear_throws_m": [least, greatest] if cabinet.double_sided else None,
        "front_shares": [float(share.min()), float(share.max())],
        "turn_deg": math.degrees(mounting.turn),
        "tilt_deg": math.degrees(mounting.tilt),
        "kinds": [{"name": kind.name, **_kind(kind)} for kind in group.placed.kinds],
    }


def _kind(kind: Module) -> dict[str, Any]:
    return {
        "lumens": kind.lumens,
        "beam": beam_document(kind.beam),
        "leds_m": [list(led) for led in kind.leds],
        "opening_m": None if kind.opening is None else list(kind.opening),
        "round_opening": kind.round_opening,
    }


def _levels(mean: float, highest: Extreme, lowest: Extreme, scale: float, unit: str) -> dict[str, Any]:
    return {
        f"mean_{unit}": mean,
        f"max_{unit}": highest.value * scale,
        "max_at_m": [highest.x, highest.y],
        f"min_{unit}": lowest.value * scale,
        "min_at_m": [lowest.x, lowest.y],
    }


def _spot(spot: Spot) -> dict[str, Any]:
    return {
        "at_m": [spot.x, spot.y],
        "luminance_cd_m2": spot.luminance,
        "saddle_cd_m2": spot.saddle,
        "contrast": spot.contrast,
    }


def requirement_part(verdict: Verdict) -> dict[str, Any]:
    """Each limit judged."""
    return {
        one.name: {
            "value": one.limit,
            "actual": one.actual,
            "met": one.met,
            "margin": one.margin,
            "to_spare": one.to_spare,
        }
        for one in verdict.judged
    }


def _points(simulation: Simulation, points: Sequence[tuple[float, float]]) -> list[dict[str, Any]]:
    if not points:
        return []
    answers = {one.side: of_points(one, points) for one in simulation.faces}
    return [
        {
            "at_m": list(point),
            **_point(answers[simulation.worse.side][i]),
            **({side: _point(found[i]) for side, found in answers.items()} if len(answers) > 1 else {}),
        }
        for i, point in enumerate(points)
    ]


def _point(found: PointAnswer) -> dict[str, Any]:
    return {
        "direct_lx": found.direct,
        "reflected_lx": found.reflected,
        "total_lx": found.total,
        "luminance_cd_m2": found.luminance,
    }
