"""One part as bytes → its result as bytes, by one thread.

Parts and results go as bytes even within one process, so that a result is the same object graph, and pickles to the
same bytes, wherever it was computed; and no part of the work can change what another one is given.
"""

from __future__ import annotations

import os
import pickle
import traceback
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from threadpoolctl import threadpool_limits

from lumsim.errors import LumsimError

__all__ = [
    "BLAS_THREADS",
    "failure_bytes",
    "one_thread",
    "packed",
    "result_bytes",
    "set_environment",
    "stay_one_thread",
]

BLAS_THREADS = (
    "OPENBLAS_NUM_THREADS",
    "OMP_NUM_THREADS",
    "MKL_NUM_THREADS",
    "BLIS_NUM_THREADS",
    "VECLIB_MAXIMUM_THREADS",
)
"""What libraries of linear algebra look at, as they are loaded, for how many threads to start."""


def packed(thing: object) -> bytes:
    """Pickle a part, a result or a function of a module.

    Parameters
    ----------
    thing : object
    """
    return pickle.dumps(thing, protocol=5)


def result_bytes(work: bytes, part: bytes) -> bytes:
    """Do one part.

    Parameters
    ----------
    work : bytes
        A pickled function.
    part : bytes
        Pickled, what the function is given.

    Returns
    -------
    bytes
        What it returned, pickled.
    """
    return packed(pickle.loads(work)(pickle.loads(part)))


def failure_bytes(error: Exception) -> bytes:
    """Pickle an exception so that it can be raised elsewhere; where it cannot, one that tells the same.

    Parameters
    ----------
    error : Exception
        As it was caught. Unless it is lumsim's own, whose text says all, its traceback goes along as a note.
    """
    told = "".join(traceback.format_exception(error))
    if not isinstance(error, LumsimError):
        error.add_note(f"In a worker:\n{told}")
    # Whatever pickling it may raise, the exception below stands for it.
    with suppress(Exception):
        content = packed(error)
        if type(pickle.loads(content)) is type(error):
            return content
    return packed(RuntimeError(f"{type(error).__name__}: {error}\n{told}"))


@contextmanager
def set_environment(values: dict[str, str]) -> Iterator[None]:
    """Set variables of the environment for a while.

    Parameters
    ----------
    values : dict
        By name.
    """
    before = {name: os.environ.get(name) for name in values}
    os.environ.update(values)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value


@contextmanager
def one_thread() -> Iterator[None]:
    """Keep linear algebra in this process to one thread for a while.

    Sums that several threads share are added up in another order, so that the last digits of a product of matrices hang
    on the number of threads. Compiled loops need no care: each runs on the thread that calls it.
    """
    # Libraries that are loaded later on look at the environment, those that are there already must be told.
    with set_environment(dict.fromkeys(BLAS_THREADS, "1")), threadpool_limits(limits=1):
        yield


def stay_one_thread() -> None:
    """Keep linear algebra in this process to one thread from now on: several parts may be under way here at once."""
    os.environ.update(dict.fromkeys(BLAS_THREADS, "1"))
    threadpool_limits(limits=1)
