"""Workers on this machine may be killed, and end with what began them."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from lumsim.chunks import Crew, in_chunks
from lumsim.errors import TooLargeError
from tests.chunks.script import begun, printed
from tests.chunks.trades import ROOT, Errand, lines, run_errand, until

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")


def there(process: int) -> bool:
    """Whether there is a process of that number."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_worker_that_is_killed_loses_nothing(tmp_path: Path) -> None:
    """A worker killed from outside half-way through a part: that part is done again, no other is, and all are there."""
    # Long enough for a busy machine to come to killing it.
    parts = [
        Errand(number=number, folder=tmp_path, seconds=3.0 if number == 2 else 0.1) for number in range(6)
    ]

    def kill() -> None:
        until(lambda: bool(lines(tmp_path, "begun", 2)))
        os.kill(lines(tmp_path, "begun", 2)[0], signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    chunks = in_chunks(run_errand, parts, crew=Crew(processes=2))
    killer.join()
    assert chunks.finished
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4, 9, 16, 25]
    assert [len(lines(tmp_path, "begun", number)) for number in range(6)] == [1, 1, 2, 1, 1, 1]
    assert [len(lines(tmp_path, "ended", number)) for number in range(6)] == [1] * 6


def test_a_part_that_comes_back_goes_to_a_worker_that_waits(tmp_path: Path) -> None:
    """One worker has long finished all else when the other one dies: it does the last part too."""
    parts = [
        Errand(number=0, folder=tmp_path, awaits="ended-1", seconds=3.0),
        Errand(number=1, folder=tmp_path),
    ]

    def kill() -> None:
        until(lambda: bool(lines(tmp_path, "begun", 0) and lines(tmp_path, "ended", 1)))
        time.sleep(0.2)
        os.kill(lines(tmp_path, "begun", 0)[0], signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    chunks = in_chunks(run_errand, parts, crew=Crew(processes=2))
    killer.join()
    assert [square for square, _ in chunks.done.values()] == [0, 1]
    assert chunks.done[0][1] == chunks.done[1][1]


def test_a_part_that_kills_its_workers_is_given_up_after_three(tmp_path: Path) -> None:
    """Twice is borne; three times ends with words that name the part, and what else was finished is kept."""
    twice = [Errand(number=number, folder=tmp_path, deadly=2 * (number == 1)) for number in range(3)]
    chunks = in_chunks(run_errand, twice, crew=Crew(processes=2))
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4]
    assert len(lines(tmp_path, "begun", 1)) == 3

    folder = tmp_path / "always"
    folder.mkdir()
    always = [Errand(number=number, folder=folder, deadly=99 * (number == 2)) for number in range(3)]
    with pytest.raises(
        TooLargeError, match=r"depth 3 of 3 is given up: 3 worker processes .* SIGKILL; mostly"
    ):
        in_chunks(run_errand, always, crew=Crew(processes=2, kept=tmp_path / "kept"), what="depth")
    assert len(lines(folder, "begun", 2)) == 3
    assert len(list((tmp_path / "kept").iterdir())) == 2


@pytest.mark.parametrize("processes", [1, 2])
def test_ctrl_c_gives_back_what_is_done(tmp_path: Path, processes: int) -> None:
    """Ctrl-C, which reaches the workers too, ends them all without a word, and the finished parts are there.

    The next run does not do them again, and afterwards nothing is kept.
    """
    running = begun("errands", tmp_path, 12, 0.3, processes, "")
    # The result of part 0 has come in before part 2 is given out.
    until(lambda: bool(lines(tmp_path, "begun", 2)))
    workers = {lines(tmp_path, "begun", number)[0] for number in range(3)}
    # On a busy machine the first one may have done two parts before the second is there.
    assert 1 <= len(workers) <= processes
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate(timeout=300)
    assert (running.returncode, err) == (0, "")
    finished, *done = out.split()
    assert finished == "False"
    assert "0" in done
    assert len(done) < 12
    until(lambda: not any(there(pid) for pid in workers))

    out, err = begun("errands", tmp_path, 12, 0.3, processes, "").communicate(timeout=300)
    assert (out, err) == ("True 0 1 2 3 4 5 6 7 8 9 10 11\n", "")
    assert all(len(lines(tmp_path, "ended", int(number))) == 1 for number in done)
    assert all(len(lines(tmp_path, "ended", number)) >= 1 for number in range(12))
    assert list((tmp_path / "kept").iterdir()) == []


@pytest.mark.parametrize("processes", [1, 2])
def test_ctrl_c_before_anything_is_done_is_ctrl_c(tmp_path: Path, processes: int) -> None:
    """With no part finished there is nothing to give back: KeyboardInterrupt, and workers are silent."""
    running = begun("errands", tmp_path, 2, 30, processes, "")
    until(lambda: bool(lines(tmp_path, "begun", 0)))
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate(timeout=300)
    assert running.returncode == -signal.SIGINT
    assert out == ""
    assert err.count("Traceback") == 1
    assert err.endswith("KeyboardInterrupt\n")


def test_ctrl_c_is_held_from_every_worker_as_it_starts(tmp_path: Path) -> None:
    """From the first one too, with which Python starts a helper of its own: none tells of Ctrl-C while it loads."""
    assert printed("held", tmp_path) == "True True 2\n"


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL])
def test_workers_end_with_the_process_that_began_them(tmp_path: Path, how: signal.Signals) -> None:
    """However it ends, they are gone soon after, half-way through their parts, and say nothing."""
    running = begun("errands", tmp_path, 2, 30, 2, "")
    until(lambda: bool(lines(tmp_path, "begun", 0) and lines(tmp_path, "begun", 1)))
    workers = [lines(tmp_path, "begun", number)[0] for number in range(2)]
    os.kill(running.pid, how)
    _, err = running.communicate(timeout=300)
    assert (running.returncode, err) == (-how, "")
    until(lambda: not any(there(pid) for pid in workers))


def test_no_process_is_left_when_the_work_is_done(tmp_path: Path) -> None:
    """After the call no worker is there, not even as a zombie, and Ctrl-C is handled as before."""
    before = signal.getsignal(signal.SIGINT)
    chunks = in_chunks(run_errand, [Errand(number=0), Errand(number=1)], crew=Crew(processes=2))
    assert not any(there(who) for _, who in chunks.done.values())
    assert signal.getsignal(signal.SIGINT) is before


def test_a_script_without_a_guard_is_told_what_it_needs(tmp_path: Path) -> None:
    """Workers import the script that began the work; where that begins it again they die, which ends in words."""
    script = tmp_path / "unguarded.py"
    script.write_text(
        "from lumsim.chunks import Crew, in_chunks\n"
        "from tests.chunks.trades import squared\n"
        "in_chunks(squared, [1, 2], crew=Crew(processes=2))\n"
    )
    done = subprocess.run(
        [sys.executable, script],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 1
    assert 'under `if __name__ == "__main__":`' in done.stderr.splitlines()[-1]
