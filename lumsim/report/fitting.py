"""Warnings of what cannot be built as it is laid."""

from __future__ import annotations

import numpy as np

from lumsim.cabinet.cabinet import ROUNDING, Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.orientation import RETURNS, wall_name
from lumsim.cabinet.overlaps import extent, first_overlap, openings_outside
from lumsim.cabinet.rows import Rows
from lumsim.report.rows_text import of_rows
from lumsim.units import Units, format_close, format_difference, format_length

__all__ = ["fitting_warnings"]


def fitting_warnings(cabinet: Cabinet, units: Units) -> list[str]:
    """Pitches wider than the cabinet, modules that take the same room, openings that stick out of the cabinet.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
        For the lengths in the text.
    """
    return [*_too_wide(cabinet, units), *_overlaps(cabinet, units), *_outside(cabinet, units)]


def _too_wide(cabinet: Cabinet, units: Units) -> list[str]:
    told = []
    for number, group in enumerate(cabinet.groups, start=1):
        if not isinstance(group, Rows):
            continue
        which = of_rows(cabinet, number)
        for what, places in (("row", group.rows), ("module", group.modules)):
            if places.count == 1 and places.asked is not None and places.asked > places.extent:
                deep = " of depth" if what == "row" and group.on in RETURNS else ""
                told.append(
                    f"the {what} pitch{which}, {format_length(places.asked, units)}, is wider than the "
                    f"{format_length(places.extent, units)}{deep} that there is: one {what} stands in the middle"
                )
    return told


def _overlaps(cabinet: Cabinet, units: Units) -> list[str]:
    emitters = cabinet.emitters()
    sizes = [len(group) for group in cabinet.groups]
    starts = np.cumsum([0, *sizes])
    middles = emitters.places
    told = []
    for groups, pair in sorted(first_overlap(emitters, np.repeat(np.arange(len(sizes)), sizes)).items()):
        one, other = (
            _module(cabinet, group, number - int(starts[group]))
            for group, number in zip(groups, pair, strict=True)
        )
        kinds = [emitters.kinds[emitters.kind[number]] for number in pair]
        apart = float(np.linalg.norm(middles[pair[1]] - middles[pair[0]]))
        how = f"{format_close(apart, units)} apart on centre" if apart > ROUNDING else "in the same place"
        told.append(
            f"{one} and {other} overlap: they are {how}{_taking(kinds, units)}. Modules cannot be built into one "
            "another"
        )
    return told


def _taking(kinds: list[Module], units: Units) -> str:
    """What LEDs and openings of two modules measure; nothing where they are points."""
    sizes = [" by ".join(format_close(one, units) for one in extent(kind) if one > 0) for kind in kinds]
    if not all(sizes):
        return ""
    openings = [kind.opening is not None for kind in kinds]
    what = "openings" if all(openings) and all(len(kind.leds) == 1 for kind in kinds) else "LEDs"
    with_openings = " with their openings" if what == "LEDs" and any(openings) else ""
    shown = list(dict.fromkeys(sizes))
    return f", and their {what}{with_openings} take {' and '.join(shown)}{' each' if len(shown) == 1 else ''}"


def _outside(cabinet: Cabinet, units: Units) -> list[str]:
    told = []
    for number, group in enumerate(cabinet.groups):
        placed = group.emitters()
        for out in openings_outside(cabinet, placed, cabinet.mounting(group).on):
            kind = placed.kinds[placed.kind[out.module]]
            wall = wall_name(out.axis, far=out.high, two_faces=cabinet.double_sided)
            module = _module(cabinet, number, out.module)
            what = "the opening" if len(kind.leds) == 1 else "the opening of an LED"
            told.append(
                (
                    f"an LED of {module} is right at the {wall}, half of it beyond"
                    if kind.opening is None
                    else f"{what} of {module} sticks out {format_difference(out.by, units)} past the {wall}"
                )
                + ": all its light is told to be inside, which cannot be built"
            )
    return told


def _module(cabinet: Cabinet, group: int, number: int) -> str:
    """A module by its row and its place in it, each counted from the left or the bottom."""
    rows = cabinet.groups[group]
    which = of_rows(cabinet, group + 1)
    if not isinstance(rows, Rows):
        return f"listed module {number + 1}{which}"
    row, module = divmod(number, rows.modules.count)
    return f"module {module + 1} of row {row + 1}{which}"
