"""Supplies on a building plan: boxes at the places told, a strip of those whose place is not. Paper in inches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from matplotlib.patches import Rectangle

from lumsim.cabinet.cabinet import ROUNDING, Cabinet
from lumsim.pictures import look
from lumsim.pictures.building_marks import SUPPLY
from lumsim.pictures.lettering import Box, Taken, is_within, text_width
from lumsim.pictures.sheet import Sheet

__all__ = ["PlanSupply", "SupplyBox", "SupplyBoxes", "draw_boxes", "draw_strip", "supply_boxes"]

STRIP: Final = "supplies, place not told (boxes not to scale):"
STRIP_TOO: Final = "supplies, place not told or not drawn there (boxes not to scale):"

_BOX: Final = (0.42, 0.22)
"""A supply whose size is not told. [in]"""
_LEAST_BOX: Final = (0.28, 0.17)
"""The same where there is little room. [in]"""
_APART: Final = 0.1
"""Between the boxes of the strip. [in]"""
_MOST_ROWS: Final = 2
"""Of boxes in the strip. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSupply:
    """One supply as it is built in."""

    number: int
    at: tuple[Fraction, Fraction] | None = None
    """x and y of its middle; None: not told [m]"""
    size: tuple[Fraction, Fraction] | None = None
    """width and height as seen from in front; None: not told [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyBox:
    """A box on the plan."""

    number: int
    box: Box
    """from the cabinet's lower left corner; in the strip from its top left corner, upwards below 0 [in]"""
    to_scale: bool
    label: Box
    """what its number takes: in the box, or beside one that is too small [in]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyBoxes:
    """Every supply's box."""

    placed: tuple[SupplyBox, ...]
    strip: tuple[SupplyBox, ...]
    title: str
    """of the strip"""
    notes: tuple[str, ...]

    @property
    def strip_height(self) -> float:
        """What the strip takes. [in]"""
        return -min((one.box[1] for one in self.strip), default=0.0)


def supply_boxes(
    supplies: Sequence[PlanSupply], cabinet: Cabinet, width: float, *, scale: float
) -> SupplyBoxes:
    """Put supplies where they are told to be, the others into a strip.

    Parameters
    ----------
    supplies : sequence of PlanSupply
    cabinet : Cabinet
    width : float
        Of the strip. [in]
    scale : float
        [in of paper for 1 m]
    """
    placed, unplaced, outside, crowded = [], [], [], []
    taken = Taken()
    inside = (0.0, 0.0, cabinet.box.width * scale, cabinet.box.height * scale)
    for supply in supplies:
        if supply.at is None:
            unplaced.append(supply.number)
            continue
        x, y = (float(place) for place in supply.at)
        to_side, to_end = min(x, cabinet.box.width - x), min(y, cabinet.box.height - y)
        half_across, half_up = (float(side) / 2 for side in supply.size or (0, 0))
        if to_side < half_across - ROUNDING or to_end < half_up - ROUNDING:
            outside.append(supply.number)
            continue
        if supply.size is None:
            across, up = (
                max(least, min(most, 2 * room * scale))
                for least, most, room in zip(_LEAST_BOX, _BOX, (to_side, to_end), strict=True)
            )
        else:
            across, up = 2 * half_across * scale, 2 * half_up * scale
        box = (x * scale - across / 2, y * scale - up / 2, x * scale + across / 2, y * scale + up / 2)
        label = next(
            (label for label in _labels(supply.number, box, inside) if taken.take_if_free(label)), None
        )
        if label is None:
            crowded.append(supply.number)
            continue
        known = supply.size is not None
        placed.append(SupplyBox(number=supply.number, box=box, to_scale=known, label=label))
    title = STRIP if not outside and not crowded else STRIP_TOO
    strip, more = _in_strip(sorted([*unplaced, *outside, *crowded]), title, width)
    notes = []
    if any(not one.to_scale for one in placed):
        notes.append("boxes of supplies whose size is not told: not to scale")
    if more:
        notes.append(f"supplies without room in the strip: {len(more)}, from S{more[0]} to S{more[-1]}")
    for numbers, why in (
        (outside, "sticking out of the cabinet where they are told to be"),
        (crowded, "without room for their number where they are told to be"),
    ):
        if numbers:
            notes.append(f"{why}: {', '.join(f'S{number}' for number in numbers)}")
    return SupplyBoxes(placed=tuple(placed), strip=tuple(strip), title=title, notes=tuple(notes))


def _middle(number: int, box: Box) -> Box:
    """What a supply's number takes in the middle of its box."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    half = text_width(f"S{number}", look.TICK, bold=True) / 2 + 0.02
    return x - half, y - 0.075, x + half, y + 0.075


def _labels(number: int, box: Box, inside: Box) -> list[Box]:
    """Where a supply's number may stand: in its box, or beside one that is too small, in the cabinet."""
    x0, y0, x1, y1 = _middle(number, box)
    if is_within((x0, y0, x1, y1), box):
        return [(x0, y0, x1, y1)]
    across, up = (box[2] - box[0] + x1 - x0) / 2 + 0.02, (box[3] - box[1] + y1 - y0) / 2 + 0.02
    beside = [
        (x0 + dx, y0 + dy, x1 + dx, y1 + dy) for dx, dy in ((across, 0), (-across, 0), (0, up), (0, -up))
    ]
    return [label for label in beside if is_within(label, inside)]


def _in_strip(numbers: Sequence[int], title: str, width: float) -> tuple[list[SupplyBox], Sequence[int]]:
    """Put boxes one after the other, in rows; return those without room too."""
    found: list[SupplyBox] = []
    x, top = text_width(title, look.TICK) + _APART, 0.0
    across, up = _BOX
    for at, number in enumerate(numbers):
        if x + across > width:
            x, top = 0.0, top - up - _APART
            if -top >= _MOST_ROWS * (up + _APART) - 1e-9:
                return found, numbers[at:]
        box = (x, top - up, x + across, top)
        found.append(SupplyBox(number=number, box=box, to_scale=False, label=_middle(number, box)))
        x += across + _APART
    return found, ()


def draw_boxes(sheet: Sheet, boxes: Sequence[SupplyBox], x: float, y: float) -> None:
    """Draw boxes with their numbers, their places counted from one on the sheet.

    Parameters
    ----------
    sheet : Sheet
    boxes : sequence of SupplyBox
    x, y : float
        [in]
    """
    for one in boxes:
        x0, y0, x1, y1 = one.box
        sheet.add(
            Rectangle(
                (x + x0, y + y0),
                x1 - x0,
                y1 - y0,
                facecolor=SUPPLY.patch,
                linewidth=0,
                zorder=1,
            )
        )
        dashes = "solid" if one.to_scale else (0, (3, 1.5))
        sheet.add(
            Rectangle(
                (x + x0, y + y0), x1 - x0, y1 - y0, fill=False, linewidth=1.1, linestyle=dashes, zorder=4
            )
        )
        a, b, c, d = one.label
        ground = SUPPLY.patch if is_within(one.label, one.box) else look.PAPER
        sheet.add(Rectangle((x + a, y + b), c - a, d - b, facecolor=ground, linewidth=0, zorder=6))
        number = sheet.write(
            x + (a + c) / 2,
            y + (b + d) / 2,
            f"S{one.number}",
            look.TICK,
            bold=True,
            across="center",
            up="center",
        )
        number.set_zorder(7)


def draw_strip(sheet: Sheet, boxes: SupplyBoxes, x: float, top: float) -> None:
    """Draw the strip of supplies whose place is not told.

    Parameters
    ----------
    sheet : Sheet
    boxes : SupplyBoxes
    x, top : float
        [in]
    """
    if boxes.strip:
        sheet.write(x, top - _BOX[1] / 2, boxes.title, look.TICK, up="center_baseline")
        draw_boxes(sheet, boxes.strip, x, top)
