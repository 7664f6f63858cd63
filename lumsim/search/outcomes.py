"""How a layout or a sign stands, without the cabinet that it was lit in: what goes from one process to another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lumsim.cabinet.cabinet import Side
from lumsim.search.trying import Tried

__all__ = ["Outcome", "as_it_stands"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How something that was lit stands to the requirement."""

    numbers: Mapping[str, float]
    """``ALWAYS``, and those that the requirement limits, by their names in ``Evenness``; of the face that decides"""
    excess: float
    """the worst of actual over limit; met up to and including 1; where nothing is required max/min [1]"""
    met: bool
    missed: tuple[str, ...]
    """the limits that are not met, by their names in ``Evenness``"""
    side: Side
    """whose face decides"""
    aged: bool
    """whether it decides as an aged face"""


def as_it_stands(tried: Tried) -> dict[str, Any]:
    """The fields of an ``Outcome``."""
    return {
        "numbers": dict(tried.numbers),
        "excess": tried.excess,
        "met": tried.verdict.met,
        "missed": tuple(dict.fromkeys(one.name for one in tried.verdict.judged if not one.met)),
        "side": tried.side,
        "aged": tried.aged,
    }
