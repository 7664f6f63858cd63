"""The lit face as the eye would see it: luminance as neutral greys, in the dark."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.lit_face import LitFace
from lumsim.pictures import look
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
from lumsim.pictures.face_plan import LEAST_WIDTH, face_scale, which_face
from lumsim.pictures.lettering import line_height, wrapped
from lumsim.pictures.sheet import PAD, Heading, Mark, Sheet, plain_number, round_length
from lumsim.simulation import Simulation
from lumsim.uniformity.names import percent
from lumsim.units import Units, format_length, length_number

__all__ = ["draw_seen_face", "words_of_seen_face"]

_AROUND: Final = 0.45
"""Dark ground around the sign. [in]"""
_GAP: Final = 0.18
"""Between heading, ground, bar and sentences. [in]"""
_TICK: Final = 0.05
"""Half of the stroke across the bar's ends. [in]"""
_LONGEST_BAR: Final = 2.0
"""[in]"""
_BAR: Final = Mark(line=look.INK, line_width=1.2)


def draw_seen_face(
    simulation: Simulation,
    *,
    title: str,
    units: Units,
    facts: Sequence[str],
    side: Side | None = None,
    exposure: Exposure | None = None,
    worded: bool = True,
) -> Figure:
    """Draw the lit face in greys whose light on a screen stands in the ratios of its luminance, and nothing on it.

    Around it are the retainer over the visible border, true to scale, and the dark. The rear face is drawn as one
    sees it from behind, left and right swapped, and the picture says so.

    Parameters
    ----------
    simulation : Simulation
    title : str
    units : {"in", "mm"}
        Of the bar beside it.
    facts : sequence of str
        Lines under the title.
    side : {"front", "rear"}, optional
        Which face; unless said, the worse of two.
    exposure : Exposure, optional
        What luminance is white; unless said, that of the face's brightest point. Faces that are to be compared are
        drawn by one exposure.
    worded : bool
        Whether a bar and sentences stand below it. Without them the picture is for a place where the same is said in
        larger letters beside it: `words_of_seen_face`.

    Returns
    -------
    Figure
        Bound to no window and known to no list of figures.
    """
    cabinet, lit = simulation.cabinet, simulation.on(side)
    exposure = exposure or Exposure.of([lit])
    with look.drawing():
        layout = _Layout.of(cabinet, lit, exposure, title=title, units=units, facts=facts, worded=worded)
        sheet = Sheet(layout.width, layout.height)
        sheet.heading(layout.heading)
        x, y, width, height = layout.ground
        sheet.axes(x, y, width, height, label="ground").set_facecolor(look.NIGHT)
        _draw_face(sheet.axes(*layout.face, label="face"), cabinet, lit, exposure, units)
        if not worded:
            return sheet.figure
        foot = y - _GAP
        length = round_length(min(layout.face[2], _LONGEST_BAR) / layout.scale, units)
        _draw_bar(sheet, foot - _TICK, length, layout.scale, units)
        foot -= line_height(look.LABEL) + 0.1
        for number, line in enumerate(layout.sentences):
            at = foot - (number + 0.75) * line_height(look.FACT)
            sheet.write(PAD, at, line, look.FACT, colour=look.MUTED)
        return sheet.figure


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layout:
    """Where everything goes; boxes are x, y, width, height in inches."""

    width: float
    height: float
    heading: Heading
    ground: tuple[float, float, float, float]
    face: tuple[float, float, float, float]
    """the cabinet's inside, return to return"""
    scale: float
    """[in of paper for one of the unit]"""
    sentences: list[str]
    """below the picture, in lines"""

    @staticmethod
    def of(
        cabinet: Cabinet,
        lit: LitFace,
        exposure: Exposure,
        *,
        title: str,
        units: Units,
        facts: Sequence[str],
        worded: bool,
    ) -> _Layout:
        """Lay out the picture of a face."""
        size = length_number(cabinet.box.width, units), length_number(cabinet.box.height, units)
        scale = face_scale(size)
        across, up = size[0] * scale, size[1] * scale
        width = max(LEAST_WIDTH, across + 2 * _AROUND + 2 * PAD)
        inner = width - 2 * PAD
        facts = [*which_face(cabinet, lit), *facts]
        heading = Heading.wrapped(title, facts, inner) if title or facts else Heading(title=(), facts=())
        sentences = [
            line
            for sentence in (words_of_seen_face(lit, exposure, units) if worded else ())
            for line in wrapped(sentence, look.FACT, inner)
        ]
        ground = up + 2 * _AROUND
        foot = PAD
        if worded:
            foot += len(sentences) * line_height(look.FACT) + line_height(look.LABEL) + 0.1 + _GAP
        return _Layout(
            width=width,
            height=foot + ground + (_GAP if heading.height else 0.0) + heading.height + PAD,
            heading=heading,
            ground=(PAD, foot, inner, ground),
            face=((width - across) / 2, foot + _AROUND, across, up),
            scale=scale,
            sentences=sentences,
        )


def _draw_face(axes: Axes, cabinet: Cabinet, lit: LitFace, exposure: Exposure, units: Units) -> None:
    """Draw the retainer, and within it what one sees of the face."""
    box, behind = cabinet.box, lit.side == "rear"
    width, height = length_number(box.width, units), length_number(box.height, units)
    drawn = DrawnMap.of(lit.luminance, units, sources=lit.direct.sources)
    x0, x1, y0, y1 = (float(edge) for edge in (drawn.x[0], drawn.x[-1], drawn.y[0], drawn.y[-1]))
    # A sample sits in the middle of its dot: the outermost dots reach beyond the map by half, and are cut.
    half_x, half_y = ((places[1] - places[0]) / 2 for places in (drawn.x, drawn.y))
    axes.set_facecolor(look.RETAINER)
    for spine in axes.spines.values():
        spine.set_visible(False)
    image = axes.imshow(
        exposure.greys(drawn.values),
        cmap="gray",
        vmin=0.0,
        vmax=1.0,
        origin="lower",
        extent=(x0 - half_x, x1 + half_x, y0 - half_y, y1 + half_y),
        interpolation="bilinear",
        interpolation_stage="data",
        aspect="auto",
    )
    image.set_clip_path(Rectangle((x0, y0), x1 - x0, y1 - y0, transform=axes.transData))
    # imshow may widen what it is shown in.
    axes.set_xlim(*((width, 0) if behind else (0, width)))
    axes.set_ylim(0, height)


def _draw_bar(sheet: Sheet, y: float, length: float, scale: float, units: Units) -> None:
    """Draw a bar of a round length [the unit], with what it is."""
    x, end = PAD, PAD + length * scale
    sheet.line([x, end], [y, y], _BAR).set_gid("scale-bar")
    for at in (x, end):
        sheet.line([at, at], [y - _TICK, y + _TICK], _BAR)
    sheet.write(end + 0.1, y, f"{length:g} {units}", look.LABEL, up="center_baseline")


def words_of_seen_face(lit: LitFace, exposure: Exposure, units: Units) -> list[str]:
    """Say what white is, what is dark, and what a screen cannot show.

    Parameters
    ----------
    lit : LitFace
    exposure : Exposure
        That it is drawn by.
    units : {"in", "mm"}
        Of the visible border.
    """
    top = lit.evenness.brightest.value
    white, brightest = f"{plain_number(exposure.white)} cd/m²", f"{plain_number(top)} cd/m²"
    share = top / exposure.white
    if abs(share - 1) < 1e-9:
        which = ", the brightest point of this face"
    elif share < 1:
        which = f"; this face has at most {brightest}, {percent(share)} of it"
    else:
        which = f", and what is brighter is white too: this face has up to {brightest}"
    said = f"White stands for {white}{which}; greys are those of sRGB."
    border = lit.face.visible_border
    around = (
        [f"Around the face: the retainer, over a visible border of {format_length(border, units)}."]
        if border > 0
        else []
    )
    return [said, RATIOS_ONLY, *around]
