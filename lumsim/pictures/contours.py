"""Contour lines of a face map, labelled where there is room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes

from lumsim.pictures import look
from lumsim.pictures.lettering import Box, Taken, text_width
from lumsim.pictures.sheet import Sheet
from lumsim.uniformity.face_map import Array

__all__ = ["Contours", "Line", "contour_shares", "fewer_samples", "write_on_contours"]

Line = Array
"""(n, 2) points x, y of one contour line"""

MOST_SAMPLES = 500
"""Samples along each side from which contour lines are drawn. [1]"""

_STEPS = (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.25)
"""Between contour lines, as shares of the maximum. [1]"""

_MOST_LINES = 5.5
"""Steps between contour lines that the luminance axis may hold. [1]"""

_TRIED = 60
"""Places tried for each label. [1]"""

_CROSSING = 20_000
"""Points of contour lines that labels are kept clear of. [1]"""


def contour_shares(lowest: float, span: float) -> list[float]:
    """Shares of the maximum at which a few contour lines lie.

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


def fewer_samples(values: Array, most: int) -> Array:
    """The map on an even grid of at most so many samples along each side, edges included: straight lines
    between neighbours.

    Parameters
    ----------
    values : (ny, nx) array
    most : int
        [1]
    """
    for axis in (0, 1):
        n = values.shape[axis]
        if n > most:
            at = np.linspace(0, n - 1, most)
            below = np.minimum(at.astype(np.int64), n - 2)
            part = (at - below)[:, None] if axis == 0 else (at - below)[None, :]
            values = np.take(values, below, axis) * (1 - part) + np.take(values, below + 1, axis) * part
    return values


@dataclass(frozen=True, slots=True, kw_only=True)
class Contours:
    """A map ready to have contour lines drawn."""

    x: Array
    """(nx,) [the drawing's unit]"""
    y: Array
    """(ny,) [the drawing's unit]"""
    values: Array
    """(ny, nx) [cd/m²]"""

    @staticmethod
    def of(x: Array, y: Array, values: Array) -> Contours:
        """From a map on an even grid; a fine one is thinned out."""
        values = fewer_samples(values, MOST_SAMPLES)
        ny, nx = values.shape
        return Contours(x=np.linspace(x[0], x[-1], nx), y=np.linspace(y[0], y[-1], ny), values=values)

    def drawn_on(self, axes: Axes, levels: Sequence[float], limits: tuple[float, float]) -> list[list[Line]]:
        """Draw the lines; return those of each level."""
        if not levels:
            return []
        drawn = axes.contour(
            self.x,
            self.y,
            self.values,
            levels=list(levels),
            colors=[look.ink_on(_share(level, limits)) for level in levels],
            linewidths=0.8,
            linestyles="solid",
            alpha=0.85,
        )
        return [[np.asarray(line) for line in lines if len(line) > 1] for lines in drawn.allsegs]


def _share(level: float, limits: tuple[float, float]) -> float:
    return (level - limits[0]) / (limits[1] - limits[0])


def write_on_contours(
    sheet: Sheet,
    drawn: Sequence[Sequence[Line]],
    shares: Sequence[float],
    limits: tuple[float, float],
    top: float,
    paper: tuple[float, float, float],
    inside: Box,
    taken: Taken,
) -> None:
    """Write each level's share of the maximum on its longest line, where the label is clear of all else.

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
    paper : three floats
        Place of the drawing's origin on the sheet [in], and its scale.
    inside : Box
        Where labels may stand. [in]
    taken : Taken
    """
    x0, y0, scale = paper
    on_paper = [[np.array([x0, y0]) + scale * line for line in lines] for lines in drawn]
    every = [np.concatenate(lines) if lines else np.empty((0, 2)) for lines in on_paper]
    thin = max(1, sum(map(len, every)) // _CROSSING)
    for level, (lines, share) in enumerate(zip(on_paper, shares, strict=True)):
        if not lines:
            continue
        others = np.concatenate([points[::thin] for number, points in enumerate(every) if number != level] or [np.empty((0, 2))])
        text = f"{100 * share:g} %"
        half_width, half_height = text_width(text, look.NUMBER) / 2 + 0.02, 0.06
        longest = max(lines, key=lambda line: float(np.ptp(line, axis=0).sum()))
        if np.ptp(longest, axis=0).max() < 3 * half_width:
            continue
        for px, py in _places(longest):
            box = (px - half_width, py - half_height, px + half_width, py + half_height)
            within = inside[0] <= box[0] and inside[1] <= box[1] and box[2] <= inside[2] and box[3] <= inside[3]
            if not within or _any_in(others, box) or not taken.take_if_free(box):
                continue
            part = _share(share * top, limits)
            ground = look.colour_map()(part)
            written = sheet.write(
                px, py, text, look.NUMBER, colour=look.ink_on(part), across="center", up="center"
            )
            written.set_bbox({"boxstyle": "square,pad=0.1", "facecolor": ground, "edgecolor": "none"})
            break


def _places(line: Line) -> list[tuple[float, float]]:
    """Points of a line, those first where it runs most nearly level."""
    picked = np.unique(np.linspace(0, len(line) - 1, min(len(line), _TRIED)).astype(np.int64))
    slope = np.abs(np.gradient(line[:, 1])) / (np.abs(np.gradient(line[:, 0])) + 1e-9)
    steep = np.round(np.minimum(slope[picked], 9), 1)
    # Of equally level ones, the nearest to the line's middle.
    off = np.abs(picked - (len(line) - 1) / 2)
    return [(float(line[i, 0]), float(line[i, 1])) for i in picked[np.lexsort((off, steep))]]


def _any_in(points: Array, box: Box) -> bool:
    inside = (points[:, 0] > box[0]) & (points[:, 0] < box[2]) & (points[:, 1] > box[1]) & (points[:, 1] < box[3])
    return bool(inside.any())
