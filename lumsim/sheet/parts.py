"""Small parts by the study's rules: how many are needed, how many come with rolls, how many to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final, Literal

from lumsim.errors import InputError

__all__ = [
    "DEFAULT_RULES",
    "Counted",
    "PartCount",
    "PartRule",
    "PartsCounted",
    "Per",
    "count_parts",
]

Per = Literal["section", "joint", "row", "feed", "support", "supply", "roll", "module"]
"""What a part may be counted by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRule:
    """A small part, and how many are needed.

    Raises
    ------
    InputError
        For numbers that cannot be.
    """

    name: str
    """as in the price list"""
    each: int = 1
    """how many for each of what it is counted by [1]"""
    per: Per
    with_roll: int = 0
    """that come with each roll [1]"""

    def __post_init__(self) -> None:
        for name, least in (("each", 1), ("with_roll", 0)):
            if getattr(self, name) < least:
                raise InputError(f"{self.name}: {name} must be {least} or more, got {getattr(self, name)}")

    @property
    def sections_served(self) -> int:
        """How many whole sections what comes with one roll is enough for; 0 of parts that sections do not take. [1]"""
        return self.with_roll // self.each if self.per == "section" else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """How many there are of what parts are counted by; None where that is not known."""

    section: int | None = None
    joint: int | None = None
    row: int | None = None
    feed: int | None = None
    support: int | None = None
    supply: int | None = None
    roll: int | None = None
    module: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartCount:
    """How many of one part."""

    rule: PartRule
    needed: int
    """[1]"""
    came_with_rolls: int
    """of those needed [1]"""

    @property
    def to_buy(self) -> int:
        """Beside what comes with rolls. [1]"""
        return self.needed - self.came_with_rolls


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsCounted:
    """All small parts."""

    counts: tuple[PartCount, ...]
    unknown: tuple[PartRule, ...]
    """parts that go by what is not known, or of which some come with rolls that are not known"""


DEFAULT_RULES: Final = (
    PartRule(name="end clamp", each=2, per="section"),
    PartRule(name="end cap", per="section"),
    PartRule(name="coupler", per="joint"),
    PartRule(name="feed connector", per="feed"),
    PartRule(name="support clip", per="support"),
)
"""Where a study has none of its own; common sense, no source."""


def count_parts(rules: Sequence[PartRule], counted: Counted) -> PartsCounted:
    """Count small parts.

    Parameters
    ----------
    rules : sequence of PartRule
    counted : Counted

    Returns
    -------
    PartsCounted
        In the order of the rules.
    """
    there = {field.name: getattr(counted, field.name) for field in fields(counted)}
    counts = []
    for rule in rules:
        count = there[rule.per]
        if count is not None and (counted.roll is not None or not rule.with_roll):
            needed = rule.each * count
            came = min(needed, rule.with_roll * (counted.roll or 0))
            counts.append(PartCount(rule=rule, needed=needed, came_with_rolls=came))
    return PartsCounted(
        counts=tuple(counts),
        unknown=tuple(rule for rule in rules if rule not in {one.rule for one in counts}),
    )
