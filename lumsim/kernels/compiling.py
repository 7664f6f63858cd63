"""How every kernel is compiled, and whether one still has to be.

A kernel file is compiled as it is imported, from the cache where the cache is fresh (some tens of
milliseconds) and by LLVM where it is not (seconds). ``will_compile`` tells which before anything is
imported, so that a command can say why it is slow.
"""

from __future__ import annotations

import hashlib
import os
import re
import sys
from collections.abc import Callable, Iterator
from importlib.metadata import version
from pathlib import Path
from typing import TypeVar

__all__ = ["INDICES", "VECTOR", "compiled", "will_compile"]

Kernel = TypeVar("Kernel", bound=Callable[..., object])

VECTOR = "Array(float64, 1, 'C', readonly=True)"
"""Signature of an argument: 1-D, C-contiguous, float64; both writeable and locked arrays are taken."""

INDICES = "Array(int64, 1, 'C', readonly=True)"
"""Signature of an argument: 1-D, C-contiguous, int64; both writeable and locked arrays are taken."""

_FOLDER = Path(__file__).parent
_KERNEL = re.compile(r"^@compiled\(.*?^def (\w+)", re.MULTILINE | re.DOTALL)


def compiled(signature: str) -> Callable[[Kernel], Kernel]:
    """Compile a function for one signature, at once, through the cache where there can be one.

    Division follows numpy (x/0 is infinite, no exception), since a test for zero in the loop would keep LLVM
    from vectorising it. Floating point is never reordered. The global interpreter lock is released. With
    ``NUMBA_DISABLE_JIT=1`` the function is left as plain Python.

    Parameters
    ----------
    signature : str
        The one signature, in numba's notation, such as ``"float64(float64)"``.
    """
    from numba import njit

    def compile_it(function: Kernel) -> Kernel:
        # A cached function does not notice a change of these options: delete the cache after changing them.
        try:
            kernel: Kernel = njit(signature, cache=True, nogil=True, error_model="numpy")(function)
        except RuntimeError as error:
            if "no locator available" not in str(error):
                raise
            # No cache folder can be written: compile anew in every process rather than not at all.
            kernel = njit(signature, cache=False, nogil=True, error_model="numpy")(function)
        return kernel

    return compile_it


def will_compile(folder: Path = _FOLDER) -> bool:
    """Whether importing all kernels of `folder` would have to compile any; imports no numba.

    It looks for a fresh index file of each kernel in the folders where numba keeps its cache. numba alone
    decides in the end (it also looks at the processor), so the answer is good for a message and no more.

    Parameters
    ----------
    folder : Path
        The folder with the kernel files.
    """
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in {"", "0"}:
        return False
    caches = list(_cache_folders(folder))
    numba_version = version("numba").encode()
    for file in sorted(folder.glob("*.py")):
        source = file.read_bytes()
        for name in _KERNEL.findall(source.decode("utf-8")):
            pattern = f"{file.stem}.{name}-*.py{sys.version_info[0]}{sys.version_info[1]}*.nbi"
            indices = [index for cache in caches for index in cache.glob(pattern)]
            if not any(_fresh(index, file, source, numba_version) for index in indices):
                return True
    return False


def _fresh(index: Path, file: Path, source: bytes, numba_version: bytes) -> bool:
    """Whether a cache index belongs to this source and this numba.

    An index holds numba's version and a stamp of the source: the SHA-256 of its text in newer versions, its
    time and size in older ones, for which an index younger than the source has to do.
    """
    try:
        held = index.read_bytes()
        younger = index.stat().st_mtime >= file.stat().st_mtime
    except OSError:
        return False
    return numba_version in held and (younger or hashlib.sha256(source).digest() in held)


def _cache_folders(folder: Path) -> Iterator[Path]:
    """Where numba keeps the cache of the files in `folder`, whether or not it is there.

    In numba's order: the folder the user names, ``__pycache__`` beside the file, the user's cache.
    """
    folder = folder.absolute()
    # numba's name for a source folder inside a cache shared by many: its last part and the SHA-1 of its path
    inner = f"{folder.name}_{hashlib.sha1(str(folder).encode(), usedforsecurity=False).hexdigest()}"
    if named := os.environ.get("NUMBA_CACHE_DIR"):
        yield Path(named) / inner
    yield folder / "__pycache__"
    if sys.platform == "win32":
        if local := os.environ.get("LOCALAPPDATA"):
            yield Path(local) / "numba" / "Cache" / inner
    elif sys.platform == "darwin":
        yield Path.home() / "Library" / "Caches" / "numba" / inner
    else:
        yield Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "numba" / inner
