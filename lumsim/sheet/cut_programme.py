"""The integer programme of cutting: sections placed on rolls, none over another, as well as the time there is allows.

A roll is a line of steps, and a column of the programme a section at one place of some roll. As many sections may lie
over one step as there are rolls: sections on a line can then always be dealt out to as many rolls. What is best comes
in stages, each with what was reached before held: the fewest rolls, the fewest joints, the most left in one piece.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from lumsim.sheet.cut_lengths import Cuts, Demand
from lumsim.sheet.whole_numbers import silence

__all__ = ["MOST_ENTRIES", "Columns", "Programme", "Reached", "improved"]

MOST_ENTRIES = 700_000
"""Of a programme's matrix: a larger one would not be solved in the time, nor stop in time. [1]"""

UNTIMED = 1.5e-6
"""That the solver may go on after its time, for each entry of the matrix. [s]"""

WORTH_TRYING = 0.02
"""Less than this is not begun. [s]"""

_SOLVED, _IMPOSSIBLE = 0, 2
"""As the solver tells how it ended."""

ROUNDING = 1e-6
"""By which the solver's whole numbers may miss. [1]"""


@dataclass(slots=True, kw_only=True)
class Columns:
    """Columns of a programme as they are gathered; what each is worth is kept beside."""

    rows: list[NDArray[np.int64]] = field(default_factory=list)
    entries: list[NDArray[np.int64]] = field(default_factory=list)
    joints: list[int] = field(default_factory=list)
    """of each column [1]"""
    left: list[int] = field(default_factory=list)
    """of each column [steps]"""

    def add(
        self, rows: NDArray[np.int64], entries: NDArray[np.int64] | int = 1, *, joints: int = 0, left: int = 0
    ) -> None:
        """Gather a column that has entries in some rows."""
        self.rows.append(rows)
        self.entries.append(np.broadcast_to(np.asarray(entries, dtype=np.int64), rows.shape))
        self.joints.append(joints)
        self.left.append(left)

    def matrix(self, rows: int) -> csc_array[np.float64]:
        """All of them as a matrix of so many rows."""
        ends = np.concatenate([[0], np.cumsum([len(one) for one in self.rows])])
        values = np.concatenate(self.entries).astype(np.float64)
        found: csc_array[np.float64] = csc_array(
            (values, np.concatenate(self.rows), ends), shape=(rows, len(self.rows))
        )
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """How sections may be placed. The last column is how many rolls there are."""

    matrix: csc_array[np.float64]
    """(constraints, columns)"""
    least: NDArray[np.float64]
    """(constraints,)"""
    most: NDArray[np.float64]
    """(constraints,)"""
    joints: NDArray[np.float64]
    """(columns,) that each makes [1]"""
    left: NDArray[np.float64]
    """(columns,) in one piece, of those that may be counted once [steps]"""
    read: Callable[[NDArray[np.int64]], Cuts]
    """Takes how often each column is used."""
    every_plan: bool
    """whether no plan is better than the best of it; else it knows some ways of joining only"""

    @property
    def rolls(self) -> NDArray[np.float64]:
        """(columns,) that each is of the number of rolls: the last one is all of it. [1]"""
        counted = np.zeros(len(self.joints))
        counted[-1] = 1
        return counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """The best plan so far, and what is known of better ones."""

    cuts: Cuts
    least_rolls: int
    """no plan has fewer [1]"""
    least_joints: int
    """no plan of ``least_rolls`` has fewer [1]"""

    @property
    def proven(self) -> bool:
        """Whether no plan has fewer rolls."""
        return len(self.cuts.rolls) == self.least_rolls

    @property
    def joints_proven(self) -> bool:
        """Whether no plan of as few rolls has fewer joints."""
        return self.proven and self.cuts.joints == self.least_joints


def improved(
    programme: Programme,
    demand: Demand,
    reached: Reached,
    *,
    until: float,
    step: Callable[[str], None],
    leftovers: bool = True,
) -> Reached:
    """Better a plan by a programme, stage by stage.

    Parameters
    ----------
    programme : Programme
    demand : Demand
    reached : Reached
        The plan to better.
    until : float
        On the monotonic clock. [s]
    step : callable
        Takes what is looked for next.
    leftovers : bool
        Whether the most left in one piece is looked for too.
    """
    best, least_rolls, least_joints = reached.cuts, reached.least_rolls, reached.least_joints
    solve = _Solver(programme, until)
    joints_known = best.joints <= least_joints

    step("fewest rolls")
    if demand.joints and len(best.rolls) > least_rolls:
        # So few rolls mostly do, and the fewest joints on them are found sooner than just any plan.
        found = solve(programme.joints, rolls=(least_rolls, least_rolls), share=0.5)
        best = found.or_better(best, demand.roll)
        joints_known = found.cuts is not None and found.finished
        if programme.every_plan and found.impossible:
            least_rolls += 1
        elif programme.every_plan and len(best.rolls) == least_rolls:
            least_joints = _whole(found.bound, least_joints, best.joints)
    if len(best.rolls) > least_rolls:
        found = solve(programme.rolls, rolls=(least_rolls, len(best.rolls) - 1))
        if programme.every_plan:
            least_rolls = _whole(found.bound, least_rolls, len(best.rolls))
        best = found.or_better(best, demand.roll)
    if len(best.rolls) > reached.least_rolls:
        # What is known of joints was of fewer rolls, which may need more of them.
        least_joints = demand.least_joints
        joints_known = best.joints <= least_joints

    step("fewest joints")
    rolls = (least_rolls, len(best.rolls))
    if not joints_known:
        found = solve(programme.joints, rolls=rolls, joints=best.joints - 1)
        if programme.every_plan and len(best.rolls) == least_rolls:
            least_joints = _whole(found.bound, least_joints, best.joints)
        best = found.or_better(best, demand.roll)

    if leftovers:
        step("the most left in one piece")
        longest = best.longest_left(demand.roll)
        if longest < min(demand.roll * len(best.rolls) - demand.total, demand.roll - demand.shortest):
            found = solve(-programme.left, rolls=rolls, joints=best.joints, left=longest + 1)
            best = found.or_better(best, demand.roll)
    return Reached(cuts=best, least_rolls=least_rolls, least_joints=least_joints)


def _whole(bound: float, least: int, most: int) -> int:
    """A bound on a whole number, between what is known to be the least and what has been reached."""
    return math.ceil(min(max(bound, least), most) - ROUNDING)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What a solver came to."""

    cuts: Cuts | None = None
    """the best that keeps what was to be kept; None where none was found"""
    bound: float = -math.inf
    """no plan has less of what was aimed at; infinite where there is none at all"""
    finished: bool = False
    """whether it was left to its end"""

    @property
    def impossible(self) -> bool:
        """Whether no plan keeps what was to be kept."""
        return self.bound == math.inf

    def or_better(self, best: Cuts, roll: int) -> Cuts:
        """Of this plan and another the better, of equals the other."""
        return best if self.cuts is None else min(best, self.cuts, key=lambda one: one.rank(roll))


@dataclass(frozen=True, slots=True)
class _Solver:
    """Solves a programme with what is to be kept, until a time."""

    programme: Programme
    until: float

    def __call__(
        self,
        aim: NDArray[np.float64],
        *,
        rolls: tuple[int, int],
        joints: float = math.inf,
        left: float = 0,
        share: float = 1.0,
    ) -> _Found:
        """Look for the plan that has the least of an aim, in a share of the time."""
        own = self.programme
        seconds = share * (self.until - time.monotonic() - own.matrix.nnz * UNTIMED)
        if seconds < WORTH_TRYING:
            return _Found()
        columns = len(aim)
        least, most = np.zeros(columns), np.full(columns, np.inf)
        least[-1], most[-1] = rolls
        with silence():
            answer = milp(
                aim,
                integrality=np.ones(columns, dtype=np.int64),
                bounds=Bounds(least, most),
                constraints=[
                    LinearConstraint(own.matrix, own.least, own.most),
                    LinearConstraint(
                        csc_array(np.vstack([own.joints, own.left])), [0, left], [joints, np.inf]
                    ),
                ],
                # Presolving gains nothing here, and at times ends in an error that the solver prints by itself.
                options={"time_limit": seconds, "mip_rel_gap": 0.0, "presolve": False},
            )
        if answer.status == _IMPOSSIBLE:
            return _Found(bound=math.inf, finished=True)
        return _Found(
            cuts=None if answer.x is None else own.read(np.rint(answer.x).astype(np.int64)),
            bound=-math.inf if answer.mip_dual_bound is None else float(answer.mip_dual_bound),
            finished=answer.status == _SOLVED,
        )
