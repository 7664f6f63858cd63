"""An answer is a study again: the file it was asked in, with the keys changed that make the layout found."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path, PurePath
from typing import Any

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError, LengthError, Problem, StudyError
from lumsim.study.changes import apply_changes
from lumsim.study.key_lines import KeyPath
from lumsim.study.mounts import MODULE_KEYS, ROW_KEYS
from lumsim.study.reading import Study, study_from_text
from lumsim.study.toml_edits import Edit, edited
from lumsim.units import METRES_PER_UNIT, Units, exact_length, parse_length

__all__ = ["changed_rows", "length_text", "rows_as_keys", "saved", "saved_study"]

ROUND = 12
"""Characters of a length that a person would write so. [1]"""

SAME = 1e-9
"""How far modules may be from where they were found. [m]"""

SAVED_BY = "# Saved by lumsim "
"""How the comment of a saved study begins."""

SCHEMA_LINE = "#:schema "
"""How the comment begins that tells an editor where the schema is; it must be a file's first."""


def saved(text: str, changes: Mapping[KeyPath, Any] | Sequence[tuple[KeyPath, Any]]) -> str:
    """Return the text of a study with some of its keys changed; comments, order and layout stay.

    Parameters
    ----------
    text : str
        TOML that tomllib accepts.
    changes : mapping, or sequence of pairs, of path to value
        Such as ``(("cabinet", "depth"), "8 in")``; the value None takes a key away, and one that is not there is passed
        over. A length that reads the same as the one there is left as it is written.

    Raises
    ------
    InputError
        Where a key cannot be set in the text as it is laid out.
    """
    pairs = changes.items() if isinstance(changes, Mapping) else changes
    return _edited(text, [Edit(path=path, value=value) for path, value in pairs])


def length_text(metres: Fraction | float, units: Units) -> str:
    """Write a length [m] so that reading it gives the same: ``9 1/2 in``, ``241.3 mm``, ``9.4488188976378 in``.

    Of the ways to write it the first that reads the same, as a float, is taken: tape-measure fractions of an inch down
    to 1/64, few decimals, fractions of whole numbers to 64, many decimals, 25 at most.

    Parameters
    ----------
    metres : Fraction or float
        [m]
    units : {"in", "mm"}
        What it is written in.

    Raises
    ------
    LengthError
        For NaN and infinity, and below zero.
    """
    exact = exact_length(metres)
    if exact < 0:
        raise LengthError(f"a length to be saved must be 0 or more, got {float(exact):g} m")
    number = exact / METRES_PER_UNIT[units]
    for written in _ways_to_write(number, units):
        text = f"{written} {units}"
        if float(parse_length(text)) == float(exact):
            break
    return text


def _ways_to_write(number: Fraction, units: Units) -> Iterator[str]:
    if units == "in":
        yield _mixed(number, 64, binary=True)
    yield from (_decimals(number, digits) for digits in range(5))
    yield _mixed(number, 64)
    yield from (_decimals(number, digits) for digits in range(5, 26))


def _mixed(number: Fraction, most: int, *, binary: bool = False) -> str:
    near = Fraction(round(number * most), most) if binary else number.limit_denominator(most)
    whole, rest = divmod(near, 1)
    return f"{whole}" if not rest else f"{f'{whole} ' if whole else ''}{rest}"


def _decimals(number: Fraction, digits: int) -> str:
    scaled = round(number * 10**digits)
    if not digits:
        return str(scaled)
    whole, rest = divmod(scaled, 10**digits)
    return f"{whole}.{rest:0{digits}d}"


def rows_as_keys(rows: Rows, units: Units) -> dict[str, Any]:
    """Keys of a study under ``[[rows]]`` from which exactly these rows come out.

    Parameters
    ----------
    rows : Rows
        Laid by a rule, or at listed positions across.
    units : {"in", "mm"}
        What lengths are written in.

    Returns
    -------
    dict of key to value
        Every key that says where rows and modules are, None for those that must not be there: ``at``, ``pitch``,
        ``count`` and ``edge_distance``, the same of the modules along a row, ``staggered``, which a single row cannot
        be, and ``direction``, which rows on a return do not need.

    Raises
    ------
    InputError
        Where no key says where the modules along a row are.
    """
    keys: dict[str, Any] = dict.fromkeys((*ROW_KEYS, *MODULE_KEYS))
    if rows.rows.pitch is None and not _in_the_middle(rows.rows):
        keys["at"] = [length_text(position, units) for position in rows.rows.positions]
    else:
        keys |= _rule(rows.rows, units)
    if rows.modules.pitch is None and not _in_the_middle(rows.modules):
        raise InputError("modules along a row that are listed one by one cannot be saved as a study")
    keys |= {f"module_{key}": value for key, value in _rule(rows.modules, units).items()}
    if rows.on not in RETURNS:
        keys["direction"] = rows.direction
    keys["staggered"] = True if any(rows.shifts) else None
    return keys


def _in_the_middle(places: Places) -> bool:
    return places.count == 1 and 2 * places.positions[0] == places.extent


def _rule(places: Places, units: Units) -> dict[str, Any]:
    """A count with the pitch, or with the edge distance where that alone is round."""
    keys: dict[str, Any] = {"count": places.count}
    if places.pitch is None:
        return keys
    pitch, edge = (length_text(one, units) for one in (places.pitch, places.edge_distances[0]))
    fits = (places.count - 1) * parse_length(pitch) <= places.extent
    if fits and (len(pitch) <= ROUND or len(pitch) <= len(edge)):
        return keys | {"pitch": pitch}
    return keys | {"edge_distance": edge}


def changed_rows(before: Cabinet, after: Cabinet) -> dict[int, Rows]:
    """Groups of rows, counted from 0, that are not as they were.

    Parameters
    ----------
    before, after : Cabinet
        The same cabinet, laid out anew.

    Raises
    ------
    InputError
        Where modules moved that a file lists: their places cannot be saved in a study.
    """
    changed: dict[int, Rows] = {}
    for number, (one, other) in enumerate(zip(before.groups, after.groups, strict=True)):
        if isinstance(other, Rows):
            if one != other:
                changed[number] = other
        elif not np.array_equal(one.emitters().places, other.emitters().places):
            raise InputError(
                f"group {number + 1} lists its modules in a file: they cannot be saved elsewhere"
            )
    return changed


def saved_study(
    source: Path,
    target: Path,
    *,
    changes: Sequence[str] = (),
    rows: Mapping[int, Rows] | None = None,
    depth: float | None = None,
    said: str = "",
) -> str:
    """Return the text of a study file that holds a layout found for another study.

    The file is not written. References to files beside the source are made to hold from the target's folder.

    Parameters
    ----------
    source : Path
        The study file that the layout was found for.
    target : Path
        The file that the text is for.
    changes : sequence of str
        ``key=value`` that the source was read with.
    rows : mapping of number to Rows, optional
        Groups that are laid anew, counted from 0; see ``changed_rows``.
    depth : float, optional
        Of the cabinet, where it is another. [m]
    said : str
        What it is, for a comment at its top, such as ``fewest modules``; empty: none.

    Raises
    ------
    StudyError
        Where the source cannot be read, or the changes cannot be made.
    InputError
        Where the layout cannot be put into the text.
    """
    rows = {} if rows is None else rows
    text = _read(source)
    text = _with_changes(text, changes)
    content = tomllib.loads(text)
    units: Units = content.get("units", "in")
    edits: list[Edit] = []
    if depth is not None:
        edits.append(Edit(path=("cabinet", "depth"), value=length_text(depth, units)))
    for number, group in rows.items():
        edits += _edits(number, group, _group_of(content, number), units)
    text = _edited(text, edits)
    text = _with_references(text, source, target)
    text = _with_comment(text, source, target, said)
    return _checked(text, target, rows, depth, units)


def _read(source: Path) -> str:
    try:
        return source.read_bytes().decode("utf-8-sig")
    except (OSError, ValueError) as error:
        problem = Problem(where=str(source), text=f"cannot be read: {error}")
        raise StudyError([problem]) from None


def _group_of(content: dict[str, Any], number: int) -> dict[str, Any]:
    group: dict[str, Any] = content["rows"][number]
    if "positions" in group:
        raise InputError(f"group {number + 1} lists its modules in a file: its layout cannot be saved")
    return group


def _edits(number: int, rows: Rows, there: dict[str, Any], units: Units) -> list[Edit]:
    """What lays a group anew: keys set first, so that they stand where those stood that are then taken away."""
    keys = rows_as_keys(rows, units)
    if "direction" not in there and keys.get("direction") == "horizontal":
        del keys["direction"]
    path = ("rows", number)
    beside = {
        **{key: (*_before(key, ROW_KEYS), *ROW_KEYS) for key in ROW_KEYS},
        **{key: (*_before(key, MODULE_KEYS), *MODULE_KEYS, *ROW_KEYS) for key in MODULE_KEYS},
    }
    edits = [Edit(path=(*path, key), value=value, beside=beside.get(key, ())) for key, value in keys.items()]
    return sorted(edits, key=lambda edit: edit.value is None)


def _before(key: str, keys: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(one for one in keys if one != key)


def _edited(text: str, edits: Sequence[Edit]) -> str:
    """The text with the edits made, but for lengths that are there already, written in another way."""
    content = tomllib.loads(text)
    return edited(text, [edit for edit in edits if not _reads_the_same(content, edit)])


def _reads_the_same(content: Any, edit: Edit) -> bool:
    here = content
    try:
        for part in edit.path:
            here = here[part]
    except (KeyError, IndexError, TypeError):
        return False
    lists = [here, edit.value] if isinstance(here, list) else [[here], [edit.value]]
    if not all(isinstance(one, list) and all(isinstance(item, str) for item in one) for one in lists):
        return False
    try:
        return [float(parse_length(one)) for one in lists[0]] == [
            float(parse_length(one)) for one in lists[1]
        ]
    except InputError:
        return False


def _with_changes(text: str, changes: Sequence[str]) -> str:
    """The text with what ``--set`` changes."""
    content = tomllib.loads(text)
    problems: list[Problem] = []
    paths = apply_changes(content, changes, problems)
    if problems:
        raise StudyError(problems)
    edits = []
    for path in dict.fromkeys(paths):
        value: Any = content
        for part in path:
            value = value[part] if isinstance(part, int) else (value or {}).get(part)
        edits.append(Edit(path=path, value=value))
    return edited(text, edits)


def _with_references(text: str, source: Path, target: Path) -> str:
    """The text with what names a file beside the source naming it from the target's folder."""
    old, new = (path.parent.resolve() for path in (source, target))
    if old == new:
        return text
    content = tomllib.loads(text)
    paths: list[KeyPath] = [
        ("rows", number, "positions")
        for number, rows in enumerate(content.get("rows", []))
        if "positions" in rows
    ]
    paths += [
        ("modules", name, "beam", "file")
        for name, module in content.get("modules", {}).items()
        if "file" in module.get("beam", {})
    ]
    if "prices" in content.get("costs", {}):
        paths.append(("costs", "prices"))
    edits = []
    for path in paths:
        named: Any = content
        for part in path:
            named = named[part]
        edits.append(Edit(path=path, value=_from(new, old, named)))
    return edited(text, edits)


def _from(folder: Path, old: Path, named: str) -> str:
    """What a file beside the source is called from another folder."""
    if PurePath(named).is_absolute():
        return named
    try:
        return Path(os.path.relpath(old / named, folder)).as_posix()
    except ValueError:
        # On another drive.
        return (old / named).as_posix()


def _with_comment(text: str, source: Path, target: Path, said: str) -> str:
    """The text with what it is at its top, below the line that names the schema."""
    line_end = "\r\n" if "\r\n" in text else "\n"
    first, _, rest = text.partition("\n")
    head = ""
    if first.startswith(SCHEMA_LINE):
        named = first.removeprefix(SCHEMA_LINE).strip()
        old, new = (path.parent.resolve() for path in (source, target))
        if named.startswith(".") and old != new:
            moved = _from(new, old, named)
            first = SCHEMA_LINE + (moved if moved.startswith((".", "/")) else f"./{moved}")
        head, text = first.rstrip("\r") + line_end, rest
    if text.startswith(SAVED_BY):
        text = text.partition("\n")[2]
    if said:
        what = f"search from {source.name}: {said}"
        head += f"{SAVED_BY}{''.join(c if c.isprintable() else ' ' for c in what)}{line_end}"
    return head + text


def _checked(text: str, target: Path, rows: Mapping[int, Rows], depth: float | None, units: Units) -> str:
    """The text, once reading it gives what was to be saved."""
    study = _again(text, target)
    higher = [
        Edit(path=("rows", number, "z"), value=length_text(group.z, units), beside=("on", "module"))
        for number, group in rows.items()
        if not abs(_z_of(study, number) - group.z) <= SAME
    ]
    if higher:
        text = edited(text, higher)
        study = _again(text, target)
    for number, group in rows.items():
        got, wanted = study.cabinet.groups[number].emitters(), group.emitters()
        same = len(got) == len(wanted) and all(
            np.allclose(getattr(got, name), getattr(wanted, name), rtol=0, atol=SAME)
            for name in ("places", "frames", "front_share")
        )
        if not same:
            raise InputError(f"the layout of group {number + 1} cannot be saved as a study")
    if depth is not None and not abs(study.cabinet.box.depth - depth) <= SAME:
        raise InputError("the depth cannot be saved in this study")
    return text


def _again(text: str, target: Path) -> Study:
    return study_from_text(text, shown=str(target), folder=target.parent.resolve())


def _z_of(study: Study, number: int) -> float:
    group = study.cabinet.groups[number]
    assert isinstance(group, Rows)
    return group.z
