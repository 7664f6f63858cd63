"""A layout that a search found, in words: exactly, and as it is marked out with a tape measure."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from lumsim.search.depth import DepthSearch
from lumsim.search.edge_distance import EdgeSearch
from lumsim.search.fewest import FewestSearch
from lumsim.search.row_pitch import PitchSearch
from lumsim.search.trying import Found, Tried
from lumsim.units import Units, format_close, format_length

__all__ = ["counted", "layout_told", "length_found", "positions"]

MOST_POSITIONS = 12
"""Of rows that are told. [1]"""

Length = Callable[[Fraction | float], str]
"""Writes a length [m]."""


def layout_told(found: Found, one: Tried, units: Units, *, exactly: bool) -> dict[str, str]:
    """What a search may move of a layout, each number by its name.

    Parameters
    ----------
    found : Found
        What was searched.
    one : Tried
        The layout.
    units : {"in", "mm"}
    exactly : bool
        In decimals, what was searched rounded to the side on which the requirement is met; else as it is marked out.
    """
    marked = _as_marked(one, units)

    def length(value: Fraction | float) -> str:
        return _decimal(float(value), units, round) if exactly else marked(value)

    def rounded(value: float, to: Callable[[float], int]) -> str:
        return _decimal(value, units, to) if exactly else marked(value)

    if isinstance(found, DepthSearch):
        return {"depth": rounded(one.cabinet.box.depth, math.ceil)}
    if isinstance(found, EdgeSearch):
        return {"edge distance": length(one.rows.edge_distances[0]), "row pitch": length(one.pitch)}
    if isinstance(found, FewestSearch):
        return _counts(one) | _across(one, length(one.pitch), length) | _along(one, length)
    assert isinstance(found, PitchSearch)
    rows = str(one.rows.count) if one.rows.count > 1 else "1, in the middle"
    return {"rows": rows} | _across(one, rounded(one.pitch, math.floor), length)


def _counts(one: Tried) -> dict[str, str]:
    rows = one.moved
    watts = rows.module.watts
    modules = one.rows.count * rows.modules.count
    power = {} if watts is None else {"watts": f"{modules * watts:.4g}"}
    staggered = ", staggered" if any(rows.shifts) else ""
    middle = ", in the middle" if one.rows.count == 1 else ""
    return {
        "modules": str(modules),
        **power,
        "rows": f"{one.rows.count} {rows.direction}{staggered}{middle}",
        "modules in each" if one.rows.count > 1 else "modules in it": str(rows.modules.count),
    }


def _across(one: Tried, pitch: str, length: Length) -> dict[str, str]:
    """Across the rows; a single one stands in the middle."""
    if one.rows.count == 1:
        return {}
    return {"row pitch": pitch, "edge distance": length(one.rows.edge_distances[0])}


def _along(one: Tried, length: Length) -> dict[str, str]:
    """Along each row, its first module from the return; of staggered rows, counted from the bottom or left, two."""
    modules = one.moved.modules
    pitch = {"module pitch": length(modules.pitch)} if modules.pitch else {}
    if any(one.moved.shifts):
        odd, even = one.moved.first_modules[:2]
        return pitch | {"first module, rows 1, 3": length(odd), "first module, rows 2, 4": length(even)}
    return pitch | {"first module": length(modules.edge_distances[0])}


def counted(one: Tried) -> str:
    """How many modules, watts and rows the rows that moved have."""
    rows = one.moved
    many = one.rows.count > 1
    watts = rows.module.watts
    power = "" if watts is None else f" ({one.rows.count * rows.modules.count * watts:.4g} W)"
    modules = one.rows.count * rows.modules.count
    return (
        f"{modules} module{'s' if modules > 1 else ''}{power}: {one.rows.count} {rows.direction} "
        f"row{'s' if many else ''} of {rows.modules.count}{' each' if many else ''}"
    )


def length_found(found: Found, units: Units) -> str:
    """The depth, edge distance or row pitch that was searched, to build, or exactly where there is none to build.

    Parameters
    ----------
    found : Found
    units : {"in", "mm"}
    """
    told = layout_told(found, found.best, units, exactly=found.buildable is None and found.exact is not None)
    if isinstance(found, DepthSearch):
        return told["depth"]
    return told["edge distance" if isinstance(found, EdgeSearch) else "row pitch"]


def _as_marked(one: Tried, units: Units) -> Length:
    """Writes lengths of a layout as they are marked out; in decimals where what adds up is not on a tape's marks."""
    adds_up = [one.rows.pitch, one.moved.modules.pitch, one.cabinet.box.depth]
    if all(length is None or _is_on_a_mark(length, units) for length in adds_up):
        return lambda length: format_length(length, units)
    return lambda length: format_close(float(length), units, digits=5)


def _is_on_a_mark(length: Fraction | float, units: Units) -> bool:
    return format_close(float(length), units) == format_length(length, units)


def _decimal(length: float, units: Units, to: Callable[[float], int]) -> str:
    """A length in decimals, a thousandth of an inch or a tenth of a millimetre fine. [m]"""
    digit = 1e-4 if units == "mm" else 2.54e-5
    slack = 1e-6 if to is math.floor else -1e-6 if to is math.ceil else 0.0
    value = to(length / digit + slack)
    return f"{value / 10:.1f} mm" if units == "mm" else f"{value / 1e3:.3f} in"


def positions(one: Tried, units: Units) -> str:
    """Where the rows are.

    Parameters
    ----------
    one : Tried
    units : {"in", "mm"}
    """
    marked = _as_marked(one, units)
    at = [marked(position) for position in one.rows.positions]
    more = f" and {len(at) - MOST_POSITIONS} more" if len(at) > MOST_POSITIONS else ""
    return ", ".join(at[:MOST_POSITIONS]) + more
