"""Direct light of any source on any surface of the box: flux through cells, and means over them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.sources import Half, Sources
from lumsim.kernels.cell_flux import flux_through_cells
from lumsim.light.beam_tables import potential_of
from lumsim.light.surfaces import Array

__all__ = ["AnyWay", "Size", "flux_out_of", "on_face"]

ON_SURFACE = 1e-12
"""A source this near to a surface is on it, and casts no light along it. [m]"""

OFF_RETURN = 1e-9
"""By how much a source right on a return that it does not shine away from is moved off it. [m]"""


PIECES, PIECES_ASLANT = 1000, 4
"""Into which the outline of a whole surface is cut, and each edge of a cell where a beam that is not alike all round
shines aslant: its kinks then leave less than 1e-6 of its light unaccounted for. [1]"""


class Size(NamedTuple):
    """Inside sizes of a box."""

    width: float
    """[m]"""
    height: float
    """[m]"""
    depth: float
    """[m]"""


class _Seen(NamedTuple):
    """How a surface is seen from inside: which axes run along it, which one leads to it, and to which end."""

    along: int
    up: int
    to: int
    far: bool


_SURFACES: Mapping[str, _Seen] = MappingProxyType(
    {
        "back": _Seen(0, 1, 2, far=False),
        "face": _Seen(0, 1, 2, far=True),
        "bottom": _Seen(0, 2, 1, far=False),
        "top": _Seen(0, 2, 1, far=True),
        "left": _Seen(1, 2, 0, far=False),
        "right": _Seen(1, 2, 0, far=True),
    }
)
"""By the names of ``surfaces.Surfaces``, with their axes in the order of its arrays."""


class AnyWay:
    """Sources of any beam that point anywhere, in a box.

    Parameters
    ----------
    sources : Sources
    size : Size
    """

    def __init__(self, sources: Sources, size: Size) -> None:
        self._size = size
        self._places = np.stack([sources.x, sources.y, sources.z])
        for axis, extent in enumerate(size[:2]):
            inwards = sources.frames[:, 2, axis]
            place = self._places[axis]
            # On a return that it does not shine away from, a source's light has no value of its own, only this limit.
            place[(place < OFF_RETURN) & ~(inwards > OFF_RETURN)] = OFF_RETURN
            place[(place > extent - OFF_RETURN) & ~(inwards < -OFF_RETURN)] = extent - OFF_RETURN
        self._sources = sources

    def flux(self, surface: str, along: Array, up: Array, *, pieces: int = 1) -> Array:
        """Flux through each cell of a surface, in lumens.

        Parameters
        ----------
        surface : str
            By the names of ``surfaces.Surfaces``.
        along, up : (n + 1,), (m + 1,)
            Where cells meet: on back and face along x and up y, on a return along it and up z; rising. [m]
        pieces : int
            Into which each edge is cut, at least. [1]

        Returns
        -------
        (m, n)
        """
        seen = _SURFACES[surface]
        found = np.zeros((len(up) - 1, len(along) - 1))
        end = self._size[seen.to] if seen.far else 0.0
        gap = np.abs(end - self._places[seen.to])
        axes = [seen.along, seen.up, seen.to]
        frames = self._sources.frames[:, :, axes] * np.array([1.0, 1.0, 1.0 if seen.far else -1.0])
        for number, half in enumerate(self._sources.halves):
            chosen = (self._sources.half == number) & (gap > ON_SURFACE)
            if chosen.any():
                tables = potential_of(half)
                aslant = bool(np.any(np.abs(self._sources.frames[chosen, 2, 2]) < 1))
                found += flux_through_cells(
                    np.ascontiguousarray(self._places[seen.along][chosen]),
                    np.ascontiguousarray(self._places[seen.up][chosen]),
                    np.ascontiguousarray(gap[chosen]),
                    np.ascontiguousarray(frames[chosen].reshape(-1, 9)),
                    np.ascontiguousarray(self._sources.flux[chosen]),
                    np.ascontiguousarray(along),
                    np.ascontiguousarray(up),
                    tables.axial,
                    tables.web,
                    tables.horizon,
                    max(pieces, 1 if half.beam.axial or not aslant else PIECES_ASLANT),
                )
        return found

    def means(self, surface: str, along: Array, up: Array) -> Array:
        """Mean illuminance of each cell, as for ``flux``. [lx]"""
        return np.asarray(self.flux(surface, along, up) / np.outer(np.diff(up), np.diff(along)))

    def arrivals(self) -> dict[str, float]:
        """Flux on each whole surface. [lm]"""
        edges = [np.array([0.0, extent]) for extent in self._size]
        return {
            name: float(self.flux(name, edges[seen.along], edges[seen.up], pieces=PIECES)[0, 0])
            for name, seen in _SURFACES.items()
        }

    def absorbed(self) -> float:
        """What sources on a surface send behind it, and so into their own modules. [lm]"""
        total = 0.0
        for axis, extent in enumerate(self._size):
            for far in (False, True):
                outwards = np.zeros(3)
                outwards[axis] = 1.0 if far else -1.0
                on_it = np.abs(self._places[axis] - (extent if far else 0.0)) <= ON_SURFACE
                told = np.concatenate(
                    [self._sources.half[on_it, None], self._sources.frames[on_it].reshape(-1, 9)], axis=1
                )
                # Modules of a row lie alike: each way of lying is looked at once.
                for one in np.unique(told, axis=0):
                    flux = float(self._sources.flux[on_it][(told == one).all(axis=1)].sum())
                    total += flux * flux_out_of(
                        self._sources.halves[int(one[0])], one[1:].reshape(3, 3), outwards
                    )
        return float(total)

    def into_the_box(self) -> float:
        """What all sources send to its surfaces. [lm]"""
        return float(self._sources.flux.sum()) - self.absorbed()


def on_face(sources: Sources, depth: float, part: Rectangle) -> float:
    """Flux from any sources on a part of the face at z = depth, in lumens."""
    if len(sources) == 0:
        return 0.0
    # Returns do not enter here: none is so near that a source would be on it.
    any_way = AnyWay(sources, Size(math.inf, math.inf, depth))
    x, y = np.array([part.x0, part.x1]), np.array([part.y0, part.y1])
    return float(any_way.flux("face", x, y, pieces=PIECES // 4)[0, 0])


_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(400)


def flux_out_of(half: Half, frame: Array, outwards: Array) -> float:
    """Share of a source's flux that passes a plane through it, to the side that `outwards` points to. [1]

    The integral of G dφ along the outline, see ``kernels.cell_flux``: half of the plane's great circle of directions,
    and back along the horizon.

    Parameters
    ----------
    half : Half
    frame : (3, 3)
    outwards : (3,)
        Unit vector at right angles to the plane.
    """
    u, v, w = frame
    leaning = float(w @ outwards)
    if leaning >= 1 - 1e-12:
        return 1.0
    if leaning <= -1 + 1e-12:
        return 0.0
    # In the module's own frame, right-handed there whatever it is in the cabinet.
    n = np.array([u @ outwards, v @ outwards, leaning])
    rim = np.cross(n, [0.0, 0.0, 1.0])
    rim /= np.linalg.norm(rim)
    # From one end of the great circle over its top to the other: counterclockwise about n.
    top = np.cross(n, rim)
    if top[2] < 0:
        rim, top = -rim, -top
    t = math.pi / 2 * (_NODES + 1)
    d = np.cos(t)[:, None] * rim + np.sin(t)[:, None] * top
    tangent = -np.sin(t)[:, None] * rim + np.cos(t)[:, None] * top
    tables = potential_of(half)
    a, b, c = d.T
    turning = a * tangent[:, 1] - b * tangent[:, 0]
    arc = math.pi / 2 * float(_WEIGHTS @ (_looked_up(tables.axial, tables.web, a, b, c) * turning))
    # The horizon closes it: half way round from −rim to rim, on the side of n.
    start = math.atan2(-rim[1], -rim[0])
    toward = math.atan2(n[1], n[0])
    turn = math.pi if (toward - start) % (2 * math.pi) < math.pi else -math.pi

    def horizon(phi: float) -> float:
        turns = math.floor(phi / (2 * math.pi))
        at = np.linspace(0.0, 2 * math.pi, len(tables.horizon))
        return turns + float(np.interp(phi - 2 * math.pi * turns, at, tables.horizon))

    return abs(arc + horizon(start + turn) - horizon(start))


def _looked_up(axial: Array, web: Array, a: Array, b: Array, w: Array) -> Array:
    """H in directions of unit length, as the kernel looks it up. [1/sr]"""
    p, q = a / (1 + w), b / (1 + w)
    if web.size == 0:
        return np.asarray(np.interp(np.hypot(p, q), np.linspace(0, 1, len(axial)), axial))
    cells = len(web) - 1
    x, y = (p + 1) / 2 * cells, (q + 1) / 2 * cells
    j, i = (np.clip(one.astype(int), 0, cells - 1) for one in (x, y))
    g, f = x - j, y - i
    low = web[i, j] * (1 - g) + web[i, j + 1] * g
    high = web[i + 1, j] * (1 - g) + web[i + 1, j + 1] * g
    return np.asarray(low * (1 - f) + high * f)
