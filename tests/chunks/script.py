"""Scripts that the tests run in processes of their own: python -m tests.chunks.script NAME ARGUMENTS."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from lumsim.chunks import Crew, in_chunks
from tests.chunks.trades import ROOT, Errand, held, run_errand


def begun(name: str, *arguments: object, **environment: str) -> subprocess.Popen[str]:
    """Begin a script in a process and a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "tests.chunks.script", name, *map(str, arguments)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def printed(name: str, *arguments: object, **environment: str) -> str:
    """Run a script and return what it prints; nothing else may come of it."""
    running = begun(name, *arguments, **environment)
    out, err = running.communicate(timeout=300)
    assert (running.returncode, err) == (0, "")
    return out


def _same_bytes(size: str) -> None:
    from tests.chunks.planes import bytes_of_plane

    print(*(bytes_of_plane(Crew(processes=processes), large=size == "large") for processes in (1, 2)))


def _digests(study: str) -> None:
    from lumsim.chunks.digests import digest_of
    from lumsim.study.reading import read_study

    sign = read_study(Path(study))
    print(digest_of(sign), digest_of(frozenset({"stripes", "dots", "edges"})))


def _held(folder: str) -> None:
    done = in_chunks(held, [Path(folder), Path(folder)], crew=Crew(processes=2)).done
    print(*(is_held for is_held, _ in done.values()), len({who for _, who in done.values()}))


def _errands(folder: str, count: str, seconds: str, processes: str, scheduler: str) -> None:
    done = in_chunks(
        run_errand,
        [Errand(number=number, folder=Path(folder), seconds=float(seconds)) for number in range(int(count))],
        crew=Crew(
            processes=int(processes) if processes else None,
            scheduler=scheduler or None,
            kept=Path(folder) / "kept",
        ),
    )
    print(done.finished, *done.done)


SCRIPTS: dict[str, Callable[..., None]] = {
    "same_bytes": _same_bytes,
    "digests": _digests,
    "held": _held,
    "errands": _errands,
}

if __name__ == "__main__":
    # As a terminal starts it, also where the tests themselves run with Ctrl-C ignored.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    SCRIPTS[sys.argv[1]](*sys.argv[2:])
