"""The numbers of ``values.toml`` and the files beside it: as printed, with what their digits are worth."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

MARKS = ("seen", "derived", "from memory", "common practice")

FROM_PRINTED_DIGITS = 0.51
"""How far off in units of the last printed place: half of one by rounding, and a hundredth for our own error."""

ABOUT_A_VALUE = frozenset({"key", "value"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One number from outside."""

    family: str
    key: str
    printed: str
    """the digits as printed"""
    unit: str
    source: str
    mark: str
    what: str
    check: str | None
    """the function of ``by_lumsim.py`` or, of another file, of its ``…_by_lumsim.py`` that computes it; None where
    only the closed forms do"""
    parameters: dict[str, float | int | str]
    tolerance: float
    """absolute, in the number's unit"""

    @property
    def expected(self) -> float:
        """The printed number."""
        return float(self.printed)

    def __str__(self) -> str:
        return f"{self.family}: {self.key}"


def last_place(printed: str) -> float:
    """One unit in the last printed place: 0.01 for "3183.10"."""
    return float(10.0 ** -len(printed.partition(".")[2]))


def read_published(file: str = "values.toml") -> list[Published]:
    """Every number of a file, in its order."""
    families = tomllib.loads(Path(__file__).with_name(file).read_text(encoding="utf-8"))["family"]
    numbers = []
    for family in families:
        for value in family["value"]:
            printed = value["value"]
            relative, absolute = family.get("tolerance"), family.get("within")
            if absolute is None and relative is None:
                absolute = FROM_PRINTED_DIGITS * last_place(printed)
            numbers.append(
                Published(
                    family=family["key"],
                    key=value["key"],
                    printed=printed,
                    unit=family["unit"],
                    source=family["source"],
                    mark=family["mark"],
                    what=family["what"],
                    check=family.get("check"),
                    parameters={name: value[name] for name in value.keys() - ABOUT_A_VALUE},
                    tolerance=relative * float(printed) if absolute is None else absolute,
                )
            )
    return numbers


def by_family(numbers: Iterable[Published]) -> dict[str, list[Published]]:
    """Numbers of each family, in their order."""
    families: dict[str, list[Published]] = {}
    for one in numbers:
        families.setdefault(one.family, []).append(one)
    return families


def missed(
    numbers: Iterable[Published],
    computed: Callable[[Published], float],
    tolerance: Callable[[Published], float] = lambda one: one.tolerance,
) -> list[str]:
    """What is further off than its tolerance, in words: of each such number what came instead."""
    return [
        f"{one}: {got!r} is not {one.printed} within {tolerance(one):.3g}"
        for one in numbers
        for got in [computed(one)]
        if not abs(got - one.expected) <= tolerance(one)
    ]


def printed_digits(one: Published) -> float:
    """The tolerance that a number's printed digits give it."""
    return FROM_PRINTED_DIGITS * last_place(one.printed)
