"""The one pitch of a cabinet's rows, and of its modules along them, where there is one: what repeats on its face."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.rows import ListedModules, Rows

__all__ = ["HAIR", "OnePitch", "module_pitch_of", "row_pitch_of"]

HAIR = 0.01
"""Share of the pitch by which rows may miss even spacing and still have one pitch. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnePitch:
    """A pitch that holds all over the face, or why there is none."""

    pitch: float | None = None
    """[m]"""
    along: Literal["x", "y"] = "x"
    """which it repeats"""
    why_not: str = ""
    """of a pitch that there is none of"""


def row_pitch_of(cabinet: Cabinet) -> OnePitch:
    """The pitch of the rows, of all groups together.

    Rows on returns light the face from beside it and are left out where there are others.
    """
    rows, why_not = _alike_rows(cabinet)
    if why_not:
        return OnePitch(why_not=why_not)
    lines = np.sort(np.concatenate([group.row_lines for group in rows]))
    if len(lines) == 1:
        return OnePitch(why_not="a single row has no pitch")
    pitch = (lines[-1] - lines[0]) / (len(lines) - 1)
    even = np.linspace(lines[0], lines[-1], len(lines))
    if not (np.abs(lines - even) <= HAIR * pitch).all():
        return OnePitch(why_not="the rows are not evenly spaced")
    return OnePitch(pitch=float(pitch), along="y" if rows[0].direction == "horizontal" else "x")


def module_pitch_of(cabinet: Cabinet) -> OnePitch:
    """The pitch of the modules along the rows, where those of all rows stand in columns."""
    rows, why_not = _alike_rows(cabinet)
    if why_not:
        return OnePitch(why_not=why_not)
    pitch = rows[0].modules.pitch
    if pitch is None:
        return OnePitch(why_not="a single module in a row has no pitch")
    if rows[0].staggered:
        return OnePitch(why_not="modules of staggered rows stand in no columns")
    return OnePitch(pitch=float(pitch), along="x" if rows[0].direction == "horizontal" else "y")


def _alike_rows(cabinet: Cabinet) -> tuple[list[Rows], str]:
    """The groups that repeat across the face, alike in all but where their rows are; else why they do not repeat."""
    rows = [one for one in cabinet.groups if isinstance(one, Rows)]
    if any(isinstance(one, ListedModules) for one in cabinet.groups):
        return [], "modules that are listed one by one have no pitch"
    rows = [one for one in rows if one.on not in RETURNS]
    if not rows:
        return [], "rows on a return light the face from beside it"
    if any(one.direction != rows[0].direction for one in rows):
        return [], "rows run both ways"
    if any(_but_for_lines(one) != _but_for_lines(rows[0]) for one in rows):
        return [], "groups of rows are unlike each other"
    if len(rows) > 1 and rows[0].staggered:
        return [], "staggered groups of rows do not alternate as one"
    return rows, ""


def _but_for_lines(group: Rows) -> tuple[object, ...]:
    """All that makes the light of a row, told apart by identity where it is a kind of module."""
    return (
        id(group.module),
        group.modules.positions,
        group.z,
        group.front_share,
        group.turn,
        group.tilt,
        group.staggered,
    )
