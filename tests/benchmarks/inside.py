"""Print what the light thrown back costs, as Markdown: `OPENBLAS_NUM_THREADS=1 python -m tests.benchmarks.inside`.

One thread, also where that variable is not set; with another number in it the dense solution has as many. Some
three minutes and 7 GB. Each part runs in a fresh process, started by this small one: a process starts with the peak
memory of the one that starts it. All that does the same takes turns, and medians are told. No time is asserted;
that the answers are right is.
"""

from __future__ import annotations

import os
import platform
import sys
from importlib.metadata import version
from pathlib import Path

# Run by its path, as well as by its name, this file finds its neighbours from the root.
sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks.memory import run_part

PARTS = ("layouts", "against_dense", "growth", "very_large")


def main() -> None:
    """Run all parts."""
    threads = os.environ.get("OPENBLAS_NUM_THREADS", "1")
    libraries = ", ".join(f"{name} {version(name)}" for name in ("numpy", "scipy", "numba"))
    sys.stdout.write(
        f"## Light thrown back\n\nPython {platform.python_version()}, {libraries}; {platform.machine()}, "
        f"{os.cpu_count()} processors; OPENBLAS_NUM_THREADS={threads}.\n"
    )
    for part in PARTS:
        sys.stdout.write("\n")
        sys.stdout.flush()
        run_part(part)


if __name__ == "__main__":
    main()
