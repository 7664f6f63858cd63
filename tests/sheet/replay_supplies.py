"""Plans of supplies read off one circuit after another, and small ones found by trying everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lumsim.sheet.supplies import SupplyPlan
from lumsim.sheet.supply_kind import Circuit, SupplyKind

ROUNDING = Fraction(1, 10**9)
"""Of a limit, that a sum may be above it."""


def within(kind: SupplyKind, circuits: Sequence[Circuit]) -> bool:
    """Tell whether some circuits keep both limits of one supply, by exact sums of the numbers as they stand."""
    watts = sum((Fraction(one.watts) for one in circuits), Fraction(0))
    length = sum((Fraction(one.length) for one in circuits), Fraction(0))
    if watts > Fraction(kind.watts) * Fraction(kind.loading_share) * (1 + ROUNDING):
        return False
    return kind.longest_string is None or length <= Fraction(kind.longest_string) * (1 + ROUNDING)


def loading(kind: SupplyKind, circuits: Sequence[Circuit]) -> Fraction:
    """Return the larger of what some circuits take of a supply's watts and of its length."""
    watts = sum((Fraction(one.watts) for one in circuits), Fraction(0))
    length = sum((Fraction(one.length) for one in circuits), Fraction(0))
    by_watts = watts / (Fraction(kind.watts) * Fraction(kind.loading_share))
    return by_watts if kind.longest_string is None else max(by_watts, length / Fraction(kind.longest_string))


def faults(plan: SupplyPlan, circuits: Sequence[Circuit], kind: SupplyKind) -> list[str]:
    """Return what a plan has wrong; nothing where each circuit is fed once and every limit and sum holds."""
    found = []
    fed = sorted(index for supply in plan.supplies for index in supply.circuits)
    if fed != list(range(len(circuits))):
        found.append(f"fed: {fed}")
    if plan.circuits != tuple(circuits) or plan.kind != kind:
        found.append("of something else")
    if [supply.number for supply in plan.supplies] != list(range(1, len(plan.supplies) + 1)):
        found.append("numbers")
    for supply in plan.supplies:
        own = [circuits[index] for index in supply.circuits]
        if not own:
            found.append(f"supply {supply.number} feeds nothing")
        if not within(kind, own):
            found.append(f"supply {supply.number} is above a limit")
        if abs(loading(kind, own) - Fraction(supply.loading)) > ROUNDING:
            found.append(f"supply {supply.number} tells another loading")
        found += [
            f"circuit {index} tells another supply"
            for index in supply.circuits
            if plan.supply_of[index] != supply.number
        ]
    if not 1 <= plan.least_supplies <= len(plan.supplies):
        found.append("bound of supplies")
    if plan.least_loading > plan.greatest_loading * (1 + 1e-9):
        found.append("bound of loading")
    return found


def groupings(circuits: Sequence[Circuit]) -> Iterator[list[list[Circuit]]]:
    """Go through every way to put circuits into groups without names."""
    if not circuits:
        yield []
        return
    first, *rest = circuits
    for groups in groupings(rest):
        yield [[first], *groups]
        for index, group in enumerate(groups):
            yield [*groups[:index], [first, *group], *groups[index + 1 :]]


def best_of_all(circuits: Sequence[Circuit], kind: SupplyKind) -> tuple[int, Fraction]:
    """Return how few supplies do, and how small the greatest loading of so few can be."""
    return min(
        (len(groups), max(loading(kind, group) for group in groups))
        for groups in groupings(circuits)
        if all(within(kind, group) for group in groups)
    )


def first_fit_decreasing(circuits: Sequence[Circuit], kind: SupplyKind) -> int:
    """Return how many supplies first-fit takes, by falling watts or by falling length, whichever is fewer."""
    counts = []
    for size in (lambda one: one.watts, lambda one: one.length):
        groups: list[list[Circuit]] = []
        for one in sorted(circuits, key=size, reverse=True):
            home = next((group for group in groups if within(kind, [*group, one])), None)
            if home is None:
                groups.append([one])
            else:
                home.append(one)
        counts.append(len(groups))
    return min(counts)
