"""Sensitivity: how the numbers move for each length and each reflectance of a drawing.

By differences at two distances either way, from close looks with one and the same mesh. Extremes have kinks, where
the darkest point or the deciding face changes: there the slopes to the left and to the right are told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from functools import cache
from typing import Literal

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.places import listed, place
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.light.interior import Interior, at_depth
from lumsim.search.built_light import numbers_told
from lumsim.search.layouts import with_depth, with_rows
from lumsim.search.plane import ALWAYS
from lumsim.search.trying import Trials
from lumsim.simulation import Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["Quantity", "SensitivityPart", "Slope", "Slopes", "moved", "sensitivity_parts", "slopes_of"]

Quantity = Literal[
    "row_pitch",
    "edge_distance",
    "module_pitch",
    "depth",
    "back_reflectance",
    "return_reflectance",
    "face_reflectance",
]
"""What is moved:

- row_pitch: the rows' number kept, centred, so that the outermost come nearer to the returns
- edge_distance: the outermost rows alone, both of them
- module_pitch: the modules' number kept, centred in each row
- depth: the modules keep their place above the back, those midway between two faces stay midway
- the reflectances: of the back; of all returns together; of the face's inner side, or of both faces'
"""

STEP_OF_THROW = 1 / 50
"""By which what moves farthest is moved either way, and by half of it, in throws. [1]"""

STEP_OF_REFLECTANCE = 0.01
"""By which reflectances are moved either way, and by half of it. [1]"""

CLOSE = 1e-7
"""To which the balance is solved. [1]"""

ROUGH = 1e-5
"""What a look may be off by from one place to the next, relative. [1]"""

CLOSER = 1 / 16
"""Of a step, within which a kink counts as one at the drawing itself. [1]"""

KINK = 0.03
"""From which share of the steeper slope two slopes are told apart. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SensitivityPart:
    """One quantity: what one worker does at a time."""

    quantity: Quantity
    group: int | None
    """whose rows are moved, from 0; None: of the cabinet"""
    cabinet: Cabinet
    requirement: Requirement
    lighting: Lighting
    ageing: Ageing | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """How one number moves with one quantity; for each metre, or for each 1 of a reflectance."""

    slope: float | None
    """where it is the same to both sides; None at a kink or next to it, and where only one side can be looked at"""
    below: float | None
    """towards less, beyond a kink that is next to the drawing; None where there is nothing to look at"""
    above: float | None
    """towards more"""
    error: float
    """that the slopes told may be off by"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slopes:
    """How the numbers move with one quantity."""

    quantity: Quantity
    group: int | None
    """whose rows are moved, from 0; None: of the cabinet"""
    value: float
    """as it is; of unlike returns or faces their mean [m or 1]"""
    step: float
    """by which it was moved either way, and by half of it [m or 1]"""
    numbers: Mapping[str, float]
    """as they are, by their names in ``Evenness``"""
    slopes: Mapping[str, Slope]
    """by the same names"""


def sensitivity_parts(
    cabinet: Cabinet, requirement: Requirement, *, lighting: Lighting, ageing: Ageing | None = None
) -> tuple[SensitivityPart, ...]:
    """What can be moved in a cabinet, each a part.

    Rows on returns and listed modules stay where they are.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement
    lighting : Lighting
    ageing : Ageing, optional
    """
    asked: list[tuple[Quantity, int | None]] = []
    for number, group in enumerate(cabinet.groups):
        if not isinstance(group, Rows) or group.on in RETURNS:
            continue
        if group.rows.count > 1 and group.rows.pitch is not None:
            asked.append(("row_pitch", number))
        if group.rows.count > 1:
            asked.append(("edge_distance", number))
        if group.modules.count > 1 and group.modules.pitch is not None:
            asked.append(("module_pitch", number))
    asked.append(("depth", None))
    if not lighting.direct_only:
        if not cabinet.double_sided:
            asked.append(("back_reflectance", None))
        asked += [("return_reflectance", None), ("face_reflectance", None)]
    return tuple(
        SensitivityPart(
            quantity=quantity,
            group=group,
            cabinet=cabinet,
            requirement=requirement,
            lighting=lighting,
            ageing=ageing,
        )
        for quantity, group in asked
    )


def moved(cabinet: Cabinet, quantity: Quantity, group: int | None, by: float) -> Cabinet:
    """The same cabinet with one quantity more or less.

    Parameters
    ----------
    cabinet : Cabinet
    quantity : Quantity
    group : int or None
        Whose rows are moved, from 0.
    by : float
        [m or 1]

    Raises
    ------
    InputError
        Where there cannot be such a cabinet.
    """
    if group is not None:
        rows = cabinet.groups[group]
        assert isinstance(rows, Rows)
        if quantity == "edge_distance":
            first, *between, last = rows.rows.positions
            outer = [first + Fraction(by), *between, last - Fraction(by)]
            if outer != sorted(outer):
                raise InputError("the outermost rows cannot pass those next to them")
            return with_rows(cabinet, group, rows=listed(rows.rows.extent, outer))
        places = rows.rows if quantity == "row_pitch" else rows.modules
        assert places.pitch is not None
        laid = place(places.extent, pitch=places.pitch + Fraction(by), count=places.count)
        return with_rows(cabinet, group, **{"rows" if quantity == "row_pitch" else "modules": laid})
    box = cabinet.box
    if quantity == "depth":
        return with_depth(cabinet, box.depth + by)
    if quantity == "face_reflectance":
        rear = cabinet.rear
        return replace(
            cabinet,
            face=replace(cabinet.face, reflectance=cabinet.face.reflectance + by),
            rear=None if rear is None else replace(rear, reflectance=rear.reflectance + by),
        )
    changed = {name: getattr(box, name) + by for name in _reflectances(quantity)}
    return replace(cabinet, box=replace(box, **changed))


def _reflectances(quantity: Quantity) -> list[str]:
    return [field.name for field in fields(Box) if field.name.endswith(quantity)]


def _value(cabinet: Cabinet, quantity: Quantity, group: int | None) -> float:
    if group is not None:
        rows = cabinet.groups[group]
        assert isinstance(rows, Rows)
        if quantity == "edge_distance":
            return float(rows.rows.edge_distances[0])
        pitch = (rows.rows if quantity == "row_pitch" else rows.modules).pitch
        assert pitch is not None
        return float(pitch)
    if quantity == "depth":
        return cabinet.box.depth
    if quantity == "face_reflectance":
        found = [face.reflectance for _, face in cabinet.faces]
    else:
        found = [getattr(cabinet.box, name) for name in _reflectances(quantity)]
    return sum(found) / len(found)


def slopes_of(part: SensitivityPart) -> Slopes:
    """Move one quantity, and see how the numbers move.

    Parameters
    ----------
    part : SensitivityPart
    """
    cabinet, requirement = part.cabinet, part.requirement
    if part.quantity != "row_pitch":
        # A window of its own for each place of the rows would move the stripes number by itself.
        window = requirement.stripe_window or cabinet.stripe_window
        requirement = replace(requirement, stripe_window=window)
    trials = Trials(
        group=0, requirement=requirement, lighting=part.lighting, ageing=part.ageing, names=ALWAYS
    )
    interior = part.lighting.interior(cabinet.box)

    @cache
    def numbers(by: float) -> Mapping[str, float] | None:
        try:
            there = moved(cabinet, part.quantity, part.group, by) if by else cabinet
        except InputError:
            return None
        if interior is not None:
            depth = there.box.depth
            trials.keep(
                there.box,
                Interior(fine=at_depth(interior.fine, depth), coarse=at_depth(interior.coarse, depth)),
            )
        return trials.look(there, closely=True, residual=CLOSE).numbers

    step = _step(part)
    own = numbers(0.0)
    assert own is not None
    names = numbers_told(requirement)

    def slope_of(name: str) -> Slope:
        def around(step: float) -> list[float | None]:
            found = [numbers(by) for by in (-step, -step / 2, step / 2, step)]
            return [None if one is None else one[name] for one in found]

        found = _slope(own[name], around(step), step)
        if found.slope is None and found.below is not None and found.above is not None:
            # A kink may be beside the drawing, and not at it: then the slopes on to it are of no use to anybody.
            closer = step * CLOSER
            if _slope(own[name], around(closer), closer).slope is not None:
                return _beyond(own[name], around(step), step)
        return found

    return Slopes(
        quantity=part.quantity,
        group=part.group,
        value=_value(cabinet, part.quantity, part.group),
        step=step,
        numbers={name: own[name] for name in names},
        slopes={name: slope_of(name) for name in names},
    )


def _step(part: SensitivityPart) -> float:
    """By how much a quantity is moved. [m or 1]"""
    cabinet = part.cabinet
    if part.quantity.endswith("reflectance"):
        return STEP_OF_REFLECTANCE
    throws = [float(cabinet.throws(side).min(initial=cabinet.box.depth)) for side, _ in cabinet.faces]
    step = STEP_OF_THROW * min(throws)
    if part.group is None or part.quantity == "edge_distance":
        return step
    rows = cabinet.groups[part.group]
    assert isinstance(rows, Rows)
    # Centred, the outermost move by half the changes of all that lie between them.
    count = rows.rows.count if part.quantity == "row_pitch" else rows.modules.count
    return step / max(1.0, (count - 1) / 2)


def _beyond(own: float, around: Sequence[float | None], step: float) -> Slope:
    """Slopes from half a step on, from values at −step, −step/2, step/2 and step, where a kink is nearer than that."""
    far_below, near_below, near_above, far_above = (math.nan if one is None else one for one in around)
    below, above = (
        (one - other) * 2 / step for one, other in ((near_below, far_below), (far_above, near_above))
    )
    # The side without the kink tells how much a slope changes from half step to half step.
    bends = abs((own - near_below) * 2 / step - below), abs((near_above - own) * 2 / step - above)
    return Slope(slope=None, below=below, above=above, error=min(bends) + 8 * ROUGH * abs(own) / step)


def _slope(own: float, around: Sequence[float | None], step: float) -> Slope:
    """Slopes from values at −step, −step/2, step/2 and step."""
    far_below, near_below, near_above, far_above = around
    noise = 4 * ROUGH * abs(own) / step

    def one_sided(near: float | None, far: float | None, sign: int) -> tuple[float | None, float]:
        """Slope at the end of a parabola, and how far it is from that of a line."""
        if near is None or far is None:
            return None, 0.0
        slope = sign * (4 * near - 3 * own - far) / step
        return slope, abs(sign * (far - own) / step - slope) / 2

    below, off_below = one_sided(near_below, far_below, -1)
    above, off_above = one_sided(near_above, far_above, 1)
    if below is None or above is None:
        return Slope(slope=None, below=below, above=above, error=max(off_below, off_above) + noise)
    assert near_below is not None
    assert near_above is not None
    assert far_below is not None
    assert far_above is not None
    wide, narrow = (far_above - far_below) / (2 * step), (near_above - near_below) / step
    # Richardson: what is left goes with the fourth power of the step.
    slope = (4 * narrow - wide) / 3
    if math.fabs(above - below) > KINK * max(abs(above), abs(below)) + 4 * noise:
        return Slope(slope=None, below=below, above=above, error=max(off_below, off_above) + noise)
    return Slope(slope=slope, below=below, above=above, error=abs(narrow - wide) / 3 + noise)
