"""Sensitivity and tolerance as one JSON document: same study, same bytes. What an answer does not have is null."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from lumsim.report.document import requirement_part, study_part
from lumsim.report.json_text import SCHEMA
from lumsim.report.levels import state_of
from lumsim.report.notes import followed, light_followed, warnings
from lumsim.report.search_document import outcome_part
from lumsim.report.tolerance_text import ASSUMED, bowed
from lumsim.search.dead import DeadModule, WorstDead
from lumsim.search.sensitivity import Slopes
from lumsim.search.spread import ModulePlace, Spread, module_places
from lumsim.search.tolerance import CONFIDENCE, INTERVAL, SignResult, Tolerance
from lumsim.study.reading import Study
from lumsim.study.tolerating import ToleranceAnswer

__all__ = ["tolerance_document"]


def tolerance_document(study: Study, answer: ToleranceAnswer) -> dict[str, Any]:
    """Everything that `tolerance` has to say about a study.

    Parameters
    ----------
    study : Study
    answer : ToleranceAnswer
    """
    own, places = answer.own, module_places(study.cabinet)
    found = answer.tolerance
    return {
        "schema": SCHEMA,
        "study": study_part(study),
        "light": light_followed(own),
        "finished": answer.finished,
        "own_layout": {
            "face": own.deciding.worse.side,
            "state": state_of(own),
            "max_to_min": own.deciding.worse.evenness.max_to_min,
            "requirement": requirement_part(own.deciding.verdict),
            "requirement_met": own.met,
        },
        "sensitivity": [_slopes(one) for one in answer.slopes],
        "dead_module": None if answer.worst_dead is None else _dead(answer.worst_dead, places),
        "built_signs": None if found is None else _built(study, found, places),
        "warnings": [
            followed(own),
            *study.remarks,
            *warnings(own, study.units),
            *([] if found is None else [ASSUMED, *bowed(study.cabinet, found.spread)]),
        ],
    }


def _slopes(one: Slopes) -> dict[str, Any]:
    unit = "1" if one.quantity.endswith("reflectance") else "m"
    return {
        "quantity": one.quantity,
        "group": None if one.group is None else one.group + 1,
        "unit": unit,
        "value": one.value,
        "step": one.step,
        "numbers": {
            name: {
                "value": one.numbers[name],
                "per_unit": slope.slope,
                "per_unit_towards_less": slope.below,
                "per_unit_towards_more": slope.above,
                "error": slope.error,
            }
            for name, slope in one.slopes.items()
        },
    }


def _place(module: int, places: tuple[ModulePlace, ...]) -> dict[str, Any]:
    at = places[module]
    return {
        "number": module + 1,
        "group": at.group,
        "row": at.row,
        "module": at.module,
        "x_m": at.x,
        "y_m": at.y,
    }


def _dead(dead: WorstDead, places: tuple[ModulePlace, ...]) -> dict[str, Any]:
    return {
        "finished": dead.finished,
        "worst": _one_dead(dead.worst, places),
        "tried": [_one_dead(one, places) for one in dead.tried],
    }


def _one_dead(one: DeadModule, places: tuple[ModulePlace, ...]) -> dict[str, Any]:
    return {
        **_place(one.module, places),
        "alike": [module + 1 for module in one.alike],
        "numbers": dict(one.numbers),
        **outcome_part(one),
    }


def _spread(spread: Spread) -> dict[str, Any]:
    lengths = {"placing", "row_sag", "depth", "bow"}
    return {f"{name}_m" if name in lengths else name: value for name, value in asdict(spread).items()}


def _built(study: Study, found: Tolerance, places: tuple[ModulePlace, ...]) -> dict[str, Any]:
    low, high = found.interval if found.judged else (None, None)
    shares = (0.05, 0.5, 0.95)
    return {
        "finished": found.finished,
        "asked": found.asked,
        "signs": len(found.signs),
        "seed": found.seed,
        "spread": _spread(found.spread),
        "required": dict(study.requirement.limits),
        "meeting": found.meeting if found.judged else None,
        "share": found.share if found.judged else None,
        "interval": {"method": INTERVAL, "confidence": CONFIDENCE, "low": low, "high": high}
        if found.judged
        else None,
        "percentiles": {
            name: {
                f"p{round(100 * share)}": value
                for share, value in zip(shares, found.percentiles(name), strict=True)
            }
            for name in found.signs[0].numbers
        },
        "worst": {
            **_sign(found.worst, judged=found.judged),
            "dead": [_place(module, places) for module in found.worst.dead],
        },
        "each": [_sign(one, judged=found.judged) for one in found.signs],
    }


def _sign(one: SignResult, *, judged: bool) -> dict[str, Any]:
    return {
        "sign": one.number,
        "numbers": dict(one.numbers),
        **outcome_part(one, judged=judged),
        "dead_modules": [module + 1 for module in one.dead],
    }
