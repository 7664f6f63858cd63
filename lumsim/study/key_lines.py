"""The line on which each key of a TOML text stands.

tomllib gives values and no lines, so this scan of the same text finds them. It only looks for where keys and
elements begin; what they mean, and whether the text is right, is left to tomllib.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

__all__ = ["TOML_STRING", "KeyPath", "RepeatedKey", "dotted", "key_lines", "repeated_keys"]

KeyPath = tuple[str | int, ...]
"""The keys and indices, from 0, that lead to a value: ``("rows", 1, "pitch")``."""

_LONGEST_PATH: Final = 1000

_BLANK: Final = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACES: Final = re.compile(r"[ \t]*")
_TO_LINE_END: Final = re.compile(r"[^\n]*")
_BARE_KEY: Final = re.compile(r"""[^\s.=,\[\]{}#"']+""")
_ONE_LINE_STRING: Final = re.compile(r""""[^"\\\n]*(?:\\[^\n][^"\\\n]*)*"|'[^'\n]*'""")
# No possessive quantifiers: before Python 3.11.5 they are at odds with alternatives within them.
# A closing run of up to five quotes: the first two may belong to the string.
TOML_STRING: Final = re.compile(
    r'"""[^"\\]*(?:(?:\\.|"(?!""))[^"\\]*)*"{3,5}'
    r"|'''[^']*(?:'(?!'')[^']*)*'{3,5}"
    rf"|{_ONE_LINE_STRING.pattern}",
    re.DOTALL,
)
"""A whole string of any of the four kinds."""

_OTHER_VALUE: Final = re.compile(r"[^,\]}#\n]*")
_ESCAPE: Final = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|x([0-9A-Fa-f]{2})|(.))", re.DOTALL)
_ESCAPED: Final = MappingProxyType({"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b"})


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedKey:
    """A key that is given a value though it has one already."""

    path: KeyPath
    """the keys that lead to it"""
    first: int
    """line of its first place, from 1"""
    again: int
    """line of its second place, from 1"""


def key_lines(text: str) -> dict[KeyPath, int]:
    """Return the line, from 1, on which each key of a TOML text first stands.

    Keys of tables, arrays of tables, dotted keys and inline tables are all there, each table that is only
    implied (``a`` of ``[a.b]``) at the line that first implies it, and each element of an array at the line
    where it begins. A line ends at its line feed, whether or not a carriage return stands before it.

    Parameters
    ----------
    text : str
        TOML that tomllib accepts. Of any other text what can be told apart is returned; nothing is raised.

    Returns
    -------
    dict of path to int
        In the order of the text. Paths longer than 1000 are left out.
    """
    return _scan(text).lines


def repeated_keys(text: str) -> list[RepeatedKey]:
    """Return the keys of a TOML text that are given a value a second time, in the order of the text.

    Headers that stand twice are not among them; a key under such a header is.
    """
    return _scan(text).repeated


def dotted(path: KeyPath) -> str:
    """Return a path as a person writes it: groups and elements counted from 1."""
    return ".".join(
        str(part + 1) if isinstance(part, int) else part if re.fullmatch(r"[\w-]+", part) else f'"{part}"'
        for part in path
    )


@dataclass(slots=True)
class _Open:
    """An array or inline table that has been opened and not closed."""

    path: KeyPath
    is_array: bool
    elements: int = 0


def _scan(text: str) -> _Scan:
    scan = _Scan(text)
    scan.document()
    return scan


class _Scan:
    """One pass over a text, from ``position`` on; every method moves on or leaves it where it is."""

    def __init__(self, text: str) -> None:
        self.lines: dict[KeyPath, int] = {}
        self.repeated: list[RepeatedKey] = []
        self._text = text
        self._position = 0
        self._line_ends = [match.start() for match in re.finditer("\n", text)]
        self._elements: dict[KeyPath, int] = {}

    def document(self) -> None:
        here: KeyPath = ()
        while self._skip(_BLANK) < len(self._text):
            if self._next_is("["):
                here = self._header()
            else:
                self._pair(here, opened=[], in_braces=False)
            self._skip(_TO_LINE_END)

    def _header(self) -> KeyPath:
        line = self._line()
        is_array = self._next_is("[[")
        self._position += 2 if is_array else 1
        self._skip(_SPACES)
        *parents, key = self._dotted_key() or [""]
        path = self._note(self._descend((), parents, line), key, line)
        if is_array:
            self._elements[path] = self._elements.get(path, 0) + 1
            return self._note(path, self._elements[path] - 1, line)
        return self._latest(path)

    def _pair(self, here: KeyPath, *, opened: list[_Open], in_braces: bool) -> None:
        """Pass over ``key = value`` and whatever the value holds."""
        line = self._line()
        *parents, key = self._dotted_key() or [""]
        parent = self._descend(here, parents, line)
        known = len(self.lines)
        path = self._note(parent, key, line)
        if len(self.lines) == known and len(path) > len(parent):
            self.repeated.append(RepeatedKey(path=path, first=self.lines[path], again=line))
        self._skip(_SPACES)
        if not self._next_is("="):
            return
        self._position += 1
        self._skip(_BLANK if in_braces else _SPACES)
        self._begin_value(path, opened)
        if not in_braces:
            self._rest_of_value(opened)

    def _begin_value(self, path: KeyPath, opened: list[_Open]) -> None:
        if self._next_is("[") or self._next_is("{"):
            opened.append(_Open(path, is_array=self._next_is("[")))
            self._position += 1
        elif match := TOML_STRING.match(self._text, self._position):
            self._position = match.end()
        else:
            self._skip(_OTHER_VALUE)

    def _rest_of_value(self, opened: list[_Open]) -> None:
        # A list of what is open and no recursion: brackets in a text that is no TOML may nest without end.
        while opened and self._skip(_BLANK) < len(self._text):
            before = self._position
            innermost = opened[-1]
            if self._next_is("]") or self._next_is("}"):
                opened.pop()
                self._position += 1
            elif self._next_is(","):
                self._position += 1
            elif innermost.is_array:
                path = self._note(innermost.path, innermost.elements, self._line())
                innermost.elements += 1
                self._begin_value(path, opened)
            else:
                self._pair(innermost.path, opened=opened, in_braces=True)
            if self._position == before:
                self._position += 1

    def _dotted_key(self) -> list[str]:
        keys: list[str] = []
        while True:
            if match := _ONE_LINE_STRING.match(self._text, self._position):
                keys.append(_unquoted(match[0]))
            elif match := _BARE_KEY.match(self._text, self._position):
                keys.append(match[0])
            else:
                return keys
            self._position = match.end()
            self._skip(_SPACES)
            if not self._next_is("."):
                return keys
            self._position += 1
            self._skip(_SPACES)

    def _descend(self, path: KeyPath, keys: list[str], line: int) -> KeyPath:
        """Follow keys down, into the latest element wherever they name an array of tables."""
        for key in keys:
            path = self._latest(self._note(path, key, line))
        return path

    def _latest(self, path: KeyPath) -> KeyPath:
        elements = self._elements.get(path)
        return path if elements is None else (*path, elements - 1)

    def _note(self, parent: KeyPath, key: str | int, line: int) -> KeyPath:
        """Record a key at its first line and return its path, which ends at the longest."""
        if len(parent) >= _LONGEST_PATH:
            return parent
        path = (*parent, key)
        self.lines.setdefault(path, line)
        return path

    def _line(self) -> int:
        return bisect_left(self._line_ends, self._position) + 1

    def _next_is(self, characters: str) -> bool:
        return self._text.startswith(characters, self._position)

    def _skip(self, pattern: re.Pattern[str]) -> int:
        match = pattern.match(self._text, self._position)
        if match is not None:
            self._position = match.end()
        return self._position


def _unquoted(key: str) -> str:
    return key[1:-1] if key.startswith("'") else _ESCAPE.sub(_character, key[1:-1])


def _character(match: re.Match[str]) -> str:
    code = match[1] or match[2] or match[3]
    if code is None:
        return _ESCAPED.get(match[4], match[4])
    return chr(int(code, 16)) if int(code, 16) <= 0x10FFFF else match[0]
