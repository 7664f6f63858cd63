"""The numbers of ``reflected.toml`` once more, by lumsim's own functions.

A check takes the parameters of an entry of ``reflected.toml`` by name and returns lumsim's answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.light.direct import DirectLight
from lumsim.light.exchange import Exchange
from lumsim.light.interior import Inside
from lumsim.light.interreflection import interreflect
from lumsim.light.lit_inside import light_inside
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from tests import cabinets
from tests.published.endless_rows import ENDLESS

Array = NDArray[np.float64]


def _even_mesh(width: float, height: float, depth: float, n: int = 4) -> Mesh:
    """Cut each side into a few equal parts; a sum over them is what is wanted."""
    z = tuple(float(one) for one in np.linspace(0, depth, n))
    return Mesh(width=width, height=height, depth=depth, columns=n, rows=n - 2, z=z)


def _factor(mesh: Mesh, name: str, to: str) -> float:
    """Share of what a surface sends out evenly that arrives on another [1]."""
    areas = mesh.areas()
    lit = areas.each(np.zeros_like)._replace(**{name: np.ones_like(getattr(areas, name))})
    arriving = getattr(Exchange(mesh).arriving(lit), to)
    return float(arriving.sum() / getattr(areas, name).sum())


def _alike(reflectance: float) -> Surfaces:
    return Surfaces(*(np.asarray(reflectance) for _ in range(6)))


def _mean(density: Array, areas: Array) -> float:
    return float(np.sum(density * areas) / np.sum(areas))


def cube_closure() -> float:
    """All factors of a wall of a cube together [1]."""
    mesh = _even_mesh(1.0, 1.0, 1.0)
    return math.fsum(_factor(mesh, "back", to) for to in ("face", "bottom", "top", "left", "right"))


def infinite_strips(gap: float) -> float:
    """Factor from the middle of a back 400 times as long as wide to the face [1]."""
    mesh = Mesh(width=400.0, height=1.0, depth=gap, columns=402, rows=4, z=(0.0, gap / 2, gap))
    exchange = Exchange(mesh)
    dark = exchange.areas.each(np.zeros_like)
    on_back = exchange.arriving(dark._replace(face=np.ones_like(dark.face))).back[:, 200]
    return float(on_back.sum() / exchange.areas.back[:, 200].sum())


def furnace(seed: int) -> float:
    """What the patch furthest from 1 sends out in a box of glowing walls [1]."""
    draw = np.random.default_rng(seed)
    reflectance = Surfaces(*(np.asarray(one) for one in draw.uniform(0.1, 0.95, 6)))
    width, height, depth = (float(one) for one in draw.uniform([0.3, 0.3, 0.1], [1.5, 1.5, 0.3]))
    exchange = Exchange(mesh_of(width, height, depth, patches_in_depth=4))
    glow = exchange.areas.each(lambda area, one: np.full(area.shape, 1 - float(one)), reflectance)
    direct = exchange.arriving(glow).each(np.divide, exchange.areas)
    sent = interreflect(exchange, direct, reflectance).exitance.each(np.add, glow).joined()
    return float(sent[np.argmax(np.abs(sent - 1))])


def wall_exitance(reflectance: float) -> float:
    """Mean exitance of all walls of a box with one module, over its lumens by their area [1]."""
    cabinet = cabinets.listed(0.5, 0.4, 0.3, [(0.2, 0.1)], lumens=1.0)
    exchange = Exchange(mesh_of(0.5, 0.4, 0.3, patches_in_depth=6))
    direct = direct_on_patches(exchange.mesh, cabinets.upright(cabinet))
    exitance = interreflect(exchange, direct, _alike(reflectance)).exitance
    return float(exchange.areas.joined() @ exitance.joined())


@cache
def _between_plates(pitch: float, back: float, face: float) -> Array:
    """E/(Φ/A) over one row pitch in the middle of a box of some 20 throws, its returns perfectly white [1]."""
    depth, wide = 0.1, 20.0
    count = round((wide / pitch - 1) / 2) * 2 + 1
    modules = round(wide / 0.5)
    width, height = wide * depth, count * pitch * depth
    filled = cabinets.in_rows(
        width, height, depth, rows=count, modules=modules, face=Face(transmittance=1 - face, reflectance=face)
    )
    box = Box(
        width=width,
        height=height,
        depth=depth,
        back_reflectance=back,
        left_return_reflectance=1.0,
        right_return_reflectance=1.0,
        bottom_return_reflectance=1.0,
        top_return_reflectance=1.0,
    )
    cabinet = replace(filled, box=box)
    light = _Lit(cabinet, patches_in_depth=6)
    y = height / 2 + pitch * depth * np.linspace(-0.5, 0.5, 41)
    E = light.illuminance(np.full(41, width / 2), y)
    emitters = cabinet.emitters()
    return E * width * height / float(emitters.flux.sum())


def between_plates_mean(pitch: float, back: float, face: float) -> float:
    """Mean over a pitch of rows between plates, over Φ/A [1]."""
    return float(np.trapezoid(_between_plates(pitch, back, face))) / 40


def between_plates_max(pitch: float, back: float, face: float) -> float:
    """Highest illuminance of rows between plates: on a row [1]."""
    return float(_between_plates(pitch, back, face).max())


def between_plates_min(pitch: float, back: float, face: float) -> float:
    """Lowest illuminance of rows between plates: between rows [1]."""
    return float(_between_plates(pitch, back, face).min())


def between_plates_max_to_min(pitch: float, back: float, face: float) -> float:
    """Highest over lowest illuminance of rows between plates [1]."""
    return between_plates_max(pitch, back, face) / between_plates_min(pitch, back, face)


class _Lit:
    """A cabinet lit with all that is thrown back."""

    def __init__(self, cabinet: Cabinet, *, patches_in_depth: int) -> None:
        box = cabinet.box
        mesh = mesh_of(box.width, box.height, box.depth, patches_in_depth=patches_in_depth)
        inside = Inside(mesh)
        lit = light_inside(cabinet, inside)
        self.exchange, self.balanced, self.reflected = inside.exchange, lit.balanced, lit.reflected()
        self.direct = DirectLight(cabinet.sources(), box.depth)

    def illuminance(self, x: Array, y: Array) -> Array:
        """All light at points of the face [lx]."""
        return self.direct.illuminance(x, y) + self.reflected.illuminance(x, y)


def box_mean_with_reflections(width: float, height: float, depth: float, rows: int, modules: int) -> float:
    """Mean illuminance of the face of a white light box, 50 lm a module [lx]."""
    cabinet = cabinets.in_rows(width, height, depth, rows=rows, modules=modules, lumens=50.0)
    lit = _Lit(cabinet, patches_in_depth=8)
    return _mean(lit.balanced.illuminance.face, lit.exchange.areas.face)


CHECKS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        **ENDLESS,
        **{
            check.__name__: check
            for check in (
                cube_closure,
                infinite_strips,
                furnace,
                wall_exitance,
                between_plates_mean,
                between_plates_max,
                between_plates_min,
                between_plates_max_to_min,
                box_mean_with_reflections,
            )
        },
    }
)
"""Each check by its name in ``reflected.toml``."""
