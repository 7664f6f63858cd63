"""Print how lumsim and the path tracer compare, in Markdown: ``python -m tests.path_tracer.report``.

Times are of one processor and of one run: the tracer's to a standard error of 0.3 % in a cell, on the root mean
square, beside lumsim's whole answer once its loops are compiled. ``--variant`` names another build of the tracer.
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

from lumsim.simulation import simulate
from tests.path_tracer.cases import CASES, CELLS, Case
from tests.path_tracer.cells import cell_means
from tests.path_tracer.measured import Comparison
from tests.path_tracer.opinions import by_lumsim, by_tracer
from tests.path_tracer.photograph import VARIANT

SEED = 1
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


def markdown(variant: str) -> Iterator[str]:
    """The table's lines."""
    yield (
        "| cabinet | cells | paths a cell | SE of a cell | largest difference | χ² a cell (p) | mean difference "
        f"| time to {ACCURACY:.1%} a cell against lumsim's |"
    )
    yield "|---|---|---|---|---|---|---|---|"
    for name, case in CASES.items():
        measured = by_tracer(name, seed=SEED, variant=variant)
        found = Comparison(computed=by_lumsim(case), measured=measured)
        tracer, lumsim = measured.seconds_to(ACCURACY), lumsim_seconds(case)
        cells = found.computed.size
        yield (
            f"| {name} | {cells} | {measured.samples} | {measured.relative_error:.2%} | {found.largest:.2f} SE "
            f"| {found.chi_square / cells:.2f} ({found.probability:.2f}) "
            f"| {found.mean_difference:+.3%} ± {found.mean_error:.3%} "
            f"| {tracer:.1f} s / {lumsim:.2f} s = {tracer / lumsim:.0f} |"
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
