"""A build sheet in words: rows on the tape, wire and voltages, what becomes of the light, what if; cautions."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lumsim.cabinet.orientation import RETURNS
from lumsim.report.assembly_text import assembly_blocks
from lumsim.report.cautions import CAUTIONS
from lumsim.report.columns import Block, grouped, plural, rows_told
from lumsim.report.light_text import cabinet_text, numbers_told
from lumsim.report.notes import LIMITS_OF_THE_SHEET, followed, light_followed, warnings
from lumsim.report.numbers import ratio, significant
from lumsim.report.sentences import sentence
from lumsim.report.tables import table_bytes
from lumsim.report.upkeep_text import upkeep_blocks
from lumsim.sheet.assembly import Assembly, string_length
from lumsim.sheet.failures import Failure
from lumsim.sheet.strings import RowString
from lumsim.sheet.wiring import WiredString, Wiring
from lumsim.study.reading import Study
from lumsim.study.sheeting import SheetAnswer
from lumsim.uniformity.names import NAMES, SHARES, percent
from lumsim.uniformity.requirement import Verdict
from lumsim.units import Units, exact_length, format_length

__all__ = [
    "WIRE_AS_TAKEN",
    "numbers_before_and_after",
    "over_rated",
    "sheet_blocks",
    "sheet_csv",
    "sheet_text",
    "sheet_verdict",
    "sheet_warnings",
    "why_no_voltages",
]

WIRE_AS_TAKEN = (
    "supplies are taken to hold their voltage, modules of a kind to take alike, copper to be as warm as the study "
    "says, connectors and couplers to have no resistance"
)

TOLD = ("max_to_min", "stripe_max_to_min", "edge_dimming", "min_to_mean", "mean")
"""Numbers that are told of a face before and after."""


def sheet_text(study: Study, answer: SheetAnswer) -> str:
    """What to mark out and wire, and what becomes of the light.

    Parameters
    ----------
    study : Study
    answer : SheetAnswer
    """
    lines = cabinet_text(study)
    if not answer.finished:
        lines += ["", "UNFINISHED: stopped before its end; what may fail was not all looked at"]
    for block in sheet_blocks(study, answer):
        lines += ["", *block.lines]
    lines.append("")
    lines += [*_defaults_line(study), "CAUTIONS", *(f"  {sentence(text)}" for text in CAUTIONS)]
    told = sheet_warnings(study, answer)
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += ["", sheet_verdict(answer)]
    rests_on = [
        followed(answer.own),
        *([] if answer.assembly.wired is None else [WIRE_AS_TAKEN]),
        LIMITS_OF_THE_SHEET,
    ]
    lines += [f"  {sentence(text)}" for text in rests_on]
    return "\n".join(lines)


def sheet_blocks(study: Study, answer: SheetAnswer) -> list[Block]:
    """What to mark out, cut, hold, power and buy, and what becomes of the light.

    Parameters
    ----------
    study : Study
    answer : SheetAnswer
    """
    blocks = [_rows_told(answer.assembly)]
    blocks += assembly_blocks(answer.assembly, study.building.rules, study.sheet.wiring)
    blocks += [_wire(study, answer), _light(answer)]
    if answer.failures:
        blocks.append(_failures(answer))
    return blocks + upkeep_blocks(answer.upkeep, study.building.upkeep, answer.assembly)


def _sticking_out(study: Study, assembly: Assembly) -> list[str]:
    """Rows whose outermost modules, as long as they are told to be, do not end inside."""
    box = study.cabinet.box
    out = []
    for row in assembly.rows:
        length = study.building.rules.delivered[row.kind.name].module_length or Fraction(0)
        extent = exact_length(box.width if row.direction == "horizontal" else box.height)
        if row.first - length / 2 < 0 or row.last + length / 2 > extent:
            out.append(row.name)
    if not out:
        return []
    return [f"the outermost modules of {rows_told(out)} end beyond the returns, by their module_length"]


def _rows_told(assembly: Assembly) -> Block:
    units, rows = assembly.units, assembly.rows
    several = len({one.group for one in rows}) > 1
    heads = ["row", *(["group"] if several else []), "runs", "line at", "first module", "last module"]
    heads += ["modules", "first to last", "string to cut"]
    cells = [
        [
            one.name,
            *([str(one.group)] if several else []),
            f"{one.direction}{_on(assembly, one)}",
            *(format_length(length, units) for length in (one.across, one.first, one.last)),
            str(one.count),
            format_length(one.length, units),
            _to_cut(one, assembly.pitches.get(one.kind.name), units),
        ]
        for one in rows
    ]
    modules = sum(one.count for one in rows)
    head = (
        f"Rows, {len(rows)} with {modules} modules, on centre: lines from the bottom or left return (of rows on a "
        "return from the back), modules from the left or bottom one"
    )
    return Block(head=head, heads=heads, rows=cells)


def _on(assembly: Assembly, row: RowString) -> str:
    on = assembly.on[row.group - 1]
    return f", {on} return" if on in RETURNS else ""


def _to_cut(one: RowString, pitch: Fraction | None, units: Units) -> str:
    length = string_length(one, pitch)
    return format_length(length, units) if length else "one module"


def sheet_warnings(study: Study, answer: SheetAnswer) -> list[str]:
    """What may make a sheet mean something else than a reader thinks, or cannot be built.

    Parameters
    ----------
    study : Study
    answer : SheetAnswer
    """
    assembly, places = answer.assembly, study.building.upkeep.supplies_at
    told = [*study.remarks, *over_rated(study)]
    told += _sticking_out(study, assembly)
    if answer.upkeep.out_of_reach:
        told.append(f"farther in than service.arm: {', '.join(answer.upkeep.out_of_reach)}")
    supplies = len(places) if assembly.supplies is None else len(assembly.supplies.supplies)
    if places and len(places) != supplies:
        told.append(
            f"power.supplies_at tells {plural(len(places), 'place')}, and the number of supplies needed is {supplies}"
        )
    return told + warnings(answer.own, study.units)


def over_rated(study: Study) -> list[str]:
    """Warnings of kinds of module that the supply holds at more than they are rated for.

    Parameters
    ----------
    study : Study
    """
    wiring = study.sheet.wiring
    if wiring is None:
        return []
    return [
        f"modules.{name} is rated for {one.volts:g} V and the supply holds {wiring.supply_volts:g} V: more than its "
        "rating may destroy it"
        for name, one in study.sheet.electrics.items()
        if wiring.supply_volts > one.volts
    ]


def why_no_voltages(study: Study) -> str:
    """Why no voltages are worked out.

    Parameters
    ----------
    study : Study
        That does not tell enough for them.
    """
    missing = study.sheet.untold or ("power.supply_volts",)
    return f"no voltages: the study does not tell {', '.join(missing)}"


def _wire(study: Study, answer: SheetAnswer) -> Block:
    wiring, wired = study.sheet.wiring, answer.assembly.wired
    if wired is None or wiring is None:
        return Block(head=f"Wire: {why_no_voltages(study)}")
    fed = [answer.assembly.fed_by[number] for number in range(len(wired))]
    rows = [
        (
            one.string.name,
            [*_wired_cells(one, wiring), *([" and ".join(map(str, dict.fromkeys(by)))] if by else [])],
        )
        for one, by in zip(wired, fed, strict=True)
    ]
    heads = [
        "rows",
        "fed at module",
        "amperes of each feed" if wiring.circuits == 1 else "amperes of each feed and circuit",
        "watts",
        "lost in wire",
        "least volts",
        "at module",
        "its light",
    ]
    heads += ["supply"] if fed[0] else []
    amperes = sum(one.amperes for one in wired)
    head = (
        f"Wire, each row: {_wiring_told(wiring, study.units)}; {significant(amperes)} A, "
        f"{significant(amperes * wiring.supply_volts)} W from {wiring.supply_volts:g} V in all"
    )
    return Block(head=head, heads=heads, rows=grouped(rows))


def _defaults_line(study: Study) -> list[str]:
    """What the study leaves out of what the sheet goes by."""
    taken = [f"{key} = {value}" for key, value in (*study.sheet.defaults, *study.building.defaults)]
    return [f"Defaults: {', '.join(taken)}", ""] if taken else []


def _wiring_told(wiring: Wiring, units: Units) -> str:
    circuits = "" if wiring.circuits == 1 else f", {wiring.circuits} circuits a row"
    at = (
        "its left or bottom end"
        if wiring.feed_at == "end"
        else wiring.feed_at.replace("middle", "its middle")
    )
    return (
        f"{wiring.string_wire.name} along each string, fed at {at} by "
        f"{format_length(wiring.feed_length, units)} of {wiring.feed_wire.name}{circuits}; copper at "
        f"{wiring.feed_wire.temperature:g} °C"
    )


def _wired_cells(one: WiredString, wiring: Wiring) -> list[str]:
    return [
        " and ".join(str(place + 1) for place in one.feeds),
        " and ".join(significant(float(amperes)) for amperes in one.voltages.feed_amperes),
        significant(one.amperes * wiring.supply_volts),
        f"{significant(one.wire_watts)} W",
        f"{one.voltages.volts[one.lowest]:.2f}",
        str(one.lowest + 1),
        percent(float(one.shares[one.lowest])),
    ]


def numbers_before_and_after(answer: SheetAnswer) -> Iterator[tuple[str, float, float]]:
    """Each number that is told of the face, as drawn and on its wire.

    Parameters
    ----------
    answer : SheetAnswer
    """
    own, built = (one.deciding.worse.evenness for one in (answer.own, answer.built))
    for name in TOLD:
        yield name, getattr(own, name), getattr(built, name)


def _light(answer: SheetAnswer) -> Block:
    if answer.assembly.wired is None:
        head = "Light: every module taken to have its rated voltage"
    elif answer.dark:
        return Block(head="Light: none is left, no module has voltage enough")
    else:
        head = "Light: every module at its rated voltage, and with what the wire leaves it"
    rows = [
        [
            NAMES.get(name, "mean luminance"),
            *(_number(name, value) for value in values[: 1 if answer.assembly.wired is None else 2]),
        ]
        for name, *values in numbers_before_and_after(answer)
    ]
    heads = ["", "rated", *([] if answer.assembly.wired is None else ["on its wire"])]
    return Block(head=head, heads=heads, rows=rows)


def _number(name: str, value: float) -> str:
    if name == "mean":
        return f"{significant(value, 4)} cd/m²"
    return percent(value) if name in SHARES else ratio(value)


def _failures(answer: SheetAnswer) -> Block:
    whole = answer.built.deciding.worse.evenness.max_to_min
    return Block(
        head=f"What if: the worst of each kind that may fail, from max/min {ratio(whole)}",
        leads=[_failed(one) for one in answer.failures],
    )


def _failed(one: Failure) -> str:
    of_all = f"of {one.looked_at} looked at"
    if one.tried is None:
        return f"{_lost(one)} ({of_all}): a face, or a part of it, is left without any light"
    verdict = one.tried.verdict
    told = "" if not verdict.judged else f"; requirement {'met' if verdict.met else 'NOT met'}"
    return f"{_lost(one)} ({of_all}): max/min {ratio(one.tried.evenness.max_to_min)}{told}"


def _lost(one: Failure) -> str:
    return f"{one.loss.what} {'comes apart' if one.loss.kind == 'joint' else 'dead'}"


def sheet_verdict(answer: SheetAnswer) -> str:
    """One line: whether it can be built as asked, and whether the face as built meets the requirement.

    Parameters
    ----------
    answer : SheetAnswer
    """
    light = light_followed(answer.own)
    built = "as built" if answer.assembly.wired is not None else "with every module at its rated voltage"
    if answer.dark:
        return f"VERDICT ({light}): as built the face stays dark"
    if answer.assembly.refused:
        return f"VERDICT ({light}): NOT to be built as asked: see {', '.join(answer.assembly.refused)}"
    verdict: Verdict = answer.built.deciding.verdict
    if not verdict.judged:
        return f"VERDICT ({light}): there is no requirement to meet"
    state = "meets" if verdict.met else "does NOT meet"
    return f"VERDICT ({light}): {built} the face {state} the requirement ({numbers_told(verdict)})"


def sheet_csv(answer: SheetAnswer) -> bytes:
    """Every module on a line of its own, row by row, nine significant digits; lengths in metres.

    Parameters
    ----------
    answer : SheetAnswer
    """
    names = (
        "row",
        "group",
        "on",
        "direction",
        "across_m",
        "module",
        "along_m",
        "volts",
        "amperes",
        "light_share",
    )
    parts = answer.assembly.parts
    wired = answer.assembly.wired or (None,) * len(parts)

    def lines() -> Iterator[dict[str, object]]:
        for one, on_wire in zip(parts, wired, strict=True):
            for number, along in enumerate(one.along):
                yield {
                    "row": one.name,
                    "group": one.group,
                    "on": answer.assembly.on[one.group - 1],
                    "direction": one.direction,
                    "across_m": float(one.across),
                    "module": number + 1,
                    "along_m": float(along),
                    "volts": None if on_wire is None else float(on_wire.voltages.volts[number]),
                    "amperes": None
                    if on_wire is None
                    else float(on_wire.voltages.amperes[number]) * on_wire.circuits,
                    "light_share": None if on_wire is None else float(on_wire.shares[number]),
                }

    return table_bytes(names, lines())
