"""What is wrong with a text that is no TOML, in the words of the person who wrote it.

tomllib stops at the first character it cannot use and says what its grammar expected there. The person
meant a length in inches, a decimal or a text; this file recognises the usual slips at that place and shows
the right form.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lumsim.errors import InputError
from lumsim.study.key_lines import TOML_STRING, KeyPath, key_lines, repeated_keys
from lumsim.units import parse_angle, parse_length

__all__ = ["explain"]

# Up to Python 3.13 the exception carries the place in its text only; later ones have it there as well.
_PLACE: Final = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
_TOML_NUMBER: Final = re.compile(r"[+-]?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
_LONGEST_NUMBER: Final = 60
_PIECE: Final = re.compile(r"(?:[^=,\[\]{}#]|(?<=[0-9]),(?=[0-9]))+")
_STRING_OR_BRACKET: Final = re.compile(
    rf"(?P<string>{TOML_STRING.pattern})|\#[^\n]*|(?P<bracket>[\[\]{{}}])|(?P<quote>[\"'])", re.DOTALL
)
_HEADER: Final = re.compile(r"\s*(\[\[?)\s*([^\[\]#=]*?)\s*\]\]?\s*(?:#.*)?")
_ANY_HEADER: Final = re.compile(r"\s*(\[\[?)\s*([^\[\]#]*?)\s*\]?\]?\s*(?:#.*)?")
_PAIR: Final = re.compile(r"\s*([^\s=\[\]{},#]+)\s*=")

_Found = tuple[int, str] | None
"""A line, from 1, and what is wrong with it; None where it is something else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slip:
    """Where tomllib stopped, and why."""

    text: str
    """the whole text, with line feeds only"""
    reason: str
    """tomllib's own, without the place"""
    position: int
    """the character it stopped at"""

    @property
    def number(self) -> int:
        return _line_number(self.text, self.position)

    @property
    def before(self) -> str:
        """The part of the line in front of the place."""
        return self.text[: self.position].rpartition("\n")[2]

    @property
    def after(self) -> str:
        """The part of the line from the place on."""
        return self.text[self.position :].partition("\n")[0]

    @property
    def line(self) -> str:
        return self.before + self.after

    @property
    def value(self) -> str:
        """What stands between signs of the grammar at the place, or last in front of it."""
        pieces = [m for m in _PIECE.finditer(self.line) if m.start() <= len(self.before)]
        return pieces[-1][0].strip() if pieces else ""

    @property
    def opened(self) -> list[int]:
        """Where each bracket or string begins that is still open at the place, outermost first."""
        found: list[int] = []
        for match in _STRING_OR_BRACKET.finditer(self.text, 0, self.position):
            triple = self.text.startswith(('"""', "'''"), match.start())
            if match["quote"] or (triple and len(match[0]) < 6):
                return [*found, match.start()]
            if match["bracket"] in {"[", "{"}:
                found.append(match.start())
            elif match["bracket"] and found:
                found.pop()
        return found

    @property
    def bracket(self) -> tuple[str, int]:
        """The innermost open bracket of a value, and its line; "" where there is none."""
        opened = self.opened
        # What opens at the beginning of a line, in nothing else, is a header.
        if not opened or not self.text[: opened[0]].rpartition("\n")[2].strip():
            return "", self.number
        return self.text[opened[-1]], _line_number(self.text, opened[-1])


def explain(text: str, error: tomllib.TOMLDecodeError) -> tuple[int | None, str]:
    """Say what is wrong with a text that tomllib refuses, and what would be right.

    Parameters
    ----------
    text : str
        The text that was refused.
    error : tomllib.TOMLDecodeError
        What tomllib said.

    Returns
    -------
    tuple of (int or None) and str
        The line to look at, from 1, or None where the error names no place; and what is wrong with it.
    """
    reason = _PLACE.sub("", str(error))
    place = _PLACE.search(str(error))
    if place is None:
        return None, _own_words(reason)
    text = text.replace("\r\n", "\n")
    position = len(text.rstrip())
    if place[1] is not None:
        lines = text.split("\n")
        there = sum(len(line) + 1 for line in lines[: int(place[1]) - 1]) + int(place[2]) - 1
        position = there if there <= len(text) else position
    slip = _Slip(text=text, reason=reason, position=position)
    for find in _FINDERS:
        if (found := find(slip)) is not None:
            return found
    return slip.number, _own_words(reason)


def _given_twice(slip: _Slip) -> _Found:
    """Explain a key with two values, or with a value and keys below it."""
    if not slip.reason.startswith(("Cannot overwrite a value", "Duplicate inline table key")):
        return None
    for key in repeated_keys(slip.text):
        return key.again, f"{_dotted(key.path)} is given twice, first in line {key.first}: keep one of them"
    return slip.number, "a key in this line has a value already and cannot hold more keys: rename one of them"


def _opened_twice(slip: _Slip) -> _Found:
    """Explain a header that stands twice, or in both of its forms."""
    here = _HEADER.fullmatch(slip.line)
    if here is None or not slip.reason.startswith("Cannot "):
        return None
    name = here[2]
    for number, line in enumerate(slip.text.split("\n")[: slip.number - 1], start=1):
        there = _HEADER.fullmatch(line)
        if there is None or there[2] != name:
            continue
        if there[1] == here[1]:
            return (
                slip.number,
                f"[{name}] stands twice, first in line {number}: put its keys under one of them",
            )
        return slip.number, (
            f"[{name}] is one table and [[{name}]] one of several, and line {number} has the other form: "
            f"write [[{name}]] each time where several are meant"
        )
    return None


def _added_to(slip: _Slip) -> _Found:
    """Explain a table that is complete and is given more keys."""
    match = re.search(
        r"^Cannot (?:declare|redefine namespace|mutate immutable namespace) (\(.*\))", slip.reason
    )
    if match is None:
        return None
    name = _dotted(ast.literal_eval(match[1]))
    lines = [line for path, line in key_lines(slip.text).items() if _dotted(path) == name]
    place = f" in line {min(lines)}" if lines else ""
    return slip.number, f"{name} is written already{place}: put all its keys in one place"


def _inch_mark(slip: _Slip) -> _Found:
    """Explain a text that ended at an inch mark, or at another quote that was meant to be in it."""
    match = re.search(r'"([^"]+)"\s*$', slip.before)
    if match is None or '"' not in slip.after:
        return None
    plain = _plain_inches(f'{match[1]}"')
    if plain and re.match(r'"\s*(?:[,\]}#]|$)', slip.after):
        marked = plain.removesuffix(" in") + '"'
        return (
            slip.number,
            f'the inch mark " ends the text: write "{plain}", or \'{marked}\' in single quotes',
        )
    whole = slip.line[match.start() + 1 : slip.line.rindex('"')]
    if re.search(r'"\s*,?\s*"', whole):
        return None
    right = f"write '{whole}' in single quotes" if "'" not in whole else 'write \\" for it'
    return slip.number, f'the text ends at the " inside it: {right}'


def _unclosed_text(slip: _Slip) -> _Found:
    """Explain a text without its last quote."""
    start = slip.opened[-1] if slip.opened else 0
    quote = slip.text[start : start + 1]
    if quote not in {'"', "'"} or not re.search(r"\\n|Unterminated|Expected", slip.reason):
        return None
    number = _line_number(slip.text, start)
    if slip.text.startswith(quote * 3, start):
        return number, f"the text that begins with {quote * 3} is never closed: end it with {quote * 3}"
    rest = slip.text[start + 1 :].partition("\n")[0].strip()
    return number, f"the text is not closed: write {quote}{rest}{quote}"


def _unclosed_bracket(slip: _Slip) -> _Found:
    """Explain an array or inline table without its end."""
    bracket, number = slip.bracket
    if not bracket:
        return None
    closing = "]" if bracket == "[" else "}"
    rest = slip.text[slip.position :]
    if not rest.strip():
        return number, f"the {bracket} is never closed: end it with {closing}"
    if bracket == "{" and (rest[0] == "\n" or (rest[0] == "}" and slip.before.rstrip().endswith(","))):
        return number, "what stands in { } must stand on one line, without a comma before the }"
    outermost = _line_number(slip.text, slip.opened[0])
    if outermost != slip.number and (_PAIR.match(slip.line) or _HEADER.fullmatch(slip.line)):
        return outermost, f"the {slip.text[slip.opened[0]]} is not closed before the next key"
    return None


def _unquoted(slip: _Slip) -> _Found:
    """Explain a number with a comma, a unit or a percent sign, or in a form that TOML does not know."""
    value = slip.value
    if len(value) > _LONGEST_NUMBER:
        return None
    if re.search("[0-9],[0-9]", value):
        forms = [value.replace(",", ".")]
        if re.search(",[0-9]{3}(?![0-9])", value):
            forms.append(value.replace(",", ""))
        if all(_is_measure(form) for form in forms):
            forms = [f'"{form}"' for form in forms]
        elif not all(_NUMBER.fullmatch(form) for form in forms):
            return None
        return slip.number, f"decimals follow a point, not a comma: write {' or '.join(forms)}, got {value}"
    for measure in (value, value.rstrip("\"'")):
        if _is_measure(measure):
            plain = _plain_inches(measure) or measure
            return slip.number, f'a number with its unit goes in quotes: write "{plain}", got {value}'
    share = value.removesuffix("%").strip()
    if share != value and _NUMBER.fullmatch(share):
        decimal = float(Fraction(share) / 100)
        return slip.number, f"a share is written as a decimal: write {decimal:.12g}, got {value}"
    if _NUMBER.fullmatch(value) and not _TOML_NUMBER.fullmatch(value):
        return slip.number, (
            "a number has digits on both sides of its point and no zeros in front: "
            f"write {float(value):.12g}, got {value}"
        )
    return None


def _missing_comma(slip: _Slip) -> _Found:
    """Explain two elements that stand side by side."""
    bracket, _ = slip.bracket
    if not bracket or not slip.reason.startswith("Unclosed"):
        return None
    if (following := _PIECE.match(slip.after)) is None:
        return slip.number, f"the {bracket} is not closed before {slip.after.strip()}"
    return slip.number, f"a comma is missing before {following[0].strip()}, or the {bracket} is not closed"


def _broken_header(slip: _Slip) -> _Found:
    """Explain a header that is not closed, or whose name needs quotes."""
    header = _ANY_HEADER.fullmatch(slip.line)
    if header is None:
        return None
    opening, name = header.groups()
    closing = "]" * len(opening)
    if not name:
        return slip.number, f"a header names a table: write {opening}name{closing}"
    if re.fullmatch(r"[A-Za-z0-9_.-]+", name):
        return slip.number, f"a header begins and ends alike: write {opening}{name}{closing}"
    return slip.number, (
        f'a name with anything but letters, digits, - and _ goes in quotes: write {opening}"{name}"{closing}'
    )


def _wrong_key(slip: _Slip) -> _Found:
    """Explain a line that does not begin with a key and its = sign."""
    if slip.text.startswith("\ufeff") and slip.position == 0:
        return slip.number, "the file begins with a byte order mark: save it as UTF-8 without one"
    if slip.reason.startswith("Expected '='"):
        key, value = slip.before.strip(), slip.after.strip().removeprefix(":").strip()
        if _PAIR.fullmatch(f"{key} =") and value:
            return slip.number, f"a key is followed by =: write {key} = {value}"
        return slip.number, "a key is followed by = and its value: write key = value"
    if slip.reason.startswith("Invalid initial character"):
        return slip.number, f"a key is missing before {slip.after.strip() or 'the end of the line'}"
    if slip.reason.startswith("Invalid statement"):
        return slip.number, f"a line begins with a key, a [header] or #, got {slip.line.strip()}"
    return None


def _wrong_value(slip: _Slip) -> _Found:
    """Explain a value that is none, or that something follows."""
    if re.search("[“”„]", slip.value):
        straight = re.sub("[“”„]", "", slip.value)
        return slip.number, f'quotes must be straight: write "{straight}", got {slip.value}'
    if slip.reason.startswith(("Unescaped", "Invalid hex value", "Escaped character")):
        return slip.number, (
            "in double quotes a \\ has a meaning of its own: write / for it, or use single quotes"
        )
    if slip.reason.startswith("Expected newline"):
        complete, following = slip.before.strip(), slip.after.strip()
        return slip.number, f"nothing may follow {complete} on its line, got {following}"
    if slip.reason.startswith("Invalid value"):
        if not slip.after.split("#")[0].strip(" \t,]}"):
            return slip.number, "a value is missing: write one after the ="
        return slip.number, f'text goes in quotes: write "{slip.value}"'
    return None


_FINDERS: Final[tuple[Callable[[_Slip], _Found], ...]] = (
    _opened_twice,
    _given_twice,
    _added_to,
    _inch_mark,
    _unclosed_text,
    _unclosed_bracket,
    _unquoted,
    _missing_comma,
    _broken_header,
    _wrong_key,
    _wrong_value,
)


def _dotted(path: KeyPath) -> str:
    return ".".join(part for part in path if isinstance(part, str))


def _line_number(text: str, position: int) -> int:
    return text.count("\n", 0, position) + 1


def _own_words(reason: str) -> str:
    return f"the file cannot be read as TOML: {reason[:1].lower()}{reason[1:]}"


def _is_measure(text: str) -> bool:
    for parse in (parse_length, parse_angle):
        try:
            parse(text)
        except InputError:
            continue
        return True
    return False


def _plain_inches(text: str) -> str | None:
    """Return a length with an inch mark at its end without quotes: ``4 ft 6 1/2 in``; None for any other."""
    match = re.fullmatch(r"\s*(?:([^'′’]+?)\s*['′’]\s*[-–]?\s*)?([^'′’]+?)\s*\"", text)
    if match is None:
        return None
    feet, inches = match.groups()
    plain = f"{feet} ft {inches} in" if feet else f"{inches} in"
    return plain if _is_measure(plain) and _is_measure(text) else None
