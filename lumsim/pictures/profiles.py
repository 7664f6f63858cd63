"""Profiles of a lit face: luminance across the rows and along them, side by side on one axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.lit_face import LitFace
from lumsim.pictures import look
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.face_plan import (
    ABOVE,
    BORDER,
    MEAN,
    RANGE,
    TICK,
    TICK_PAD,
    luminance_limits,
    luminance_ticks,
    which_face,
)
from lumsim.pictures.face_profiles import Cut, Profile, cuts_along, profiles_of
from lumsim.pictures.lettering import line_height, text_width
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, Sheet, key_height, key_rows, length_ticks
from lumsim.simulation import Simulation
from lumsim.uniformity.face_map import Array
from lumsim.units import Units, format_length, length_number

__all__ = ["draw_profiles"]

_PANEL: Final = (4.4, 3.0)
"""Of each panel. [in]"""
_APART: Final = 0.45
"""From panel to panel. [in]"""
_UP: Final = 0.09
"""Height of the ticks at rows and modules. [in]"""

_BRIGHTEST: Final = Mark(line=look.line_style(1)[0], dashes=look.line_style(1)[1], line_width=1.3)
_DARKEST: Final = Mark(line=look.line_style(2)[0], dashes=look.line_style(2)[1], line_width=1.3)
_ROWS: Final = Mark(marker="|", size=6.5, edge=look.MUTED, edge_width=0.9)


def draw_profiles(
    simulation: Simulation, *, title: str, units: Units, facts: Sequence[str], side: Side | None = None
) -> Figure:
    """Draw luminance against the place across the rows on the left and along them on the right, on one axis.

    Each panel has the mean of all that lies at right angles to it, and the band from the lowest to the highest. The
    right one also has the luminance along the brightest row and along the darkest line between rows. Places count
    from the left or the bottom return as seen from in front, also those of the rear face.

    Parameters
    ----------
    simulation : Simulation
    title : str
    units : {"in", "mm"}
        Of the places.
    facts : sequence of str
        Lines under the title.
    side : {"front", "rear"}, optional
        Which face; unless said, the worse of two.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    cabinet, lit = simulation.cabinet, simulation.on(side)
    with look.drawing():
        drawn = DrawnMap.of(lit.luminance, units, sources=lit.direct.sources)
        profiles = profiles_of(lit, drawn)
        brightest, darkest = cuts_along(lit, cabinet.row_lines, drawn)
        limits = luminance_limits([lit])
        ticks = luminance_ticks(limits)
        left = PAD + max(text_width(f"{tick:g}", look.TICK) for tick in ticks) + TICK + TICK_PAD / 72 + 0.02
        width = left + 2 * _PANEL[0] + _APART + PAD
        heading = Heading.wrapped(title, [*_which(cabinet, lit), *facts], width - 2 * PAD)
        key = key_rows(_key(cabinet, lit, brightest, darkest, units), width - 2 * PAD)
        below = TICK + TICK_PAD / 72 + line_height(look.TICK) + line_height(look.LABEL) + 0.12
        above = ABOVE + 2 * line_height(look.LABEL)
        bottom = PAD + key_height(key) + below
        sheet = Sheet(width, bottom + _PANEL[1] + above + 0.1 + heading.height + PAD)
        sheet.heading(heading)
        sheet.write(PAD, bottom + _PANEL[1] + ABOVE, "luminance [cd/m²]", look.LABEL)
        names = ("across", "along")
        places = _rows_and_modules(cabinet)
        for number, (name, profile, marked) in enumerate(zip(names, profiles, places, strict=True)):
            panel = _Panel(
                profile=profile,
                name=f"{name} the rows",
                x=left + number * (_PANEL[0] + _APART),
                y=bottom,
                units=units,
                extent=cabinet.box.width if profile.axis == "x" else cabinet.box.height,
                limits=limits,
                ticks=ticks,
            )
            axes = panel.drawn_on(sheet, label=name, border=lit.face.visible_border, seen=_seen(cabinet))
            if name == "along":
                _draw_cuts(axes, profile, brightest, darkest, units)
            panel.mark(sheet, marked)
        sheet.key(key, PAD, PAD + key_height(key))
        return sheet.figure


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """One of the two panels."""

    profile: Profile
    name: str
    x: float
    """[in]"""
    y: float
    """[in]"""
    units: Units
    extent: float
    """of the cabinet's inside [m]"""
    limits: tuple[float, float]
    """[cd/m²]"""
    ticks: Sequence[float]
    """[cd/m²]"""

    def drawn_on(self, sheet: Sheet, *, label: str, border: float, seen: str) -> Axes:
        """Draw mean and band, axes and their labels."""
        width, height = _PANEL
        extent = length_number(self.extent, self.units)
        axes = sheet.axes(self.x, self.y, width, height, label=label)
        axes.set_xlim(0, extent)
        axes.set_ylim(*self.limits)
        axes.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
        scale = width / extent
        widest = text_width(f"{extent:.0f}", look.TICK)
        lengths = length_ticks(extent, self.units, inches_per_unit=scale, apart=max(0.5, widest + 0.25))
        axes.set_xticks(lengths, [f"{tick:g}" for tick in lengths])
        # On one axis, whose numbers stand on the left of the left panel alone.
        axes.set_yticks(list(self.ticks), [f"{tick:g}" if label == "across" else "" for tick in self.ticks])
        axes.grid(axis="y", color=look.HAIR, linewidth=0.6)
        axes.set_axisbelow(True)
        hidden = length_number(border, self.units)
        for start in (0.0, extent - hidden) if hidden else ():
            axes.axvspan(start, start + hidden, color=look.HIDDEN, linewidth=0, zorder=0.4)
        places = self.profile.places_in(self.units)
        axes.fill_between(places, self.profile.low, self.profile.high, color=look.BAND, linewidth=0)
        axes.plot(places, self.profile.mean, color=MEAN.line, linewidth=MEAN.line_width, zorder=4)
        sheet.write(
            self.x,
            self.y + height + ABOVE + line_height(look.LABEL) * (label == "across"),
            self.name,
            look.LABEL,
            bold=True,
        )
        return_name = "left" if self.profile.axis == "x" else "bottom"
        below = self.y - TICK - TICK_PAD / 72 - line_height(look.TICK)
        said = f"{self.profile.axis} from the {return_name} return{seen} [{self.units}]"
        sheet.write(self.x, below, said, look.LABEL, up="top")
        return axes

    def mark(self, sheet: Sheet, places: Array) -> None:
        """Tick places [m] along the panel's lower edge."""
        at = self.x + places / self.extent * _PANEL[0]
        drawn = sheet.mark(at.tolist(), [self.y + _UP / 2] * len(at), _ROWS)
        drawn.set_gid(f"{self.name.split(' ', maxsplit=1)[0]}-ticks")


def _which(cabinet: Cabinet, lit: LitFace) -> list[str]:
    """Say which of two faces it is; nothing is swapped here."""
    return [line.split(",", maxsplit=1)[0] for line in which_face(cabinet, lit)]


def _seen(cabinet: Cabinet) -> str:
    return ", as seen from in front" if cabinet.double_sided else ""


def _rows_and_modules(cabinet: Cabinet) -> tuple[Array, Array]:
    """Where rows lie across, and where modules of those rows lie along them. [m]"""
    groups = [group.emitters() for group in cabinet.groups if group.direction == cabinet.direction]
    along = np.concatenate([one.x if cabinet.direction == "horizontal" else one.y for one in groups])
    return np.array(cabinet.row_lines), np.unique(np.round(along, 5))


def _draw_cuts(
    axes: Axes, profile: Profile, brightest: Cut | None, darkest: Cut | None, units: Units
) -> None:
    for cut, mark in ((brightest, _BRIGHTEST), (darkest, _DARKEST)):
        if cut is not None:
            axes.plot(
                profile.places_in(units),
                cut.values,
                color=mark.line,
                linewidth=mark.line_width,
                linestyle=mark.dashes,
                zorder=3,
            )


def _key(
    cabinet: Cabinet, lit: LitFace, brightest: Cut | None, darkest: Cut | None, units: Units
) -> list[KeyEntry]:
    where = f"from {'bottom' if cabinet.direction == 'horizontal' else 'left'}"
    entries = [
        KeyEntry(mark=MEAN, text="mean, on the left along the rows, on the right across them"),
        KeyEntry(mark=RANGE, text="lowest to highest, likewise"),
    ]
    for cut, mark, what in (
        (brightest, _BRIGHTEST, "along the brightest row"),
        (darkest, _DARKEST, "along the darkest line between rows"),
    ):
        if cut is not None:
            entries.append(KeyEntry(mark=mark, text=f"{what}, {format_length(cut.at, units)} {where}"))
    entries.append(KeyEntry(mark=_ROWS, text="row, on the right: module"))
    if lit.face.visible_border > 0:
        entries.append(KeyEntry(mark=BORDER, text="hidden by the retainer"))
    return entries
