"""What kernels look up of a beam: tables of one half space of it, made once and kept."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid

from lumsim.cabinet.sources import Half
from lumsim.kernels.shaped_sources import aimed, aimed_table, upright_table
from lumsim.light.surfaces import Array

__all__ = ["Potential", "aimed_table_of", "jumps", "kink", "potential_of", "upright_table_of"]

MERIDIANS = 720
"""Around the axis, for a beam that is not alike all round. [1]"""

AXIAL_CELLS, WEB_CELLS, HORIZON_CELLS = 4096, 512, 23_040
"""Of the tables. [1]"""


AIMED_CELLS, PROBES = (512, 1024), 20_000
"""Along each side of the table of an aimed beam, the first that is fine enough; directions that tell whether. [1]"""

STEP, HALVINGS = 0.02, 30
"""Share of the peak that is a step within a zone, and how often the zone is halved to find where. [1]"""

FINE_STEP, JUMP = 0.05, 0.005
"""Degrees from the axis over which a beam jumps if it changes by more than this share of its peak."""

JUMP_AROUND = 0.02
"""Share of the peak by which a beam jumps if it changes so much over one degree around its axis. [1]"""

KINK_STEP = 0.25
"""Angle within which a change of slope is a kink. [deg]"""

OF_PEAK = 2e-4
"""By how much an intensity that is looked up may miss the beam's, of its peak. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Potential:
    """Tables by which flux through cells is computed, see ``kernels.cell_flux``; all for one lumen."""

    axial: Array
    """H by tan(θ/2) [1/sr]"""
    web: Array
    """H by q and p; (0, 0) for a beam alike all round [1/sr]"""
    horizon: Array
    """∫ G dφ by φ [1]"""


@lru_cache(maxsize=64)
def potential_of(half: Half) -> Potential:
    """The tables of one half of a beam."""
    t = np.linspace(0.0, 1.0, AXIAL_CELLS + 1)
    if half.beam.axial:
        theta, mean = _mean_within(half, np.zeros(1), steps_per_degree=64)
        at = 2 * np.arctan(t)
        return Potential(
            axial=np.interp(at, theta, mean[0]) / (1 + np.cos(at)) / (2 * math.pi * mean[0, -1]),
            web=np.zeros((0, 0)),
            horizon=np.array([0.0, 1.0]),
        )
    phi = np.linspace(0.0, 2 * math.pi, MERIDIANS + 1)
    theta, mean = _mean_within(half, phi, steps_per_degree=16)
    around = np.linspace(0.0, 2 * math.pi, HORIZON_CELLS + 1)
    on_horizon = cumulative_trapezoid(np.interp(around, phi, mean[:, -1]), around, initial=0)
    p, q = np.meshgrid(*(2 * [np.linspace(-1.0, 1.0, WEB_CELLS + 1)]))
    at = 2 * np.arctan(np.hypot(p, q))
    azimuth = np.arctan2(q, p) % (2 * math.pi)
    within = _bilinear(mean, azimuth / phi[1], np.minimum(at, theta[-1]) / theta[1])
    # Cells that the rim of the disc cuts need all their corners: beyond it G is what it is on the rim.
    beyond = np.where(at > theta[-1], 1 / (1 - np.cos(np.maximum(at, 1.0))), 1.0)
    H = within * beyond / (1 + np.cos(at))
    return Potential(
        axial=np.zeros(2),
        web=H / on_horizon[-1],
        horizon=on_horizon / on_horizon[-1],
    )


@lru_cache(maxsize=64)
def jumps(half: Half, *, to_horizon: bool) -> bool:
    """Whether a beam jumps anywhere by more than ``JUMP`` of its peak.

    Parameters
    ----------
    half : Half
    to_horizon : bool
        Whether it counts too where it ends at its horizon: on a plane that it shines at aslant, its light jumps there.
    """
    _, intensity = _all_round(half, FINE_STEP)
    outwards = float(np.max(np.abs(np.diff(intensity, axis=1))))
    if to_horizon:
        outwards = max(outwards, float(intensity[:, -1].max()))
    around = float(np.max(np.abs(np.diff(intensity, axis=0)), initial=0.0))
    peak = float(intensity.max())
    return outwards > JUMP * peak or around > JUMP_AROUND * peak


@lru_cache(maxsize=64)
def kink(half: Half) -> float:
    """The largest change of slope of a beam within ``KINK_STEP``, of its peak for a radian. [1/rad]

    Small for what is smooth; what straight lines between measured angles make of them else.
    """
    theta, intensity = _all_round(half, KINK_STEP)
    outwards = np.abs(np.diff(intensity, n=2, axis=1)) / theta[1]
    around = np.abs(np.diff(intensity, n=2, axis=0)) / math.radians(1) / np.maximum(np.sin(theta), 0.2)
    return float(max(outwards.max(), np.max(around, initial=0.0)) / intensity.max())


def _all_round(half: Half, degrees: float) -> tuple[Array, Array]:
    """Angles from the axis, so far apart, and intensities at each, a degree apart around it where that matters."""
    theta = np.radians(np.arange(0, 90 + degrees / 2, degrees))
    phi = np.zeros(1) if half.beam.axial else np.radians(np.arange(0, 361.0))
    return theta, half.intensity(theta, phi[:, None])


@lru_cache(maxsize=64)
def upright_table_of(half: Half) -> NDArray[np.uint64]:
    """What ``kernels.shaped_sources.upright`` looks up of a beam alike all round."""
    return upright_table(lambda theta: half.intensity(theta, np.zeros(1)))


@lru_cache(maxsize=64)
def aimed_table_of(half: Half) -> NDArray[np.uint64]:
    """What ``kernels.shaped_sources.aimed`` looks up of any beam.

    As fine as it takes to miss no intensity by more than ``OF_PEAK``, or as a nearby cache allows.
    """
    draw = np.random.default_rng(1)
    theta, phi = np.arccos(draw.uniform(0, 1, PROBES)), draw.uniform(0, 2 * math.pi, PROBES)
    intensity = half.intensity(theta, phi)
    x, y = np.tan(theta) * np.cos(phi), np.tan(theta) * np.sin(phi)
    one = np.ones(1)
    for cells in AIMED_CELLS:
        table = aimed_table(half.intensity, cells)
        E = aimed(x, y, 0 * one, 0 * one, one, np.eye(3).reshape(1, 9), one, table)
        if np.max(np.abs(E / np.cos(theta) ** 3 - intensity)) < OF_PEAK * intensity.max():
            break
    return table


def _mean_within(half: Half, phi: Array, *, steps_per_degree: int) -> tuple[Array, Array]:
    """Angles from the axis, and G / (1 − cos θ) at each: the mean intensity within them along each meridian.

    It is smooth where G itself vanishes, on the axis; and H = G / sin²θ is this over 1 + cos θ.
    """
    theta = np.linspace(0.0, math.pi / 2, 90 * steps_per_degree + 1)
    middle, zones = (theta[1:] + theta[:-1]) / 2, -np.diff(np.cos(theta))
    G = np.cumsum(half.intensity(middle, phi[:, None]) * zones + _in_steps(half, theta, phi), axis=1)
    on_axis = half.intensity(np.zeros(1), phi[:, None])
    return theta, np.concatenate([on_axis, G / (1 - np.cos(theta[1:]))], axis=1)


def _in_steps(half: Half, theta: Array, phi: Array) -> Array:
    """What zones in which a beam jumps hold more than their middles tell, along each meridian; (meridians, zones).

    The step is closed in on by halves; the zone is split there.
    """
    ends = half.intensity(theta, phi[:, None])
    more = np.zeros((len(phi), len(theta) - 1))
    meridian, zone = np.nonzero(np.abs(np.diff(ends, axis=1)) > STEP * ends.max())
    at, start, end = phi[meridian], ends[meridian, zone], ends[meridian, zone + 1]
    low, high = theta[zone], theta[zone + 1]
    middle = half.intensity((low + high) / 2, at)
    for _ in range(HALVINGS):
        halfway = (low + high) / 2
        before = np.abs(half.intensity(halfway, at) - end) > np.abs(end - start) / 2
        low, high = np.where(before, halfway, low), np.where(before, high, halfway)
    cos_start, cos_step, cos_end = np.cos(theta[zone]), np.cos(low), np.cos(theta[zone + 1])
    more[meridian, zone] = (start - middle) * (cos_start - cos_step) + (end - middle) * (cos_step - cos_end)
    return more


def _bilinear(table: Array, row: Array, column: Array) -> Array:
    i = np.clip(row.astype(np.intp), 0, table.shape[0] - 2)
    j = np.clip(column.astype(np.intp), 0, table.shape[1] - 2)
    f, g = row - i, column - j
    low = table[i, j] * (1 - g) + table[i, j + 1] * g
    high = table[i + 1, j] * (1 - g) + table[i + 1, j + 1] * g
    return np.asarray(low * (1 - f) + high * f)
