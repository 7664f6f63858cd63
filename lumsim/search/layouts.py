"""A cabinet with another row pitch or another depth."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.places import Places, listed, nearest_count, place
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError
from lumsim.units import Units, exact_length, format_length

__all__ = [
    "least_depth",
    "midway",
    "on_marks",
    "other_counts",
    "rows_to_vary",
    "with_depth",
    "with_row_pitch",
    "with_rows",
]


def rows_to_vary(cabinet: Cabinet, group: int | None, *, units: Units = "mm") -> int:
    """Which group of rows a search moves, from 0.

    Parameters
    ----------
    cabinet : Cabinet
    group : int or None
        From 1, as the study counts; None where there is only one.
    units : {"in", "mm"}
        For messages.

    Raises
    ------
    InputError
        Where there are several and none is named, the group's modules are listed one by one, or it is on a return.
    """
    may_move = [
        number
        for number, one in enumerate(cabinet.groups, start=1)
        if isinstance(one, Rows) and one.on not in RETURNS
    ]
    if group is None:
        if len(cabinet.groups) > 1 and not may_move:
            raise InputError(
                f"none of the {len(cabinet.groups)} groups of rows has a row pitch across the face to search: they are "
                "on returns, or list their modules one by one"
            )
        if len(cabinet.groups) > 1:
            raise InputError(
                f"the study has {len(cabinet.groups)} groups of rows: say which one's pitch to search, "
                f"such as --group {may_move[0]}"
            )
        group = 1
    if not 1 <= group <= len(cabinet.groups):
        raise InputError(
            f"there is no group of rows {group}: they are counted from 1 to {len(cabinet.groups)}"
        )
    chosen = cabinet.groups[group - 1]
    if not isinstance(chosen, Rows):
        raise InputError(
            f"group {group} lists its modules one by one and has no row pitch to search: "
            "give it a pitch and a module pitch instead of positions"
        )
    on = chosen.on
    if on in RETURNS:
        elsewhere = "between the two faces" if cabinet.double_sided else "on the back"
        other = (
            f"name a group {elsewhere}, such as --group {may_move[0]}"
            if may_move
            else f"there are no rows {elsewhere}"
        )
        raise InputError(
            f"group {group} is on the {on} return: its rows lie across the depth, "
            f"{format_length(cabinet.box.depth, units)}, and a row pitch across the face is what is searched; {other}"
        )
    return group - 1


def with_row_pitch(cabinet: Cabinet, group: int, pitch: Fraction | float) -> Cabinet:
    """The same cabinet with one group's rows laid anew at a pitch: the nearest whole count, centred.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        From 0.
    pitch : length
        [m]
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    return with_rows(cabinet, group, rows=place(rows.rows.extent, pitch=pitch, what="row"))


def with_rows(cabinet: Cabinet, group: int, **changes: Any) -> Cabinet:
    """The same cabinet with one group's rows laid in another way.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        From 0.
    **changes
        Fields of ``Rows``.

    Raises
    ------
    InputError
        Where the rows cannot be laid so.
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    moved = replace(rows, **changes)
    return replace(cabinet, groups=(*cabinet.groups[:group], moved, *cabinet.groups[group + 1 :]))


def other_counts(places: Places, hair: Fraction) -> tuple[int, int] | None:
    """How many there would be if the extent were a hair less or more: as of a pitch a hair wider or narrower.

    Parameters
    ----------
    places : Places
        Rows, or the modules of a row.
    hair : Fraction
        To which a person measures, less than the extent. [m]

    Returns
    -------
    fewer, more : int
        Both the count there is unless a hair changes it. None where the pitch alone does not say how many. [1]
    """
    asked, extent = places.asked, places.extent
    if asked is None or not 0 < hair < extent or place(extent, pitch=asked) != places:
        return None
    return nearest_count(extent - hair, asked), nearest_count(extent + hair, asked)


def on_marks(least: Fraction | float, most: Fraction | float, mark: Fraction) -> list[Fraction]:
    """Every whole number of marks from a least length to a most, both counted in. [m]

    Parameters
    ----------
    least, most : length
        More than 0; a float may miss a mark by its last digits. [m]
    mark : Fraction
        [m]
    """
    low = Fraction(least) * (1 - Fraction(1, 10**12)) / mark
    high = Fraction(most) * (1 + Fraction(1, 10**12)) / mark
    return [number * mark for number in range(max(1, math.ceil(low)), math.floor(high) + 1)]


def with_depth(cabinet: Cabinet, depth: float) -> Cabinet:
    """The same cabinet with another depth.

    The modules keep their place above the back or the rear face, rows on returns as well; only those midway between
    two faces stay midway.

    Parameters
    ----------
    cabinet : Cabinet
    depth : float
        [m]
    """

    def moved(group: Rows | ListedModules) -> Rows | ListedModules:
        if isinstance(group, Rows) and group.on in RETURNS:
            return replace(group, rows=_deeper(group.rows, depth, midway_stays=cabinet.double_sided))
        if isinstance(group, Rows):
            return replace(group, z=depth / 2) if midway(cabinet, group.emitters()).any() else group
        placed = group.placed
        return replace(
            group, placed=replace(placed, z=np.where(midway(cabinet, placed), depth / 2, placed.z))
        )

    groups = tuple(moved(group) for group in cabinet.groups)
    # Obstructions are not modelled; one that a shallower box cannot hold must not stop a search.
    return replace(cabinet, box=replace(cabinet.box, depth=depth), groups=groups, obstructions=())


def _deeper(places: Places, depth: float, *, midway_stays: bool) -> Places:
    """Places across the depth, at another depth."""
    extent = exact_length(depth)
    stay = [midway_stays and 2 * position == places.extent for position in places.positions]
    if not any(stay):
        return replace(places, extent=extent)
    moved = (extent / 2 if one else position for one, position in zip(stay, places.positions, strict=True))
    return listed(extent, list(moved))


def least_depth(cabinet: Cabinet, throw: float) -> float:
    """The least depth that leaves the modules a throw, where it changes with the depth, in metres.

    Parameters
    ----------
    cabinet : Cabinet
    throw : float
        [m]
    """
    emitters = cabinet.emitters()
    stays_midway = midway(cabinet, emitters)
    forward = emitters.z[~stays_midway & (emitters.front_share > 0)]
    return max(
        float(np.max(forward, initial=0.0)) + throw,
        # Those that shine at the rear face only need no throw in front of them.
        float(np.max(emitters.z[~stays_midway], initial=0.0)),
        2 * throw if stays_midway.any() else 0.0,
    )


def midway(cabinet: Cabinet, emitters: Emitters) -> NDArray[np.bool_]:
    """(n,) which modules are midway between two faces, and stay so at another depth.

    Parameters
    ----------
    cabinet : Cabinet
    emitters : Emitters
        n modules of it. [m]
    """
    return np.asarray(cabinet.double_sided & (emitters.z == cabinet.box.depth / 2))
