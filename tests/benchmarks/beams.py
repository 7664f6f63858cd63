"""Print how long a whole answer takes with each kind of beam: `python -m tests.benchmarks.beams`.

A cabinet of 96 by 48 by 5 in with 5 rows of 20 modules and with 10 of 24, light thrown back and all that is told of the
face; in turns, warm, one thread. The ratio is to the Lambertian beam's in the same turns.
"""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path

import numpy as np

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, Wide
from lumsim.beams.tables import Table
from lumsim.simulation import simulate
from tests import cabinets
from tests.benchmarks.contests import lopsided
from tests.benchmarks.turns import in_turn, table

ROUNDS = 7
LAYOUTS = ((5, 20), (10, 24))
"""Rows and modules in each. [1]"""


def beams() -> dict[str, Beam]:
    """One of each kind."""
    every_5 = np.arange(0, 91, 5.0)
    curve = np.cos(np.radians(every_5)).clip(0) * (1 + np.radians(every_5) ** 2)
    return {
        "Lambertian": LAMBERTIAN,
        "wide, width 2": Wide(width=2.0),
        "table of 19 angles": Table(angles=tuple(np.radians(every_5)), values=tuple(curve)),
        "measured web of 19 × 25 angles": lopsided(),
    }


def main() -> None:
    """Time a whole answer with each beam and print the table."""
    rows = []
    for count, modules in LAYOUTS:
        given = {
            name: cabinets.in_rows(2.4384, 1.2192, 0.127, rows=count, modules=modules, beam=beam)
            for name, beam in beams().items()
        }
        spent = in_turn({name: partial(simulate, cabinet) for name, cabinet in given.items()}, ROUNDS)
        rows += [
            [name, f"{count * modules}", f"{seconds:.2f} s", f"{seconds / spent['Lambertian']:.1f}"]
            for name, seconds in spent.items()
        ]
    sys.stdout.write(table(["beam", "modules", "whole answer, warm", "ratio"], rows))


if __name__ == "__main__":
    main()
