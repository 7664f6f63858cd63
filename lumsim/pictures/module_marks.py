"""Modules in the picture of a face: as their LEDs where one could see these, and on returns plain to see."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.spatial.distance import pdist

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import led_places
from lumsim.pictures import look
from lumsim.pictures.sheet import Mark
from lumsim.uniformity.face_map import Array

__all__ = ["MarkedModules", "marked_modules"]

_LEDS_APART = 0.06
"""From here on a module's LEDs are drawn. [in of paper]"""

_SAME_PLACE = 1e-6
"""LEDs that lie one above the other as seen from in front. [m]"""


class _Sort(NamedTuple):
    """What is marked alike."""

    on_return: bool
    as_leds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedModules:
    """Modules that are marked alike."""

    places: Array
    """(n, 2) x and y of each mark [m]"""
    mark: Mark
    key_mark: Mark
    """the same, as large as one sees it well"""
    text: str
    """what the key says"""
    on_return: bool


def marked_modules(cabinet: Cabinet, *, scale: float) -> list[MarkedModules]:
    """Sort a cabinet's modules by how they are marked: on a return or not, as LEDs or whole.

    Parameters
    ----------
    cabinet : Cabinet
    scale : float
        [in of paper for 1 m]
    """
    places: dict[_Sort, list[Array]] = {}
    modules: dict[_Sort, int] = {}
    for group in cabinet.groups:
        emitters = group.emitters()
        on_return = cabinet.mounting(group).on_return
        for number, kind in enumerate(emitters.kinds):
            chosen = emitters.only(emitters.kind == number)
            if not len(chosen):
                continue
            # As seen from in front.
            leds = led_places(kind, chosen.places, chosen.frames)[..., :2]
            sort = _Sort(on_return, _closest(leds[0]) * scale >= _LEDS_APART)
            places.setdefault(sort, []).append(leds.reshape(-1, 2) if sort.as_leds else chosen.places[:, :2])
            modules[sort] = modules.get(sort, 0) + len(chosen)
    points = sum(len(part) for parts in places.values() for part in parts)
    room = scale * math.sqrt(cabinet.box.width * cabinet.box.height / points)
    return [
        MarkedModules(
            places=np.concatenate(parts),
            mark=_mark(room, sort),
            key_mark=_mark(math.inf, sort),
            text=_text(len(np.concatenate(parts)), modules[sort], sort),
            on_return=sort.on_return,
        )
        for sort, parts in sorted(places.items())
    ]


def _closest(leds: Array) -> float:
    """Return the least distance between LEDs that are side by side; 0 where none are. [m]"""
    apart = pdist(leds)
    return float(np.min(apart[apart > _SAME_PLACE], initial=np.inf)) if (apart > _SAME_PLACE).any() else 0.0


def _mark(room: float, sort: _Sort) -> Mark:
    """Make the mark, for so much room around each [in of paper]."""
    if sort.on_return:
        # On the cabinet's frame a dot would be lost.
        size = min(4.0, max(1.5, 72 * 0.3 * room))
        return Mark(
            marker="s" if sort.as_leds else "o",
            size=0.8 * size if sort.as_leds else size,
            face=look.PAPER,
            edge=look.INK,
            edge_width=min(1.0, size / 4),
        )
    size = min(2.4, max(0.5, 72 * 0.22 * room))
    return Mark(
        marker="s" if sort.as_leds else "o",
        size=size,
        face=look.INK,
        edge=look.PAPER,
        edge_width=min(0.5, size / 5),
    )


def _text(marks: int, modules: int, sort: _Sort) -> str:
    what = f"module{'s' if modules > 1 else ''}"
    where = " on returns" if sort.on_return else ""
    if sort.as_leds:
        return f"LEDs{where}: {marks}, in {modules} {what}"
    return f"{what}{where}: {modules}"
