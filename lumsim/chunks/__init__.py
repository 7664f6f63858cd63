"""Long work in chunks: here, by processes of this machine, or by the workers of a cluster.

Files:

    working.py      ``in_chunks``: parts given out, results gathered, the best so far after Ctrl-C
    crew.py         who does the work; how many cores there are
    tasks.py        one part as bytes → its result as bytes, by one thread
    processes.py    workers on this machine, which may be killed without loss
    cluster.py      workers of a dask.distributed scheduler
    interrupts.py   Ctrl-C heard where it suits
    kept.py         finished parts in a folder, for a run that was broken off
    digests.py      what tells one part from another, and one lumsim from another

A result depends on its part alone, never on who did it, how many they were or in which order, to the last byte.
Nothing here knows what is worked on. Imports errors; imported by whatever has long work.
"""

from lumsim.chunks.crew import ALONE, Crew
from lumsim.chunks.kept import usual_kept
from lumsim.chunks.working import Chunks, in_chunks

__all__ = ["ALONE", "Chunks", "Crew", "in_chunks", "usual_kept"]
