"""File and ``--set`` → Study: read, checked whole, every problem at once with its line and key."""

from __future__ import annotations

import difflib
import re
import tomllib
import typing
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import Problem, StudyError
from lumsim.study.broken_toml import explain
from lumsim.study.build_asked import BuildAsked
from lumsim.study.building import Built, build
from lumsim.study.changes import SET, apply_changes
from lumsim.study.defaults import defaults_of
from lumsim.study.form import StudyForm
from lumsim.study.further import look_further
from lumsim.study.inputs import Input, check_origins, inputs_of
from lumsim.study.key_lines import KeyPath, dotted, key_lines
from lumsim.study.naming import NamedAsked
from lumsim.study.page_form import PageAsked
from lumsim.study.questions import SearchAsked
from lumsim.study.reports import EXAMPLES, LISTS
from lumsim.study.sheet_asked import SheetAsked
from lumsim.study.spread import ToleranceAsked
from lumsim.study.submittal_form import TitleBlock, title_block
from lumsim.study.text_file import read_text
from lumsim.uniformity.requirement import Requirement
from lumsim.units import Units

__all__ = ["LARGEST_FILE", "Study", "read_studies", "read_study", "study_from_text"]

LARGEST_FILE = 4_000_000
"""The largest study file that is read. [byte]"""

MOST_PROBLEMS = 100
"""The most problems of a form that are told one by one. [1]"""

_LONGEST_MESSAGE = 400


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
    """the tightest of its own limits and the named ones"""
    defaults: tuple[tuple[str, str], ...]
    """keys that the study leaves out, and what they are then, as printed"""
    notes: tuple[str, ...] = ()
    """what the study says and is not used"""
    remarks: tuple[str, ...] = ()
    """what is odd in its photometric files, to be warned of"""
    changes: tuple[str, ...] = ()
    """what ``--set`` changed"""
    ageing: Ageing | None = None
    """None: only the new cabinet is asked for"""
    search: SearchAsked
    """what `lumsim search` is to answer"""
    tolerance: ToleranceAsked
    """what `lumsim tolerance` is to draw"""
    sheet: SheetAsked
    """what `lumsim sheet` works by: wire and modules"""
    building: BuildAsked
    """likewise: strings, supports, supplies, small parts, costs, service"""
    title_block: TitleBlock
    """of a submittal"""
    inputs: tuple[Input, ...]
    """what it says, key by key, and where that comes from"""
    own_limits: Mapping[str, float]
    """what the study itself asks for, by the names of ``LIMITS``"""
    named_limits: tuple[NamedAsked, ...] = ()
    """what the limits that it names ask for"""
    viewing: tuple[float, ...] = ()
    """distances from which the eye may notice rows and modules, rising; none: not asked [m]"""
    page: PageAsked
    """what the reader of its page may choose"""


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
    text, unreadable = read_text(file, shown, most=LARGEST_FILE)
    if unreadable:
        raise _refusal(unreadable)
    return study_from_text(text, shown=shown, folder=file.parent, changes=changes)


def read_studies(folder: Path, *, changes: Sequence[str] = ()) -> list[Study]:
    """Read every study of a folder, in the order of their names.

    Parameters
    ----------
    folder : Path
        Whose files that end in ``.toml`` are studies; folders within it are not looked into.
    changes : sequence of str
        As for ``read_study``, made to each.

    Raises
    ------
    StudyError
        With every problem of every study, or where the folder holds none.
    """
    files = sorted(file for file in folder.glob("*.toml") if file.is_file())
    if not files:
        raise _one(str(folder), "holds no study: a study is a file that ends in .toml")
    studies, problems = [], list[Problem]()
    for file in files:
        try:
            studies.append(read_study(file, changes=changes))
        except StudyError as error:
            problems += error.problems
    if problems:
        raise StudyError(problems)
    return studies


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
        Where CSV and photometric files named in the study are.
    changes : sequence of str
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line, message = explain(text, error)
        raise _one(shown, message, line) from None
    except RecursionError:
        raise _one(shown, "nests tables or lists too deeply") from None
    except ValueError:
        # Python refuses to read whole numbers of more than some 4 300 digits.
        raise _one(shown, "holds a number with too many digits") from None
    if not content and not changes:
        raise _one(shown, "is empty: `lumsim new FILE` writes a study to start from")
    lines = key_lines(text)
    problems: list[Problem] = []
    changed = apply_changes(content, changes, problems)
    if problems:
        raise _refusal(problems)

    def report(path: KeyPath, message: str, *, of_sizes: bool = False, of_faces: bool = False) -> None:  # noqa: ARG001
        problems.append(_problem(path, message, shown, lines, changed))

    try:
        form = StudyForm.model_validate(content)
    except ValidationError as error:
        errors = error.errors(include_url=False)
        refused = _in_words(errors[:MOST_PROBLEMS])
        for path, message in refused:
            report(path, message)
        if len(errors) > MOST_PROBLEMS:
            rest = f"{len(errors) - MOST_PROBLEMS} more problems, told once the others are mended"
            problems.append(Problem(where=shown, line=text.count("\n") + 1, text=rest))
        else:
            look_further(content, [path for path, _ in refused], folder, report, problems)
        raise _refusal(problems) from None
    built = build(form, folder, report, problems)
    if built is None or problems:
        raise _refusal(problems)
    defaults = defaults_of(form, built)
    inputs = inputs_of(
        form,
        content,
        lines=lines,
        changed=changed,
        defaults=(*defaults, *built.sheet.defaults, *built.building.defaults),
        origins=form.submittal.origins,
        units=form.units,
    )
    check_origins(inputs, form.submittal.origins, report)
    if problems:
        raise _refusal(problems)
    return Study(
        title=form.title or Path(shown).stem,
        units=form.units,
        source=shown,
        cabinet=built.cabinet,
        requirement=built.requirement,
        defaults=defaults,
        notes=(*built.kinds.notes, *_unused(built)),
        remarks=built.kinds.remarks,
        changes=tuple(changes),
        ageing=_ageing(form),
        search=built.search,
        tolerance=built.tolerance,
        sheet=built.sheet,
        building=built.building,
        title_block=title_block(form.submittal),
        inputs=inputs,
        own_limits=built.own_limits,
        named_limits=built.named_limits,
        viewing=built.viewing,
        page=built.page,
    )


def _unused(built: Built) -> list[str]:
    """Kinds of module that no row has."""
    used = {kind.name for group in built.cabinet.groups for kind in group.emitters().kinds}
    return [f"modules.{name} is in no rows" for name in built.kinds.modules if name not in used]


def _ageing(form: StudyForm) -> Ageing | None:
    """How the cabinet ages; None where both factors are 1."""
    asked = Ageing(maintenance_factor=form.ageing.maintenance_factor, dirt_factor=form.ageing.dirt_factor)
    return None if asked == Ageing() else asked


def _one(where: str, text: str, line: int | None = None) -> StudyError:
    return _refusal([Problem(where=where, line=line, text=text)])


def _refusal(problems: Sequence[Problem]) -> StudyError:
    return StudyError(
        [replace(one, key=_fit_to_show(one.key), text=_fit_to_show(one.text)) for one in problems]
    )


def _fit_to_show(text: str) -> str:
    """Return a text on one line and of bearable length: it may quote anything that a file can hold."""
    text = text if len(text) <= _LONGEST_MESSAGE else f"{text[:_LONGEST_MESSAGE]}…"
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def _problem(
    path: KeyPath, message: str, shown: str, lines: dict[KeyPath, int], changed: list[KeyPath]
) -> Problem:
    key = dotted(path)
    if any(path[: len(one)] == one or one[: len(path)] == path for one in changed):
        return Problem(where=SET, key=key, text=message)
    at = path
    while at and at not in lines:
        at = at[:-1]
    return Problem(where=shown, line=lines.get(at), key=key, text=message)


# --- what the form refuses, in words ---------------------------------------------------------------------


def _tables(annotation: object) -> type[BaseModel] | None:
    """The table that a field holds, whether plain, optional, in a list or under names."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in typing.get_args(annotation):
        found = _tables(part)
        if found is not None:
            return found
    return None


def _form_at(path: KeyPath) -> type[BaseModel] | None:
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


def _in_words(errors: Sequence[ErrorDetails]) -> list[tuple[KeyPath, str]]:
    """Pydantic's errors as a person would say them."""
    told: list[tuple[KeyPath, str]] = []
    misspelt: set[KeyPath] = set()
    for error in errors:
        path: KeyPath = error["loc"]
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
        path = error["loc"]
        if error["type"] == "extra_forbidden" or (error["type"] == "missing" and path in misspelt):
            continue
        told.append((path, _one_in_words(error, path)))
    return list(dict.fromkeys(told))


def _one_in_words(error: ErrorDetails, path: KeyPath) -> str:
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
        if path[-1] == "beam":
            return f'must be a table such as {{ shape = "wide", width = 2.0 }}, got {given!r}'
        header = f"[[{dotted(path[:-1])}]]" if path and isinstance(path[-1], int) else f"[{dotted(path)}]"
        return f"must be a table, written {header}, got {given!r}"
    if kind == "list_type" and path in {("rows",), ("obstruction",), ("parts",)}:
        return f"is a list of groups: write [[{path[0]}]] with two brackets"
    if kind == "list_type" and path[-1] in LISTS:
        return f"must be a list such as {LISTS[path[-1]]}, got {given!r}"
    if kind == "list_type":
        return f'must be a list such as ["6 in", "18 1/2 in"], got {given!r}'
    if kind == "too_short" and path[-1] == "table":
        return "needs two angles or more, each with its intensity"
    if kind == "too_short":
        return "is empty: give at least one"
    if kind == "too_long":
        return f"at most {ctx['max_length']} are taken, got {ctx['actual_length']}"
    if kind in {"string_too_short", "string_too_long"}:
        return (
            f"must be from 1 to {ctx.get('max_length', 'more')} characters"
            if kind.endswith("long")
            else "is empty"
        )
    if kind == "string_type":
        return f"must be text in quotes, got {given!r}"
    return f"{error['msg']}, got {given!r}"


def _not_among(path: KeyPath, given: object, expected: str) -> str:
    if path and path[-1] == "on":
        return (
            'must be "back", or "plane" in a double-sided cabinet, or a return: "left", "right", "bottom" or "top", '
            f"got {given!r}"
        )
    expected = expected.replace("'", '"')
    nearest = difflib.get_close_matches(str(given), re.findall(r'"([^"]+)"', expected), n=1, cutoff=0.5)
    hint = f'; did you mean "{nearest[0]}"?' if nearest else ""
    return f"must be {expected}, got {given!r}{hint}"
