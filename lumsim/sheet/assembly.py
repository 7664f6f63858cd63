"""A sign put together: what is fed by itself and from where, what it is cut from, what holds it, its small parts.

Each of these is worked out as far as the study tells enough; what it does not tell, and what cannot be done, is named.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import Mount
from lumsim.errors import InputError
from lumsim.sheet.cutting import CuttingPlan, cut, first_fit
from lumsim.sheet.holding import HeldRows, held_rows
from lumsim.sheet.parts import Counted, PartsCounted, count_parts
from lumsim.sheet.pieces import filled_pieces, pieces
from lumsim.sheet.rules import BuildRules, Stock
from lumsim.sheet.strings import RowString
from lumsim.sheet.supplies import SupplyPlan, assign_supplies
from lumsim.sheet.supply_kind import Circuit
from lumsim.sheet.wiring import Electrics, WiredString, Wiring, wired
from lumsim.units import Units, format_length

__all__ = ["Assembly", "KindCut", "Section", "Work", "assembled", "string_length"]

Work = Literal["cutting", "supports", "supplies"]
"""What may be left undone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KindCut:
    """How the string of one kind of module is cut."""

    kind: str
    parts: tuple[int, ...]
    """the plan's rows: which of the assembly's parts each is, from 0"""
    plan: CuttingPlan
    by_hand: CuttingPlan
    """first-fit: each longest piece from the first roll that still has it"""
    unjoined: CuttingPlan | None
    """the plan without joints, where joints are allowed and made, and it can be done without"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A stretch of string between two cuts, as it is in its row."""

    part: int
    """of the assembly, from 0"""
    start: int
    """its first module in that part, from 0"""
    modules: int
    """[1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """What to cut, hold and power."""

    rows: tuple[RowString, ...]
    on: tuple[Mount, ...]
    """what each group of rows is on"""
    parts: tuple[RowString, ...]
    """the rows, each in as many parts as it is fed in"""
    wired: tuple[WiredString, ...] | None
    """part by part; None where watts, volts or a supply's voltage are not told"""
    circuits: tuple[Circuit, ...]
    """of which ``row`` is the part, from 1; none where watts are not told"""
    supplies: SupplyPlan | None
    fed_by: tuple[tuple[int, ...], ...]
    """by which supply each circuit of each part is fed, from 1; none where that is not worked out"""
    cuts: tuple[KindCut, ...]
    sections: tuple[Section, ...]
    """in the order of the parts; without a cutting plan each part is one"""
    held: HeldRows
    small_parts: PartsCounted
    pitches: Mapping[str, Fraction]
    """module to module of strings stretched out, by kind, where it is told [m]"""
    untold: Mapping[Work, tuple[str, ...]]
    """keys without which something is not worked out"""
    refused: Mapping[Work, str]
    """why something cannot be done as asked"""
    units: Units
    """of what is refused, and for printing"""

    def supply_amperes(self, number: int) -> float:
        """What a supply gives to all its circuits on their wire, from 1. [A]"""
        if self.wired is None:
            return 0.0
        return math.fsum(
            float(one.voltages.feed_amperes.sum()) * fed_by.count(number)
            for one, fed_by in zip(self.wired, self.fed_by, strict=True)
        )

    def joints(self, part: int) -> tuple[int, ...]:
        """Before which modules of a part a coupler joins two sections, from 1 on."""
        return tuple(one.start for one in self.sections if one.part == part and one.start)


def assembled(
    rows: Sequence[RowString],
    cabinet: Cabinet,
    rules: BuildRules,
    electrics: Mapping[str, Electrics] | None,
    wiring: Wiring | None,
    *,
    tell: Callable[[str], None] = lambda _: None,
) -> Assembly:
    """Work out what a sign takes to be built.

    Parameters
    ----------
    rows : sequence of RowString
    cabinet : Cabinet
        That they are the rows of.
    rules : BuildRules
    electrics : mapping, optional
        Of every kind of module that the rows hold; None where some are not told.
    wiring : Wiring, optional
    tell : callable
        Takes what is being done, for progress.

    Raises
    ------
    InputError
        Where a wire cannot carry its string.
    """
    untold: dict[Work, tuple[str, ...]] = {}
    refused: dict[Work, str] = {}
    parts = tuple(rows)
    on_wire: tuple[WiredString, ...] | None = None
    circuits: tuple[Circuit, ...] = ()
    supplies: SupplyPlan | None = None
    if rules.supply is None:
        untold["supplies"] = ("power.supply_watts",)
    if electrics is not None and wiring is not None:
        try:
            ways = _ways_to_part(rows, rules, electrics, wiring)
        except InputError as error:
            ways = (parts,)
            refused["supplies"] = str(error)
        tell("supplies")
        for way in ways:
            strings = wired(way, electrics, wiring, rules.pitches)
            fed = _circuits(strings, rules, electrics, wiring)
            plan = None
            if rules.supply is not None and "supplies" not in refused:
                try:
                    plan = assign_supplies(fed, rules.supply, interleaved=rules.interleaved)
                except InputError as error:
                    refused["supplies"] = str(error)
            # Of ways that take as many supplies the first.
            if supplies is None or (plan is not None and len(plan.supplies) < len(supplies.supplies)):
                parts, on_wire, circuits, supplies = way, strings, fed, plan
    why_not = _no_string(rows, rules)
    if why_not is not None:
        refused["cutting"] = why_not
    cuts = () if why_not is not None else _cuts(parts, rules, untold, refused, tell)
    sections = _sections(parts, cuts)
    lengths = {name: one.module_length or Fraction(0) for name, one in rules.delivered.items()}
    held = held_rows(rows, cabinet, rules.holding, lengths, rules.units)
    if held.untold:
        untold["supports"] = held.untold
    if held.refused is not None:
        refused["supports"] = held.refused
    feeds = sum(len(one.feeds) * one.circuits for one in on_wire) if on_wire is not None else None
    counted = Counted(
        section=len(sections) if cuts else None,
        joint=sum(one.start > 0 for one in sections) if cuts else None,
        row=len(rows),
        feed=feeds,
        support=held.count,
        supply=None if supplies is None else len(supplies.supplies),
        roll=sum(len(one.plan.rolls) for one in cuts) if cuts else None,
        module=sum(one.count for one in rows),
    )
    return Assembly(
        rows=tuple(rows),
        on=tuple(cabinet.mounting(group).on for group in cabinet.groups),
        parts=parts,
        wired=on_wire,
        circuits=circuits,
        supplies=supplies,
        fed_by=_fed_by(parts, circuits, supplies),
        cuts=cuts,
        sections=sections,
        held=held,
        small_parts=count_parts(rules.parts, counted),
        pitches=rules.pitches,
        untold=untold,
        refused=refused,
        units=rules.units,
    )


def string_length(string: RowString, pitch: Fraction | None) -> Fraction:
    """How much string a row takes: its own pitch a module, and where that is not told half a gap beyond each end.

    Parameters
    ----------
    string : RowString
    pitch : Fraction or None
        Of the string stretched out. [m]
    """
    if pitch is not None:
        return string.count * pitch
    return string.length + sum(string.beyond)


def _no_string(rows: Sequence[RowString], rules: BuildRules) -> str | None:
    """Why string as it is delivered cannot make these rows, whatever it is cut from; None where it can."""
    for row in rows:
        name = row.kind.name
        how = rules.delivered[name]
        if how.pitch is not None and max(row.gaps, default=how.pitch) > how.pitch:
            gap, pitch = (format_length(length, rules.units) for length in (max(row.gaps), how.pitch))
            return (
                f"row {row.name}: modules are up to {gap} apart, farther than string of {name} reaches, {pitch} "
                f"(modules.{name}.string.pitch)"
            )
        if how.stock is not None and row.count % how.stock.cut_every:
            return (
                f"row {row.name}: {row.count} modules cannot be cut from string that is cut after every "
                f"{how.stock.cut_every} modules; next to it are {how.stock.next_to(row.count)}"
            )
    return None


def _ways_to_part(
    rows: Sequence[RowString], rules: BuildRules, electrics: Mapping[str, Electrics], wiring: Wiring
) -> tuple[tuple[RowString, ...], ...]:
    """Ways to cut rows that are more than one supply may feed: in equal parts; or each filled up, and what is left."""
    if rules.supply is None:
        return (tuple(rows),)
    equal = _fed_parts(rows, rules, electrics, wiring, pieces)
    if len(equal) == len(rows):
        return (equal,)
    return equal, _fed_parts(rows, rules, electrics, wiring, filled_pieces)


def _fed_parts(
    rows: Sequence[RowString],
    rules: BuildRules,
    electrics: Mapping[str, Electrics],
    wiring: Wiring,
    divided: Callable[..., tuple[int, ...]],
) -> tuple[RowString, ...]:
    """Rows in parts whose circuits each hang on one supply, what their wire loses included."""
    supply = rules.supply
    assert supply is not None
    found: list[RowString] = []
    for row in rows:
        name = row.kind.name
        how = rules.delivered[name]
        step = 1 if how.stock is None else how.stock.cut_every
        pitch = [float(gap) for gap in row.gaps] if how.pitch is None else float(how.pitch)
        watts = electrics[name].watts / wiring.circuits
        while True:
            try:
                counts = divided(row.count, supply, watts_a_module=watts, pitch=pitch, step=step)
            except InputError as error:
                raise InputError(f"row {row.name}: {error}") from None
            parts = row.in_parts(counts)
            taken = max(
                one.voltages.supply_watts / one.string.count
                for one in wired(parts, electrics, wiring, rules.pitches)
            )
            if taken <= watts * (1 + 1e-9):
                break
            watts = taken
        found += parts
    return tuple(found)


def _fed_by(
    parts: Sequence[RowString], circuits: Sequence[Circuit], supplies: SupplyPlan | None
) -> tuple[tuple[int, ...], ...]:
    """The supplies of each part's circuits, in their order."""
    fed: list[list[int]] = [[] for _ in parts]
    if supplies is not None:
        for one, supply in zip(circuits, supplies.supply_of, strict=True):
            fed[one.row - 1].append(supply)
    return tuple(map(tuple, fed))


def _circuits(
    on_wire: Sequence[WiredString], rules: BuildRules, electrics: Mapping[str, Electrics], wiring: Wiring
) -> tuple[Circuit, ...]:
    """Every circuit of every part: what it takes from its supply, rated or on its wire, whichever is more."""
    return tuple(
        Circuit(
            row=number,
            circuit=circuit,
            watts=max(
                one.voltages.supply_watts,
                electrics[one.string.kind.name].watts / wiring.circuits * one.string.count,
            ),
            length=float(string_length(one.string, rules.delivered[one.string.kind.name].pitch)),
        )
        for number, one in enumerate(on_wire, start=1)
        for circuit in range(1, one.circuits + 1)
    )


def _cuts(
    parts: Sequence[RowString],
    rules: BuildRules,
    untold: dict[Work, tuple[str, ...]],
    refused: dict[Work, str],
    tell: Callable[[str], None],
) -> tuple[KindCut, ...]:
    """The cutting plans, a kind of module after another; where one kind has none, none is told."""
    kinds = list(dict.fromkeys(one.kind.name for one in parts))
    missing = tuple(
        f"modules.{name}.string.roll_modules" for name in kinds if rules.delivered[name].stock is None
    )
    if missing:
        untold["cutting"] = missing
        return ()
    found = []
    for name in kinds:
        stock = rules.delivered[name].stock
        assert stock is not None
        mine = tuple(number for number, one in enumerate(parts) if one.kind.name == name)
        counts = [parts[number].count for number in mine]
        try:
            by_hand = first_fit(counts, stock, names=[parts[number].name for number in mine])
            tell(f"cutting {name}")
            plan = cut(counts, stock)
        except InputError as error:
            refused["cutting"] = str(error)
            return ()
        found.append(
            KindCut(
                kind=name, parts=mine, plan=plan, by_hand=by_hand, unjoined=_unjoined(plan, counts, stock)
            )
        )
    return tuple(found)


def _unjoined(plan: CuttingPlan, counts: Sequence[int], stock: Stock) -> CuttingPlan | None:
    if not plan.joints or max(counts) > stock.roll_modules:
        return None
    return cut(counts, replace(stock, most_joints=0))


def _sections(parts: Sequence[RowString], cuts: Sequence[KindCut]) -> tuple[Section, ...]:
    cut_to: dict[int, list[Section]] = {}
    for one in cuts:
        for index, number in enumerate(one.parts):
            cut_to[number] = [
                Section(part=number, start=section.start, modules=section.modules)
                for _, section in one.plan.sections_of(index)
            ]
    return tuple(
        section
        for number, part in enumerate(parts)
        for section in cut_to.get(number, [Section(part=number, start=0, modules=part.count)])
    )
