"""A face cut into equal cells, and lumsim's mean illuminance of each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Side
from lumsim.simulation import Simulation

__all__ = ["Array", "Cells", "cell_means"]

Array = NDArray[np.float64]

POINTS = 12
"""Gauss-Legendre points across a cell and along it. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """How many cells a face is cut into, return to return."""

    columns: int
    """along the width"""
    rows: int
    """along the height"""


def cell_means(lit: Simulation, cells: Cells, side: Side = "front", *, points: int = POINTS) -> Array:
    """Mean illuminance of each cell on the inner side of a face, by Gauss-Legendre quadrature.

    Parameters
    ----------
    lit : Simulation
    cells : Cells
    side : {"front", "rear"}
        Which face.
    points : int
        Across a cell and along it. [1]

    Returns
    -------
    (rows, columns)
        As seen from in front. [lx]
    """
    nodes, weights = np.polynomial.legendre.leggauss(points)
    box = lit.cabinet.box
    face = {one.side: one for one in lit.faces}[side]
    x, y = (
        extent / number * (np.arange(number)[:, None] + (nodes + 1) / 2)
        for extent, number in ((box.width, cells.columns), (box.height, cells.rows))
    )
    at = np.meshgrid(x.ravel(), y.ravel())
    E = (face.direct.illuminance(*at) + face.reflected_at(*at)).reshape(
        cells.rows, points, cells.columns, points
    )
    return np.asarray(np.einsum("iajb,a,b->ij", E, weights / 2, weights / 2), dtype=np.float64)
