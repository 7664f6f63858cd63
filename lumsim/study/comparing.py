"""Several studies lit and held side by side: what the command line, notebooks and tests all call."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from lumsim.errors import InputError
from lumsim.light.interior import Interior
from lumsim.lit_face import LitFace
from lumsim.search.trying import Progress
from lumsim.simulation import ALL_LIGHT, Lighting, Simulation, simulate
from lumsim.study.alternatives import LEAST_STUDIES, MOST_STUDIES
from lumsim.study.reading import Study
from lumsim.units import Units

__all__ = ["Compared", "Comparison", "compare"]

_LETTERS = "ABCDEF"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One of several studies, lit. It answers by the state that decides, new or aged, and its worse face."""

    letter: str
    """what it is called in tables and pictures: A, B …"""
    name: str
    """its title; where another has the same one, with its file and the changes that it alone has"""
    study: Study
    simulation: Simulation

    @property
    def state(self) -> Literal["new", "aged"]:
        """The state that decides."""
        return "new" if self.simulation.deciding is self.simulation else "aged"

    @property
    def lit(self) -> LitFace:
        """The worse face in the state that decides: what stands for the study in tables and pictures."""
        return self.simulation.deciding.worse


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Several studies in the order given; the first is what the others are held against."""

    studies: tuple[Compared, ...]

    @property
    def first(self) -> Compared:
        """What the others are held against."""
        return self.studies[0]

    @property
    def others(self) -> tuple[Compared, ...]:
        """All but the first."""
        return self.studies[1:]

    @property
    def units(self) -> Units:
        """What lengths are told in: the first study's."""
        return self.first.study.units

    @property
    def common_changes(self) -> tuple[str, ...]:
        """What ``--set`` changed in all of them."""
        return _common([one.study for one in self.studies])

    @property
    def same_requirement(self) -> bool:
        """Whether all are judged by the same limits."""
        limits = self.first.study.requirement.limits
        return all(one.study.requirement.limits == limits for one in self.others)

    @property
    def met(self) -> bool:
        """Whether each meets its own requirement; true of one where nothing is required."""
        return all(one.simulation.met for one in self.studies)


def compare(
    studies: Sequence[Study], *, lighting: Lighting = ALL_LIGHT, progress: Progress | None = None
) -> Comparison:
    """Light several studies, each as ``answer`` does by itself.

    Parameters
    ----------
    studies : sequence of Study
        From two to six; the first is what the others are held against.
    lighting : Lighting
        How light is followed, alike in all.
    progress : callable, optional

    Raises
    ------
    InputError
        Where there are too few studies or too many.
    TooLargeError
        Where a face would need too fine a grid.
    """
    if not LEAST_STUDIES <= len(studies) <= MOST_STUDIES:
        raise InputError(
            f"from {LEAST_STUDIES} to {MOST_STUDIES} studies are held side by side, got {len(studies)}"
        )
    interiors: dict[tuple[float, float, float], Interior | None] = {}
    compared: list[Compared] = []
    for letter, name, study in zip(_LETTERS, _names(studies), studies, strict=False):
        if progress is not None:
            progress(len(compared) / len(studies), f"study {letter} of {len(studies)}")
        box = study.cabinet.box
        # The exchange depends on a box's sizes alone, so studies of one box share it.
        sizes = box.width, box.height, box.depth
        if sizes not in interiors:
            interiors[sizes] = lighting.interior(box)
        lit = simulate(
            study.cabinet,
            study.requirement,
            lighting=lighting,
            interior=interiors[sizes],
            ageing=study.ageing,
        )
        compared.append(Compared(letter=letter, name=name, study=study, simulation=lit))
    if progress is not None:
        progress(1.0, "done")
    return Comparison(studies=tuple(compared))


def _common(studies: Sequence[Study]) -> tuple[str, ...]:
    """The changes that every study begins with."""
    common: tuple[str, ...] = ()
    for alike in zip(*(study.changes for study in studies), strict=False):
        if len(set(alike)) > 1:
            break
        common += (alike[0],)
    return common


def _names(studies: Sequence[Study]) -> list[str]:
    """Titles; those that several have with the file, where it differs, and their own changes."""
    common = len(_common(studies))
    names = []
    for study in studies:
        alike = [one for one in studies if one.title == study.title]
        sources = {one.source for one in alike}
        told: list[str] = []
        if len(sources) > 1:
            several = len({Path(source).name for source in sources}) < len(sources)
            told.append(study.source if several else Path(study.source).name)
        if len(alike) > 1:
            told += study.changes[common:]
        names.append(f"{study.title} ({'; '.join(told)})" if told else study.title)
    return names
