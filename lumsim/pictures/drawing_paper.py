"""Paper and scales of a drawing that is true to scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from lumsim.units import METRES_PER_INCH, METRES_PER_UNIT, Units

__all__ = ["RATIOS", "Paper", "inches_per_metre", "papers"]

RATIOS: Final[Mapping[Units, tuple[int, ...]]] = MappingProxyType(
    {
        "in": (1, 2, 4, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384, 512, 768, 1024),
        "mm": (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000),
    }
)
"""The usual ones: how many times smaller the drawing is than what it shows. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper, one way round."""

    name: str
    width: float
    """[in]"""
    height: float
    """[in]"""


def papers(units: Units) -> tuple[Paper, Paper]:
    """The paper that drawings in a unit are printed on: lying, and upright.

    Parameters
    ----------
    units : {"in", "mm"}
        Inches are drawn on 11 × 17 in, millimetres on A3 (297 × 420 mm, ISO 216).
    """
    name = "11 × 17 in" if units == "in" else "A3"
    short, long = (11.0, 17.0) if units == "in" else (297 / 25.4, 420 / 25.4)
    return Paper(name=name, width=long, height=short), Paper(name=name, width=short, height=long)


def inches_per_metre(ratio: int, units: Units | None = None) -> float:
    """Inches of paper for a metre, or for one of a unit.

    Parameters
    ----------
    ratio : int
        How many times smaller the drawing is. [1]
    units : {"in", "mm"}, optional
    """
    metres = 1 if units is None else METRES_PER_UNIT[units]
    return float(metres / METRES_PER_INCH / ratio)
