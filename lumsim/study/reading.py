"""File and ``--set`` → Study: read, checked whole, every problem at once with its line and key."""

from __future__ import annotations

import copy
import difflib
import re
import tomllib
import typing
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from lumsim.cabinet.box import LARGEST_SIZE
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import Problem, StudyError
from lumsim.study.broken_toml import explain
from lumsim.study.building import Report, build
from lumsim.study.form import DEFAULT_MODULE_PITCH, StudyForm
from lumsim.study.key_lines import key_lines
from lumsim.uniformity.requirement import Requirement
from lumsim.units import Units, format_length

__all__ = ["LARGEST_FILE", "Study", "read_study", "study_from_text"]

LARGEST_FILE = 4_000_000
"""The largest study file that is read. [byte]"""

Path_ = tuple[str | int, ...]

SET = "--set"


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One cabinet and one question, checked."""

    title: str
    units: Units
    """for printing"""
    source: str
    """the file it was read from"""
    cabinet: Cabinet
    requirement: Requirement
    defaults: tuple[tuple[str, str], ...]
    """keys that the study leaves out, and what they are then, as printed"""
    changes: tuple[str, ...] = ()
    """what ``--set`` changed"""


def read_study(path: str | Path, *, changes: Sequence[str] = ()) -> Study:
    """Read a study file and check it whole.

    Parameters
    ----------
    path : path
        A TOML file; the form is in ``form.py``.
    changes : sequence of str
        ``key=value`` to try without editing the file, such as ``cabinet.depth=8 in``; an empty value takes
        the key away.

    Raises
    ------
    StudyError
        With every problem at once: file, line, key, value, what would be right.
    """
    file = Path(path)
    shown = str(path)
    try:
        with file.open("rb") as opened:
            raw = opened.read(LARGEST_FILE + 1)
    except OSError as error:
        raise StudyError([Problem(where=shown, text=f"cannot be read: {error.strerror or error}")]) from None
    if len(raw) > LARGEST_FILE:
        raise StudyError([Problem(where=shown, text=f"is larger than {LARGEST_FILE / 1e6:g} MB")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise StudyError(
            [Problem(where=shown, line=line, text="is not text in UTF-8: save it as UTF-8")]
        ) from None
    return study_from_text(text, shown=shown, folder=file.parent, changes=changes)


def study_from_text(
    text: str, *, shown: str = "study", folder: Path = Path(), changes: Sequence[str] = ()
) -> Study:
    """Check the text of a study file; see ``read_study``.

    Parameters
    ----------
    text : str
    shown : str
        What to call the file in messages.
    folder : Path
        Where CSV files named in the study are.
    changes : sequence of str
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line, message = explain(text, error)
        raise StudyError([Problem(where=shown, line=line, text=message)]) from None
    except RecursionError:
        raise StudyError([Problem(where=shown, text="nests tables or lists too deeply")]) from None
    except ValueError:
        # Python refuses to read whole numbers of more than some 4 300 digits.
        raise StudyError([Problem(where=shown, text="holds a number with too many digits")]) from None
    if not content and not changes:
        raise StudyError(
            [Problem(where=shown, text="is empty: `lumsim new FILE` writes a study to start from")]
        )
    lines = key_lines(text)
    problems: list[Problem] = []
    changed = _apply(content, changes, problems)

    def report(path: Path_, message: str) -> None:
        problems.append(_problem(path, message, shown, lines, changed))

    try:
        form = StudyForm.model_validate(content)
    except ValidationError as error:
        refused = _in_words(error.errors(include_url=False))
        for path, message in refused:
            report(path, message)
        _look_further(content, [path for path, _ in refused], folder, report, problems)
        raise StudyError(problems) from None
    built = build(form, folder, report, problems)
    if built is None or problems:
        raise StudyError(problems)
    cabinet, requirement = built
    return Study(
        title=form.title or Path(shown).stem,
        units=form.units,
        source=shown,
        cabinet=cabinet,
        requirement=requirement,
        defaults=_defaults(form),
        changes=tuple(changes),
    )


def _problem(path: Path_, message: str, shown: str, lines: dict[Path_, int], changed: list[Path_]) -> Problem:
    key = _dotted(path)
    if any(path[: len(one)] == one or one[: len(path)] == path for one in changed):
        return Problem(where=SET, key=key, text=message)
    at = path
    while at and at not in lines:
        at = at[:-1]
    return Problem(where=shown, line=lines.get(at), key=key, text=message)


def _dotted(path: Path_) -> str:
    """Path as a person writes it: groups and list entries counted from 1."""
    return ".".join(
        str(part + 1) if isinstance(part, int) else part if re.fullmatch(r"[\w-]+", part) else f'"{part}"'
        for part in path
    )


# --- --set ----------------------------------------------------------------------------------------------


def _apply(content: dict[str, Any], changes: Sequence[str], problems: list[Problem]) -> list[Path_]:
    """Change a study's content in place; the paths that changed come back."""
    changed: list[Path_] = []
    for change in changes:
        key, equals, value = change.partition("=")
        try:
            if not equals:
                raise ValueError('write it as key=value, such as cabinet.depth="8 in"')
            changed.append(_set(content, _split_key(key.strip()), value.strip()))
        except ValueError as error:
            problems.append(Problem(where=SET, key=key.strip(), text=str(error)))
    if problems:
        raise StudyError(problems)
    return changed


def _split_key(key: str) -> list[str]:
    parts = re.findall(r'"([^"]*)"|([^."]+)', key)
    if not parts or re.sub(r'"[^"]*"|[^."]+', "x", key) != ".".join("x" * len(parts)):
        raise ValueError("is not a key: write it with dots, such as cabinet.depth or rows.1.pitch")
    return [quoted or bare.strip() for quoted, bare in parts]


def _value(text: str) -> object:
    try:
        return tomllib.loads(f"value = {text}")["value"]
    except (ValueError, RecursionError):
        # The shell has taken the quotes away: cabinet.depth="8 in" arrives as 8 in.
        return text


def _set(content: dict[str, Any], parts: list[str], value: str) -> Path_:
    here: Any = content
    path: list[str | int] = []
    for number, part in enumerate(parts):
        last = number == len(parts) - 1
        if isinstance(here, list):
            step, here = _entry(here, part, path)
            path.append(step)
            if not part.isdecimal():
                # A single group needs no number: rows.pitch is rows.1.pitch.
                return _finish(here, parts[number:], value, path)
            if last:
                raise ValueError(
                    f"names a whole table: name one of its keys, such as {_dotted(tuple(path))}.pitch"
                )
            continue
        if not isinstance(here, dict):
            raise ValueError(f"{_dotted(tuple(path))} is a value, it has no keys of its own")
        if last:
            return _finish(here, [part], value, path)
        here = here.setdefault(part, {})
        path.append(part)
    raise ValueError("names no key")


def _entry(here: list[Any], part: str, path: list[str | int]) -> tuple[int, Any]:
    if part.isdecimal():
        if not 1 <= int(part) <= len(here):
            raise ValueError(
                f"there is no {_dotted((*path, int(part) - 1))}: they are counted from 1 to {len(here)}"
            )
        return int(part) - 1, here[int(part) - 1]
    if len(here) != 1:
        choices = ", ".join(_dotted((*path, i)) for i in range(len(here)))
        raise ValueError(f"there are {len(here)} of {_dotted(tuple(path))}: write one of {choices}")
    return 0, here[0]


def _finish(here: object, rest: list[str], value: str, path: list[str | int]) -> Path_:
    for part in rest[:-1]:
        if not isinstance(here, dict):
            raise ValueError(f"{_dotted(tuple(path))} is a value, it has no keys of its own")
        here = here.setdefault(part, {})
        path.append(part)
    if not isinstance(here, dict):
        raise ValueError(f"{_dotted(tuple(path))} is a value, it has no keys of its own")
    if value == "":
        here.pop(rest[-1], None)
    else:
        here[rest[-1]] = _value(value)
    return (*path, rest[-1])


# --- the rest of a study whose form is refused -------------------------------------------------------------

STAND_INS: dict[str, Any] = {
    "cabinet": {
        "width": f"{LARGEST_SIZE:g} m",
        "height": f"{LARGEST_SIZE:g} m",
        "depth": f"{LARGEST_SIZE:g} m",
    },
    "face": {"transmittance": 1e-9, "reflectance": 0.0},
}
"""Values for needed keys that cannot be read, so permissive that they cause no problem of their own."""


def _look_further(
    content: dict[str, Any], refused: list[Path_], folder: Path, report: Report, problems: list[Problem]
) -> None:
    """Find what does not fit together in the rest of a study, so that every problem is told at once.

    Refused keys are taken out, needed ones replaced by stand-ins; what is then found in a table that already
    has a problem, or rests on a stand-in size, is not told: it may be a consequence.
    """
    rest = copy.deepcopy(content)
    for path in refused:
        here: Any = rest
        for part in path[:-1]:
            try:
                here = here[part]
            except (KeyError, IndexError, TypeError):
                here = None
                break
        if isinstance(here, dict):
            here.pop(path[-1], None)
    for table, needed in STAND_INS.items():
        entries = rest.setdefault(table, {})
        for key, value in needed.items():
            entries.setdefault(key, value)
    for module in rest.get("modules", {}).values():
        module.setdefault("lumens", 1.0)
    try:
        form = StudyForm.model_validate(rest)
    except ValidationError:
        return
    troubled = {path[: 2 if path[0] in {"rows", "modules", "obstruction"} else 1] for path in refused if path}
    sizes_known = ("cabinet",) not in troubled

    def told(path: Path_, message: str) -> None:
        if any(path[: len(table)] == table or table[: len(path)] == path for table in troubled):
            return
        if sizes_known or path[-1] == "reflectance" or path[0] == "modules":
            report(path, message)

    build(form, folder, told, problems if sizes_known else [])


# --- what the form refuses, in words ---------------------------------------------------------------------

EXAMPLES: dict[str | int, str] = {
    "cabinet": "a table [cabinet] with width, height and depth",
    "face": "a table [face] with transmittance and reflectance",
    "modules": "a table such as [modules.standard] with lumens",
    "rows": "at least one [[rows]] with a pitch",
    "width": '"84 in"',
    "height": '"36 in"',
    "depth": '"6 in"',
    "transmittance": "0.40",
    "reflectance": "0.40",
    "lumens": "90",
    "shape": '"lambertian"',
}


def _tables(annotation: object) -> type[BaseModel] | None:
    """The table that a field holds, whether plain, optional, in a list or under names."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in typing.get_args(annotation):
        found = _tables(part)
        if found is not None:
            return found
    return None


def _form_at(path: Path_) -> type[BaseModel] | None:
    """The table of the form that holds the last key of a path."""
    form: type[BaseModel] | None = StudyForm
    named = False
    for part in path[:-1]:
        if form is None:
            return None
        if isinstance(part, int) or named:
            named = False
            continue
        field = form.model_fields.get(part)
        if field is None:
            return None
        named = part == "modules" and form is StudyForm
        form = _tables(field.annotation)
    return form


def _in_words(errors: Sequence[ErrorDetails]) -> list[tuple[Path_, str]]:
    """Pydantic's errors as a person would say them."""
    told: list[tuple[Path_, str]] = []
    misspelt: set[Path_] = set()
    for error in errors:
        path: Path_ = tuple(part for part in error["loc"] if not _is_type_mark(part))
        if error["type"] == "extra_forbidden":
            form = _form_at(path)
            known = list(form.model_fields) if form is not None else []
            missing = [
                str(e["loc"][-1]) for e in errors if e["type"] == "missing" and e["loc"][:-1] == path[:-1]
            ]
            given = str(path[-1])
            nearest = difflib.get_close_matches(given, missing, n=1, cutoff=0.5) or difflib.get_close_matches(
                given, known, n=1, cutoff=0.6
            )
            if nearest:
                misspelt.add((*path[:-1], nearest[0]))
                told.append((path, f"is no known key; did you mean {nearest[0]}?"))
            else:
                told.append((path, f"is no known key; known here are {', '.join(known)}"))
    for error in errors:
        path = tuple(part for part in error["loc"] if not _is_type_mark(part))
        if error["type"] == "extra_forbidden" or (error["type"] == "missing" and path in misspelt):
            continue
        told.append((path, _one_in_words(error, path)))
    return list(dict.fromkeys(told))


def _is_type_mark(part: str | int) -> bool:
    """Pydantic puts the name of a validator into the place of an error; a study has no such key."""
    return isinstance(part, str) and ("function-" in part or "[" in part)


def _one_in_words(error: ErrorDetails, path: Path_) -> str:
    kind, given = error["type"], error["input"]
    ctx = error.get("ctx", {})
    if kind == "missing":
        example = EXAMPLES.get(path[-1], "")
        how = ": write " if len(path) == 1 else ", such as "
        return f"is needed{how}{example}" if example else "is needed"
    if kind == "value_error":
        return str(ctx["error"])
    if kind == "literal_error":
        return _not_among(path, given, str(ctx["expected"]))
    if kind in {"model_type", "dict_type", "model_attributes_type"}:
        header = f"[[{_dotted(path[:-1])}]]" if path and isinstance(path[-1], int) else f"[{_dotted(path)}]"
        return f"must be a table, written {header}, got {given!r}"
    if kind == "list_type" and path in {("rows",), ("obstruction",)}:
        return f"is a list of groups: write [[{path[0]}]] with two brackets"
    if kind == "list_type":
        return f'must be a list such as ["6 in", "18 1/2 in"], got {given!r}'
    if kind == "too_short":
        return "is empty: give at least one"
    if kind == "string_type":
        return f"must be text in quotes, got {given!r}"
    return f"{error['msg']}, got {given!r}"


def _not_among(path: Path_, given: object, expected: str) -> str:
    if path == ("cabinet", "faces"):
        return f"must be 1: only single-faced cabinets are modelled, got {given!r}"
    if path and path[-1] == "on":
        return f'must be "back": only rows on the back are modelled, got {given!r}'
    expected = expected.replace("'", '"')
    nearest = difflib.get_close_matches(str(given), re.findall(r'"([^"]+)"', expected), n=1, cutoff=0.5)
    hint = f'; did you mean "{nearest[0]}"?' if nearest else ""
    return f"must be {expected}, got {given!r}{hint}"


# --- defaults that a result must show --------------------------------------------------------------------


def _defaults(form: StudyForm) -> tuple[tuple[str, str], ...]:
    """Keys that bear on the result and that the study leaves out, with what they are then."""
    shown: list[tuple[str, str]] = []
    for name in ("back_reflectance", "return_reflectance"):
        if name not in form.interior.model_fields_set:
            shown.append((f"interior.{name}", f"{getattr(form.interior, name):g}"))
    if "visible_border" not in form.face.model_fields_set:
        shown.append(("face.visible_border", format_length(0, form.units)))
    for name, module in form.modules.items():
        if "beam" not in module.model_fields_set:
            shown.append((f"modules.{name}.beam", "lambertian"))
    for number, rows in enumerate(form.rows):
        path = "rows" if len(form.rows) == 1 else f"rows.{number + 1}"
        if "z" not in rows.model_fields_set:
            shown.append((f"{path}.z", format_length(Fraction(0), form.units)))
        if "direction" not in rows.model_fields_set:
            shown.append((f"{path}.direction", "horizontal"))
        if rows.positions is None and rows.module_pitch is None and rows.module_count is None:
            shown.append((f"{path}.module_pitch", DEFAULT_MODULE_PITCH))
    return tuple(shown)
