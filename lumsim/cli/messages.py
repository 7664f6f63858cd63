"""Progress and messages on stderr; results alone go to stdout."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

__all__ = ["progress_line", "say", "say_if_compiling", "show"]


def show(text: str) -> None:
    """Print a result on stdout."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def say(text: str) -> None:
    """Print a message on stderr."""
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
    state = {"shown": begun, "open": 0.0, "since": begun, "from": 0.0}

    def tell(share: float, part: str) -> None:
        now = time.monotonic()
        terminal = sys.stderr.isatty()
        if share >= 1:
            if state["open"]:
                sys.stderr.write("\r\x1b[K")
                sys.stderr.flush()
                state["open"] = 0.0
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
            sys.stderr.write(f"\r\x1b[K{text}")
            state["open"] = 1.0
        else:
            sys.stderr.write(text + "\n")
        sys.stderr.flush()

    return tell
