"""Ageing: modules that give less, and dirt on everything inside that throws light back."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from lumsim.cabinet.box import REFLECTANCES
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError

__all__ = ["Ageing", "aged"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ageing:
    """What is left of a cabinet's light when it has aged."""

    maintenance_factor: float = 1.0
    """on the lumens of every module [1]"""
    dirt_factor: float = 1.0
    """on the inner reflectances of back, returns and faces; their transmittance stays [1]"""

    def __post_init__(self) -> None:
        for field in fields(self):
            factor = getattr(self, field.name)
            if not 0 < factor <= 1:
                raise InputError(f"{field.name} must be more than 0 and at most 1, got {factor:g}")

    @property
    def levels_only(self) -> bool:
        """Whether all light falls alike, so that no ratio changes: there is no dirt."""
        return self.dirt_factor == 1


def aged(cabinet: Cabinet, ageing: Ageing) -> Cabinet:
    """The same cabinet aged: less lumens from every module, lower reflectances inside, the same transmittance.

    Parameters
    ----------
    cabinet : Cabinet
        New.
    ageing : Ageing
    """
    dirt = ageing.dirt_factor

    def dirty(face: Face) -> Face:
        return replace(face, reflectance=face.reflectance * dirt)

    def weaker(group: Rows | ListedModules) -> Rows | ListedModules:
        factor = ageing.maintenance_factor
        if isinstance(group, Rows):
            return replace(group, module=replace(group.module, lumens=group.module.lumens * factor))
        return replace(group, placed=replace(group.placed, flux=group.placed.flux * factor))

    box = cabinet.box
    reflectances = {name: getattr(box, name) * dirt for name in REFLECTANCES}
    return replace(
        cabinet,
        box=replace(box, **reflectances),
        face=dirty(cabinet.face),
        rear=None if cabinet.rear is None else dirty(cabinet.rear),
        groups=tuple(weaker(group) for group in cabinet.groups),
    )
