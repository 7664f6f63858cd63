"""Rows: a group of rows of one kind of module, laid by a rule or listed one by one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.places import MOST_PLACES, Places
from lumsim.errors import InputError, TooLargeError

__all__ = ["Direction", "ListedModules", "Rows"]

Direction = Literal["horizontal", "vertical"]
"""How rows run: along the width, or along the height."""


SAME_ROW = 0.025
"""Listed modules this near to each other across the rows were set as one row and stand askew. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Rows of one kind of module, all alike: on the back, or in a plane between two faces."""

    module: Module
    direction: Direction
    rows: Places
    """across the rows"""
    modules: Places
    """along each row"""
    z: float = 0.0
    """light-emitting plane above the back, or above the rear face [m]"""
    front_share: float = 1.0
    """of each module's flux goes forward, the rest backward; 1 on the back [1]"""

    def __post_init__(self) -> None:
        if not 0 <= self.front_share <= 1:
            raise InputError(f"front_share must be from 0 to 1, got {self.front_share:g}")
        count = self.rows.count * self.modules.count
        if count > MOST_PLACES:
            raise TooLargeError(
                f"{self.rows.count} rows of {self.modules.count} modules are {count} modules: "
                f"at most {MOST_PLACES} are taken"
            )

    @property
    def row_pitch(self) -> float | None:
        """On centre; None for a single row and for listed rows. [m]"""
        return None if self.rows.pitch is None else float(self.rows.pitch)

    @property
    def row_lines(self) -> NDArray[np.float64]:
        """(rows,) where the rows lie across, rising. [m]"""
        return np.array([float(position) for position in self.rows.positions])

    def emitters(self) -> Emitters:
        """Every module, row by row."""
        along = np.array([float(position) for position in self.modules.positions])
        across = np.repeat(self.row_lines, len(along))
        along = np.tile(along, self.rows.count)
        x, y = (along, across) if self.direction == "horizontal" else (across, along)
        n = len(x)
        return Emitters(
            x=x,
            y=y,
            z=np.full(n, self.z),
            flux=np.full(n, self.module.lumens),
            exponent=np.full(n, self.module.beam.exponent),
            front_share=np.full(n, self.front_share),
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

    def emitters(self) -> Emitters:
        """Every module, in the order of the list."""
        return self.placed
