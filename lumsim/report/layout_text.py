"""A layout that a search found, in words: exactly, and as it is marked out with a tape measure."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction

from lumsim.search.depth import DepthSearch
from lumsim.search.edge_distance import EdgeSearch
from lumsim.search.fewest import FewestSearch
from lumsim.search.row_pitch import PitchSearch
from lumsim.search.trying import Found, Tried
from lumsim.units import Units, format_length

__all__ = ["counted", "exactly", "on_the_tape", "positions"]

MOST_POSITIONS = 12
"""Of rows that are told. [1]"""


def exactly(found: Found, units: Units) -> str:
    """The exact answer, rounded to the side on which the requirement is met.

    Parameters
    ----------
    found : Found
        With an exact answer.
    units : {"in", "mm"}
    """
    one = found.exact
    assert one is not None
    if isinstance(found, PitchSearch):
        return f"{_decimal(one.pitch, units, math.floor)}, {one.rows.count} rows"
    if isinstance(found, DepthSearch):
        return f"{_decimal(one.cabinet.box.depth, units, math.ceil)} deep"
    if isinstance(found, EdgeSearch):
        edge = _decimal(float(one.rows.edge_distances[0]), units, round)
        return f"{edge}, {_decimal(one.pitch, units, round)} on centre"
    return f"{counted(one)}, {_spaced(one, units, exactly=True)}"


def on_the_tape(found: Found, one: Tried, units: Units) -> str:
    """A layout as it is marked out.

    Parameters
    ----------
    found : Found
        What was searched.
    one : Tried
        The layout to build.
    units : {"in", "mm"}
    """
    if isinstance(found, DepthSearch):
        return f"{format_length(one.cabinet.box.depth, units)} deep"
    if isinstance(found, FewestSearch):
        return f"{counted(one)}, {_spaced(one, units, exactly=False)}"
    return (
        f"{format_length(one.pitch, units)} on centre, {one.rows.count} rows, "
        f"edge distance {format_length(one.rows.edge_distances[0], units)}"
    )


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


def _spaced(one: Tried, units: Units, *, exactly: bool) -> str:
    """Row pitch and module pitch; to build also where the first row and the first module are."""

    def length(value: float) -> str:
        return _decimal(value, units, round) if exactly else format_length(value, units)

    modules = one.moved.modules
    rows = f"rows {length(one.pitch)} on centre" if one.rows.count > 1 else "the row in the middle"
    staggered = any(one.moved.shifts)
    along = (
        f"{'staggered ' if staggered else ''}modules {length(float(modules.pitch))} on centre"
        if modules.pitch
        else "a module in its middle"
    )
    if exactly:
        return f"{rows}, {along}"
    # Of staggered rows the first modules of odd and even rows differ; rows are counted from the bottom or the left.
    firsts = one.moved.first_modules[:2] if staggered else modules.edge_distances[:1]
    laid = ((rows, one.rows.edge_distances[:1]), (along, firsts))
    return "; ".join(f"{said}, {_firsts(distances, length)}" for said, distances in laid)


def _firsts(distances: Sequence[Fraction | float], length: Callable[[float], str]) -> str:
    """Where the first of some rows, or the first module of odd and of even rows, is."""
    first = length(float(distances[0]))
    if len(distances) == 1:
        return f"the first {first} from the return"
    second = length(float(distances[1]))
    return f"the first {first} from the return in rows 1, 3 and so on, {second} in rows 2, 4 and so on"


def _decimal(length: float, units: Units, to: Callable[[float], int]) -> str:
    """A length in decimals, a thousandth of an inch or a tenth of a millimetre fine. [m]"""
    digit = 1e-4 if units == "mm" else 2.54e-5
    slack = 1e-6 if to is math.floor else -1e-6 if to is math.ceil else 0.0
    value = to(length / digit + slack)
    return f"{value / 10:.1f} mm" if units == "mm" else f"{value / 1e3:.3f} in"


def positions(one: Tried, units: Units) -> list[str]:
    """Where the rows are, on a line.

    Parameters
    ----------
    one : Tried
    units : {"in", "mm"}
    """
    at = [format_length(position, units) for position in one.rows.positions]
    shown = ", ".join(at[:MOST_POSITIONS]) + (
        f" and {len(at) - MOST_POSITIONS} more" if len(at) > MOST_POSITIONS else ""
    )
    return [f"  rows at        {shown}"]
