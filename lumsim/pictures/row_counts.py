"""Row counts written in the strip above a picture."""

from __future__ import annotations

from lumsim.pictures import look
from lumsim.pictures.lettering import text_width
from lumsim.pictures.pitch_curve import counted
from lumsim.pictures.sheet import Sheet

__all__ = ["write_count"]


def write_count(sheet: Sheet, count: int, between: tuple[float, float], up: float) -> None:
    """Write a row count in the middle of a stretch: with its word, without, or where it has no room not at all.

    Parameters
    ----------
    sheet : Sheet
    count : int
        [1]
    between : (float, float)
        Ends of the stretch. [in]
    up : float
        Middle of the text. [in]
    """
    start, end = between
    for text in (counted(count), str(count)):
        if text_width(text, look.TICK) + 0.08 < end - start:
            sheet.write(
                (start + end) / 2,
                up,
                text,
                look.TICK,
                colour=look.MUTED,
                across="center",
                up="center_baseline",
            )
            return
