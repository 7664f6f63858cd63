"""Lengths in inches told in millimetres too, as they are printed: what is on the tape is what gets cut."""

from __future__ import annotations

import re
from typing import Final

from lumsim.units import format_size, parse_length

__all__ = ["NO_BREAK", "in_both_units"]

_NUMBER: Final = r"-?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
_LENGTHS: Final = re.compile(
    # An inch that is the word in: "100 in the longest", "3 in each".
    rf"(?<![\w./])({_NUMBER}(?: × {_NUMBER})*) (in|ft)(?! (?:the|each|all|a|an|one|it)\b)(?![\w/²])"
)

NO_BREAK: Final = "\N{NO-BREAK SPACE}"


def in_both_units(text: str) -> list[tuple[str, str]]:
    """Part a text behind each of its lengths in inches or feet; each part with these lengths in millimetres or metres.

    Parameters
    ----------
    text : str

    Returns
    -------
    list of (text, SI)
        The texts are the whole text, with spaces that do not break within lengths; SI is empty where a part ends
        without a length.
    """
    parts, done = [], 0
    for found in _LENGTHS.finditer(text):
        numbers, unit = found.groups()
        lengths = [parse_length(f"{number} {unit}") for number in numbers.split(" × ")]
        if unit == "in":
            si = format_size(lengths, "mm")
        else:
            si = f"{' × '.join(f'{float(length):.4g}' for length in lengths)} m"
        # A length is not to be broken between lines.
        length = found[0].replace(" ", NO_BREAK).replace(f"{NO_BREAK}×{NO_BREAK}", " × ")
        parts.append((text[done : found.start()] + length, si))
        done = found.end()
    if done < len(text) or not parts:
        parts.append((text[done:], ""))
    return parts
