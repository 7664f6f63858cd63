"""How far from the returns the outermost of a number of rows had best be."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.layouts import on_marks, with_rows
from lumsim.search.scanning import least, least_on_marks
from lumsim.search.trying import Found, Progress, Trials, Tried
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement
from lumsim.units import exact_length

__all__ = ["EdgeSearch", "best_edge_distance"]

SAMPLES = 17
"""Edge distances that are scanned. [1]"""

NEAREST = Fraction(1, 10)
"""The nearest to a return that is looked at unless a study says, in even pitches, extent over count. [1]"""

CLOSER = 5e-3
"""About the best of quick looks this much of the range is looked at closely. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeSearch(Found):
    """The edge distance at which the rows stand best to the requirement, or without one where max/min is least.

    To build, the best with rows on centre by whole marks. Either may miss the requirement.
    """

    least: float
    """that was looked at [m]"""
    most: float
    """[m]"""


def best_edge_distance(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    *,
    count: int,
    least_most: tuple[float, float] | None = None,
    mark: Fraction,
    lighting: Lighting = ALL_LIGHT,
    ageing: Ageing | None = None,
    progress: Progress | None = None,
) -> EdgeSearch:
    """Search the edge distance at which a number of rows lights the face best.

    The rows are spread evenly from edge distance to edge distance. Of several basins every one is minimised, see
    ``scanning.least``. What to build has its rows on centre by a whole number of marks; what is left over is shared
    by the two edges. Stopped by Ctrl-C, the best so far is the answer.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
        The worst of actual over limit is made least; without a limit max/min.
    count : int
        How many rows, at least 2. [1]
    least_most : (float, float), optional
        Edge distances to search between; else from a tenth of the even pitch, extent over count, to all of it. [m]
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    lighting : Lighting
        How light is followed.
    ageing : Ageing, optional
        The cabinet aged counts too.
    progress : callable, optional

    Raises
    ------
    InputError
        For a single row, and for a range that is none.
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    if not count >= 2:
        raise InputError(
            "a single row sits in the middle: a best edge distance takes two rows or more, such as count = 4"
        )
    extent = rows.rows.extent
    low, high = _range(extent, count, least_most)
    trials = Trials(group=group, requirement=requirement, lighting=lighting, ageing=ageing)
    looked: dict[Fraction, Tried] = {}

    def laid(edge: Fraction) -> Cabinet:
        return with_rows(cabinet, group, rows=place(extent, count=count, edge_distance=edge, what="row"))

    def look(edge: Fraction) -> Tried:
        if edge not in looked:
            if progress is not None:
                progress(min(len(looked) / (4 * SAMPLES), 0.99), f"edge distance {len(looked) + 1}")
            looked[edge] = trials.look(laid(edge))
        return looked[edge]

    def look_closely(edge: float) -> Tried:
        return trials.look(laid(exact_length(edge)), closely=True)

    def edge_of(pitch: Fraction) -> Fraction:
        return (extent - (count - 1) * pitch) / 2

    finished = True
    markable: Fraction | None = None
    try:
        samples = [float(edge) for edge in np.linspace(float(low), float(high), SAMPLES)]
        best = exact_length(least(lambda edge: look(exact_length(edge)).excess, samples, tolerance=1e-5))
        # Once more about what quick looks found, closely.
        reach = exact_length(CLOSER) * (high - low)
        around = sorted({float(edge) for edge in (max(low, best - reach), best, min(high, best + reach))})
        best = exact_length(least(lambda edge: look_closely(edge).excess, around, tolerance=2e-5))
        on_centre = on_marks((extent - 2 * high) / (count - 1), (extent - 2 * low) / (count - 1), mark)
        if on_centre:
            markable = edge_of(least_on_marks(lambda pitch: look(edge_of(pitch)).excess, on_centre))
    except KeyboardInterrupt:
        if not looked:
            raise
        finished = False
        best = min(looked, key=lambda edge: (looked[edge].excess, edge))
    evenest = trials.verify(laid(best))
    on_mark = None if markable is None else trials.verify(laid(markable))
    if progress is not None:
        progress(1.0, "done")
    tried = looked | {best: evenest} | ({} if markable is None or on_mark is None else {markable: on_mark})
    return EdgeSearch(
        least=float(low),
        most=float(high),
        exact=evenest,
        closest=None if evenest.verdict.met else evenest,
        buildable=on_mark,
        tried=tuple(tried[edge] for edge in sorted(tried)),
        finished=finished,
    )


def _range(extent: Fraction, count: int, least_most: tuple[float, float] | None) -> tuple[Fraction, Fraction]:
    even = extent / count
    # The rows may not meet in the middle.
    farthest = extent / 2 * (1 - Fraction(1, 100))
    if least_most is None:
        return NEAREST * even, min(even, farthest)
    low, high = (exact_length(edge) for edge in least_most)
    if not 0 <= low < high:
        raise InputError(
            f"edge distances from {float(low) * 1000:.4g} mm to {float(high) * 1000:.4g} mm: "
            "the least must be below the most"
        )
    if not high < extent / 2:
        raise InputError(
            f"an edge distance of {float(high) * 1000:.4g} mm from both returns leaves no room between the rows: "
            f"the cabinet is {float(extent) * 1000:.4g} mm across them"
        )
    return low, high
