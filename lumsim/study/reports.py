"""How what does not fit together is told, examples of what would, and lengths in what is told."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Protocol

from lumsim.study.key_lines import KeyPath
from lumsim.units import METRES_PER_FOOT, Units, format_length, parse_length

__all__ = ["EXAMPLES", "LISTS", "Report", "distance_shown", "length_shown"]

EXAMPLES: dict[str | int, str] = {
    "cabinet": "a table [cabinet] with width, height and depth",
    "face": "a table [face] with transmittance and reflectance",
    "modules": "a table such as [modules.standard] with lumens",
    "rows": "at least one [[rows]] with a pitch",
    "width": '"84 in"',
    "height": '"36 in"',
    "depth": '"6 in"',
    "transmittance": "0.40",
    "reflectance": "0.40",
    "lumens": "90",
    "shape": '"lambertian"',
    "x": '"12 in"',
    "y": '"0 in"',
    "z": '"0 in"',
    "name": '"end clamp"',
    "per": '"section"',
}
"""What a key that is missing might be, by its name."""

LISTS: dict[str | int, str] = {
    "supplies_at": '[["12 in", "6 in"], ["60 in", "6 in"]]',
    "distances": '["10 ft", "120 m"]',
    "pitches": '["6 in", "9 in"]',
    "depths": '["4 in", "8 in"]',
    "named_limits": '["england-2007"]',
    "light": "[[9, 0.2], [12, 1.0]]",
    "directions": '["horizontal", "vertical"]',
    "staggered": "[false, true]",
    "leds": '[["-20 mm", "0 mm"], ["20 mm", "0 mm"]]',
    "table": '[["0 deg", 1.0], ["10 deg", 0.98]]',
}
"""How a list is written, by its key."""


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


def distance_shown(metres: float, units: Units) -> str:
    """Return how far off something is looked at as printed, ``9.84 ft``, ``120 m``: three digits, and all whole ones.

    Feet and metres, for nobody paces out inches or millimetres.

    Parameters
    ----------
    metres : float
        More than 0. [m]
    units : {"in", "mm"}
        Of the study: feet for inches, metres for millimetres.
    """
    number = metres / float(METRES_PER_FOOT) if units == "in" else metres
    decimals = max(0, 2 - math.floor(math.log10(number)))
    text = f"{number:.{decimals}f}"
    return f"{text.rstrip('0').rstrip('.') if decimals else text} {'ft' if units == 'in' else 'm'}"
