"""Parts given out, results gathered."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from lumsim.chunks.cluster import by_cluster
from lumsim.chunks.crew import Crew, cores
from lumsim.chunks.kept import Kept
from lumsim.chunks.processes import by_processes
from lumsim.chunks.tasks import one_thread, packed, result_bytes

__all__ = ["Chunks", "in_chunks"]

P = TypeVar("P")
R = TypeVar("R")


@dataclass(slots=True)
class Chunks(Generic[R]):
    """What was done of some work."""

    done: dict[int, R]
    """results by the number of their part, from 0, rising"""
    finished: bool
    """False where Ctrl-C came first: then ``done`` holds what was finished by then"""


def in_chunks(
    work: Callable[[P], R],
    parts: Sequence[P],
    *,
    crew: Crew,
    progress: Callable[[float, str], None] | None = None,
    what: str = "part",
    enough: Callable[[Sequence[R]], bool] | None = None,
) -> Chunks[R]:
    """Do the same to each of some parts, or to as many as are enough, by whoever is named for it.

    A result depends on its part alone, to the last byte, whoever does it. Workers that are killed are replaced, and
    what they were at is done again.

    Parameters
    ----------
    work : callable
        A function of a module, which takes a part and returns its result; both can be pickled. It may read what is
        given, and must leave the rest of its process as it is.
    parts : sequence
        Given out in this order.
    crew : Crew
        Who does it, and where finished parts are kept until all are.
    progress : callable, optional
        Called with the share that is done and words for it, such as ``0.35, "7 of 20 depths"``, after each part, and
        once at the beginning for parts that were found finished.
    what : str
        What one part is called.
    enough : callable, optional
        Takes the results of the first few parts, in their order and without a gap, and says whether no further part is
        needed. Asked of ever more of them from none on; what was done beyond those that are enough is left out.

    Returns
    -------
    Chunks

    Raises
    ------
    Exception
        What `work` raised for a part, as it raised it.
    TooLargeError
        Where worker processes die over the same part again and again.
    InputError
        Where the scheduler cannot be reached, has no workers, or workers without this same lumsim; where the folder for
        finished parts is not safe.
    OutputError
        Where that folder cannot be written to.
    LumsimError
        Where workers cannot be started, or the scheduler is lost.
    KeyboardInterrupt
        After Ctrl-C, where no part was done yet.
    """
    done: dict[int, R] = {}
    kept = None if crew.kept is None else Kept(crew.kept, work, parts)

    def tell() -> None:
        if progress is not None:
            progress(len(done) / len(parts), f"{len(done)} of {len(parts)} {_several(what, len(parts))}")

    if kept is not None:
        for number in range(len(parts)):
            found = kept.read(number)
            if found is not None:
                done[number] = pickle.loads(found)
        if done:
            tell()
    first = _First(done, enough)
    todo = [number for number in range(len(parts)) if number not in done and not first.are_enough]
    results = _results(packed(work), [packed(part) for part in parts], todo, crew, what)
    finished = True
    try:
        for number, result in results:
            done[number] = pickle.loads(result)
            if kept is not None:
                kept.write(number, result)
            tell()
            if first.are_enough:
                break
    except KeyboardInterrupt:
        if not done:
            raise
        finished = False
    finally:
        results.close()
    if finished and kept is not None:
        kept.forget()
    return Chunks(
        done={number: done[number] for number in sorted(done) if first.counts(number)}, finished=finished
    )


class _First(Generic[R]):
    """The first parts without a gap, as they are done, and whether they are enough."""

    def __init__(self, done: Mapping[int, R], enough: Callable[[Sequence[R]], bool] | None) -> None:
        self._done, self._enough = done, enough
        self._results: list[R] = []
        self._were_enough = enough is not None and enough(())

    @property
    def are_enough(self) -> bool:
        """Whether no further part is needed."""
        while self._enough is not None and not self._were_enough and len(self._results) in self._done:
            self._results.append(self._done[len(self._results)])
            self._were_enough = self._enough(self._results)
        return self._were_enough

    def counts(self, number: int) -> bool:
        """Whether a part is among those that are enough, or all are needed."""
        return not self.are_enough or number < len(self._results)


def _results(
    work: bytes, parts: list[bytes], todo: list[int], crew: Crew, what: str
) -> Generator[tuple[int, bytes], None, None]:
    if not todo or crew.processes == 1:
        return _here(work, parts, todo)
    if crew.scheduler is not None:
        return by_cluster(work, parts, todo, scheduler=crew.scheduler, what=what)
    return by_processes(work, parts, todo, count=crew.processes or cores(), what=what)


def _here(work: bytes, parts: list[bytes], todo: list[int]) -> Generator[tuple[int, bytes], None, None]:
    """Do parts in this process."""
    with one_thread():
        for number in todo:
            yield number, result_bytes(work, parts[number])


def _several(what: str, count: int) -> str:
    """Say what something is called where there are so many of it."""
    if count == 1:
        return what
    if what.endswith("y") and what[-2:-1] not in set("aeiou"):
        return what[:-1] + "ies"
    return what + ("es" if what.endswith(("s", "x", "z", "ch", "sh")) else "s")
