"""Which way modules point: the frame of a beam, by what the module is on, how it is turned and tilted."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "RETURNS",
    "UPRIGHT",
    "Direction",
    "Mount",
    "frame",
    "mirrored",
    "runs_along",
    "turn_and_tilt",
    "wall_behind",
    "wall_name",
]

Array = NDArray[np.float64]

Direction = Literal["horizontal", "vertical"]
"""How rows run: along the width, or along the height."""

Mount = Literal["back", "plane", "left", "right", "bottom", "top"]
"""What rows are on: the back, a plane between two faces, or a return by name."""

RETURNS: tuple[Mount, ...] = ("left", "right", "bottom", "top")

UPRIGHT: Array = np.eye(3)
"""The frame of a module on the back, in a horizontal row, neither turned nor tilted."""

_INWARDS: dict[Mount, tuple[int, int, int]] = {
    "back": (0, 0, 1),
    "plane": (0, 0, 1),
    "left": (1, 0, 0),
    "right": (-1, 0, 0),
    "bottom": (0, 1, 0),
    "top": (0, -1, 0),
}


def wall_behind(on: Mount) -> tuple[int, bool]:
    """Along which axis modules stand off what they are on, 0 for x, and whether that is at the far end of it."""
    inwards = _INWARDS[on]
    axis = next(number for number, step in enumerate(inwards) if step)
    return axis, inwards[axis] < 0


def wall_name(axis: int, *, far: bool, two_faces: bool) -> str:
    """What a cabinet ends in along an axis.

    Parameters
    ----------
    axis : int
        0: x, 1: y, 2: z.
    far : bool
        Whether at the far end of it.
    two_faces : bool
        Whether it has a rear face instead of a back.
    """
    walls = (
        ("left return", "right return"),
        ("bottom return", "top return"),
        ("rear face", "front face") if two_faces else ("back", "face"),
    )
    return walls[axis][far]


def runs_along(on: Mount) -> Direction | None:
    """How rows on a return run; None where they may run either way."""
    if on in RETURNS:
        return "vertical" if on in {"left", "right"} else "horizontal"
    return None


def frame(on: Mount, direction: Direction, *, turn: float = 0.0, tilt: float = 0.0) -> Array:
    """The frame of a module's beam, as unit vectors in the cabinet's axes.

    Parameters
    ----------
    on : str
        What the module is on.
    direction : {"horizontal", "vertical"}
        How its row runs: the module turns with it.
    turn : float
        About its own axis, counterclockwise as seen from the side that it shines at. A photometric file counts its
        planes counterclockwise as seen from behind the module, see ``beams.webs.Web``, which is clockwise as seen
        from in front: turned by 90 degrees, plane 0 is where plane 270 was. [rad]
    tilt : float
        About the line of its row: on the back and between faces above 0 towards the top (vertical rows: the right),
        on a return towards the face. [rad]

    Returns
    -------
    (3, 3)
        Rows: the beam's 0 degree direction, along the row; its 90 degree direction; its axis.
    """
    axis = np.array(_INWARDS[on], dtype=np.float64)
    along = np.array((1.0, 0.0, 0.0) if direction == "horizontal" else (0.0, 1.0, 0.0))
    across = np.cross(axis, along)
    if on in RETURNS:
        leaning = np.array((0.0, 0.0, 1.0))
    else:
        leaning = np.array((0.0, 1.0, 0.0) if direction == "horizontal" else (1.0, 0.0, 0.0))
    # Whole right angles stay exact: a module turned by 90 degrees is still upright to the last bit.
    u, v = _turned(along, across, turn)
    side = float(across @ leaning)
    axis_tilted, across_tilted = _turned(axis, across, side * tilt)

    def tilted(vector: Array) -> Array:
        return np.asarray((vector @ along) * along + (vector @ across) * across_tilted)

    return np.asarray(np.stack([tilted(u), tilted(v), axis_tilted]) + 0.0)


def turn_and_tilt(frame: Array, direction: Direction) -> tuple[float, float]:
    """Turn and tilt of a module on the back or between two faces, from its frame; see ``frame``. [rad]

    Parameters
    ----------
    frame : (3, 3)
    direction : {"horizontal", "vertical"}
    """
    u, _, axis = frame
    horizontal = direction == "horizontal"
    along = np.array((1.0, 0.0, 0.0) if horizontal else (0.0, 1.0, 0.0))
    tilt = math.atan2(axis[1] if horizontal else axis[0], axis[2])
    return math.atan2(float(u @ np.cross(axis, along)), float(u @ along)), tilt


def _turned(one: Array, other: Array, angle: float) -> tuple[Array, Array]:
    """Two unit vectors at right angles, turned by an angle from the first towards the other."""
    quarters = angle / (math.pi / 2)
    if abs(quarters - round(quarters)) < 1e-12:
        cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    else:
        cosine, sine = math.cos(angle), math.sin(angle)
    return cosine * one + sine * other, cosine * other - sine * one


def mirrored(frames: Array) -> Array:
    """Frames seen in a mirror at right angles to the depth.

    Parameters
    ----------
    frames : (…, 3, 3)
    """
    return np.asarray(frames * np.array((1.0, 1.0, -1.0)) + 0.0)
