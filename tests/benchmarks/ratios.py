"""Print how much quicker the kernels are than plain NumPy loops: `python -m tests.benchmarks.ratios`.

All that do the same take turns (A B C A B C …), so that a busy spell of the machine falls on all, and the
medians are compared. One thread; the kernel's ratio is to the NumPy loop of its line. The last column is its rate, in
points times modules a second, as a share of the Lambertian kernel's in the same turns.
"""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import numpy as np

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from lumsim.kernels.point_sources import lambertian
from tests.benchmarks.contests import contests
from tests.benchmarks.loops import scene
from tests.benchmarks.turns import in_turn

MODULES = 100
ROUNDS = {18_000: 31, 300_000: 7}


def main() -> None:
    """Time all contests and print the table."""
    row = "{:<20}{:>8}  {:<12}{:>10}{:>11}{:>7}  {:>11}  {:>13}\n"
    sys.stdout.write(
        row.format(
            "beam, kernel",
            "points",
            "NumPy loop",
            "loop ms",
            "kernel ms",
            "ratio",
            "difference",
            "of Lambertian",
        )
    )
    for points, rounds in ROUNDS.items():
        given = scene(points, MODULES, seed=21)
        for contest in contests():
            runners = {"": contest.kernel, "lambertian": lambertian} | contest.loops
            spent = in_turn({name: partial(run, *given) for name, run in runners.items()}, rounds)
            kernel, fastest = spent.pop(""), spent.pop("lambertian")
            found = contest.kernel(*given)
            for name, loop in sorted(spent.items(), key=lambda entry: entry[1]):
                difference = float(np.max(np.abs(found / contest.loops[name](*given) - 1.0)))
                sys.stdout.write(
                    row.format(
                        contest.name,
                        points,
                        name,
                        f"{1e3 * loop:.2f}",
                        f"{1e3 * kernel:.2f}",
                        f"{loop / kernel:.1f}",
                        f"{difference:.1e}",
                        f"{100 * fastest / kernel:.0f} %",
                    )
                )


if __name__ == "__main__":
    main()
