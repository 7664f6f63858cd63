"""What a study says of building the sign: how string is delivered, supports, supplies, small parts, costs, service."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from lumsim.cabinet.rows import Direction
from lumsim.errors import InputError, Problem
from lumsim.sheet.holding import Holding
from lumsim.sheet.parts import DEFAULT_RULES, PartRule
from lumsim.sheet.prices import PriceList, plain_name
from lumsim.sheet.rules import BuildRules, Delivered, Stock, UpkeepRules
from lumsim.sheet.running import Running
from lumsim.sheet.supply_kind import SupplyKind
from lumsim.study.form import StudyForm
from lumsim.study.price_list import read_prices
from lumsim.study.reports import Report, length_shown
from lumsim.study.sheet_form import StringForm, length_or_default
from lumsim.study.table import Table
from lumsim.units import Units, format_length

__all__ = ["BuildAsked", "build_asked"]

STEPS: dict[Units, Fraction] = {"in": Fraction(254, 160000), "mm": Fraction(1, 1000)}
"""What supports' places are rounded to: 1/16 in, 1 mm. [m]"""

Place = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildAsked:
    """What the sheet builds, prices and serves by."""

    rules: BuildRules
    upkeep: UpkeepRules
    defaults: tuple[tuple[str, str], ...]
    """keys that the study leaves out, and what they are then, as printed"""


def build_asked(
    form: StudyForm, kinds: Iterable[str], folder: Path, report: Report, problems: list[Problem]
) -> BuildAsked:
    """What a form says of building the sign.

    Parameters
    ----------
    form : StudyForm
    kinds : iterable of str
        Names of the modules that stand in rows.
    folder : Path
        Where the price list is looked for.
    report : callable
        Told of each thing that does not fit.
    problems : list of Problem
        Grows by what is wrong in the price list.
    """
    names = list(kinds)
    power, supports = form.power, form.supports
    intervals: dict[Direction, Fraction] = {}
    if supports.horizontal_interval is not None:
        intervals["horizontal"] = supports.horizontal_interval
    if supports.vertical_interval is not None:
        intervals["vertical"] = supports.vertical_interval
    rules = BuildRules(
        delivered={name: _delivered(name, form.modules[name].string, report) for name in names},
        supply=None
        if power.supply_watts is None
        else SupplyKind(
            watts=power.supply_watts,
            loading_share=power.loading_share,
            longest_string=None if power.longest_string is None else float(power.longest_string),
        ),
        interleaved=power.interleaved,
        holding=Holding(
            intervals=intervals,
            from_end=length_or_default(supports, "from_end", form.units),
            clearance=length_or_default(supports, "clearance", form.units),
            step=STEPS[form.units],
        ),
        parts=_part_rules(form, names, report),
        units=form.units,
    )
    upkeep = UpkeepRules(
        supplies_at=_supplies_at(form, report),
        supply_size=power.supply_size,
        prices=_prices(form, folder, report, problems),
        currency=form.costs.currency or "",
        running=_running(form, report),
        opens=form.service.opens,
        arm=form.service.arm,
        spare_modules=form.service.spare_modules,
        spare_supplies=form.service.spare_supplies,
    )
    return BuildAsked(rules=rules, upkeep=upkeep, defaults=_defaults(form, names))


def _delivered(name: str, form: StringForm, report: Report) -> Delivered:
    stock = None
    if form.roll_modules is not None:
        try:
            stock = Stock(
                roll_modules=form.roll_modules,
                cut_every=form.cut_every,
                most_joints=form.most_joints,
                shortest_section=form.shortest_section,
            )
        except InputError as error:
            report(("modules", name, "string"), str(error))
    if form.pitch is not None and form.module_length is not None and form.module_length > form.pitch:
        report(
            ("modules", name, "string", "module_length"),
            "is longer than the string's own pitch: modules would overlap",
        )
    return Delivered(stock=stock, pitch=form.pitch, module_length=form.module_length)


def _part_rules(form: StudyForm, names: list[str], report: Report) -> tuple[PartRule, ...]:
    if form.parts is None:
        return DEFAULT_RULES
    seen: dict[str, str] = dict.fromkeys(
        ("supply", *(f"roll of {name}" for name in names)), "by the sheet itself"
    )
    for number, one in enumerate(form.parts):
        name = plain_name(one.name)
        if name in seen or name.endswith(" pair"):
            by = seen.get(name, "by the sheet itself")
            report(
                ("parts", number, "name"),
                f"{one.name!r} is counted {by} already: give this part another name",
            )
        seen.setdefault(name, f"by parts {number + 1}")
    return tuple(
        PartRule(name=one.name, each=one.each, per=one.per, with_roll=one.with_roll) for one in form.parts
    )


def _supplies_at(form: StudyForm, report: Report) -> tuple[Place, ...]:
    if form.power.supply_size is not None and form.power.supplies_at is None:
        report(("power", "supply_size"), "says nothing without supplies_at: give the places of supplies too")
    half = tuple(size / 2 for size in form.power.supply_size or (Fraction(0), Fraction(0)))
    places = tuple(form.power.supplies_at or ())
    for number, place in enumerate(places):
        for axis, at, off, room in zip(
            ("x", "y"), place, half, (form.cabinet.width, form.cabinet.height), strict=True
        ):
            if not off <= at <= room - off:
                report(
                    ("power", "supplies_at", number),
                    f"{axis} = {length_shown(at, form.units)}{_with_half(off, form.units)} puts the supply outside the "
                    f"cabinet, which goes from 0 to {length_shown(room, form.units)}",
                    of_sizes=True,
                )
        for before, other in enumerate(places[:number]):
            apart = [abs(one - two) for one, two in zip(place, other, strict=True)]
            if place == other or all(way < 2 * size for way, size in zip(apart, half, strict=True)):
                report(
                    ("power", "supplies_at", number),
                    f"is where supply {before + 1} is, by their places and supply_size",
                )
    return places


def _with_half(off: Fraction, units: Units) -> str:
    return f" with {length_shown(off, units)} of supply_size to either side" if off else ""


def _prices(form: StudyForm, folder: Path, report: Report, problems: list[Problem]) -> PriceList | None:
    costs = form.costs
    if costs.prices is None:
        return None
    if costs.currency is None:
        report(("costs", "currency"), 'is needed beside prices, as it is to be printed, such as "EUR"')
    file = folder / costs.prices
    prices, wrong = read_prices(file, str(file))
    problems.extend(wrong)
    return prices


def _running(form: StudyForm, report: Report) -> Running | None:
    costs = form.costs
    if costs.price_a_kwh is not None and costs.currency is None:
        report(("costs", "currency"), 'is needed beside price_a_kwh, as it is to be printed, such as "EUR"')
    if costs.hours_a_day is None:
        for key in ("price_a_kwh", "supply_efficiency"):
            if key in costs.model_fields_set:
                report(("costs", key), "says nothing without hours_a_day: give it too")
        return None
    return Running(
        hours_a_day=costs.hours_a_day,
        efficiency=costs.supply_efficiency,
        # As it is written, not as the float nearest to it.
        tariff=None if costs.price_a_kwh is None else Decimal(repr(costs.price_a_kwh)),
    )


def _defaults(form: StudyForm, names: list[str]) -> tuple[tuple[str, str], ...]:
    """Keys that bear on the sheet and that the study leaves out, with what they are then."""
    supports = form.supports
    told = [
        *(
            (f"modules.{name}.string", form.modules[name].string, {"cut_every": "1", "most_joints": "0"})
            for name in names
            if form.modules[name].string.roll_modules is not None
        ),
        *([("power", form.power, {"loading_share": "0.8"})] if form.power.supply_watts is not None else []),
    ]
    if supports.horizontal_interval is not None or supports.vertical_interval is not None:
        lengths = {
            key: format_length(length_or_default(supports, key, form.units), form.units)
            for key in ("from_end", "clearance")
        }
        told.append(("supports", supports, lengths))
    if form.costs.hours_a_day is not None:
        told.append(("costs", form.costs, {"supply_efficiency": f"{form.costs.supply_efficiency:g}"}))
    return tuple((f"{at}.{key}", value) for at, table, keys in told for key, value in _left_out(table, keys))


def _left_out(table: Table, keys: dict[str, str]) -> list[tuple[str, str]]:
    return [(key, value) for key, value in keys.items() if key not in table.model_fields_set]
