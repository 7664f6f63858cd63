"""A sign of 48 × 14 ft with 2 000 modules: time and memory of the whole answer, and how exact its max/min is."""

from __future__ import annotations

import os
import sys

from tests.benchmarks.memory import figures_of
from tests.benchmarks.turns import table

USUAL, TWICE, SOMEWHAT = 10, 20, 14
"""Patches in the depth: lumsim's usual ones; twice as many; what a machine of less memory holds. [1]"""

ROOMY = 12e9
"""Memory from which a machine holds the mesh twice as fine. [byte]"""


def main() -> None:
    """Print the table."""
    memory = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    finer = TWICE if memory > ROOMY else SOMEWHAT
    usual, fine = (figures_of("lit_once", "sign", str(n)) for n in (USUAL, finer))
    off = usual["max_to_min"] / fine["max_to_min"] - 1
    rows = [
        [
            words,
            f"{one['patches']:.0f}",
            f"{one['seconds']:.1f}",
            f"{one['peak']:.0f}",
            f"{one['max_to_min']:.5f}",
        ]
        for words, one in (("`simulate` from nothing", usual), ("light on the face, a finer mesh", fine))
    ]
    sys.stdout.write(
        "### 48 × 14 ft, 10 in deep, 2000 modules\n\n"
        f"The finer mesh has {finer / USUAL:g} times as many patches each way; lumsim itself would refuse it for its "
        f"size. Max/min at the usual mesh differs from it by {100 * off:+.3f} %.\n\n"
    )
    sys.stdout.write(table(["", "patches", "time, s", "peak, MB", "max/min"], rows))


if __name__ == "__main__":
    main()
