"""What to cut, hold, power, buy and keep up, as parts of a JSON document. What is not worked out is null."""

from __future__ import annotations

from typing import Any

from lumsim.report.assembly_text import class_2_told, undone
from lumsim.sheet.assembly import Assembly, KindCut
from lumsim.sheet.cutting import CuttingPlan
from lumsim.sheet.rules import UpkeepRules
from lumsim.sheet.upkeep import Upkeep
from lumsim.sheet.wiring import Wiring

__all__ = ["assembly_part", "upkeep_part"]


def assembly_part(assembly: Assembly, wiring: Wiring | None) -> dict[str, Any]:
    """What to cut, hold and power.

    Parameters
    ----------
    assembly : Assembly
    wiring : Wiring, optional
    """
    return {
        "cutting": [_cut(one, assembly) for one in assembly.cuts] or None,
        "why_no_cutting": undone(assembly, "cutting"),
        "supports": [
            {"row": row.name, "at_m": None if held is None else [float(place) for place in held]}
            for row, held in zip(assembly.rows, assembly.held.places, strict=True)
        ],
        "why_no_supports": undone(assembly, "supports"),
        "supplies": None if assembly.supplies is None else _supplies(assembly, wiring),
        "why_no_supplies": undone(assembly, "supplies"),
    }


def _cut(one: KindCut, assembly: Assembly) -> dict[str, Any]:
    plan, stock = one.plan, one.plan.stock
    return {
        "module": one.kind,
        "roll_modules": stock.roll_modules,
        "cut_every": stock.cut_every,
        "rolls": [
            {
                "sections": [
                    {
                        "row": assembly.parts[one.parts[cut.row]].name,
                        "from_module": cut.start + 1,
                        "modules": cut.modules,
                    }
                    for cut in roll.sections
                ],
                "left_modules": roll.leftover,
            }
            for roll in plan.rolls
        ],
        "joints": plan.joints,
        "least_rolls": plan.least_rolls,
        "proven": plan.proven,
        "first_fit": _counts(one.by_hand),
        "without_joints": None if one.unjoined is None else _counts(one.unjoined),
    }


def _counts(plan: CuttingPlan) -> dict[str, int]:
    return {"rolls": len(plan.rolls), "joints": plan.joints}


def _supplies(assembly: Assembly, wiring: Wiring | None) -> dict[str, Any]:
    plan = assembly.supplies
    assert plan is not None
    kind = plan.kind
    return {
        "watts": kind.watts,
        "loading_share": kind.loading_share,
        "usable_watts": kind.usable_watts,
        "longest_string_m": kind.longest_string,
        "least_supplies": plan.least_supplies,
        "proven": plan.proven,
        "interleaved": plan.interleaved,
        "supplies": [
            {
                "supply": one.number,
                "feeds": [
                    {
                        "row": assembly.parts[plan.circuits[index].row - 1].name,
                        "circuit": plan.circuits[index].circuit,
                    }
                    for index in one.circuits
                ],
                "watts": one.watts,
                "string_m": one.length,
                "limited_by": one.binds,
                "loading": one.loading,
                "amperes": assembly.supply_amperes(one.number),
            }
            for one in plan.supplies
        ],
        "class_2": class_2_told(assembly, wiring),
    }


def upkeep_part(upkeep: Upkeep, rules: UpkeepRules) -> dict[str, Any]:
    """What to buy, what it costs to build and to run, spares, reach, what comes out.

    Parameters
    ----------
    upkeep : Upkeep
    rules : UpkeepRules
    """
    cost = upkeep.cost
    running = rules.running
    return {
        "parts": [{"part": one.part, "needed": one.count} for one in upkeep.needed]
        if cost is None
        else [
            {
                "part": one.part,
                "needed": one.count,
                "packs": one.packs,
                "pack": None if one.price is None else one.price.pack,
                "price": None if one.price is None else float(one.price.amount),
                "amount": None if one.amount is None else float(one.amount),
            }
            for one in cost.lines
        ],
        "not_counted": list(upkeep.not_counted),
        "currency": rules.currency or None,
        "total": None if cost is None or cost.total is None else float(cost.total),
        "unpriced": None if cost is None else list(cost.unpriced),
        "running": None
        if running is None
        else {
            "hours_a_day": running.hours_a_day,
            "supply_efficiency": running.efficiency,
            "watts_from_supplies": upkeep.watts,
            "kwh_a_year": upkeep.kwh,
            "cost_a_year": None if upkeep.cost_a_year is None else float(upkeep.cost_a_year),
        },
        "service": {
            "opens": rules.opens,
            "spare_modules": upkeep.spare_modules,
            "spare_supplies": upkeep.spare_supplies,
            "row_reaches_m": list(upkeep.row_reaches) or None,
            "supply_reaches_m": list(upkeep.supply_reaches) or None,
            "out_of_reach": list(upkeep.out_of_reach),
            "rows_over_supplies": [list(one) for one in upkeep.rows_over_supplies],
            "to_change_modules": [
                {
                    "row": one.row,
                    "from_module": one.from_module + 1,
                    "to_module": one.to_module + 1,
                    "off_supports_at_m": [float(place) for place in one.supports],
                    "undo_feeds_at_modules": [feed + 1 for feed in one.feeds],
                }
                for one in upkeep.stretches
            ],
        },
    }
