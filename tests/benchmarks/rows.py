"""Print how fast a whole face is lit by rows of each kind of beam: `python -m tests.benchmarks.rows`.

Direct light on the face's lattice, in points times sources a second, as a share of the Lambertian beam's in the same
turns; and how far it is from the same light summed source by source, of its peak. Warm, one thread.
"""

from __future__ import annotations

import math
import sys
from functools import partial
from pathlib import Path

import numpy as np

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import UniformPlane
from lumsim.cabinet.orientation import frame
from lumsim.cabinet.sources import Half, Sources
from lumsim.light.direct import DirectLight
from tests.benchmarks.contests import lopsided
from tests.benchmarks.turns import in_turn, table

ROUNDS = 9
DEPTH = 0.127
"""And modules 12 mm high. [m]"""

FACES = ((2.4384, 1.2192, 5, 20), (2.4384, 1.2192, 10, 24), (14.6, 4.27, 20, 100))
"""Width, height [m], rows and modules in each."""

BEAMS: dict[str, tuple[Beam, float, float]] = {
    "Lambertian": (LAMBERTIAN, 0.0, 0.0),
    "cosine power 2": (CosinePower(exponent=2.0), 0.0, 0.0),
    "cosine power 2.37": (CosinePower(exponent=2.37), 0.0, 0.0),
    "wide 2, tilted": (Wide(width=2.0), 0.0, 20.0),
    "web of 19 × 25": (lopsided(), 0.0, 0.0),
    "web, turned and tilted": (lopsided(), 30.0, 20.0),
    "uniform-plane, 60 deg": (UniformPlane(cut_off=math.radians(60)), 0.0, 0.0),
}
"""Beam, turn and tilt [deg]."""


def lit(
    beam: Beam, turn: float, tilt: float, width: float, height: float, rows: int, modules: int
) -> DirectLight:
    """The direct light of one cabinet."""
    x, y = (
        one.ravel()
        for one in np.meshgrid(
            (np.arange(modules) + 0.5) * width / modules, (np.arange(rows) + 0.5) * height / rows
        )
    )
    way = frame("back", "horizontal", turn=math.radians(turn), tilt=math.radians(tilt))
    sources = Sources(
        x=x,
        y=y,
        z=np.full(len(x), 0.012),
        flux=np.full(len(x), 60.0),
        frames=np.repeat(way[None], len(x), axis=0),
        half=np.zeros(len(x), dtype=np.intp),
        halves=(Half(beam, False),),
    )
    return DirectLight(sources, DEPTH)


def main() -> None:
    """Time all beams on each face and print the table."""
    lines = []
    for width, height, rows, modules in FACES:
        # An eighth of the throw apart, as a Lambertian beam is sampled.
        step = (DEPTH - 0.012) / 8
        x, y = (np.linspace(0.025, size - 0.025, round(size / step) + 1) for size in (width, height))
        lights = {
            name: lit(beam, turn, tilt, width, height, rows, modules)
            for name, (beam, turn, tilt) in BEAMS.items()
        }
        spent = in_turn({name: partial(light.on_lattice, x, y) for name, light in lights.items()}, ROUNDS)
        for name, light in lights.items():
            singly = light.illuminance(*np.meshgrid(x, y))
            off = float(np.max(np.abs(light.on_lattice(x, y) - singly)) / singly.max())
            lines.append(
                [
                    name,
                    f"{rows * modules}",
                    f"{len(x) * len(y)}",
                    f"{1e3 * spent[name]:.2f}",
                    f"{100 * spent['Lambertian'] / spent[name]:.0f} %",
                    f"{off:.0e}" if off else "0",
                ]
            )
    heads = ["beam", "sources", "points", "ms", "of Lambertian", "off, of peak"]
    sys.stdout.write(table(heads, lines))


if __name__ == "__main__":
    main()
