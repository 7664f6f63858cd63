"""What tells one part from another, and one lumsim from another.

Pickled bytes do not do for that: equal things pickle to unequal bytes where they share their pieces otherwise, or where
a set comes in another order. So a thing is gone through piece by piece.
"""

from __future__ import annotations

import hashlib
import platform
import sys
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from types import BuiltinFunctionType, FunctionType
from typing import Any

import numpy as np

import lumsim

__all__ = ["digest_of", "release", "source_digest", "work_digest"]

_BEARING_ON_DIGITS = ("numpy", "scipy", "numba", "llvmlite")


def digest_of(thing: object) -> str:
    """Digest a thing by its content: equal for things that are equal piece by piece, in any process.

    Of a dataclass that is its class and the fields that it is made from, whatever it worked out since; of a dict also
    the order of its keys.

    Parameters
    ----------
    thing : object
        Of dataclasses, arrays, numbers, texts, containers, or whatever else can be pickled.

    Returns
    -------
    str
        SHA-256, in hexadecimal digits.

    Raises
    ------
    TypeError
        Where it contains itself, or cannot be pickled.
    """
    sha = hashlib.sha256()
    _walk(thing, sha.update, ())
    return sha.hexdigest()


@cache
def source_digest() -> str:
    """Digest the source of lumsim itself: all its files of Python."""
    return digest_of(_sources(Path(lumsim.__file__).parent))


def release() -> str:
    """Tell this lumsim from any other that might give other digits."""
    return f"{lumsim.__version__} {source_digest()}"


def work_digest(work: Callable[..., object]) -> str:
    """Digest what a piece of work does: its name, lumsim, and what else bears on the last digits of its results.

    Parameters
    ----------
    work : callable
        A function of a module. Of one that is not lumsim's own the file it stands in counts too.
    """
    module = sys.modules.get(work.__module__)
    file = getattr(module, "__file__", None)
    own = b"" if work.__module__.startswith("lumsim.") or file is None else Path(file).read_bytes()
    return digest_of(
        (
            work.__module__,
            work.__qualname__,
            own,
            release(),
            platform.python_version(),
            platform.machine(),
            tuple(_version(name) for name in _BEARING_ON_DIGITS),
        )
    )


def _sources(folder: Path) -> list[tuple[str, bytes]]:
    return [(file.relative_to(folder).as_posix(), file.read_bytes()) for file in sorted(folder.rglob("*.py"))]


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _walk(thing: object, put: Callable[[bytes], None], around: tuple[int, ...]) -> None:
    """Go through a thing piece by piece; each puts its kind, its length and its content.

    Parameters
    ----------
    thing : object
    put : callable
        Takes bytes.
    around : tuple of int
        What contains it, by ``id``.
    """

    def text(kind: str, content: bytes) -> None:
        put(f"{kind} {len(content)}:".encode())
        put(content)

    if thing is None or type(thing) in {bool, int, float, complex}:
        text(type(thing).__name__, repr(thing).encode())
    elif type(thing) is str:
        text("str", thing.encode("utf-8", "surrogatepass"))
    elif type(thing) is bytes:
        text("bytes", thing)
    elif isinstance(thing, type | FunctionType | BuiltinFunctionType):
        text("named", _name(thing))
    elif isinstance(thing, Enum):
        text("enum", _name(type(thing)))
        text("member", thing.name.encode())
    else:
        if id(thing) in around:
            raise TypeError(f"a {type(thing).__name__} that contains itself has no digest")
        pieces = _pieces(thing)
        text("object", _name(type(thing)))
        put(f"of {len(pieces)}:".encode())
        for piece in pieces:
            _walk(piece, put, (*around, id(thing)))


def _name(thing: Any) -> bytes:
    return f"{thing.__module__}.{thing.__qualname__}".encode()


def _pieces(thing: object) -> Sequence[object]:
    """Take a thing apart into what it is made from, in an order that hangs on its content alone."""
    if is_dataclass(thing):
        return [
            piece
            for field in fields(thing)
            if field.init
            for piece in (field.name, getattr(thing, field.name))
        ]
    if isinstance(thing, np.ndarray | np.generic):
        content = np.ascontiguousarray(thing)
        whole = thing.tolist() if content.dtype.hasobject else content.tobytes()
        return [content.dtype.str, thing.shape, whole]
    if isinstance(thing, list | tuple):
        return list(thing)
    if isinstance(thing, dict):
        return [piece for item in thing.items() for piece in item]
    if isinstance(thing, set | frozenset):
        return sorted(digest_of(member) for member in thing)
    made = thing.__reduce_ex__(4)
    if isinstance(made, str):
        return [made]
    function, arguments, state, items, keyed = (*made, None, None, None)[:5]
    return [
        function,
        arguments,
        state,
        None if items is None else list(items),
        None if keyed is None else [list(pair) for pair in keyed],
    ]
