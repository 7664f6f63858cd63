"""Ctrl-C while others work: heard where it suits, and kept from processes that start."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import Pipe, resource_tracker
from multiprocessing.connection import Connection
from typing import Any

__all__ = ["interrupts_heard", "interrupts_held"]


@contextmanager
def interrupts_heard() -> Iterator[Connection[Any, Any]]:
    """Have Ctrl-C make a pipe ready for a while, instead of raising KeyboardInterrupt anywhere.

    Off the main thread, and where Ctrl-C is ignored or handled by another language, that stays as it is.
    """
    hear, tell = Pipe(duplex=False)
    before = signal.getsignal(signal.SIGINT)
    handled = threading.current_thread() is threading.main_thread() and callable(before)
    try:
        if handled:
            signal.signal(signal.SIGINT, lambda *_: tell.send_bytes(b"!"))
        yield hear
    finally:
        if handled:
            signal.signal(signal.SIGINT, before)
        tell.close()
        hear.close()


@contextmanager
def interrupts_held() -> Iterator[None]:
    """Hold Ctrl-C back for a while: a process that starts meanwhile never sees it, this one sees it afterwards."""
    if not hasattr(signal, "pthread_sigmask"):
        yield  # Windows has no masks: a worker may tell of Ctrl-C while it starts
        return
    # Python starts it beside its first process and lets Ctrl-C through afterwards, so it is there before.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
