"""Keeping a sign up: how many spares, and how far one must reach.

A reach is measured straight in from the side that the cabinet opens at; the whole of that side is taken for open: a
face swung or slid away leaves the whole front or rear, a return that comes off leaves its whole end. Whether an arm
gets there past rows and walls is for a person to see.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction
from typing import Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import ROUNDING, Cabinet
from lumsim.errors import InputError
from lumsim.sheet.strings import RowString

__all__ = ["Opening", "reach_to", "reach_to_place", "reaches_to_rows", "spares", "too_far"]

Array = NDArray[np.float64]
Named = TypeVar("Named", bound=Hashable)

Opening = Literal["front", "rear", "left", "right", "top", "bottom"]
"""From which side the cabinet opens."""

_SIDES: dict[Opening, tuple[int, bool]] = {
    "left": (0, False),
    "right": (0, True),
    "bottom": (1, False),
    "top": (1, True),
    "rear": (2, False),
    "front": (2, True),
}
"""Along which axis each side is open, 0 for x, and whether at the far end of it."""


def spares(count: int, share: float, at_least: int = 1) -> int:
    """How many spares to keep: a share, rounded up; none of what the sign does not hold.

    Parameters
    ----------
    count : int
        How many the sign holds. [1]
    share : float
        From 0 to 1; stands for its shortest decimal, so that 0.07 of 100 are 7. [1]
    at_least : int
        However few the sign holds. [1]

    Raises
    ------
    InputError
        Where one of them cannot be.
    """
    if not count >= 0:
        raise InputError(f"a count to spare of must be 0 or more, got {count}")
    if not 0 <= share <= 1:
        raise InputError(f"a share of spares must be from 0 to 1, got {share:g}")
    if not at_least >= 0:
        raise InputError(f"spares must be at least 0 or more, got {at_least}")
    return max(at_least, math.ceil(Fraction(repr(float(share))) * count)) if count else 0


def reaches_to_rows(cabinet: Cabinet, strings: Sequence[RowString], opens: Opening) -> tuple[float, ...]:
    """How far in one must reach to the farthest module of each row. [m]

    Parameters
    ----------
    cabinet : Cabinet
    strings : sequence of RowString
        Some or all of its rows.
    opens : str
        From which side it opens.
    """
    reach = _reach(cabinet, cabinet.emitters().places, opens)
    return tuple(float(reach[list(one.modules)].max()) for one in strings)


def reach_to(cabinet: Cabinet, string: RowString, opens: Opening) -> float:
    """How far in one must reach to the farthest module of a row. [m]

    Parameters
    ----------
    cabinet : Cabinet
    string : RowString
        One of its rows.
    opens : str
        From which side it opens.
    """
    return reaches_to_rows(cabinet, [string], opens)[0]


def reach_to_place(
    cabinet: Cabinet, place: tuple[Fraction, Fraction], opens: Opening, *, z: Fraction = Fraction(0)
) -> float:
    """How far in one must reach to a place, such as that of a supply on the back. [m]

    Parameters
    ----------
    cabinet : Cabinet
    place : (x, y)
        From the left and the bottom return. [m]
    opens : str
        From which side it opens.
    z : Fraction
        Above the back, with two faces above the rear face. [m]

    Raises
    ------
    InputError
        For a place outside the cabinet.
    """
    at = np.array([float(length) for length in (*place, z)])
    for name, position, size in zip("xyz", at, _size(cabinet), strict=True):
        if not -ROUNDING <= position <= size + ROUNDING:
            raise InputError(
                f"a place at {name} = {position:g} m is outside the cabinet, which ends at {size:g} m"
            )
    return float(_reach(cabinet, at[None], opens)[0])


def _reach(cabinet: Cabinet, places: Array, opens: Opening) -> Array:
    """(n,) from the open side to each of (n, 3) places. [m]"""
    axis, far = _SIDES[opens]
    return np.asarray(_size(cabinet)[axis] - places[:, axis] if far else places[:, axis])


def _size(cabinet: Cabinet) -> tuple[float, float, float]:
    return cabinet.box.width, cabinet.box.height, cabinet.box.depth


def too_far(reaches: Mapping[Named, float], arm: float) -> tuple[Named, ...]:
    """What is beyond an arm's length, in the order given; just as far as the arm is near enough.

    Parameters
    ----------
    reaches : mapping
        How far in each is, by its name or number. [m]
    arm : float
        As far as one reaches in. [m]

    Raises
    ------
    InputError
        For an arm of no length.
    """
    if not arm > 0:
        raise InputError(f"an arm's length must be more than 0 m, got {arm:g} m")
    return tuple(name for name, reach in reaches.items() if reach > arm + ROUNDING)
