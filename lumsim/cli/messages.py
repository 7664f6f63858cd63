"""Progress and messages on stderr; results alone go to stdout."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

__all__ = ["progress_line", "say", "say_if_compiling", "show"]


_CLEARED = "\r\x1b[K"
"""Takes a terminal's line away."""

_open_line = [False]
"""Whether progress stands on the terminal, with more text to come over it."""


def _close_line() -> None:
    """Take away the progress that stands on a terminal, before anything else is printed."""
    if _open_line[0]:
        sys.stderr.write(_CLEARED)
        sys.stderr.flush()
        _open_line[0] = False


def show(text: str) -> None:
    """Print a result on stdout."""
    _close_line()
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def say(text: str) -> None:
    """Print a message on stderr."""
    _close_line()
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def say_if_compiling() -> None:
    """Say why the first run takes longer, where it will."""
    from lumsim.kernels.compiling import will_compile

    if will_compile():
        say("lumsim: compiling the loops that compute light, once after an install (some seconds) …")


def progress_line(what: str) -> Callable[[float, str], None]:
    """Make a function that shows how far long work is; on a terminal one line that is written over.

    Nothing is shown in the first second: short work needs no progress. How long the rest takes is told by the rate
    since the last word within that second, so that parts which were there already do not count as quick.
    """
    begun = time.monotonic()
    state = {"shown": begun, "since": begun, "from": 0.0}

    def tell(share: float, part: str) -> None:
        now = time.monotonic()
        terminal = sys.stderr.isatty()
        if share >= 1:
            _close_line()
            return
        if now - begun < 1:
            state["since"], state["from"] = now, share
            return
        if now - state["shown"] < (0.2 if terminal else 5):
            return
        state["shown"] = now
        gone = share - state["from"]
        left = (now - state["since"]) * (1 - share) / gone if gone > 0.02 * (1 - state["from"]) else None
        text = f"lumsim: {what}, {part}, {share:.0%}" + (f", at most {left:.0f} s left" if left else "")
        if terminal:
            sys.stderr.write(f"{_CLEARED}{text}")
            _open_line[0] = True
        else:
            sys.stderr.write(text + "\n")
        sys.stderr.flush()

    return tell
