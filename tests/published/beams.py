"""What lumsim gives for each published number on beams other than a single cosine power."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from lumsim.beams.beam import Beam
from lumsim.beams.closed import Wide
from lumsim.beams.tables import UniformPlane


def _intensity(beam: Beam, angle: float) -> float:
    return float(beam.intensity(np.array(angle), np.array(0.0)))


def wide_flux(a: float) -> float:
    """Lumens of a wide beam with one candela on its axis [lm]."""
    return 1 / _intensity(Wide(width=a), 0.0)


def wide_peak_angle(a: float) -> float:
    """Where a wide beam is strongest [deg]."""
    return math.degrees(Wide(width=a).peak_angle)


def wide_peak(a: float) -> float:
    """Peak intensity of a wide beam over that on its axis [1]."""
    beam = Wide(width=a)
    return _intensity(beam, beam.peak_angle) / _intensity(beam, 0.0)


def uniform_plane_flux(cut_off: float) -> float:
    """Lumens of a uniform-plane beam with one candela on its axis [lm]."""
    return 1 / _intensity(UniformPlane(cut_off=math.radians(cut_off)), 0.0)


def uniform_plane_rim(cut_off: float) -> float:
    """Intensity of a uniform-plane beam at its cut-off over that on its axis [1]."""
    beam = UniformPlane(cut_off=math.radians(cut_off))
    return _intensity(beam, beam.cut_off) / _intensity(beam, 0.0)


BEAMS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        check.__name__: check
        for check in (wide_flux, wide_peak_angle, wide_peak, uniform_plane_flux, uniform_plane_rim)
    }
)
