"""A module's light against the voltage at its terminals, as a share of what it gives at the voltage it is rated for.

How a module dims is told by what it is made of: with a resistor before its LEDs its current, and nearly its light,
falls with the voltage above that of the LEDs; with a driver that holds the current its light is full as long as the
driver has voltage enough, and is taken for none below; or it was measured, and a curve goes through the points.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError

__all__ = ["Dimming", "MeasuredCurve", "ResistorBallast", "SteadyDriver"]

Array = NDArray[np.float64]


class Dimming(Protocol):
    """A module's light against its voltage."""

    def share(self, volts: Array) -> Array:
        """Of the light at rated voltage, at each of some voltages [V]. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyDriver:
    """A driver that holds the current: full light at its drop-out voltage and above, dark below.

    Below drop-out such modules flicker or dim, each in its own way; none of that is counted on.

    Raises
    ------
    InputError
        For a voltage of less than nothing.
    """

    drop_out: float
    """the least at which it still holds its current [V]"""

    def __post_init__(self) -> None:
        if not 0 <= self.drop_out < math.inf:
            raise InputError(f"a drop-out voltage must be 0 V or more, got {self.drop_out:g} V")

    def share(self, volts: Array) -> Array:
        """Of the light at rated voltage, at each of some voltages [V]. [1]"""
        return np.where(np.asarray(volts, dtype=np.float64) >= self.drop_out, 1.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResistorBallast:
    """LEDs behind a resistor: the share is (V − V_f) / (V₀ − V_f), none below V_f, more than all above V₀.

    Light is taken to go with current and V_f to be the same at every current; real V_f falls a little with it, so that
    a real module dims a little less than this. Three LEDs of 3 V on 12 V lose a third of their current with 1 V
    (common practice).

    Raises
    ------
    InputError
        For voltages that cannot be.
    """

    forward_voltage: float
    """V_f, of all LEDs in line [V]"""
    rated_voltage: float
    """V₀, at which the light is that of the data sheet [V]"""

    def __post_init__(self) -> None:
        if not 0 <= self.forward_voltage < self.rated_voltage < math.inf:
            raise InputError(
                "the LEDs' forward voltage must be 0 V or more and below the rated voltage of "
                f"{self.rated_voltage:g} V, got {self.forward_voltage:g} V"
            )

    def share(self, volts: Array) -> Array:
        """Of the light at rated voltage, at each of some voltages [V]. [1]"""
        above = np.asarray(volts, dtype=np.float64) - self.forward_voltage
        return np.maximum(above, 0.0) / (self.rated_voltage - self.forward_voltage)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredCurve:
    """Points that were measured, linear between; the last one's share beyond it, and dark below the first.

    Where the light fades out before it goes, the first point has a share of 0 and nothing jumps. Nothing is carried on
    below the first point: what a module does there was not measured, and dark is the worst that it can be.

    Raises
    ------
    InputError
        For fewer than two points, for voltages that do not rise, and for shares of less than nothing.
    """

    points: tuple[tuple[float, float], ...]
    """of voltage and share of the light at rated voltage, by rising voltage [V, 1]"""

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise InputError(
                f"a curve of light against voltage needs two points or more, got {len(self.points)}"
            )
        for volts, share in self.points:
            if not 0 <= volts < math.inf:
                raise InputError(f"a voltage of a curve must be 0 V or more, got {volts:g} V")
            if not 0 <= share < math.inf:
                raise InputError(f"a share of light must be 0 or more, got {share:g} at {volts:g} V")
        for (before, _), (after, _) in itertools.pairwise(self.points):
            if not before < after:
                raise InputError(
                    f"the voltages of a curve must rise from point to point, got {after:g} V after {before:g} V"
                )

    def share(self, volts: Array) -> Array:
        """Of the light at rated voltage, at each of some voltages [V]. [1]"""
        given, shares = np.array(self.points).T
        share: Array = np.interp(volts, given, shares, left=0.0)
        return share
