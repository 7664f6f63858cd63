"""Files, and changes of the first of them → several studies to hold side by side; every problem at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from lumsim.errors import InputError, Problem, StudyError
from lumsim.study.changes import SET
from lumsim.study.reading import Study, read_study

__all__ = ["ALSO", "LEAST_STUDIES", "MOST_STUDIES", "changes_of", "read_alternatives"]

ALSO = "--also"
"""What a problem of a further study made by changes is said to stand in."""

LEAST_STUDIES, MOST_STUDIES = 2, 6
"""As many are held side by side; there are as many lines that can be told apart in one picture. [1]"""

_NEXT_CHANGE = re.compile(r";\s*(?=[A-Za-z_\"][\w.\"\- ]*=)")
"""Where the next change begins: a semicolon with a key and its equals sign behind it."""


def read_alternatives(
    paths: Sequence[str | Path], *, also: Sequence[str] = (), changes: Sequence[str] = ()
) -> list[Study]:
    """Read the studies that are to be held side by side: the files, then the first of them with changes.

    Parameters
    ----------
    paths : sequence of path
        Study files, at least one; a file may be named twice.
    also : sequence of str
        Each one more study, made from the first file: its changes as for ``read_study``, with semicolons between
        them, such as ``rows.pitch=9 in; cabinet.depth=8 in``.
    changes : sequence of str
        As for ``read_study``, made to every study before its own.

    Raises
    ------
    InputError
        Where there are too few studies or too many.
    StudyError
        With every problem of every study.
    """
    count = len(paths) + len(also)
    if count < LEAST_STUDIES:
        raise InputError(
            "there is one study, and nothing to hold it against: name another file, or a change of this one, such as "
            f'{ALSO} rows.pitch="9 in"'
        )
    if count > MOST_STUDIES:
        raise InputError(
            f"{count} studies: at most {MOST_STUDIES} are held side by side, since the lines of more could not be "
            "told apart in one picture"
        )
    studies: list[Study] = []
    found: dict[str, list[Problem]] = {}
    for path in paths:
        try:
            studies.append(read_study(path, changes=changes))
        except StudyError as error:
            found[str(path)] = error.problems
    problems = _with_files(found, files={str(path) for path in paths})
    if str(paths[0]) not in found:
        for number, one in enumerate(also, start=1):
            try:
                studies.append(read_study(paths[0], changes=[*changes, *changes_of(one)]))
            except StudyError as error:
                where = ALSO if len(also) == 1 else f"{ALSO} number {number}"
                # The file and its changes by --set were read above without a fault.
                problems += [replace(problem, where=where, line=None) for problem in error.problems]
    if problems:
        raise StudyError(problems)
    return studies


def changes_of(also: str) -> list[str]:
    """Part the changes of one more study: ``rows.pitch=9 in; cabinet.depth=8 in``.

    Parameters
    ----------
    also : str
        A semicolon parts two changes where a key and its equals sign follow it; one at the end is left out.
    """
    return [change.strip() for change in _NEXT_CHANGE.split(also.strip().removesuffix(";"))]


def _with_files(found: dict[str, list[Problem]], *, files: set[str]) -> list[Problem]:
    """Problems of several files; those of a change that only some of them cannot have name these."""
    told: list[Problem] = []
    of_changes: dict[Problem, list[str]] = {}
    for file, problems in found.items():
        told += [problem for problem in problems if problem.where != SET]
        for problem in problems:
            if problem.where == SET:
                of_changes.setdefault(problem, []).append(file)
    for problem, where in of_changes.items():
        everywhere = len(where) == len(files)
        told.append(problem if everywhere else replace(problem, where=f"{SET} in {', '.join(where)}"))
    return told
