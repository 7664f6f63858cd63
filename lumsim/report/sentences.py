"""Words that stand by themselves on a page."""

from __future__ import annotations

__all__ = ["sentence"]


def sentence(text: str) -> str:
    """A text with a capital and one full stop.

    Parameters
    ----------
    text : str
        Not empty.
    """
    return f"{text[0].upper()}{text[1:].rstrip('.')}."
