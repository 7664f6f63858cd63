"""Cabinets that several tests light: any of them in one line, and a few by name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Direction, ListedModules, Rows
from lumsim.photometry import LAMBERTIAN, CosinePower
from lumsim.simulation import Lighting

DIRECT = Lighting(direct_only=True)
"""Light straight from the modules alone, of which laws speak."""

OPAL = Face(transmittance=0.4, reflectance=0.4)
"""An ordinary white face without a border."""


def in_rows(
    width: float,
    height: float,
    depth: float,
    *,
    rows: int,
    modules: int,
    direction: Direction = "horizontal",
    lumens: float = 100.0,
    beam: CosinePower = LAMBERTIAN,
    face: Face = OPAL,
    z: float = 0.0,
) -> Cabinet:
    """Fill a cabinet with rows of modules, both half a pitch from the returns. [m, lm]"""
    across, along = (height, width) if direction == "horizontal" else (width, height)
    group = Rows(
        module=Module(name="standard", lumens=lumens, beam=beam),
        direction=direction,
        rows=place(across, count=rows),
        modules=place(along, count=modules),
        z=z,
    )
    return Cabinet(box=Box(width=width, height=height, depth=depth), face=face, groups=(group,))


def listed(
    width: float,
    height: float,
    depth: float,
    positions: Sequence[tuple[float, float]] | NDArray[np.float64],
    *,
    z: float | NDArray[np.float64] = 0.0,
    lumens: float | NDArray[np.float64] = 100.0,
    exponent: float | NDArray[np.float64] = 1.0,
    front_share: float | NDArray[np.float64] = 1.0,
    direction: Direction = "horizontal",
    face: Face = OPAL,
    rear: Face | None = None,
) -> Cabinet:
    """Build a cabinet with modules at listed positions. [m, lm]"""
    at = np.asarray(positions, dtype=np.float64)
    n = len(at)
    placed = Emitters(
        x=at[:, 0].copy(),
        y=at[:, 1].copy(),
        z=np.broadcast_to(np.asarray(z, dtype=np.float64), n).copy(),
        flux=np.broadcast_to(np.asarray(lumens, dtype=np.float64), n).copy(),
        exponent=np.broadcast_to(np.asarray(exponent, dtype=np.float64), n).copy(),
        front_share=np.broadcast_to(np.asarray(front_share, dtype=np.float64), n).copy(),
    )
    return Cabinet(
        box=Box(width=width, height=height, depth=depth),
        face=face,
        groups=(ListedModules(direction=direction, placed=placed),),
        rear=rear,
    )


def shop_sign() -> Cabinet:
    """Three rows of eight modules in a cabinet of 1.2 × 0.6 × 0.15 m with a visible border of 20 mm."""
    face = Face(transmittance=0.4, reflectance=0.35, visible_border=0.02)
    return in_rows(1.2, 0.6, 0.15, rows=3, modules=8, lumens=50.0, face=face)
