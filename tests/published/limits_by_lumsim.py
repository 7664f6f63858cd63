"""The numbers of ``limits.toml`` once more, by lumsim's own table of named limits.

A check takes the parameters of an entry of ``limits.toml`` by name and returns lumsim's answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from lumsim.uniformity.named_limits import NAMED_LIMITS


def named_ratio(name: str, area: float, limit: str) -> float:
    """What a source asks for of a face [1]."""
    value = NAMED_LIMITS[name].values(area)[limit]
    assert value is not None
    return value


def named_luminance(name: str, area: float) -> float:
    """Most mean luminance [cd/m²]."""
    return named_ratio(name, area, "max_luminance")


def named_darkest(name: str, area: float) -> float:
    """Least luminance of the darkest place [cd/m²]."""
    return named_ratio(name, area, "darkest_luminance")


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {"named_luminance": named_luminance, "named_darkest": named_darkest, "named_ratio": named_ratio}
)
