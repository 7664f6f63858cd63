"""Print how long searches take beside a whole simulation of each layout: `python -m tests.benchmarks.searches`.

The sign is 96 by 48 in, 6 in deep, 8 in between rows, with reflected light. The plane's 20 by 20 points are lit by two
processes, workers' start included; of a sample of its points each is lit by itself as well, whole, its exchange anew,
as whoever has only `simulate` would do it, and the time of those is taken as often as there are points, halved for two
processes. The widest pitch is found by one process, nine times, of which the median and the range are told, with whole
simulations of each layout that was looked at beside it.
"""

from __future__ import annotations

import statistics
import sys
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from lumsim.chunks import Crew
from lumsim.search.layouts import with_depth, with_row_pitch
from lumsim.simulation import simulate
from lumsim.study.reading import study_from_text
from lumsim.study.searching import search, search_plane

SIGN = """
[cabinet]
width = "96 in"
height = "48 in"
depth = "6 in"

[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"

[modules.standard]
lumens = 90.0

[[rows]]
z = "1/2 in"
pitch = "8 in"

[requirement]
stripe_max_to_min = 1.2
max_to_min = 1.6
"""

SAMPLE = 12
"""Points of the plane that are lit whole."""


def main() -> None:
    """Time a search and the plane, and print them."""
    study = study_from_text(SIGN)
    search(study)
    spent = []
    for _ in range(9):
        begun = time.perf_counter()
        found = search(study)
        spent.append(time.perf_counter() - begun)
    tried = found.found.tried
    whole = []
    for one in tried[:: max(1, len(tried) // SAMPLE)]:
        begun = time.perf_counter()
        simulate(one.cabinet, study.requirement)
        whole.append(time.perf_counter() - begun)
    own = statistics.median(spent)
    each = statistics.mean(whole)
    sys.stdout.write(
        f"widest pitch    {own:6.2f} s ({min(spent):.2f} to {max(spent):.2f}) for {len(tried)} layouts, two of them "
        f"whole; {each * len(tried):6.1f} s with each simulated whole: {each * len(tried) / own:.1f} times\n"
    )
    asked = replace(study.search, plane=replace(study.search.plane, pitch_count=20, depth_count=20))
    plane_spent = []
    for _ in range(3):
        begun = time.perf_counter()
        plane = search_plane(study, asked=asked, crew=Crew(processes=2)).plane
        plane_spent.append(time.perf_counter() - begun)
    off, whole = 0.0, []
    points = [point for row in plane.points if row is not None for point in row]
    for point in points[:: len(points) // SAMPLE]:
        begun = time.perf_counter()
        lit = simulate(
            with_row_pitch(with_depth(study.cabinet, point.depth), 0, Fraction(point.pitch)),
            study.requirement,
        )
        whole.append(time.perf_counter() - begun)
        off = max(off, abs(point.numbers["max_to_min"] / lit.evenness.max_to_min - 1))
    own, each = statistics.median(plane_spent), statistics.mean(whole)
    sys.stdout.write(
        f"plane, 20 × 20  {own:6.2f} s by two processes; {each * len(points) / 2:6.1f} s with each simulated whole: "
        f"{each * len(points) / 2 / own:.1f} times; max/min within {off:.1e} of {len(whole)} of those\n"
    )


if __name__ == "__main__":
    main()
