"""A study's build sheet: what the command line, notebooks and tests all call."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from lumsim.cabinet.cabinet import Cabinet
from lumsim.search.trying import Progress
from lumsim.search.twins import twins
from lumsim.sheet.failures import Failure, Loss, worst_of
from lumsim.sheet.strings import RowString, row_strings, with_light
from lumsim.sheet.wiring import WiredString, shares_of_light, wired
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.reading import Study

__all__ = ["SheetAnswer", "sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetAnswer:
    """What to build, and what becomes of the light."""

    strings: tuple[RowString, ...]
    own: Simulation
    """every module at its rated voltage"""
    wired: tuple[WiredString, ...] | None
    """None where watts, volts or a supply are not told"""
    on_wire: Simulation | None
    """with what the wire leaves of each module's light; None where that is not known, or no light is left"""
    failures: tuple[Failure, ...]
    """the worst of each kind; none of kinds of which there is only one to lose"""

    @property
    def built(self) -> Simulation:
        """The face as it will be, as far as it is known."""
        return self.own if self.on_wire is None else self.on_wire

    @property
    def finished(self) -> bool:
        """Whether every loss was looked at."""
        return all(one.finished for one in self.failures)

    @property
    def met(self) -> bool:
        """Whether the face as it will be meets the requirement."""
        dark = self.wired is not None and not any(one.shares.any() for one in self.wired)
        return self.built.met and not dark


def sheet(study: Study, *, lighting: Lighting = ALL_LIGHT, progress: Progress | None = None) -> SheetAnswer:
    """Work out a study's build sheet.

    Parameters
    ----------
    study : Study
    lighting : Lighting
        How light is followed.
    progress : callable, optional

    Raises
    ------
    InputError
        Where a wire cannot carry its string.
    """
    cabinet, asked = study.cabinet, study.sheet
    # Stripes are averaged over the window of the rows as drawn, whatever is dark.
    requirement = replace(
        study.requirement, stripe_window=study.requirement.stripe_window or cabinet.stripe_window
    )
    strings = row_strings(cabinet)
    on_wire: tuple[WiredString, ...] | None = None
    built: Cabinet | None = cabinet
    if asked.wiring is not None and not asked.untold:
        on_wire = wired(strings, asked.electrics, asked.wiring)
        shares = shares_of_light(on_wire, cabinet.modules)
        built = with_light(cabinet, shares) if shares.any() else None
    interior = lighting.interior(cabinet.box)

    def lit(one: Cabinet) -> Simulation:
        return simulate(one, requirement, lighting=lighting, interior=interior, ageing=study.ageing)

    own = lit(cabinet)
    failures: list[Failure] = []
    if built is not None:
        for number, losses in enumerate(_losses(built, strings)):
            found = worst_of(
                built,
                requirement,
                losses,
                lighting=lighting,
                interior=interior,
                ageing=study.ageing,
                progress=_part(progress, number),
            )
            if found is not None:
                failures.append(found)
                if not found.finished:
                    break
    if progress is not None:
        progress(1.0, "done")
    return SheetAnswer(
        strings=strings,
        own=own,
        wired=on_wire,
        on_wire=None if on_wire is None or built is None else own if built is cabinet else lit(built),
        failures=tuple(failures),
    )


def _losses(cabinet: Cabinet, strings: tuple[RowString, ...]) -> Iterable[list[Loss]]:
    """Everything that may fail by itself, kind by kind; of modules in mirror image one stands for all."""
    if cabinet.modules > 1:
        row_of = {module: one for one in strings for module in one.modules}
        yield [
            Loss(
                kind="module",
                what=f"module {row_of[module].modules.index(module) + 1} of row {row_of[module].number}",
                modules=(module,),
            )
            for module in twins(cabinet).alone.tolist()
        ]
    if len(strings) > 1:
        yield [Loss(kind="row", what=f"row {one.number}", modules=one.modules) for one in strings]


def _part(progress: Progress | None, number: int) -> Progress | None:
    """Progress of one of two kinds of loss."""
    if progress is None:
        return None
    tell = progress
    return lambda done, what: tell((number + done) / 2, what)
