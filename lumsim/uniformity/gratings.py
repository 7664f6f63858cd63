"""Rows and modules as gratings on a face: the modulation of the first harmonic, which is what they are seen by.

Across the rows the face's profile is its mean along them. Divided by its own running mean over exactly one pitch, as
the number for stripes divides the map by the mean of a square, it keeps the ripple and loses what is wider: dark edges
and a light middle. What is left is shorter by a pitch; over as many whole pitches as it holds, centred, the amplitude
of the Fourier component at the pitch, by the mean, is the modulation. For rows without end it is the first harmonic of
their Poisson sum, 2 T(2πh/p), exactly.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from scipy.interpolate import make_interp_spline

from lumsim.errors import InputError
from lumsim.uniformity.face_map import DEGREE, FaceMap
from lumsim.uniformity.windows import panels

__all__ = ["Axis", "modulation_along", "whole_periods"]

Axis = Literal["x", "y"]
"""Along which a grating repeats: across its stripes."""

ROUNDING = 1e-9
"""Of a period by which a whole one may fall short. [1]"""


def whole_periods(face: FaceMap, axis: Axis, pitch: float) -> int:
    """How many whole periods a grating's modulation is taken over. [1]

    Parameters
    ----------
    face : FaceMap
    axis : {"x", "y"}
        Along which it repeats.
    pitch : float
        More than 0. [m]
    """
    return max(0, math.floor(_extent(face, axis) / pitch - 1 + ROUNDING))


def _extent(face: FaceMap, axis: Axis) -> float:
    x0, x1, y0, y1 = face.bounds
    return x1 - x0 if axis == "x" else y1 - y0


def modulation_along(face: FaceMap, axis: Axis, pitch: float) -> float:
    """Michelson modulation of the first harmonic of a grating on a face, 0 or more. [1]

    Parameters
    ----------
    face : FaceMap
    axis : {"x", "y"}
        Along which it repeats.
    pitch : float
        More than 0. [m]

    Raises
    ------
    InputError
        Where the face is less than two pitches long, so that no whole period is left.
    """
    periods = whole_periods(face, axis, pitch)
    if periods < 1:
        raise InputError(
            f"2 pitches of {pitch:g} m are needed along {axis}, the face has {_extent(face, axis):g} m"
        )
    along, across, values = (face.x, face.y, face.values) if axis == "x" else (face.y, face.x, face.values.T)
    # Taken from one sample's level, so that a perfectly flat face has no rounding ripple.
    level = float(values[0, 0])
    sums = make_interp_spline(across, values - level, k=DEGREE, axis=0).antiderivative()
    profile = make_interp_spline(along, sums(across[-1]) / (across[-1] - across[0]), k=DEGREE)
    integral = profile.antiderivative()

    middle = (along[0] + along[-1]) / 2
    half = periods * pitch / 2
    at, weights = panels(middle - half, middle + half, min(2 * face.detail, pitch / 2))
    # Where whole periods and the running mean just fill the face, its ends may be missed by rounding.
    low, high = np.maximum(at - pitch / 2, along[0]), np.minimum(at + pitch / 2, along[-1])
    mean = (integral(high) - integral(low)) / pitch
    ripple = (profile(at) - mean) / (level + mean)
    component = weights @ (ripple * np.exp(-2j * np.pi / pitch * (at - middle)))
    return float(2 * abs(component) / (1 + weights @ ripple))
