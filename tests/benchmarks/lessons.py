"""Print how soon each lesson redraws when one of its sliders moves: `python -m tests.benchmarks.lessons`.

Of each slider, all cells that hang on it are run as the app would run them, picture included, while it goes to and fro
between two of its settings; the browser's share is not in it. ``processor`` is the time that the work takes of the
processor, which a busy machine stretches less; the slowest move is mostly the one in which Python tidies up its memory.
The first column of times is the whole notebook from its first cell, as it is opened.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time
from types import SimpleNamespace
from typing import Any

import marimo

# marimo tells nowhere in public which cells hang on a variable.
from marimo._ast.app import InternalApp

# Run by its path, as well as by its name, this file finds the package and its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks.turns import table, timed
from tests.notebooks.course import NOTEBOOKS, app_of

MOVES = 10
"""Of each slider, after two that do not count. [1]"""


def settings(slider: marimo.ui.slider) -> tuple[float, float]:
    """Two settings of a slider: where it stands, and a step beside it."""
    here = float(slider.value)
    steps = slider.steps or []
    if steps:
        at = steps.index(slider.value)
        return here, float(steps[at + 1] if at + 1 < len(steps) else steps[at - 1])
    step = float(slider.step or 1)
    return here, here + step if here + step <= slider.stop else here - step


def redraws(app: marimo.App, made: dict[str, Any]) -> dict[str, Callable[[float], None]]:
    """Of each slider of an app that was run, what runs all cells that hang on it at a setting.

    Parameters
    ----------
    app : marimo.App
    made : dict
        Every variable that its cells made.
    """
    inner = InternalApp(app)
    found: dict[str, Callable[[float], None]] = {}
    for maker in inner.execution_order:
        below = inner.graph.descendants(maker)
        for name in sorted(inner.graph.cells[maker].defs):
            if not isinstance(made[name], marimo.ui.slider):
                continue
            cells = [
                inner.graph.cells[one]
                for one in inner.execution_order
                if one in below and _hangs_on(name, one, inner)
            ]
            found[name] = lambda value, name=name, cells=cells: _run(  # type: ignore[misc]
                cells, {**made, name: SimpleNamespace(value=value)}
            )
    return found


def _hangs_on(name: str, cell: Any, inner: InternalApp) -> bool:
    """Whether a cell reads a variable, or anything made of it."""
    changed = {name}
    for one in inner.execution_order:
        here = inner.graph.cells[one]
        if here.refs & changed:
            if one == cell:
                return True
            changed |= here.defs
    return False


def _run(cells: list[Any], made: dict[str, Any]) -> None:
    """Run cells in their order, and make what each shows ready for the page."""
    for cell in cells:
        exec(cell.body, made)
        marimo.as_html(eval(cell.last_expr, made))


def main() -> None:
    """Time all lessons and print the table."""
    lines = []
    for path in NOTEBOOKS:
        app = app_of(path)
        (_, made), opened = timed(app.run)
        for name, redraw in redraws(app, dict(made)).items():
            both = settings(made[name])
            spent, worked = [], []
            for move in range(MOVES + 2):
                start = process_time()
                spent.append(timed(redraw, both[(move + 1) % 2])[1])
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
