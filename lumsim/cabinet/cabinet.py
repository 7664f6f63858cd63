"""Cabinet: box, face and rows together; refuses what does not fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.box import Box, Obstruction
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.places import MOST_PLACES
from lumsim.cabinet.rows import Direction, ListedModules, Rows
from lumsim.errors import InputError, TooLargeError

__all__ = ["LEAST_THROW", "Cabinet", "Rectangle"]

LEAST_THROW = 0.001
"""The nearest that a module's light-emitting plane may come to the face. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A part of the face, its edges included."""

    x0: float
    """left edge [m]"""
    x1: float
    """right edge [m]"""
    y0: float
    """lower edge [m]"""
    y1: float
    """upper edge [m]"""

    @property
    def width(self) -> float:
        """Along x. [m]"""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """Along y. [m]"""
        return self.y1 - self.y0

    @property
    def area(self) -> float:
        """Of the rectangle. [m²]"""
        return self.width * self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class Cabinet:
    """A single-faced cabinet with its rows of modules on the back."""

    box: Box
    face: Face
    groups: tuple[Rows | ListedModules, ...]
    """groups of rows, in the study's order"""
    obstructions: tuple[Obstruction, ...] = ()
    """known things inside that cast shadows; their shadows are not computed"""

    def __post_init__(self) -> None:
        box = self.box
        border = 2 * self.face.visible_border
        if not border < min(box.width, box.height):
            raise InputError(
                f"a visible border of {self.face.visible_border:g} m on every side hides the whole face of "
                f"{box.width:g} by {box.height:g} m"
            )
        if not self.groups:
            raise InputError("the cabinet holds no rows: give at least one group")
        emitters = self.emitters()
        if len(emitters) > MOST_PLACES:
            raise TooLargeError(f"{len(emitters)} modules: at most {MOST_PLACES} are taken")
        throw = box.depth - emitters.z.max()
        # Depth and z have been rounded to floats: 9 mm less 8 mm is a whisker under 1 mm.
        if not throw >= LEAST_THROW * (1 - 1e-9):
            raise InputError(
                f"the throw, depth less z, must be at least {LEAST_THROW:g} m, got {throw:g} m "
                f"(depth {box.depth:g} m, z {emitters.z.max():g} m)"
            )
        if not emitters.z.min() >= 0:
            raise InputError(f"z must be 0 m or more, got {emitters.z.min():g} m")
        for name, positions, size in (("x", emitters.x, box.width), ("y", emitters.y, box.height)):
            outside = ~((positions >= 0) & (positions <= size))
            if outside.any():
                raise InputError(
                    f"a module at {name} = {positions[outside][0]:g} m is outside the cabinet, "
                    f"which ends at {size:g} m"
                )
        for thing in self.obstructions:
            inside = (
                min(thing.x, thing.y, thing.z) >= 0
                and thing.x + thing.width <= box.width * (1 + 1e-12)
                and thing.y + thing.height <= box.height * (1 + 1e-12)
                and thing.z + thing.depth <= box.depth * (1 + 1e-12)
            )
            if not inside:
                raise InputError(
                    f"the obstruction at ({thing.x:g}, {thing.y:g}, {thing.z:g}) m sticks out of the cabinet "
                    f"of {box.width:g} by {box.height:g} by {box.depth:g} m"
                )

    def emitters(self) -> Emitters:
        """Every module of every group, in order."""
        return Emitters.together([group.emitters() for group in self.groups])

    @property
    def visible(self) -> Rectangle:
        """The part of the face that the retainer leaves free."""
        border = self.face.visible_border
        return Rectangle(x0=border, x1=self.box.width - border, y0=border, y1=self.box.height - border)

    @property
    def whole_face(self) -> Rectangle:
        """The face from return to return."""
        return Rectangle(x0=0.0, x1=self.box.width, y0=0.0, y1=self.box.height)

    @property
    def direction(self) -> Direction:
        """How most modules' rows run; the first group's direction breaks a tie."""
        modules = {"horizontal": 0, "vertical": 0}
        for group in self.groups:
            modules[group.direction] += len(group.emitters())
        if modules["horizontal"] == modules["vertical"]:
            return self.groups[0].direction
        return "horizontal" if modules["horizontal"] > modules["vertical"] else "vertical"

    @property
    def row_lines(self) -> tuple[float, ...]:
        """Where the rows that run in ``direction`` lie across, from the left or the bottom. [m]"""
        lines = [group.row_lines for group in self.groups if group.direction == self.direction]
        return tuple(float(line) for line in np.unique(np.concatenate(lines)))

    @property
    def stripe_window(self) -> float:
        """Side of the square that averages one period of rows away, unless the study names one, in metres.

        The widest row pitch there is; where there is none (single rows, listed positions), twice the
        longest throw.
        """
        pitches = [group.row_pitch for group in self.groups if group.row_pitch is not None]
        if pitches:
            return max(pitches)
        return 2 * (self.box.depth - float(self.emitters().z.min()))
