"""What differs in what several studies build, key by key."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.chunks.digests import digest_of
from lumsim.report.light_text import returns_words
from lumsim.report.rows_text import beam_words, opening_words, told_degrees
from lumsim.study.comparing import Comparison
from lumsim.study.reading import Study
from lumsim.units import Units, format_close, format_length

__all__ = ["NONE", "Row", "built_rows"]

NONE = "-"
"""What stands in a table for what a study does not have."""

_ON = {"back": "the back", "plane": "a plane between the faces"}

_MOST_PLACES = 12
"""Of listed rows, told one by one. [1]"""


class Row(NamedTuple):
    """One line of a table: what it tells, and a cell for each study in their order."""

    label: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fact:
    """One thing that is built."""

    value: object
    """by which it is the same or another"""
    told: str
    closer: str = ""
    """told to more digits; empty where there are none"""


def built_rows(comparison: Comparison) -> list[Row]:
    """What differs in sizes, reflectances, faces, ageing, rows and modules; nothing where all is alike.

    Lengths are told as a tape measure has them, and closer where they would else look the same.

    Parameters
    ----------
    comparison : Comparison
        Whose first study's units are taken.
    """
    studies = [one.study for one in comparison.studies]
    numbered = max(len(study.cabinet.groups) for study in studies) > 1
    facts = [_facts(study, comparison.units, numbered=numbered) for study in studies]
    labels = list(dict.fromkeys(label for one in facts for label in one))
    rows = []
    for label in labels:
        found = [one.get(label) for one in facts]
        values = [None if fact is None else fact.value for fact in found]
        if any(value != values[0] for value in values):
            rows.append(Row(label, tuple(_told(found))))
    return rows


def _told(found: Sequence[_Fact | None]) -> list[str]:
    """The cells of one line, so that what differs looks different."""
    values, told = set[object](), set[str]()
    for fact in found:
        if fact is not None:
            values.add(fact.value)
            told.add(fact.told)
    if len(told) == len(values):
        return [NONE if fact is None else fact.told for fact in found]
    if all(fact is None or fact.closer for fact in found):
        return [NONE if fact is None else fact.closer for fact in found]
    first = found[0]
    return [
        NONE
        if fact is None
        else fact.told
        if first is None or fact.value == first.value or fact.told != first.told
        else f"{fact.told}, but not the same"
        for fact in found
    ]


def _facts(study: Study, units: Units, *, numbered: bool) -> dict[str, _Fact]:
    """Everything that a study builds, in the order in which it is told."""
    cabinet, box = study.cabinet, study.cabinet.box
    facts = {
        "faces": _plain("double-sided" if cabinet.double_sided else "single-faced"),
        "width": _length(box.width, units),
        "height": _length(box.height, units),
        "depth": _length(box.depth, units),
    }
    if not cabinet.double_sided:
        facts["back reflectance"] = _number(box.back_reflectance)
    returns = returns_words(box).removeprefix("returns ")
    facts["return reflectance"] = _Fact(
        value=box.return_reflectances,
        told=returns,
    )
    for side, face in cabinet.faces:
        which = "face" if side == "front" else "rear"
        facts[f"{which} transmittance"] = _number(face.transmittance)
        facts[f"{which} reflectance"] = _number(face.reflectance)
        facts[f"{which} visible border"] = _length(face.visible_border, units)
        if face.film_transmittance < 1:
            facts[f"{which} film"] = _Fact(
                value=face.film_transmittance, told=f"transmittance {face.film_transmittance:g}"
            )
    for number, group in enumerate(cabinet.groups, start=1):
        of = f", rows {number}" if numbered else ""
        for label, fact in (
            _laid(group, units) if isinstance(group, Rows) else _listed(cabinet, group)
        ).items():
            facts[f"{label}{of}"] = fact
    if cabinet.obstructions:
        count = len(cabinet.obstructions)
        facts["obstructions"] = _Fact(value=cabinet.obstructions, told=f"{count}, not modelled")
    if study.ageing is not None:
        facts["ageing"] = _Fact(
            value=study.ageing,
            told=f"lumens × {study.ageing.maintenance_factor:g}, reflectances × {study.ageing.dirt_factor:g}",
        )
    return facts


def _laid(group: Rows, units: Units) -> dict[str, _Fact]:
    """Rows laid by a rule."""
    module = group.module
    facts = {"rows": _number(group.rows.count), "rows run": _plain(group.direction)}
    facts |= _places(group.rows, "row", units)
    facts["modules in a row"] = _number(group.modules.count)
    facts |= _places(group.modules, "module", units)
    facts["rows are on"] = _plain(_ON.get(group.on, f"the {group.on} return"))
    facts["z"] = _length(group.z, units)
    if group.staggered:
        facts["staggered"] = _plain("yes")
    for name, angle in (("turn", group.turn), ("tilt", group.tilt)):
        if angle:
            facts[name] = _Fact(value=round(math.degrees(angle), 9), told=f"{told_degrees(angle)} deg")
    if group.on == "plane":
        facts["share forward"] = _number(group.front_share)
    facts["lumens a module"] = _Fact(value=module.lumens, told=f"{module.lumens:.6g} lm")
    facts["beam"] = _Fact(value=digest_of(module.beam), told=beam_words(module.beam))
    for name, value, unit in (("watts a module", module.watts, "W"), ("volts", module.volts, "V")):
        if value is not None:
            facts[name] = _Fact(value=value, told=f"{value:.6g} {unit}")
    if len(module.leds) > 1:
        facts["LEDs a module"] = _Fact(value=module.leds, told=f"{len(module.leds)}")
    if module.opening is not None:
        facts["opening"] = _Fact(
            value=(module.opening, module.round_opening), told=opening_words(module, units)
        )
    return facts


def _listed(cabinet: Cabinet, group: ListedModules) -> dict[str, _Fact]:
    """Modules that a table lists."""
    on = cabinet.mounting(group).on
    return {
        "listed modules": _Fact(value=digest_of(group.placed), told=f"{len(group)}"),
        "rows run": _plain(group.direction),
        "rows are on": _plain(_ON[on]),
    }


def _places(places: Places, what: str, units: Units) -> dict[str, _Fact]:
    """How far apart rows or modules are, and the outermost from the returns."""
    facts = {}
    if places.pitch is not None:
        facts[f"{what} pitch"] = _length(places.pitch, units)
    elif places.count > 1:
        at = ", ".join(format_length(position, units) for position in places.positions[:_MOST_PLACES])
        if places.count > _MOST_PLACES:
            at += f" and {places.count - _MOST_PLACES} more"
        facts[f"{what}s at"] = _Fact(value=places.positions, told=at)
    first, last = places.edge_distances
    ends = dict.fromkeys((format_length(first, units), format_length(last, units)))
    closer = dict.fromkeys((format_close(float(first), units), format_close(float(last), units)))
    facts[f"{what} edge distance"] = _Fact(
        value=(_rounded(first), _rounded(last)), told=" and ".join(ends), closer=" and ".join(closer)
    )
    return facts


def _rounded(metres: Fraction | float) -> float:
    """A length without the last bits, by which inches and millimetres written alike may differ. [m]"""
    return round(float(metres), 9)


def _length(metres: Fraction | float, units: Units) -> _Fact:
    return _Fact(
        value=_rounded(metres),
        told=format_length(metres, units),
        closer=format_close(float(metres), units, digits=6),
    )


def _number(value: float) -> _Fact:
    return _Fact(value=value, told=f"{value:.6g}")


def _plain(told: str) -> _Fact:
    return _Fact(value=told, told=told)
