"""Whether what shines in a box is its own mirror image, so that half of its light tells the other half."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from lumsim.cabinet.sources import Half, Sources
from lumsim.light.surfaces import Array
from lumsim.light.upright import Upright

__all__ = ["sources_in_mirror", "uprights_in_mirror"]

SAME_PLACE, SAME_SHARE = 1e-9, 1e-11
"""How near one must be to another's mirror image to be taken for it [m], and how alike in all else [1]."""

PROBES = 3000
"""Directions in which a beam is compared with its mirror image. [1]"""


def uprights_in_mirror(upright: Upright, axis: int, extent: float) -> bool:
    """Whether every cosine power has a twin across the middle.

    Parameters
    ----------
    upright : Upright
    axis, extent
        As for ``sources_in_mirror``.
    """
    table = np.stack([upright.x, upright.y, upright.z, upright.flux, upright.exponent], axis=-1)
    image = table.copy()
    image[:, axis] = extent - image[:, axis]
    return _same(table, image)


def sources_in_mirror(sources: Sources, axis: int, extent: float) -> bool:
    """Whether all sources together, with their beams and the ways they point, are their own mirror image.

    Parameters
    ----------
    sources : Sources
    axis : int
        0: across the middle of the width; 1: of the height.
    extent : float
        Of the box along the axis. [m]
    """
    turned = sources.frames.copy()
    turned[:, :, axis] *= -1
    places = np.stack([sources.x, sources.y, sources.z], axis=-1)
    image = places.copy()
    image[:, axis] = extent - image[:, axis]
    given = np.stack([sources.flux, sources.half.astype(np.float64)], axis=-1)
    tables = [
        np.concatenate([at, given, _as_seen(frames, sources)], axis=1)
        for at, frames in ((places, sources.frames), (image, turned))
    ]
    return _same(*tables)


def _same(table: Array, image: Array) -> bool:
    """Whether two tables of sources, places in their first three columns, hold the same rows in any order."""
    table, image = (rows[np.lexsort(np.round(rows, 8).T)] for rows in (table, image))
    room = np.concatenate(
        [np.full((len(table), 3), SAME_PLACE), SAME_SHARE * np.maximum(np.abs(table[:, 3:]), 1e-3)], axis=1
    )
    return bool(np.all(np.abs(table - image) <= room))


def _as_seen(frames: Array, sources: Sources) -> Array:
    """(n, 9) frames, those that a beam cannot tell apart made the same."""
    seen = frames.copy()
    for number, half in enumerate(sources.halves):
        chosen = sources.half == number
        if half.beam.axial:
            seen[chosen, :2] = 0.0
            continue
        for row, alike in enumerate(_own_mirrors(half)):
            if alike:
                seen[chosen, row] = _one_sense(seen[chosen, row])
    return seen.reshape(len(frames), 9)


def _one_sense(vectors: Array) -> Array:
    """Each vector or its opposite: the one whose first component that is not 0 is above 0."""
    clear = np.where(np.abs(vectors) > 1e-9, vectors, 0.0)
    first = clear[np.arange(len(clear)), np.argmax(clear != 0, axis=1)]
    return vectors * np.where(first < 0, -1.0, 1.0)[:, None]


@lru_cache(maxsize=64)
def _own_mirrors(half: Half) -> tuple[bool, bool]:
    """Whether a beam stays the same where its 0 degree direction is turned round, and where its 90 degree one is."""
    draw = np.random.default_rng(2)
    theta, phi = np.arccos(draw.uniform(0, 1, PROBES)), draw.uniform(0, 2 * math.pi, PROBES)
    told = half.intensity(theta, phi)
    room = 1e-9 * float(told.max())
    along, across = (
        bool(np.max(np.abs(half.intensity(theta, image) - told)) < room) for image in (math.pi - phi, -phi)
    )
    return along, across
