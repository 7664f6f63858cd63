"""How time and memory grow with the number of patches: one box cut ever finer, and ever larger faces."""

from __future__ import annotations

import sys

import numpy as np

from tests.benchmarks.memory import figures_of
from tests.benchmarks.turns import table

FINER = (4, 6, 8, 10, 14, 20, 28)
"""Patches in the depth of the box of 2.4 × 1.2 × 0.127 m. [1]"""

LARGER = (0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0)
"""Times its width and height, at ten patches in the depth. [1]"""

NAMES = {
    "first": "first, s",
    "another": "another, s",
    "peak": "peak, MB",
    "corner": "of it adjacent returns, MB",
}


def exponents(found: list[dict[str, float]]) -> list[list[str]]:
    """Slope of each figure against the patches of a plane, in logarithms; and that of N log N."""
    lines = []
    for words, chosen in (("exponent, all", found), ("exponent, last four", found[-4:])):
        N = np.log([one["plane"] for one in chosen])
        cells = []
        for name in NAMES:
            values = np.array([one[name] for one in chosen])
            # What is too small to be told from nothing takes no part in a fit.
            told = values >= (1.0 if name == "peak" else 0.0)
            cells.append(f"{np.polyfit(N[told], np.log(values[told]), 1)[0]:.2f}")
        lines.append([words, f"N log N: {np.polyfit(N, N + np.log(N), 1)[0]:.2f}", "", *cells])
    return lines


def series(head: str, runs: dict[str, tuple[str, str]]) -> str:
    """One table; a fresh process for each row."""
    found = {label: figures_of("lit_once", "box", *run) for label, run in runs.items()}
    rows = [
        [
            label,
            f"{one['plane']:.0f}",
            f"{one['patches']:.0f}",
            f"{one['first']:.3f}",
            f"{one['another']:.3f}",
            f"{one['peak']:.0f}",
            f"{one['corner']:.1f}",
        ]
        for label, one in found.items()
    ]
    heads = [head, "patches in a plane, N", "all patches", *NAMES.values()]
    return table(heads, rows + exponents(list(found.values())))


def main() -> None:
    """Print both tables."""
    sys.stdout.write(
        "### Growth\n\n"
        "First: the exchange of a box and the balance of one layout in mirror image; another: the balance alone. "
        "Medians of up to five runs, one of those that take seconds. Peak memory is above that of a process that has "
        "lit a small box. The matrix of adjacent returns has a quarter of layers² × N entries; those between a return "
        "and a plane have layers × N.\n\n"
        "One box cut finer (2.4 × 1.2 × 0.127 m), so that layers grow with √N and these matrices faster than N; "
        "lumsim itself would refuse the last for its size:\n\n"
    )
    sys.stdout.write(series("patches in the depth", {str(n): (str(n), "1") for n in FINER}))
    sys.stdout.write("\nLarger faces of one depth and step (0.127 m, ten patches in it, 15 layers):\n\n")
    sys.stdout.write(series("face, m", {f"{2.4 * t:.3g} × {1.2 * t:.3g}": ("10", str(t)) for t in LARGER}))


if __name__ == "__main__":
    main()
