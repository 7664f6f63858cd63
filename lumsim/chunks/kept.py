"""Finished parts in a folder, for a run that was broken off.

What is read back is unpickled, and a pickle can do anything: so the folder must be this user's own and writable by
nobody else, and so must each file in it.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import stat
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from lumsim.chunks.digests import digest_of, work_digest
from lumsim.errors import InputError, OutputError

__all__ = ["Kept", "usual_kept"]

_SUFFIX = ".part"

MOST_DAYS = 30
"""For which the parts of a run that was broken off are kept. [d]"""


def usual_kept() -> Path:
    """Name the folder for finished parts in this user's cache; it need not be there yet."""
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA")
        return (Path(local) if local else Path.home() / "AppData" / "Local") / "lumsim" / "Cache" / "parts"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "lumsim" / "parts"
    named = Path(os.environ.get("XDG_CACHE_HOME") or "")
    # A path that is not absolute is to be ignored, by the specification of that variable (from memory).
    return (named if named.is_absolute() else Path.home() / ".cache") / "lumsim" / "parts"


class Kept:
    """The finished parts of one piece of work: each a file named by a digest of work and part."""

    def __init__(self, folder: Path, work: Callable[..., object], parts: Sequence[object]) -> None:
        """Make the folder, or refuse one that is not safe.

        Parameters
        ----------
        folder : Path
            Made, with those above it, where it is not there.
        work : callable
        parts : sequence

        Raises
        ------
        OutputError
            Where the folder cannot be made or written to.
        InputError
            Where it belongs to somebody else, or others may write to it.
        """
        _make_safe(folder)
        _take_away_old(folder)
        by = work_digest(work)
        self._files = [folder / (digest_of((by, part)) + _SUFFIX) for part in parts]

    def read(self, number: int) -> bytes | None:
        """Read the result of a part; None where there is none that is whole.

        Parameters
        ----------
        number : int
            Of the part, from 0.
        """
        try:
            with self._files[number].open("rb") as file:
                if not _own(os.fstat(file.fileno())):
                    return None
                digest, content = file.read(32), file.read()
            if hashlib.sha256(content).digest() != digest:
                return None
            pickle.loads(content)
        except Exception:
            # Damaged, or of things that are no more: done again, whatever ails it.
            return None
        return content

    def write(self, number: int, result: bytes) -> None:
        """Keep the result of a part, whole or not at all; where the disk is full, the work goes on without.

        Parameters
        ----------
        number : int
            Of the part, from 0.
        result : bytes
        """
        file = self._files[number]
        temporary = ""
        try:
            # mkstemp lets nobody else read or write.
            handle, temporary = tempfile.mkstemp(prefix=f"{file.name}.", dir=file.parent)
            with os.fdopen(handle, "wb") as writing:
                writing.write(hashlib.sha256(result).digest() + result)
            Path(temporary).replace(file)
        except OSError:
            if temporary:
                with contextlib.suppress(OSError):
                    Path(temporary).unlink()

    def forget(self) -> None:
        """Take the files of these parts away."""
        for file in self._files:
            # With what a run that was killed while it wrote has left of them.
            for left in (file, *file.parent.glob(f"{file.name}.*")):
                with contextlib.suppress(OSError):
                    left.unlink()


def _take_away_old(folder: Path) -> None:
    """Take away what runs that were given up have left."""
    for file in folder.glob(f"*{_SUFFIX}*"):
        # Gone by another process meanwhile, or another user's: not ours to mind.
        with contextlib.suppress(OSError):
            if time.time() - file.stat().st_mtime > MOST_DAYS * 86400:
                file.unlink()


def _make_safe(folder: Path) -> None:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = folder.stat()
    except OSError as error:
        raise OutputError(
            f"finished parts cannot be kept in {folder}: {error.strerror or error}; name another folder"
        ) from None
    if not _own(found):
        raise InputError(
            f"finished parts are not kept in {folder}: it belongs to another user, or others may write to it; name a "
            "folder of your own"
        )
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"finished parts cannot be kept in {folder}: it cannot be written to")


def _own(found: os.stat_result) -> bool:
    """Whether something is this user's, and nobody else may write to it; Windows sees to that for its cache."""
    if not hasattr(os, "getuid"):
        return True
    return found.st_uid == os.getuid() and not found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
