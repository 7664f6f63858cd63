"""Both opinions on each case: lumsim's and the path tracer's."""

from __future__ import annotations

from functools import cache

from lumsim.simulation import FINE, Lighting, simulate
from tests.path_tracer.cases import CASES, CELLS, Case
from tests.path_tracer.cells import Array, cell_means
from tests.path_tracer.measured import Comparison, Measured
from tests.path_tracer.photograph import VARIANT, photograph

__all__ = ["AFRESH", "BATCHES", "SAMPLES", "SEED", "by_lumsim", "opinions"]

BATCHES, SAMPLES = 256, 32**2
"""Pictures of each face, and paths for each cell of a picture. [1]"""

SEED, AFRESH = 1, 2
"""Of the first measurement, and of a second one where a cell is beyond three standard errors in the first."""


def by_lumsim(case: Case) -> Array:
    """Mean illuminance of each cell, to a few hundred-thousandths: far below the tracer's noise. [lx]"""
    return cell_means(simulate(case.cabinet, lighting=Lighting(patches_in_depth=FINE)), CELLS, case.side)


@cache
def _by_tracer(name: str, seed: int, variant: str) -> Measured:
    case = CASES[name]
    return photograph(
        case.cabinet, CELLS, case.side, batches=BATCHES, samples=SAMPLES, seed=seed, variant=variant
    )


def opinions(name: str, *, seed: int = SEED, variant: str = VARIANT) -> Comparison:
    """Put lumsim beside the path tracer."""
    return Comparison(computed=by_lumsim(CASES[name]), measured=_by_tracer(name, seed, variant))
