"""A study's build sheet: what the command line, notebooks and tests all call."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.search.trying import Progress
from lumsim.sheet.assembly import Assembly, assembled
from lumsim.sheet.failures import Failure, Loss, worst_of
from lumsim.sheet.losses import joint_losses, module_losses, string_losses, supply_losses
from lumsim.sheet.strings import row_strings, with_light
from lumsim.sheet.upkeep import Upkeep, kept_up
from lumsim.sheet.wiring import shares_of_light
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.reading import Study

__all__ = ["SheetAnswer", "sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetAnswer:
    """What to build, and what becomes of the light."""

    assembly: Assembly
    upkeep: Upkeep
    own: Simulation
    """every module at its rated voltage"""
    on_wire: Simulation | None
    """with what the wire leaves of each module's light; None where that is not known, or no light is left"""
    failures: tuple[Failure, ...]
    """the worst of each kind; none of kinds of which there is nothing to lose, or everything"""

    @property
    def built(self) -> Simulation:
        """The face as it will be, as far as it is known."""
        return self.own if self.on_wire is None else self.on_wire

    @property
    def dark(self) -> bool:
        """Whether the wire leaves no module any light."""
        return self.assembly.wired is not None and self.on_wire is None

    @property
    def finished(self) -> bool:
        """Whether every loss was looked at."""
        return all(one.finished for one in self.failures)

    @property
    def met(self) -> bool:
        """Whether it can be built as asked, and the face as it will be meets the requirement."""
        return self.built.met and not self.dark and not self.assembly.refused


def sheet(
    study: Study,
    *,
    lighting: Lighting = ALL_LIGHT,
    what_if: bool = True,
    progress: Progress | None = None,
) -> SheetAnswer:
    """Work out a study's build sheet.

    Parameters
    ----------
    study : Study
    lighting : Lighting
        How light is followed.
    what_if : bool
        Whether the face is looked at with each thing that may fail.
    progress : callable, optional

    Raises
    ------
    InputError
        Where a wire cannot carry its string.
    """
    cabinet, asked, building = study.cabinet, study.sheet, study.building
    # Stripes are averaged over the window of the rows as drawn, whatever is dark.
    requirement = replace(
        study.requirement, stripe_window=study.requirement.stripe_window or cabinet.stripe_window
    )

    def tell(what: str) -> None:
        if progress is not None:
            progress(0.0, what)

    assembly = assembled(
        row_strings(cabinet),
        cabinet,
        building.rules,
        None if asked.untold else asked.electrics,
        asked.wiring,
        tell=tell,
    )
    upkeep = kept_up(assembly, cabinet, building.upkeep, asked.wiring, study.units)
    shares = np.ones(cabinet.modules)
    if assembly.wired is not None:
        shares = shares_of_light(assembly.wired, cabinet.modules)
    interior = lighting.interior(cabinet.box)

    def lit(one: Cabinet) -> Simulation:
        return simulate(one, requirement, lighting=lighting, interior=interior, ageing=study.ageing)

    own = lit(cabinet)
    failures: list[Failure] = []
    kinds = _losses(study, assembly, shares) if what_if and shares.any() else []
    of = max(sum(map(len, kinds)), 1)
    for number, losses in enumerate(kinds):
        found = worst_of(
            cabinet,
            requirement,
            losses,
            shares=shares,
            lighting=lighting,
            interior=interior,
            ageing=study.ageing,
            progress=_part(progress, sum(map(len, kinds[:number])) / of, len(losses) / of),
        )
        if found is not None:
            failures.append(found)
            if not found.finished:
                break
    if progress is not None:
        progress(1.0, "done")
    on_wire = None
    if assembly.wired is not None and shares.any():
        on_wire = own if (shares == 1).all() else lit(with_light(cabinet, shares))
    return SheetAnswer(assembly=assembly, upkeep=upkeep, own=own, on_wire=on_wire, failures=tuple(failures))


def _losses(study: Study, assembly: Assembly, shares: NDArray[np.float64]) -> list[list[Loss]]:
    """Everything that may fail by itself, kind by kind."""
    wiring = study.sheet.wiring
    return [
        module_losses(study.cabinet, assembly.rows, shares),
        string_losses(assembly.parts),
        supply_losses(assembly, study.cabinet),
        [] if wiring is None else joint_losses(assembly, study.sheet.electrics, wiring),
    ]


def _part(progress: Progress | None, before: float, share: float) -> Progress | None:
    """Progress of one of several kinds of loss, which is so much of the whole."""
    if progress is None:
        return None
    tell = progress
    return lambda done, what: tell(before + share * done, what)
