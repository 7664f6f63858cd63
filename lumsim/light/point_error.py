"""How far off a module is when it is told as a point: the error right before it, by its size and the throw."""

from __future__ import annotations

import math

import numpy as np

from lumsim.light.gathering import corner_parallel

__all__ = ["FIVE_TIMES", "error_as_point"]

FIVE_TIMES = 5.0
"""Throw over longest side from which a module is fit to be a point: the five-times rule. [1]"""


def error_as_point(opening: tuple[float, float], throw: float, *, round_opening: bool) -> float:
    """By what share a point is brighter on its axis than the even, Lambertian opening that it stands for.

    Of an ellipse with half axes a and b at a distance h the exact light on the axis is the point's over
    √((1 + a²/h²)(1 + b²/h²)), which for a disc is 1 + D²/4h². A rectangle is four corner factors. Of a line, whose
    factor is none, the limit is taken.

    Parameters
    ----------
    opening : (length, width)
        Sides, or axes where it is round; 0 or more. [m]
    throw : float
        Above 0. [m]
    round_opening : bool
        Whether it is a disc or an ellipse.

    Returns
    -------
    float
        Point over exact, less 1. [1]

    References
    ----------
    .. [1] Illuminating Engineering Society, definition "inverse-square law", 9.1.1: the five-times rule.
    """
    long, short = (max(opening) / (2 * throw), min(opening) / (2 * throw))
    if round_opening:
        return math.sqrt((1 + long**2) * (1 + short**2)) - 1
    if long < SMALL:
        return 0.0
    if short < SMALL:
        return 2 * long / (long / (1 + long**2) + math.atan(long)) - 1
    exact = 4 * float(corner_parallel(np.array([long]), np.array([short]))[0])
    return 4 * long * short / math.pi / exact - 1


SMALL = 1e-7
"""Half a side over the throw from which it is taken as none; squared it is lost in a float. [1]"""
