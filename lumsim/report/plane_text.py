"""The plane of row pitch and depth as text and as CSV."""

from __future__ import annotations

import math
from collections.abc import Sequence

from lumsim.report.numbers import ratio
from lumsim.report.search_document import outcome_part
from lumsim.report.tables import table_bytes
from lumsim.search.plane import Plane, PlanePoint
from lumsim.simulation import Simulation
from lumsim.uniformity.names import NAMES
from lumsim.units import Units, format_length

__all__ = ["plane_csv", "plane_lines", "skipped_told"]

MOST_COLUMNS = 8
"""Pitches in the table. [1]"""

MOST_TOLD = 4
"""Counts of rows that are told one by one. [1]"""

MOST_LINES = 12
"""Depths in the table. [1]"""


def plane_lines(plane: Plane, own: Simulation, units: Units, *, judged: bool) -> list[str]:
    """Max/min at some of the pitches and depths, and how many points meet the requirement.

    Parameters
    ----------
    plane : Plane
    own : Simulation
        The study's own layout.
    units : {"in", "mm"}
    judged : bool
        Whether anything is required.
    """
    pitches, depths = _some(len(plane.pitches), MOST_COLUMNS), _some(len(plane.depths), MOST_LINES)
    points = [point for row in plane.points if row is not None for point in row]
    size = f"{len(plane.pitches)} pitches by {len(plane.depths)} depths"
    lines = [f"  {size}, of each a whole count of rows"]
    if not plane.finished:
        come_to = sum(row is not None for row in plane.points)
        lines.append(f"  UNFINISHED: stopped after {come_to} of {len(plane.depths)} depths")
    if plane.skipped:
        lines.append(f"  {skipped_told(plane.skipped)}")
    if judged:
        lines.append(f"  max/min, * where the requirement is met{_others(points)}")
    else:
        lines.append("  max/min")
    left_out = [
        f"{len(shown)} of {len(every)} {what}"
        for shown, every, what in ((pitches, plane.pitches, "pitches"), (depths, plane.depths, "depths"))
        if len(shown) < len(every)
    ]
    if left_out:
        lines.append(f"  shown are {' and '.join(left_out)}; a picture, CSV or JSON holds all")
    head = [format_length(plane.pitches[i], units) for i in pitches]
    width = max(8, *(len(text) + 2 for text in head))
    first = max(10, *(len(format_length(plane.depths[j], units)) + 2 for j in depths))
    lines.append(f"  {'depth':<{first}}" + "".join(f"{text:>{width}}" for text in head))
    for j in depths:
        row = plane.points[j]
        shown = "".join(f"{'-' if row is None else _told(row[i], judged=judged):>{width}}" for i in pitches)
        lines.append(f"  {format_length(plane.depths[j], units):<{first}}{shown}".rstrip())
    if judged:
        met = sum(point.met for point in points)
        lines.append(f"  {met} of {len(points)} points meet the requirement")
    if plane.error is not None and not math.isnan(plane.error):
        lines.append(f"  max/min moved by at most {plane.error:.1%} at the plane's corners on a finer mesh")
    lines.append(f"  the study's own layout: max/min {ratio(own.deciding.worse.evenness.max_to_min)}")
    return lines


def plane_csv(plane: Plane) -> bytes:
    """Every point on a line of its own, depth by depth, nine significant digits.

    ``pitch_m,depth_m,rows,edge_distance_m``, the numbers by their names, ``worst_of_actual_over_limit``,
    ``requirement_met`` (1 or 0), ``limits_missed``, ``face`` and ``state``.

    Parameters
    ----------
    plane : Plane
    """
    points = [point for row in plane.points if row is not None for point in row]
    lines = [
        {
            "pitch_m": point.pitch,
            "depth_m": point.depth,
            "rows": point.rows,
            "edge_distance_m": point.edge_distance,
            **point.numbers,
            **outcome_part(point),
        }
        for point in points
    ]
    return table_bytes(list(lines[0]), lines)


def skipped_told(counts: Sequence[int]) -> str:
    """Say that some counts of rows are not shown.

    Parameters
    ----------
    counts : sequence of int
        At least one. [1]
    """
    which = ", ".join(str(count) for count in counts) if len(counts) <= MOST_TOLD else str(len(counts))
    what = "rows" if len(counts) <= MOST_TOLD else "counts of rows between them"
    return f"no pitch looked at has {which} {what}: more pitches (pitch_count) would"


def _others(points: Sequence[PlanePoint]) -> str:
    """Which other limits some points miss that keep max/min; nothing where there are none."""
    missed = dict.fromkeys(name for one in points if "max_to_min" not in one.missed for name in one.missed)
    return f" (without: not met, by {' or '.join(NAMES[name] for name in missed)} too)" if missed else ""


def _some(count: int, most: int) -> list[int]:
    """At most so many of a count, evenly spread, the first and the last among them."""
    if count <= most:
        return list(range(count))
    return sorted({round(i * (count - 1) / (most - 1)) for i in range(most)})


def _told(point: PlanePoint, *, judged: bool) -> str:
    mark = ("*" if point.met else " ") if judged else ""
    return f"{point.numbers['max_to_min']:.2f}{mark}"
