"""The spectrum of a cosine power's light on a face: the Matérn function."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.special import gamma, kv

__all__ = ["furthest", "matern"]

Array = NDArray[np.float64]


def matern(m: float, x: Array) -> Array:
    """T_m(x) = 2^(1−μ)/Γ(μ) · x^μ K_μ(x), μ = (m + 1)/2, and 1 at x = 0: the spectrum of cosᵐθ, at x = kh [1].

    From μ at most 2 upwards by T_{m+2} = T_m + x²/(4μ(μ − 1)) T_{m−2}, from K's recurrence: all terms are positive,
    and nothing overflows.

    Parameters
    ----------
    m : float
        0 or more. [1]
    x : array
        0 or more. [1]
    """
    x = np.asarray(x, dtype=np.float64)
    inside = np.where(x > 0, x, 1.0)

    def directly(mu: float) -> Array:
        values = 2 ** (1 - mu) / gamma(mu) * inside**mu * kv(mu, inside)
        return np.asarray(np.where(x > 0, values, 1.0))

    mu = (m + 1) / 2
    steps = max(math.ceil(mu) - 1, 0)
    lowest = mu - steps
    below = directly(lowest)
    if steps == 0:
        return below
    here = directly(lowest + 1)
    for number in range(1, steps):
        at = lowest + number
        below, here = here, here + x**2 / (4 * at * (at - 1)) * below
    return here


def furthest(m: float) -> float:
    """An x from which T_m(x) is below 1e-17: it falls like e^−x, and for x² small against m like e^(−x²/2(m+3))."""
    return 45 + 9 * math.sqrt(m + 3)
