"""Which distances a building plan tells along the cabinet's sides, each dimension line with its letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from string import ascii_uppercase
from typing import Final

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import wall_behind, wall_name
from lumsim.pictures.building_marks import PlanRow
from lumsim.pictures.dimension_lines import Axis
from lumsim.pictures.dimensions import Chain
from lumsim.sheet.strings import RowString
from lumsim.units import Units, exact_length, format_length

__all__ = ["LetteredChain", "lettered_chains"]

_MOST: Final = 3
"""Dimension lines along one side, the overall one aside. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LetteredChain:
    """A dimension line along one side of the cabinet."""

    letter: str
    """empty where it tells the whole width or height"""
    axis: Axis
    """x: below the cabinet; y: on its left"""
    chain: Chain


def lettered_chains(
    cabinet: Cabinet, rows: Sequence[PlanRow], *, scale: float, units: Units
) -> tuple[list[LetteredChain], list[str]]:
    """Lay out the dimension lines of row lines and of one row's modules, for each group of rows.

    Parameters
    ----------
    cabinet : Cabinet
    rows : sequence of PlanRow
    scale : float
        [in of paper for 1 m]
    units : {"in", "mm"}

    Returns
    -------
    chains : list of LetteredChain
        The same distances are told once; three lines at most along a side, and outside them one over the whole.
    notes : list of str
        What each letter stands for, and what is not drawn.
    """
    asked: dict[tuple[Axis, tuple[Fraction, ...]], list[str]] = {}
    notes = []
    for number, group in enumerate(cabinet.groups, start=1):
        strings = [row.string for row in rows if row.string.group == number]
        if not strings:
            continue
        first, *others = strings
        along: Axis = "x" if first.direction == "horizontal" else "y"
        mount = cabinet.mounting(group)
        if mount.on_return:
            wall_axis, far = wall_behind(mount.on)
            wall = wall_name(wall_axis, far=far, two_faces=cabinet.double_sided)
            heights = _few([format_length(one.across, units) for one in strings])
            behind = "rear face" if cabinet.double_sided else "back"
            notes.append(f"{_rows(strings)} on the {wall}: {heights} from the {behind}")
        else:
            lines = tuple(sorted({one.across for one in strings}))
            asked.setdefault(("y" if along == "x" else "x", lines), []).append(_rows(strings))
        # The second row is another one where rows are staggered or listed.
        for one in [first, *(other for other in others[:1] if other.along != first.along)]:
            asked.setdefault((along, one.along), []).append(f"modules of row {one.number}")
    chains: list[LetteredChain] = []
    left_out = []
    extent: dict[Axis, Fraction] = {
        "x": exact_length(cabinet.box.width),
        "y": exact_length(cabinet.box.height),
    }
    for (axis, places), what in asked.items():
        if sum(chain.axis == axis for chain in chains) == _MOST:
            left_out += what
            continue
        letter = ascii_uppercase[len(chains)]
        chain = Chain.of(places, extent[axis], scale=scale, units=units)
        chains.append(LetteredChain(letter=letter, axis=axis, chain=chain))
        thin = f", {chain.told}" if chain.told else ""
        counted = ", each from the return" if chain.running else ""
        notes.append(f"{letter}: {' and '.join(what)}{counted}{thin}")
    whole: tuple[Axis, ...] = ("x", "y")
    chains += [
        LetteredChain(letter="", axis=axis, chain=Chain.whole(extent[axis], scale=scale, units=units))
        for axis in whole
    ]
    if left_out:
        notes.append(f"distances not drawn: {_few(left_out)}")
    return chains, notes


def _rows(strings: Sequence[RowString]) -> str:
    if len(strings) == 1:
        return f"row {strings[0].number}"
    return f"rows {strings[0].number}–{strings[-1].number}"


def _few(texts: Sequence[str]) -> str:
    """List texts; of many the first and the last."""
    return ", ".join(texts) if len(texts) <= 4 else f"{texts[0]}, {texts[1]} … {texts[-1]}"
