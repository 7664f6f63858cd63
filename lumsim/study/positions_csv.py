"""Listed modules: a CSV file with the place of each module, as built or as measured.

Header ``x_in,y_in`` (inches, decimal or as fractions such as 5 1/2), ``x_mm,y_mm`` or ``x_m,y_m``; optional
columns ``z_in``/``z_mm``/``z_m``, ``lumens`` and ``module`` (where a study has several kinds). Coordinates
are measured from the lower left of the back (with two faces, of the rear face), seen from in front.
"""

from __future__ import annotations

import csv
import difflib
import math
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from lumsim.cabinet.places import MOST_PLACES
from lumsim.errors import LengthError, Problem
from lumsim.study.text_file import read_text
from lumsim.units import parse_length

__all__ = ["ListedModule", "read_positions"]

COLUMNS = ("x_in", "x_mm", "x_m", "y_in", "y_mm", "y_m", "z_in", "z_mm", "z_m", "lumens", "module")
MOST_PROBLEMS = 20
LARGEST_FILE = 20_000_000
"""The largest file that is read. [character]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedModule:
    """One line of the file."""

    line: int
    """from 1, the header included"""
    x: Fraction
    """[m]"""
    y: Fraction
    """[m]"""
    z: Fraction | None
    """None: as the study's group says [m]"""
    lumens: float | None
    """None: as the kind of module says [lm]"""
    module: str | None
    """None: as the study's group says"""


def read_positions(path: Path, shown: str) -> tuple[list[ListedModule], list[Problem]]:
    """Read a positions file; what is wrong comes back as problems, each with its line.

    Parameters
    ----------
    path : Path
        Where it is.
    shown : str
        What to call it in messages.
    """

    def problem(text: str, line: int | None = None, key: str = "") -> Problem:
        return Problem(where=shown, line=line, key=key, text=text)

    text, unreadable = read_text(path, shown, most=LARGEST_FILE)
    if unreadable:
        return [], unreadable
    lines = text.splitlines(keepends=True)
    if len(lines) > MOST_PLACES + 1:
        return [], [problem(f"lists more than {MOST_PLACES} modules: at most {MOST_PLACES} are taken")]

    reader = csv.reader(lines, strict=True)
    modules: list[ListedModule] = []
    problems: list[Problem] = []
    try:
        header = [name.strip().lower() for name in next(reader, [])]
        problems = [problem(text, 1) for text in _header_problems(header)]
        if problems:
            return [], problems
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(header):
                problems.append(
                    problem(
                        f"has {len(cells)} values where the header names {len(header)} columns",
                        reader.line_num,
                    )
                )
            else:
                found = dict(zip(header, (cell.strip() for cell in cells), strict=True))
                module, wrong = _one_module(found, reader.line_num)
                problems.extend(problem(text, reader.line_num, key) for key, text in wrong)
                if module is not None:
                    modules.append(module)
            if len(problems) > MOST_PROBLEMS:
                problems[MOST_PROBLEMS:] = [
                    problem(f"more than {MOST_PROBLEMS} problems; the rest is not read", reader.line_num)
                ]
                break
    except csv.Error as error:
        problems.append(problem(f"is not a CSV line: {error}", reader.line_num))
    if not modules and not problems:
        problems.append(problem("lists no modules: give at least one line below the header"))
    return modules, problems


def _header_problems(header: list[str]) -> list[str]:
    if not header or header == [""]:
        return ["is empty: the first line must name the columns, such as x_in,y_in"]
    if len(header) == 1 and ";" in header[0]:
        return ["columns are parted by commas, not semicolons, and decimals follow a point"]
    unknown = [name for name in header if name not in COLUMNS]
    problems = [_unknown_column(name) for name in unknown]
    problems += [
        f"column {name!r} stands there twice" for name in dict.fromkeys(header) if header.count(name) > 1
    ]
    for axis in ("x", "y"):
        # A column that is not known may be meant for it.
        if not unknown and not any(name.startswith(f"{axis}_") for name in header):
            problems.append(f"has no {axis} column: write {axis}_in, {axis}_mm or {axis}_m")
    for axis in ("x", "y", "z"):
        if len({name for name in header if name.startswith(f"{axis}_") and name in COLUMNS}) > 1:
            problems.append(f"has more than one {axis} column: keep one unit")
    return problems


def _unknown_column(name: str) -> str:
    if name in {"x", "y", "z"}:
        return f"column {name!r} needs its unit: write {name}_in, {name}_mm or {name}_m"
    nearest = difflib.get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
    hint = f"did you mean {nearest[0]}? Known" if nearest else "known"
    return f"unknown column {name!r}; {hint}: {', '.join(COLUMNS)}"


def _one_module(found: dict[str, str], line: int) -> tuple[ListedModule | None, list[tuple[str, str]]]:
    wrong: list[tuple[str, str]] = []
    place: dict[str, Fraction] = {}
    lumens: float | None = None
    for name, text in found.items():
        if not text and name[:2] == "z_":
            continue
        if name[:2] in {"x_", "y_", "z_"}:
            unit = name[2:]
            try:
                place[name[0]] = parse_length(f"{text} {unit}")
            except LengthError:
                wrong.append((name, f"must be a number of {unit}, such as 12.5 or 5 1/2, got {text!r}"))
        elif name == "lumens" and text:
            try:
                lumens = float(text)
            except ValueError:
                lumens = math.nan
            if not 0 < lumens <= 1e6:
                wrong.append((name, f"must be a number more than 0 and at most 1e+06 lm, got {text!r}"))
    if wrong:
        return None, wrong
    return (
        ListedModule(
            line=line,
            x=place["x"],
            y=place["y"],
            z=place.get("z"),
            lumens=lumens,
            module=found.get("module") or None,
        ),
        [],
    )
