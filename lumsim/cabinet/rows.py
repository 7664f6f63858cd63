"""Rows: a group of rows of one kind of module, laid by a rule or listed one by one."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import RETURNS, Direction, Mount, frame, runs_along
from lumsim.cabinet.places import MOST_PLACES, Places
from lumsim.errors import InputError, TooLargeError

__all__ = ["SAME_ROW", "STEEPEST_TILT", "Direction", "ListedModules", "Rows"]

STEEPEST_TILT = math.pi / 2
"""The farthest that a module may lean from what it is on. [rad]"""

SAME_ROW = 0.025
"""Listed modules this near to each other across the rows were set as one row and stand askew. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Rows of one kind of module, all alike: on the back, on a return, or in a plane between two faces.

    Rows on a return run along it; what is across them is then the depth, counted from the back. Staggered rows, which
    are on no return, are each moved along themselves by a quarter of the module pitch, the first, third and so on to
    the right or up, the others to the left or down: so every row's modules stand midway between those of the rows
    beside it. A single row is not moved.
    """

    module: Module
    direction: Direction
    rows: Places
    """across the rows"""
    modules: Places
    """along each row"""
    z: float = 0.0
    """light-emitting plane above what the rows are on; in a plane between two faces above the rear face [m]"""
    front_share: float = 1.0
    """of each module's flux goes forward, the rest backward; 1 on the back and on a return [1]"""
    on: Mount = "back"
    """what the rows are on"""
    span: float = 0.0
    """on the right and the top return: the cabinet's inside width or height, where that return is [m]"""
    turn: float = 0.0
    """of each module about its own axis, counterclockwise as seen from the side that it shines at [rad]"""
    tilt: float = 0.0
    """of each module about the line of its row, see ``orientation.frame`` [rad]"""
    staggered: bool = False
    """whether each row is half a module pitch along from the rows beside it"""

    def __post_init__(self) -> None:
        if not 0 <= self.front_share <= 1:
            raise InputError(f"front_share must be from 0 to 1, got {self.front_share:g}")
        if self.on in RETURNS:
            if self.direction != runs_along(self.on):
                raise InputError(f"rows on the {self.on} return run along it: {runs_along(self.on)}")
            if self.front_share != 1:
                raise InputError("modules on a return shine inwards only: their front_share must be 1")
            if self.on in {"right", "top"} and not self.span > 0:
                raise InputError(f"rows on the {self.on} return need the span of the cabinet")
        if not abs(self.tilt) <= STEEPEST_TILT:
            raise InputError(f"a tilt must be from -90 deg to 90 deg, got {math.degrees(self.tilt):g} deg")
        count = self.rows.count * self.modules.count
        if count > MOST_PLACES:
            raise TooLargeError(
                f"{self.rows.count} rows of {self.modules.count} modules are {count} modules: "
                f"at most {MOST_PLACES} are taken"
            )
        if self.staggered:
            self._refuse_stagger()

    def _refuse_stagger(self) -> None:
        """Refuse rows that cannot be staggered."""
        if self.on in RETURNS:
            raise InputError(f"rows on the {self.on} return cannot be staggered")
        if self.modules.pitch is None:
            raise InputError(
                "staggered rows need two modules or more in each, evenly spaced: there is no module pitch to move "
                "them by a quarter of"
            )
        least = min(self.modules.edge_distances)
        if self.modules.pitch / 4 > least:
            raise InputError(
                f"staggered rows are moved by a quarter of the module pitch, {float(self.modules.pitch / 4):g} m, and "
                f"the outermost modules are {float(least):g} m from the return: they would be past it"
            )

    @property
    def shifts(self) -> tuple[Fraction, ...]:
        """How far each row is moved to the right or up from where ``modules`` says; only staggered rows are. [m]"""
        pitch = self.modules.pitch
        if not self.staggered or pitch is None or self.rows.count == 1:
            return (Fraction(0),) * self.rows.count
        return tuple(-pitch / 4 if row % 2 else pitch / 4 for row in range(self.rows.count))

    @property
    def first_modules(self) -> tuple[Fraction, ...]:
        """From the left or bottom return to the first module of each row. [m]"""
        return tuple(self.modules.positions[0] + shift for shift in self.shifts)

    @property
    def last_modules(self) -> tuple[Fraction, ...]:
        """From the last module of each row to the right or top return. [m]"""
        return tuple(self.modules.edge_distances[1] - shift for shift in self.shifts)

    @property
    def row_pitch(self) -> float | None:
        """On centre; None for a single row, for listed rows and on a return. [m]"""
        return None if self.rows.pitch is None or self.on in RETURNS else float(self.rows.pitch)

    @property
    def row_lines(self) -> NDArray[np.float64]:
        """(rows,) where the rows lie across the face, rising. [m]"""
        if self.on in RETURNS:
            return np.array([self._off_return])
        return np.array([float(position) for position in self.rows.positions])

    @property
    def _off_return(self) -> float:
        """Where the rows on a return are along its normal. [m]"""
        return self.span - self.z if self.on in {"right", "top"} else self.z

    def __len__(self) -> int:
        """How many modules. [1]"""
        return self.rows.count * self.modules.count

    def emitters(self) -> Emitters:
        """Every module, row by row."""
        across = np.repeat([float(position) for position in self.rows.positions], self.modules.count)
        of_a_row = {
            shift: np.array([float(position + shift) for position in self.modules.positions])
            for shift in dict.fromkeys(self.shifts)
        }
        along = np.concatenate([of_a_row[shift] for shift in self.shifts])
        z = np.full(len(along), self.z)
        if self.on in RETURNS:
            across, z = np.full(len(along), self._off_return), across
        x, y = (along, across) if self.direction == "horizontal" else (across, along)
        return Emitters.upright(
            self.module,
            x,
            y,
            z=z,
            front_share=self.front_share,
            frame=frame(self.on, self.direction, turn=self.turn, tilt=self.tilt),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedModules:
    """Modules at listed positions, as built or as measured."""

    direction: Direction
    """how the rows run, where there are rows"""
    placed: Emitters

    def __post_init__(self) -> None:
        if len(self.placed) == 0:
            raise InputError("the list of modules is empty: give at least one")
        if len(self.placed) > MOST_PLACES:
            raise TooLargeError(f"{len(self.placed)} modules are listed: at most {MOST_PLACES} are taken")
        if not (self.placed.flux > 0).all():
            raise InputError("every listed module needs lumens above 0")
        if not ((self.placed.front_share >= 0) & (self.placed.front_share <= 1)).all():
            raise InputError("the front_share of every listed module must be from 0 to 1")

    @property
    def row_pitch(self) -> None:
        """Listed modules have no pitch of their own."""
        return

    @property
    def row_lines(self) -> NDArray[np.float64]:
        """(rows,) mean position of each row across, rising; a gap above ``SAME_ROW`` begins a new row. [m]"""
        across = np.sort(self.placed.y if self.direction == "horizontal" else self.placed.x)
        starts = np.nonzero(np.diff(across) > SAME_ROW)[0] + 1
        return np.array([row.mean() for row in np.split(across, starts)])

    def __len__(self) -> int:
        """How many modules. [1]"""
        return len(self.placed)

    def emitters(self) -> Emitters:
        """Every module, in the order of the list."""
        return self.placed
