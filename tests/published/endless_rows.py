"""What lumsim's closed form of rows without end gives for each published number on them, throw 1."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.light.infinite_rows import InfiniteRows
from lumsim.light.matern import matern


def rows(m: float = 1.0, *, module_pitch: float | None = None, both: float = 0.0) -> InfiniteRows:
    """Rows of a cosine power at a throw of 1, on a plate; of both reflectances only the product counts."""
    return InfiniteRows(
        beam=CosinePower(exponent=m) if m != 1 else LAMBERTIAN,
        throw=1.0,
        depth=1.0,
        back_reflectance=both,
        face_reflectance=1.0,
        module_pitch=module_pitch,
    )


def _at(along: float, across: float, *, square: bool) -> Callable[..., float]:
    """Illuminance over Φ/A at shares of the pitches."""

    def illuminance(pitch: float, m: float = 1.0, both: float = 0.0) -> float:
        lit = rows(m, module_pitch=pitch if square else None, both=both)
        return float(lit.illuminance(np.array([along * pitch]), np.array([across * pitch]), pitch)[0, 0])

    return illuminance


def _between(number: Callable[..., float]) -> Callable[..., float]:
    """A number asked for by the reflectances of back and face."""
    return lambda pitch, back, face: number(pitch, both=back * face)


def endless_rows_max_to_min(pitch: float, m: float = 1.0, both: float = 0.0) -> float:
    """Highest over lowest illuminance of rows without end [1]."""
    return rows(m, both=both).max_to_min(pitch)


def endless_square_max_to_min(pitch: float, m: float = 1.0, both: float = 0.0) -> float:
    """Highest over lowest illuminance of a square lattice without end [1]."""
    return rows(m, module_pitch=pitch, both=both).max_to_min(pitch)


def endless_rows_pitch_equal_to_depth() -> float:
    """Highest over lowest illuminance of rows without end as far apart as their throw [1]."""
    return rows().max_to_min(1.0)


def _wide(pitch: float, width: float, *, square: bool) -> float:
    lit = InfiniteRows(beam=Wide(width=width), throw=1.0, depth=1.0, module_pitch=pitch if square else None)
    return lit.max_to_min(pitch)


def _bright_between(pitch: float, width: float) -> float:
    """Whether rows of a wide beam are brightest nearer to midway than to a row: 1 or 0 [1]."""
    lit = InfiniteRows(beam=Wide(width=width), throw=1.0, depth=1.0)
    return float(lit.brightest_at(pitch) > pitch / 4)


def _pitch_for(ratio: float) -> float:
    found = rows().pitch_for(ratio)
    return math.nan if found is None else found


ENDLESS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {one.__name__: one for one in (endless_rows_max_to_min, endless_square_max_to_min)}
)
"""Checks of numbers that stand in a table for the closed form alone."""

BY_FAMILY: Mapping[str, Callable[..., float]] = MappingProxyType(
    {
        "rows-max": _at(0, 0, square=False),
        "rows-min": _at(0, 0.5, square=False),
        "rows-max-to-min": endless_rows_max_to_min,
        "rows-max-twelve-digits": _at(0, 0, square=False),
        "rows-min-twelve-digits": _at(0, 0.5, square=False),
        "rows-of-cosine-powers": endless_rows_max_to_min,
        "rows-pitch": _pitch_for,
        "square-max": _at(0, 0, square=True),
        "square-min": _at(0.5, 0.5, square=True),
        "square-saddle": _at(0.5, 0, square=True),
        "square-max-to-min": endless_square_max_to_min,
        "square-max-twelve-digits": _at(0, 0, square=True),
        "square-min-twelve-digits": _at(0.5, 0.5, square=True),
        "square-of-cosine-powers": endless_square_max_to_min,
        "rectangular-max-to-min": lambda a, b: rows(module_pitch=b).max_to_min(a),
        "wide-rows": lambda pitch, width: _wide(pitch, width, square=False),
        "wide-square": lambda pitch, width: _wide(pitch, width, square=True),
        "wide-rows-bright-between": _bright_between,
        "transform": lambda m, x: float(matern(m, np.array(x))),
        "plates-mean": lambda pitch, back, face: rows(both=back * face).mean,
        "plates-max": _between(_at(0, 0, square=False)),
        "plates-min": _between(_at(0, 0.5, square=False)),
        "plates-max-to-min": _between(endless_rows_max_to_min),
    }
)
"""Families of ``values.toml`` and ``reflected.toml`` whose numbers the closed form gives as well."""
