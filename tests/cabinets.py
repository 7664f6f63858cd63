"""Cabinets that several tests light: any of them in one line, and a few by name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import UPRIGHT
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Direction, ListedModules, Rows
from lumsim.light.upright import Upright, upright_terms
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
    beam: Beam = LAMBERTIAN,
    face: Face = OPAL,
    z: float = 0.0,
    staggered: bool = False,
) -> Cabinet:
    """Fill a cabinet with rows of modules, both half a pitch from the returns. [m, lm]"""
    across, along = (height, width) if direction == "horizontal" else (width, height)
    group = Rows(
        module=Module(name="standard", lumens=lumens, beam=beam),
        direction=direction,
        rows=place(across, count=rows),
        modules=place(along, count=modules),
        z=z,
        staggered=staggered,
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
    placed = cosine_powers(at[:, 0], at[:, 1], z=z, flux=lumens, exponent=exponent, front_share=front_share)
    return Cabinet(
        box=Box(width=width, height=height, depth=depth),
        face=face,
        groups=(ListedModules(direction=direction, placed=placed),),
        rear=rear,
    )


def cosine_powers(
    x: NDArray[np.float64] | Sequence[float],
    y: NDArray[np.float64] | Sequence[float],
    *,
    z: NDArray[np.float64] | float = 0.0,
    flux: NDArray[np.float64] | float = 1.0,
    exponent: NDArray[np.float64] | float = 1.0,
    front_share: NDArray[np.float64] | float = 1.0,
) -> Emitters:
    """Place modules, each with a cosine power of its own, on or before the back. [m, lm, 1]"""
    n = len(x)
    powers, kind = np.unique(np.broadcast_to(np.asarray(exponent, dtype=np.float64), n), return_inverse=True)
    kinds = tuple(Module(name=f"m = {m:g}", lumens=1.0, beam=CosinePower(exponent=float(m))) for m in powers)

    def each(value: NDArray[np.float64] | float) -> NDArray[np.float64]:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), n).copy()

    return Emitters(
        x=np.asarray(x, dtype=np.float64).copy(),
        y=np.asarray(y, dtype=np.float64).copy(),
        z=each(z),
        flux=each(flux),
        front_share=each(front_share),
        frames=np.broadcast_to(UPRIGHT, (n, 3, 3)).copy(),
        kind=kind.astype(np.intp),
        kinds=kinds,
    )


def exponents(emitters: Emitters) -> NDArray[np.float64]:
    """Exponent of each module's beam, which must be a cosine power. [1]"""
    found = []
    for kind in emitters.kind:
        beam = emitters.kinds[int(kind)].beam
        assert isinstance(beam, CosinePower)
        found.append(beam.exponent)
    return np.array(found)


def upright(cabinet: Cabinet) -> Upright:
    """All the light of a cabinet whose modules shine straight at the face by cosine powers."""
    found, others = upright_terms(cabinet.sources())
    assert len(others) == 0
    return found


def shop_sign() -> Cabinet:
    """Three rows of eight modules in a cabinet of 1.2 × 0.6 × 0.15 m with a visible border of 20 mm."""
    face = Face(transmittance=0.4, reflectance=0.35, visible_border=0.02)
    return in_rows(1.2, 0.6, 0.15, rows=3, modules=8, lumens=50.0, face=face)
