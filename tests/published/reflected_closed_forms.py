"""Formulas in closed form for light thrown back, written out apart from the package.

References
----------
.. [1] J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors: C-11, identical opposite
   rectangles; C-14, rectangles at right angles with a common edge (from memory; held against quadrature).
.. [2] H. C. Hottel's crossed strings for infinite strips (from memory).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from tests.published.closed_forms import harmonics, transform

Array = NDArray[np.float64]


def opposite_rectangles(X: float, Y: float) -> float:
    """Factor between identical rectangles right across, sides in units of their distance, C-11 [1]."""
    x, y = math.hypot(1, X), math.hypot(1, Y)
    return (
        2
        / (math.pi * X * Y)
        * (
            math.log(x * y / math.sqrt(1 + X**2 + Y**2))
            + X * y * math.atan(X / y)
            + Y * x * math.atan(Y / x)
            - X * math.atan(X)
            - Y * math.atan(Y)
        )
    )


def rectangles_at_right_angles(H: float, W: float) -> float:
    """Factor from a rectangle W wide to an upright one H high, both in units of their common edge, C-14 [1]."""
    H2, W2 = H**2, W**2
    slant = math.sqrt(H2 + W2)
    log = (
        math.log((1 + W2) * (1 + H2) / (1 + W2 + H2))
        + W2 * math.log(W2 * (1 + W2 + H2) / ((1 + W2) * slant**2))
        + H2 * math.log(H2 * (1 + H2 + W2) / ((1 + H2) * slant**2))
    )
    return (W * math.atan(1 / W) + H * math.atan(1 / H) - slant * math.atan(1 / slant) + log / 4) / (
        math.pi * W
    )


def infinite_strips(gap: float) -> float:
    """Factor between two infinite strips right across, a gap apart in units of their width: crossed strings [1]."""
    return math.hypot(1, gap) - gap


def cavity_reflectance(ratio: float, base: float, wall: float) -> float:
    """Effective reflectance of a rectangular cavity 1.6 times as long as wide, of three zones [1].

    Base, walls and opening each have one radiosity. With f the factor from base to opening and
    a = (A_base / A_walls)(1 − f), half of what the walls do not send to each other,

        ρ_eff = [ρ_b ρ_w f (2a − f) + ρ_b f² + ρ_w a (1 − f)] / [1 − ρ_b ρ_w a (1 − f) − ρ_w (1 − 2a)].

    Parameters
    ----------
    ratio : float
        Cavity ratio 5 h (L + W) / (L W). [1]
    base, wall : float
        Reflectances. [1]
    """
    L, W = 1.6, 1.0
    h = ratio * L * W / (5 * (L + W))
    f = opposite_rectangles(L / h, W / h)
    a = L * W / (2 * h * (L + W)) * (1 - f)
    out = base * wall * f * (2 * a - f) + base * f**2 + wall * a * (1 - f)
    return out / (1 - base * wall * a * (1 - f) - wall * (1 - 2 * a))


def rows_between_plates(y: float, *, pitch: float, back: float, face: float) -> float:
    """E/(Φ/A) of infinite rows between two infinite plates that reflect, at y from a row, throw 1 [1].

    The exchange of two plates is a convolution with the transform T₁(kh) = kh K₁(kh), the same as the rows'
    direct light, so each harmonic is multiplied by 1/(1 − ρ_b ρ_f T₁²).
    """
    j = np.arange(harmonics(1.0, pitch) + 1)
    T = transform(1.0, np.asarray(2 * math.pi * j / pitch))
    strengths = np.where(j > 0, 2, 1) * T / (1 - back * face * T**2)
    return float(np.sum(strengths * np.cos(2 * math.pi * j * y / pitch)))


def square_between_plates(x: float, y: float, *, pitch: float, both: float) -> float:
    """E/(Φ/A) of a square lattice between plates whose reflectances multiply to so much, x, y from a module [1]."""
    j = np.arange(harmonics(1.0, pitch) + 1)
    T = transform(1.0, 2 * math.pi / pitch * np.hypot(j[:, None], j))
    twice = np.where(j > 0, 2, 1)
    strengths = twice[:, None] * twice * T / (1 - both * T**2)
    along, across = (np.cos(2 * math.pi * j * one / pitch) for one in (x, y))
    return float(along @ strengths @ across)


def integrating_box(reflectance: float) -> float:
    """Mean illuminance over its direct part on average, where all of a closed inside reflects alike: 1/(1 − ρ) [1]."""
    return 1 / (1 - reflectance)
