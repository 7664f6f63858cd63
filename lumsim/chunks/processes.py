"""Workers on this machine: processes that may be killed without loss, and that end with this one.

A worker is given one part at a time through a pipe of its own. When it dies, its part goes to another one; a part over
which workers die ``TRIES`` times is given up. The pool of ``concurrent.futures`` was left, since one killed worker
breaks all of it.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import signal
import threading
from collections import Counter, deque
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field
from multiprocessing import Pipe, get_context, parent_process
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Any

from lumsim.chunks.interrupts import interrupts_heard, interrupts_held
from lumsim.chunks.tasks import BLAS_THREADS, failure_bytes, result_bytes, set_environment
from lumsim.errors import LumsimError, TooLargeError

__all__ = ["TRIES", "by_processes", "given_up"]

TRIES = 3
"""How many workers may die over one part. [1]"""

_ONE_THREAD = dict.fromkeys((*BLAS_THREADS, "NUMBA_NUM_THREADS"), "1")
_THERE = -1
"""The number that a worker tells in place of a part's when it has started."""


def by_processes(
    work: bytes, parts: Sequence[bytes], todo: Sequence[int], *, count: int, what: str
) -> Generator[tuple[int, bytes], None, None]:
    """Have parts done by workers on this machine.

    Parameters
    ----------
    work : bytes
        A pickled function.
    parts : sequence of bytes
        All parts, pickled.
    todo : sequence of int
        Numbers of the parts to do, in the order in which to give them out.
    count : int
        How many workers. [1]
    what : str
        What a part is called in messages.

    Yields
    ------
    number, result : int, bytes
        As they come in; the result pickled.

    Raises
    ------
    Exception
        What a part raised, as it raised it.
    TooLargeError
        Where ``TRIES`` workers died over one part.
    LumsimError
        Where workers die before they begin.
    KeyboardInterrupt
        After Ctrl-C, once every result that had come in was yielded.
    """
    team = _Team(work=work, parts=parts, waiting=deque(todo), what=what)
    with interrupts_heard() as interrupts:
        try:
            while team.has_work:
                team.fill(count)
                ready = set(wait([*team.ears, interrupts]))
                for worker in list(team.workers):
                    if worker.pipe in ready or worker.process.sentinel in ready:
                        done = team.hear(worker)
                        if done is not None:
                            yield done
                if interrupts in ready:
                    raise KeyboardInterrupt
        finally:
            team.end()


@dataclass(slots=True, kw_only=True, eq=False)
class _Worker:
    """A process, and what it is at."""

    process: SpawnProcess
    pipe: Connection[Any, Any]
    started: bool = False
    """whether it said that it is there"""
    part: int | None = None
    """by number; None while it starts or waits"""


@dataclass(slots=True, kw_only=True)
class _Team:
    """The workers, and what is left to do."""

    work: bytes
    parts: Sequence[bytes]
    waiting: deque[int]
    what: str
    workers: list[_Worker] = field(default_factory=list)
    deaths: Counter[int] = field(default_factory=Counter)
    """over each part"""
    stillborn: int = 0

    @property
    def has_work(self) -> bool:
        """Whether a part is waiting or under way."""
        return bool(self.waiting) or any(worker.part is not None for worker in self.workers)

    @property
    def ears(self) -> list[Connection[Any, Any] | int]:
        """What becomes ready when a worker tells something or dies."""
        return [ear for worker in self.workers for ear in (worker.pipe, worker.process.sentinel)]

    def fill(self, count: int) -> None:
        """Give idle workers what came back from dead ones, and start workers up to a count, but no more than needed."""
        for worker in self.workers:
            if worker.started and worker.part is None:
                self._give(worker)
        busy = sum(worker.part is not None for worker in self.workers)
        while len(self.workers) < min(count, busy + len(self.waiting)):
            self.workers.append(_start(self.work))

    def hear(self, worker: _Worker) -> tuple[int, bytes] | None:
        """Take what a worker tells, if it is a result give it back, and give out the next part."""
        try:
            if not worker.pipe.poll():
                raise EOFError
            number, failed, content = worker.pipe.recv()
        except (EOFError, OSError):
            self._bury(worker)
            return None
        worker.started, worker.part = True, None
        if failed:
            raise pickle.loads(content)
        self._give(worker)
        return None if number == _THERE else (number, content)

    def _give(self, worker: _Worker) -> None:
        """Give a worker the next part, if there is one."""
        if self.waiting:
            worker.part = self.waiting.popleft()
            # Where it has died since, the next look at it finds that.
            with contextlib.suppress(OSError):
                worker.pipe.send((worker.part, self.parts[worker.part]))

    def _bury(self, worker: _Worker) -> None:
        """Take a dead worker's part back; give up where too many died."""
        self.workers.remove(worker)
        end = _end(worker)
        if worker.part is not None:
            self.deaths[worker.part] += 1
            if self.deaths[worker.part] >= TRIES:
                raise TooLargeError(given_up(self.what, worker.part, len(self.parts), end))
            self.waiting.appendleft(worker.part)
        elif not worker.started:
            self.stillborn += 1
            if self.stillborn >= TRIES:
                raise LumsimError(
                    f"worker processes end as they start ({end}): use one process; a script of your own must begin the "
                    'work under `if __name__ == "__main__":`'
                )

    def end(self) -> None:
        """End all workers, whatever they are at."""
        for worker in self.workers:
            worker.process.terminate()
        for worker in self.workers:
            _end(worker)


def given_up(what: str, number: int, of: int, end: str) -> str:
    """Say that a part is given up.

    Parameters
    ----------
    what : str
        What a part is called.
    number : int
        From 0.
    of : int
        How many parts there are. [1]
    end : str
        How the last worker over it ended.
    """
    return (
        f"{what} {number + 1} of {of} is given up: {TRIES} worker processes died over it, the last one by {end}; "
        "mostly that is for want of memory: use fewer processes, or ask for less"
    )


def _start(work: bytes) -> _Worker:
    """Start a worker, without waiting for it."""
    here, there = Pipe()
    process = get_context("spawn").Process(target=_serve, args=(there, work), daemon=True)
    # Libraries look at the environment as they are loaded, so it is set before the process is there.
    with set_environment(_ONE_THREAD), interrupts_held():
        process.start()
    # Else the pipe would not end with the worker.
    there.close()
    return _Worker(process=process, pipe=here)


def _end(worker: _Worker) -> str:
    """See a worker off that is dying or dead, and say how it ended."""
    worker.pipe.close()
    worker.process.join(5)
    if worker.process.is_alive():
        worker.process.kill()
        worker.process.join()
    code = worker.process.exitcode or 0
    worker.process.close()
    try:
        return signal.Signals(-code).name
    except ValueError:
        return f"exit status {code}"


def _serve(pipe: Connection[Any, Any], work: bytes) -> None:
    """Do parts as they come in, in a process of its own."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches all processes; the parent ends this one
    threading.Thread(target=_end_with_parent, daemon=True).start()
    pipe.send((_THERE, False, b""))
    with contextlib.suppress(EOFError, OSError):
        while True:
            number, part = pipe.recv()
            try:
                told = (number, False, result_bytes(work, part))
            except Exception as error:
                told = (number, True, failure_bytes(error))
            pipe.send(told)


def _end_with_parent() -> None:
    """End this process when the one that started it ends, however that did."""
    parent = parent_process()
    assert parent is not None
    wait([parent.sentinel])
    os._exit(1)
