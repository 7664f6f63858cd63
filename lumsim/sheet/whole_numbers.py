"""Linear programmes in whole numbers, by scipy and in silence, with a time limit and the bound that is known."""

from __future__ import annotations

import math
import os
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

__all__ = ["CLOSE", "Programme", "silence", "solve_whole"]

CLOSE: Final = 1e-6
"""To which programmes are solved. [1]"""

SHORTEST: Final = 0.05
"""That a solver is given, however late it is. [s]"""

_INFEASIBLE: Final = 2
_STANDARD_OUTPUT: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Programme:
    """What a solver found."""

    numbers: NDArray[np.int64] | None
    """None where it found none"""
    bound: float
    """no answer is less: infinite where it is proven that there is none, and minus infinity where nothing is known"""


def solve_whole(
    costs: NDArray[np.float64],
    constraints: Sequence[LinearConstraint],
    *,
    until: float,
    most: NDArray[np.int64] | None = None,
) -> Programme:
    """Find whole numbers from 0 up that keep some constraints at the least cost.

    The constraints are kept to ``CLOSE``, so that a caller to whom that is too much looks again.

    Parameters
    ----------
    costs : (numbers,)
        Of one of each.
    constraints : sequence of LinearConstraint
    until : float
        By ``time.monotonic``, when to give up with the best so far. [s]
    most : (numbers,), optional
        Up to which each may be.
    """
    with silence():
        solved = milp(
            costs,
            integrality=np.ones(len(costs), dtype=np.int64),
            bounds=Bounds(0, np.inf if most is None else most),
            constraints=constraints,
            options={
                "time_limit": max(SHORTEST, until - time.monotonic()),
                "mip_rel_gap": 0.0,
                "presolve": False,
            },
        )
    if solved.status == _INFEASIBLE:
        return Programme(numbers=None, bound=math.inf)
    bound = solved.mip_dual_bound
    return Programme(
        numbers=None if solved.x is None else np.rint(solved.x).astype(np.int64),
        bound=-math.inf if bound is None or math.isnan(bound) else float(bound),
    )


@contextmanager
def silence() -> Iterator[None]:
    """Nothing on the process's standard output: HiGHS leaves a line there for its developers, whatever it is told."""
    try:
        kept = os.dup(_STANDARD_OUTPUT)
    except OSError:
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, _STANDARD_OUTPUT)
        yield
    finally:
        os.dup2(kept, _STANDARD_OUTPUT)
        os.close(nowhere)
        os.close(kept)
