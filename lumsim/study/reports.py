"""How what does not fit together is told, and lengths in what is told."""

from __future__ import annotations

from fractions import Fraction
from typing import Protocol

from lumsim.study.key_lines import KeyPath
from lumsim.units import Units, format_length, parse_length

__all__ = ["Report", "length_shown"]


class Report(Protocol):
    """Told of what does not fit together."""

    def __call__(
        self, path: KeyPath, message: str, *, of_sizes: bool = False, of_faces: bool = False
    ) -> None:
        """Take a problem.

        The path of a key, what is wrong with it, and whether that rests on the cabinet's sizes or on how many
        faces it has.
        """


def length_shown(length: Fraction, units: Units) -> str:
    """Return a length as printed, with its millimetres where the print is rounded.

    Parameters
    ----------
    length : Fraction
        [m]
    units : {"in", "mm"}
    """
    printed = format_length(length, units)
    return printed if parse_length(printed) == length else f"{printed} ({float(length * 1000):.6g} mm)"
