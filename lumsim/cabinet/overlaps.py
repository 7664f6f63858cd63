"""Modules in each other's way: where their LEDs and openings overlap, or stick out of the cabinet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import KDTree

from lumsim.cabinet.cabinet import ROUNDING, Cabinet
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import Mount, wall_behind

__all__ = ["Outside", "extent", "first_overlap", "openings_outside"]

Array = NDArray[np.float64]

LEAST_HALF = 5e-5
"""Half of what an LED at least measures, where its opening is not told, and half of its thickness. [m]"""

AT_A_TIME = 128
"""Modules whose neighbours are looked at together. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """A module of which an opening sticks out of the cabinet, although no LED of it does."""

    module: int
    """its number, from 0"""
    axis: int
    """0: x, 1: y, 2: z"""
    high: bool
    """whether at the far end of that axis"""
    by: float
    """how far [m]"""


def extent(kind: Module) -> tuple[float, float]:
    """Length and width of what shines of a module: from the outermost LED to the one opposite, openings included.

    Parameters
    ----------
    kind : Module
    """
    opening = kind.opening or (0.0, 0.0)
    return (
        max(led[0] for led in kind.leds) - min(led[0] for led in kind.leds) + opening[0],
        max(led[1] for led in kind.leds) - min(led[1] for led in kind.leds) + opening[1],
    )


def first_overlap(emitters: Emitters, groups: NDArray[np.intp]) -> dict[tuple[int, int], tuple[int, int]]:
    """Of each pair of groups the first two modules whose LEDs, openings included, take the same room.

    A module is what its LEDs and their openings span, as a flat convex piece; two are apart where they are so along
    one of the directions looked at: either's own three, the cross products of these (the separating axes of boxes)
    and the line between their middles (which parts discs). Ellipses may be told to overlap that barely do not.
    Pieces that touch are apart; modules that stand back to back are too.

    Parameters
    ----------
    emitters : Emitters
    groups : (n,)
        Which group each is of.
    """
    reach = np.array([_reach(kind) for kind in emitters.kinds])[emitters.kind]
    middles = emitters.places
    tree = KDTree(middles)
    count = len(np.unique(groups))
    pairs = count * (count + 1) // 2
    found: dict[tuple[int, int], tuple[int, int]] = {}
    for start in range(0, len(emitters), AT_A_TIME):
        mine = np.arange(start, min(start + AT_A_TIME, len(emitters)))
        near = tree.query_ball_point(middles[mine], reach[mine] + reach.max(), return_sorted=True)
        one = np.repeat(mine, [len(those) for those in near])
        other = np.concatenate([np.asarray(those, dtype=np.intp) for those in near])
        later = other > one
        one, other = one[later], other[later]
        new = np.array(
            [(a, b) not in found for a, b in zip(groups[one].tolist(), groups[other].tolist(), strict=True)],
            dtype=bool,
        )
        one, other = one[new], other[new]
        clash = _overlapping(emitters, middles, one, other)
        for a, b in zip(one[clash].tolist(), other[clash].tolist(), strict=True):
            found.setdefault((int(groups[a]), int(groups[b])), (a, b))
        if len(found) == pairs:
            break
    return found


def openings_outside(cabinet: Cabinet, emitters: Emitters, on: Mount) -> Iterator[Outside]:
    """Of each wall that openings stick out through the module that does so farthest.

    An LED whose opening is not told sticks out where it stands right in the plane of a wall. What modules are on is
    left out: a tilted one is held off it by its bracket.

    Parameters
    ----------
    cabinet : Cabinet
    emitters : Emitters
        Some or all of its modules.
    on : Mount
        What they are on.
    """
    own = None if on == "plane" else wall_behind(on)
    sizes = (cabinet.box.width, cabinet.box.height, cabinet.box.depth)
    middles = emitters.places
    for axis, size in enumerate(sizes):
        normal = np.eye(3)[axis]
        low, high = np.empty(len(emitters)), np.empty(len(emitters))
        for number, kind in enumerate(emitters.kinds):
            mine = np.flatnonzero(emitters.kind == number)
            low[mine], high[mine] = _span(
                kind, emitters.frames[mine], middles[mine], normal, half_thickness=0.0
            )
        for far, by in ((False, -low), (True, high - size)):
            worst = int(np.argmax(by))
            if by[worst] > 0.99 * LEAST_HALF and (axis, far) != own:
                yield Outside(module=worst, axis=axis, high=far, by=float(by[worst]))


def _reach(kind: Module) -> float:
    """From a module's middle to the farthest that shines of it. [m]"""
    half = np.hypot(*_half_opening(kind))
    return float(max(np.hypot(*led) for led in kind.leds) + half + LEAST_HALF)


def _half_opening(kind: Module) -> tuple[float, float]:
    opening = kind.opening or (0.0, 0.0)
    return max(opening[0] / 2, LEAST_HALF), max(opening[1] / 2, LEAST_HALF)


def _span(
    kind: Module, frames: Array, middles: Array, axes: Array, *, half_thickness: float = LEAST_HALF
) -> tuple[Array, Array]:
    """From where to where along an axis modules of a kind reach; (n, 3, 3), (n, 3), (n, 3) or (3,). [m]"""
    along, across, ahead = np.moveaxis((frames * axes[..., None, :]).sum(axis=-1), -1, 0)
    a, b = _half_opening(kind)
    half = np.hypot(a * along, b * across) if kind.round_opening else a * abs(along) + b * abs(across)
    half = half + half_thickness * abs(ahead)
    middle = (middles * axes).sum(axis=-1)
    leds = np.array([x * along + y * across for x, y in kind.leds])
    return middle + leds.min(axis=0) - half, middle + leds.max(axis=0) + half


def _overlapping(
    emitters: Emitters, middles: Array, one: NDArray[np.intp], other: NDArray[np.intp]
) -> NDArray[np.bool_]:
    """(n,) which of pairs of modules take the same room."""
    frames = emitters.frames
    share = emitters.front_share
    # Two that shine opposite ways out of one plane are mounted on either side of it.
    back_to_back = (share[one] + share[other] == 1) & (share[one] % 1 == 0)
    clash = ~back_to_back
    crossed = [np.cross(frames[one, i], frames[other, j]) for i in range(3) for j in range(3)]
    axes = [*(frames[one, i] for i in range(3)), *(frames[other, i] for i in range(3)), *crossed]
    for axis in [*axes, middles[other] - middles[one]]:
        length = np.linalg.norm(axis, axis=-1, keepdims=True)
        unit = axis / np.where(length > ROUNDING, length, 1.0)
        spans = []
        for which in (one, other):
            low, high = np.empty(len(which)), np.empty(len(which))
            for number, kind in enumerate(emitters.kinds):
                mine = emitters.kind[which] == number
                low[mine], high[mine] = _span(kind, frames[which[mine]], middles[which[mine]], unit[mine])
            spans.append((low, high))
        (low_one, high_one), (low_other, high_other) = spans
        apart = (high_one - low_other <= ROUNDING) | (high_other - low_one <= ROUNDING)
        clash &= ~(apart & (length[:, 0] > ROUNDING))
    return np.asarray(clash)
