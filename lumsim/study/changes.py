"""``--set``: the content of a study with some of its keys changed, before anything is checked."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from typing import Any

from lumsim.errors import Problem
from lumsim.study.key_lines import KeyPath, dotted

__all__ = ["SET", "apply_changes"]

SET = "--set"
"""What a problem of a change is said to stand in."""

_MOST_DIGITS = 6


def apply_changes(content: dict[str, Any], changes: Sequence[str], problems: list[Problem]) -> list[KeyPath]:
    """Change a study's content in place.

    Parameters
    ----------
    content : dict
        What tomllib read; changed.
    changes : sequence of str
        Each ``key=value``; an empty value takes the key away.
    problems : list of Problem
        Grows by each change that cannot be made.

    Returns
    -------
    list of path
        The keys that changed.
    """
    changed: list[KeyPath] = []
    for change in changes:
        key, equals, value = change.partition("=")
        if not equals:
            text = 'write it as key=value, such as cabinet.depth="8 in"'
            problems.append(Problem(where=SET, key=key.strip(), text=text))
            continue
        try:
            changed.append(_set(content, _split_key(key.strip()), value.strip()))
        except ValueError as error:
            problems.append(Problem(where=SET, key=key.strip(), text=str(error)))
    return changed


def _split_key(key: str) -> list[str]:
    parts = re.findall(r'"([^"]*)"|([^."]+)', key)
    if not parts or re.sub(r'"[^"]*"|[^."]+', "x", key) != ".".join("x" * len(parts)):
        raise ValueError("is not a key: write it with dots, such as cabinet.depth or rows.1.pitch")
    return [quoted or bare.strip() for quoted, bare in parts]


def _value(text: str) -> object:
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        # The shell has taken the quotes away: cabinet.depth="8 in" arrives as 8 in.
        return text
    # A line feed in the text could begin a second key, which must not be lost.
    return read["value"] if len(read) == 1 else text


def _set(content: dict[str, Any], parts: list[str], value: str) -> KeyPath:
    here: Any = content
    path: list[str | int] = []
    for number, part in enumerate(parts, start=1):
        if isinstance(here, list):
            index = _index(here, part, path)
            path.append(index)
            here = here[index]
            if part.isdecimal():
                continue
            # A single group needs no number: rows.pitch is rows.1.pitch.
        if not isinstance(here, dict):
            raise ValueError(f"{dotted(tuple(path))} is a value, it has no keys of its own")
        path.append(part)
        if number == len(parts):
            _put(here, part, value)
            return tuple(path)
        here = here.setdefault(part, {})
    if isinstance(here, dict):
        raise ValueError(f"names a whole table: name one of its keys, such as {dotted(tuple(path))}.pitch")
    raise ValueError("names one entry of a list: give the list as a whole")


def _put(table: dict[str, Any], key: str, value: str) -> None:
    if value:
        table[key] = _value(value)
    elif key in table:
        del table[key]
    else:
        raise ValueError("is not in the study: there is nothing to take away")


def _index(here: list[Any], part: str, path: list[str | int]) -> int:
    if part.isdecimal():
        # Python refuses to read whole numbers of more than some 4 300 digits.
        index = int(part) - 1 if len(part) <= _MOST_DIGITS else len(here)
        if not 0 <= index < len(here):
            raise ValueError(
                f"there is no {dotted(tuple(path))}.{part}: they are counted from 1 to {len(here)}"
            )
        return index
    if len(here) != 1:
        choices = ", ".join(dotted((*path, i)) for i in range(len(here)))
        raise ValueError(f"there are {len(here)} of {dotted(tuple(path))}: write one of {choices}")
    return 0
