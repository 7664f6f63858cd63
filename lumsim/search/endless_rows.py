"""The curve of rows without end in the plane of row pitch and depth: what a cabinet's edges are told by."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import cache, partial

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.light.infinite_rows import WIDEST, InfiniteRows, has_closed_form
from lumsim.search.layouts import least_depth, with_depth
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["USUAL_LIMIT", "endless_rows_curve", "endless_rows_limit"]

USUAL_LIMIT = 1.2
"""Of max/min, where nothing is required of it: good, by common practice. [1]"""

EXACT_TO = 1e-5
"""Of the depths. [1]"""

ALIKE = 1e-4
"""Two pitches that part by less are the same one. [1]"""

FAR_ABOVE = 4.0
"""What is this many times above a limit need not be told from what is farther above. [1]"""

FIRST_STEP = 1.02
"""Times the throw, from where a crossing is likely. [1]"""

DEEPEST = 100.0
"""Times the likely throw, at which a crossing is looked for. [1]"""


def endless_rows_limit(requirement: Requirement) -> float:
    """Which max/min of rows without end goes with a requirement: its stripes, else its max/min, else ``USUAL_LIMIT``.

    Parameters
    ----------
    requirement : Requirement
    """
    if requirement.stripe_max_to_min is not None:
        return requirement.stripe_max_to_min
    return USUAL_LIMIT if requirement.max_to_min is None else requirement.max_to_min


def endless_rows_curve(
    cabinet: Cabinet,
    group: int,
    limit: float,
    pitches: Sequence[Fraction | float],
    *,
    lighting: Lighting = ALL_LIGHT,
) -> NDArray[np.float64]:
    """The least depth at which rows without end, between plates without end, are as even as a limit, for each pitch.

    The rows are continuous and have the beam, the z and the place midway between two faces of the cabinet's own, the
    plates its back's and faces' reflectances; returns, edges and dots are left out. Of two faces the worse one decides.
    At that depth the pitch is the first, from narrow to wide, that comes up to the limit, see
    ``InfiniteRows.pitch_for``.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows are meant, from 0.
    limit : float
        Of max/min. [1]
    pitches : sequence of length
        [m]
    lighting : Lighting
        Whether plates throw light back.

    Returns
    -------
    (n,) array
        Depths, nan where none gives the limit; all of them nan where there is no closed form: for measured beams and
        tables, tilted modules, LEDs beside the line of their row, rows on a return, several groups, a limit of 1. [m]
    """
    depths = np.full(len(pitches), math.nan)
    rows = cabinet.groups[group]
    if not isinstance(rows, Rows) or not _has_closed_form(cabinet, rows) or not 1 < limit < math.inf:
        return depths
    least = least_depth(cabinet, LEAST_THROW)

    def widest(depth: float) -> float:
        found = [(lit, lit.pitch_for(limit)) for lit in _endless(with_depth(cabinet, depth), group, lighting)]
        return min((WIDEST * lit.throw if pitch is None else pitch for lit, pitch in found), default=math.inf)

    def even(depth: float, pitch: float) -> float:
        """Above 0 where rows at that pitch are more even than the limit."""
        ratios = (one.max_to_min(pitch) for one in _endless(with_depth(cabinet, depth), group, lighting))
        return 1 - min(max(ratios, default=1.0) / limit, FAR_ABOVE)

    def wide(depth: float, pitch: float) -> float:
        return widest(depth) - pitch

    share = 1.0
    for number, pitch in enumerate(float(one) for one in pitches):
        # Max/min at one pitch is soon known; its depth is the answer where no narrower pitch comes up to the limit.
        likely = least + share * pitch
        found = _crossing(partial(even, pitch=pitch), least, likely)
        if found is None or not abs(widest(found) / pitch - 1) < ALIKE:
            found = _crossing(partial(wide, pitch=pitch), least, likely)
        if found is not None:
            depths[number] = found
            share = (found - least) / pitch
    return depths


def _crossing(rising: Callable[[float], float], least: float, likely: float) -> float | None:
    """Where something that rises with the depth comes up to nought; None where it is above or below it all along. [m]

    Parameters
    ----------
    rising : callable
        Takes a depth. [m]
    least, likely : float
        Depths. [m]
    """
    at = cache(rising)
    shallow = deep = likely
    step = FIRST_STEP
    while at(shallow) > 0 and shallow > least:
        shallow, step = max(least, least + (shallow - least) / step - LEAST_THROW), step**2
    step = FIRST_STEP
    while at(deep) < 0 and deep < least + DEEPEST * (likely - least):
        deep, step = least + (deep - least) * step, step**2
    if not at(shallow) <= 0 <= at(deep) < math.inf:
        return None
    return float(brentq(at, shallow, deep, rtol=EXACT_TO, xtol=EXACT_TO * (likely - least)))


def _has_closed_form(cabinet: Cabinet, rows: Rows) -> bool:
    """Whether the light of a group's rows alone is that of rows without end, but for the returns."""
    # A module is turned about its axis, and its LEDs with it.
    beside = (x * math.sin(rows.turn) + y * math.cos(rows.turn) for x, y in rows.module.leds)
    return (
        len(cabinet.groups) == 1
        and rows.on in {"back", "plane"}
        and rows.tilt == 0
        and has_closed_form(rows.module.beam)
        and all(abs(one) < 1e-9 for one in beside)
    )


def _endless(cabinet: Cabinet, group: int, lighting: Lighting) -> list[InfiniteRows]:
    """The rows without end that a cabinet's are, as each face that they shine at sees them."""
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    depth, reflected = cabinet.box.depth, not lighting.direct_only
    seen = []
    for side in cabinet.unlike_sides:
        front = side == "front"
        share = rows.front_share if front else 1 - rows.front_share
        if share <= 0:
            continue
        across = cabinet.face_on("rear" if front else "front").reflectance if cabinet.double_sided else None
        seen.append(
            InfiniteRows(
                beam=rows.module.beam,
                throw=depth - rows.z if front else rows.z,
                depth=depth,
                back_reflectance=reflected * (cabinet.box.back_reflectance if across is None else across),
                face_reflectance=reflected * cabinet.face_on(side).reflectance,
                behind=1 - share,
            )
        )
    return seen
