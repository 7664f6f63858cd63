"""A study's question answered: what the command line, notebooks and tests all call."""

from __future__ import annotations

from lumsim.simulation import FINE, USUAL, Lighting, Simulation, simulate
from lumsim.study.reading import Study

__all__ = ["answer", "lighting_of"]


def answer(study: Study, *, direct_only: bool = False, fine: bool = False) -> Simulation:
    """Light the study's cabinet and judge its face.

    Parameters
    ----------
    study : Study
    direct_only : bool
        Leave out the light that the cabinet throws back.
    fine : bool
        Take a finer mesh for it, for more digits.

    Raises
    ------
    TooLargeError
        Where the face would need too fine a grid.
    """
    return simulate(
        study.cabinet,
        study.requirement,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        ageing=study.ageing,
    )


def lighting_of(*, direct_only: bool, fine: bool) -> Lighting:
    """How light is followed.

    Parameters
    ----------
    direct_only : bool
        Leave out the light that the cabinet throws back.
    fine : bool
        Take a finer mesh for it, for more digits.
    """
    return Lighting(direct_only=direct_only, patches_in_depth=FINE if fine else USUAL)
