"""What a study says, key by key: in its units and in SI, with the line where it stands and where it comes from."""

from __future__ import annotations

import difflib
import re
import typing
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from lumsim.errors import LengthError
from lumsim.study.key_lines import KeyPath, dotted
from lumsim.study.reports import Report
from lumsim.study.values import Number
from lumsim.units import Units, format_length, parse_length

__all__ = ["Input", "check_origins", "inputs_of"]

LEFT_OUT = frozenset({"title", "units", "search", "tolerance", "submittal", "page"})
"""Tables that say nothing of the sign."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One key, what it is, and where it comes from."""

    key: str
    """as a person writes it, groups counted from 1"""
    what: str
    """what the key means; empty for a default"""
    value: str
    """in the study's units, or as written where these would round it and in feet"""
    si: str
    """the same in SI; empty where that is what ``value`` says"""
    line: int | None
    """of the file, from 1; None for a change and a default"""
    changed: bool = False
    """whether it was changed for this run"""
    stated: str | None = None
    """where the study says that it comes from"""

    @property
    def default(self) -> bool:
        """Whether the study leaves it to lumsim."""
        return self.line is None and not self.changed


def inputs_of(
    form: BaseModel,
    content: Mapping[str, Any],
    *,
    lines: Mapping[KeyPath, int],
    changed: Sequence[KeyPath],
    defaults: Sequence[tuple[str, str]],
    origins: Mapping[str, str],
    units: Units,
) -> tuple[Input, ...]:
    """Every input of a study, in the order of its form; then what it leaves to lumsim.

    Parameters
    ----------
    form : BaseModel
    content : mapping
        As it was read, changes made.
    lines : mapping of key path to line
    changed : sequence of KeyPath
    defaults : sequence of (key, value)
    origins : mapping of key to text
        Where inputs, or tables of them, are said to come from.
    units : {"in", "mm"}
    """
    single = len(content.get("rows", ())) == 1

    def name(path: KeyPath) -> str:
        # A single group needs no number, as on the command line.
        return dotted(tuple(part for part in path if not (single and path[0] == "rows" and part == 0)))

    found = []
    for path, what, value, raw, unit in _leaves(form, content, ()):
        key = name(path)
        shown, si = _told(value, raw, units, unit)
        moved = any(path[: len(one)] == one for one in changed)
        line = None if moved else _line_of(path, lines)
        stated = _stated(key, origins)
        found.append(Input(key=key, what=what, value=shown, si=si, line=line, changed=moved, stated=stated))
    for key, text in defaults:
        found.append(
            Input(key=key, what="", value=text, si=_si_of(text), line=None, stated=_stated(key, origins))
        )
    return tuple(found)


def check_origins(inputs: Sequence[Input], origins: Mapping[str, str], report: Report) -> None:
    """Report each origin that belongs to no input.

    Parameters
    ----------
    inputs : sequence of Input
    origins : mapping of key to text
    report : callable
    """
    keys = [one.key for one in inputs]
    tables = {".".join(parts[:n]) for parts in (key.split(".") for key in keys) for n in range(1, len(parts))}
    known = [*keys, *sorted(tables - set(keys))]
    for name in origins:
        if name not in known:
            nearest = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            hint = f"; did you mean {nearest[0]}?" if nearest else ""
            report(("submittal", "origins", name), f"is no key that this study has{hint}")


def _stated(key: str, origins: Mapping[str, str]) -> str | None:
    """The origin of a key, or else that of the nearest table around it."""
    while key not in origins and "." in key:
        key = key.rpartition(".")[0]
    return origins.get(key)


def _line_of(path: KeyPath, lines: Mapping[KeyPath, int]) -> int | None:
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path)


Leaf = tuple[KeyPath, str, object, object, str]
"""Its path, what it means, its value as read and as written, the unit of a number."""


def _leaves(form: BaseModel, content: Mapping[str, Any], before: KeyPath) -> Iterator[Leaf]:
    for name, field in type(form).model_fields.items():
        if name not in form.model_fields_set or (not before and name in LEFT_OUT):
            continue
        value, raw, path = getattr(form, name), content[name], (*before, name)
        if isinstance(value, BaseModel):
            yield from _leaves(value, raw, path)
        elif isinstance(value, dict):
            for key, one in value.items():
                yield from _leaves(one, raw[key], (*path, key))
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            for number, one in enumerate(value):
                yield from _leaves(one, raw[number], (*path, number))
        elif value is not None:
            yield path, field.description or "", value, raw, _unit_of(field)


def _unit_of(field: FieldInfo) -> str:
    def within(annotation: object) -> str:
        for one in (*getattr(annotation, "__metadata__", ()), *typing.get_args(annotation)):
            if isinstance(one, Number) and one.unit:
                return one.unit
            found = within(one)
            if found:
                return found
        return ""

    for one in field.metadata:
        if isinstance(one, Number) and one.unit:
            return one.unit
    return within(field.annotation)


def _told(value: object, raw: object, units: Units, unit: str) -> tuple[str, str]:
    """A value in the study's units and, where that is another, in SI."""
    if isinstance(value, Fraction):
        printed = format_length(value, units)
        in_feet = re.search(r"ft|foot|feet|['′]", str(raw)) is not None
        exact = str(raw) if in_feet or parse_length(printed) != value else printed
        return exact, f"{float(value):.6g} m"
    if isinstance(value, list | tuple) and isinstance(raw, list | tuple):
        each = [_told(one, given, units, unit) for one, given in zip(value, raw, strict=True)]
        apart = "; " if isinstance(value, list) else ", "
        si = [si for _, si in each]
        return apart.join(shown for shown, _ in each), apart.join(si) if all(si) else ""
    if isinstance(value, bool):
        return ("yes" if value else "no"), ""
    if isinstance(value, int | float):
        if isinstance(raw, str):
            return raw, f"{value:.6g} rad"
        return f"{value:.10g}{f' {unit}' if unit else ''}", ""
    return str(value), ""


def _si_of(text: str) -> str:
    """SI of a default as it is printed, where it is a length."""
    try:
        return f"{float(parse_length(text)):.6g} m"
    except LengthError:
        return ""
