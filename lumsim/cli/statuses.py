"""Exit statuses: how a command ended."""

from __future__ import annotations

import typer

__all__ = ["BAD_INPUT", "INTERRUPTED", "MET", "ended"]

MET, NOT_MET, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130


def ended(*, met: bool, finished: bool = True) -> typer.Exit:
    """What to raise at the end of a command.

    Parameters
    ----------
    met : bool
        Whether the requirement, if any, is met.
    finished : bool
        Whether Ctrl-C let it come to its end.
    """
    return typer.Exit(INTERRUPTED if not finished else MET if met else NOT_MET)
