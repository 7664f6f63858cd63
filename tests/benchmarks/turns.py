"""How things are timed: in turns, so that a busy spell of the machine falls on all, and by their medians."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from statistics import median
from time import perf_counter
from typing import TypeVar

Result = TypeVar("Result")


def timed(work: Callable[..., Result], *given: object) -> tuple[Result, float]:
    """What some work makes of what is given, and how long it takes [s]."""
    start = perf_counter()
    found = work(*given)
    return found, perf_counter() - start


def in_turn(functions: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Median time of each, after one run that does not count [s]."""
    times: dict[str, list[float]] = {name: [] for name in functions}
    for turn in range(rounds + 1):
        for name, function in functions.items():
            spent = timed(function)[1]
            if turn > 0:
                times[name].append(spent)
    return {name: median(spent) for name, spent in times.items()}


def table(heads: list[str], rows: list[list[str]]) -> str:
    """A Markdown table: the first column to the left, figures to the right."""
    widths = [max(len(line[i]) for line in (heads, *rows)) for i in range(len(heads))]

    def line(cells: list[str]) -> str:
        padded = (
            cell.ljust(width) if i == 0 else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(cells, widths, strict=True))
        )
        return f"| {' | '.join(padded)} |\n"

    rule = [("-" * width if i == 0 else "-" * (width - 1) + ":") for i, width in enumerate(widths)]
    return line(heads) + line(rule) + "".join(line(row) for row in rows)
