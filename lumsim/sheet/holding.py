"""Where every row of a sign is held: rows of one line together, clear of all the modules on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import SAME_ROW, Direction, ListedModules
from lumsim.errors import InputError
from lumsim.sheet.strings import RowString
from lumsim.sheet.supports import SupportRules, place_supports
from lumsim.units import Units, exact_length

__all__ = ["HeldRows", "Holding", "held_rows"]

MOST_TOLD = 3
"""Different reasons why supports cannot be placed, of which all are told. [1]"""

SAME_LINE = 1e-3
"""How far apart rows of different groups are on one line all the same. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """How rows are to be held."""

    intervals: Mapping[Direction, Fraction]
    """greatest between supports, of rows of either direction where it is told [m]"""
    from_end: Fraction
    """from the first or last module to a support, at most [m]"""
    clearance: Fraction
    """from a support to the end of a module, at least [m]"""
    step: Fraction
    """what supports' places are rounded to [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldRows:
    """Where rows are held."""

    places: tuple[tuple[Fraction, ...] | None, ...]
    """along each row, rows of one line by the same; None where their interval is not told or they have no place [m]"""
    lines: tuple[int, ...]
    """of each row the first row, from 0, that is on its line"""
    untold: tuple[str, ...]
    """keys without which some rows are not held"""
    refused: str | None
    """why some rows cannot be held so"""

    @property
    def told(self) -> int:
        """How many supports there are, as far as they are known. [1]"""
        return sum(len(self.places[line] or ()) for line in set(self.lines))

    @property
    def count(self) -> int | None:
        """How many supports there are; None where some rows' are not known. [1]"""
        return None if None in self.places else self.told


def held_rows(
    rows: Sequence[RowString],
    cabinet: Cabinet,
    holding: Holding,
    lengths: Mapping[str, Fraction],
    units: Units,
) -> HeldRows:
    """Say where every row is held.

    Rows that cross others are not looked at, nor are couplers and what else hangs between modules.

    Parameters
    ----------
    rows : sequence of RowString
        All rows of the cabinet.
    cabinet : Cabinet
    holding : Holding
    lengths : mapping
        Of a module of each kind along its row; 0 where it is not told. [m]
    units : {"in", "mm"}
        Of what is refused.
    """
    lines = _lines(rows, cabinet)
    found: list[tuple[Fraction, ...] | None] = [None] * len(rows)
    missing: list[str] = []
    complaints: dict[str, list[str]] = {}
    on_line: dict[int, list[RowString]] = {}
    for row, line in zip(rows, lines, strict=True):
        on_line.setdefault(line, []).append(row)
    for line, mine in on_line.items():
        row = rows[line]
        interval = holding.intervals.get(row.direction)
        if interval is None:
            missing.append(f"supports.{row.direction}_interval")
            continue
        rules = SupportRules(
            horizontal=interval,
            vertical=interval,
            from_end=holding.from_end,
            clearance=holding.clearance,
            module_length=max(lengths[one.kind.name] for one in mine),
        )
        extent = cabinet.box.width if row.direction == "horizontal" else cabinet.box.height
        try:
            places = place_supports(
                sorted({place for one in mine for place in one.along}),
                row.direction,
                rules,
                ends=(Fraction(0), exact_length(extent)),
                step=holding.step,
                units=units,
            )
        except InputError as error:
            complaints.setdefault(str(error), []).append(row.name)
            continue
        for one in mine:
            found[one.number - 1] = places
    return HeldRows(
        places=tuple(found),
        lines=lines,
        untold=tuple(dict.fromkeys(missing)),
        refused="; ".join(
            f"row {names[0]}{f' and {len(names) - 1} more alike' if len(names) > 1 else ''}: {text}"
            for text, names in list(complaints.items())[:MOST_TOLD]
        )
        or None,
    )


def _lines(rows: Sequence[RowString], cabinet: Cabinet) -> tuple[int, ...]:
    """Of each row the first row, from 0, that is on its line: rows of several kinds or groups may share one."""

    def one_line(row: RowString, other: RowString) -> bool:
        listed = row.group == other.group and isinstance(cabinet.groups[row.group - 1], ListedModules)
        return other.across - row.across <= (SAME_ROW if listed else SAME_LINE)

    on = [(cabinet.mounting(cabinet.groups[row.group - 1]).on, row.direction) for row in rows]
    order = sorted(range(len(rows)), key=lambda number: (on[number], rows[number].across, number))
    lines: list[list[int]] = []
    for number in order:
        if lines and on[number] == on[lines[-1][-1]] and one_line(rows[lines[-1][-1]], rows[number]):
            lines[-1].append(number)
        else:
            lines.append([number])
    first = {number: min(line) for line in lines for number in line}
    return tuple(first[number] for number in range(len(rows)))
