"""A build sheet as one JSON document: same study, same bytes. What an answer does not have is null."""

from __future__ import annotations

from typing import Any

from lumsim.report.assembly_document import assembly_part, upkeep_part
from lumsim.report.cautions import CAUTIONS
from lumsim.report.document import requirement_part, study_part
from lumsim.report.json_text import SCHEMA
from lumsim.report.levels import state_of
from lumsim.report.notes import followed, light_followed
from lumsim.report.sheet_text import (
    WIRE_AS_TAKEN,
    numbers_before_and_after,
    sheet_warnings,
    why_no_voltages,
)
from lumsim.sheet.assembly import Assembly, string_length
from lumsim.sheet.failures import Failure
from lumsim.sheet.strings import RowString
from lumsim.sheet.wire import Wire
from lumsim.sheet.wiring import WiredString, Wiring
from lumsim.study.reading import Study
from lumsim.study.sheeting import SheetAnswer

__all__ = ["sheet_document"]


def sheet_document(study: Study, answer: SheetAnswer) -> dict[str, Any]:
    """Everything that `sheet` has to say about a study.

    Parameters
    ----------
    study : Study
    answer : SheetAnswer
    """
    built, wiring = answer.built, study.sheet.wiring
    assembly, building = answer.assembly, study.building
    wired = assembly.wired or (None,) * len(assembly.parts)
    numbers = list(numbers_before_and_after(answer))
    return {
        "schema": SCHEMA,
        "study": study_part(study),
        "light": light_followed(answer.own),
        "finished": answer.finished,
        "rows": [
            _row(one, on_wire, assembly, number)
            for number, (one, on_wire) in enumerate(zip(assembly.parts, wired, strict=True))
        ],
        **assembly_part(assembly, wiring),
        "wiring": None if assembly.wired is None or wiring is None else _wiring(wiring, assembly.wired),
        "defaults": dict((*study.sheet.defaults, *building.defaults)),
        "why_no_voltages": why_no_voltages(study) if assembly.wired is None else None,
        "rated": {
            **{name: before for name, before, _ in numbers},
            "requirement_met": answer.own.met,
        },
        "built": None
        if answer.dark
        else {
            **{name: after for name, _, after in numbers},
            "face": built.deciding.worse.side,
            "state": state_of(built),
            "requirement": requirement_part(built.deciding.verdict),
        },
        "requirement_met": answer.met,
        "failures": [_failure(one, judged=bool(study.requirement.limits)) for one in answer.failures],
        **upkeep_part(answer.upkeep, building.upkeep),
        "cautions": list(CAUTIONS),
        "warnings": [
            followed(answer.own),
            *([] if assembly.wired is None else [WIRE_AS_TAKEN]),
            *sheet_warnings(study, answer),
        ],
    }


def _row(one: RowString, on_wire: WiredString | None, assembly: Assembly, number: int) -> dict[str, Any]:
    return {
        "row": one.name,
        "group": one.group,
        "on": assembly.on[one.group - 1],
        "direction": one.direction,
        "across_m": float(one.across),
        "along_m": [float(place) for place in one.along],
        "modules": one.count,
        "first_to_last_m": float(one.length),
        "string_m": float(string_length(one, assembly.pitches.get(one.kind.name))),
        "supplies": list(assembly.fed_by[number]) or None,
        "fed_at_modules": None if on_wire is None else [place + 1 for place in on_wire.feeds],
        "amperes": None if on_wire is None else on_wire.amperes,
        "feed_amperes": None if on_wire is None else [float(one) for one in on_wire.voltages.feed_amperes],
        "lost_in_wire_w": None if on_wire is None else on_wire.wire_watts,
        "volts": None if on_wire is None else [float(volts) for volts in on_wire.voltages.volts],
        "light_share": None if on_wire is None else [float(share) for share in on_wire.shares],
    }


def _wiring(wiring: Wiring, wired: tuple[WiredString, ...]) -> dict[str, Any]:
    amperes = sum(one.amperes for one in wired)
    return {
        "supply_volts": wiring.supply_volts,
        "amperes": amperes,
        "watts": amperes * wiring.supply_volts,
        "circuits_a_row": wiring.circuits,
        "feed_at": wiring.feed_at,
        "feed_length_m": wiring.feed_length,
        "feed_wire": _wire(wiring.feed_wire),
        "string_wire": _wire(wiring.string_wire),
    }


def _wire(wire: Wire) -> dict[str, Any]:
    return {
        "name": wire.name,
        "temperature_c": wire.temperature,
        "ohms_per_m": wire.resistance_per_metre,
    }


def _failure(one: Failure, *, judged: bool) -> dict[str, Any]:
    tried = one.tried
    return {
        "kind": one.loss.kind,
        "what": one.loss.what,
        "modules": [module + 1 for module in one.loss.modules],
        "light_left": [list(left) for left in one.loss.each_left],
        "looked_at": one.looked_at,
        "finished": one.finished,
        "max_to_min": None if tried is None else tried.evenness.max_to_min,
        "requirement_met": None if not judged else tried is not None and tried.verdict.met,
    }
