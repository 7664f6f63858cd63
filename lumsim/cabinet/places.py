"""Whole rows on a tape measure: pitch, count and edge distance → positions, in exact arithmetic.

The same rules place rows across the cabinet and modules along a row. Lengths are fractions of a metre:
in floats, "how many 12 in pitches fit" is wrong in several per cent of ordinary sizes.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from lumsim.errors import InputError, TooLargeError
from lumsim.units import Units, exact_length, format_length

__all__ = ["MOST_PLACES", "Places", "listed", "nearest_count", "pitches_of", "place"]

MOST_PLACES = 100_000
"""The most modules that one cabinet may hold. [1]"""

Length = Fraction | int | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Where rows (or the modules of a row) sit along one extent."""

    extent: Fraction
    """inside size of the cabinet in this direction [m]"""
    positions: tuple[Fraction, ...]
    """from the left or bottom return, rising [m]"""
    pitch: Fraction | None
    """on centre; None for listed positions and for a single place [m]"""
    rule: str
    """how they were placed, in words"""
    asked: Fraction | None = field(default=None, compare=False)
    """the pitch that was asked for, also of a single place; None where none was [m]"""

    @property
    def count(self) -> int:
        """How many. [1]"""
        return len(self.positions)

    @property
    def edge_distances(self) -> tuple[Fraction, Fraction]:
        """From the first place to the left or bottom return, and from the last to the other. [m]"""
        return self.positions[0], self.extent - self.positions[-1]


def nearest_count(extent: Fraction, pitch: Fraction) -> int:
    """How many rows of a pitch a cabinet holds: the whole number nearest to extent/pitch.

    A half goes up, and there is at least one. Centred, the outermost row is then between a quarter and
    three quarters of a pitch from the return. Rounding down would leave three rows in a 47 in cabinet at
    12 in, and dark edges.

    Parameters
    ----------
    extent, pitch : Fraction
        Both more than 0. [m]
    """
    return max(1, (2 * extent + pitch) // (2 * pitch))


def pitches_of(extent: Fraction, count: int) -> tuple[Fraction, Fraction]:
    """Between which pitches a cabinet holds so many rows, see ``nearest_count``.

    Parameters
    ----------
    extent : Fraction
        [m]
    count : int
        At least 1. [1]

    Returns
    -------
    least, most : Fraction
        At the least there is one more already, at the most there are so many still; of a single row the most is twice
        the extent, though there is one at any wider pitch. [m]
    """
    return extent / (count + Fraction(1, 2)), extent / (count - Fraction(1, 2))


def place(
    extent: Length,
    *,
    pitch: Length | None = None,
    count: int | None = None,
    edge_distance: Length | None = None,
    what: str = "row",
    units: Units = "mm",
) -> Places:
    """Places along an extent from what is known of them.

    pitch                      the nearest whole count, centred
    pitch and count            that count, centred
    pitch and edge distance    from edge distance to edge distance; the pitch must divide what lies between
    count and edge distance    from edge distance to edge distance, evenly
    count                      evenly, half a pitch from each return

    Parameters
    ----------
    extent, pitch, edge_distance : length
        [m]
    count : int
        [1]
    what : str
        What is placed, for messages: ``row`` or ``module``.
    units : {"in", "mm"}
        For messages.

    Raises
    ------
    InputError
        Where nothing or too much is given, or where it does not fit; with the numbers.
    TooLargeError
        Above ``MOST_PLACES``.
    """
    whole = exact_length(extent)
    asked = step = None if pitch is None else exact_length(pitch)
    inset = None if edge_distance is None else exact_length(edge_distance)

    def shown(length: Fraction) -> str:
        return format_length(length, units)

    if step is not None and not step > 0:
        raise InputError(f"{what} pitch must be more than 0, got {shown(step)}")
    if count is not None and not count >= 1:
        raise InputError(f"{what} count must be 1 or more, got {count}")
    if inset is not None and not 0 <= inset <= whole / 2:
        raise InputError(
            f"{what} edge distance must be from 0 to half of the {shown(whole)} there is, got {shown(inset)}"
        )
    if step is not None and count is not None and inset is not None:
        raise InputError(
            f"{what} pitch, count and edge distance together say too much: any two of them give the third"
        )
    if step is None and count is None:
        raise InputError(f"{what}s need a pitch, or a count with an edge distance")

    if step is not None and inset is not None:
        between = whole - 2 * inset
        if between % step:
            fewer = max(1, between // step)
            raise InputError(
                f"{shown(inset)} from both returns leaves {shown(between)} of {shown(whole)}, which "
                f"{what}s {shown(step)} on centre do not divide: give a count of {fewer + 1} or {fewer + 2} instead of "
                f"the pitch, about {shown(between / fewer)} or {shown(between / (fewer + 1))} on centre, "
                "or leave out the edge distance"
            )
        count = int(between / step) + 1
        rule = "pitch and edge distance"
    elif step is not None:
        rule = "pitch and count, centred" if count is not None else "pitch, centred"
        count = count if count is not None else nearest_count(whole, step)
        inset = (whole - (count - 1) * step) / 2
        if inset < 0:
            raise InputError(
                f"{count} {what}s {shown(step)} on centre take {shown((count - 1) * step)}, "
                f"more than the {shown(whole)} there is"
            )
    elif inset is not None and count is not None:
        rule = "count and edge distance"
        if count == 1 and inset * 2 != whole:
            raise InputError(
                f"a single {what} sits in the middle, {shown(whole / 2)} from both returns, "
                f"not {shown(inset)}: leave out the edge distance, or list its position"
            )
        step = (whole - 2 * inset) / (count - 1) if count > 1 else whole
        if not step > 0:
            raise InputError(f"{count} {what}s would all sit in the middle: give a smaller edge distance")
    elif count is not None:
        rule = "count, half a pitch from each return"
        step = whole / count
        inset = step / 2

    assert step is not None
    assert inset is not None
    assert count is not None
    if count > MOST_PLACES:
        raise TooLargeError(f"{count} {what}s in {shown(whole)}: at most {MOST_PLACES} are taken")
    return Places(
        extent=whole,
        positions=tuple(inset + i * step for i in range(count)),
        pitch=step if count > 1 else None,
        rule=rule,
        asked=asked,
    )


def listed(extent: Length, positions: Sequence[Length], *, what: str = "row", units: Units = "mm") -> Places:
    """Places at listed positions, measured from the left or bottom return.

    Parameters
    ----------
    extent : length
        Inside size of the cabinet in this direction. [m]
    positions : sequence of lengths
        In any order. [m]
    what : str
        What is placed, for messages: ``row`` or ``module``.
    units : {"in", "mm"}
        For messages.

    Raises
    ------
    InputError
        Where there are none, one lies outside the cabinet, or two are the same.
    """
    whole = exact_length(extent)
    exact = sorted(exact_length(position) for position in positions)
    if not exact:
        raise InputError(f"the list of {what} positions is empty: give at least one")
    for position in exact:
        if not 0 <= position <= whole:
            raise InputError(
                f"a {what} at {format_length(position, units)} is outside the cabinet, which ends at "
                f"{format_length(whole, units)}"
            )
    for one, next_one in itertools.pairwise(exact):
        if one == next_one:
            raise InputError(f"two {what}s at {format_length(one, units)}: each position counts once")
    return Places(extent=whole, positions=tuple(exact), pitch=None, rule="listed")
