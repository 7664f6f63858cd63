"""Text that fits: measured, wrapped, and placed clear of what is there already. Lengths in inches."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache

import numpy as np
from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.textpath import text_to_path
from numpy.typing import NDArray

from lumsim.pictures.look import FONT

__all__ = ["Box", "Taken", "any_in", "drawable", "is_within", "line_height", "text_width", "wrapped"]

Box = tuple[float, float, float, float]
"""x0, y0, x1, y1 [in]"""

UNKNOWN = "\N{REPLACEMENT CHARACTER}"


@cache
def _properties(size: float, *, bold: bool) -> FontProperties:
    return FontProperties(family=FONT, size=size, weight="bold" if bold else "normal")


@cache
def _known(character: str) -> bool:
    return all(
        get_font(findfont(_properties(10, bold=bold))).get_char_index(ord(character))
        for bold in (False, True)
    )


def drawable(text: str) -> str:
    """Put a text on one line, with a question mark in a diamond for each character that the font lacks."""
    return "".join(c if _known(c) else UNKNOWN for c in " ".join(text.split()))


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Measure a line of text, in inches.

    Parameters
    ----------
    text : str
    size : float
        [pt]
    bold : bool
    """
    if not text:
        return 0.0
    width, _, _ = text_to_path.get_text_width_height_descent(text, _properties(size, bold=bold), ismath=False)
    # Letters on a grid of dots run up to some 3 % wider than their outlines.
    return 1.03 * width / 72


def line_height(size: float) -> float:
    """Return the way from one line of text to the next, in inches."""
    return 1.4 * size / 72


def wrapped(
    text: str, size: float, width: float, *, bold: bool = False, most_lines: int | None = None
) -> list[str]:
    """Break a text into lines no wider than a width; a word that is wider itself is broken.

    Parameters
    ----------
    text : str
    size : float
        [pt]
    width : float
        [in]
    bold : bool
    most_lines : int, optional
        What lies beyond is cut off, and an ellipsis says so.
    """
    lines: list[str] = []
    line = ""
    for word in drawable(text).split(" "):
        candidate = f"{line} {word}" if line else word
        if text_width(candidate, size, bold=bold) <= width:
            line = candidate
            continue
        if line:
            lines.append(line)
        rest = word
        while text_width(rest, size, bold=bold) > width:
            fits = max(1, _fitting(rest, size, width, bold=bold))
            lines.append(rest[:fits])
            rest = rest[fits:]
        line = rest
    if line:
        lines.append(line)
    if most_lines is not None and len(lines) > most_lines:
        last = lines[most_lines - 1]
        fits = _fitting(last, size, width - text_width("…", size, bold=bold), bold=bold)
        lines = [*lines[: most_lines - 1], f"{last[:fits].rstrip()}…"]
    return lines


def _fitting(text: str, size: float, width: float, *, bold: bool) -> int:
    """Return how many of a text's first characters are no wider than a width [in]."""
    lengths = range(1, len(text) + 1)
    return bisect_right(lengths, width, key=lambda length: text_width(text[:length], size, bold=bold))


def is_within(box: Box, outer: Box) -> bool:
    """Whether a box lies in an outer one, edges included."""
    return outer[0] <= box[0] and outer[1] <= box[1] and box[2] <= outer[2] and box[3] <= outer[3]


def any_in(points: NDArray[np.float64], box: Box) -> bool:
    """Whether any of (n, 2) points lies inside a box."""
    x, y = points.T
    return bool(((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])).any())


class Taken:
    """Boxes of a sheet that are taken, so that what comes next stays clear of them."""

    def __init__(self) -> None:
        self._boxes: list[Box] = []

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        self._boxes.append(box)

    def is_free(self, box: Box) -> bool:
        """Whether a box touches none that is taken."""
        x0, y0, x1, y1 = box
        return not any(x0 < b[2] and b[0] < x1 and y0 < b[3] and b[1] < y1 for b in self._boxes)

    def take_if_free(self, box: Box) -> bool:
        """Take a box if it is free; says whether it was."""
        free = self.is_free(box)
        if free:
            self.take(box)
        return free
