"""Interreflection: the light that back, returns and face throw back until all of it is absorbed or gone through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse.linalg import LinearOperator, gmres

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import BalanceError
from lumsim.light.exchange import Exchange
from lumsim.light.surfaces import Array, Surfaces

__all__ = ["Interreflection", "interreflect", "reflectances"]

RESIDUAL = 1e-9
"""To which the balance is solved: what is left of it over all patches (root of squares), relative to the direct
light. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interreflection:
    """All light on the patches, direct and thrown back."""

    illuminance: Surfaces
    """direct and reflected [lx]"""
    exitance: Surfaces
    """thrown back by each patch [lm/m²]"""


def reflectances(cabinet: Cabinet) -> Surfaces:
    """Diffuse reflectance of each surface of a cabinet's inside; arrays of no dimension. [1]"""
    box = cabinet.box
    return Surfaces(
        back=np.asarray(box.back_reflectance if cabinet.rear is None else cabinet.rear.reflectance),
        face=np.asarray(cabinet.face.reflectance),
        bottom=np.asarray(box.bottom_return_reflectance),
        top=np.asarray(box.top_return_reflectance),
        left=np.asarray(box.left_return_reflectance),
        right=np.asarray(box.right_return_reflectance),
    )


def interreflect(exchange: Exchange, direct: Surfaces, reflectance: Surfaces) -> Interreflection:
    """Solve the radiosity balance of a closed box of diffuse surfaces.

    The illuminance of each patch is the direct one plus what all others throw back at it,

        E_i = E_i,direct + Σ_j F_ij ρ_j E_j,

    solved by GMRES without a matrix: applying the exchange is all that is asked of it.

    Parameters
    ----------
    exchange : Exchange
    direct : Surfaces
        Mean direct illuminance of each patch. [lx]
    reflectance : Surfaces
        One diffuse reflectance each; all arrays of no dimension. [1]

    Raises
    ------
    BalanceError
        Where the balance cannot be solved, which is a fault of lumsim.

    References
    ----------
    .. [1] C. M. Goral, K. E. Torrance, D. P. Greenberg, B. Battaile, Computer Graphics 18(3), 213 (1984):
       the balance of diffuse patches (from memory).
    """
    areas = exchange.areas

    def thrown_back(vector: Array) -> Array:
        exitance = areas.split(vector).each(np.multiply, reflectance)
        return exchange.arriving(exitance).each(np.divide, areas).joined()

    start = direct.joined()
    balance = LinearOperator(
        (len(start), len(start)), matvec=lambda vector: vector - thrown_back(vector), dtype=np.float64
    )
    found, failed = gmres(balance, start, x0=start, rtol=RESIDUAL, atol=0.0, restart=80, maxiter=4)
    if failed or not np.isfinite(found).all():
        raise BalanceError(
            "the light thrown back in the cabinet could not be balanced; this is a fault of lumsim, please "
            "report it with the study"
        )
    illuminance = areas.split(found)
    return Interreflection(illuminance=illuminance, exitance=illuminance.each(np.multiply, reflectance))
