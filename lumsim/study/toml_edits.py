"""Keys of a TOML text set and taken away; comments, order and layout of all else stay as they were written."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.container import Container
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Item, Table

from lumsim.errors import InputError
from lumsim.study.key_lines import KeyPath, dotted

__all__ = ["Edit", "edited"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One key to set or to take away."""

    path: KeyPath
    value: Any
    """what tomllib would read of it; None takes the key away"""
    beside: tuple[str, ...] = ()
    """keys of the same table after the first of which a new key is to stand; else it is the table's last"""


def edited(text: str, edits: Sequence[Edit]) -> str:
    """Return a TOML text with some of its keys changed, one after the other.

    A key that has its value already is left as it is written, and one to be taken away that is not there is passed
    over. A new table gets a header at the end of the text.

    Parameters
    ----------
    text : str
        TOML that tomllib accepts.
    edits : sequence of Edit

    Raises
    ------
    InputError
        Where a key cannot be set in the text as it is laid out.
    """
    line_end = "\r\n" if "\r\n" in text else "\n"
    text = text.replace("\r\n", "\n")
    content = tomllib.loads(text)
    for edit in edits:
        wanted = copy.deepcopy(content)
        if not _put(wanted, edit.path, edit.value):
            continue
        if _alike(wanted, content):
            continue
        text = _first_right(text, edit, wanted)
        content = wanted
    return text.replace("\n", line_end)


def _alike(one: object, other: object) -> bool:
    """Whether two contents are the same, a whole number being unlike a float of the same value."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_alike, one, other))
    # What is not a number is no less the same.
    return type(one) is type(other) and repr(one) == repr(other)


def _put(content: dict[str, Any], path: KeyPath, value: object) -> bool:
    """Set or take away a key of plain content; return whether there was anything to do."""
    here: Any = content
    for part in path[:-1]:
        if isinstance(part, int):
            here = here[part]
        elif value is None and part not in here:
            return False
        else:
            here = here.setdefault(part, {})
    if value is not None:
        here[path[-1]] = value
        return True
    return here.pop(path[-1], None) is not None


def _first_right(text: str, edit: Edit, wanted: dict[str, Any]) -> str:
    """The text that reads as wanted, by the first way that gets there."""
    for way in _ways(text, edit):
        try:
            if _alike(tomllib.loads(way), wanted):
                return way
        except ValueError:
            continue
    raise InputError(f"{dotted(edit.path)} cannot be changed in the text of this study: write it in by hand")


def _ways(text: str, edit: Edit) -> Iterator[str]:
    """Texts with the change, the best kept first; which of them reads right depends on how the text is laid out."""
    for way in (_in_place, _on_a_line, _under_a_header, _whole):
        document = tomlkit.parse(text)
        try:
            made = way(document, edit)
        except (TOMLKitError, KeyError, IndexError, TypeError, ValueError, AttributeError):
            continue
        if made is not None:
            yield made


def _in_place(document: Any, edit: Edit) -> str | None:
    """A value written over another, or a key taken away."""
    table, key = _table(document, edit.path[:-1]), edit.path[-1]
    if key not in table:
        return None
    if edit.value is None:
        del table[key]
    else:
        if isinstance(table[key], Table | AoT):
            return None
        table[key] = _item(edit.value)
    return tomlkit.dumps(document)


def _on_a_line(document: Any, edit: Edit) -> str | None:
    """A new key on a line of its own, below another key of its table or below the table's header."""
    table, key = _table(document, edit.path[:-1]), edit.path[-1]
    if key in table or edit.value is None or isinstance(table, InlineTable):
        return None
    plain = [
        (name, item)
        for name, item in (table if isinstance(table, Container) else table.value).body
        if name is not None and not name.is_dotted() and not isinstance(item, Table | AoT)
    ]
    if not plain:
        return None
    chosen = [item for wish in edit.beside for name, item in plain if name.key == wish] or [plain[-1][1]]
    trivia = chosen[0].trivia
    # What ends the line of the key before is told its next line too.
    trivia.trail = (trivia.trail or "\n") + f"{trivia.indent}{_key(key)} = {_item(edit.value).as_string()}\n"
    return tomlkit.dumps(document)


def _under_a_header(document: Any, edit: Edit) -> str | None:
    """A new table with its one key at the end of the text."""
    *parents, key = edit.path
    if edit.value is None or not parents or not all(isinstance(part, str) for part in parents):
        return None
    header = ".".join(_key(part) for part in parents)
    before = tomlkit.dumps(document)
    gap = "\n" if before.endswith("\n") or not before else "\n\n"
    return f"{before}{gap}[{header}]\n{_key(key)} = {_item(edit.value).as_string()}\n"


def _whole(document: Any, edit: Edit) -> str:
    """As tomlkit sets it: tables that are missing in braces."""
    here, value = document, edit.value
    path = list(edit.path)
    while len(path) > 1 and (isinstance(path[0], int) or path[0] in here):
        here = here[path.pop(0)]
    for part in reversed(path[1:]):
        value = {part: value}
    if path[0] in here:
        del here[path[0]]
    item = _item(value)
    if isinstance(here, InlineTable) and len(here):
        item.trivia.indent = ""
    here[path[0]] = item
    return tomlkit.dumps(document)


def _table(document: Any, path: KeyPath) -> Any:
    here = document
    for part in path:
        here = here[part]
    return here


def _key(key: str | int) -> str:
    return tomlkit.key(str(key)).as_string() if isinstance(key, str) else str(key)


def _item(value: Any) -> Item:
    """A value as it is written on one line."""
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        for key, one in value.items():
            table.append(key, _item(one))
        return table
    if isinstance(value, list | tuple):
        array = tomlkit.array()
        for one in value:
            array.append(_item(one))
        return array
    plain: Item = tomlkit.item(value)
    return plain
