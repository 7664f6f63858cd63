"""Who does long work, as the command line names them."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lumsim.chunks import Crew

__all__ = ["crew_of"]


def crew_of(processes: int | None, scheduler: str | None) -> Crew:
    """Who does the work; what is finished is kept until all is.

    Parameters
    ----------
    processes : int or None
        On this machine. [1]
    scheduler : str or None
        Address of a cluster's scheduler.

    Raises
    ------
    InputError
        For no processes, and where both are named.
    """
    from lumsim.chunks import Crew, usual_kept

    return Crew(processes=processes, scheduler=scheduler, kept=usual_kept())
