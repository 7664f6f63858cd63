"""What a sign costs and how it is kept up, in words."""

from __future__ import annotations

from lumsim.report.columns import Block, grouped, plural, rows_told
from lumsim.report.numbers import significant
from lumsim.sheet.assembly import Assembly
from lumsim.sheet.prices import format_amount, total_in_words
from lumsim.sheet.rules import UpkeepRules
from lumsim.sheet.running import DAYS_A_YEAR
from lumsim.sheet.taking_out import Stretch
from lumsim.sheet.upkeep import Upkeep
from lumsim.uniformity.names import percent
from lumsim.units import Units, format_length

__all__ = ["upkeep_blocks"]


def upkeep_blocks(upkeep: Upkeep, rules: UpkeepRules, assembly: Assembly) -> list[Block]:
    """What to buy and what that costs; what a year costs; spares, reach, and what comes out.

    Parameters
    ----------
    upkeep : Upkeep
    rules : UpkeepRules
    assembly : Assembly
    """
    running = _running(upkeep, rules)
    return [
        _parts(upkeep, rules, assembly),
        *([Block(head=running)] if running else []),
        _service(upkeep, rules, assembly.units),
    ]


def _parts(upkeep: Upkeep, rules: UpkeepRules, assembly: Assembly) -> Block:
    came = {one.rule.name: one.came_with_rolls for one in assembly.small_parts.counts if one.came_with_rolls}
    head = "Parts to buy"
    if came:
        head += (
            ", beside "
            + ", ".join(f"{count} of {name}" for name, count in came.items())
            + " that come with rolls"
        )
    left_out = ", ".join(upkeep.not_counted)
    if upkeep.cost is None:
        return Block(
            head=head,
            heads=["", ""],
            rows=[[str(one.count), one.part] for one in upkeep.needed if one.count],
            notes=[f"not counted, since it is not known how many: {left_out}"] if left_out else [],
        )
    rows = []
    for line in upkeep.cost.lines:
        price = line.price
        rows.append(
            [
                line.part,
                str(line.count),
                "-" if line.packs is None else str(line.packs),
                "-" if price is None else str(price.pack),
                "-" if price is None else format_amount(price.amount, rules.currency),
                f"no price{f'; is {line.near!r} meant?' if line.near else ''}"
                if line.amount is None
                else format_amount(line.amount, rules.currency),
            ]
        )
    heads = ["part", "needed", "to buy", "packs of", "at", "amount"]
    total = total_in_words(upkeep.cost, rules.currency)
    return Block(
        head=f"{head}: {total}{f'; not counted: {left_out}' if left_out else ''}", heads=heads, rows=rows
    )


def _running(upkeep: Upkeep, rules: UpkeepRules) -> str:
    running = rules.running
    if running is None:
        return ""
    if upkeep.watts is None or upkeep.kwh is None:
        return "Running: not worked out: the study does not tell what modules take"
    cost = "" if upkeep.cost_a_year is None else f", {format_amount(upkeep.cost_a_year, rules.currency)}"
    return (
        f"Running: {significant(upkeep.watts)} W from supplies of {percent(running.efficiency)} efficiency, "
        f"{significant(running.hours_a_day)} h a day on {DAYS_A_YEAR} days: {significant(upkeep.kwh)} kWh a year{cost}"
    )


def _service(upkeep: Upkeep, rules: UpkeepRules, units: Units) -> Block:
    spare = [plural(upkeep.spare_modules, "module")]
    if upkeep.spare_supplies is not None:
        spare.append(f"{upkeep.spare_supplies} suppl{'y' if upkeep.spare_supplies == 1 else 'ies'}")
    rows = []
    for row in dict.fromkeys(one.row for one in upkeep.stretches):
        mine = [one for one in upkeep.stretches if one.row == row]
        reach = upkeep.row_reaches[row - 1] if upkeep.row_reaches else None
        rows += [
            (row, ["-" if reach is None else format_length(reach, units), *_comes_out(one, units)])
            for one in mine
        ]
    heads = ["rows", "reach", "take out modules", "off supports at", "undo feeds at module"]
    reach_told = (
        "the study does not tell how the cabinet opens (service.opens)"
        if rules.opens is None
        else f"from the {rules.opens} to the farthest module"
    )
    return Block(
        head=f"Service: keep {' and '.join(spare)} to spare",
        leads=[
            f"to change a module its section comes out, modules counted along the whole row; reach: {reach_told}"
        ],
        heads=heads,
        rows=grouped(rows),
        notes=_supplies(upkeep, units),
    )


def _comes_out(one: Stretch, units: Units) -> list[str]:
    first, last = one.from_module + 1, one.to_module + 1
    span = f"{first} to {last}" if last > first else str(first)
    return [
        span,
        ", ".join(format_length(place, units) for place in one.supports) or "-",
        " and ".join(str(feed + 1) for feed in one.feeds) or "-",
    ]


def _supplies(upkeep: Upkeep, units: Units) -> list[str]:
    lines = []
    for number in range(max(len(upkeep.supply_reaches), len(upkeep.rows_over_supplies))):
        told = []
        if upkeep.supply_reaches:
            told.append(f"reach {format_length(upkeep.supply_reaches[number], units)}")
        if upkeep.rows_over_supplies:
            over = upkeep.rows_over_supplies[number]
            which = rows_told([str(row) for row in over])
            told.append(f"to change it take out {which}" if over else "no row is before it")
        if told:
            lines.append(f"supply {number + 1}: {'; '.join(told)}")
    return lines
