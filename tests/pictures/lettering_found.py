"""Where a figure's letters stand: for the tests that nothing overlaps and nothing is cut off."""

from __future__ import annotations

from itertools import combinations

from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox


def written_on(figure: Figure) -> list[tuple[str, Bbox]]:
    """Every text of a figure that shows, with its box in dots, as the renderer measures it."""
    figure.draw_without_rendering()
    texts = [artist for artist in figure.findobj(Text) if isinstance(artist, Text)]
    return [
        (text.get_text(), text.get_window_extent())
        for text in texts
        if text.get_visible() and text.get_text().strip()
    ]


def unreadable(figure: Figure) -> list[str]:
    """What cannot be read: pairs of texts whose boxes share more than a dot, and texts beyond the sheet."""
    written = written_on(figure)
    sheet = figure.bbox
    return [
        f"{one} overlaps {other}"
        for (one, a), (other, b) in combinations(written, 2)
        if min(a.x1, b.x1) - max(a.x0, b.x0) > 1 and min(a.y1, b.y1) - max(a.y0, b.y0) > 1
    ] + [
        f"{text} is cut off"
        for text, box in written
        if box.x0 < sheet.x0 or box.y0 < sheet.y0 or box.x1 > sheet.x1 or box.y1 > sheet.y1
    ]


def texts_of(figure: Figure) -> list[str]:
    """Every text of a figure that shows."""
    return [text for text, _ in written_on(figure)]
