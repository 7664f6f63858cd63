"""Photons in a box, one by one: light as the plainest Monte Carlo has it, sharing nothing with lumsim.

Each photon leaves a source in a direction drawn by rejection from the source's own intensity, flies straight to a side
of the box, is counted where it lands on the face and goes on, weaker by the side's reflectance, in a direction drawn
from the cosine law. Weak ones go on with half a chance and twice the weight. Ten batches give the standard error.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Intensity = Callable[[Array], Array]
"""(n, 3) unit vectors in the source's own frame → relative intensity."""

BATCHES = 10
WEAK = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A point of light; all sources of a scene are equally strong."""

    place: tuple[float, float, float]
    """[m]"""
    frame: Array
    """(3, 3) rows: the beam's 0 degree direction, its 90 degree direction, its axis"""
    intensity: Intensity
    peak: float
    """of the intensity, or above it"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box with the face at z = depth."""

    size: tuple[float, float, float]
    """[m]"""
    reflectances: Array
    """(3, 2): left and right, bottom and top, back and face [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What landed, for one lumen of all sources together."""

    illuminance: Array
    """(rows, columns) mean of each cell of the face [lx]"""
    standard_error: Array
    """[lx]"""
    absorbed: float
    """sent straight out of the box from a source on a side of it [1]"""


def count(box: Box, sources: Sequence[Source], *, photons: int, cells: tuple[int, int], seed: int) -> Counted:
    """Let photons fly and count those that land in cells of the face, (columns, rows)."""
    draw = np.random.default_rng(seed)
    size = np.array(box.size)
    columns, rows = cells
    landed = np.zeros((BATCHES, rows * columns))
    gone = 0
    for batch in range(BATCHES):
        at, way = _started(sources, photons // BATCHES, draw)
        outwards = ((at <= 0) & (way <= 0)) | ((at >= size) & (way >= 0))
        out = outwards.any(axis=1)
        gone += int(out.sum())
        at, way = at[~out], way[~out]
        weight = np.ones(len(at))
        while len(at):
            each = np.arange(len(at))
            with np.errstate(divide="ignore", invalid="ignore"):
                far = np.where(way > 0, (size - at) / way, np.where(way < 0, -at / way, np.inf))
            axis = np.argmin(far, axis=1)
            at = at + way * far[each, axis][:, None]
            side = (way[each, axis] > 0).astype(np.intp)
            face = (axis == 2) & (side == 1)
            i = np.clip((at[face, 0] / size[0] * columns).astype(np.intp), 0, columns - 1)
            j = np.clip((at[face, 1] / size[1] * rows).astype(np.intp), 0, rows - 1)
            landed[batch] += np.bincount(j * columns + i, weight[face], rows * columns)
            weight = weight * box.reflectances[axis, side]
            weak = weight < WEAK
            live = (weight > 0) & (~weak | (draw.uniform(size=len(at)) < 0.5))
            weight = np.where(weak, 2 * weight, weight)[live]
            at, axis, side = at[live], axis[live], side[live]
            way = _thrown_back(axis, side, draw)
    area = size[0] * size[1] / (rows * columns)
    E = (landed / (photons // BATCHES) / area).reshape(BATCHES, rows, columns)
    return Counted(
        illuminance=E.mean(axis=0),
        standard_error=E.std(axis=0, ddof=1) / np.sqrt(BATCHES),
        absorbed=gone / (photons // BATCHES * BATCHES),
    )


def _started(sources: Sequence[Source], n: int, draw: np.random.Generator) -> tuple[Array, Array]:
    places, ways = [], []
    for source, share in zip(
        sources, draw.multinomial(n, np.full(len(sources), 1 / len(sources))), strict=True
    ):
        found = np.zeros((0, 3))
        while len(found) < share:
            w, phi = draw.uniform(-1, 1, 4 * share), draw.uniform(0, 2 * np.pi, 4 * share)
            s = np.sqrt(1 - w * w)
            d = np.stack([s * np.cos(phi), s * np.sin(phi), w], axis=-1)
            found = np.concatenate([found, d[draw.uniform(0, source.peak, len(d)) < source.intensity(d)]])
        places.append(np.tile(np.array(source.place), (share, 1)))
        ways.append(found[:share] @ source.frame)
    return np.concatenate(places), np.concatenate(ways)


def _thrown_back(axis: NDArray[np.intp], side: NDArray[np.intp], draw: np.random.Generator) -> Array:
    """Directions by the cosine law, inwards."""
    n = len(axis)
    square, phi = draw.uniform(size=n), draw.uniform(0, 2 * np.pi, n)
    way, each = np.empty((n, 3)), np.arange(n)
    way[each, axis] = np.sqrt(1 - square) * np.where(side == 1, -1.0, 1.0)
    way[each, (axis + 1) % 3] = np.sqrt(square) * np.cos(phi)
    way[each, (axis + 2) % 3] = np.sqrt(square) * np.sin(phi)
    return way
