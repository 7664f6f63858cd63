"""Warnings of rows and modules laid where a hair changes how many there are."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.rows import Rows
from lumsim.report.rows_text import of_rows
from lumsim.search.layouts import other_counts
from lumsim.study.questions import MARK
from lumsim.units import Units, format_length

__all__ = ["counting_warnings"]

_KEYS: Mapping[str, str] = MappingProxyType({"row": "count", "module": "module_count"})


def counting_warnings(cabinet: Cabinet, units: Units) -> list[str]:
    """Pitches at which a cabinet that measures a mark less or more, or a pitch a hair off, changes the count.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
        For the marks of the tape measure, and for the lengths in the text.
    """
    told = []
    for number, group in enumerate(cabinet.groups, start=1):
        if not isinstance(group, Rows):
            continue
        for what, places in (("row", group.rows), ("module", group.modules)):
            others = other_counts(places, MARK[units])
            if others is None or places.asked is None:
                continue
            where = " in each row" if what == "module" else ""
            deep = "depth" if what == "row" and group.on in RETURNS else "cabinet"
            for count, pitch, size in zip(others, ("wider", "narrower"), ("smaller", "larger"), strict=True):
                if count != places.count:
                    told.append(
                        f"the {what} pitch{of_rows(cabinet, number)}, {format_length(places.asked, units)}, is where "
                        f"the count changes: a pitch a hair {pitch}, or a {deep} {format_length(MARK[units], units)} "
                        f"{size}, has {_changed(what, places.count, count)}{where}; "
                        f"{_KEYS[what]} = {places.count} keeps what is lit here"
                    )
    return told


def _changed(what: str, count: int, other: int) -> str:
    by = abs(other - count)
    amount = f"one {what}" if by == 1 else f"{by} {what}s"
    return f"{amount} {'less' if other < count else 'more'}, {other} instead of {count}"
