"""Peak memory of some work, and its time: each in a fresh process, for a peak is never forgotten."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def run_part(part: str, *given: str, capture: bool = False) -> str:
    """Run a file of this folder in a fresh process, on one thread unless more are asked for.

    A process starts with the peak of the one that starts it: that one must be small.
    """
    threads = {"OPENBLAS_NUM_THREADS": "1"} | dict(os.environ)
    command = [sys.executable, "-m", f"tests.benchmarks.{part}", *given]
    found = subprocess.run(
        command, check=True, cwd=ROOT, env=threads, text=True, stdout=subprocess.PIPE if capture else None
    )
    return found.stdout or ""


def figures_of(part: str, *given: str) -> dict[str, float]:
    """What a part tells of itself."""
    found: dict[str, float] = json.loads(run_part(part, *given, capture=True))
    return found


def tell(figures: dict[str, float]) -> None:
    """Tell whoever started this part."""
    sys.stdout.write(json.dumps(figures))


def peak() -> float:
    """Largest memory this process ever had [MB]."""
    # Linux counts in KiB, macOS in bytes.
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6
