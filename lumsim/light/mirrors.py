"""A box is its own mirror image in x and in y: light inside it falls apart into four parts that never mix.

Any light on the surfaces is the sum of four, each even or odd under the two mirrors, and exchange takes each to
itself. A quarter of the box tells all of one part, so each is a problem of a quarter of the size; and where
modules and reflectances are mirror images too, as in most signs, only the first part is there at all.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from lumsim.light.surfaces import Array, Surfaces

__all__ = ["PARITIES", "Parity", "Quarter", "fold", "mirrored", "unfold"]


class Parity(NamedTuple):
    """What the two mirrors do to a part: nothing, +1, or turn its sign, −1."""

    x: int
    """under the mirror at half the width"""
    y: int
    """under the mirror at half the height"""


PARITIES = (Parity(1, 1), Parity(1, -1), Parity(-1, 1), Parity(-1, -1))


class Quarter(NamedTuple):
    """The upper right quarter of each surface, counted from the middle outwards."""

    back: Array
    """[y, x]"""
    face: Array
    """[y, x]"""
    top: Array
    """[z, x]"""
    right: Array
    """[z, y]"""

    def each(self, function: Callable[..., Array], *others: Quarter) -> Quarter:
        """Apply a function to each surface and its fellows in others."""
        return Quarter(*(function(*arrays) for arrays in zip(self, *others, strict=True)))


def mirrored(illuminance: Surfaces, reflectance: Surfaces) -> tuple[bool, bool]:
    """Whether all surfaces are their own image, light and reflectance, in the mirror across x, across y.

    Parameters
    ----------
    illuminance : Surfaces
        Compared to the last digit, as the balance of light in mirror image is. [lx]
    reflectance : Surfaces
        One each. [1]
    """
    E, rho = illuminance, reflectance
    return (
        bool(rho.left == rho.right)
        and np.array_equal(E.left, E.right)
        and np.array_equal(E.back, E.back[:, ::-1])
        and np.array_equal(E.face, E.face[:, ::-1]),
        bool(rho.bottom == rho.top)
        and np.array_equal(E.bottom, E.top)
        and np.array_equal(E.back, E.back[::-1])
        and np.array_equal(E.face, E.face[::-1]),
    )


def fold(values: Surfaces, parity: Parity) -> Quarter:
    """The part of one parity.

    Parameters
    ----------
    values : Surfaces
        Even numbers of patches along width and height.
    parity : Parity
    """

    def halved(array: Array, sign: int) -> Array:
        n = array.shape[-1] // 2
        return (array[..., n:] + sign * array[..., n - 1 :: -1]) / 2 if n else array

    def plane(array: Array) -> Array:
        return halved(halved(array, parity.x).T, parity.y).T

    return Quarter(
        back=plane(values.back),
        face=plane(values.face),
        top=halved((values.top + parity.y * values.bottom) / 2, parity.x),
        right=halved((values.right + parity.x * values.left) / 2, parity.y),
    )


def unfold(parts: dict[Parity, Quarter]) -> Surfaces:
    """The sum of parts, each on the whole of the surfaces.

    Parameters
    ----------
    parts : dict
        At least one.
    """

    def doubled(array: Array, sign: int) -> Array:
        return np.concatenate([sign * array[..., ::-1], array], axis=-1)

    wholes = []
    for parity, part in parts.items():
        top, right = doubled(part.top, parity.x), doubled(part.right, parity.y)
        back, face = (doubled(doubled(plane, parity.x).T, parity.y).T for plane in (part.back, part.face))
        wholes.append(Surfaces(back, face, parity.y * top, top, parity.x * right, right))
    total = wholes[0]
    for one in wholes[1:]:
        total = total.each(np.add, one)
    return total
