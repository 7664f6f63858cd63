"""A sign that is put together, as the rows and supplies of its building plan."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from matplotlib.figure import Figure

from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures.building_marks import PlanRow
from lumsim.pictures.building_plan import building_plan
from lumsim.pictures.building_supplies import PlanSupply
from lumsim.sheet.assembly import Assembly

__all__ = ["draw_assembly", "plan_rows", "plan_supplies"]

Place = tuple[Fraction, Fraction]


def draw_assembly(
    assembly: Assembly,
    cabinet: Cabinet,
    *,
    supplies_at: Sequence[Place],
    supply_size: Place | None,
    title: str,
) -> Figure:
    """Draw what to build, true to scale.

    Parameters
    ----------
    assembly : Assembly
    cabinet : Cabinet
    supplies_at : sequence of (x, y)
        Middle of each supply whose place is told. [m]
    supply_size : (width, height), optional
        [m]
    title : str
        Of the study.

    Raises
    ------
    InputError
        Where it has no room on its paper at any usual scale.
    """
    supplies = plan_supplies(assembly, supplies_at, supply_size)
    return building_plan(cabinet, plan_rows(assembly), supplies, title=title, units=assembly.units)


def plan_rows(assembly: Assembly) -> tuple[PlanRow, ...]:
    """Each row as it is drawn: where it is held, fed and joined.

    Parameters
    ----------
    assembly : Assembly
    """
    found = []
    for row, held in zip(assembly.rows, assembly.held.places, strict=True):
        feeds: list[tuple[int, int | None]] = []
        joints: list[int] = []
        cuts: list[int] = []
        for number, part in enumerate(assembly.parts):
            if part.number != row.number:
                continue
            if part.start:
                cuts.append(part.start - 1)
            joints += [part.start + before - 1 for before in assembly.joints(number)]
            if assembly.wired is not None:
                by: tuple[int | None, ...] = tuple(dict.fromkeys(assembly.fed_by[number])) or (None,)
                feeds += [
                    (part.start + feed, supply) for feed in assembly.wired[number].feeds for supply in by
                ]
        found.append(
            PlanRow(
                string=row, supports=held or (), feeds=tuple(feeds), joints=tuple(joints), cuts=tuple(cuts)
            )
        )
    return tuple(found)


def plan_supplies(
    assembly: Assembly, supplies_at: Sequence[Place], supply_size: Place | None
) -> tuple[PlanSupply, ...]:
    """Each supply as it is drawn: at its place, or at none that is told.

    Parameters
    ----------
    assembly : Assembly
    supplies_at : sequence of (x, y)
        Middle of each supply whose place is told. [m]
    supply_size : (width, height), optional
        [m]
    """
    if assembly.supplies is None:
        return ()
    return tuple(
        PlanSupply(
            number=one.number,
            at=supplies_at[one.number - 1] if one.number <= len(supplies_at) else None,
            size=supply_size,
        )
        for one in assembly.supplies.supplies
    )
