"""Where everything goes in the picture of a lit face, and what its key says."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from matplotlib.ticker import MaxNLocator

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.rows import Direction
from lumsim.pictures import look
from lumsim.pictures.contours import contour_shares
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.module_marks import MarkedModules, marked_modules
from lumsim.pictures.sheet import (
    PAD,
    Heading,
    KeyEntry,
    Mark,
    key_height,
    key_rows,
    length_ticks,
    plain_number,
)
from lumsim.simulation import LitFace, Simulation
from lumsim.uniformity.names import percent
from lumsim.uniformity.spots import MOST_TOLD, Spot, Stripe
from lumsim.units import Units, length_number

__all__ = [
    "ABOVE",
    "BORDER",
    "BRIGHTEST",
    "CONTOUR",
    "DARK",
    "DARKEST",
    "HOT",
    "LEAST_RANGE",
    "LEAST_WIDTH",
    "MEAN",
    "RANGE",
    "ROW",
    "STRIP",
    "TICK",
    "TICK_PAD",
    "FacePlan",
    "face_scale",
    "hot_marked",
    "luminance_limits",
    "luminance_ticks",
    "marked",
    "stripe_mark",
    "told",
    "which_face",
]

LEAST_RANGE = 0.1
"""The colours span at least this share of the maximum, so that an even face looks even. [1]"""

_AREA = 30.0
"""Of the face on paper. [in²]"""
_LONGEST = (10.5, 9.0)
"""The face on paper, along x and y. [in]"""
LEAST_WIDTH = 6.2
"""Of the sheet. [in]"""
_PROFILE = 2.4
"""The profile's luminance axis on paper. [in]"""
STRIP = 0.11
"""Width of the strip of colours along the luminance axis. [in]"""
TICK = 0.04
"""Length of a tick. [in]"""
TICK_PAD = 5.5
"""From a tick to its number: enough for a marker on the map's corner. [pt]"""
ABOVE = 0.13
"""From an axis to the label above it, likewise. [in]"""
_LABEL_WIDTH = 1.3
"""A label may always be so wide. [in]"""
HOT: Final = Mark(marker="^", size=6.0, face=look.PAPER, edge=look.INK)
DARK: Final = Mark(marker="v", size=6.0, face=look.INK, edge=look.PAPER)
BRIGHTEST: Final = Mark(marker="o", size=12.0, edge=look.INK, edge_width=1.3, halo=look.PAPER)
DARKEST: Final = Mark(marker="s", size=11.5, edge=look.INK, edge_width=1.3, halo=look.PAPER)
MEAN: Final = Mark(line=look.INK, line_width=1.6)
RANGE: Final = Mark(patch=look.BAND)
ROW: Final = Mark(line=look.MUTED, line_width=0.7, dashes=(0, (1, 2.5)))
CONTOUR: Final = Mark(line=look.INK, line_width=0.8)
BORDER: Final = Mark(patch=look.HIDDEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class FacePlan:
    """Where everything goes; boxes are x, y, width, height in inches."""

    cabinet: Cabinet
    lit: LitFace
    """the face that is drawn"""
    drawn: DrawnMap
    modules: list[MarkedModules]
    units: Units
    heading: Heading
    labels: dict[str, list[str]]
    """of the axes of lengths, in lines"""
    key: list[list[KeyEntry]]
    key_at: tuple[float, float]
    width: float
    height: float
    face: tuple[float, float, float, float]
    profile: tuple[float, float, float, float]
    scale: float
    """of lengths on paper [in of paper for one of the unit]"""
    limits: tuple[float, float]
    """of the luminance axis and the colours [cd/m²]"""
    ticks: list[float]
    """of the luminance axis [cd/m²]"""
    upright: bool
    """whether stripes' labels are turned to run upwards"""

    @property
    def horizontal(self) -> bool:
        """Whether the rows run along the width."""
        return self.lit.direction == "horizontal"

    @property
    def mirrored(self) -> bool:
        """Whether the face is drawn as seen from behind, x running from right to left."""
        return self.lit.side == "rear"

    @property
    def size(self) -> tuple[float, float]:
        """Of the cabinet's inside, width and height, in the unit."""
        box = self.cabinet.box
        return length_number(box.width, self.units), length_number(box.height, self.units)

    @property
    def shares(self) -> list[float]:
        """Of the maximum, where contour lines are drawn."""
        top, bottom = self.lit.evenness.brightest.value, self.lit.evenness.darkest.value
        return contour_shares(bottom / top, (self.limits[1] - self.limits[0]) / top)

    @property
    def origin(self) -> tuple[float, float]:
        """Of x and y on the sheet [in]: the face's lower left corner as seen from the front."""
        return (self.face[0] + self.face[2] if self.mirrored else self.face[0]), self.face[1]

    @property
    def scale_x(self) -> float:
        """The scale along x, below 0 where x runs from right to left. [in of paper for one of the unit]"""
        return -self.scale if self.mirrored else self.scale

    def along_x(self, low: float, high: float) -> tuple[float, float]:
        """Ends of an axis of x, from left to right on paper."""
        return (high, low) if self.mirrored else (low, high)

    def on_paper(self, x: float, y: float) -> tuple[float, float]:
        """Return the place of a point of the face [m] on the sheet [in]."""
        return (
            self.origin[0] + length_number(x, self.units) * self.scale_x,
            self.face[1] + length_number(y, self.units) * self.scale,
        )

    @staticmethod
    def of(
        simulation: Simulation, *, title: str, units: Units, facts: Sequence[str], side: Side | None = None
    ) -> FacePlan:
        """Lay out the picture of a simulation: the parameters are those of ``face_map.draw_face``."""
        cabinet, lit = simulation.cabinet, simulation.on(side)
        box, stripes = cabinet.box, lit.spots.stripes
        horizontal = lit.direction == "horizontal"
        size = length_number(box.width, units), length_number(box.height, units)
        scale = face_scale(size)
        map_width, map_height = size[0] * scale, size[1] * scale

        limits = luminance_limits([lit])
        ticks = luminance_ticks(limits)
        lengths = length_ticks(size[1], units, inches_per_unit=scale, apart=0.36)
        tick = TICK + TICK_PAD / 72
        left = PAD + tick + 0.02 + max(text_width(f"{length:g}", look.TICK) for length in lengths)
        labels = {
            axis: wrapped(_length_label(axis, units, lit.side), look.LABEL, max(map_width, _LABEL_WIDTH))
            for axis in "xy"
        }
        column = max(map_width, *(text_width(line, look.LABEL) for axis in "xy" for line in labels[axis]))
        stripe_width = max((text_width(told(stripe), look.NUMBER) for stripe in stripes), default=0.0)
        upright = not horizontal and _closest(stripes, units) * scale < stripe_width + 0.1
        if horizontal:
            stripe_room = stripe_width + 0.2 if stripes else 0.0
            width = left + column + 0.4 + _PROFILE + stripe_room + PAD
        else:
            stripe_room = (stripe_width if upright else line_height(look.NUMBER)) + 0.15 if stripes else 0.0
            luminances = max(text_width(f"{value:g}", look.TICK) for value in ticks)
            left = max(left, PAD + STRIP + 0.03 + tick + 0.02 + luminances)
            shares = text_width("99.5 %", look.TICK) + TICK + 0.08
            # The last tick's and the last stripe's label may reach beyond the map by half.
            width = left + max(column, map_width + max(shares, stripe_width / 2)) + PAD
        width = max(width, LEAST_WIDTH)

        heading = Heading.wrapped(title, [*which_face(cabinet, lit), *facts], width - 2 * PAD)
        modules = marked_modules(cabinet, scale=map_width / box.width)
        entries = _key(lit, modules)
        beside = not horizontal and width - left - column > 3.0
        key_left = left + column + 0.4 if beside else PAD
        key = key_rows(entries, width - key_left - PAD)

        label = line_height(look.LABEL)
        above, below = (len(labels[axis]) * label for axis in "yx")
        tick_room = tick + line_height(look.TICK)
        map_top = PAD + heading.height + (0.15 if heading.height else 0.0) + ABOVE + above
        map_bottom = map_top + map_height
        if horizontal:
            bottom = map_bottom + max(tick_room + below, STRIP + 0.03 + tick_room + label)
        else:
            profile_top = map_bottom + tick_room + below + 0.12 + label + ABOVE
            bottom = profile_top + _PROFILE + stripe_room
        height = bottom + PAD + (0.0 if beside else 0.12 + key_height(key))
        if beside:
            height = max(height, map_top + key_height(key) + PAD)
        return FacePlan(
            cabinet=cabinet,
            lit=lit,
            drawn=DrawnMap.of(lit.luminance, units, sources=lit.direct.sources),
            modules=modules,
            units=units,
            heading=heading,
            labels=labels,
            key=key,
            key_at=(key_left, height - map_top if beside else height - bottom - 0.12),
            width=width,
            height=height,
            face=(left, height - map_bottom, map_width, map_height),
            profile=(left + column + 0.4, height - map_bottom, _PROFILE, map_height)
            if horizontal
            else (left, height - profile_top - _PROFILE, map_width, _PROFILE),
            scale=scale,
            limits=limits,
            ticks=ticks,
            upright=upright,
        )


def face_scale(size: tuple[float, float]) -> float:
    """Inches of paper for one of the unit, for a face of a width and height in that unit."""
    width, height = size
    return min(math.sqrt(_AREA * width / height) / width, _LONGEST[0] / width, _LONGEST[1] / height)


def which_face(cabinet: Cabinet, lit: LitFace) -> list[str]:
    """Say which of two faces is drawn, and from where it is seen; nothing of a single one.

    Parameters
    ----------
    cabinet : Cabinet
    lit : LitFace
        One of its faces.
    """
    if not cabinet.double_sided:
        return []
    alike = "; the two faces are lit as mirror images" if cabinet.mirrored_faces else ""
    if lit.side == "rear":
        return [f"rear face, seen from behind: left and right are swapped{alike}"]
    return [f"front face, seen from in front{alike}"]


def luminance_limits(faces: Sequence[LitFace]) -> tuple[float, float]:
    """Ends of the axis that the luminance of several faces is drawn on. [cd/m²]"""
    top = max(lit.evenness.brightest.value for lit in faces)
    bottom = min(*(lit.evenness.darkest.value for lit in faces), (1 - LEAST_RANGE) * top)
    room = 0.02 * (top - bottom)
    return max(bottom - room, 0.0), top + room


def luminance_ticks(limits: tuple[float, float]) -> list[float]:
    """Round luminances between the ends of an axis, a few. [cd/m²]"""
    ticks = MaxNLocator(nbins=4, steps=[1, 2, 2.5, 5, 10]).tick_values(*limits)
    # Ten digits do away with the last bits of a multiple of a tenth.
    return [float(f"{tick:.10g}") for tick in ticks if limits[0] <= tick <= limits[1]]


def _length_label(axis: str, units: Units, side: Side) -> str:
    if axis == "x" and side == "rear":
        # 0 stands where the return stands that it is measured from: on the viewer's right.
        return f"x from the right return, which is the left one from the front [{units}]"
    return f"{axis} from the {'left' if axis == 'x' else 'bottom'} return [{units}]"


def told(stripe: Stripe) -> str:
    """Say what a stripe's label says: its rows and its contrast."""
    rows = f"rows {stripe.rows[0]}–{stripe.rows[-1]}" if len(stripe.rows) > 1 else f"row {stripe.rows[0]}"
    return f"{rows}: {percent(stripe.contrast)}"


def _closest(stripes: Sequence[Stripe], units: Units) -> float:
    """Return the least distance between stripes, in the unit."""
    positions = [length_number(stripe.position, units) for stripe in stripes]
    return min((b - a for a, b in pairwise(positions)), default=math.inf)


def _key(lit: LitFace, modules: Sequence[MarkedModules]) -> list[KeyEntry]:
    even, spots = lit.evenness, lit.spots
    entries = [
        KeyEntry(mark=BRIGHTEST, text=f"brightest, {plain_number(even.brightest.value)} cd/m²"),
        KeyEntry(mark=DARKEST, text=f"darkest, {plain_number(even.darkest.value)} cd/m²"),
    ]
    for mark, kind, listed, rest in (
        (HOT, "hot", hot_marked(lit), spots.hot_not_listed),
        (DARK, "dark", spots.dark, spots.dark_not_listed),
    ):
        if listed:
            count = len(listed) + rest
            more = f", the {MOST_TOLD} strongest shown" if count > MOST_TOLD else ""
            text = f"{kind} spot{'s' if count > 1 else ''}: {count}{more}"
            entries.append(KeyEntry(mark=mark, text=text))
    entries += [KeyEntry(mark=one.key_mark, text=one.text) for one in modules]
    entries.append(KeyEntry(mark=CONTOUR, text="contour: share of the maximum"))
    if spots.stripes:
        entries.append(KeyEntry(mark=stripe_mark(spots.direction), text="stripe: its rows, its contrast"))
    entries += [
        KeyEntry(mark=MEAN, text="mean along the rows"),
        KeyEntry(mark=RANGE, text="lowest to highest along the rows"),
        KeyEntry(mark=ROW, text="row"),
    ]
    if lit.face.visible_border > 0:
        entries.append(KeyEntry(mark=BORDER, text="hidden by the retainer"))
    return entries


def hot_marked(lit: LitFace) -> tuple[Spot, ...]:
    """Hot spots that are spoken of: a lone one that is the brightest place has its circle already."""
    return () if lit.spots.lone_peak(lit.evenness) else lit.spots.hot


def marked(spots: Sequence[Spot]) -> Sequence[Spot]:
    """Spots that are marked and numbered: the strongest few; among very many no one would find them."""
    return spots[:MOST_TOLD]


def stripe_mark(direction: Direction) -> Mark:
    """Return the pointer at a stripe for rows that run in a direction."""
    return Mark(marker="<" if direction == "horizontal" else "^", size=4.5, face=look.INK, edge_width=0.0)
