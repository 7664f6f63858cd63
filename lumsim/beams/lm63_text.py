"""The text of a photometric file of ANSI/IES LM-63: its edition, its labels, and numbers that know their line."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from lumsim.beams.directions import Array
from lumsim.errors import Problem, StudyError

__all__ = [
    "EDITIONS",
    "LARGEST",
    "MOST_ANGLES",
    "Findings",
    "Head",
    "Numbers",
    "read_head",
    "spaced",
    "split_lines",
    "text_of",
]

EDITIONS = {
    "86": "LM-63-1986",
    "91": "LM-63-1991",
    "95": "LM-63-1995",
    "02": "LM-63-2002",
    "19": "LM-63-2019",
}
"""The editions by the end of their year, oldest first."""

REQUIRED = {
    "LM-63-2002": ("TEST", "TESTLAB", "ISSUEDATE", "MANUFAC"),
    "LM-63-2019": ("TEST", "TESTLAB", "ISSUEDATE", "MANUFAC"),
}
"""Keywords that an edition asks for; of older ones none is held to be needed."""

LARGEST_FILE = 20_000_000
"""The largest file that is read. [byte]"""

MOST_PROBLEMS = 20
MOST_ANGLES = 10_000
LARGEST = 1e12
"""The largest candela value, flux, power and factor that is taken. [cd, lm, W, 1]"""

EDITION_LINE = re.compile(r"\s*(?:IES(?:NA)?\s*:\s*LM-?63\b[-\s]*|IESNA(?=\d+\s*$))(.*)", re.IGNORECASE)
YEAR = re.compile(r"(?:19|20)?(\d\d)\b", re.ASCII)
KEYWORD_LINE = re.compile(r"\s*\[([^\]]*)\]\s*(.*)")
TILT_LINE = re.compile(r"\s*TILT\s*=(.*)", re.IGNORECASE)
NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[ED][+-]?\d+)?", re.IGNORECASE | re.ASCII)
"""As people and Fortran write them: 12, 12., .5, +1.0, 1.5E-3, 1.5D+02."""

DECIMAL_COMMA = re.compile(r"(?<![\d.,])\d+,\d+(?![\d.,])", re.ASCII)
"""What parts two numbers, and may have been meant to be one."""

NOT_IN_TEXT = bytes(code for code in range(32) if chr(code) not in "\t\n\v\f\r\x1a")
END_OF_FILE = "\x1a"
"""What old systems wrote at the end of a text."""


@dataclass(slots=True)
class Findings:
    """What is wrong with a file, and what is odd about it."""

    where: str
    problems: list[Problem] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def problem(self, text: str, line: int | None = None, key: str = "") -> None:
        """Note a fault; the first twenty are told.

        Parameters
        ----------
        text : str
            What is wrong and what would be right.
        line : int, optional
            Where it stands.
        key : str
            What number it is about.
        """
        if len(self.problems) < MOST_PROBLEMS:
            self.problems.append(Problem(where=self.where, line=line, key=key, text=text))

    def remark(self, text: str, line: int | None = None) -> None:
        """Note what is odd and does not stop the reading."""
        self.remarks.append(text if line is None else f"line {line}: {text}")

    def refuse(self) -> None:
        """Raise StudyError if anything is wrong."""
        if self.problems:
            raise StudyError(self.problems)


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """Everything up to the TILT line."""

    edition: str
    keywords: tuple[tuple[str, str], ...]
    tilt: str
    """what follows TILT="""
    tilt_line: int
    """from 1"""


def text_of(path: Path, shown: str) -> str:
    """Read a file's text: UTF-8 or, failing that, Latin-1.

    Parameters
    ----------
    path : Path
        Where it is.
    shown : str
        What to call it in messages.

    Raises
    ------
    StudyError
        It is not there, cannot be read, is no text or is too large.
    """

    def refusal(text: str) -> StudyError:
        return StudyError([Problem(where=shown, text=text)])

    try:
        if path.is_dir():
            raise refusal("is a folder, not a file")
        if not path.exists():
            raise refusal("there is no such file")
        if not path.is_file():
            raise refusal("is not a file")
        with path.open("rb") as file:
            # A file without end must not be read to its end.
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise refusal(f"cannot be read: {error.strerror or error}") from None
    except ValueError as error:
        if isinstance(error, StudyError):
            raise
        # A name with a character that no file name can have.
        raise refusal(f"cannot be read: {error}") from None
    if len(data) > LARGEST_FILE:
        raise refusal(f"is larger than {LARGEST_FILE / 1e6:g} MB")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refusal("is text in UTF-16: save it as plain text, ASCII or UTF-8")
    if len(data.translate(None, NOT_IN_TEXT)) < len(data):
        raise refusal("is not plain text")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def split_lines(text: str) -> list[str]:
    """Split at CRLF, CR or LF and nothing else, so that lines count as an editor counts them."""
    return re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff").rstrip().removesuffix(END_OF_FILE))


def read_head(lines: list[str], findings: Findings) -> Head:
    """Read edition and labels, up to the TILT line.

    Parameters
    ----------
    lines : list of str
        Of the whole file.
    findings : Findings
        What is wrong or odd is noted there.

    Raises
    ------
    StudyError
        There is no TILT line.
    """
    at, tilt = next(
        ((k, found[1].strip()) for k, line in enumerate(lines) if (found := TILT_LINE.match(line))), (-1, "")
    )
    if at < 0:
        empty = not any(line.strip() for line in lines)
        findings.problem(
            "is empty"
            if empty
            else "has no TILT line, such as TILT=NONE, before its numbers: it is no photometric file of LM-63"
        )
        findings.refuse()
    labels = [(k + 1, line) for k, line in enumerate(lines[:at]) if line.strip()]
    edition = "LM-63-1986"
    named = EDITION_LINE.match(labels[0][1]) if labels else None
    if named:
        line, first = labels.pop(0)
        year = YEAR.match(named[1])
        newest = list(EDITIONS.values())[-1]
        edition = EDITIONS.get(year[1], "") if year else ""
        if not edition:
            years = ", ".join(one[-4:] for one in EDITIONS.values())
            findings.remark(
                f"{_quoted(first)} names no edition that is known ({years}); the file is read as {newest}",
                line,
            )
            edition = newest
    keywords = _keywords(labels, edition, findings)
    if not named and any(key for key, _ in keywords):
        findings.remark(f"the first line names no edition; the file is read as {edition}")
    missing = [f"[{key}]" for key in REQUIRED.get(edition, ()) if key not in {name for name, _ in keywords}]
    if missing:
        findings.remark(f"{edition} asks for keywords that are missing: {', '.join(missing)}")
    return Head(edition=edition, keywords=keywords, tilt=tilt, tilt_line=at + 1)


def _keywords(labels: list[tuple[int, str]], edition: str, findings: Findings) -> tuple[tuple[str, str], ...]:
    keywords: list[tuple[str, str]] = []
    free = []
    for line, label in labels:
        found = KEYWORD_LINE.match(label)
        key, data = (" ".join(found[1].split()).upper(), found[2].strip()) if found else ("", label.strip())
        if key == "MORE" and keywords:
            before, so_far = keywords[-1]
            keywords[-1] = (before, f"{so_far} {data}".strip())
            continue
        if not found:
            free.append(line)
        keywords.append((key, data))
    if free and edition != "LM-63-1986":
        others = f", like {len(free) - 1} more" if len(free) > 1 else ""
        findings.remark(f"is no keyword line such as [TEST] 12345{others}", free[0])
    return tuple(keywords)


class Numbers:
    """The numbers that follow a line, taken one after the other; commas, blanks and line ends part them.

    What is wrong with one is noted, and the reading goes on with a value that stands for "not known": 0 for whole
    numbers, NaN for others. Once too few are left that is noted, and `ended` is true.
    """

    def __init__(self, lines: list[str], *, after: int, findings: Findings) -> None:
        """Split the lines that follow line ``after``, counted from 1."""
        self._texts: list[str] = []
        self._lines: list[int] = []
        self._comma: tuple[int, str] | None = None
        for line, text in enumerate(lines[after:], after + 1):
            inside = DECIMAL_COMMA.search(text)
            if inside and self._comma is None:
                self._comma = line, inside[0]
            found = text.replace(",", " ").split()
            self._texts += found
            self._lines += [line] * len(found)
        self._next = 0
        self._after = after
        self._findings = findings
        self.ended = False

    @property
    def last_line(self) -> int:
        """The line of the number last taken, from 1."""
        return self._lines[self._next - 1] if self._next else self._after

    def whole(self, what: str, low: int, high: int, meaning: str = "") -> int:
        """Take a whole number; 0 where it cannot be.

        Parameters
        ----------
        what : str
            What the number is.
        low, high : int
            The least, at least 1, and the greatest that is taken.
        meaning : str
            What its values mean, for the message.
        """
        text = self._one(what)
        if text is None:
            return 0
        value = _value(text)
        if not (value.is_integer() and low <= value <= high):
            said = f"a whole number from {low} to {spaced(high)}{meaning}"
            self._findings.problem(f"must be {said}, got {_quoted(text)}", self.last_line, what)
            return 0
        return int(value)

    def real(self, what: str, low: float, high: float, *, also: float | None = None) -> float:
        """Take a number; NaN where it cannot be.

        Parameters
        ----------
        what : str
            What the number is.
        low, high : float
            The least and the greatest that is taken.
        also : float, optional
            One value beside that is taken.
        """
        text = self._one(what)
        if text is None:
            return math.nan
        value = _value(text)
        if not low <= value <= high and value != also:
            beside = "" if also is None else f", or {also:g}"
            self._findings.problem(
                f"must be a number from {low:g} to {high:g}{beside}, got {_quoted(text)}",
                self.last_line,
                what,
            )
            return math.nan
        return value

    @property
    def lines_ahead(self) -> list[int]:
        """The line of each number that is not yet taken, from 1."""
        return self._lines[self._next :]

    def many(
        self, what: str, count: int, *, of: str = "", largest: float, short: tuple[int, str] | None = None
    ) -> tuple[Array, list[int]]:
        """Take several numbers, and the line of each; NaN where one cannot be, nothing where too few are left.

        Parameters
        ----------
        what : str
            What the numbers are, in the plural.
        count : int
            How many.
        of : str
            Why so many, for the message.
        largest : float
            The greatest size that is taken.
        short : (int, str), optional
            Where too few are left: the line to tell that at, and words to add.
        """
        if self.ended:
            return np.empty(0), []
        texts = self._texts[self._next : self._next + count]
        lines = self._lines[self._next : self._next + count]
        self._next += len(texts)
        if len(texts) < count:
            self.ended = True
            line, more = short or (self.last_line, "")
            self._findings.problem(
                f"{spaced(count)} {what} are expected{of}, {spaced(len(texts))} found{more}", line
            )
            return np.empty(0), []
        values = np.array([_value(text) for text in texts])
        bad = np.flatnonzero(~(np.abs(values) <= largest))
        values[bad] = math.nan
        for k in bad[:MOST_PROBLEMS]:
            self._findings.problem(
                f"must be numbers of at most {largest:g}, got {_quoted(texts[k])}", lines[k], what
            )
        return values, lines

    def leave(self, *, long: tuple[int, str] | None = None) -> None:
        """Note what is left over: a number too many is a fault, for it may stand anywhere; words are odd.

        Parameters
        ----------
        long : (int, str), optional
            Where numbers are left: the line to tell that at, and words to add.
        """
        left = len(self._texts) - self._next
        if not left or self.ended:
            return
        first, line = _quoted(self._texts[self._next]), self._lines[self._next]
        follows = (
            f"{spaced(left)} more {'value follows' if left == 1 else 'values follow'} the last one that is"
        )
        if math.isnan(_value(self._texts[self._next])):
            self._findings.remark(f"{follows} expected, from {first} on; not read", line)
            return
        at, more = long or (line, "")
        comma = ""
        if self._comma is not None:
            where, written = self._comma
            comma = (
                f"; a comma parts two numbers: if {_quoted(written)} in line {where} is one, write it "
                f"{written.replace(',', '.')}"
            )
        self._findings.problem(f"{follows} expected, from {first} in line {line} on{more}{comma}", at)

    def _one(self, what: str) -> str | None:
        if self.ended:
            return None
        if self._next == len(self._texts):
            self.ended = True
            self._findings.problem(
                f"the numbers end after {spaced(self._next)}; next must come the {what}", self.last_line
            )
            return None
        self._next += 1
        return self._texts[self._next - 1]


def spaced(number: int) -> str:
    """A whole number in groups of three digits: 12 345."""
    return f"{number:,}".replace(",", " ")


def _value(text: str) -> float:
    if not NUMBER.fullmatch(text):
        return math.nan
    return float(text.upper().replace("D", "E"))


def _quoted(text: str, longest: int = 30) -> str:
    return repr(text.strip() if len(text) <= longest else text.strip()[:longest] + "…")
