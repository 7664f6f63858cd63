"""The command line starts at once: nothing heavy is imported before a command needs it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

STUDY = Path(__file__).parents[2] / "studies" / "larkspur-library.toml"
HEAVY = ("numba", "scipy", "matplotlib", "numpy", "pydantic")


def test_help_imports_nothing_heavy() -> None:
    """In a fresh process `lumsim --help` loads none of the packages that take long to load."""
    look = (
        "import atexit, sys\n"
        f"atexit.register(lambda: sys.stderr.write(','.join(n for n in {HEAVY} if n in sys.modules) + '.'))\n"
        "sys.argv = ['lumsim', '--help']\n"
        "from lumsim.cli.app import main\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0
    assert "Commands:" in done.stdout
    assert done.stderr == "."


def test_reading_a_study_loads_nothing_that_computes() -> None:
    """A study is read, or refused, before any loop is compiled and before the packages for light are loaded."""
    look = (
        "import sys\n"
        "from lumsim.study.reading import read_study\n"
        f"read_study({str(STUDY)!r})\n"
        "print([name for name in ('numba', 'scipy.optimize', 'lumsim.light', 'lumsim.search.trying')"
        " if name in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], capture_output=True, text=True, check=False, timeout=300
    )
    assert (done.stdout, done.stderr) == ("[]\n", "")


def test_a_reader_that_leaves_early_is_no_error() -> None:
    """With its output closed, as by `| head`, a command ends silently: no traceback, status 0."""
    look = (
        "import os, sys\n"
        "reading, writing = os.pipe()\n"
        "os.close(reading)\n"
        "os.dup2(writing, 1)\n"
        f"sys.argv = ['lumsim', 'check', {str(STUDY)!r}]\n"
        "from lumsim.cli.app import main\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], stderr=subprocess.PIPE, text=True, check=False, timeout=300
    )
    assert (done.returncode, done.stderr) == (0, "")
