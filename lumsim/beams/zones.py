"""Where a beam's flux goes: the share within an angle of its axis, to some 1e-9, and that about each direction."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Array, Beam
from lumsim.beams.tables import Table, UniformPlane, zone_integrals
from lumsim.beams.webs import Web
from lumsim.errors import InputError

__all__ = ["light_by_direction", "share_within"]

STEPS_POLAR, STEPS_AROUND = 180, 360
"""Directions over each half of the sphere: steps in the cosine of the angle from the axis, and around it. [1]"""

NODES, WEIGHTS = (tuple(float(one) for one in part) for part in np.polynomial.legendre.leggauss(12))
"""Gauss's quadrature of twelve points, from -1 to 1. [1]"""


def share_within(beam: Beam, theta: Array) -> Array:
    """Share of a beam's flux within angles from its axis.

    Parameters
    ----------
    beam : Beam
        A sum of cosine powers, a table, a uniform-plane beam or a web.
    theta : (n,)
        From 0 to π. [rad]

    Returns
    -------
    (n,)
        From 0 to 1. [1]

    Raises
    ------
    InputError
        For any other kind of beam.
    """
    theta = np.asarray(theta, dtype=float)
    if beam.terms:
        cosine = np.clip(np.cos(theta), 0, None)
        return np.asarray(sum(share * (1 - cosine ** (m + 1)) for share, m in beam.terms))
    if isinstance(beam, UniformPlane):
        within = np.minimum(theta, beam.cut_off)
        return np.asarray((np.tan(within) / math.tan(beam.cut_off)) ** 2)
    if isinstance(beam, Table):
        angles, values = np.array(beam.angles), np.array(beam.values)
        return np.asarray(2 * math.pi * _zonal(angles, values[None, :], theta)[0] / beam.flux)
    if isinstance(beam, Web):
        if beam.photometric_type == "C":
            planes = _zonal(beam.vertical, beam.values, theta)
            return np.asarray(np.trapezoid(planes, beam.horizontal, axis=0) / beam.flux)
        return np.array([_beside_polar_axis(beam, float(one)) for one in theta]) / beam.flux
    raise InputError(f"the flux of a {type(beam).__name__} within an angle is not known")


def light_by_direction(beam: Beam) -> tuple[Array, Array]:
    """Directions all over the sphere and the share of a beam's flux about each; sums are good to 1 % of its flux.

    Parameters
    ----------
    beam : Beam

    Returns
    -------
    directions : (3, n)
        In components along the beam's 0 degree direction, its 90 degree direction and its axis. [1]
    shares : (n,)
        Adding up to 1. [1]
    """
    cosines = (np.arange(2 * STEPS_POLAR) + 0.5) / STEPS_POLAR - 1
    theta = np.repeat(np.arccos(cosines), STEPS_AROUND)
    phi = np.asarray(
        np.tile((np.arange(STEPS_AROUND) + 0.5) * (2 * math.pi / STEPS_AROUND), len(cosines)),
        dtype=np.float64,
    )
    intensity = beam.intensity(theta, phi)
    beside = np.sin(theta)
    return np.stack([beside * np.cos(phi), beside * np.sin(phi), np.cos(theta)]), intensity / intensity.sum()


def _zonal(angles: Array, values: Array, theta: Array) -> Array:
    """∫ I sin θ dθ from 0 to each angle, (planes, n), for intensities (planes, v) linear between angles. [cd]"""
    ends = np.clip(theta, angles[0], angles[-1])
    fine = np.union1d(angles, ends)
    at = np.stack([np.interp(fine, angles, plane) for plane in values])
    running = np.zeros_like(at)
    np.cumsum(zone_integrals(fine, at), axis=-1, out=running[:, 1:])
    return running[:, np.searchsorted(fine, ends)]


def _beside_polar_axis(beam: Web, theta: float) -> float:
    """Flux within an angle of the axis of a web of type A or B, in lumens.

    With p within a plane and q from plane to plane dω = cos p dp dq, and a direction is cos p cos q = cos θ off the
    axis. Along p the integral is exact, along q by quadrature between all places where it has a kink.
    """
    if beam.photometric_type == "A":
        p, q, values = beam.vertical, beam.horizontal, beam.values
    else:
        p, q, values = beam.horizontal, beam.vertical, beam.values.T
    if theta >= math.pi / 2:
        return beam.flux
    low, high = max(-theta, float(q[0])), min(theta, float(q[-1]))
    if not low < high:
        return 0.0
    met = np.arccos(np.minimum(math.cos(theta) / np.cos(p[np.abs(p) < theta]), 1))
    kinks = np.concatenate([q, met, -met, [low, high]])
    kinks = np.unique(kinks[(kinks >= low) & (kinks <= high)])
    # Towards either end of a piece the limits in p may go like a square root, which this makes smooth.
    s, w = (np.array(NODES) + 1) / 2, np.array(WEIGHTS) / 2
    step = np.diff(kinks)[:, None]
    at = (kinks[:-1, None] + step * s**2 * (3 - 2 * s)).ravel()
    weight = (step * w * 6 * s * (1 - s)).ravel()
    end = np.arccos(np.minimum(math.cos(theta) / np.cos(at), 1))

    slopes = np.diff(values, axis=-1) / np.diff(p)
    running = np.zeros_like(values)
    np.cumsum(zone_integrals(p + math.pi / 2, values), axis=-1, out=running[:, 1:])

    def up_to(limit: Array, plane: NDArray[np.intp]) -> Array:
        """∫ I cos p dp in a plane from the first p to a limit."""
        t = np.clip(limit, p[0], p[-1])
        i = np.clip(np.searchsorted(p, t, side="right") - 1, 0, len(p) - 2)
        value, slope = values[plane, i], slopes[plane, i]
        reached = value + slope * (t - p[i])
        return np.asarray(
            running[plane, i]
            + reached * np.sin(t)
            - value * np.sin(p[i])
            + slope * (np.cos(t) - np.cos(p[i]))
        )

    j = np.clip(np.searchsorted(q, at, side="right") - 1, 0, len(q) - 2)
    share = (at - q[j]) / (q[j + 1] - q[j])
    first, second = (up_to(end, plane) - up_to(-end, plane) for plane in (j, j + 1))
    return float(weight @ (first * (1 - share) + second * share))
