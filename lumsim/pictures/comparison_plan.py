"""Where everything goes in the picture of several lit faces side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from lumsim.lit_face import LitFace
from lumsim.pictures import look
from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
from lumsim.pictures.face_plan import (
    ABOVE,
    STRIP,
    TICK,
    TICK_PAD,
    luminance_limits,
    luminance_ticks,
    which_face,
)
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, key_height, key_rows, plain_number
from lumsim.simulation import Simulation
from lumsim.units import Units, length_number

__all__ = ["CAPTION", "CAPTIONS", "Cell", "ComparisonPlan", "ShownFace"]

_ROOM: Final = (12.6, 9.2)
"""For all faces together, across and up. [in]"""
_LARGEST: Final = (6.2, 5.0)
"""Any face on paper at most, along x and y. [in]"""
_LEAST_SCALE: Final = 0.001
"""Of the largest scale: none that is looked for is smaller. [1]"""
_LEAST_CELL: Final = 3.4
"""Of what is told of a study, across. [in]"""
_LEAST_WIDTH: Final = 7.2
"""Of the sheet. [in]"""
_APART: Final = 0.45
"""Between studies. [in]"""
_BETWEEN: Final = 0.2
"""Between the two pictures of a study. [in]"""
_TOLD: Final = 1.2
"""About so high is what is told of a study. [in]"""
_PROFILES: Final = (9.0, 2.5)
"""The axes of the profiles, at most so wide. [in]"""
CAPTION: Final = 0.2
"""Room for the words above a picture. [in]"""
CAPTIONS: Final = ("as seen", "luminance")
"""Above the two pictures of a study."""
_MOST_TITLE: Final = 3
"""Lines of a study's title. [1]"""

_PLACES: Final = "place across the rows, from the bottom or left return"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownFace:
    """One study to be drawn: its worse face."""

    letter: str
    title: str
    facts: tuple[str, ...]
    simulation: Simulation
    """in the state that is drawn"""

    @property
    def lit(self) -> LitFace:
        """The face that is drawn."""
        return self.simulation.worse

    def size(self, units: Units) -> tuple[float, float]:
        """Width and height of the cabinet's inside. [the unit]"""
        box = self.simulation.cabinet.box
        return length_number(box.width, units), length_number(box.height, units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """Where one study stands; boxes are x, y, width, height in inches."""

    x: float
    top: float
    title: tuple[str, ...]
    """beside its letter, in lines"""
    facts: tuple[str, ...]
    """in lines"""
    seen: tuple[float, float, float, float]
    coloured: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """So many studies beside each other, each with its pictures beside or above each other, at one scale."""

    sizes: Sequence[tuple[float, float]]
    """of the faces [the unit]"""
    columns: int
    stacked: bool
    scale: float
    """[in of paper for one of the unit]"""

    def picture(self, number: int) -> tuple[float, float]:
        """One face on paper. [in]"""
        width, height = self.sizes[number]
        return width * self.scale, height * self.scale

    def slot(self, number: int) -> float:
        """Width of one of a study's two pictures with its words. [in]"""
        return max(self.picture(number)[0], *(text_width(one, look.NUMBER) for one in CAPTIONS))

    def widths(self) -> list[float]:
        """Of the columns. [in]"""
        own = [
            max(_LEAST_CELL, self.slot(number) * (1 if self.stacked else 2) + _BETWEEN * (not self.stacked))
            for number in range(len(self.sizes))
        ]
        return [max(own[column :: self.columns]) for column in range(min(self.columns, len(own)))]

    def heights(self) -> list[float]:
        """Of the pictures of each row of studies. [in]"""
        own = [
            (self.picture(number)[1] + CAPTION) * (2 if self.stacked else 1) + _BETWEEN * self.stacked
            for number in range(len(self.sizes))
        ]
        return [max(own[start : start + self.columns]) for start in range(0, len(own), self.columns)]

    @property
    def width(self) -> float:
        """Of all. [in]"""
        widths = self.widths()
        return sum(widths) + _APART * (len(widths) - 1)

    @property
    def height(self) -> float:
        """Of all, about. [in]"""
        heights = self.heights()
        return sum(heights) + (_TOLD + _APART) * len(heights)


def _best_grid(sizes: Sequence[tuple[float, float]]) -> _Grid:
    """The arrangement with the largest scale; of equals the one on the smallest sheet."""
    largest = min(room / max(size) for room, size in zip(_LARGEST, zip(*sizes, strict=True), strict=True))
    found = [
        _fitting(sizes, columns, stacked=stacked, largest=largest)
        for columns in range(1, len(sizes) + 1)
        for stacked in (False, True)
    ]
    return max(found, key=lambda grid: (round(grid.scale / largest, 2), -grid.width * grid.height))


def _fitting(sizes: Sequence[tuple[float, float]], columns: int, *, stacked: bool, largest: float) -> _Grid:
    """One arrangement at the largest scale at which it has room."""

    def grid(scale: float) -> _Grid:
        return _Grid(sizes=sizes, columns=columns, stacked=stacked, scale=scale)

    def fits(scale: float) -> bool:
        tried = grid(scale)
        return tried.width <= _ROOM[0] and tried.height <= _ROOM[1]

    if fits(largest):
        return grid(largest)
    # Words need room at any scale: where they alone take too much, this arrangement is the smallest of all.
    least, most = _LEAST_SCALE * largest, largest
    for _ in range(30):
        middle = (least + most) / 2
        least, most = (middle, most) if fits(middle) else (least, middle)
    return grid(least)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonPlan:
    """Where everything goes; boxes are x, y, width, height in inches."""

    shown: Sequence[ShownFace]
    units: Units
    width: float
    height: float
    heading: Heading
    cells: Sequence[Cell]
    scale: float
    """of all faces [in of paper for one of the unit]"""
    exposure: Exposure
    limits: tuple[float, float]
    """of the colours and of the luminance axis [cd/m²]"""
    ticks: Sequence[float]
    """of the luminance axis [cd/m²]"""
    profiles: tuple[float, float, float, float]
    place: Sequence[str]
    """what is measured along the profiles, in lines"""
    key: Sequence[Sequence[KeyEntry]]
    bar_at: float
    """height of the bar of lengths [in]"""

    @property
    def farthest(self) -> float:
        """Where the profiles' axis of places ends. [the unit]"""
        return max(across(one, self.units) for one in self.shown)

    @staticmethod
    def of(shown: Sequence[ShownFace], *, title: str, facts: Sequence[str], units: Units) -> ComparisonPlan:
        """Lay out the picture: the parameters are those of ``comparison.draw_comparison``."""
        grid = _best_grid([one.size(units) for one in shown])
        faces = [one.lit for one in shown]
        exposure, limits = Exposure.of(faces), luminance_limits(faces)
        ticks = luminance_ticks(limits)
        width = max(_LEAST_WIDTH, grid.width + 2 * PAD)
        inner = width - 2 * PAD
        said = (
            f"As seen: white is {plain_number(exposure.white)} cd/m² in all; greys are those of sRGB. {RATIOS_ONLY} "
            "Luminance: one scale of colours for all. One scale of lengths for all faces."
        )
        heading = Heading.wrapped(title, [*facts, said], inner)
        told = [_told(one, column) for one, column in zip(shown, _cycled(grid), strict=True)]
        left = PAD + STRIP + 0.03 + TICK + TICK_PAD / 72 + 0.02
        left += max(text_width(f"{tick:g}", look.TICK) for tick in ticks)
        # The last number of the axis may reach beyond it by half.
        wide = min(_PROFILES[0], width - left - PAD - 0.3)
        key = key_rows(_key(shown), inner)
        place = wrapped(f"{_PLACES}{_from_in_front(shown)} [{units}]", look.LABEL, wide)
        above = ABOVE + line_height(look.LABEL) + 0.15
        below = TICK + TICK_PAD / 72 + line_height(look.TICK) + len(place) * line_height(look.LABEL) + 0.15
        bottom = PAD + key_height(key) + below
        bar_at = bottom + _PROFILES[1] + above + 0.1 + line_height(look.LABEL) / 2
        rows = _rows(told, grid)
        height = (
            bar_at
            + line_height(look.LABEL) / 2
            + 0.15
            + sum(told_height + pictures + _APART for told_height, pictures in rows)
            + heading.height
            + PAD
        )
        cells = _cells(grid, told, rows, top=height - PAD - heading.height - 0.25)
        return ComparisonPlan(
            shown=shown,
            units=units,
            width=width,
            height=height,
            heading=heading,
            cells=cells,
            scale=grid.scale,
            exposure=exposure,
            limits=limits,
            ticks=ticks,
            profiles=(left, bottom, wide, _PROFILES[1]),
            place=place,
            key=key,
            bar_at=bar_at,
        )


def across(one: ShownFace, units: Units) -> float:
    """The cabinet's inside across the rows. [the unit]"""
    width, height = one.size(units)
    return height if one.lit.direction == "horizontal" else width


def _from_in_front(shown: Sequence[ShownFace]) -> str:
    return ", as seen from in front" if any(one.simulation.rear is not None for one in shown) else ""


def _cycled(grid: _Grid) -> list[float]:
    """The width of each study's column. [in]"""
    widths = grid.widths()
    return [widths[number % grid.columns] for number in range(len(grid.sizes))]


def _told(one: ShownFace, width: float) -> tuple[list[str], list[str]]:
    """Title and facts of a study, in lines."""
    beside = width - text_width("W  ", look.HEADING, bold=True)
    title = wrapped(one.title, look.HEADING, beside, bold=True, most_lines=_MOST_TITLE)
    facts = [*which_face(one.simulation.cabinet, one.lit), *one.facts]
    return title, [line for fact in facts for line in wrapped(fact, look.TICK, width)]


def _height(told: tuple[list[str], list[str]]) -> float:
    title, facts = told
    return max(1, len(title)) * line_height(look.HEADING) + len(facts) * line_height(look.TICK) + 0.06


def _rows(told: Sequence[tuple[list[str], list[str]]], grid: _Grid) -> list[tuple[float, float]]:
    """Of each row of studies the height of what is told and of the pictures. [in]"""
    starts = range(0, len(told), grid.columns)
    highest = [max(_height(one) for one in told[start : start + grid.columns]) for start in starts]
    return list(zip(highest, grid.heights(), strict=True))


def _cells(
    grid: _Grid,
    told: Sequence[tuple[list[str], list[str]]],
    rows: Sequence[tuple[float, float]],
    *,
    top: float,
) -> list[Cell]:
    widths = grid.widths()
    cells = []
    for number, (title, facts) in enumerate(told):
        row, column = divmod(number, grid.columns)
        x = PAD + math.fsum(widths[:column]) + _APART * column
        at = top - math.fsum(told_height + pictures + _APART for told_height, pictures in rows[:row])
        width, height = grid.picture(number)
        first = at - rows[row][0] - CAPTION - height
        second = (
            (x, first - _BETWEEN - CAPTION - height)
            if grid.stacked
            else (x + grid.slot(number) + _BETWEEN, first)
        )
        cells.append(
            Cell(
                x=x,
                top=at,
                title=tuple(title),
                facts=tuple(facts),
                seen=(x, first, width, height),
                coloured=(*second, width, height),
            )
        )
    return cells


def _key(shown: Sequence[ShownFace]) -> list[KeyEntry]:
    entries = []
    for number, one in enumerate(shown):
        colour, dashes = look.line_style(number)
        start = "bottom" if one.lit.direction == "horizontal" else "left"
        entries.append(
            KeyEntry(
                mark=Mark(line=colour, dashes=dashes, line_width=1.5),
                text=f"{one.letter}: mean along the rows, from the {start}",
            )
        )
    return entries
