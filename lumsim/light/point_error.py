"""How far off a module is when it is told as a point: the error of its light on the face, by its size and the throw."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.sources import Half
from lumsim.light.quadrature import legendre

__all__ = ["FIVE_TIMES", "error_as_point"]

Array = NDArray[np.float64]

FIVE_TIMES = 5.0
"""Throw over longest side from which a module is fit to be a point: the five-times rule. [1]"""

NODES, AROUND = 8, 12
"""Of an opening: along each side, or from its middle to its rim; and around it. [1]"""

REACH, PLACES, CLOSER = 30.0, 41, 6.0
"""How far about the foot the face is looked at, in throws and openings, since beams along the face are brightest far
away; in how many places along x and along y; and how much closer they are at the foot: sinh of this over this. [1]"""


def error_as_point(
    half: Half, frame: Array, opening: tuple[float, float], throw: float, *, round_opening: bool
) -> float:
    """By what share the light of a point misses that of the opening that it stands for, on the face.

    Each piece of the opening shines as the point does: with the same beam, the same way. The light of either is
    computed about the foot of the perpendicular, and the largest difference told of the opening's highest light. Of a
    Lambertian opening that is right before it, where an even disc of diameter D has D²/4h² less than its point.

    Parameters
    ----------
    half : Half
        The beam.
    frame : (3, 3)
        Unit vectors of the beam's 0 degree direction, along which the opening's length lies, its 90 degree direction
        and its axis, in components along x, along y and from source to face.
    opening : (length, width)
        Sides, or axes where it is round; 0 or more. [m]
    throw : float
        Above 0, from the opening's middle to the face. [m]
    round_opening : bool
        Whether it is a disc or an ellipse.

    Returns
    -------
    float
        0 where nothing of it lights the face there. [1]

    References
    ----------
    .. [1] Illuminating Engineering Society, definition "inverse-square law", 9.1.1: the five-times rule.
    """
    pieces = list(zip(*_pieces(opening, round_opening=round_opening), strict=True))
    middle, difference, highest = (0.0, 0.0), 0.0, 0.0
    steps = np.sinh(CLOSER * np.linspace(-1.0, 1.0, PLACES)) / math.sinh(CLOSER)
    # Everywhere first, closest at the foot; then twice about the largest difference, closest there.
    for reach in (REACH, REACH / 10, REACH / 100):
        along = steps * reach * (throw + max(opening) / 2)
        x, y = (one.ravel() for one in np.meshgrid(middle[0] + along, middle[1] + along))
        exact = np.zeros_like(x)
        for a, b, weight in pieces:
            exact += weight * _light(half, frame, x, y, a * frame[0] + b * frame[1], throw)
        off = np.abs(_light(half, frame, x, y, np.zeros(3), throw) - exact)
        worst = int(np.argmax(off))
        difference, highest = max(difference, float(off[worst])), max(highest, float(exact.max()))
        middle = (float(x[worst]), float(y[worst]))
    return difference / highest if highest > 0 else 0.0


def _light(half: Half, frame: Array, x: Array, y: Array, place: Array, throw: float) -> Array:
    """E h²/Φ, but for a factor, from a point at a place beside the module's middle."""
    d = np.stack([x - place[0], y - place[1], np.full(x.shape, throw - place[2])], axis=-1)
    r = np.linalg.norm(d, axis=-1)
    u, v, w = (d @ axis for axis in frame)
    theta = np.arctan2(np.hypot(u, v), np.maximum(w, 0.0))
    intensity = half.intensity(theta, np.arctan2(v, u))
    # A tilted opening may reach behind the face: that part lights nothing.
    return np.where((w > 0) & (d[:, 2] > 0), intensity * d[:, 2] / r**3, 0.0)


def _pieces(opening: tuple[float, float], *, round_opening: bool) -> tuple[Array, Array, Array]:
    """Places over an opening, along its length and its width, and their shares of it."""
    nodes, weights = legendre(NODES)
    length, width = opening
    if round_opening:
        # Even in area: half the square of the radius.
        radius = np.repeat(np.sqrt((nodes + 1) / 2), AROUND) / 2
        phi = np.tile((np.arange(AROUND) + 0.5) * (2 * math.pi / AROUND), NODES)
        return (
            length * radius * np.cos(phi),
            width * radius * np.sin(phi),
            np.repeat(weights / 2, AROUND) / AROUND,
        )
    a, b = np.meshgrid(length / 2 * nodes, width / 2 * nodes)
    return a.ravel(), b.ravel(), np.outer(weights / 2, weights / 2).ravel()
