"""Where everything goes in the picture of a section through a cabinet, and what is told beside it. Paper in inches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.face import Face
from lumsim.lit_face import LitFace
from lumsim.pictures import look
from lumsim.pictures.building_section import section_plan
from lumsim.pictures.face_plan import (
    ABOVE,
    LEAST_WIDTH,
    MEAN,
    RANGE,
    ROW,
    TICK,
    TICK_PAD,
    luminance_limits,
    luminance_ticks,
)
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.section_rays import EVERY, Rays, SectionModules, section_modules, section_rays
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, key_height, key_rows
from lumsim.simulation import Simulation
from lumsim.units import Units, format_length

__all__ = [
    "ASIDE",
    "DOWN",
    "FACE",
    "LEVEL",
    "MODULE",
    "RAY",
    "RETAINER",
    "WALL",
    "Curve",
    "Distance",
    "SectionLayout",
]

WALL: Final = 0.07
"""Thickness of returns, back and faces as drawn, outside of the inside that is to scale."""
LEVEL: Final = 0.2
"""From one distance to the next."""
DOWN: Final = 0.2
"""From returns to the depth, and from the end of the section to the first throw."""
RAY: Final = Mark(line=look.HAIR, line_width=1.3)
"""As thick as this along the axis of the strongest module."""
MODULE: Final = Mark(patch=look.INK)
ASIDE: Final = Mark(marker="s", size=5.0, face=look.PAPER, edge=look.INK)
"""A module whose axis runs along the rows."""
FACE: Final = Mark(patch=look.PAPER, hatch="", hatch_colour=look.INK)
RETAINER: Final = Mark(patch=look.RETAINER)

_LONGEST: Final = 9.6
"""The section along the paper."""
_HIGHEST: Final = 3.0
"""Its depth on paper."""
_LONG: Final = 12.0
"""From so many times the depth on it would be too thin to read, and its first stretch is drawn. [1]"""
_STRETCH: Final = (6.5, 11.6)
"""How long that is at least and at most, by the depth. [1]"""
_ROWS: Final = 3
"""Rows that it shows, if they have room. [1]"""
_CURVE: Final = 1.1
"""Height of the luminance axis."""
_GAP: Final = 0.17
"""From face to curve, and between other parts."""
_NAMES: Final = 0.08
"""From the section to the names below it."""
_SAME: Final = 5e-5
"""Lengths alike by this much are told as one. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """A distance that is told: across the rows, or in the depth."""

    text: str
    start: float
    """[m]"""
    end: float
    """[m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Where the luminance outside of one face is drawn."""

    lit: LitFace
    box: tuple[float, float, float, float]
    up: bool
    """whether it is above the section"""
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLayout:
    """Where everything goes; boxes are x, y, width, height."""

    cabinet: Cabinet
    units: Units
    heading: Heading
    key: list[list[KeyEntry]]
    notes: list[str]
    width: float
    height: float
    scale: float
    """[in of paper for 1 m], both ways"""
    extent: float
    """of the whole section across the rows [m]"""
    shown: float
    """how much of it is drawn, from the bottom or the left return on [m]"""
    frame: tuple[float, float, float, float]
    """the inside"""
    turned: bool
    """whether the rear face is up"""
    curves: list[Curve]
    limits: tuple[float, float]
    """of luminance [cd/m²]"""
    ticks: list[float]
    """[cd/m²]"""
    modules: SectionModules
    rays: Rays
    planes: tuple[float, ...]
    """of modules, above the back or the rear face [m]"""
    depth: Distance
    throws: list[Distance]
    across: list[Distance]
    names: list[tuple[str, float]]
    """what the section ends in, and where along the paper that is written, 0 left to 1 right"""
    names_stacked: bool
    """whether each has a line of its own"""

    @property
    def whole(self) -> bool:
        """Whether all of the section is drawn."""
        return self.shown >= self.extent

    @property
    def below(self) -> float:
        """Where the distances across the rows begin."""
        lines = len(self.names) if self.names_stacked else 1
        return self.names_top - lines * line_height(look.TICK)

    @property
    def names_top(self) -> float:
        """Where the names below the section begin."""
        return self.frame[1] - _wall_below(self.cabinet) - _NAMES

    def up(self, z: float) -> float:
        """Where a place in the depth [m] is on paper."""
        return self.frame[1] + (self.cabinet.box.depth - z if self.turned else z) * self.scale

    def along(self, across: float) -> float:
        """Where a place across the rows [m] is on paper."""
        return self.frame[0] + across * self.scale

    @staticmethod
    def of(
        simulation: Simulation, *, title: str, units: Units, facts: Sequence[str], side: Side | None
    ) -> SectionLayout:
        """Lay out the section of a simulation: the parameters are those of ``cabinet_section.draw_cabinet_section``."""
        cabinet, upper = simulation.cabinet, simulation.on(side)
        horizontal = cabinet.direction == "horizontal"
        extent = cabinet.box.height if horizontal else cabinet.box.width
        depth = cabinet.box.depth
        shown = _shown(cabinet, extent)
        scale = min(_LONGEST / shown, _HIGHEST / depth)
        faces = [upper, *(lit for lit in simulation.faces if lit.side != upper.side)]
        limits = luminance_limits(faces)
        ticks = luminance_ticks(limits)
        deep, throws, planes, notes = _in_depth(cabinet, units)
        across = _across(cabinet, units, extent, shown)
        rays = section_rays(cabinet, up_to=shown)
        modules = section_modules(cabinet)

        columns = _columns(throws)
        left = PAD + max(
            *(text_width(f"{tick:g}", look.TICK) + TICK + TICK_PAD / 72 + 0.02 for tick in ticks),
            *(
                text_width(part, look.NUMBER) + WALL + DOWN + 0.08
                for part in deep.text.split(" ", maxsplit=1)
            ),
        )
        right = WALL + DOWN + (columns - 1) * LEVEL + 0.16
        right += max((text_width(one.text, look.NUMBER) for one in throws), default=0.0)
        drawn = shown * scale
        width = max(left + drawn + right + PAD, LEAST_WIDTH)
        whose = [f"numbers of the {upper.side} face, which is up here"] if cabinet.double_sided else []
        heading = Heading.wrapped(title, [*whose, *facts], width - 2 * PAD)
        notes = [*_notes(cabinet, rays, units, extent, shown), *notes]
        lines = [line for note in notes for line in wrapped(note, look.TICK, width - 2 * PAD)]
        key = key_rows(_key(cabinet, modules, units), width - 2 * PAD)

        names = _names(cabinet, whole=shown >= extent)
        stacked = sum(text_width(name, look.TICK) + 0.15 for name, _ in names) > drawn
        if stacked:
            where = {0.0: "on the left", 0.5: "below", 1.0: "on the right"}
            names = [(f"{where[share]}: {name}", 0.0) for name, share in names]
        named = (len(names) if stacked else 1) * line_height(look.TICK)
        told = _NAMES + named + 0.12 + len(across) * LEVEL
        curve = _CURVE + ABOVE + line_height(look.LABEL)
        foot = PAD + len(lines) * line_height(look.TICK) + 0.06 + key_height(key) + _GAP
        frame_at = foot + (curve + _GAP if len(faces) > 1 else 0.0) + told + _wall_below(cabinet)
        upper_at = frame_at + depth * scale + 2 * WALL + _GAP
        height = upper_at + curve + 0.1 + heading.height + PAD
        return SectionLayout(
            cabinet=cabinet,
            units=units,
            heading=heading,
            key=key,
            notes=lines,
            width=width,
            height=height,
            scale=scale,
            extent=extent,
            shown=shown,
            frame=(left, frame_at, drawn, depth * scale),
            turned=upper.side == "rear",
            curves=[
                Curve(
                    lit=lit,
                    box=(left, foot + curve - _CURVE if number else upper_at, drawn, _CURVE),
                    up=not number,
                    label=_label(cabinet, lit.side),
                )
                for number, lit in enumerate(faces)
            ],
            limits=limits,
            ticks=ticks,
            modules=modules,
            rays=rays,
            planes=planes,
            depth=deep,
            throws=throws,
            across=across,
            names=names,
            names_stacked=stacked,
        )


def _wall_below(cabinet: Cabinet) -> float:
    """What is drawn below the inside: the back, or a face and its retainer."""
    return 2 * WALL if cabinet.double_sided else WALL


def _row_lines(cabinet: Cabinet) -> list[float]:
    """Where rows that are on no return lie across. [m]"""
    lines = [
        group.row_lines
        for group in cabinet.groups
        if group.direction == cabinet.direction and not cabinet.mounting(group).on_return
    ]
    if not lines:
        return []
    rising = np.unique(np.concatenate(lines))
    return [float(line) for line in rising[np.diff(rising, prepend=-np.inf) > _SAME]]


def _shown(cabinet: Cabinet, extent: float) -> float:
    """How much of a section is drawn. [m]"""
    depth = cabinet.box.depth
    if extent < _LONG * depth:
        return extent
    least, most = (times * depth for times in _STRETCH)
    lines = _row_lines(cabinet)
    # It ends midway between two rows where it can.
    ends = [(one + other) / 2 for one, other in pairwise(lines)][_ROWS - 1 :]
    return next((end for end in ends if least <= end <= most), least if not ends or ends[0] < least else most)


def _in_depth(
    cabinet: Cabinet, units: Units
) -> tuple[Distance, list[Distance], tuple[float, ...], list[str]]:
    """What is told of the depth: itself, throws, planes of modules, notes."""
    plan = section_plan(cabinet, units)
    *throws, depth = (Distance(text=text, start=start, end=end) for text, start, end in plan.told)
    planes, notes = plan.planes, list(plan.notes)
    if not planes:
        # All modules are on returns.
        heights = cabinet.emitters().z
        planes = tuple(sorted({round(float(heights.min()), 5), round(float(heights.max()), 5)}))
        ends = [("", z, cabinet.box.depth) for z in planes]
        if cabinet.double_sided:
            ends = [(" to the front", *one[1:]) for one in ends] + [(" to the rear", 0.0, z) for z in planes]
        throws = [
            Distance(text=f"throw{to} {format_length(end - start, units)}", start=start, end=end)
            for to, start, end in ends
        ]
    return depth, throws, planes, notes


def _columns(throws: Sequence[Distance]) -> int:
    """How many throws lie beside each other: those to the front and to the rear of one plane share a line."""
    front = sum(one.start > 0 or "rear" not in one.text for one in throws)
    return max(front, len(throws) - front, 1)


def _across(cabinet: Cabinet, units: Units, extent: float, shown: float) -> list[Distance]:
    """What is told across the rows: edge distances and row pitches, of what is drawn."""
    lines = _row_lines(cabinet)
    if not lines:
        return []
    first, last = lines[0], extent - lines[-1]
    alike = abs(first - last) < _SAME
    ends = ("bottom", "top") if cabinet.direction == "horizontal" else ("left", "right")
    what = "edge distance" if alike else f"edge distance at the {ends[0]}"
    told = [Distance(text=f"{what} {format_length(first, units)}", start=0.0, end=first)]
    gaps = [Distance(text="", start=a, end=b) for a, b in pairwise(lines)]
    widths = [one.end - one.start for one in gaps]
    if widths and max(widths) - min(widths) < 2 * _SAME:
        told.append(_named("row pitch", gaps[0], units))
    elif widths:
        narrow, wide = (
            min(range(len(gaps)), key=widths.__getitem__),
            max(range(len(gaps)), key=widths.__getitem__),
        )
        told += [
            _named("narrowest row pitch", gaps[narrow], units),
            _named("widest row pitch", gaps[wide], units),
        ]
    if not alike:
        told.append(
            Distance(
                text=f"edge distance at the {ends[1]} {format_length(last, units)}",
                start=lines[-1],
                end=extent,
            )
        )
    return [one for one in told if one.end <= shown]


def _named(what: str, gap: Distance, units: Units) -> Distance:
    text = f"{what} {format_length(gap.end - gap.start, units)}"
    return Distance(text=text, start=gap.start, end=gap.end)


def _names(cabinet: Cabinet, *, whole: bool) -> list[tuple[str, float]]:
    """What the section ends in, below it from left to right."""
    ends = (
        ("bottom return", "top return")
        if cabinet.direction == "horizontal"
        else ("left return", "right return")
    )
    names = [(ends[0], 0.0)]
    if not cabinet.double_sided:
        names.append(("back", 0.5))
    if whole:
        names.append((ends[1], 1.0))
    return names


def _label(cabinet: Cabinet, side: Side) -> str:
    face = f"{side} face: " if cabinet.double_sided else ""
    return f"{face}luminance across the rows [cd/m²]"


def _notes(cabinet: Cabinet, rays: Rays, units: Units, extent: float, shown: float) -> list[str]:
    """What must be said of the section."""
    true = "inside true to scale, the same both ways; thickness of walls and modules is not"
    if shown < extent:
        end = "bottom" if cabinet.direction == "horizontal" else "left"
        part, all_of_it = (format_length(length, units) for length in (shown, extent))
        notes = [
            f"drawn: {part} from the {end} return on, of {all_of_it} in all; beyond the break it goes on"
        ]
    else:
        notes = []
    if rays.fans < rays.places:
        notes.append(f"rays are drawn from {rays.fans} of {rays.places} places of modules")
    return [true, *notes]


def _key(cabinet: Cabinet, modules: SectionModules, units: Units) -> list[KeyEntry]:
    entries = [
        KeyEntry(mark=MODULE, text="module"),
        KeyEntry(
            mark=RAY, text=f"ray straight from a module, every {EVERY}°: as thick as the intensity that way"
        ),
        KeyEntry(mark=MEAN, text="mean along the rows"),
        KeyEntry(mark=RANGE, text="lowest to highest along the rows"),
        KeyEntry(mark=ROW, text="row"),
    ]
    aside = np.hypot(*modules.axes.T) < 1e-4
    if aside.any():
        entries.insert(1, KeyEntry(mark=ASIDE, text="module that shines along the rows"))
    if aside.all():
        del entries[0]
    borders = [(side, face) for side, face in cabinet.faces if face.visible_border > 0]
    if borders:
        entries.append(KeyEntry(mark=RETAINER, text=_borders(borders, units)))
    return entries


def _borders(borders: Sequence[tuple[Side, Face]], units: Units) -> str:
    widths = {format_length(face.visible_border, units) for _, face in borders}
    if len(widths) == 1:
        return f"retainer over the visible border, {widths.pop()}"
    told = ", ".join(f"{side} {format_length(face.visible_border, units)}" for side, face in borders)
    return f"retainer over the visible border: {told}"
