"""What to cut, hold and power, in words: cutting plans, supports, supplies, small parts."""

from __future__ import annotations

from lumsim.report.columns import Block, grouped, numbers_in_words, plural, rows_told
from lumsim.report.numbers import significant
from lumsim.sheet.assembly import Assembly, KindCut, Work
from lumsim.sheet.class_2 import HIGHEST, stand_against_class_2
from lumsim.sheet.cutting import CuttingPlan, Roll
from lumsim.sheet.rules import BuildRules
from lumsim.sheet.supplies import Supply
from lumsim.sheet.wiring import Wiring
from lumsim.uniformity.names import percent
from lumsim.units import format_length

__all__ = ["assembly_blocks", "class_2_told", "undone"]

HEADS: dict[Work, str] = {"cutting": "Cutting", "supports": "Supports", "supplies": "Supplies"}


def assembly_blocks(assembly: Assembly, rules: BuildRules, wiring: Wiring | None) -> list[Block]:
    """What to cut, hold and power.

    Parameters
    ----------
    assembly : Assembly
    rules : BuildRules
    wiring : Wiring, optional
    """
    blocks = [_cutting(one, assembly) for one in assembly.cuts]
    blocks += _undone(assembly, "cutting")
    if any(one is not None for one in assembly.held.places):
        blocks.append(_supports(assembly, rules))
    blocks += _undone(assembly, "supports")
    if assembly.supplies is not None:
        blocks.append(_supplies(assembly, wiring))
    return blocks + _undone(assembly, "supplies")


def undone(assembly: Assembly, work: Work) -> str | None:
    """Why something is not worked out; None where it is.

    Parameters
    ----------
    assembly : Assembly
    work : {"cutting", "supports", "supplies"}
    """
    if work in assembly.refused:
        return f"NOT possible as asked: {assembly.refused[work]}"
    if work in assembly.untold:
        return f"not worked out: the study does not tell {', '.join(assembly.untold[work])}"
    if work == "supplies" and assembly.supplies is None:
        return "not worked out: the study does not tell what modules take"
    return None


def _undone(assembly: Assembly, work: Work) -> list[Block]:
    why = undone(assembly, work)
    return [] if why is None else [Block(head=f"{HEADS[work]}: {why}")]


def _cutting(one: KindCut, assembly: Assembly) -> Block:
    plan = one.plan
    stock = plan.stock
    every = "" if stock.cut_every == 1 else f", cut after every {stock.cut_every}"
    head = (
        f"Cutting {one.kind}: {_rolls(plan)} of {stock.roll_modules} modules{every}; {_left(plan)}; "
        f"first-fit takes {_rolls(one.by_hand, proven=False)}"
    )
    if one.unjoined is not None:
        head += f", without joints it is {_rolls(one.unjoined)}"
    rows = [
        [str(number), "; ".join(_sections(one, assembly, roll)), str(roll.leftover or "-")]
        for number, roll in enumerate(plan.rolls, start=1)
    ]
    return Block(
        head=head, heads=["roll", "modules of each section, from the roll's start", "left"], rows=rows
    )


def _sections(one: KindCut, assembly: Assembly, roll: Roll) -> list[str]:
    """The sections of a roll in their order, whole rows of one length that follow each other together."""
    told: list[tuple[int, bool, list[str]]] = []
    for section in roll.sections:
        part = assembly.parts[one.parts[section.row]]
        whole = section.modules == part.count
        name = (
            part.name
            if whole
            else f"{part.name} (its {section.start + 1} to {section.start + section.modules})"
        )
        if told and whole and told[-1][1] and told[-1][0] == section.modules:
            told[-1][2].append(name)
        else:
            told.append((section.modules, whole, [name]))
    return [
        f"{modules} for row {names[0]}"
        if len(names) == 1
        else f"{modules} each for rows {numbers_in_words(names)}"
        for modules, _, names in told
    ]


def _rolls(plan: CuttingPlan, *, proven: bool = True) -> str:
    told = plural(len(plan.rolls), "roll")
    joints = f" with {plural(plan.joints, 'joint')}" if plan.joints else ""
    if not proven:
        return told + joints
    known = "the fewest" if plan.proven else f"at least {plan.least_rolls} are needed"
    return f"{told}{joints} ({known})"


def _left(plan: CuttingPlan) -> str:
    if not plan.leftovers:
        return "nothing is left"
    longest = "" if len(plan.leftovers) == 1 else f", the longest of {plan.leftovers[0]}"
    return f"{plural(plan.modules_left, 'module')} left in {plural(len(plan.leftovers), 'piece')}{longest}"


def _supports(assembly: Assembly, rules: BuildRules) -> Block:
    units = rules.units
    count = assembly.held.told
    directions = {row.direction for row in assembly.rows}
    limits = " and ".join(
        f"{direction} rows every {format_length(interval, units)} at most"
        for direction, interval in rules.holding.intervals.items()
        if direction in directions
    )
    ends, clear = (
        format_length(length, units) for length in (rules.holding.from_end, rules.holding.clearance)
    )
    shared = len(set(assembly.held.lines)) < len(assembly.rows)
    head = (
        f"Supports, {count}: {limits}; within {ends} of the outermost modules of each row, {clear} clear of "
        f"{_clear_of(rules)}{'; rows on one line share theirs' if shared else ''}"
    )
    rows = grouped(
        [
            (row.number, [str(len(held)), ", ".join(format_length(place, units) for place in held)])
            for row, held in zip(assembly.rows, assembly.held.places, strict=True)
            if held is not None
        ]
    )
    return Block(
        head=head, heads=["rows", "each", "at, along the row from its left or bottom return"], rows=rows
    )


def _clear_of(rules: BuildRules) -> str:
    """What supports are clear of, by which modules' lengths are told."""
    untold = [
        f"modules.{name}.string.module_length"
        for name, one in rules.delivered.items()
        if one.module_length is None
    ]
    if not untold:
        return "every module"
    if len(untold) == len(rules.delivered):
        return f"the middle of every module: the study does not tell {', '.join(untold)}"
    return f"every module, as long as they are told to be: the study does not tell {', '.join(untold)}"


def _supplies(assembly: Assembly, wiring: Wiring | None) -> Block:
    plan = assembly.supplies
    assert plan is not None
    kind = plan.kind
    in_parts = [str(part.number) for part in assembly.parts if part.part == 1]
    known = "the fewest" if plan.proven else f"at least {plan.least_supplies} are needed"
    known += " for rows cut so" if in_parts else ""
    string = (
        "; the longest string that one may feed is not told (power.longest_string)"
        if kind.longest_string is None
        else f", and at most {format_length(kind.longest_string, assembly.units)} of string"
    )
    head = (
        f"Supplies, {len(plan.supplies)} ({known}): each {significant(kind.watts)} W, of which "
        f"{percent(kind.loading_share)}, {significant(kind.usable_watts)} W, may be taken{string}"
    )
    if plan.interleaved:
        head += (
            "; neighbouring rows on different supplies"
            if plan.interleaved_as_asked
            else "; one feeds everything, so there is nothing to interleave"
        )
    head += "; a circuit counts as rated, or as on its wire where that is more"
    heads = ["supply", "rows", "watts", "of what may be", "string", "of what may be", "limited by", "amperes"]
    rows = [_supply(one, assembly) for one in plan.supplies]
    told = class_2_told(assembly, wiring)
    if in_parts:
        told.insert(
            0,
            f"more than one supply may feed, so in parts that are fed by themselves, such as {in_parts[0]}.1: "
            f"{rows_told(in_parts)}",
        )
    return Block(head=head, heads=heads, rows=rows, notes=told)


def _supply(one: Supply, assembly: Assembly) -> list[str]:
    plan = assembly.supplies
    assert plan is not None
    return [
        str(one.number),
        fed_rows(assembly, one),
        significant(one.watts),
        percent(one.loading_by_watts),
        format_length(one.length, assembly.units),
        "-" if plan.kind.longest_string is None else percent(one.loading_by_length),
        one.binds,
        significant(assembly.supply_amperes(one.number)),
    ]


def fed_rows(assembly: Assembly, supply: Supply) -> str:
    """The rows that a supply feeds; of those of which it feeds some circuits only, which.

    Parameters
    ----------
    assembly : Assembly
    supply : Supply
    """
    whole: list[str] = []
    some: list[str] = []
    for number, part in enumerate(assembly.parts):
        fed = [circuit for circuit, by in enumerate(assembly.fed_by[number], start=1) if by == supply.number]
        if not fed:
            continue
        if len(fed) == len(assembly.fed_by[number]):
            whole.append(part.name)
        else:
            some.append(f"{part.name} (circuit {' and '.join(map(str, fed))})")
    return ", ".join([*([numbers_in_words(whole)] if whole else []), *some])


def class_2_told(assembly: Assembly, wiring: Wiring | None) -> list[str]:
    """How the supplies' rating stands against the limits of class 2: information, no judgement.

    Parameters
    ----------
    assembly : Assembly
    wiring : Wiring, optional
    """
    if assembly.supplies is None or wiring is None:
        return []
    volts, watts = wiring.supply_volts, assembly.supplies.kind.watts
    if volts > HIGHEST:
        return [f"class 2: no limits are known here above {HIGHEST:g} V"]
    stands = stand_against_class_2(volts, watts)
    limits = stands.limits
    told = (
        f"at {volts:g} V at most {significant(limits.rated_volt_amperes)} VA and {significant(limits.rated_amperes)} A "
        f"rated; this rating is {significant(stands.rated_volt_amperes)} VA and {significant(stands.rated_amperes)} A"
    )
    above = (
        f": ABOVE its {' and '.join(stands.exceeded)}, wiring of class 2 is not for it"
        if stands.exceeded
        else ""
    )
    from_memory = " (limit from memory)" if limits.mark == "from memory" else ""
    return [
        f"class 2 (NEC chapter 9, table 11(B)): {told}{above}{from_memory}; its label and local codes decide"
    ]
