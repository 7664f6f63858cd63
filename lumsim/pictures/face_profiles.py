"""Profiles of a lit face across and along its rows, as numbers; nothing here draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.interpolate import make_interp_spline

from lumsim.lit_face import LitFace
from lumsim.pictures.drawn_map import DrawnMap
from lumsim.uniformity.face_map import Array
from lumsim.units import METRES_PER_UNIT, Units

__all__ = ["Cut", "Profile", "cuts_along", "profiles_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Luminance against the place along one axis: of all that lies at right angles to it."""

    axis: Literal["x", "y"]
    """that it runs along"""
    places: Array
    """(n,) rising, from the left or the bottom return, as seen from in front [m]"""
    mean: Array
    """(n,) [cd/m²]"""
    low: Array
    """(n,) lowest [cd/m²]"""
    high: Array
    """(n,) highest [cd/m²]"""

    def places_in(self, units: Units) -> Array:
        """(n,) places in inches or millimetres."""
        return self.places / float(METRES_PER_UNIT[units])


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Luminance along one line of the face that runs along the rows."""

    at: float
    """across the rows, from the left or the bottom return [m]"""
    values: Array
    """(n,) at the places of the profile along the rows [cd/m²]"""


def profiles_of(lit: LitFace, drawn: DrawnMap | None = None) -> tuple[Profile, Profile]:
    """Profiles of the visible face across its rows, and along them.

    Parameters
    ----------
    lit : LitFace
    drawn : DrawnMap, optional
        Of this face, where it is there already.

    Returns
    -------
    across : Profile
        Its places are across the rows; mean, low and high are of all along them.
    along : Profile
        Its places are along the rows; mean, low and high are of all across them.
    """
    values = _values(lit, drawn)
    along_x, along_y = (_profile(lit, values, axis) for axis in ("x", "y"))
    return (along_y, along_x) if lit.direction == "horizontal" else (along_x, along_y)


def cuts_along(
    lit: LitFace, row_lines: Sequence[float], drawn: DrawnMap | None = None
) -> tuple[Cut | None, Cut | None]:
    """Luminance along the brightest row, and along the darkest line between rows.

    The brightest row is the one with the highest mean along it, the darkest line the deepest valley between the
    outermost rows; edges, which are dark for another reason, do not count. Of equals the first.

    Parameters
    ----------
    lit : LitFace
    row_lines : sequence of float
        Where rows lie across, rising. [m]
    drawn : DrawnMap, optional
        Of this face, where it is there already.

    Returns
    -------
    brightest : Cut or None
        None where no row lies behind the visible face.
    darkest : Cut or None
        None where there is no valley between rows.
    """
    across, along = profiles_of(lit, drawn)

    def cut_at(place: float) -> Cut:
        # The light itself: a row lies between samples.
        here = np.full(along.places.shape, place)
        return Cut(
            at=place,
            values=lit.luminance.at(*((along.places, here) if along.axis == "x" else (here, along.places))),
        )

    lines = np.array([line for line in row_lines if across.places[0] <= line <= across.places[-1]])
    brightest = darkest = None
    if len(lines):
        # Straight lines between samples would favour a row that lies on one.
        means = make_interp_spline(across.places, across.mean, k=3)(lines)
        brightest = cut_at(float(lines[_first_least(-means)]))
    mean = across.mean
    # A valley: beside the outermost row the fall towards the dark edge is none.
    valley = (mean[1:-1] < mean[:-2]) & (mean[1:-1] <= mean[2:])
    inside = (across.places[1:-1] > row_lines[0]) & (across.places[1:-1] < row_lines[-1])
    between = np.nonzero(valley & inside)[0] + 1
    if len(between):
        darkest = cut_at(float(across.places[between[_first_least(across.mean[between])]]))
    return brightest, darkest


def _first_least(values: Array) -> int:
    """Which is the least; of those that differ by rounding alone the first."""
    return int(np.argmax(values <= values.min() + 1e-6 * np.abs(values).max()))


def _values(lit: LitFace, drawn: DrawnMap | None) -> Array:
    drawn = drawn or DrawnMap.of(lit.luminance, "mm", sources=lit.direct.sources)
    return drawn.values


def _profile(lit: LitFace, values: Array, axis: Literal["x", "y"]) -> Profile:
    """The profile of (ny, nx) values along an axis."""
    over = 0 if axis == "x" else 1
    x0, x1, y0, y1 = lit.luminance.bounds
    start, end = (x0, x1) if axis == "x" else (y0, y1)
    # Evenly spaced, edges included: the trapezoidal rule, over the length.
    mean = np.trapezoid(values, axis=over) / (values.shape[over] - 1)
    return Profile(
        axis=axis,
        places=np.linspace(start, end, values.shape[1 - over]),
        mean=np.asarray(mean, dtype=np.float64),
        low=values.min(axis=over),
        high=values.max(axis=over),
    )
