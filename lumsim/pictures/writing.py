"""A picture as the bytes of a file, the same bytes every time."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from html import escape
from io import BytesIO
from typing import Any

import numpy as np
from matplotlib.figure import Figure
from matplotlib.image import imsave
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.pictures import look

__all__ = ["SUFFIXES", "PdfPicture", "dots_png", "pdf_picture", "picture_bytes", "picture_html"]

SUFFIXES = (".png", ".svg", ".pdf")
"""The kinds of picture files that can be written."""

# What matplotlib would write of itself and of the day makes files differ that show the same.
_SAYS_NOTHING = {
    ".png": {"Software": None},
    ".svg": {"Date": None, "Creator": None, "Format": None, "Type": None},
    ".pdf": {"CreationDate": None, "Creator": None, "Producer": None},
}


def picture_bytes(figure: Figure, suffix: str) -> bytes:
    """Return a picture as the bytes of a file: dots at 150 an inch, or lines and letters.

    An SVG file has its letters as outlines; a PDF file carries its font, and its page is as large as the figure.

    Parameters
    ----------
    figure : Figure
    suffix : {".png", ".svg", ".pdf"}
        In any case.

    Raises
    ------
    InputError
        For any other suffix.
    """
    known = suffix.lower()
    if known not in SUFFIXES:
        got = f"as {suffix}" if suffix else "to a file name without an ending"
        raise InputError(f"a picture is written as {', '.join(SUFFIXES[:-1])} or {SUFFIXES[-1]}, not {got}")
    buffer = BytesIO()
    with look.drawing():
        figure.savefig(
            buffer,
            format=known[1:],
            dpi=look.DOTS_PER_INCH,
            metadata=_SAYS_NOTHING[known],
            facecolor=look.PAPER,
        )
    return buffer.getvalue()


def dots_png(greys: NDArray[np.float64]) -> bytes:
    """Return greys as a PNG file, a dot each.

    Parameters
    ----------
    greys : (ny, nx) array
        From 0, black, to 1, white; rows from the bottom up.
    """
    written = BytesIO()
    # Of its own kind it knows None, which says nothing, though its signature does not.
    silent: dict[str, Any] = dict(_SAYS_NOTHING[".png"])
    imsave(written, greys, format="png", cmap="gray", vmin=0.0, vmax=1.0, origin="lower", metadata=silent)
    return written.getvalue()


def picture_html(figure: Figure, *, alt: str) -> str:
    """Return a picture as one HTML element that fetches nothing: as wide as there is room, and told in words.

    Parameters
    ----------
    figure : Figure
    alt : str
        What stands for it where it cannot be seen, with its numbers.

    Raises
    ------
    InputError
        Where it says nothing.
    """
    if not alt.strip():
        raise InputError("a picture needs words for those who cannot see it")
    data = b64encode(picture_bytes(figure, ".svg")).decode("ascii")
    return f'<img alt="{escape(alt)}" style="width: 100%" src="data:image/svg+xml;base64,{data}">'


@dataclass(frozen=True, slots=True, kw_only=True)
class PdfPicture:
    """A picture as a PDF file to be set in a page."""

    pdf: bytes
    width: float
    """[in]"""
    height: float
    """[in]"""


def pdf_picture(figure: Figure) -> PdfPicture:
    """A figure as a PDF file, with its size.

    Parameters
    ----------
    figure : Figure
    """
    width, height = (float(side) for side in figure.get_size_inches())
    return PdfPicture(pdf=picture_bytes(figure, ".pdf"), width=width, height=height)
