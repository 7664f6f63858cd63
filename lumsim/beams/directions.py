"""Directions of the three photometric types of ANSI/IES LM-63, and the flux of intensities given in them.

Type C: planes about the vertical axis; vertical angle 0 straight down, 180 straight up.
Type B: planes about a horizontal axis; the vertical angle says which plane, the horizontal one where in it.
Type A: planes about the vertical axis; the horizontal angle says which plane, the vertical one where in it.

References
----------
.. [1] ANSI/IESNA LM-63-02, definitions: in types A and C the planes share a vertical axis, in type B a horizontal
   one; straight down is vertical angle 0 for types B and C and -90 for type A.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "Array",
    "PhotometricType",
    "flux",
    "horizontal_fault",
    "missing_repeat",
    "symmetry",
    "vertical_fault",
]

Array = NDArray[np.float64]
PhotometricType = Literal["C", "B", "A"]

SYMMETRY_OF_C = {
    (0.0, 0.0): "axially symmetric",
    (0.0, 90.0): "quadrants alike",
    (0.0, 180.0): "mirrored about the plane 0-180 deg",
    (90.0, 270.0): "mirrored about the plane 90-270 deg",
    (0.0, 360.0): "none",
}
"""What the first and the last horizontal angle of type C tell; 90 to 270 was let in up to 1995."""

EVEN_STEPS = 0.01
"""How far steps may be from their mean to be called equal, for 360/7 is written 51.43. [1]"""


def symmetry(kind: PhotometricType, horizontal: Array) -> str:
    """What light is alike, in words, by the horizontal angles.

    Parameters
    ----------
    kind : {"C", "B", "A"}
        The photometric type.
    horizontal : (h,) float64
        Such as `horizontal_fault` finds nothing wrong with. [deg]
    """
    if kind == "C":
        return SYMMETRY_OF_C[float(horizontal[0]), float(horizontal[-1])]
    return "mirrored left and right" if horizontal[0] == 0 else "none"


def vertical_fault(kind: PhotometricType, vertical: Array) -> tuple[int, str] | None:
    """Which vertical angle cannot be, and why; None where all is well.

    Parameters
    ----------
    kind : {"C", "B", "A"}
        The photometric type.
    vertical : (v,) float64
        [deg]
    """
    first, last = vertical[0], vertical[-1]
    firsts, lasts = ((0, 90), (90, 180)) if kind == "C" else ((-90, 0), (90,))
    if first not in firsts:
        return 0, f"must start at {_either(firsts)} deg in type {kind}, got {first:g}"
    if len(vertical) < 2:
        return 0, f"must be two or more, got {first:g} deg alone"
    return _not_rising(vertical) or (
        None
        if last in lasts
        else (len(vertical) - 1, f"must end at {_either(lasts)} deg in type {kind}, got {last:g}")
    )


def horizontal_fault(kind: PhotometricType, horizontal: Array) -> tuple[int, str] | None:
    """Which horizontal angle cannot be, and why; None where all is well.

    Parameters
    ----------
    kind : {"C", "B", "A"}
        The photometric type.
    horizontal : (h,) float64
        [deg]
    """
    first, last = float(horizontal[0]), float(horizontal[-1])
    firsts = (0, 90) if kind == "C" else (-90, 0)
    if first not in firsts:
        return 0, f"must start at {_either(firsts)} deg in type {kind}, got {first:g}"
    rising = _not_rising(horizontal)
    if rising is not None:
        return rising
    if kind != "C":
        lasts: tuple[int, ...] = (90,)
    else:
        lasts = (0, 90, 180, 360) if first == 0 else (270,)
    if last in lasts:
        return None
    if kind == "C" and first == 0 and 180 < last < 360:
        return len(horizontal) - 1, (
            f"end at {last:g} deg in type C, so the light from {last:g} to 360 deg is missing: they must go on to 360 "
            "deg, which is 0 again and can be left out only where all steps are equal"
        )
    return len(
        horizontal
    ) - 1, f"from {first:g} deg on must end at {_either(lasts)} deg in type {kind}, got {last:g}"


def missing_repeat(horizontal: Array) -> bool:
    """Whether angles of type C go all the way round in equal steps, and 360 deg, which is 0 again, is left out."""
    if len(horizontal) < 3 or horizontal[0] != 0 or not 180 < horizontal[-1] < 360:
        return False
    steps = np.diff(horizontal, append=360.0)
    return bool(np.all(np.abs(steps - steps.mean()) <= EVEN_STEPS * steps.mean()))


def flux(kind: PhotometricType, vertical: Array, horizontal: Array, candela: Array) -> float:
    """Flux of intensities over the directions that they are given for, and their mirror images.

    Intensity runs linearly in either angle between those given (in type C along the vertical angle in each plane,
    by trapezoids from plane to plane), and that is integrated exactly over the solid angle: sin θ dθ dφ in type C,
    the cosine of the angle within the plane in types A and B.

    Parameters
    ----------
    kind : {"C", "B", "A"}
        The photometric type.
    vertical : (v,) float64
        Rising. [deg]
    horizontal : (h,) float64
        Rising. [deg]
    candela : (h, v) float64
        [cd]

    Returns
    -------
    float
        [lm]
    """
    theta, phi = np.radians(vertical), np.radians(horizontal)
    if kind == "C":
        planes = candela @ _by_sine(theta)
        mean = planes[0] if len(phi) == 1 else planes @ _by_trapezoids(phi) / (phi[-1] - phi[0])
        return float(2 * math.pi * mean)
    mirrored = (2 if horizontal[0] == 0 else 1) * (2 if vertical[0] == 0 else 1)
    if kind == "A":
        return float(mirrored * (_by_trapezoids(phi) @ candela @ _by_sine(theta + math.pi / 2)))
    return float(mirrored * (_by_sine(phi + math.pi / 2) @ candela @ _by_trapezoids(theta)))


def _by_sine(angles: Array) -> Array:
    """Weights that integrate what is linear between angles, in radians, times the sine.

    ∫ (b − t)/(b − a) sin t dt = cos a − (sin b − sin a)/(b − a), written so that near angles cancel nothing.
    """
    a, b = angles[:-1], angles[1:]
    mid, half = (a + b) / 2, (b - a) / 2
    short = np.cos(mid) * (1 - np.sinc(half / math.pi))
    weights = np.zeros_like(angles)
    weights[:-1] += 2 * np.sin((a + mid) / 2) * np.sin(half / 2) + short
    weights[1:] += 2 * np.sin((b + mid) / 2) * np.sin(half / 2) - short
    return weights


def _by_trapezoids(angles: Array) -> Array:
    weights = np.zeros_like(angles)
    steps = np.diff(angles) / 2
    weights[:-1] += steps
    weights[1:] += steps
    return weights


def _not_rising(angles: Array) -> tuple[int, str] | None:
    falls = np.flatnonzero(~(np.diff(angles) > 0))
    if not len(falls):
        return None
    k = int(falls[0]) + 1
    return k, f"must rise, got {angles[k]:g} deg after {angles[k - 1]:g}"


def _either(angles: tuple[int, ...]) -> str:
    *rest, last = (str(one) for one in angles)
    return f"{', '.join(rest)} or {last}" if rest else last
