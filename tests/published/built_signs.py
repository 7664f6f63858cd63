"""Infinite lattices by built signs: a black cabinet with a large lattice, of which the middle alone is visible.

What lies beyond the cabinet is as good as a uniform sheet, see ``infinite``; it is added where a level counts.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import RectBivariateSpline

from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.cabinet.face import Face
from lumsim.light.direct import flux_on
from lumsim.search.built_light import LitSigns
from lumsim.search.spread import BuiltSign, Spread, draw
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT, in_rows
from tests.published.infinite import THROW, modules_at

Array = NDArray[np.float64]

SIDE = 21
"""Modules along each side of the lattice. [1]"""

SIGNS = 400
"""Drawn for the scatter of the light. [1]"""

SCATTER = 0.05
"""Relative standard deviation of a module's flux. [1]"""


def lattice(pitch: float) -> Cabinet:
    """A square lattice at a throw of 1 in a black cabinet; visible are the middle five by five pitches. [h]"""
    size = SIDE * pitch
    face = Face(transmittance=1.0, reflectance=0.0, visible_border=(SIDE - 5) / 2 * pitch)
    return in_rows(size, size, THROW, rows=SIDE, modules=SIDE, lumens=pitch**2, face=face)


def over_modules(cabinet: Cabinet, signs: list[BuiltSign], spread: Spread, pitch: float) -> Array:
    """(signs, 5, 5) illuminance over the middle modules, over the mean of the infinite lattice. [1]"""
    lit = LitSigns(cabinet, spread, Requirement(), lighting=DIRECT, names=["max_to_min"])
    x, y = lit.samples()
    middle = SIDE * pitch / 2
    at = middle + pitch * np.arange(-2, 3)
    light = np.array([RectBivariateSpline(y, x, E, kx=5, ky=5)(at, at) for E in lit.illuminance(signs)])
    whole = Rectangle(x0=0.0, x1=SIDE * pitch, y0=0.0, y1=SIDE * pitch)
    here = modules_at(np.array([middle]), np.array([middle]))
    return light + 1 - flux_on(here, THROW, whole)


def over_module_dead_in_a_sign(pitch: float) -> float:
    """Illuminance over the middle module of a built sign where it is dead, over what it is as drawn [1]."""
    cabinet = lattice(pitch)
    n = SIDE**2
    lit, dead = (
        BuiltSign(
            number=1,
            flux=np.where(np.arange(n) == off, 0.0, 1.0),
            off=np.zeros((n, 3)),
            depth=0.0,
            bow=(0.0, 0.0),
            dead=() if off is None else (off,),
        )
        for off in (None, n // 2)
    )
    light = over_modules(cabinet, [lit, dead], Spread(dead_modules=1), pitch)[:, 2, 2]
    return float(light[1] / light[0])


def left_of_flux_scatter(pitch: float) -> float:
    """Relative standard deviation of the light over a module, over that of the modules' flux [1].

    By signs drawn as `lumsim tolerance` draws them: the scatter is that of a normal draw cut at three standard
    deviations, which leaves √(1 − 6 φ(3) / (2 Φ(3) − 1)) of it.
    """
    spread = Spread(flux_scatter=SCATTER)
    cabinet = lattice(pitch)
    signs = [draw(cabinet, spread, seed=5, number=number) for number in range(1, SIGNS + 1)]
    light = over_modules(cabinet, signs, spread, pitch)
    density = math.exp(-4.5) / math.sqrt(2 * math.pi)
    left_by_cut = math.sqrt(1 - 6 * density / math.erf(3 / math.sqrt(2)))
    scatter = math.sqrt(float(np.mean((light / light.mean() - 1) ** 2)))
    return scatter / (SCATTER * left_by_cut)
