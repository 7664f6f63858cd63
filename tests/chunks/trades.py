"""Work to be done in chunks: quick, slow, deadly and faulty."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from lumsim.errors import InputError, Problem, StudyError

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """A part that leaves word in a folder of what was done, by whom."""

    number: int
    folder: Path | None = None
    awaits: str = ""
    """word that another errand must have left before this one goes on, such as begun-1"""
    seconds: float = 0.0
    deadly: int = 0
    """how many times it kills who does it"""


def until(happened: Callable[[], bool]) -> None:
    """Wait for something to happen, however busy the machine is."""
    end = time.monotonic() + 300
    while not happened():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.01)


def run_errand(errand: Errand) -> tuple[int, int]:
    """Leave word of having begun and ended, and return the number's square and who did it."""
    folder = errand.folder
    if folder is not None:
        with (folder / f"begun-{errand.number}").open("a") as file:
            file.write(f"{os.getpid()}\n")
        begun = len((folder / f"begun-{errand.number}").read_text().splitlines())
        if begun <= errand.deadly:
            os.kill(os.getpid(), 9)
        until(lambda: not errand.awaits or (folder / errand.awaits).exists())
    time.sleep(errand.seconds)
    if folder is not None:
        with (folder / f"ended-{errand.number}").open("a") as file:
            file.write(f"{os.getpid()}\n")
    return errand.number**2, os.getpid()


def lines(folder: Path, what: str, number: int) -> list[int]:
    """Return who left word of having begun or ended an errand, in that order."""
    file = folder / f"{what}-{number}"
    return [int(line) for line in file.read_text().splitlines()] if file.exists() else []


def squared(number: int) -> int:
    """Return a number's square."""
    return number**2


def threads_told(number: int) -> tuple[str | None, str | None]:
    """Return what the environment says of threads."""
    return os.environ.get("OPENBLAS_NUM_THREADS"), os.environ.get("NUMBA_NUM_THREADS")


def held(folder: Path) -> tuple[bool, int]:
    """Return whether Ctrl-C is held from this process, and who it is; two such parts wait for each other."""
    (folder / f"held-{os.getpid()}").touch()
    until(lambda: len(list(folder.glob("held-*"))) == 2)
    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, []), os.getpid()


def refused(number: int) -> int:
    """Refuse number 2 as a user's fault."""
    if number == 2:
        raise InputError("2 is too many")
    return number


def refused_study(number: int) -> int:
    """Refuse any number as faults of a study."""
    raise StudyError([Problem(where="shop.toml", line=number, key="cabinet.depth", text="must be above 0")])


def at_fault(number: int) -> float:
    """Divide by nought."""
    return 1 / (number * 0)


class TwoWordsError(Exception):
    """An exception that cannot be unpickled, since it is made of two words."""

    def __init__(self, one: str, other: str) -> None:
        super().__init__(f"{one} {other}")


def at_strange_fault(number: int) -> int:
    """Raise what cannot be unpickled."""
    raise TwoWordsError("strange", "fault")


def not_to_be_sent(number: int) -> object:
    """Return what cannot be pickled."""
    return lambda: number
