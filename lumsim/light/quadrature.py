"""Points and weights of quadrature, each computed once."""

from __future__ import annotations

from functools import cache

import numpy as np

from lumsim.light.surfaces import Array

__all__ = ["legendre"]


@cache
def legendre(count: int) -> tuple[Array, Array]:
    """Gauss-Legendre nodes from -1 to 1 and their weights, neither to be written to. [1]

    Parameters
    ----------
    count : int
        How many; exact for polynomials up to degree 2 count - 1.
    """
    nodes, weights = np.polynomial.legendre.leggauss(count)
    nodes.flags.writeable = weights.flags.writeable = False
    return nodes, weights
