"""How pictures look: colours, sizes, fonts, the colour map and the settings that drawing goes by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from types import MappingProxyType
from typing import Any, Final, Literal

import matplotlib as mpl
from matplotlib.colors import Colormap, to_hex

__all__ = [
    "BAND",
    "DOTS_PER_INCH",
    "FACT",
    "FEASIBLE",
    "FEASIBLE_HATCH",
    "FONT",
    "HAIR",
    "HEADING",
    "HIDDEN",
    "INK",
    "LABEL",
    "LIMIT",
    "MUTED",
    "NIGHT",
    "NUMBER",
    "OWN",
    "PAPER",
    "RETAINER",
    "SETTINGS",
    "TICK",
    "TINT",
    "TITLE",
    "WIDEST",
    "LineStyle",
    "colour_at",
    "colour_map",
    "drawing",
    "ink_on",
    "line_style",
]

INK: Final = "#1c2127"
"""Lines and letters."""
MUTED: Final = "#59636e"
"""Lesser lines and letters: ticks, facts."""
HAIR: Final = "#aab2ba"
"""The thinnest lines."""
BAND: Final = "#cdd3d9"
"""A range around a line."""
TINT: Final = "#f1f3f5"
"""Every other band of a background."""
HIDDEN: Final = "#dde1e5"
"""What the retainer hides."""
PAPER: Final = "#ffffff"
NIGHT: Final = "#0a0a0a"
"""Around a lit sign that is shown as the eye would see it."""
RETAINER: Final = "#323232"
"""Its retainer, which gives no light."""
LIMIT: Final = "#a3341f"
"""The line that must not be crossed."""
FEASIBLE: Final = "#d5e8df"
FEASIBLE_HATCH: Final = "#93bcab"
WIDEST: Final = "#0f5d45"
OWN: Final = "#6a3d8f"
"""What the study has."""

FONT: Final = "DejaVu Sans"
"""Comes with matplotlib, so a picture needs no font of the machine it is drawn on."""

TITLE: Final = 14.0
"""[pt]"""
HEADING: Final = 10.5
"""[pt]"""
FACT: Final = 9.5
"""[pt]"""
LABEL: Final = 9.0
"""[pt]"""
TICK: Final = 8.0
"""[pt]"""
NUMBER: Final = 7.5
"""[pt]"""

DOTS_PER_INCH: Final = 150

LineStyle = Literal["solid"] | tuple[float, tuple[float, ...]]
"""Solid, or where the dashes begin, and lengths on and off."""

_LINES: Final[tuple[tuple[str, LineStyle], ...]] = (
    (INK, "solid"),
    ("#1f6fa8", (0, (5, 1.6))),
    ("#b4561c", (0, (5, 1.5, 1, 1.5))),
    ("#4f7f24", (0, (1.2, 1.2))),
    ("#86489a", (0, (5, 1.5, 1, 1.5, 1, 1.5))),
    ("#6e6a12", (0, (9, 3))),
)
"""Told apart by their dashes where the colours cannot be seen."""

SETTINGS: Final[Mapping[Any, Any]] = MappingProxyType(
    {
        "font.family": [FONT],
        "text.color": INK,
        "axes.edgecolor": INK,
        "axes.labelcolor": INK,
        "axes.linewidth": 0.8,
        "xtick.color": INK,
        "ytick.color": INK,
        "hatch.linewidth": 0.7,
        # Letters as outlines: they look the same wherever the file is opened.
        "svg.fonttype": "path",
        # TrueType as it is: letters can be searched, and print shops take it.
        "pdf.fonttype": 42,
        # Names inside an SVG file come from this and its content, not from chance.
        "svg.hashsalt": "lumsim",
        "figure.dpi": DOTS_PER_INCH,
        "savefig.dpi": DOTS_PER_INCH,
    }
)


@contextmanager
def drawing() -> Iterator[None]:
    """Draw by our settings and no one else's; on leaving, the caller's are back as they were."""
    with mpl.rc_context():
        mpl.rcdefaults()
        mpl.rcParams.update(dict(SETTINGS))
        yield


def colour_map() -> Colormap:
    """Return colours from dark to light luminance: even steps to the eye, to colour-blind eyes, and in grey print.

    References
    ----------
    .. [1] J. R. Nuñez, C. R. Anderton, R. S. Renslow, "Optimizing colormaps with consideration for color
       vision deficiency", PLoS ONE 13(7), 2018: cividis.
    """
    return mpl.colormaps["cividis"]


def colour_at(share: float) -> str:
    """Return the colour map's colour at a share of its length, as ``#rrggbb``."""
    return to_hex(colour_map()(share))


def ink_on(share: float) -> str:
    """Return what can be read on the colour map's colour at a share of its length: dark on light, light on dark."""
    return INK if share > 0.45 else PAPER


def line_style(number: int) -> tuple[str, LineStyle]:
    """Return colour and dashes of the n-th of several lines, from 0."""
    return _LINES[number % len(_LINES)]
