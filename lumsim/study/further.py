"""What does not fit together in the rest of a study whose form is refused, so that every problem is told at once.

Refused keys are taken out and needed ones replaced by stand-ins. What a refused key may have caused is not
told: "says nothing of how far apart the rows are" is no help to a person whose pitch is only badly written.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from lumsim.cabinet.box import LARGEST_SIZE
from lumsim.errors import Problem
from lumsim.study.building import build
from lumsim.study.form import StudyForm
from lumsim.study.key_lines import KeyPath
from lumsim.study.reports import Report

__all__ = ["look_further"]

_SIZES = ("width", "height", "depth")
_NAMED_OR_LISTED = ("modules", "rows", "obstruction")

# So permissive that they cause no problem of their own.
_STAND_INS: dict[str, dict[str, Any]] = {
    "cabinet": dict.fromkeys(_SIZES, f"{LARGEST_SIZE:g} m"),
    "face": {"transmittance": 1e-9, "reflectance": 0.0},
}
_STAND_IN_MODULE = {"lumens": 1.0}
_STAND_IN_ROWS = {"pitch": "1 m"}
_STAND_IN_OBSTRUCTION = dict.fromkeys(("x", "y", "z"), "0 mm") | dict.fromkeys(_SIZES, "1 mm")


def look_further(
    content: dict[str, Any],
    refused: Sequence[KeyPath],
    folder: Path,
    report: Report,
    problems: list[Problem],
) -> None:
    """Find what does not fit together in the rest of a study whose form is refused.

    Parameters
    ----------
    content : dict
        What tomllib read.
    refused : sequence of path
        The keys that the form refuses, or misses.
    folder : Path
        Where CSV and photometric files are looked for.
    report : callable
        Told of each thing that does not fit and is no consequence of a refused key.
    problems : list of Problem
        Grows by what is wrong in those files.
    """
    rest = _without(content, refused)
    sizes_known = all(name in _table(rest, "cabinet") for name in _SIZES)
    # A refused key beside them may have been meant for it.
    faces_known = "faces" in _table(rest, "cabinet") or (
        sizes_known and not any(path[0] == "cabinet" for path in refused)
    )
    kinds_known = bool(_table(rest, "modules")) and not any(
        path[0] == "modules" and len(path) <= 2 for path in refused
    )
    try:
        form = StudyForm.model_validate(_with_stand_ins(rest))
    except ValidationError:
        return

    def told(path: KeyPath, message: str, *, of_sizes: bool = False, of_faces: bool = False) -> None:
        entry = path[: 2 if path[0] in _NAMED_OR_LISTED else 1]
        beside = any(one[: len(entry)] == entry for one in refused)
        consequence = (
            any(one[: len(path)] == path or path[: len(one)] == one for one in refused)
            or (path[-1] == "module" and not kinds_known)
            or (of_sizes and not sizes_known)
            or (of_faces and not faces_known)
            or (of_sizes and beside and path[0] != "face")
            or (beside and not _stands_in(content, path))
        )
        if not consequence:
            report(path, message, of_sizes=of_sizes, of_faces=of_faces)

    build(form, folder, told, problems, of_lists=problems if sizes_known and kinds_known else [])


def _table(content: dict[str, Any], name: str) -> dict[str, Any]:
    table = content.get(name)
    return table if isinstance(table, dict) else {}


def _stands_in(content: Any, path: KeyPath) -> bool:
    for part in path:
        try:
            content = content[part]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def _without(content: dict[str, Any], refused: Sequence[KeyPath]) -> dict[str, Any]:
    """Return a copy without the refused keys; a beam or a list of values goes with any part of it."""
    rest = copy.deepcopy(content)
    for name in ("rows", "obstruction"):
        if isinstance(rest.get(name), list):
            rest[name] = [entry if isinstance(entry, dict) else {} for entry in rest[name]]
    for path in refused:
        if path[0] == "parts":
            rest.pop("parts", None)
            continue
        *parents, key = path[: 3 if path[0] in _NAMED_OR_LISTED else 2]
        here: Any = rest
        for part in parents:
            here = here[part] if _stands_in(here, (part,)) else None
        if isinstance(here, dict):
            here.pop(key, None)
    return rest


def _with_stand_ins(rest: dict[str, Any]) -> dict[str, Any]:
    for name, needed in _STAND_INS.items():
        rest[name] = needed | _table(rest, name)
    rest["modules"] = {
        name: module if "file" in _table(module, "beam") else _STAND_IN_MODULE | module
        for name, module in _table(rest, "modules").items()
    } or {"standard": _STAND_IN_MODULE}
    rest["rows"] = rest.get("rows") or [_STAND_IN_ROWS]
    if "obstruction" in rest:
        rest["obstruction"] = [_STAND_IN_OBSTRUCTION | entry for entry in rest["obstruction"]]
    return rest
