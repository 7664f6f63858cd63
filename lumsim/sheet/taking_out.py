"""What must come out to change what: sections of string, and rows over what lies behind them.

A row lies over what it covers as seen from in front: from its first module to its last and as far beyond and aside as
is known of what shines of them. Rows between two faces lie over what is behind them as seen from in front, and before
it as seen from behind. Rows on a return lie over nothing on the back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import ROUNDING, Cabinet
from lumsim.cabinet.modules import Emitters, Module
from lumsim.errors import InputError
from lumsim.sheet.strings import RowString

__all__ = ["Stretch", "rows_over", "to_change_module"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A section of string as it lies in a row, and what must be undone to take it out.

    Raises
    ------
    InputError
        Where it holds no module, or is fed outside itself.
    """

    row: int
    """from 1, as ``RowString.number``"""
    section: int
    """from 1"""
    from_module: int
    """the first, by its place in the row, from 0"""
    to_module: int
    """the last, itself included"""
    supports: tuple[Fraction, ...]
    """that hold it, along the row from the left or bottom return [m]"""
    feeds: tuple[int, ...]
    """at which modules it is fed, by their place in the row, from 0"""

    def __post_init__(self) -> None:
        name = f"section {self.section} of row {self.row}"
        first, last = self.from_module + 1, self.to_module + 1
        if first > last:
            raise InputError(f"{name} must end at or after its first module, {first}, got {last}")
        for feed in self.feeds:
            if not self.from_module <= feed <= self.to_module:
                raise InputError(
                    f"{name} is fed at module {feed + 1}, which is not one of its own, {first} to {last}"
                )


def to_change_module(stretches: Sequence[Stretch], row: int, module: int) -> Stretch:
    """What comes out to change a module: the stretch that holds it, off its supports and feeds.

    Parameters
    ----------
    stretches : sequence of Stretch
    row : int
        From 1.
    module : int
        By its place in the row, from 0.

    Raises
    ------
    InputError
        Where none of them holds it.
    """
    for one in stretches:
        if one.row == row and one.from_module <= module <= one.to_module:
            return one
    raise InputError(f"no stretch of row {row} holds module {module + 1}")


class _Room(NamedTuple):
    """What a row takes of the back, or of the plane before it."""

    low: Array
    """(2,) x and y [m]"""
    high: Array
    """(2,) [m]"""

    def covers(self, place: tuple[Fraction, Fraction], size: tuple[Fraction, Fraction]) -> bool:
        """Whether it has more than an edge in common with a rectangle."""
        middle, half = (np.array([float(length) for length in pair]) for pair in (place, size))
        half = half / 2
        if not (half > 0).all():
            raise InputError(
                "what lies behind rows must be more than 0 m wide and high, "
                f"got {float(size[0]):g} by {float(size[1]):g} m"
            )
        return bool(
            (self.low < middle + half - ROUNDING).all() and (self.high > middle - half + ROUNDING).all()
        )


def rows_over(
    strings: Sequence[RowString],
    cabinet: Cabinet,
    place: tuple[Fraction, Fraction],
    size: tuple[Fraction, Fraction],
    half_width: Fraction | None = None,
) -> tuple[int, ...]:
    """What comes out to change a supply, or whatever lies behind rows: the rows that lie over it.

    What only touches is not covered. Lead wires beyond the last module are not counted.

    Parameters
    ----------
    strings : sequence of RowString
    cabinet : Cabinet
        That they are the rows of.
    place : (x, y)
        Its middle, from the left and the bottom return. [m]
    size : (width, height)
        [m]
    half_width : Fraction, optional
        Half of what a row takes across, housings included; what is known of LEDs and openings unless told. [m]

    Returns
    -------
    tuple of int
        Their numbers, rising where the strings' do.

    Raises
    ------
    InputError
        For a size of nothing, and a width of less.
    """
    rooms = _rooms(strings, cabinet, half_width)
    return tuple(row for row, room in rooms.items() if room.covers(place, size))


def _rooms(strings: Sequence[RowString], cabinet: Cabinet, half_width: Fraction | None) -> dict[int, _Room]:
    """The room of each row that is on no return, by its number."""
    if half_width is not None and not half_width >= 0:
        raise InputError(f"half of what a row takes across must be 0 m or more, got {float(half_width):g} m")
    emitters = cabinet.emitters()
    middles, halves = emitters.places[:, :2], _half_sizes(emitters)
    rooms = {}
    for string in strings:
        if cabinet.mounting(cabinet.groups[string.group - 1]).on_return:
            continue
        of_row = list(string.modules)
        half = halves[of_row]
        if half_width is not None:
            half[:, 1 if string.direction == "horizontal" else 0] = float(half_width)
        rooms[string.number] = _Room(
            (middles[of_row] - half).min(axis=0), (middles[of_row] + half).max(axis=0)
        )
    return rooms


def _half_sizes(emitters: Emitters) -> Array:
    """(n, 2) how far what shines of each module reaches from its middle along x and y, as it is turned. [m]"""
    reach = np.array([_half_size(kind) for kind in emitters.kinds])[emitters.kind]
    return np.asarray((abs(emitters.frames[:, :2, :2]) * reach[:, :, None]).sum(axis=1))


def _half_size(kind: Module) -> tuple[float, float]:
    """How far LEDs and their openings reach from a module's middle, along it and across it. [m]"""
    length, width = kind.opening or (0.0, 0.0)
    return (
        max(abs(led[0]) for led in kind.leds) + length / 2,
        max(abs(led[1]) for led in kind.leds) + width / 2,
    )
