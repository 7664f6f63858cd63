"""The numbers of ``seeing.toml`` once more, by lumsim's own functions.

A check takes the parameters of an entry of ``seeing.toml`` by name and returns lumsim's answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from lumsim.uniformity.threshold import contrast_sensitivity, contrast_threshold, spatial_frequency


def sensitivity(u: float, luminance: float, field: float) -> float:
    """One over the threshold [1]."""
    return contrast_sensitivity(u, luminance, field)


def frequency(pitch: float, distance: float) -> float:
    """Of rows, from a distance [cycles/degree]."""
    return spatial_frequency(pitch, distance)


def threshold(pitch: float, distance: float, luminance: float, field: float) -> float:
    """Modulation from which rows are seen from a distance [1]."""
    return contrast_threshold(spatial_frequency(pitch, distance), luminance, field)


def threshold_ratio(pitch: float, distance: float, luminance: float, field: float) -> float:
    """The same as max/min [1]."""
    modulation = threshold(pitch, distance, luminance, field)
    return (1 + modulation) / (1 - modulation)


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        "sensitivity": sensitivity,
        "frequency": frequency,
        "threshold": threshold,
        "threshold_ratio": threshold_ratio,
    }
)
