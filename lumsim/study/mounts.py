"""What rows are on and how their modules lean: rows on returns, turns and tilts; LEDs that would stick out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from lumsim.cabinet.cabinet import LEAST_THROW, ROUNDING
from lumsim.cabinet.modules import Emitters, led_places
from lumsim.cabinet.orientation import RETURNS, Direction, Mount, runs_along, wall_behind, wall_name
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import Rows
from lumsim.study.form import RowsForm, StudyForm
from lumsim.study.reports import Report, length_shown
from lumsim.units import METRES_PER_INCH, Units, format_difference, format_length

__all__ = [
    "AXES",
    "THROW",
    "StickingOut",
    "built_rows",
    "direction_of",
    "extents",
    "mount_of",
    "on_return",
    "refuse_on_return",
    "span_of",
    "sticking_out",
]

THROW = Fraction(LEAST_THROW).limit_denominator(10**6)
"""The nearest that a module may come to a face. [m]"""

AXES = ("x", "y", "z")

ROW_KEYS, MODULE_KEYS = (
    ("at", "edge_distance", "count", "pitch"),
    ("module_edge_distance", "module_count", "module_pitch"),
)
"""Keys that say where rows are across, and where modules are along them."""


def mount_of(form: StudyForm, rows: RowsForm) -> Mount:
    """What a group of rows is on, the default filled in.

    Parameters
    ----------
    form : StudyForm
    rows : RowsForm
        Of that study.
    """
    return rows.on or ("plane" if form.cabinet.faces == 2 else "back")


def on_return(rows: RowsForm) -> bool:
    """Whether a group of rows is on a return."""
    return rows.on in RETURNS


def direction_of(rows: RowsForm) -> Direction:
    """How a group of rows runs; on a return along it."""
    return (runs_along(rows.on) if rows.on is not None else None) or rows.direction


def span_of(form: StudyForm, rows: RowsForm) -> Fraction:
    """From the return that rows are on to the one opposite. [m]

    Parameters
    ----------
    form : StudyForm
    rows : RowsForm
        Of that study.
    """
    return form.cabinet.width if rows.on in {"left", "right"} else form.cabinet.height


def extents(form: StudyForm, rows: RowsForm) -> tuple[Fraction, Fraction]:
    """Inside size of the cabinet across a group of rows, and along them. [m]

    Parameters
    ----------
    form : StudyForm
    rows : RowsForm
        Of that study.
    """
    width, height = form.cabinet.width, form.cabinet.height
    across, along = (height, width) if direction_of(rows) == "horizontal" else (width, height)
    return (form.cabinet.depth if on_return(rows) else across), along


def refuse_on_return(form: StudyForm, number: int, report: Report) -> bool:
    """Refuse what rows on a return cannot be; return whether anything was.

    Parameters
    ----------
    form : StudyForm
    number : int
        Which group, from 0.
    report : callable
    """
    path, rows = ("rows", number), form.rows[number]
    assert rows.on is not None
    told = False
    runs = direction_of(rows)
    if "direction" in rows.model_fields_set and rows.direction != runs:
        told = True
        report(
            (*path, "direction"),
            f'rows on the {rows.on} return run along it: leave it out, or write "{runs}"',
        )
    if rows.front_share is not None:
        told = True
        report((*path, "front_share"), "modules on a return shine inwards, all their light: leave it out")
    if rows.staggered:
        told = True
        report(
            (*path, "staggered"),
            "rows are staggered on the back or in a plane between two faces, not on a return: leave it out",
        )
    if rows.positions is not None:
        told = True
        report(
            (*path, "on"),
            f"listed modules are on the back or in a plane between two faces: lay the rows on the {rows.on} return by "
            "pitch, count or at",
        )
    span = span_of(form, rows)
    if rows.z is not None and not rows.z <= span - THROW:
        told = True
        report(
            (*path, "z"),
            f"{length_shown(rows.z, form.units)} above the {rows.on} return there is no room: it must be at most 1 mm "
            f"less than the {length_shown(span, form.units)} to the return opposite",
            of_sizes=True,
        )
    return told


def built_rows(form: StudyForm, number: int, rows: Rows, report: Report) -> Rows | None:
    """The rows themselves where all of them are inside the cabinet and far enough from the faces; else None.

    Parameters
    ----------
    form : StudyForm
    number : int
        Which group, from 0.
    rows : Rows
        Of it.
    report : callable
    """
    near = on_return(form.rows[number]) and _refuse_near_faces(form, number, rows.rows, report)
    return None if near or _refuse_sticking_out(form, number, rows, report) else rows


def _first_said(rows: RowsForm, path: tuple[str, int], keys: tuple[str, ...]) -> tuple[str | int, ...]:
    return next(((*path, key) for key in keys if getattr(rows, key) is not None), path)


def _refuse_near_faces(form: StudyForm, number: int, places: Places, report: Report) -> bool:
    """Refuse rows on a return that are too near a face."""
    path, rows = ("rows", number), form.rows[number]
    to_rear, to_face = places.edge_distances
    two = form.cabinet.faces == 2
    gaps = [("rear face", to_rear), ("front face", to_face)] if two else [("face", to_face)]
    near = [(face, gap) for face, gap in gaps if not gap >= THROW]
    for face, gap in near:
        report(
            _first_said(rows, path, ROW_KEYS),
            f"a row on the {rows.on} return would be {length_shown(gap, form.units)} from the {face}: at least 1 mm "
            "is needed",
            of_sizes=True,
        )
    return bool(near)


@dataclass(frozen=True, slots=True, kw_only=True)
class StickingOut:
    """An LED outside the cabinet, or too near a face."""

    module: int
    """whose it is, from 0"""
    axis: int
    """along which it is out: 0, 1, 2 for x, y, z"""
    high: bool
    """whether past the far end of that axis"""
    by: float
    """how far [m]"""
    wall: str
    """past what"""


def sticking_out(form: StudyForm, placed: Emitters) -> Iterator[StickingOut]:
    """Of each module the LED that is farthest outside, along each axis.

    Parameters
    ----------
    form : StudyForm
        Whose cabinet it is.
    placed : Emitters
    """
    box, two = form.cabinet, form.cabinet.faces == 2
    ahead = placed.frames[:, 2, 2]
    share = placed.front_share
    # Modules that shine straight away from a face may touch it.
    room_ahead = np.where((share > 0) & (ahead > -1), LEAST_THROW, 0.0)
    room_behind = np.where(two & ((share < 1) | (ahead < 1)), LEAST_THROW, 0.0)
    sizes = [float(size) for size in (box.width, box.height, box.depth)]
    middles = placed.places
    for module, kind in enumerate(placed.kind):
        only = slice(module, module + 1)
        (leds,) = led_places(placed.kinds[kind], middles[only], placed.frames[only])
        for axis, size in enumerate(sizes):
            low, high = (room_behind[module], size - room_ahead[module]) if axis == 2 else (0.0, size)
            for past, by in ((False, low - leds[:, axis].min()), (True, leds[:, axis].max() - high)):
                if by > ROUNDING:
                    wall = wall_name(axis, far=past, two_faces=two)
                    yield StickingOut(module=module, axis=axis, high=past, by=float(by), wall=wall)


def _refuse_sticking_out(form: StudyForm, number: int, rows: Rows, report: Report) -> bool:
    """Refuse rows of modules whose LEDs stick out of the cabinet, at the key that would cure it."""
    if rows.module.leds == ((0.0, 0.0),):
        return False
    path, said = ("rows", number), form.rows[number]
    worst: dict[tuple[int, bool], StickingOut] = {}
    for out in sticking_out(form, rows.emitters()):
        if (out.axis, out.high) not in worst or out.by > worst[out.axis, out.high].by:
            worst[out.axis, out.high] = out
    normal, at_far_end = wall_behind(rows.on)
    along = 0 if rows.direction == "horizontal" else 1
    units = form.units
    for out in worst.values():
        least = "at least 1 mm is needed to a face: " if "face" in out.wall else ""
        where = f"an LED would be {format_difference(out.by, units)} {'too near' if least else 'past'} the {out.wall}"
        if out.axis == normal:
            onto = out.high == at_far_end
            z = rows.z + out.by if onto else rows.z - out.by
            bound = f"at least {_marked_up(z, units)}" if onto else f"at most {_marked_down(z, units)}"
            leaning = "; so would less tilt" if rows.tilt else ""
            possible = z >= 0 and (not onto or z <= float(_room(form, said)))
            cure = f"z must be {bound}{leaning}" if possible else "the module is too large for this cabinet"
            report((*path, "z") if said.z is not None else path, f"{where}: {least}{cure}", of_sizes=True)
            continue
        places, keys, cure = (
            (
                rows.modules,
                MODULE_KEYS,
                "module_edge_distance, from which staggered rows are moved, must be {} or more"
                if rows.staggered
                else "modules must be {} or more from it (module_edge_distance, module_count)",
            )
            if out.axis == along
            else (rows.rows, ROW_KEYS, "rows must be {} or more from it (edge_distance, count or at)")
        )
        distance = float(places.edge_distances[out.high]) + out.by
        if out.axis == 2:
            # Counted from the face itself, the least throw included.
            distance = max(distance, out.by)
        text = cure.format(_marked_up(distance, units))
        report(_first_said(said, path, keys), f"{where}: {least}{text}", of_sizes=True)
    return bool(worst)


def _room(form: StudyForm, rows: RowsForm) -> Fraction:
    return span_of(form, rows) if on_return(rows) else form.cabinet.depth


def _mark(units: Units) -> float:
    return float(METRES_PER_INCH) / 16 if units == "in" else 0.001


def _marked_up(length: float, units: Units) -> str:
    """A length rounded up to a mark of a tape measure."""
    return format_length(math.ceil(length / _mark(units) - 1e-6) * _mark(units), units)


def _marked_down(length: float, units: Units) -> str:
    return format_length(math.floor(length / _mark(units) + 1e-6) * _mark(units), units)
