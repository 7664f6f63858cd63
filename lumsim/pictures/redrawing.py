"""Pictures drawn again and again while somebody moves a slider: what would make one of them late."""

from __future__ import annotations

import gc

__all__ = ["redraw_without_pauses"]


def redraw_without_pauses() -> None:
    """Take all that is loaded by now out of what Python looks through for garbage, for as long as the process runs.

    Every drawn picture leaves garbage. To find it Python looks through all objects of the process, once in some ten
    pictures and for a quarter of a second: nearly all of them modules and compiled code, which stay anyway. What is
    made later is looked through as before. Meant for a process that does nothing but redraw, once all is imported.
    """
    gc.freeze()
