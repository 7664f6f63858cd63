"""A study or a table that it names: its text, or why it cannot be read."""

from __future__ import annotations

import re
from pathlib import Path

from lumsim.errors import Problem

__all__ = ["read_text"]


def read_text(path: Path, shown: str, *, most: int) -> tuple[str, list[Problem]]:
    """Read a text file in UTF-8; why it cannot be read comes back as a problem, and its text is then empty.

    Parameters
    ----------
    path : Path
        Where it is.
    shown : str
        What to call it in messages.
    most : int
        The largest that is read. [byte]
    """
    try:
        with path.open("rb") as file:
            # A file without end must not be read to its end.
            content = file.read(most + 1)
    except OSError as error:
        return "", [Problem(where=shown, text=f"cannot be read: {error.strerror or error}")]
    except ValueError as error:
        # A name with a character that no file name can have.
        return "", [Problem(where=shown, text=f"cannot be read: {error}")]
    if len(content) > most:
        return "", [Problem(where=shown, text=f"is larger than {most / 1e6:g} MB")]
    try:
        return content.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        return "", [_not_utf_8(error, shown)]


def _not_utf_8(error: UnicodeDecodeError, shown: str) -> Problem:
    """What is wrong with a file in another encoding, and in which line."""
    wrong = error.object[error.start : error.start + 1]
    other = wrong.decode("cp1252", errors="ignore")
    byte = f"the byte 0x{wrong[0]:02X}{f' ({other!r} in Windows-1252)' if other else ''}"
    line = 1 + len(re.findall(rb"\r\n?|\n", error.object[: error.start]))
    text = f"cannot be read: {byte} is not text in UTF-8: save it as UTF-8"
    return Problem(where=shown, line=line, text=text)
