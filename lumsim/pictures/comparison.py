"""Several lit faces side by side: as seen at one exposure, on one scale of colours, their profiles on one axis."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Colormap, Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from lumsim.pictures import look
from lumsim.pictures.comparison_plan import CAPTIONS, Cell, ComparisonPlan, ShownFace
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.face_plan import ABOVE, STRIP, TICK, TICK_PAD
from lumsim.pictures.face_profiles import Profile, profiles_of
from lumsim.pictures.lettering import Taken, line_height, text_width
from lumsim.pictures.sheet import PAD, Mark, Sheet, length_ticks, round_length
from lumsim.uniformity.face_map import Array
from lumsim.units import Units

__all__ = ["draw_comparison"]

_FINEST: Final = 900
"""Samples of a face along each side at most: a picture may hold twelve. [1]"""

_TRIED: Final = 60
"""Places along a line at which its letter is tried. [1]"""

_BAR: Final = Mark(line=look.INK, line_width=1.2)
_LONGEST_BAR: Final = 2.0
"""[in]"""


def draw_comparison(shown: Sequence[ShownFace], *, title: str, facts: Sequence[str], units: Units) -> Figure:
    """Draw several lit faces side by side, all at one scale of lengths.

    Of each the face as seen, all at the exposure at which the brightest point of all is white, and its luminance in
    false colours on one scale; below, the mean along the rows of each against the place across them, on one axis of
    luminance, whose strip of colours is that of the maps. Rear faces are drawn as seen from behind, and said to be;
    places along profiles count as seen from in front.

    Parameters
    ----------
    shown : sequence of ShownFace
        At least one; as many as there are line styles can be told apart.
    title : str
    facts : sequence of str
        Lines under the title.
    units : {"in", "mm"}
        Of lengths.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures. Axes are labelled by study, such as ``as seen A`` and
        ``luminance A``; further ``profiles`` and ``colours``.
    """
    with look.drawing():
        plan = ComparisonPlan.of(shown, title=title, facts=facts, units=units)
        sheet = Sheet(plan.width, plan.height)
        sheet.heading(plan.heading)
        profiles = []
        for one, cell in zip(shown, plan.cells, strict=True):
            drawn = DrawnMap.of(one.lit.luminance, units, sources=one.lit.direct.sources)
            profiles.append(profiles_of(one.lit, drawn)[0])
            _tell(sheet, one, cell)
            _draw_faces(sheet, plan, one, cell, drawn.thinned(_FINEST))
        _draw_bar(sheet, plan)
        _draw_profiles(sheet, plan, profiles)
        sheet.key(plan.key, PAD, plan.profiles[1] - _below(plan))
        return sheet.figure


def _below(plan: ComparisonPlan) -> float:
    """From the profiles' axes down to the key. [in]"""
    return TICK + TICK_PAD / 72 + line_height(look.TICK) + len(plan.place) * line_height(look.LABEL) + 0.15


def _tell(sheet: Sheet, one: ShownFace, cell: Cell) -> None:
    """Write letter, title and facts of a study."""
    y = cell.top
    beside = cell.x + text_width("W  ", look.HEADING, bold=True)
    for number, line in enumerate(cell.title or ("",)):
        baseline = y - 0.75 * line_height(look.HEADING)
        if number == 0:
            sheet.write(cell.x, baseline, one.letter, look.HEADING, bold=True)
        sheet.write(beside, baseline, line, look.HEADING, bold=True)
        y -= line_height(look.HEADING)
    for line in cell.facts:
        sheet.write(cell.x, y - 0.75 * line_height(look.TICK), line, look.TICK, colour=look.MUTED)
        y -= line_height(look.TICK)


def _draw_faces(sheet: Sheet, plan: ComparisonPlan, one: ShownFace, cell: Cell, drawn: DrawnMap) -> None:
    """Draw a face as seen, and its luminance in false colours."""
    greys = plan.exposure.greys(drawn.values)
    for box, caption, around, values, colours, limits in (
        (cell.seen, CAPTIONS[0], look.RETAINER, greys, mpl.colormaps["gray"], (0.0, 1.0)),
        (cell.coloured, CAPTIONS[1], look.HIDDEN, drawn.values, look.colour_map(), plan.limits),
    ):
        axes = sheet.axes(*box, label=f"{caption} {one.letter}")
        axes.set_facecolor(around)
        _draw_map(axes, values, drawn, one, plan.units, colours=colours, limits=limits)
        sheet.write(box[0], box[1] + box[3] + 0.05, caption, look.NUMBER, colour=look.MUTED)


def _draw_map(
    axes: Axes,
    values: Array,
    drawn: DrawnMap,
    one: ShownFace,
    units: Units,
    *,
    colours: Colormap,
    limits: tuple[float, float],
) -> None:
    """Draw values where they are within the cabinet's inside; the rear as seen from behind."""
    x0, x1, y0, y1 = (float(edge) for edge in (drawn.x[0], drawn.x[-1], drawn.y[0], drawn.y[-1]))
    # A sample sits in the middle of its dot: the outermost dots reach beyond the map by half, and are cut.
    half_x, half_y = ((places[1] - places[0]) / 2 for places in (drawn.x, drawn.y))
    image = axes.imshow(
        values,
        cmap=colours,
        norm=Normalize(*limits),
        origin="lower",
        extent=(x0 - half_x, x1 + half_x, y0 - half_y, y1 + half_y),
        interpolation="bilinear",
        interpolation_stage="data",
        aspect="auto",
    )
    image.set_clip_path(Rectangle((x0, y0), x1 - x0, y1 - y0, transform=axes.transData))
    width, height = one.size(units)
    # imshow may widen what it is shown in.
    axes.set_xlim(*((width, 0) if one.lit.side == "rear" else (0, width)))
    axes.set_ylim(0, height)
    for spine in axes.spines.values():
        spine.set_linewidth(0.6)


def _draw_bar(sheet: Sheet, plan: ComparisonPlan) -> None:
    """Draw a bar of a round length on the faces' scale."""
    room = min(_LONGEST_BAR, plan.width - 2 * PAD - 1.5)
    length = round_length(room / plan.scale, plan.units)
    end = PAD + length * plan.scale
    sheet.line([PAD, end], [plan.bar_at, plan.bar_at], _BAR).set_gid("scale-bar")
    for at in (PAD, end):
        sheet.line([at, at], [plan.bar_at - 0.05, plan.bar_at + 0.05], _BAR)
    sheet.write(end + 0.1, plan.bar_at, f"{length:g} {plan.units}", look.LABEL, up="center_baseline")


def _draw_profiles(sheet: Sheet, plan: ComparisonPlan, profiles: Sequence[Profile]) -> None:
    """Draw the profiles with their letters, and the strip of colours along their luminance axis."""
    x, y, width, height = plan.profiles
    low, high = plan.limits
    axes = sheet.axes(x, y, width, height, label="profiles")
    axes.set_xlim(0, plan.farthest)
    axes.set_ylim(low, high)
    axes.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
    scale = width / plan.farthest
    widest = text_width(f"{plan.farthest:.0f}", look.TICK)
    places = length_ticks(plan.farthest, plan.units, inches_per_unit=scale, apart=max(0.5, widest + 0.25))
    axes.set_xticks(places, [f"{tick:g}" for tick in places])
    axes.hlines(plan.ticks, 0, plan.farthest, colors=look.HAIR, linewidth=0.6, zorder=0.5)
    for number, (one, profile) in enumerate(zip(plan.shown, profiles, strict=True)):
        colour, dashes = look.line_style(number)
        axes.plot(
            profile.places_in(plan.units),
            profile.mean,
            color=colour,
            linestyle=dashes,
            linewidth=1.5,
            zorder=3,
            label=one.letter,
        )
    _write_letters(sheet, plan, profiles)
    ramp = np.linspace(low, high, 256)[:, None]
    strip = sheet.axes(x - STRIP - 0.03, y, STRIP, height, label="colours")
    strip.imshow(ramp, cmap=look.colour_map(), aspect="auto", extent=(0, 1, low, high), origin="lower")
    strip.set_yticks(list(plan.ticks), [f"{tick:g}" for tick in plan.ticks])
    strip.tick_params(length=72 * TICK, labelsize=look.TICK, labelcolor=look.MUTED, pad=TICK_PAD)
    sheet.write(PAD, y + height + ABOVE, "luminance [cd/m²]", look.LABEL)
    below = y - TICK - TICK_PAD / 72 - line_height(look.TICK)
    for number, line in enumerate(plan.place):
        sheet.write(x, below - number * line_height(look.LABEL), line, look.LABEL, up="top")


def _write_letters(sheet: Sheet, plan: ComparisonPlan, profiles: Sequence[Profile]) -> None:
    """Write each line's letter on it, where it is farthest from the others and from their letters."""
    x, y, width, height = plan.profiles
    low, high = plan.limits
    taken = Taken()
    half_width, half_height = 0.08, 0.08
    lines = [
        (
            x + profile.places_in(plan.units) / plan.farthest * width,
            y + (profile.mean - low) / (high - low) * height,
        )
        for profile in profiles
    ]
    for number, (across, up) in enumerate(lines):
        best: tuple[float, float, float] | None = None
        for at in np.linspace(across[0], across[-1], _TRIED)[3:-3]:
            here = float(np.interp(at, across, up))
            box = (at - half_width, here - half_height, at + half_width, here + half_height)
            if not taken.is_free(box) or box[1] < y or box[3] > y + height:
                continue
            clear = min(
                (
                    abs(float(np.interp(at, other, there)) - here)
                    for index, (other, there) in enumerate(lines)
                    if index != number and other[0] <= at <= other[-1]
                ),
                default=np.inf,
            )
            if best is None or min(clear, 0.3) > best[0] + 1e-9:
                best = (min(clear, 0.3), float(at), here)
        if best is None:
            continue
        _, at, here = best
        taken.take((at - half_width, here - half_height, at + half_width, here + half_height))
        colour, _ = look.line_style(number)
        letter = plan.shown[number].letter
        sheet.write(
            at,
            here,
            letter,
            look.TICK,
            colour=colour,
            bold=True,
            across="center",
            up="center",
            halo=look.PAPER,
        )
