"""What a sign costs to build and to run, what is kept to mend it, how far in its parts are, and what hides them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from lumsim.cabinet.cabinet import Cabinet
from lumsim.sheet.assembly import Assembly
from lumsim.sheet.prices import Needed, PartsCost, parts_cost
from lumsim.sheet.rules import UpkeepRules
from lumsim.sheet.running import cost_a_year, kwh_a_year
from lumsim.sheet.service import reach_to_place, reaches_to_rows, spares, too_far
from lumsim.sheet.taking_out import Stretch, rows_over
from lumsim.sheet.wiring import Wiring
from lumsim.units import Units

__all__ = ["LENGTH_OF_WIRE", "Upkeep", "bill", "kept_up", "stretches"]

LENGTH_OF_WIRE: dict[Units, tuple[str, float]] = {"in": ("ft", 0.3048), "mm": ("m", 1.0)}
"""By what wire is bought: its name, and how long it is. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """What becomes of a sign's parts and power in money and service."""

    needed: tuple[Needed, ...]
    """what is bought, as far as it is known"""
    not_counted: tuple[str, ...]
    """what else is bought, of which it is not known how many"""
    cost: PartsCost | None
    """None without a price list"""
    watts: float | None
    """that leave all supplies at full light; None where watts are not told [W]"""
    kwh: float | None
    """from the mains in a year; None where watts or hours are not told [kWh]"""
    cost_a_year: Decimal | None
    spare_modules: int
    """[1]"""
    spare_supplies: int | None
    """None where supplies are not worked out [1]"""
    row_reaches: tuple[float, ...]
    """to the farthest module of each row; none where it is not told how the cabinet opens [m]"""
    supply_reaches: tuple[float, ...]
    """to the middle of each supply whose place is told [m]"""
    out_of_reach: tuple[str, ...]
    """rows and supplies farther in than an arm, in words"""
    rows_over_supplies: tuple[tuple[int, ...], ...]
    """the numbers of the rows that lie before each supply whose place and size are told, from where it is opened"""
    stretches: tuple[Stretch, ...]
    """what comes out to change a module"""


def bill(assembly: Assembly, wiring: Wiring | None, units: Units) -> tuple[Needed, ...]:
    """What is to be bought for a sign, as far as it is known: rolls, supplies, feed wire, small parts.

    Parameters
    ----------
    assembly : Assembly
    wiring : Wiring, optional
    units : {"in", "mm"}
        Wire is bought by the foot or by the metre, both conductors together.
    """
    found = [Needed(part=f"roll of {one.kind}", count=len(one.plan.rolls)) for one in assembly.cuts]
    if assembly.supplies is not None:
        found.append(Needed(part="supply", count=len(assembly.supplies.supplies)))
    if assembly.wired is not None and wiring is not None:
        name, long = LENGTH_OF_WIRE[units]
        feeds = sum(len(one.feeds) * one.circuits for one in assembly.wired)
        length = math.ceil(feeds * wiring.feed_length / long - 1e-9)
        found.append(Needed(part=f"{name} of {wiring.feed_wire.name} pair", count=length))
    found += [Needed(part=one.rule.name, count=one.to_buy) for one in assembly.small_parts.counts]
    return tuple(found)


def kept_up(
    assembly: Assembly, cabinet: Cabinet, rules: UpkeepRules, wiring: Wiring | None, units: Units
) -> Upkeep:
    """Work out what a sign costs, and what keeping it up takes.

    Parameters
    ----------
    assembly : Assembly
    cabinet : Cabinet
    rules : UpkeepRules
    wiring : Wiring, optional
    units : {"in", "mm"}
        By which wire is bought.
    """
    needed = bill(assembly, wiring, units)
    watts = None
    if assembly.wired is not None:
        watts = math.fsum(one.voltages.supply_watts * one.circuits for one in assembly.wired)
    there = len(rules.supplies_at) if assembly.supplies is None else len(assembly.supplies.supplies)
    places = rules.supplies_at[:there]
    running = None if watts is None else rules.running
    rows: tuple[float, ...] = ()
    supplies: tuple[float, ...] = ()
    if rules.opens is not None:
        rows = reaches_to_rows(cabinet, assembly.rows, rules.opens)
        supplies = tuple(reach_to_place(cabinet, place, rules.opens) for place in places)
    reaches = {f"row {row.name}": reach for row, reach in zip(assembly.rows, rows, strict=bool(rows))}
    reaches |= {f"supply {number}": reach for number, reach in enumerate(supplies, start=1)}
    return Upkeep(
        needed=needed,
        not_counted=(
            *(() if assembly.cuts else ("rolls",)),
            *(() if assembly.supplies is not None else ("supplies",)),
            *(() if assembly.wired is not None else ("feed wire",)),
            *(rule.name for rule in assembly.small_parts.unknown),
        ),
        cost=None if rules.prices is None else parts_cost(needed, rules.prices),
        watts=watts,
        kwh=None if running is None or watts is None else kwh_a_year(watts, running),
        cost_a_year=None if running is None or watts is None else cost_a_year(watts, running),
        spare_modules=spares(sum(row.count for row in assembly.rows), rules.spare_modules),
        spare_supplies=None
        if assembly.supplies is None
        else spares(len(assembly.supplies.supplies), rules.spare_supplies),
        row_reaches=rows,
        supply_reaches=supplies,
        out_of_reach=() if rules.arm is None else too_far(reaches, float(rules.arm)),
        rows_over_supplies=()
        if rules.supply_size is None
        # From the rear what stands on the back comes first.
        else ((),) * len(places)
        if rules.opens == "rear"
        else tuple(rows_over(assembly.rows, cabinet, place, rules.supply_size) for place in places),
        stretches=stretches(assembly),
    )


def stretches(assembly: Assembly) -> tuple[Stretch, ...]:
    """Every section of string as it lies in its row, numbered along it, with what holds and feeds it.

    Parameters
    ----------
    assembly : Assembly
    """
    held = assembly.held
    on_line: dict[int, list[Fraction]] = {}
    for row, line in zip(assembly.rows, held.lines, strict=True):
        on_line.setdefault(line, []).extend(row.along)
    of_row = {
        row.number: (row, places or (), on_line[line])
        for row, places, line in zip(assembly.rows, held.places, held.lines, strict=True)
    }
    found: list[Stretch] = []
    for section in assembly.sections:
        part = assembly.parts[section.part]
        row, places, modules = of_row[part.number]
        first = part.start + section.start
        last = first + section.modules - 1
        feeds = () if assembly.wired is None else assembly.wired[section.part].feeds
        # Up to the next modules on its line, of this row or another, supports hold this section.
        before = max((place for place in modules if place < row.along[first]), default=-math.inf)
        after = min((place for place in modules if place > row.along[last]), default=math.inf)
        found.append(
            Stretch(
                row=row.number,
                section=1 + sum(one.row == row.number for one in found),
                from_module=first,
                to_module=last,
                supports=tuple(place for place in places if before < place < after),
                feeds=tuple(part.start + feed for feed in feeds if first <= part.start + feed <= last),
            )
        )
    return tuple(found)
