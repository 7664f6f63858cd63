"""Print how soon each lesson redraws when one of its sliders moves: `python -m tests.benchmarks.lessons`.

Of each slider, all cells that hang on it are run as the app would run them, picture included, while it goes to and fro
between two of its settings; the browser's share is not in it. ``processor`` is the time that the work takes of the
processor, which a busy machine stretches less; the slowest move is mostly the one in which Python tidies up its memory.
The first column of times is the whole notebook from its first cell, as it is opened.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from time import process_time

import marimo

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks.turns import table, timed
from tests.notebooks.course import NOTEBOOKS, ran, settings

MOVES = 10
"""Of each slider, after two that do not count. [1]"""


def settings_beside(slider: marimo.ui.slider) -> tuple[float, float]:
    """Two settings of a slider: where it stands, and the one beside it."""
    steps = settings(slider)
    at = steps.index(float(slider.value))
    return steps[at], steps[at + 1 if at + 1 < len(steps) else at - 1]


def main() -> None:
    """Time all lessons and print the table."""
    lines = []
    for path in NOTEBOOKS:
        run, opened = timed(ran, path)
        for name, slider in run.sliders.items():
            both = settings_beside(slider)
            spent, worked = [], []
            for move in range(MOVES + 2):
                start = process_time()
                spent.append(timed(run.set_to, {name: both[(move + 1) % 2]})[1])
                worked.append(process_time() - start)
            lines.append(
                [
                    f"{path.stem}: {name}",
                    f"{opened:.2f} s",
                    f"{1e3 * median(spent[2:]):.0f} ms",
                    f"{1e3 * median(worked[2:]):.0f} ms",
                    f"{1e3 * max(spent[2:]):.0f} ms",
                ]
            )
    sys.stdout.write(table(["lesson: slider", "opened in", "redrawn in", "processor", "slowest"], lines))


if __name__ == "__main__":
    main()
