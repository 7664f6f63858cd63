"""Print how lumsim and the path tracer compare, in Markdown: ``python -m tests.path_tracer.report``.

Times are of one processor and of one run: the tracer's to a standard error of 0.3 % in a cell (root mean square over
the cells of one face), beside lumsim's whole answer (of all faces, maps, extremes and spots included) once its loops
are compiled. lumsim is timed at its usual mesh, whose own error in a cell is told from a mesh twice as fine. A cell
beyond three standard errors is measured a second time, afresh. ``--variant`` names another build of the tracer.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator
from statistics import median
from time import process_time

# Threads that wait for each other spend processor time too.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import drjit
import numpy as np

from lumsim.simulation import USUAL, Lighting, simulate
from tests.path_tracer.cases import CASES, CELLS, Case
from tests.path_tracer.cells import cell_means
from tests.path_tracer.opinions import AFRESH, opinions
from tests.path_tracer.photograph import VARIANT

ACCURACY = 3e-3
RUNS = 7


def lumsim_seconds(case: Case) -> float:
    """Median processor time of lumsim's whole answer and the cells' means, after a run that does not count. [s]"""
    spent = []
    for _ in range(RUNS + 1):
        start = process_time()
        cell_means(simulate(case.cabinet), CELLS, case.side)
        spent.append(process_time() - start)
    return median(spent[1:])


def lumsim_error(case: Case) -> float:
    """Largest change of a cell's mean from the usual mesh to one twice as fine. [1]"""
    usual, twice = (
        cell_means(simulate(case.cabinet, lighting=Lighting(patches_in_depth=n)), CELLS, case.side)
        for n in (USUAL, 2 * USUAL)
    )
    return float(np.max(np.abs(usual / twice - 1)))


def markdown(variant: str) -> Iterator[str]:
    """The table's lines."""
    yield (
        "| cabinet | cells | paths a cell | SE of a cell | largest difference | χ² a cell (p) | mean difference "
        f"| lumsim's own error of a cell | time to {ACCURACY:.1%} a cell against lumsim's |"
    )
    yield "|---|---|---|---|---|---|---|---|---|"
    for name, case in CASES.items():
        found = opinions(name, variant=variant)
        measured, largest = found.measured, f"{found.largest:.2f} SE"
        beyond = np.abs(found.differences) > 3
        if beyond.any():
            afresh = opinions(name, seed=AFRESH, variant=variant)
            largest += f" (afresh {np.max(np.abs(afresh.differences[beyond])):.2f})"
        tracer, lumsim = measured.seconds_to(ACCURACY), lumsim_seconds(case)
        cells = found.computed.size
        yield (
            f"| {name} | {cells} | {measured.samples} | {measured.relative_error:.2%} | {largest} "
            f"| {found.chi_square / cells:.2f} ({found.probability:.2f}) "
            f"| {found.mean_difference:+.3%} ± {found.mean_error:.3%} "
            f"| {lumsim_error(case):.3%} | {tracer:.1f} s / {lumsim:.2f} s = {tracer / lumsim:.0f} |"
        )


def main() -> None:
    """Print the table, line by line as it is measured."""
    parser = argparse.ArgumentParser(description="Print how lumsim and the path tracer compare, in Markdown.")
    parser.add_argument("--variant", default=VARIANT, help="build of the tracer")
    drjit.set_thread_count(1)
    for line in markdown(parser.parse_args().variant):
        sys.stdout.write(line + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
