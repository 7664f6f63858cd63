"""Workers of a dask.distributed scheduler, on whatever machines.

The scheduler gives a part whose worker dies to another one by itself, up to a number of times that is its own setting.
"""

from __future__ import annotations

import asyncio
import contextlib
import importlib.util
import logging
import pickle
import uuid
from collections.abc import Generator, Iterator, Sequence
from concurrent.futures import CancelledError
from multiprocessing import Pipe
from multiprocessing.connection import wait
from typing import TYPE_CHECKING, Any

from lumsim.chunks.digests import release
from lumsim.chunks.interrupts import interrupts_heard
from lumsim.chunks.tasks import failure_bytes, result_bytes, stay_one_thread
from lumsim.errors import InputError, LumsimError, TooLargeError

if TYPE_CHECKING:
    from distributed import Client

__all__ = ["PATIENCE", "by_cluster"]

PATIENCE = 8
"""For the scheduler to answer, and for a first worker [s]"""


def by_cluster(
    work: bytes, parts: Sequence[bytes], todo: Sequence[int], *, scheduler: str, what: str
) -> Generator[tuple[int, bytes], None, None]:
    """Have parts done by the workers of a cluster.

    Parameters
    ----------
    work : bytes
        A pickled function, of a module that the workers have too.
    parts : sequence of bytes
        All parts, pickled.
    todo : sequence of int
        Numbers of the parts to do, in the order in which to give them out.
    scheduler : str
        Its address.
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
    InputError
        Where the scheduler cannot be reached, has no workers, or workers without this same lumsim.
    TooLargeError
        Where more workers died over one part than the scheduler allows.
    LumsimError
        Where the scheduler is lost, or distributed is not installed.
    """
    if importlib.util.find_spec("distributed") is None:
        raise LumsimError(
            'work on a cluster needs the package distributed: pip install "lumsim[cluster]", here and on the workers'
        )
    with _silence():
        client = _connected(scheduler)
        futures: dict[Any, int] = {}
        hear, tell = Pipe(duplex=False)
        try:
            run = uuid.uuid4().hex
            for number in todo:
                future = client.submit(
                    _done_by_worker,
                    work,
                    parts[number],
                    release(),
                    key=f"lumsim-{run}-{number}",
                    pure=False,
                    priority=-number,
                )
                futures[future] = number
                future.add_done_callback(lambda _: tell.send_bytes(b"!"))
            with interrupts_heard() as interrupts:
                while futures:
                    ready = wait([hear, interrupts])
                    while hear.poll():
                        hear.recv_bytes()
                    for future in [future for future in futures if future.done()]:
                        number = futures.pop(future)
                        yield number, _result(future, f"{what} {number + 1} of {len(parts)}", scheduler)
                    if interrupts in ready:
                        raise KeyboardInterrupt
        finally:
            with contextlib.suppress(Exception):
                client.cancel(list(futures), force=True)
            with contextlib.suppress(Exception):
                client.close(timeout=PATIENCE)
            # The pipe is not closed: a future may still tell of its end by it.


@contextlib.contextmanager
def _silence() -> Iterator[None]:
    """Keep distributed from logging for a while: what it would tell of a lost scheduler, an error tells in words."""
    logger = logging.getLogger("distributed")
    level = logger.level
    logger.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        logger.setLevel(level)


def _result(future: Any, part: str, scheduler: str) -> bytes:
    """Fetch what came of a part, and raise what it raised."""
    from distributed.scheduler import KilledWorker

    try:
        failed, content = future.result()
    except KilledWorker:
        raise TooLargeError(
            f"{part} is given up: too many workers of {scheduler} died over it, mostly for want of memory: have fewer "
            "workers on a machine, or ask for less"
        ) from None
    except (CancelledError, asyncio.CancelledError):
        raise LumsimError(
            f"{part} was taken back by {scheduler}, or the connection to it was lost: begin again when it is there; "
            "what was finished and kept is not done again"
        ) from None
    except Exception as error:
        raise LumsimError(f"{part} came to no result at {scheduler}: {error}") from error
    if failed:
        raise pickle.loads(content)
    assert isinstance(content, bytes)
    return content


def _connected(scheduler: str) -> Client:
    """Reach a scheduler that has workers, all with a lumsim."""
    from distributed import Client

    try:
        client = Client(scheduler, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise InputError(
            f"no dask scheduler answers at {scheduler} ({error}): give its address as it tells it when it starts, such "
            "as tcp://10.0.0.5:8786"
        ) from None
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
        _refuse_strangers(client, scheduler)
    except BaseException as error:
        with contextlib.suppress(Exception):
            client.close(timeout=PATIENCE)
        if isinstance(error, TimeoutError):
            raise InputError(
                f"the scheduler {scheduler} has no workers: start some with `dask worker {scheduler}`"
            ) from None
        if isinstance(error, OSError):
            raise LumsimError(f"the connection to {scheduler} was lost: {error}") from None
        raise
    return client


def _refuse_strangers(client: Client, scheduler: str) -> None:
    """Refuse a cluster one of whose workers has no lumsim at all: it could not even tell which one."""

    # Nested, so that it goes to the workers as it stands and not by the name of a module that they may lack.
    def has_lumsim() -> bool:
        from importlib.util import find_spec

        return find_spec("lumsim") is not None and find_spec("lumsim.chunks") is not None

    told = client.run(has_lumsim, on_error="return")
    without = [worker for worker, has in told.items() if has is False]
    if without:
        raise InputError(
            f"of the workers of {scheduler}, {len(without)} of {len(told)} lack lumsim (first of them {without[0]}): "
            'install the same lumsim there, with pip install "lumsim[cluster]"'
        )


def _done_by_worker(work: bytes, part: bytes, expected: str) -> tuple[bool, bytes]:
    """Do one part in a worker of a cluster: whether it failed, and its result or exception, pickled."""
    from distributed import get_worker

    try:
        if release() != expected:
            raise InputError(
                f"the worker {get_worker().address} has another lumsim than this process ({_short(release())} there, "
                f"{_short(expected)} here): install the same one on both"
            )
        stay_one_thread()
        return False, result_bytes(work, part)
    except Exception as error:
        return True, failure_bytes(error)


def _short(release: str) -> str:
    number, source = release.split()
    return f"{number}, source {source[:8]}"
