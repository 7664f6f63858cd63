"""The tree of errors.

    LumsimError                 anything lumsim refuses, in the user's words
    ├── InputError              a value that cannot be (also a ValueError)
    │   ├── LengthError         a length that cannot be read
    │   ├── StudyError          one or more problems of a study file, each with file, line and key
    │   └── TooLargeError       the work would not fit: says how large it would be
    ├── OutputError             a file could not be written; nothing half-written is left behind
    └── BalanceError            a result that does not conserve lumens: a fault of lumsim, never of the study

Every message says what is wrong, the value with its unit, and what would be right.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "BalanceError",
    "InputError",
    "LengthError",
    "LumsimError",
    "OutputError",
    "Problem",
    "StudyError",
    "TooLargeError",
]


class LumsimError(Exception):
    """Anything lumsim refuses; its text is fit to be shown to a user as it is."""


class InputError(LumsimError, ValueError):
    """A value that cannot be."""


class LengthError(InputError):
    """A length that cannot be read."""


class TooLargeError(InputError):
    """Work that would not fit in memory or in reasonable time; the text says how large it would be."""


class OutputError(LumsimError):
    """A file could not be written; whatever stood there before is untouched."""


class BalanceError(LumsimError):
    """Lumens got lost: a fault of lumsim, never of the study."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong with a study: where, what, and what would be right."""

    where: str
    """The file or option it stands in, such as ``studies/shop.toml`` or ``--set``."""
    line: int | None = None
    """The line in that file, from 1; None where there is none to name."""
    key: str = ""
    """The dotted key, such as ``cabinet.depth``; empty where the file as a whole is meant."""
    text: str
    """What is wrong, the value with its unit, and what would be right."""

    def __str__(self) -> str:
        place = self.where if self.line is None else f"{self.where}, line {self.line}"
        return f"{place}: {self.key + ': ' if self.key else ''}{self.text}"


class StudyError(InputError):
    """Every problem of a study at once."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = sorted(problems, key=lambda p: (p.where, p.line or 0, p.key))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[StudyError], tuple[list[Problem]]]:
        """Pickle it by its problems: it may have to come back from another process."""
        return type(self), (self.problems,)
