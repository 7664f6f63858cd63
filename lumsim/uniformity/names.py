"""What each number on evenness is called wherever a person reads it, and how a share is written."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = ["NAMES", "SHARES", "UNITS", "percent"]

NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "max_to_min": "max/min",
        "stripe_max_to_min": "stripes",
        "edge_dimming": "edge dimming",
        "hot_spot_contrast": "spot contrast",
        "min_to_mean": "min/mean (U0)",
        "min_to_max": "min/max",
        "coefficient_of_variation": "variation",
        "nine_point": "nine points",
        "ripple_across": "ripple across rows",
        "ripple_along": "ripple along rows",
        "max_luminance": "mean luminance",
        "min_luminance": "mean luminance",
        "darkest_luminance": "lowest luminance",
    }
)
"""By the names of ``Evenness`` and of ``LIMITS``, in the order in which they are told; ripple by how the rows run."""

UNITS: Final[Mapping[str, str]] = MappingProxyType(
    dict.fromkeys(("max_luminance", "min_luminance", "darkest_luminance"), "cd/m²")
)
"""Of the numbers that are no plain ratio, by the same names."""


SHARES: Final = frozenset({"hot_spot_contrast", "coefficient_of_variation"})
"""The numbers that are 0 where a face is perfectly even, and told in per cent; by the same names."""


def percent(share: float) -> str:
    """A share in per cent, to a whole one from 10 % on, below to one decimal; never a false 0."""
    if share != 0 and abs(share) < 0.0005:
        return "less than 0.1 %"
    return f"{share * 100:.0f} %" if abs(share) >= 0.0995 else f"{share * 100:.1f} %"
