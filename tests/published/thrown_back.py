"""What lumsim gives for each published number on the light that surfaces throw at each other."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

import numpy as np

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light.exchange import Exchange
from lumsim.light.interreflection import interreflect
from lumsim.light.surfaces import Surfaces, mesh_of
from lumsim.simulation import Simulation, simulate


@cache
def exchange(width: float, height: float, depth: float, patches_in_depth: int = 4) -> Exchange:
    """Return the exchange of a box, kept for the next number of the same box."""
    return Exchange(mesh_of(width, height, depth, patches_in_depth=patches_in_depth))


def _from(box: Exchange, surface: str) -> Surfaces:
    """Flux on every patch from one surface of exitance 1."""
    nothing = box.areas.each(np.zeros_like)
    return box.arriving(nothing._replace(**{surface: np.ones_like(getattr(box.areas, surface))}))


def _factor(box: Exchange, start: str, end: str) -> float:
    """View factor of one whole surface to another."""
    return float(getattr(_from(box, start), end).sum() / getattr(box.areas, start).sum())


def factor_opposite(*, X: float, Y: float) -> float:
    """View factor of equal opposite rectangles, X by Y for each distance: back to face."""
    return _factor(exchange(X, Y, 1.0, 2), "back", "face")


def factor_adjacent(*, H: float, W: float) -> float:
    """View factor of a rectangle W deep to one H high at right angles, for each length of the common edge."""
    return _factor(exchange(1.0, W, H, 2), "back", "bottom")


def factor_in_box(*, width: float, height: float, depth: float, to: str) -> float:
    """View factor of the back of a cabinet to another of its surfaces."""
    return _factor(exchange(width, height, depth), "back", to)


def factor_offset(*, along: float, near: float, far: float, height: float) -> float:
    """View factor of a rectangle to one at right angles that begins off the common edge.

    By the rule of addition: what reaches the rectangle from the edge to ``far``, less what reaches it from
    the edge to ``near``, each by reciprocity.
    """

    def to_strip(depth: float) -> float:
        box = exchange(along, height, depth, 4)
        return float(_from(box, "back").bottom.sum()) / (along * height)

    return to_strip(far) - to_strip(near)


def effective_reflectance(*, ratio: float, base: float, walls: float) -> float:
    """Effective reflectance of a cavity in per cent: diffuse light in through its opening, and out again.

    The opening is the face, which sends out 1 and throws nothing back. The cavity ratio is 5 h (L + W)/(L W).
    """
    length, width = 1.6, 1.0
    depth = ratio * length * width / (5 * (length + width))
    box = exchange(length, width, depth, 6)
    entering = _from(box, "face")
    rho = Surfaces(*(np.asarray(one) for one in (base, 0.0, walls, walls, walls, walls)))
    balanced = interreflect(box, entering.each(np.divide, box.areas), rho)
    leaving = balanced.illuminance.face * box.areas.face
    return float(100 * leaving.sum() / box.areas.face.sum())


def effective_reflectance_by_zones(*, ratio: float, base: float, walls: float) -> float:
    """Effective reflectance of a cavity in per cent with all its walls taken as one zone, as the table's makers did.

    Three zones, base, walls and opening, exchange light by the factor f from base to opening. With
    a = (A_base / A_walls)(1 − f) the balance gives the closed form below.
    """
    length, width = 1.6, 1.0
    depth = ratio * length * width / (5 * (length + width))
    f = _factor(exchange(length, width, depth, 6), "back", "face")
    a = length * width / (2 * depth * (length + width)) * (1 - f)
    out = base * walls * f * (2 * a - f) + base * f**2 + walls * a * (1 - f)
    return 100 * out / (1 - base * walls * a * (1 - f) - walls * (1 - 2 * a))


def indirect_in_cube(*, rho: float) -> float:
    """Mean indirect illuminance in a room of 4 m with an isotropic source of 10 000 lm in its middle."""
    box = exchange(4.0, 4.0, 4.0, 8)
    half = 2.0
    x, y = (box.mesh.edges_x[1:] + box.mesh.edges_x[:-1]) / 2 - half, np.diff(np.asarray(box.mesh.z))
    z = np.cumsum(y) - y / 2 - half
    plane = half / (half**2 + x**2 + x[:, None] ** 2) ** 1.5
    wall = half / (half**2 + x**2 + z[:, None] ** 2) ** 1.5
    direct = Surfaces(plane, plane, wall, wall, wall, wall)
    flux = sum(float((one * area).sum()) for one, area in zip(direct, box.areas, strict=True))
    direct = direct.each(lambda one: one * (10_000 / flux))
    balanced = interreflect(box, direct, Surfaces(*[np.asarray(rho)] * 6))
    return sum(
        float((whole - straight)[...].ravel() @ area.ravel())
        for whole, straight, area in zip(balanced.illuminance, direct, box.areas, strict=True)
    ) / (6 * 16.0)


def gain_of_plates(*, back: float, face: float) -> float:
    """Illuminance in the middle of a very wide box with black returns, evenly lit on its face by 1."""
    box = exchange(60.0, 60.0, 1.0, 2)
    direct = box.areas.each(np.zeros_like)._replace(face=np.ones_like(box.areas.face))
    rho = Surfaces(*(np.asarray(one) for one in (back, face, 0.0, 0.0, 0.0, 0.0)))
    E = interreflect(box, direct, rho).illuminance.face
    return float(E[E.shape[0] // 2, E.shape[1] // 2])


@cache
def _lit_box(box: str) -> Simulation:
    width, height, depth, rows, modules, lumens, walls, face = {
        "A": (1.0, 1.0, 0.2, 1, 1, 1000.0, 0.9, 0.5),
        "B": (1.2, 0.6, 0.15, 3, 8, 50.0, 0.85, 0.4),
        "C": (1.2, 0.6, 0.15, 2, 12, 50.0, 0.85, 0.4),
    }[box]
    group = Rows(
        module=Module(name="source", lumens=lumens),
        direction="horizontal",
        rows=place(height, count=rows),
        modules=place(width, count=modules),
    )
    inside = Box(
        width=width,
        height=height,
        depth=depth,
        back_reflectance=walls,
        left_return_reflectance=walls,
        right_return_reflectance=walls,
        bottom_return_reflectance=walls,
        top_return_reflectance=walls,
    )
    return simulate(Cabinet(box=inside, face=Face(transmittance=1 - face, reflectance=face), groups=(group,)))


def total_in_box(*, box: str, x: float, y: float) -> float:
    """Illuminance at a point of the face, direct and thrown back. [lx]"""
    lit = _lit_box(box)
    at_x, at_y = np.array([x]), np.array([y])
    return float(lit.direct.illuminance(at_x, at_y)[0] + lit.reflected_at(at_x, at_y)[0])


def mean_in_box(*, box: str) -> float:
    """Mean illuminance of the face, direct and thrown back. [lx]"""
    lit = _lit_box(box)
    return lit.illuminance(lit.evenness.mean)


THROWN_BACK: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        check.__name__: check
        for check in (
            factor_opposite,
            factor_adjacent,
            factor_in_box,
            factor_offset,
            effective_reflectance,
            effective_reflectance_by_zones,
            indirect_in_cube,
            gain_of_plates,
            total_in_box,
            mean_in_box,
        )
    }
)
