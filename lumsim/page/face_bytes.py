"""A lit face as few bytes, enough for a screen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lumsim.lit_face import LitFace
from lumsim.uniformity.face_map import Array

__all__ = ["FaceBytes", "folded_or_coarser", "seen_as_bytes", "size_for"]

Bytes = NDArray[np.uint8]

LEAST_SIDE = 8
"""Dots along each side at least; an even number. [1]"""

MOST_SIDE = 400
"""Dots along each side at most: finer than a page shows. [1]"""

PROFILE = 121
"""Places of a profile. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceBytes:
    """What one sees of a face, dot by dot, as steps between its darkest dot and its brightest."""

    dots: Bytes
    """(ny, nx) from 0, the darkest, to 255, each the luminance in a dot's middle, as seen from in front"""
    darkest: float
    """dot [cd/m²]"""
    brightest: float
    """dot [cd/m²]"""
    profile: NDArray[np.uint16]
    """(PROFILE,) across the rows, from edge to edge: the mean along them, 65535 the face's brightest point"""


def size_for(width: float, height: float, dots: float) -> tuple[int, int]:
    """How many dots a face takes along each side: even numbers, in its proportions as far as both sides allow.

    Parameters
    ----------
    width, height : float
        Of the visible face. [m]
    dots : float
        In all, about. [1]

    Returns
    -------
    nx, ny : int
        From ``LEAST_SIDE`` to ``MOST_SIDE``. [1]
    """
    along = math.sqrt(dots * width / height)
    nx, ny = (2 * round(min(max(side, LEAST_SIDE), MOST_SIDE) / 2) for side in (along, dots / along))
    return nx, ny


def seen_as_bytes(lit: LitFace, profile: Array, size: tuple[int, int]) -> FaceBytes:
    """A lit face as bytes.

    Parameters
    ----------
    lit : LitFace
    profile : (n,) array
        Of it across the rows, evenly spaced from edge to edge: the mean along them. [cd/m²]
    size : (nx, ny)
        How many dots along each side.
    """
    left, right, low, high = lit.luminance.bounds
    x, y = (
        start + (end - start) * (np.arange(count) + 0.5) / count
        for start, end, count in ((left, right, size[0]), (low, high, size[1]))
    )
    values = lit.luminance.at(*np.meshgrid(x, y))
    darkest, brightest = float(values.min()), float(values.max())
    steps = (values - darkest) / max(brightest - darkest, 1e-12 * brightest) * 255
    places = np.linspace(0, 1, PROFILE)
    shares = np.interp(places, np.linspace(0, 1, len(profile)), profile) / lit.evenness.brightest.value
    return FaceBytes(
        dots=np.rint(steps).astype(np.uint8),
        darkest=darkest,
        brightest=brightest,
        profile=np.rint(np.clip(shares, 0, 1) * 65535).astype(np.uint16),
    )


def folded_or_coarser(faces: Sequence[Bytes]) -> tuple[list[Bytes], bool]:
    """The same faces in a quarter of the bytes: one quarter of each where all are mirror images, else half as fine.

    Parameters
    ----------
    faces : sequence of (ny, nx) array
        Of even sizes, all alike.

    Returns
    -------
    faces : list of (ny / 2, nx / 2) array
    folded : bool
        Whether they are the lower left quarters, the rest of each its mirror image; else each dot stands for four.
    """
    ny, nx = faces[0].shape
    if all(_mirrored(one) for one in faces):
        return [np.ascontiguousarray(one[: ny // 2, : nx // 2]) for one in faces], True
    fours = [one.reshape(ny // 2, 2, nx // 2, 2).mean(axis=(1, 3)) for one in faces]
    return [np.rint(one).astype(np.uint8) for one in fours], False


def _mirrored(face: Bytes) -> bool:
    """Whether a face is its own mirror image, both ways, to a step."""
    signed = face.astype(np.int16)
    return all(int(np.abs(signed - np.flip(signed, axis)).max()) <= 1 for axis in (0, 1))
