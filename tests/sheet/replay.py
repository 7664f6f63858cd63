"""Carry out a cutting plan roll by roll, as a shop would, and tell everything that is wrong with it.

It shares no code with what made the plan. Checkers of other parts of a sheet stand beside it, and may use ``faults``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lumsim.sheet.cutting import CuttingPlan

__all__ = ["faults", "replayed"]

Tell = Callable[[bool, str], None]


class faults:  # noqa: N801, used as a function is
    """Gather what is wrong: ``tell = faults()``, ``tell(fine, "what is not")``, and at the end ``tell.none()``."""

    def __init__(self) -> None:
        self.found: list[str] = []

    def __call__(self, fine: bool, fault: str) -> None:
        """Note a fault unless all is fine."""
        if not fine:
            self.found.append(fault)

    def none(self) -> bool:
        """Tell whether there was none; raise AssertionError with all of them where there were some."""
        assert not self.found, "; ".join(self.found)
        return True


def replayed(plan: CuttingPlan, rows: Sequence[int]) -> bool:
    """Cut every roll of a plan and put the sections together: True, or AssertionError with all that is wrong.

    Parameters
    ----------
    plan : CuttingPlan
    rows : sequence of int
        Modules in each row. [1]
    """
    tell = faults()
    modules_of: dict[int, dict[int, int]] = {}
    for number, roll in enumerate(plan.rolls):
        _roll_cut(plan, number, tell)
        for section in roll.sections:
            row = modules_of.setdefault(section.row, {})
            tell(
                section.start not in row, f"row {section.row} has two sections that start at {section.start}"
            )
            row[section.start] = section.modules
    tell(set(modules_of) == set(range(len(rows))), f"rows {sorted(modules_of)} are cut of {len(rows)}")
    for number, modules in enumerate(rows):
        sections = modules_of.get(number, {})
        reached = 0
        for start in sorted(sections):
            tell(start == reached, f"row {number} goes on at module {start} after {reached}")
            reached = start + sections[start]
        tell(reached == modules, f"row {number} has {reached} of {modules} modules")
        tell(len(sections) <= plan.stock.most_joints + 1, f"row {number} has {len(sections) - 1} joints")
    _sums_told(plan, rows, tell)
    return tell.none()


def _roll_cut(plan: CuttingPlan, number: int, tell: Tell) -> None:
    """Cut one roll from its end, section after section."""
    stock, roll = plan.stock, plan.rolls[number]
    tell(len(roll.sections) > 0, f"nothing is cut from roll {number}")
    at = 0
    for section in roll.sections:
        at += section.modules
        tell(at % stock.cut_every == 0, f"roll {number} is cut after {at} modules")
        tell(section.modules >= stock.shortest_section, f"roll {number} has a section of {section.modules}")
    tell(at <= stock.roll_modules, f"{at} modules are cut from roll {number}")
    tell(roll.leftover == stock.roll_modules - at, f"{roll.leftover} are told to be left of roll {number}")


def _sums_told(plan: CuttingPlan, rows: Sequence[int], tell: Tell) -> None:
    """Add up what the plan tells of itself."""
    bought = len(plan.rolls) * plan.stock.roll_modules
    left = [roll.leftover for roll in plan.rolls if roll.leftover]
    tell(plan.modules_left == bought - sum(rows), "what is left is not what was bought less the rows")
    tell(list(plan.leftovers) == sorted(left, reverse=True), "leftovers are not those of the rolls")
    tell(plan.joints == sum(len(roll.sections) for roll in plan.rolls) - len(rows), "joints are miscounted")
    tell(plan.least_rolls <= len(plan.rolls), "fewer rolls than the bound")
    tell(plan.least_rolls * plan.stock.roll_modules >= sum(rows), "a bound below what holds the string")
    tell(plan.proven == (plan.least_rolls == len(plan.rolls)), "proven is not what the bound says")
