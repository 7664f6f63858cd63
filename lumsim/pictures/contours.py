"""Contour lines of a face map, labelled where there is room."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import to_hex

from lumsim.pictures import look
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.pictures.lettering import Box, Taken, any_in, is_within, text_width
from lumsim.pictures.sheet import Sheet
from lumsim.uniformity.face_map import Array

__all__ = ["Label", "Line", "contour_shares", "draw_contours", "write_on_contours", "write_on_lines"]

Line = Array
"""(n, 2) points x, y of one contour line"""


class Label(NamedTuple):
    """What is written on a contour line."""

    text: str
    ink: str
    """colour of the letters"""
    ground: str
    """colour behind them: the map's own on that line"""


MOST_SAMPLES = 500
"""Samples along each side from which contour lines of smooth light are drawn. [1]"""

_STEPS = (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.25)
"""Between contour lines, as shares of the maximum. [1]"""

_MOST_LINES = 5.5
"""Steps between contour lines that the luminance axis may hold. [1]"""

_TRIED = 60
"""Places tried for each label. [1]"""

_LINES_TRIED = 8
"""Lines of a level tried for its label, longest first. [1]"""

_ROOM = ((0.045, True), (0.015, True), (0.015, False))
"""Kept free around a label [in], and whether of modules too: best first."""

_CROSSING = 20_000
"""Points of contour lines that labels are kept clear of. [1]"""


def contour_shares(lowest: float, span: float) -> list[float]:
    """Pick shares of the maximum at which a few contour lines lie.

    Parameters
    ----------
    lowest : float
        The minimum as a share of the maximum. [1]
    span : float
        Of the luminance axis, as a share of the maximum. [1]

    Returns
    -------
    list of float
        Rising, round, between lowest and 1; none for a face too even to have any.
    """
    step = next((step for step in _STEPS if span <= _MOST_LINES * step), _STEPS[-1])
    shares = [round(1 - i * step, 6) for i in range(1, int(1 / step))]
    return [share for share in reversed(shares) if share > lowest]


def draw_contours(
    axes: Axes, drawn: DrawnMap, levels: Sequence[float], limits: tuple[float, float]
) -> list[list[Line]]:
    """Draw contour lines; return those of each level.

    Parameters
    ----------
    axes : Axes
    drawn : DrawnMap
    levels : sequence of float
        Rising. [cd/m²]
    limits : two floats
        Of the colours. [cd/m²]
    """
    if not levels:
        return []
    thinned = drawn if drawn.stepped else drawn.thinned(MOST_SAMPLES)
    contours = axes.contour(
        thinned.x,
        thinned.y,
        thinned.values,
        levels=list(levels),
        colors=[look.ink_on(_share(level, limits)) for level in levels],
        linewidths=0.8,
        linestyles="solid",
        alpha=0.85,
    )
    return [[np.asarray(line) for line in lines if len(line) > 1] for lines in contours.allsegs]


def _share(level: float, limits: tuple[float, float]) -> float:
    return (level - limits[0]) / (limits[1] - limits[0])


def write_on_contours(
    sheet: Sheet,
    drawn: Sequence[Sequence[Line]],
    shares: Sequence[float],
    limits: tuple[float, float],
    top: float,
    paper: tuple[float, float, float, float],
    inside: Box,
    taken: Taken,
    modules: Array,
) -> None:
    """Write each level's share of the maximum on one of its longest lines, clear of all else.

    Parameters
    ----------
    sheet : Sheet
    drawn : lines of each level
        [the drawing's unit]
    shares : sequence of float
        What to write. [1]
    limits : two floats
        Of the colours. [cd/m²]
    top : float
        The maximum. [cd/m²]
    paper : four floats
        Place of the drawing's origin on the sheet [in], and its scales along x and y.
    inside : Box
        Where labels may stand. [in]
    taken : Taken
    modules : (n, 2) array
        Places that are better not covered. [in]
    """
    origin, scale = np.array(paper[:2]), np.array(paper[2:])
    on_paper = [[origin + scale * line for line in lines] for lines in drawn]
    labels = [
        Label(
            text=f"{100 * share:g} %",
            ink=look.ink_on(_share(share * top, limits)),
            ground=to_hex(look.colour_map()(_share(share * top, limits))),
        )
        for share in shares
    ]
    write_on_lines(sheet, on_paper, labels, inside, taken, modules)


def write_on_lines(
    sheet: Sheet,
    on_paper: Sequence[Sequence[Line]],
    labels: Sequence[Label],
    inside: Box,
    taken: Taken,
    avoided: Array,
) -> None:
    """Write a label on one of the longest lines of each level, clear of all else; none where there is no room.

    Parameters
    ----------
    sheet : Sheet
    on_paper : lines of each level
        [in]
    labels : sequence of Label
        One for each level.
    inside : Box
        Where labels may stand. [in]
    taken : Taken
    avoided : (n, 2) array
        Places that are better not covered. [in]
    """
    every = [np.concatenate(lines) if lines else np.empty((0, 2)) for lines in on_paper]
    thin = max(1, sum(map(len, every)) // _CROSSING)
    for level, (lines, label) in enumerate(zip(on_paper, labels, strict=True)):
        others = np.concatenate(
            [np.empty((0, 2)), *(every[n][::thin] for n in range(len(every)) if n != level)]
        )
        half = text_width(label.text, look.NUMBER) / 2 + 0.01
        # The label must leave most of its line to be seen.
        long = [line for line in lines if np.ptp(line, axis=0).max() > 3 * half]
        long.sort(key=lambda line: -round(float(np.ptp(line, axis=0).sum()), 3))
        places = [place for line in long[:_LINES_TRIED] for place in _places(line)]
        for room, of_avoided in _ROOM:
            clear = np.concatenate([others, avoided]) if of_avoided else others
            at = _first_clear(places, (half + room, 0.05 + room), clear, inside, taken)
            if at is None:
                continue
            written = sheet.write(
                *at, label.text, look.NUMBER, colour=label.ink, across="center", up="center"
            )
            # On its own level the map has just this colour: the line seems to make way for the label.
            written.set_bbox({"boxstyle": "square,pad=0.1", "facecolor": label.ground, "edgecolor": "none"})
            break


def _first_clear(
    places: Sequence[tuple[float, float]],
    half: tuple[float, float],
    points: Array,
    inside: Box,
    taken: Taken,
) -> tuple[float, float] | None:
    """Take the first place whose box, of half a width and half a height, is inside and clear of points and all else."""
    for x, y in places:
        box = (x - half[0], y - half[1], x + half[0], y + half[1])
        if is_within(box, inside) and not any_in(points, box) and taken.take_if_free(box):
            return x, y
    return None


def _places(line: Line) -> list[tuple[float, float]]:
    """Return points of a line, those first where it runs most nearly level."""
    picked = np.unique(np.linspace(0, len(line) - 1, min(len(line), _TRIED)).astype(np.int64))
    slope = np.abs(np.gradient(line[:, 1])) / (np.abs(np.gradient(line[:, 0])) + 1e-9)
    steep = np.round(np.minimum(slope[picked], 9), 1)
    # Of equally level ones, the nearest to the line's middle.
    off = np.abs(picked - (len(line) - 1) / 2)
    return [(float(line[i, 0]), float(line[i, 1])) for i in picked[np.lexsort((off, steep))]]
