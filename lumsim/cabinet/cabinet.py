"""Cabinet: box, face or two faces, and rows together; refuses what does not fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.box import Box, Obstruction
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.orientation import RETURNS, Direction, Mount, turn_and_tilt
from lumsim.cabinet.places import MOST_PLACES
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.cabinet.sources import Sources, sources_of
from lumsim.errors import InputError, TooLargeError

__all__ = ["LEAST_THROW", "Cabinet", "Mounting", "Rectangle", "Side"]

Side = Literal["front", "rear"]
"""Which face: the one at z = depth, or the one at z = 0 that a double-sided cabinet has instead of a back."""

LEAST_THROW = 0.001
"""The nearest that a module's light-emitting plane may come to the face. [m]"""

ROUNDING = 1e-9
"""By which a place may miss the inside of the box. [m]"""


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


class Mounting(NamedTuple):
    """What a group's modules are on, and how they stand there."""

    on: Mount
    turn: float
    """[rad]"""
    tilt: float
    """[rad]"""

    @property
    def on_return(self) -> bool:
        """Whether it is a return."""
        return self.on in RETURNS


@dataclass(frozen=True, slots=True, kw_only=True)
class Cabinet:
    """A cabinet with its rows of modules: on the back behind one face, or in a plane between two.

    Places are as seen from in front, also those of the rear face.
    """

    box: Box
    face: Face
    """the face, with two of them the front"""
    groups: tuple[Rows | ListedModules, ...]
    """groups of rows, in the study's order"""
    obstructions: tuple[Obstruction, ...] = ()
    """known things inside that cast shadows; their shadows are not computed"""
    rear: Face | None = None
    """the rear face of a double-sided cabinet; None: single-faced, with a back"""

    def __post_init__(self) -> None:
        box = self.box
        for side, face in self.faces:
            if not 2 * face.visible_border < min(box.width, box.height):
                which = f"{side} face" if self.double_sided else "face"
                raise InputError(
                    f"a visible border of {face.visible_border:g} m on every side hides the whole {which} of "
                    f"{box.width:g} by {box.height:g} m"
                )
        if not self.groups:
            raise InputError("the cabinet holds no rows: give at least one group")
        emitters = self.emitters()
        if len(emitters) > MOST_PLACES:
            raise TooLargeError(f"{len(emitters)} modules: at most {MOST_PLACES} are taken")
        if not self.double_sided and not (emitters.front_share == 1).all():
            raise InputError(
                "modules on the back of a single-faced cabinet shine forward only: their front_share must be 1, "
                f"got {emitters.front_share.min():g}"
            )
        for side, _ in self.faces:
            throw = float(np.min(self.throws(side), initial=np.inf))
            # Depth and z have been rounded to floats: 9 mm less 8 mm is a whisker under 1 mm.
            if not throw >= LEAST_THROW * (1 - 1e-9):
                z = box.depth - throw if side == "front" else throw
                what = "throw, depth less z," if side == "front" else "throw to the rear face, z,"
                raise InputError(
                    f"the {what} must be at least {LEAST_THROW:g} m, got {throw:g} m "
                    f"(depth {box.depth:g} m, z {z:g} m)"
                )
        self._refuse_near_faces(sources_of(emitters))
        if not emitters.z.min() >= 0:
            raise InputError(f"z must be 0 m or more, got {emitters.z.min():g} m")
        if not emitters.z.max() <= box.depth:
            raise InputError(f"z must be at most the depth, {box.depth:g} m, got {emitters.z.max():g} m")
        for name, positions, size in (("x", emitters.x, box.width), ("y", emitters.y, box.height)):
            outside = ~((positions >= 0) & (positions <= size))
            if outside.any():
                raise InputError(
                    f"a module at {name} = {positions[outside][0]:g} m is outside the cabinet, "
                    f"which ends at {size:g} m"
                )
        self._refuse_outside(sources_of(emitters))
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

    def _refuse_outside(self, sources: Sources) -> None:
        """Refuse modules whose LEDs stick out of the cabinet."""
        box = self.box
        for name, size in (("x", box.width), ("y", box.height), ("z", box.depth)):
            places = getattr(sources, name)
            outside = ~((places >= -ROUNDING) & (places <= size + ROUNDING))
            if outside.any():
                raise InputError(
                    f"an LED at {name} = {places[outside][0]:g} m is outside the cabinet, which ends at {size:g} m: "
                    "its module stands too near, or is tilted too far"
                )

    def _refuse_near_faces(self, sources: Sources) -> None:
        """Refuse modules whose LEDs are too near a face that they do not shine straight away from."""
        box = self.box
        ahead = sources.frames[:, 2, 2]
        near = {"front face" if self.double_sided else "face": (box.depth - sources.z)[ahead > -1]}
        if self.double_sided:
            near["rear face"] = sources.z[ahead < 1]
        for face, throws in near.items():
            if not (throws >= LEAST_THROW * (1 - 1e-9)).all():
                raise InputError(
                    f"an LED must be at least {LEAST_THROW:g} m from the {face}, got {throws.min():g} m"
                )

    @property
    def modules(self) -> int:
        """How many, of all groups. [1]"""
        return sum(len(group) for group in self.groups)

    def emitters(self) -> Emitters:
        """Every module of every group, in order."""
        return Emitters.together([group.emitters() for group in self.groups])

    @property
    def double_sided(self) -> bool:
        """Whether light leaves both ways."""
        return self.rear is not None

    @property
    def faces(self) -> tuple[tuple[Side, Face], ...]:
        """Each face with its side, the front first."""
        front: tuple[Side, Face] = ("front", self.face)
        return (front,) if self.rear is None else (front, ("rear", self.rear))

    @property
    def mirrored_faces(self) -> bool:
        """Whether the two faces are lit as mirror images: alike, all modules midway, half their light each way."""
        if self.rear != self.face or any(self.mounting(one).on_return for one in self.groups):
            return False
        emitters = self.emitters()
        return bool((emitters.z == self.box.depth / 2).all() and (emitters.front_share == 0.5).all())

    @property
    def unlike_sides(self) -> tuple[Side, ...]:
        """The sides whose light must be looked at: the front stands for both where they are mirror images."""
        return ("front", "rear") if self.double_sided and not self.mirrored_faces else ("front",)

    def mounting(self, group: Rows | ListedModules) -> Mounting:
        """What one of the groups is on, and how its modules stand there; listed modules by the first of them."""
        if isinstance(group, Rows):
            return Mounting(group.on, group.turn, group.tilt)
        on: Mount = "plane" if self.double_sided else "back"
        return Mounting(on, *turn_and_tilt(group.placed.frames[0], group.direction))

    def face_on(self, side: Side) -> Face:
        """The face on a side; a single-faced cabinet has none at the rear."""
        return dict(self.faces)[side]

    def towards(self, side: Side) -> Emitters:
        """The modules that shine at a face, as if it were at z = depth; not those that shine straight away from it."""
        emitters = self.emitters()
        share = emitters.front_share if side == "front" else 1 - emitters.front_share
        chosen = emitters.only((share > 0) | (emitters.frames[:, 2, 2] < 1))
        return chosen if side == "front" else chosen.mirrored(self.box.depth)

    def sources(self, side: Side = "front") -> Sources:
        """Every LED as the points of light that it is, as if the face on a side were at z = depth."""
        sources = sources_of(self.emitters())
        return sources if side == "front" else sources.mirrored(self.box.depth)

    def throws(self, side: Side) -> NDArray[np.float64]:
        """(n,) from each module that shines at a side's face to that face; empty where none does. [m]"""
        return self.box.depth - self.towards(side).z

    @property
    def visible(self) -> Rectangle:
        """The part of the face (with two of them, of the front) that the retainer leaves free."""
        return self.visible_on("front")

    def visible_on(self, side: Side) -> Rectangle:
        """The part of a side's face that the retainer leaves free."""
        border = self.face_on(side).visible_border
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
            modules[group.direction] += len(group)
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

        The widest row pitch there is, or the widest module pitch of those rows where that is wider, for a window
        that is narrower than the dots are apart follows their light instead of averaging it; where there is no row
        pitch (single rows, listed positions), twice the longest throw, of both ways.
        """
        laid = [group for group in self.groups if isinstance(group, Rows) and group.row_pitch is not None]
        both = [pitch for group in laid for pitch in (group.row_pitch, group.modules.pitch)]
        pitches = [float(pitch) for pitch in both if pitch is not None]
        if pitches:
            return max(pitches)
        return 2 * max(float(np.max(self.throws(side), initial=0.0)) for side, _ in self.faces)
