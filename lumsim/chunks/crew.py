"""Who does the work."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from lumsim.errors import InputError

__all__ = ["ALONE", "Crew", "cores"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who does the work, and where what is finished is kept."""

    processes: int | None = None
    """on this machine; None: one for each core that this process may use; 1: in this process [1]"""
    scheduler: str | None = None
    """address of a dask scheduler, such as tcp://10.0.0.5:8786, whose workers do it instead of local processes"""
    kept: Path | None = None
    """folder in which finished parts are kept until the whole is done; None: nothing is kept"""

    def __post_init__(self) -> None:
        if self.processes is not None and not self.processes >= 1:
            raise InputError(f"{self.processes} processes do no work: give 1 or more")
        if self.processes is not None and self.scheduler is not None:
            raise InputError(
                f"the work is done either by {self.processes} processes of this machine or by the workers of "
                f"{self.scheduler}: give one of the two"
            )


ALONE = Crew(processes=1)
"""The work is done in this process."""


def cores() -> int:
    """How many cores this process may use. [1]"""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
