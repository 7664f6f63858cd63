"""Measured beams of any shape: bilinear between the angles at which they were measured."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.beams.beam import Array, Term
from lumsim.beams.tables import sharpness_of, zone_integrals
from lumsim.errors import InputError

__all__ = ["Web"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Web:
    """Intensities on a web of angles, linear in both angles between them, nothing beyond.

    Type C tells a direction by the angle γ from the module's axis and the angle C about it; C = 0 lies along the row,
    and C counts counterclockwise as seen from behind the module, that is clockwise as seen from in front. Types A and
    B tell it by a vertical angle V and a horizontal one H from the axis: about an upright polar axis in type A, about
    one along the row in type B. V counts upwards, H to the right as seen from behind the module, looking the way it
    shines (the senses of ANSI/IES LM-63, from memory).
    """

    photometric_type: Literal["C", "B", "A"]
    vertical: Array
    """(v,) rising: γ from 0 to π at most; V from −π/2 to π/2 at most [rad]"""
    horizontal: Array
    """(h,) rising: C from 0 to 2π, the last the first again; H from −π/2 to π/2 at most [rad]"""
    values: Array
    """(h, v) intensity [cd]"""
    name: str = ""
    """the file that it was read from, for prints"""

    def __post_init__(self) -> None:
        if self.values.shape != (len(self.horizontal), len(self.vertical)):
            raise InputError(
                f"{len(self.horizontal)} by {len(self.vertical)} angles need as many intensities, got "
                f"{self.values.shape}"
            )
        if not (np.all(self.values >= 0) and np.any(self.values > 0) and np.all(np.isfinite(self.values))):
            raise InputError("a beam's intensities must be 0 or more, and not all 0")
        if not self.flux > 0:
            raise InputError("a beam's intensities add up to no light")

    @property
    def terms(self) -> tuple[Term, ...]:
        """None."""
        return ()

    @cached_property
    def axial(self) -> bool:
        """Whether it is alike all round its axis."""
        return self.photometric_type == "C" and bool(np.all(self.values == self.values[0]))

    @cached_property
    def flux(self) -> float:
        """Of the web as measured. [lm]"""
        return self._flux(self.vertical, self.values)

    @cached_property
    def forward_share(self) -> float:
        """Share of its flux within 90 degrees of the axis. [1]"""
        if self.photometric_type != "C" or self.vertical[-1] <= math.pi / 2:
            return 1.0
        ahead = np.union1d(self.vertical[self.vertical < math.pi / 2], math.pi / 2)
        values = np.stack([np.interp(ahead, self.vertical, plane, left=0.0) for plane in self.values])
        return self._flux(ahead, values) / self.flux

    @cached_property
    def sharpness(self) -> float:
        """See ``tables.sharpness_of``. [1]"""
        theta = np.linspace(0, math.pi / 2, 181)
        phi = np.linspace(0, 2 * math.pi, 73)
        return sharpness_of(theta, self.intensity(theta, phi[:, None]))

    def intensity(self, theta: Array, phi: Array) -> Array:
        """Intensity in a direction, for one lumen, in cd/lm; arrays that broadcast. [rad]"""
        theta, phi = np.broadcast_arrays(np.asarray(theta, dtype=float), np.asarray(phi, dtype=float))
        if self.photometric_type == "C":
            return self._between(theta, (-phi) % (2 * math.pi)) / self.flux
        # In the module's frame, x to the right as seen from behind, y up, z ahead.
        x, y, z = -np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)
        if self.photometric_type == "A":
            V, H = np.arcsin(np.clip(y, -1, 1)), np.arctan2(x, z)
        else:
            V, H = np.arctan2(y, z), np.arcsin(np.clip(x, -1, 1))
        return self._between(V, H) / self.flux

    def _between(self, vertical: Array, horizontal: Array) -> Array:
        """Bilinear between the angles, 0 beyond them. [cd]"""
        (i, f), (j, g) = _cell(vertical, self.vertical), _cell(horizontal, self.horizontal)
        at = self.values
        low = at[j, i] * (1 - f) + at[j, i + 1] * f
        high = at[j + 1, i] * (1 - f) + at[j + 1, i + 1] * f
        inside = _within(vertical, self.vertical) & _within(horizontal, self.horizontal)
        return np.asarray(np.where(inside, low * (1 - g) + high * g, 0.0))

    def _flux(self, vertical: Array, values: Array) -> float:
        if self.photometric_type == "C":
            planes = np.sum(zone_integrals(vertical, values), axis=-1)
            return float(np.trapezoid(planes, self.horizontal))
        if self.photometric_type == "A":
            # dω = cos V dV dH, and cos V = sin of the angle from the polar axis.
            planes = np.sum(zone_integrals(vertical + math.pi / 2, values), axis=-1)
            return float(np.trapezoid(planes, self.horizontal))
        planes = np.sum(zone_integrals(self.horizontal + math.pi / 2, values.T), axis=-1)
        return float(np.trapezoid(planes, vertical))


ROUNDING = 1e-9
"""By which a direction may miss the web. [rad]"""


def _within(at: Array, angles: Array) -> NDArray[np.bool_]:
    return np.asarray((at >= angles[0] - ROUNDING) & (at <= angles[-1] + ROUNDING))


def _cell(at: Array, angles: Array) -> tuple[NDArray[np.intp], Array]:
    """Which interval an angle is in, and how far into it from 0 to 1."""
    i = np.clip(np.searchsorted(angles, at, side="right") - 1, 0, len(angles) - 2)
    return i, np.clip((at - angles[i]) / (angles[i + 1] - angles[i]), 0.0, 1.0)
