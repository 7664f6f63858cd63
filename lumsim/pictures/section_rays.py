"""Modules of a section across the rows, and rays that fan from them: where they go, how strong the beam is that way."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.sources import Sources, sources_of
from lumsim.uniformity.face_map import Array

__all__ = ["EVERY", "MOST_FANS", "Rays", "SectionModules", "section_modules", "section_rays"]

EVERY: Final = 10
"""From ray to ray of a fan. [deg]"""
MOST_FANS: Final = 24
"""Of more places of modules so many have their rays drawn, evenly chosen: more would be a grey. [1]"""

_IN_SECTION: Final = 1e-6
"""Less of an axis than this in the section is none. [1]"""
_DIGITS: Final = 5
"""Places alike to so many digits are one. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionModules:
    """Modules as the section shows them, those behind each other once."""

    places: Array
    """(n, 2) across the rows and above the back [m]"""
    axes: Array
    """(n, 2) the part of each axis that lies in the section, across the rows and towards the face; 0 where it points
    along the rows [1]"""
    both_ways: Array
    """(n,) 1 where it shines backward too, else 0"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rays:
    """Rays from modules to the surface that each meets first, in the section."""

    starts: Array
    """(n, 2) across the rows and above the back [m]"""
    ends: Array
    """(n, 2) likewise [m]"""
    strengths: Array
    """(n,) the intensity that way, by the greatest of all rays [1]"""
    fans: int
    """places of modules that have rays"""
    places: int
    """places of modules that could have"""


def section_modules(cabinet: Cabinet) -> SectionModules:
    """Find the modules of a section across the rows.

    Parameters
    ----------
    cabinet : Cabinet
    """
    across = _across(cabinet)
    emitters = cabinet.emitters()
    table = np.column_stack(
        [
            emitters.places[:, [across, 2]],
            emitters.frames[:, 2][:, [across, 2]],
            (emitters.front_share < 1).astype(np.float64),
        ]
    )
    rows = np.unique(np.round(table, _DIGITS) + 0.0, axis=0)
    return SectionModules(places=rows[:, :2], axes=rows[:, 2:4], both_ways=rows[:, 4])


def section_rays(cabinet: Cabinet, *, up_to: float) -> Rays:
    """Fan rays out from the modules of a section, one every ten degrees from the axis of each.

    A module of several LEDs is taken as one point in its middle, with their intensity together.

    Parameters
    ----------
    cabinet : Cabinet
    up_to : float
        Modules farther across the rows than this have no rays. [m]
    """
    across = _across(cabinet)
    sources = _one_of_each(_whole_modules(cabinet), across)
    axes = sources.frames[:, 2][:, [across, 2]]
    shown = (np.hypot(*axes.T) > _IN_SECTION) & ((sources.y if across else sources.x) <= up_to)
    sources = sources.only(shown)
    starts = np.column_stack([sources.y if across else sources.x, sources.z])
    places, which = np.unique(np.round(starts, _DIGITS), axis=0, return_inverse=True)
    drawn = np.arange(len(places))
    if len(places) > MOST_FANS:
        drawn = np.unique(np.linspace(0, len(places) - 1, MOST_FANS).round().astype(int))
    sources = sources.only(np.isin(which.ravel(), drawn))
    found = [_fan(sources, number, across, cabinet) for number in range(len(sources))]
    table = np.concatenate([np.empty((0, 5)), *found])
    table = table[table[:, 4] > 0]
    return Rays(
        starts=table[:, :2],
        ends=table[:, 2:4],
        strengths=table[:, 4] / np.max(table[:, 4], initial=1e-300),
        fans=len(drawn),
        places=len(places),
    )


def _across(cabinet: Cabinet) -> int:
    """Which axis runs across the rows, 0 for x."""
    return 1 if cabinet.direction == "horizontal" else 0


def _whole_modules(cabinet: Cabinet) -> Sources:
    """Every module as points of light in its middle."""
    emitters = cabinet.emitters()
    middles = tuple(replace(kind, leds=((0.0, 0.0),)) for kind in emitters.kinds)
    return sources_of(replace(emitters, kinds=middles))


def _one_of_each(sources: Sources, across: int) -> Sources:
    """Of sources behind each other that shine alike, one."""
    at = sources.y if across else sources.x
    table = np.column_stack(
        [
            np.round(at, _DIGITS),
            np.round(sources.z, _DIGITS),
            sources.frames.reshape(-1, 9).round(6),
            sources.half,
        ]
    )
    _, first = np.unique(table + 0.0, axis=0, return_index=True)
    chosen = np.zeros(len(sources), dtype=bool)
    chosen[first] = True
    return sources.only(chosen)


def _fan(sources: Sources, number: int, across: int, cabinet: Cabinet) -> Array:
    """(rays, 5) start, end and intensity [cd] of one source's rays."""
    u, v, axis = sources.frames[number]
    middle = math.atan2(axis[across], axis[2])
    angles = middle + np.radians(np.arange(-90 + EVERY, 90, EVERY))
    ways = np.zeros((len(angles), 3))
    ways[:, across], ways[:, 2] = np.sin(angles), np.cos(angles)
    theta = np.arccos(np.clip(ways @ axis, -1, 1))
    ways, theta = ways[theta < math.pi / 2], theta[theta < math.pi / 2]
    half = sources.halves[int(sources.half[number])]
    intensity = sources.flux[number] * half.intensity(theta, np.arctan2(ways @ v, ways @ u))
    start = np.array([(sources.y if across else sources.x)[number], sources.z[number]])
    box = cabinet.box
    size = np.array([box.height if across else box.width, box.depth])
    flat = ways[:, [across, 2]]
    far = _to_walls(start, flat, size)
    kept = far > 1e-6
    ends = np.clip(start + far[:, None] * flat, 0, size)
    return np.column_stack([np.broadcast_to(start, ends.shape), ends, intensity])[kept]


def _to_walls(start: Array, ways: Array, size: Array) -> Array:
    """(n,) how far it is from a start to the walls of a rectangle, each way. [m]"""
    room = np.where(ways > 0, size - start, start)
    reach = np.full(ways.shape, np.inf)
    np.divide(room, np.abs(ways), out=reach, where=np.abs(ways) > 1e-12)
    return np.asarray(reach.min(axis=1))
