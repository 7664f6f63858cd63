"""Form → Cabinet and Requirement. What does not fit together is refused here, every problem at once."""

from __future__ import annotations

import difflib
from fractions import Fraction
from pathlib import Path

import numpy as np

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, exponent_from_half_intensity_angle
from lumsim.cabinet.box import Box, Obstruction
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Emitters, Module
from lumsim.cabinet.orientation import frame
from lumsim.cabinet.places import MOST_PLACES, Places, listed, place
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError, Problem
from lumsim.study.faces import Standing, built_faces, refuse_misplaced, standing
from lumsim.study.form import DEFAULT_MODULE_PITCH_METRES, BeamForm, ModuleForm, RowsForm, StudyForm
from lumsim.study.key_lines import KeyPath
from lumsim.study.positions_csv import read_positions
from lumsim.study.reports import Report, length_shown
from lumsim.uniformity.requirement import LIMITS, Requirement

__all__ = ["build"]


def build(
    form: StudyForm, folder: Path, report: Report, problems: list[Problem]
) -> tuple[Cabinet, Requirement] | None:
    """Make the cabinet and the requirement that a form describes.

    Parameters
    ----------
    form : StudyForm
    folder : Path
        Where the form's CSV files are looked for.
    report : callable
        Told of each thing that does not fit.
    problems : list of Problem
        Grows by what is wrong in CSV files.

    Returns
    -------
    Cabinet and Requirement, or None where anything was reported.
    """
    refused: list[KeyPath] = []

    def note(path: KeyPath, message: str, *, of_sizes: bool = False, of_faces: bool = False) -> None:
        refused.append(path)
        report(path, message, of_sizes=of_sizes, of_faces=of_faces)

    cabinet = _cabinet(form, folder, note, problems)
    _refuse_luminance(form, note)
    if cabinet is None or refused:
        return None
    requirement = Requirement(
        **{name: getattr(form.requirement, name) for name in LIMITS},
        wanted_luminance=form.requirement.wanted_luminance,
        stripe_window=None
        if form.requirement.stripe_window is None
        else float(form.requirement.stripe_window),
        spot_contrast=form.requirement.spot_contrast,
    )
    return cabinet, requirement


def _refuse_luminance(form: StudyForm, report: Report) -> None:
    least, most = form.requirement.min_luminance, form.requirement.max_luminance
    if least is not None and most is not None and least > most:
        report(
            ("requirement", "min_luminance"),
            f"{least:.10g} cd/m² is above max_luminance, {most:.10g} cd/m²: no luminance meets both",
        )


def _cabinet(form: StudyForm, folder: Path, report: Report, problems: list[Problem]) -> Cabinet | None:
    faces = built_faces(form, report)
    modules = {name: _module(name, entry, report) for name, entry in form.modules.items()}
    groups = [
        _group(form, number, rows, modules, folder, report, problems) for number, rows in enumerate(form.rows)
    ]
    obstructions = [_obstruction(form, number, report) for number in range(len(form.obstruction))]
    complete = [group for group in groups if group is not None]
    count = sum(len(group.emitters()) for group in complete)
    if count > MOST_PLACES:
        report(("rows",), f"{count} modules altogether: at most {MOST_PLACES} are taken", of_sizes=True)
        return None
    if faces is None or len(complete) < len(groups):
        return None
    interior = form.interior
    box = Box(
        width=float(form.cabinet.width),
        height=float(form.cabinet.height),
        depth=float(form.cabinet.depth),
        back_reflectance=interior.back_reflectance,
        **{
            name: interior.return_reflectance if getattr(interior, name) is None else getattr(interior, name)
            for name in (
                "left_return_reflectance",
                "right_return_reflectance",
                "bottom_return_reflectance",
                "top_return_reflectance",
            )
        },
    )
    try:
        return Cabinet(
            box=box,
            face=faces[0],
            rear=faces[1],
            groups=tuple(complete),
            obstructions=tuple(thing for thing in obstructions if thing is not None),
        )
    except InputError as error:
        # What fits in fractions may miss a limit by the last digit of a float.
        report(("cabinet",), str(error), of_sizes=True)
        return None


def _module(name: str, form: ModuleForm, report: Report) -> Module:
    return Module(
        name=name,
        lumens=form.lumens,
        beam=_beam(("modules", name, "beam"), form.beam, report),
        watts=form.watts,
        volts=form.volts,
    )


def _beam(path: tuple[str, ...], form: BeamForm, report: Report) -> Beam:
    if form.shape == "lambertian":
        for name in ("exponent", "half_intensity_angle"):
            if getattr(form, name) is not None:
                report((*path, name), 'a lambertian beam has none: write shape = "cosine-power"')
        return LAMBERTIAN
    if (form.exponent is None) == (form.half_intensity_angle is None):
        how = "both are given" if form.exponent is not None else "neither is given"
        report(path, f"a cosine-power beam takes either exponent or half_intensity_angle; {how}")
        return LAMBERTIAN
    if form.exponent is not None:
        return CosinePower(exponent=form.exponent)
    assert form.half_intensity_angle is not None
    try:
        return CosinePower(exponent=exponent_from_half_intensity_angle(form.half_intensity_angle))
    except InputError as error:
        report((*path, "half_intensity_angle"), str(error))
        return LAMBERTIAN


def _kind(name: str | None, modules: dict[str, Module]) -> tuple[Module | None, str]:
    """The kind of module of that name, or what is wrong."""
    if name is None:
        if len(modules) == 1:
            return next(iter(modules.values())), ""
        return None, f"there are several kinds: name one of {', '.join(modules)}"
    if name in modules:
        return modules[name], ""
    nearest = difflib.get_close_matches(name, modules, n=1, cutoff=0.5)
    hint = f"did you mean {nearest[0]}? Known" if nearest else "known"
    return None, f"there is no [modules.{name}]; {hint}: {', '.join(modules)}"


def _group(
    form: StudyForm,
    number: int,
    rows: RowsForm,
    modules: dict[str, Module],
    folder: Path,
    report: Report,
    problems: list[Problem],
) -> Rows | ListedModules | None:
    path = ("rows", number)
    kind, wrong = _kind(rows.module, modules)
    if wrong and not (rows.positions is not None and rows.module is None):
        report((*path, "module"), wrong)
    misplaced = refuse_misplaced(form, number, report)
    at = standing(form, rows)
    if rows.positions is not None:
        placed = _listed_modules(form, number, rows, at, modules, folder, report, problems)
        return None if misplaced else placed

    horizontal = rows.direction == "horizontal"
    extent_across = form.cabinet.height if horizontal else form.cabinet.width
    extent_along = form.cabinet.width if horizontal else form.cabinet.height
    across = _row_places(form, path, rows, extent_across, report)
    along = _module_places(form, path, rows, extent_along, report)
    if across is None or along is None or kind is None or misplaced:
        return None
    try:
        return Rows(
            module=kind,
            direction=rows.direction,
            rows=across,
            modules=along,
            z=float(at.z),
            front_share=at.front_share,
        )
    except InputError as error:
        report((*path, "module_pitch"), str(error), of_sizes=True)
        return None


def _row_places(
    form: StudyForm, path: tuple[str | int, ...], rows: RowsForm, extent: Fraction, report: Report
) -> Places | None:
    if rows.at is not None:
        clash = [name for name in ("pitch", "count", "edge_distance") if getattr(rows, name) is not None]
        for name in clash:
            report((*path, name), "the rows are listed by at: leave one of the two out")
        try:
            places = listed(extent, rows.at, units=form.units)
        except InputError as error:
            report((*path, "at"), str(error), of_sizes=True)
            return None
        return None if clash else places
    given = {name: getattr(rows, name) for name in ("pitch", "count", "edge_distance")}
    if rows.pitch is None and rows.count is None:
        report(
            path,
            'says nothing of how far apart the rows are: give pitch = "9 in", or count with edge_distance, '
            'or at = ["6 in", "18 in"], or positions = "as-built.csv"',
        )
        return None
    try:
        return place(extent, **given, what="row", units=form.units)
    except InputError as error:
        key = next(name for name in ("edge_distance", "count", "pitch") if given[name] is not None)
        report((*path, key), str(error), of_sizes=True)
        return None


def _module_places(
    form: StudyForm, path: tuple[str | int, ...], rows: RowsForm, extent: Fraction, report: Report
) -> Places | None:
    pitch = rows.module_pitch
    if pitch is None and rows.module_count is None:
        pitch = DEFAULT_MODULE_PITCH_METRES
    try:
        return place(
            extent,
            pitch=pitch,
            count=rows.module_count,
            edge_distance=rows.module_edge_distance,
            what="module",
            units=form.units,
        )
    except InputError as error:
        names = ("module_edge_distance", "module_count", "module_pitch")
        key = next((name for name in names if getattr(rows, name) is not None), "module_pitch")
        report((*path, key), str(error), of_sizes=True)
        return None


def _listed_modules(
    form: StudyForm,
    number: int,
    rows: RowsForm,
    at: Standing,
    modules: dict[str, Module],
    folder: Path,
    report: Report,
    problems: list[Problem],
) -> ListedModules | None:
    path = ("rows", number)
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
        kind, text = _kind(one.module or rows.module, modules)
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
        number = kinds.setdefault(kind.name, len(kinds))
        table.append((float(one.x), float(one.y), float(z), lumens, number))
    if len(problems) > told:
        return None
    x, y, z_, flux, which = (np.array(column) for column in zip(*table, strict=True))
    turned = frame(rows.on or ("plane" if form.cabinet.faces == 2 else "back"), rows.direction)
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
    return ListedModules(direction=rows.direction, placed=placed)


def _obstruction(form: StudyForm, number: int, report: Report) -> Obstruction | None:
    thing, box = form.obstruction[number], form.cabinet
    fits = True
    for at, size, room in (("x", "width", box.width), ("y", "height", box.height), ("z", "depth", box.depth)):
        end = getattr(thing, at) + getattr(thing, size)
        if end > room:
            report(
                ("obstruction", number, size),
                f"from {at} {length_shown(getattr(thing, at), form.units)} it would end at "
                f"{length_shown(end, form.units)}, outside the cabinet's {length_shown(room, form.units)}",
                of_sizes=True,
            )
            fits = False
    if not fits:
        return None
    names = ("x", "y", "z", "width", "height", "depth")
    return Obstruction(**{name: float(getattr(thing, name)) for name in names})
