"""A figure laid out in inches: its heading, its axes, its key."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import Normalize
from matplotlib.figure import Figure
from matplotlib.image import AxesImage
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.patheffects import withStroke
from matplotlib.text import Text
from numpy.typing import NDArray

from lumsim.pictures import look
from lumsim.pictures.lettering import line_height, text_width, wrapped
from lumsim.pictures.look import LineStyle
from lumsim.units import Units

__all__ = [
    "PAD",
    "Across",
    "Heading",
    "KeyEntry",
    "Mark",
    "Sheet",
    "Up",
    "key_height",
    "key_rows",
    "length_ticks",
    "plain_number",
    "round_length",
]

Array = NDArray[np.float64]

PAD = 0.3
"""Kept free along every edge of a sheet. [in]"""

Across = Literal["left", "center", "right"]
"""Which part of a text stands at its place, across."""
Up = Literal["baseline", "center_baseline", "center", "top", "bottom"]
"""The same, upwards."""

_SYMBOL = 0.3
"""Width of a line or a patch in the key. [in]"""
_POINT = 0.17
"""Width of a marker in the key. [in]"""
_ROW = 0.24
"""Height of a row of the key. [in]"""
_APART = 0.28
"""Between the entries of the key. [in]"""

_STEPS: dict[Units, tuple[float, ...]] = {
    "in": (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 3, 6, 12, 24, 36, 60, 120, 240, 360, 600, 1200, 2400, 4800),
    "mm": tuple(step * 10.0**power for power in range(-1, 6) for step in (1, 2, 5)),
}
"""What a tape measure is read in. [the unit]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A marker, a line or a patch, in the picture and in its key alike."""

    marker: str = ""
    size: float = 6.0
    """[pt]"""
    face: str = "none"
    edge: str = look.INK
    edge_width: float = 1.0
    """[pt]"""
    halo: str | None = None
    """colour of an outline around it"""
    line: str | None = None
    """colour of a line"""
    line_width: float = 1.2
    """[pt]"""
    dashes: LineStyle = "solid"
    patch: str | None = None
    """colour of a filled rectangle"""
    hatch: str | None = None
    hatch_colour: str = look.FEASIBLE_HATCH

    def drawn_at(self, x: Sequence[float], y: Sequence[float], *, layer: float = 5) -> Line2D:
        """Make the marker at points, to be added to some axes."""
        drawn = Line2D(
            x,
            y,
            linestyle="none",
            marker=self.marker,
            markersize=self.size,
            markerfacecolor=self.face,
            markeredgecolor=self.edge,
            markeredgewidth=self.edge_width,
            zorder=layer,
            clip_on=False,
        )
        if self.halo is not None:
            drawn.set_path_effects([withStroke(linewidth=self.edge_width + 1.8, foreground=self.halo)])
        return drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One symbol and what it means."""

    mark: Mark
    text: str

    @property
    def width(self) -> float:
        """Of symbol and text, in inches."""
        return self.symbol_width + 0.08 + text_width(self.text, look.TICK)

    @property
    def symbol_width(self) -> float:
        """Of the symbol alone, in inches."""
        return _POINT if self.mark.marker else _SYMBOL


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A picture's title and the facts under it, wrapped to a width."""

    title: tuple[str, ...]
    facts: tuple[str, ...]

    @staticmethod
    def wrapped(title: str, facts: Sequence[str], width: float) -> Heading:
        """Wrap the title into at most three lines, the facts into as many as they need."""
        return Heading(
            title=tuple(wrapped(title, look.TITLE, width, bold=True, most_lines=3)),
            facts=tuple(line for fact in facts for line in wrapped(fact, look.FACT, width)),
        )

    @property
    def height(self) -> float:
        """Of title and facts, in inches."""
        return len(self.title) * line_height(look.TITLE) + len(self.facts) * line_height(look.FACT)


def key_rows(entries: Sequence[KeyEntry], width: float) -> list[list[KeyEntry]]:
    """Put a key's entries in rows no wider than a width [in]; one that is wider has its own row."""
    rows: list[list[KeyEntry]] = []
    taken = math.inf
    for entry in entries:
        if taken + _APART + entry.width > width:
            rows.append([])
            taken = -_APART
        rows[-1].append(entry)
        taken += _APART + entry.width
    return rows


def length_ticks(
    extent: float, units: Units, *, inches_per_unit: float, apart: float, start: float = 0.0
) -> list[float]:
    """Pick where an axis of lengths is ticked: round steps of the unit, at least so far apart on paper.

    Parameters
    ----------
    extent, start : float
        [the unit]
    units : {"in", "mm"}
    inches_per_unit : float
        Scale of the drawing.
    apart : float
        On paper. [in]
    """
    step = next((step for step in _STEPS[units] if step * inches_per_unit >= apart), _STEPS[units][-1])
    first = math.ceil(start / step - 1e-9)
    return [i * step for i in range(first, math.floor(extent / step + 1e-9) + 1)]


def round_length(longest: float, units: Units) -> float:
    """Pick the longest of the lengths that axes are stepped in.

    Parameters
    ----------
    longest : float
        It may be no longer than this. [the unit]
    units : {"in", "mm"}

    Returns
    -------
    float
        [the unit]
    """
    return max((step for step in _STEPS[units] if step <= longest), default=_STEPS[units][0])


def plain_number(value: float, digits: int = 3) -> str:
    """Write a value to a few significant digits, without an exponent where it would do without."""
    if value == 0 or not 1e-4 <= abs(value) < 1e7:
        return f"{value:.{digits}g}"
    return f"{value:.{max(0, digits - 1 - math.floor(math.log10(abs(value))))}f}"


class Sheet:
    """A white sheet on which places are inches from its lower left corner."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self.figure = Figure(figsize=(width, height), dpi=look.DOTS_PER_INCH, facecolor=look.PAPER)
        FigureCanvasAgg(self.figure)
        self._over = self.figure.add_axes((0, 0, 1, 1), zorder=10, label="sheet")
        self._over.set_axis_off()
        self._over.set_xlim(0, width)
        self._over.set_ylim(0, height)

    def axes(self, x: float, y: float, width: float, height: float, *, label: str) -> Axes:
        """Add axes with their lower left corner at x, y, bare of ticks."""
        axes = self.figure.add_axes(
            (x / self.width, y / self.height, width / self.width, height / self.height), label=label
        )
        axes.set_xticks([])
        axes.set_yticks([])
        return axes

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        colour: str = look.INK,
        bold: bool = False,
        across: Across = "left",
        up: Up = "baseline",
        rotation: float = 0,
        halo: str | None = None,
    ) -> Text:
        """Write text at a place; nothing in it is taken for a formula."""
        written = self._over.text(
            x,
            y,
            text,
            fontsize=size,
            color=colour,
            weight="bold" if bold else "normal",
            ha=across,
            va=up,
            rotation=rotation,
            parse_math=False,
            clip_on=False,
        )
        if halo is not None:
            written.set_path_effects([withStroke(linewidth=2.2, foreground=halo)])
        return written

    def line(self, x: Sequence[float], y: Sequence[float], mark: Mark) -> Line2D:
        """Draw a line through places."""
        return self._over.add_line(
            Line2D(
                x,
                y,
                color=mark.line,
                linewidth=mark.line_width,
                linestyle=mark.dashes,
                solid_capstyle="butt",
            )
        )

    def mark(self, x: Sequence[float], y: Sequence[float], mark: Mark) -> Line2D:
        """Draw a marker at places."""
        return self._over.add_line(mark.drawn_at(x, y))

    def greys(self, at: tuple[float, float], size: tuple[float, float], values: Array) -> AxesImage:
        """Show greys, 0 black to 1 white, over a framed rectangle with its lower left corner at a place."""
        (x, y), (width, height) = at, size
        image = AxesImage(
            self._over,
            cmap="gray",
            norm=Normalize(0.0, 1.0),
            interpolation="nearest",
            origin="lower",
            extent=(x, x + width, y, y + height),
        )
        image.set_data(values)
        self._over.add_image(image)
        frame = Rectangle(at, width, height, facecolor="none", edgecolor=look.INK, linewidth=0.8)
        self._over.add_patch(frame)
        return image

    def add(self, artist: Artist) -> None:
        """Draw anything else whose places are inches on the sheet."""
        self._over.add_artist(artist)

    def heading(self, heading: Heading) -> None:
        """Write title and facts from the top left corner down."""
        y = self.height - PAD
        for line in heading.title:
            self.write(PAD, y - 0.75 * line_height(look.TITLE), line, look.TITLE, bold=True)
            y -= line_height(look.TITLE)
        for line in heading.facts:
            self.write(PAD, y - 0.75 * line_height(look.FACT), line, look.FACT, colour=look.MUTED)
            y -= line_height(look.FACT)

    def key(self, rows: Sequence[Sequence[KeyEntry]], x: float, top: float) -> None:
        """Draw the key's rows from a place down."""
        for number, row in enumerate(rows):
            at, middle = x, top - (number + 0.5) * _ROW
            for entry in row:
                self._symbol(entry, at, middle)
                text_at = at + entry.symbol_width + 0.08
                self.write(text_at, middle, entry.text, look.TICK, colour=look.MUTED, up="center_baseline")
                at += entry.width + _APART

    def _symbol(self, entry: KeyEntry, x: float, middle: float) -> None:
        mark, width = entry.mark, entry.symbol_width
        if mark.patch is not None:
            self._over.add_patch(
                Rectangle(
                    (x, middle - 0.06),
                    width,
                    0.12,
                    facecolor=mark.patch,
                    edgecolor=look.HAIR if mark.hatch is None else mark.hatch_colour,
                    linewidth=0.6,
                    hatch=mark.hatch,
                )
            )
        if mark.line is not None:
            self.line([x, x + width], [middle, middle], mark)
        if mark.marker:
            self.mark([x + width / 2], [middle], mark)


def key_height(rows: Sequence[Sequence[KeyEntry]]) -> float:
    """Return the height of a key, in inches."""
    return len(rows) * _ROW
