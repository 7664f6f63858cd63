"""Signs as they are built, to be drawn: cabinets of all shapes with supports, joints, feeds and supplies."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures.building_plan import PlanRow, PlanSupply, building_plan
from lumsim.sheet.strings import row_strings
from lumsim.study.reading import study_from_text
from lumsim.units import METRES_PER_INCH, Units

INCH = METRES_PER_INCH

ROWS = '[[rows]]\npitch = "6 in"\nmodule_pitch = "4 in"\n'
RETURNS = """[[rows]]
pitch = "6 in"
module_pitch = "5 in"
staggered = true
[[rows]]
on = "left"
pitch = "3 in"
module_pitch = "6 in"
z = "1 in"
[[rows]]
on = "top"
count = 1
module_pitch = "6 in"
z = "1 in"
"""

SIGNS: dict[str, tuple[Units, str, str]] = {
    "square": ("in", 'width = "24 in"\nheight = "24 in"\ndepth = "5 in"', ROWS),
    "long": ("in", 'width = "288 in"\nheight = "24 in"\ndepth = "5 in"', ROWS),
    "portrait": ("in", 'width = "24 in"\nheight = "96 in"\ndepth = "6 in"', ROWS),
    "double-sided": (
        "in",
        'width = "96 in"\nheight = "48 in"\ndepth = "9 in"\nfaces = 2',
        ROWS.replace("[[rows]]", '[[rows]]\non = "plane"\nz = "4 in"'),
    ),
    "forty rows": (
        "in",
        'width = "96 in"\nheight = "96 in"\ndepth = "5 in"',
        '[[rows]]\ncount = 40\nmodule_pitch = "3 in"\n',
    ),
    "dense": (
        "in",
        'width = "240 in"\nheight = "120 in"\ndepth = "5 in"',
        '[[rows]]\ncount = 120\nmodule_pitch = "2 in"\n',
    ),
    "vertical": (
        "in",
        'width = "120 in"\nheight = "36 in"\ndepth = "5 in"',
        ROWS.replace("[[rows]]", '[[rows]]\ndirection = "vertical"'),
    ),
    "millimetres": (
        "mm",
        'width = "1500 mm"\nheight = "620 mm"\ndepth = "130 mm"',
        '[[rows]]\npitch = "110 mm"\nmodule_pitch = "90 mm"\n',
    ),
    "on returns": ("in", 'width = "48 in"\nheight = "24 in"\ndepth = "5 in"', RETURNS),
    "uneven": (
        "in",
        'width = "60 in"\nheight = "40 in"\ndepth = "5 in"',
        '[[rows]]\nmodule_pitch = "7 in"\nat = ['
        + ", ".join(
            f'"{place} in"'
            for place in (1, 2, 4.5, 7.25, 11, 12, 14, 19, 20.5, 23, 25, 26.5, 30, 31, 33, 36, 37, 39)
        )
        + "]\n",
    ),
}
"""Their names: unit, cabinet, rows. Made up."""

SUPPLIES: tuple[PlanSupply, ...] = (
    PlanSupply(number=1, at=(8 * INCH, 12 * INCH), size=(7 * INCH, 2 * INCH)),
    PlanSupply(number=2, at=(18 * INCH, 6 * INCH)),
    PlanSupply(number=3),
)
"""One with place and size, one with a place alone, one with neither."""


@cache
def cabinet_of(name: str) -> Cabinet:
    """Build one of the signs, with a visible border of an inch."""
    units, cabinet, rows = SIGNS[name]
    return study_from_text(
        f'units = "{units}"\n[cabinet]\n{cabinet}\n[face]\ntransmittance = 0.4\nreflectance = 0.4\n'
        f'visible_border = "1 in"\n[modules.standard]\nlumens = 60.0\n{rows}'
    ).cabinet


def built(cabinet: Cabinet, *, supplies: int = 3, section: int = 9) -> list[PlanRow]:
    """Hold, join and feed every row: supports two feet apart, sections of so many modules, both ends fed."""
    strings = row_strings(cabinet)
    rows = []
    for one in strings:
        held = max(2, int(one.length / (24 * INCH)) + 1)
        ends = (0,) if one.count == 1 else (0, one.count - 1)
        supply = 1 + (one.number - 1) * supplies // len(strings)
        rows.append(
            PlanRow(
                string=one,
                supports=tuple(one.first + one.length * Fraction(2 * i + 1, 2 * held) for i in range(held)),
                feeds=tuple((module, supply) for module in ends),
                joints=tuple(range(section - 1, one.count - 1, section)),
            )
        )
    return rows


@cache
def plan_of(name: str) -> Figure:
    """Draw one of the signs as built."""
    cabinet = cabinet_of(name)
    return building_plan(
        cabinet, built(cabinet), SUPPLIES, title=f"Invented sign, {name}", units=SIGNS[name][0]
    )


def scale_of(texts: Sequence[str]) -> int:
    """Read the scale that a plan says it has."""
    (told,) = [text for text in texts if text.startswith("scale 1:")]
    return int(told.split(":")[1].split(" ")[0])


def sheet_of(figure: Figure) -> Axes:
    """Find the axes that span the sheet."""
    (found,) = [axes for axes in figure.axes if axes.get_label() == "sheet"]
    return found


def points_of(figure: Figure, name: str) -> NDArray[np.float64]:
    """(n, 2) places of a named line or of markers, in points of the page."""
    (line,) = [
        artist for artist in sheet_of(figure).lines if isinstance(artist, Line2D) and artist.get_gid() == name
    ]
    pixels = line.get_transform().transform(np.asarray(line.get_xydata()))
    return np.asarray(pixels * 72 / figure.dpi)
