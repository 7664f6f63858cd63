"""Interreflection: the light that back, returns and face throw back until all of it is absorbed or gone through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse.linalg import LinearOperator, gmres

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import BalanceError
from lumsim.light.exchange import Exchange
from lumsim.light.mirrors import PARITIES, Parity, Quarter, fold, unfold
from lumsim.light.surfaces import Array, Surfaces

__all__ = ["Interreflection", "interreflect", "reflectances"]

RESIDUAL = 1e-9
"""To which the balance is solved: what is left of it over all patches (root of squares), relative to the direct
light. [1]"""

MIRRORED = 1e-12
"""Of the largest direct light, as much may be left of a part that is taken for dark. [1]"""


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


def interreflect(
    exchange: Exchange, direct: Surfaces, reflectance: Surfaces, *, residual: float = RESIDUAL
) -> Interreflection:
    """Solve the radiosity balance of a closed box of diffuse surfaces.

    The illuminance of each patch is the direct one plus what all others throw back at it,

        E_i = E_i,direct + Σ_j F_ij ρ_j E_j,

    solved by GMRES without a matrix: applying the exchange is all that is asked of it. Light that is even or
    odd about the middle of the box is solved for by itself; of what is not there, nothing is computed.

    Parameters
    ----------
    exchange : Exchange
    direct : Surfaces
        Mean direct illuminance of each patch. [lx]
    reflectance : Surfaces
        One diffuse reflectance each; all arrays of no dimension. [1]
    residual : float
        To which the balance is solved, as ``RESIDUAL``. [1]

    Raises
    ------
    BalanceError
        Where the balance cannot be solved, which is a fault of lumsim.

    References
    ----------
    .. [1] C. M. Goral, K. E. Torrance, D. P. Greenberg, B. Battaile, Computer Graphics 18(3), 213 (1984):
       the balance of diffuse patches (from memory).
    """
    direct_parts = _parts(direct, reflectance)
    parities = tuple(direct_parts)
    areas = fold(exchange.areas, PARITIES[0])
    sizes = np.cumsum([values.size for _ in parities for values in areas])

    def joined(parts: dict[Parity, Quarter]) -> Array:
        return np.concatenate([values.ravel() for part in parts.values() for values in part])

    def split(vector: Array) -> dict[Parity, Quarter]:
        arrays = iter(np.split(vector, sizes[:-1]))
        return {parity: areas.each(lambda area: next(arrays).reshape(area.shape)) for parity in parities}

    def thrown_back(vector: Array) -> Array:
        exitance = _thrown_back(split(vector), reflectance)
        return joined(
            {
                parity: exchange.part(parity).arriving(exitance[parity]).each(np.divide, areas)
                for parity in parities
            }
        )

    start = joined(direct_parts)
    balance = LinearOperator(
        (len(start), len(start)), matvec=lambda vector: vector - thrown_back(vector), dtype=np.float64
    )
    found, failed = gmres(balance, start, x0=start, rtol=residual, atol=0.0, restart=80, maxiter=4)
    if failed or not np.isfinite(found).all():
        raise BalanceError(
            "the light thrown back in the cabinet could not be balanced; this is a fault of lumsim, please "
            "report it with the study"
        )
    illuminance = unfold(split(found))
    return Interreflection(illuminance=illuminance, exitance=illuminance.each(np.multiply, reflectance))


def _parts(direct: Surfaces, reflectance: Surfaces) -> dict[Parity, Quarter]:
    """The direct light by its parities, those left out that stay dark."""
    equal_x, equal_y = reflectance.left == reflectance.right, reflectance.bottom == reflectance.top
    parts = {parity: fold(direct, parity) for parity in PARITIES}
    least = MIRRORED * max(float(np.max(np.abs(values))) for values in parts[PARITIES[0]])
    lit = {parity for parity, part in parts.items() if any(np.max(np.abs(values)) > least for values in part)}
    # Unlike returns turn even light into odd, and odd into even.
    if not equal_x:
        lit |= {Parity(-parity.x, parity.y) for parity in lit}
    if not equal_y:
        lit |= {Parity(parity.x, -parity.y) for parity in lit}
    return {parity: part for parity, part in parts.items() if parity in lit or parity == PARITIES[0]}


def _thrown_back(illuminance: dict[Parity, Quarter], reflectance: Surfaces) -> dict[Parity, Quarter]:
    """Exitance of each part; where opposite returns differ, of each by its own and its fellow's light."""
    mean_x, mean_y = (reflectance.left + reflectance.right) / 2, (reflectance.bottom + reflectance.top) / 2
    differ_x, differ_y = (
        (reflectance.right - reflectance.left) / 2,
        (reflectance.top - reflectance.bottom) / 2,
    )
    exitance = {}
    for parity, E in illuminance.items():
        top, right = mean_y * E.top, mean_x * E.right
        if differ_y:
            top = top + differ_y * illuminance[Parity(parity.x, -parity.y)].top
        if differ_x:
            right = right + differ_x * illuminance[Parity(-parity.x, parity.y)].right
        exitance[parity] = Quarter(reflectance.back * E.back, reflectance.face * E.face, top, right)
    return exitance
