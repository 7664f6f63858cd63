"""Groups of rows and their modules in words: places, what they are on, beams, LEDs, throws."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.orientation import RETURNS, Direction, Mount, wall_name
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.light.point_error import FIVE_TIMES
from lumsim.report.numbers import significant
from lumsim.uniformity.names import percent
from lumsim.units import METRES_PER_INCH, Units, format_length, format_size

__all__ = [
    "beam_document",
    "beam_words",
    "faces_words",
    "of_rows",
    "opening_words",
    "rows_lines",
    "told_degrees",
]

INDENT = " " * 12


def of_rows(cabinet: Cabinet, number: int) -> str:
    """Which group something belongs to, such as " of rows 2"; nothing where there is only one.

    Parameters
    ----------
    cabinet : Cabinet
    number : int
        From 1.
    """
    return "" if len(cabinet.groups) == 1 else f" of rows {number}"


def rows_lines(cabinet: Cabinet, units: Units) -> list[str]:
    """What each group of rows is, some lines each.

    Parameters
    ----------
    cabinet : Cabinet
    units : {"in", "mm"}
    """
    lines = []
    for number, group in enumerate(cabinet.groups, start=1):
        head = "rows" if len(cabinet.groups) == 1 else f"rows {number}"
        if isinstance(group, Rows):
            lines += _laid(cabinet, group, head, units)
            continue
        placed, nearest = group.emitters(), _nearest(cabinet, group)
        lines.append(
            f"  {head:<9} {len(placed)} listed modules, {placed.flux.sum():.6g} lm; {_standing(cabinet, group, units)}"
        )
        for kind in placed.kinds:
            lines += [f"{INDENT}{kind.name}: {_lumens(kind)}", f"{INDENT}{_made(kind, nearest, units)}"]
    return lines


def _laid(cabinet: Cabinet, group: Rows, head: str, units: Units) -> list[str]:
    horizontal = group.direction == "horizontal"
    across = ("bottom", "top") if horizontal else ("left", "right")
    along = ("left", "right") if horizontal else ("bottom", "top")
    on_return = group.on in RETURNS
    first = (
        f"{_places(group.rows, 'row', units)} on the {group.on} return, {_depths(cabinet, group.rows, units)}"
        if on_return
        else f"{_places(group.rows, 'row', units)}, {group.direction}; {_edges(group.rows, across, units)}"
    )
    return [
        f"  {head:<9} {first}",
        f"{INDENT}{_places(group.modules, 'module', units)} in each; {_along(group, along, units)}",
        f"{INDENT}{_lumens(group.module)}; {_standing(cabinet, group, units)}",
        f"{INDENT}{_made(group.module, _nearest(cabinet, group), units)}",
    ]


def _standing(cabinet: Cabinet, group: Rows | ListedModules, units: Units) -> str:
    """What a group is on, how its modules lean, and their throw."""
    on, turn, tilt = cabinet.mounting(group)
    told = ["between the faces" if on == "plane" else "on the back"]
    if isinstance(group, Rows) and on in RETURNS:
        told = [f"{format_length(group.z, units)} above the {on} return"] if group.z else []
    if turn:
        told.append(f"turned {told_degrees(turn)} deg")
    if tilt:
        towards = _towards(cabinet, on, group.direction)[tilt > 0]
        told.append(f"tilted {told_degrees(abs(tilt))} deg towards the {towards}")
    return ", ".join([*told, _throw(cabinet, group, units)])


def _towards(cabinet: Cabinet, on: Mount, direction: Direction) -> tuple[str, str]:
    """What a tilt below 0 leans to, and one above."""
    if on in RETURNS:
        return _ends(cabinet)
    return ("bottom", "top") if direction == "horizontal" else ("left", "right")


def _ends(cabinet: Cabinet) -> tuple[str, str]:
    """What is behind and ahead along the depth."""
    behind, ahead = (wall_name(2, far=far, two_faces=cabinet.double_sided) for far in (False, True))
    return behind, ahead


def told_degrees(angle: float) -> str:
    """An angle in radians as degrees, without what floats leave behind."""
    return f"{math.degrees(angle):.6g}"


def _depths(cabinet: Cabinet, places: Places, units: Units) -> str:
    """Where rows on a return are across the depth."""
    behind, ahead = (format_length(end, units) for end in places.edge_distances)
    rear, front = _ends(cabinet)
    return f"{behind} from the {rear}, {ahead} from the {front}"


def _lumens(kind: Module) -> str:
    words = beam_words(kind.beam)
    own = isinstance(kind.beam, Web) and math.isclose(kind.lumens, kind.beam.flux, rel_tol=1e-12)
    return words if own else f"{kind.lumens:g} lm, {words}"


def _made(kind: Module, throw: float, units: Units) -> str:
    """What points a module is made of, and for what, or up to what size, they are fit."""
    count = len(kind.leds)
    made = "each a point" if count == 1 else f"{count} LEDs in each, each a point"
    if kind.opening is not None:
        return f"{made} for {opening_words(kind, units)}"
    most = throw / FIVE_TIMES
    mark = float(METRES_PER_INCH) / 16 if units == "in" else 0.001
    fit = math.floor(most / mark + 1e-6) * mark
    shown = format_length(fit, units) if fit > 0 else f"{most * 1000:.2g} mm"
    return f"{made}, fit where what shines of it is at most {shown} long"


def opening_words(kind: Module, units: Units) -> str:
    """What shines of a module, or of each of its LEDs.

    Parameters
    ----------
    kind : Module
        Whose opening is told.
    units : {"in", "mm"}
    """
    assert kind.opening is not None
    if kind.round_opening and kind.opening[0] == kind.opening[1]:
        return f"a disc of {format_length(kind.opening[0], units)}"
    form = "an ellipse" if kind.round_opening else "a rectangle"
    return f"{form} of {format_size(kind.opening, units)}"


def beam_words(beam: Beam) -> str:
    """A beam in words.

    Parameters
    ----------
    beam : Beam
    """
    if isinstance(beam, CosinePower):
        return "Lambertian" if beam.exponent == 1 else f"cosine power {beam.exponent:.4g}"
    if isinstance(beam, Wide):
        peak = f"peak at {math.degrees(beam.peak_angle):.3g} deg" if beam.peak_angle else "peak on its axis"
        return f"wide beam, width {beam.width:g}, {peak}"
    if isinstance(beam, UniformPlane):
        return f"uniform-plane beam up to {told_degrees(beam.cut_off)} deg"
    if isinstance(beam, Table):
        return f"table of {len(beam.angles)} angles"
    if isinstance(beam, Web):
        return f"{beam.name or 'a file'}: {significant(beam.flux, 3)} lm by its own angles"
    return type(beam).__name__


def faces_words(cabinet: Cabinet, name: str) -> str:
    """What of a kind's lumens goes to which of two faces; of modules on returns, which have no sides, nothing.

    Parameters
    ----------
    cabinet : Cabinet
        With two faces.
    name : str
        Of the kind.
    """
    found = set()
    for group in cabinet.groups:
        if not cabinet.mounting(group).on_return:
            placed = group.emitters()
            mine = np.array([kind.name == name for kind in placed.kinds])[placed.kind]
            found |= set(placed.front_share[mine].tolist())
    if not found:
        return ""
    if len(found) > 1:
        return "each face gets its share of these lumens, which differs from module to module, by this beam"
    (share,) = found
    if share in {0.0, 1.0}:
        return f"all of it goes to the {'front' if share else 'rear'}"
    ways = (
        "half of these lumens each"
        if share == 0.5
        else f"{percent(share)} and {percent(1 - share)} of these lumens"
    )
    return f"front and rear get {ways}, by this beam and its mirror image"


def beam_document(beam: Beam) -> dict[str, Any]:
    """A beam for a JSON document: its shape, and what is told of that.

    Parameters
    ----------
    beam : Beam
    """
    if isinstance(beam, CosinePower):
        if beam.exponent == 1:
            return {"shape": "lambertian"}
        return {"shape": "cosine-power", "exponent": beam.exponent}
    if isinstance(beam, Wide):
        return {"shape": "wide", "width": beam.width, "peak_angle_deg": math.degrees(beam.peak_angle)}
    if isinstance(beam, UniformPlane):
        return {"shape": "uniform-plane", "cut_off_deg": math.degrees(beam.cut_off)}
    if isinstance(beam, Table):
        return {"shape": "table", "angles": len(beam.angles)}
    if isinstance(beam, Web):
        return {"shape": "file", "file": beam.name, "flux_of_file_lm": beam.flux}
    return {"shape": type(beam).__name__}


def _nearest(cabinet: Cabinet, group: Rows | ListedModules) -> float:
    """The least throw of a group, to any face that it shines at. [m]"""
    placed = group.emitters()
    throws = [cabinet.box.depth - placed.z]
    if cabinet.double_sided:
        behind = placed.z[(placed.front_share < 1) | (placed.frames[:, 2, 2] < 1)]
        throws = [(cabinet.box.depth - placed.z)[placed.front_share > 0], behind]
    return min(float(np.min(one, initial=np.inf)) for one in throws)


def _throw(cabinet: Cabinet, group: Rows | ListedModules, units: Units) -> str:
    """From a group to the face, or to both with the share of its light each way."""
    placed = group.emitters()
    depth = cabinet.box.depth
    if not cabinet.double_sided:
        return f"throw {_span(depth - placed.z, units)}"
    if isinstance(group, Rows) and group.on in RETURNS:
        return f"throw {_span(depth - placed.z, units)} to the front, {_span(placed.z, units)} to the rear"
    share = float((placed.flux * placed.front_share).sum() / placed.flux.sum())
    if share in {0.0, 1.0}:
        side, throws = ("front", depth - placed.z) if share else ("rear", placed.z)
        return f"throw {_span(throws, units)} to the {side}, all light that way"
    ways = (
        "half of the light each way"
        if share == 0.5
        else f"{percent(share)} of the light to the front, {percent(1 - share)} to the rear"
    )
    return (
        f"throw {_span(depth - placed.z, units)} to the front, {_span(placed.z, units)} to the rear; {ways}"
    )


def _span(lengths: NDArray[np.float64], units: Units) -> str:
    least, greatest = (format_length(float(end), units) for end in (lengths.min(), lengths.max()))
    return least if least == greatest else f"{least} to {greatest}"


def _places(places: Places, what: str, units: Units) -> str:
    plural = "" if places.count == 1 else "s"
    if places.pitch is None:
        if places.count > 1:
            at = ", ".join(format_length(position, units) for position in places.positions[:8])
            more = f" and {places.count - 8} more" if places.count > 8 else ""
            return f"{places.count} {what}s at {at}{more}"
        return f"1 {what}{plural}"
    return f"{places.count} {what}s {format_length(places.pitch, units)} on centre"


def _along(group: Rows, sides: tuple[str, str], units: Units) -> str:
    """How far the outermost modules of each row are from the returns."""
    if not any(group.shifts):
        return _edges(group.modules, sides, units)
    rows = (
        f"{format_length(group.first_modules[row], units)} {sides[0]}, {format_length(group.last_modules[row], units)} "
        f"{sides[1]}"
        for row in range(2)
    )
    odd, even = rows
    return f"staggered, edge distance {odd} in rows 1, 3 and so on, {even} in rows 2, 4 and so on"


def _edges(places: Places, sides: tuple[str, str], units: Units) -> str:
    first, last = places.edge_distances
    if first == last:
        return f"edge distance {format_length(first, units)}"
    return f"edge distance {format_length(first, units)} {sides[0]}, {format_length(last, units)} {sides[1]}"
