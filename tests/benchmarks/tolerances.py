"""A thousand built signs by two processes, beside simulating each: ``python -m tests.benchmarks.tolerances``.

The obvious way lights each drawn sign from nothing as a cabinet of its own; a few of them are lit so, in the same run,
which also says how exact the quick way is. Bowed faces are left out of that comparison, for there is no such cabinet to
light. Run it with one thread to each process.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from statistics import median

from lumsim.chunks import Crew, in_chunks
from lumsim.search.spread import Spread, built, draw
from lumsim.search.tolerance import SignResult, signs_of, tolerance_of, tolerance_parts
from lumsim.simulation import ALL_LIGHT, simulate
from lumsim.study.reading import Study, read_study
from tests.benchmarks.turns import table, timed

SIGNS = 1000
WHOLE = 6
"""Signs that are simulated whole. [1]"""
PROCESSES = 2
PROMISED = 5e-3
"""By which max/min of a sign may be off its own simulation. [1]"""

INCH = 0.0254
SPREADS = {
    "flux scatter, a dead module": Spread(flux_scatter=0.05, dead_modules=1),
    "and placing, sag, depth": Spread(
        flux_scatter=0.05, dead_modules=1, placing=INCH / 8, row_sag=INCH / 8, depth=INCH / 8
    ),
    "and bow": Spread(
        flux_scatter=0.05, dead_modules=1, placing=INCH / 8, row_sag=INCH / 8, depth=INCH / 8, bow=INCH / 4
    ),
}

DEMO = Path(__file__).parents[2] / "studies" / "larkspur-library.toml"
STUDIES = {
    "84 × 36 × 6 in": (),
    "96 × 48 × 5 in": ("cabinet.width=96 in", "cabinet.height=48 in", "cabinet.depth=5 in"),
}


def by_parts(study: Study, spread: Spread, signs: int) -> tuple[SignResult, ...]:
    """Draw and judge signs."""
    parts = tolerance_parts(study.cabinet, study.requirement, spread, signs=signs, seed=1, lighting=ALL_LIGHT)
    chunks = in_chunks(signs_of, parts, crew=Crew(processes=PROCESSES))
    return tolerance_of(parts, chunks.done).signs


def whole(study: Study, spread: Spread, number: int) -> float:
    """Max/min of one sign, simulated whole from nothing."""
    sign = draw(study.cabinet, spread, seed=1, number=number)
    requirement = replace(study.requirement, stripe_window=study.cabinet.stripe_window)
    return simulate(built(study.cabinet, sign), requirement).evenness.max_to_min


def main() -> None:
    """Print the table."""
    rows = []
    for size, changes in STUDIES.items():
        study = read_study(DEMO, changes=changes)
        by_parts(study, SPREADS["flux scatter, a dead module"], 2)
        for name, spread in SPREADS.items():
            found, spent = timed(by_parts, study, spread, SIGNS)
            one, off = "", ""
            if not spread.bow:
                singly = [timed(whole, study, spread, number) for number in range(1, WHOLE + 1)]
                each = median(seconds for _, seconds in singly)
                worst = max(
                    abs(sign.numbers["max_to_min"] / ratio - 1)
                    for sign, (ratio, _) in zip(found, singly, strict=False)
                )
                assert worst <= PROMISED, (size, name, worst)
                one, off = f"{SIGNS * each / PROCESSES / spent:.0f}", f"{100 * worst:.3f} %"
            rows.append([f"{size}: {name}", f"{len(study.cabinet.emitters())}", f"{spent:.1f}", one, off])
            sys.stderr.write(f"{rows[-1]}\n")
    sys.stdout.write(f"### {SIGNS} built signs, {PROCESSES} processes\n\n")
    heads = ["signs", "modules", "all, s", "times as fast as each whole", f"max/min, worst of {WHOLE}"]
    sys.stdout.write(table(heads, rows))


if __name__ == "__main__":
    main()
