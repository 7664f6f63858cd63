"""Face maps whose every number can be told by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lumsim.uniformity.face_map import FaceMap

Array = NDArray[np.float64]
Field = Callable[[Array, Array], Array]


def face_of(
    field: Field, width: float, height: float, *, detail: float, samples_per_detail: float = 4.0
) -> FaceMap:
    """Sample a field over a rectangle from the origin, as finely as a face is sampled. [m]"""
    x, y = (
        np.linspace(0, size, 2 * max(7, math.ceil(size / detail * samples_per_detail / 2)) + 1)
        for size in (width, height)
    )
    return FaceMap(x=x, y=y, values=field(*np.meshgrid(x, y)), at=field, detail=detail)


def flat(level: float) -> FaceMap:
    """Return a face of 1.2 × 0.6 m with the same luminance all over."""
    return face_of(lambda x, y: np.full(np.shape(x), level), 1.2, 0.6, detail=0.1)


def rippled(
    *, pitch: float, amplitude: float, width: float, height: float, shift: float = 0.0, level: float = 100.0
) -> FaceMap:
    """Return a face that ripples along x: level · (1 + a cos 2π(x − shift)/pitch). Its detail is pitch/2π."""
    return face_of(
        lambda x, y: level * (1 + amplitude * np.cos(2 * math.pi * (x - shift) / pitch)) + 0 * y,
        width,
        height,
        detail=pitch / (2 * math.pi),
    )


def bump(x: Array, y: Array, *, at: tuple[float, float], sigma: float) -> Array:
    """Bell curve of height 1."""
    return np.asarray(np.exp(-((x - at[0]) ** 2 + (y - at[1]) ** 2) / (2 * sigma**2)), dtype=np.float64)
