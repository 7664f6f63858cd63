"""Groups whose modules a CSV file lists: placed, and refused where they do not fit."""

from __future__ import annotations

import difflib
from fractions import Fraction
from pathlib import Path

import numpy as np

from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import frame
from lumsim.cabinet.rows import ListedModules
from lumsim.errors import Problem
from lumsim.study.faces import standing
from lumsim.study.form import StudyForm
from lumsim.study.mounts import AXES, mount_of, sticking_out
from lumsim.study.positions_csv import read_positions
from lumsim.study.reports import Report, length_shown
from lumsim.units import format_difference

__all__ = ["kind_named", "listed_modules"]


def kind_named(name: str | None, modules: dict[str, Module]) -> tuple[Module | None, str]:
    """The kind of module of that name, or what is wrong.

    Parameters
    ----------
    name : str or None
        None: the only one.
    modules : mapping of name to Module
    """
    if name is None:
        if len(modules) == 1:
            return next(iter(modules.values())), ""
        return None, f"there are several kinds: name one of {', '.join(modules)}"
    if name in modules:
        return modules[name], ""
    nearest = difflib.get_close_matches(name, modules, n=1, cutoff=0.5)
    hint = f"did you mean {nearest[0]}? Known" if nearest else "known"
    return None, f"there is no [modules.{name}]; {hint}: {', '.join(modules)}"


def listed_modules(
    form: StudyForm,
    number: int,
    modules: dict[str, Module],
    folder: Path,
    report: Report,
    problems: list[Problem],
) -> ListedModules | None:
    """Modules as a CSV file lists them; None where anything in it or beside it was refused.

    Parameters
    ----------
    form : StudyForm
    number : int
        Which group, from 0.
    modules : mapping of name to Module
    folder : Path
        Where the CSV file is looked for.
    report : callable
    problems : list of Problem
        Grows by what is wrong in the CSV file.
    """
    path, rows = ("rows", number), form.rows[number]
    at = standing(form, rows)
    assert rows.positions is not None
    clash = [
        name
        for name in (
            "pitch", "count", "edge_distance", "at", "module_pitch", "module_count", "module_edge_distance",
        )
        if getattr(rows, name) is not None
    ]  # fmt: skip
    for name in clash:
        report((*path, name), "the modules are listed by positions: leave one of the two out")
    if rows.staggered:
        clash.append("staggered")
        report((*path, "staggered"), "the modules are listed by positions, which are not moved: leave it out")
    file = folder / rows.positions
    found, wrong = read_positions(file, str(file))
    problems.extend(wrong)
    if wrong or clash:
        return None
    table: list[tuple[float, float, float, float, int]] = []
    kinds: dict[str, int] = {}
    seen: dict[tuple[Fraction, Fraction, Fraction], int] = {}
    size = {"x": form.cabinet.width, "y": form.cabinet.height}
    told = len(problems)
    for one in found:
        kind, text = kind_named(one.module or rows.module, modules)
        if kind is None:
            problems.append(Problem(where=str(file), line=one.line, key="module", text=text))
            continue
        for axis, value in (("x", one.x), ("y", one.y)):
            if not 0 <= value <= size[axis]:
                problems.append(
                    Problem(
                        where=str(file),
                        line=one.line,
                        key=axis,
                        text=f"{length_shown(value, form.units)} is outside the cabinet, which goes from 0 to "
                        f"{length_shown(size[axis], form.units)}",
                    )
                )
        z = at.z if one.z is None else one.z
        if one.z is not None and not at.lowest <= z <= at.highest:
            problems.append(
                Problem(
                    where=str(file),
                    line=one.line,
                    key="z",
                    text=f"{length_shown(z, form.units)} must be from "
                    f"{'1 mm' if at.lowest > 0 else '0'} to "
                    f"{'1 mm less than ' if at.highest < form.cabinet.depth else ''}the depth, "
                    f"{length_shown(form.cabinet.depth, form.units)}",
                )
            )
        if (one.x, one.y, z) in seen:
            problems.append(
                Problem(
                    where=str(file),
                    line=one.line,
                    key="x",
                    text=f"a module at this place stands in line {seen[one.x, one.y, z]} already",
                )
            )
        seen.setdefault((one.x, one.y, z), one.line)
        lumens = kind.lumens if one.lumens is None else one.lumens
        table.append((float(one.x), float(one.y), float(z), lumens, kinds.setdefault(kind.name, len(kinds))))
    if len(problems) > told:
        return None
    x, y, z_, flux, which = (np.array(column) for column in zip(*table, strict=True))
    turned = frame(mount_of(form, rows), rows.direction, turn=rows.turn or 0.0, tilt=rows.tilt or 0.0)
    placed = Emitters(
        x=x,
        y=y,
        z=z_,
        flux=flux,
        front_share=np.full(len(x), at.front_share),
        frames=np.broadcast_to(turned, (len(x), 3, 3)).copy(),
        kind=which.astype(np.intp),
        kinds=tuple(modules[name] for name in kinds),
    )
    for out in sticking_out(form, placed):
        least = ": at least 1 mm is needed" if "face" in out.wall else ""
        problems.append(
            Problem(
                where=str(file),
                line=found[out.module].line,
                key=AXES[out.axis],
                text=f"an LED of this module would be {format_difference(out.by, form.units)} "
                f"{'too near' if least else 'past'} the {out.wall}{least}",
            )
        )
    return None if len(problems) > told else ListedModules(direction=rows.direction, placed=placed)
