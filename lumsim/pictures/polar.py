"""A beam's polar curve: how far from the middle the line is says how much light goes that way."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from lumsim.beams.beam import Array, Beam
from lumsim.beams.figures import BeamFigures, PlaneAngle, along_plane, plane_samples
from lumsim.pictures import look
from lumsim.pictures.lettering import Box, Taken, any_in, line_height, text_width
from lumsim.pictures.sheet import PAD, Heading, KeyEntry, Mark, Sheet, key_height, key_rows

__all__ = ["draw_beam", "ring_step"]

WIDTH: Final = 6.6
"""Of the sheet. [in]"""
HALF_RADIUS: Final = 2.6
"""Of the outermost ring where light goes forward only. [in]"""
WHOLE_RADIUS: Final = 2.25
"""Of the outermost ring where it goes backward too. [in]"""
AROUND: Final = 0.34
"""Kept for the marks of angles around it. [in]"""
RING_ROW: Final = 0.34
"""Kept for the rings' numbers above a half circle. [in]"""
GAP: Final = 0.16
"""Between heading, circle and key. [in]"""

MOST_RINGS: Final = 6
SPOKE: Final = 15
"""From one marked angle to the next. [deg]"""

AXES: Final = "intensity [cd]; 0° is the axis"

SEEN: Final = 0.003
"""Backward intensity below this share of the peak would not be seen. [1]"""

_PLANES: Final = tuple(
    Mark(line=colour, dashes=dashes, line_width=1.7) for colour, dashes in map(look.line_style, (0, 1))
)
_BEAM_COLOUR, _BEAM_DASHES = look.line_style(2)
_FIELD_COLOUR, _FIELD_DASHES = look.line_style(3)
_BEAM: Final = Mark(line=_BEAM_COLOUR, dashes=_BEAM_DASHES, line_width=1.3)
_FIELD: Final = Mark(line=_FIELD_COLOUR, dashes=_FIELD_DASHES, line_width=1.5)
_ENDS: Final = (
    Mark(marker="o", size=4.5, face=look.INK),
    Mark(marker="o", size=8.0, face="none"),
)
"""At the rim, which plane an angle was measured in; the open circle leaves room for the filled one."""

_PREFERRED: Final = (112.5, -112.5, 127.5, -127.5, 97.5, -97.5, 142.5, -142.5, 157.5, -157.5, 82.5, -82.5)
"""Between which spokes the rings' numbers stand in a whole circle, best first. [deg]"""


def draw_beam(beam: Beam, figures: BeamFigures, *, title: str, facts: Sequence[str]) -> Figure:
    """Draw a beam's intensity against the direction, in its two planes through the axis, axis downward.

    Rings are candela at the beam's lumens. Angles from the axis stand around the outermost ring. The half planes 0
    and 90 are on the right, 180 and 270 on the left. Where no light goes backward only the lower half is drawn, and
    where all planes are alike only one curve.

    Parameters
    ----------
    beam : Beam
    figures : BeamFigures
        Of this beam.
    title : str
    facts : sequence of str
        Lines under the title.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    with look.drawing():
        step = ring_step(figures.peak)
        rings = math.ceil(figures.peak / step - 1e-9)
        t = plane_samples(beam)
        planes = (0.0,) if figures.axial else (0.0, math.pi / 2)
        curves = [figures.flux * along_plane(beam, C, t) for C in planes]
        behind = np.abs(t) > math.pi / 2 + 1e-6
        whole = any(bool(np.any(curve[behind] > SEEN * figures.peak)) for curve in curves)

        radius = WHOLE_RADIUS if whole else HALF_RADIUS
        heading = Heading.wrapped(title, facts, WIDTH - 2 * PAD)
        key = key_rows(_key(figures), WIDTH - 2 * PAD)
        above = radius + AROUND if whole else RING_ROW
        height = 2 * PAD + heading.height + 2 * GAP + above + radius + AROUND + key_height(key)
        sheet = Sheet(WIDTH, height)
        sheet.heading(heading)
        bottom = PAD + key_height(key) + GAP
        axes = sheet.axes(0, bottom, WIDTH, radius + AROUND + above, label="beam")
        axes.set_axis_off()
        axes.set_xlim(-WIDTH / 2, WIDTH / 2)
        axes.set_ylim(-radius - AROUND, above)
        middle = (WIDTH / 2, bottom + radius + AROUND)

        scale = radius / (rings * step)
        _draw_rings(axes, radius, rings, whole=whole)
        _write_angles(sheet, middle, radius, whole=whole)
        drawn = _draw_angles(axes, figures, radius, whole=whole)
        for curve, mark in zip(curves, _PLANES, strict=False):
            shown = np.ones_like(behind) if whole else ~behind
            x, y = scale * (curve * np.sin(t))[shown], scale * (-curve * np.cos(t))[shown]
            axes.add_line(
                Line2D(x, y, color=mark.line, linewidth=mark.line_width, linestyle=mark.dashes, zorder=4)
            )
            drawn.append((x, y))
        numbers = [f"{(ring + 1) * step:.10g}" for ring in range(rings)]
        if whole:
            _write_rings_between(sheet, middle, radius, numbers, drawn)
        else:
            _write_rings_above(sheet, middle, radius, numbers)
        sheet.key(key, PAD, PAD + key_height(key))
        return sheet.figure


def ring_step(peak: float) -> float:
    """Intensity from ring to ring: the smallest round one that needs no more than six rings, in candela.

    Parameters
    ----------
    peak : float
        [cd]
    """
    power = 10.0 ** math.floor(math.log10(peak / MOST_RINGS))
    steps = (float(f"{factor * power:.10g}") for factor in (1, 2, 2.5, 5, 10, 20))
    return next(step for step in steps if peak / step <= MOST_RINGS * (1 + 1e-9))


def _key(figures: BeamFigures) -> list[KeyEntry]:
    pairs = ((_BEAM, "beam angle", figures.beam_angles), (_FIELD, "field angle", figures.field_angles))
    if figures.axial:
        entries = [KeyEntry(mark=_PLANES[0], text="intensity, all planes alike")]
    else:
        entries = [
            KeyEntry(mark=_PLANES[0], text="plane 0–180: 0 on the right, along the row"),
            KeyEntry(mark=_PLANES[1], text="plane 90–270: 90 on the right, across it"),
        ]
    for mark, what, pair in pairs:
        told = [f"{round(math.degrees(one.angle), 1):.10g} deg" for one in pair if one is not None]
        if told and figures.axial:
            entries.append(KeyEntry(mark=mark, text=f"{what} {told[0]}"))
        elif told:
            entries.append(KeyEntry(mark=mark, text=what))
    if not figures.axial:
        entries += [
            KeyEntry(mark=end, text=f"in plane {plane}")
            for end, plane in zip(_ENDS, ("0–180", "90–270"), strict=True)
        ]
    return entries


def _draw_rings(axes: Axes, radius: float, rings: int, *, whole: bool) -> None:
    t = np.linspace(-math.pi, math.pi, 721) if whole else np.linspace(-math.pi / 2, math.pi / 2, 361)
    for ring in range(1, rings + 1):
        r = radius * ring / rings
        outer = ring == rings
        colour, width = (look.MUTED, 0.8) if outer else (look.HAIR, 0.6)
        axes.add_line(Line2D(r * np.sin(t), -r * np.cos(t), color=colour, linewidth=width, zorder=1))
    for angle in _spokes(whole=whole):
        strong = angle % 90 == 0
        a = math.radians(angle)
        axes.add_line(
            Line2D(
                [0, radius * math.sin(a)],
                [0, -radius * math.cos(a)],
                color=look.MUTED if strong else look.HAIR,
                linewidth=0.8 if strong else 0.5,
                zorder=1,
            )
        )


def _spokes(*, whole: bool) -> range:
    return range(-165, 181, SPOKE) if whole else range(-90, 91, SPOKE)


def _write_angles(sheet: Sheet, middle: tuple[float, float], radius: float, *, whole: bool) -> None:
    for angle in _spokes(whole=whole):
        if whole and angle % (2 * SPOKE):
            continue
        a = math.radians(angle)
        text = f"{abs(angle)}°"
        # As far out as its own box asks for, so that all stand equally clear of the ring.
        out = radius + 0.1 + abs(math.sin(a)) * text_width(text, look.TICK) / 2 + abs(math.cos(a)) * 0.06
        sheet.write(
            middle[0] + out * math.sin(a),
            middle[1] - out * math.cos(a),
            text,
            look.TICK,
            colour=look.MUTED,
            across="center",
            up="center",
        )


def _draw_angles(
    axes: Axes, figures: BeamFigures, radius: float, *, whole: bool
) -> list[tuple[Array, Array]]:
    """Draw a ray from the middle to the rim at either end of each beam and field angle; return points of each."""
    rays, along = [], np.linspace(0, 1, 201)
    for mark, pair in ((_FIELD, figures.field_angles), (_BEAM, figures.beam_angles)):
        shown = pair[:1] if figures.axial else pair
        for angle, end in zip(shown, _ENDS, strict=False):
            for at in () if angle is None else _ends_of(angle, whole=whole):
                x, y = radius * math.sin(at), -radius * math.cos(at)
                axes.add_line(
                    Line2D(
                        [0, x],
                        [0, y],
                        color=mark.line,
                        linewidth=mark.line_width,
                        linestyle=mark.dashes,
                        zorder=3,
                    )
                )
                rays.append((x * along, y * along))
                if not figures.axial:
                    axes.add_line(end.drawn_at([x], [y]))
    return rays


def _ends_of(angle: PlaneAngle, *, whole: bool) -> list[float]:
    if angle.angle > 2 * math.pi - 1e-6:
        return []
    return [at for at in (angle.first, angle.last) if whole or abs(at) < math.pi / 2 + 1e-6]


def _write_rings_above(
    sheet: Sheet, middle: tuple[float, float], radius: float, numbers: Sequence[str]
) -> None:
    up, apart = middle[1] + 0.13, radius / len(numbers)
    # From the outermost inward every one, or every other where they are long.
    every = 1 if max(text_width(number, look.TICK) for number in numbers) + 0.1 < apart else 2
    for ring in range(len(numbers), 0, -every):
        x = middle[0] + apart * ring
        sheet.write(x, up, numbers[ring - 1], look.TICK, colour=look.MUTED, across="center")
    sheet.write(middle[0] - radius, up, AXES, look.LABEL)


def _write_rings_between(
    sheet: Sheet,
    middle: tuple[float, float],
    radius: float,
    numbers: Sequence[str],
    drawn: Sequence[tuple[Array, Array]],
) -> None:
    """Write the rings' numbers between two spokes, where curves and rays cross the fewest; from the outermost inward.

    A number that is crossed even there is left out, but the outermost.
    """

    def box(angle: float, ring: int, number: str) -> Box:
        a, r = math.radians(angle), radius * ring / len(numbers)
        x, y = r * math.sin(a), -r * math.cos(a)
        half = text_width(number, look.TICK) / 2 + 0.02
        return (x - half, y - 0.07, x + half, y + 0.07)

    points = np.concatenate([np.column_stack(line) for line in drawn])

    def crossed(angle: float) -> int:
        return sum(any_in(points, box(angle, ring, number)) for ring, number in enumerate(numbers, start=1))

    angle, taken = min(_PREFERRED, key=crossed), Taken()
    for ring, number in reversed(list(enumerate(numbers, start=1))):
        x0, y0, x1, y1 = box(angle, ring, number)
        if ring < len(numbers) and any_in(points, (x0, y0, x1, y1)):
            continue
        if not taken.take_if_free((x0, y0, x1, y1)):
            continue
        written = sheet.write(
            middle[0] + (x0 + x1) / 2,
            middle[1] + (y0 + y1) / 2,
            number,
            look.TICK,
            colour=look.MUTED,
            across="center",
            up="center",
        )
        # Rings and spokes end before the number: behind a lone 1 a line would make it another one.
        written.set_bbox({"boxstyle": "square,pad=0.12", "facecolor": look.PAPER, "edgecolor": "none"})
    sheet.write(PAD, middle[1] + radius + AROUND - line_height(look.LABEL), AXES, look.LABEL)
