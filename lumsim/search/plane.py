"""Evenness over the whole plane of row pitch and depth."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.cabinet.places import nearest_count, pitches_of
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.layouts import least_depth, with_depth, with_row_pitch
from lumsim.search.outcomes import Outcome, as_it_stands
from lumsim.search.trying import Trials
from lumsim.simulation import Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = [
    "ALWAYS",
    "Plane",
    "PlanePart",
    "PlanePoint",
    "evenly",
    "plane_of",
    "plane_parts",
    "plane_row",
    "usual_depths",
    "usual_plane",
]

ALWAYS = ("max_to_min", "stripe_max_to_min", "edge_dimming")
"""The numbers that every point of a plane tells, whatever is required."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanePoint(Outcome):
    """One row pitch at one depth."""

    pitch: float
    """asked for; a whole count of rows nearest to it is laid [m]"""
    depth: float
    """[m]"""
    rows: int
    """[1]"""
    edge_distance: float
    """of the outermost rows [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanePart:
    """One depth of a plane: what one worker does at a time."""

    cabinet: Cabinet
    """at that depth"""
    group: int
    """whose rows move, from 0"""
    requirement: Requirement
    pitches: tuple[Fraction, ...]
    """[m]"""
    lighting: Lighting
    ageing: Ageing | None
    closely: bool = False
    """by the fine mesh"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """Evenness at every pitch and depth."""

    pitches: tuple[Fraction, ...]
    """rising [m]"""
    alike: tuple[tuple[float, float], ...]
    """for each pitch the least and the most that round to the same count of rows [m]"""
    depths: tuple[float, ...]
    """rising [m]"""
    points: tuple[tuple[PlanePoint, ...] | None, ...]
    """by depth, then pitch; None for a depth that was not come to"""
    error: float | None
    """the most by which max/min changed, relative, where the corners of the plane were looked at by the fine mesh; None
    for direct light only, which hangs on no mesh [1]"""

    @property
    def skipped(self) -> tuple[int, ...]:
        """Counts of rows between the most and the fewest that none of the pitches rounds to, from many to few. [1]"""
        laid = next(({point.rows for point in row} for row in self.points if row is not None), {0})
        return tuple(count for count in range(max(laid), min(laid), -1) if count not in laid)

    @property
    def finished(self) -> bool:
        """Whether every depth was come to."""
        return all(row is not None for row in self.points)


def usual_plane(
    cabinet: Cabinet, group: int, *, mark: Fraction
) -> tuple[tuple[Fraction, Fraction], tuple[float, float]]:
    """The pitches and depths that a plane spans unless a study says: half to twice the study's own, on marks.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        From 0.
    mark : Fraction
        [m]

    Returns
    -------
    pitches, depths : (least, most) each
        [m]
    """
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    own = rows.rows.pitch or rows.rows.extent
    pitches = (max(mark, own / 2 // mark * mark), -(-min(2 * own, rows.rows.extent) // mark) * mark)
    return pitches, usual_depths(cabinet, float(own))


def usual_depths(cabinet: Cabinet, pitch: float | None) -> tuple[float, float]:
    """The least and the most depth that are looked at unless a study says: half to twice the cabinet's own. [m]

    The least leaves a quarter of the row pitch as the throw: nearer, a face is dots.

    Parameters
    ----------
    cabinet : Cabinet
    pitch : float or None
        Of its rows; None where they have none, and any throw will do. [m]
    """
    own = cabinet.box.depth
    least = max(least_depth(cabinet, LEAST_THROW if pitch is None else pitch / 4), own / 2)
    return min(least, own), 2 * own


def plane_parts(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    *,
    pitches: Sequence[Fraction],
    depths: Sequence[float],
    lighting: Lighting,
    ageing: Ageing | None = None,
) -> tuple[PlanePart, ...]:
    """Cut a plane into its depths, and at the end its four corners once more by the fine mesh.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
    pitches : sequence of Fraction
        Rising. [m]
    depths : sequence of float
        Rising. [m]
    lighting : Lighting
    ageing : Ageing, optional

    Returns
    -------
    tuple of PlanePart
        One for each depth, and unless light is direct only one for the least and the greatest depth each.

    Raises
    ------
    InputError
        Where the least depth leaves no throw.
    """
    needed = least_depth(cabinet, LEAST_THROW)
    if not depths[0] >= needed * (1 - 1e-12):
        raise InputError(
            f"a depth of {depths[0] * 1000:.4g} mm leaves no throw: these modules need one of at least "
            f"{needed * 1000:.4g} mm"
        )

    def part(depth: float, at: Sequence[Fraction], *, closely: bool) -> PlanePart:
        return PlanePart(
            cabinet=with_depth(cabinet, depth),
            group=group,
            requirement=requirement,
            pitches=tuple(at),
            lighting=lighting,
            ageing=ageing,
            closely=closely,
        )

    parts = [part(depth, pitches, closely=False) for depth in depths]
    if not lighting.direct_only:
        parts += [part(depth, (pitches[0], pitches[-1]), closely=True) for depth in (depths[0], depths[-1])]
    return tuple(parts)


def plane_row(part: PlanePart) -> tuple[PlanePoint, ...]:
    """Light one depth of a plane at every pitch.

    Parameters
    ----------
    part : PlanePart
    """
    trials = Trials(
        group=part.group,
        requirement=part.requirement,
        lighting=part.lighting,
        ageing=part.ageing,
        names=ALWAYS,
    )
    points = []
    for pitch in part.pitches:
        tried = trials.look(with_row_pitch(part.cabinet, part.group, pitch), closely=part.closely)
        points.append(
            PlanePoint(
                pitch=float(pitch),
                depth=part.cabinet.box.depth,
                rows=tried.rows.count,
                edge_distance=float(tried.rows.edge_distances[0]),
                **as_it_stands(tried),
            )
        )
    return tuple(points)


def plane_of(
    parts: Sequence[PlanePart], rows: Mapping[int, tuple[PlanePoint, ...]], depths: Sequence[float]
) -> Plane:
    """Put the depths of a plane together, however many of them were come to.

    Parameters
    ----------
    parts : sequence of PlanePart
        As ``plane_parts`` cut them.
    rows : mapping
        What ``plane_row`` gave, by the number of its part.
    depths : sequence of float
        [m]
    """
    points = tuple(rows.get(number) for number in range(len(depths)))
    change: list[float] = []
    for number in range(len(depths), len(parts)):
        fine = rows.get(number)
        coarse = points[0] if number == len(depths) else points[-1]
        if fine is not None and coarse is not None:
            change += [
                abs(other.numbers["max_to_min"] / one.numbers["max_to_min"] - 1)
                for one, other in zip(fine, (coarse[0], coarse[-1]), strict=True)
            ]
    rows_moved = parts[0].cabinet.groups[parts[0].group]
    assert isinstance(rows_moved, Rows)
    return Plane(
        pitches=parts[0].pitches,
        alike=tuple(_alike(rows_moved.rows.extent, pitch) for pitch in parts[0].pitches),
        depths=tuple(depths),
        points=points,
        error=max(change, default=math.nan) if len(parts) > len(depths) else None,
    )


def _alike(extent: Fraction, pitch: Fraction) -> tuple[float, float]:
    """The pitches that round to the same count as one. [m]"""
    least, most = pitches_of(extent, nearest_count(extent, pitch))
    return float(least), float(max(most, pitch))


def evenly(least: Fraction, most: Fraction, count: int, *, mark: Fraction) -> tuple[Fraction, ...]:
    """Lengths evenly spaced from a least to a most, both counted in; those between on marks.

    Parameters
    ----------
    least, most : Fraction
        [m]
    count : int
        How many, at least 2; fewer where there are not so many marks. [1]
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    """
    between = (
        round((least + (most - least) * Fraction(i, count - 1)) / mark) * mark for i in range(1, count - 1)
    )
    return (least, *sorted({length for length in between if least < length < most}), most)
