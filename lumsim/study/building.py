"""Form → Cabinet and Requirement. What does not fit together is refused here, every problem at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from lumsim.cabinet.box import Box, Obstruction
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import MOST_PLACES, Places, listed, place
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError, Problem
from lumsim.study.build_asked import BuildAsked, build_asked
from lumsim.study.faces import built_faces, refuse_misplaced, standing
from lumsim.study.form import DEFAULT_MODULE_PITCH_METRES, RowsForm, StudyForm
from lumsim.study.key_lines import KeyPath
from lumsim.study.listing import kind_named, listed_modules
from lumsim.study.modules import Kinds, built_kinds
from lumsim.study.mounts import built_rows, direction_of, extents, mount_of, on_return, span_of
from lumsim.study.naming import NamedAsked, limits_together, named_asked
from lumsim.study.page_form import PageAsked, page_asked
from lumsim.study.questions import SearchAsked, search_asked
from lumsim.study.reports import Report, length_shown
from lumsim.study.sheet_asked import SheetAsked, sheet_asked
from lumsim.study.spread import ToleranceAsked, tolerance_asked
from lumsim.study.viewing_form import viewing_asked
from lumsim.uniformity.requirement import LIMITS, Requirement

__all__ = ["Built", "build"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Built:
    """What a form describes."""

    cabinet: Cabinet
    requirement: Requirement
    """the tightest of own and named limits"""
    own_limits: Mapping[str, float]
    """what the study itself asks for, by the names of ``LIMITS``"""
    named_limits: tuple[NamedAsked, ...]
    kinds: Kinds
    search: SearchAsked
    tolerance: ToleranceAsked
    sheet: SheetAsked
    building: BuildAsked
    viewing: tuple[float, ...]
    """distances that are asked for, rising [m]"""
    page: PageAsked


def build(
    form: StudyForm,
    folder: Path,
    report: Report,
    problems: list[Problem],
    *,
    of_lists: list[Problem] | None = None,
) -> Built | None:
    """Make the cabinet and the requirement that a form describes.

    Parameters
    ----------
    form : StudyForm
    folder : Path
        Where the form's CSV and photometric files are looked for.
    report : callable
        Told of each thing that does not fit.
    problems : list of Problem
        Grows by what is wrong in those files.
    of_lists : list of Problem, optional
        Grows, where given, by what is wrong in CSV files instead.

    Returns
    -------
    Built, or None where anything was reported.
    """
    refused: list[KeyPath] = []

    def note(path: KeyPath, message: str, *, of_sizes: bool = False, of_faces: bool = False) -> None:
        refused.append(path)
        report(path, message, of_sizes=of_sizes, of_faces=of_faces)

    kinds = built_kinds(form.modules, folder, note, problems)
    cabinet = _cabinet(form, kinds.modules, folder, note, problems if of_lists is None else of_lists)
    _refuse_luminance(form, note)
    viewing = viewing_asked(form.viewing, form.units, note)
    page = page_asked(form.page, form.units, note)
    if cabinet is None or refused:
        return None
    own_limits = {name: limit for name in LIMITS if (limit := getattr(form.requirement, name)) is not None}
    names = form.requirement.named_limits or []
    named = named_asked(names, _visible_areas(form), note)
    limits = limits_together(own_limits, named, names, note)
    search = search_asked(form.search, form.units, cabinet, note)
    tolerance = tolerance_asked(form.tolerance, cabinet, note)
    used = {kind.name for group in cabinet.groups for kind in group.emitters().kinds}
    sheet = sheet_asked(
        form.power,
        {name: module.electrics for name, module in form.modules.items()},
        {name: kind for name, kind in kinds.modules.items() if name in used},
        form.units,
        note,
    )
    building = build_asked(form, [name for name in kinds.modules if name in used], folder, note, problems)
    if refused:
        return None
    requirement = Requirement(
        **limits,
        wanted_luminance=form.requirement.wanted_luminance,
        stripe_window=None
        if form.requirement.stripe_window is None
        else float(form.requirement.stripe_window),
        spot_contrast=form.requirement.spot_contrast,
    )
    return Built(
        cabinet=cabinet,
        requirement=requirement,
        own_limits=own_limits,
        named_limits=named,
        kinds=kinds,
        search=search,
        tolerance=tolerance,
        sheet=sheet,
        building=building,
        viewing=viewing,
        page=page,
    )


def _visible_areas(form: StudyForm) -> dict[Side, Fraction]:
    """Of each face, exactly. [m²]"""
    front, rear = form.face.visible_border, form.face.rear
    borders: dict[Side, Fraction] = {"front": front}
    if form.cabinet.faces == 2:
        borders["rear"] = front if rear is None or rear.visible_border is None else rear.visible_border
    return {
        side: (form.cabinet.width - 2 * border) * (form.cabinet.height - 2 * border)
        for side, border in borders.items()
    }


def _refuse_luminance(form: StudyForm, report: Report) -> None:
    most = form.requirement.max_luminance
    for name in ("min_luminance", "darkest_luminance"):
        least = getattr(form.requirement, name)
        if least is not None and most is not None and least > most:
            report(
                ("requirement", name),
                f"{least:.10g} cd/m² is above max_luminance, {most:.10g} cd/m²: no luminance meets both",
            )


def _cabinet(
    form: StudyForm, modules: dict[str, Module], folder: Path, report: Report, problems: list[Problem]
) -> Cabinet | None:
    faces = built_faces(form, report)
    groups = [
        _group(form, number, rows, modules, folder, report, problems) for number, rows in enumerate(form.rows)
    ]
    obstructions = [_obstruction(form, number, report) for number in range(len(form.obstruction))]
    complete = [group for group in groups if group is not None]
    count = sum(len(group) for group in complete)
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
    kind, wrong = kind_named(rows.module, modules)
    if wrong and not (rows.positions is not None and rows.module is None):
        report((*path, "module"), wrong)
    misplaced = refuse_misplaced(form, number, report)
    if rows.positions is not None:
        if on_return(rows):
            return None
        placed = listed_modules(form, number, modules, folder, report, problems)
        return None if misplaced else placed

    extent_across, extent_along = extents(form, rows)
    across = _row_places(form, path, rows, extent_across, report)
    along = _module_places(form, path, rows, extent_along, report)
    if across is None or along is None or kind is None or misplaced:
        return None
    if rows.staggered and _refuse_stagger(form, number, across, along, report):
        return None
    at = standing(form, rows)
    try:
        laid = Rows(
            module=kind,
            direction=direction_of(rows),
            rows=across,
            modules=along,
            z=float(at.z),
            front_share=at.front_share,
            on=mount_of(form, rows),
            span=float(span_of(form, rows)) if on_return(rows) else 0.0,
            turn=rows.turn or 0.0,
            tilt=rows.tilt or 0.0,
            staggered=rows.staggered,
        )
    except InputError as error:
        report((*path, "module_pitch"), str(error), of_sizes=True)
        return None
    return built_rows(form, number, laid, report)


def _refuse_stagger(form: StudyForm, number: int, rows: Places, modules: Places, report: Report) -> bool:
    """Refuse a group that cannot be staggered."""
    path = ("rows", number)
    if rows.count == 1:
        report(
            (*path, "staggered"),
            "a single row has none beside it to stand between: leave it out, or give more rows",
            of_sizes=True,
        )
        return True
    if modules.pitch is None:
        report(
            (*path, "staggered"),
            "with a single module in each row there is no module pitch to move them by: leave it out, or give more "
            "modules",
            of_sizes=True,
        )
        return True
    edge = modules.edge_distances[0]
    if modules.pitch / 4 > edge:
        name = "module_edge_distance"
        report(
            (*path, name if getattr(form.rows[number], name) is not None else "staggered"),
            f"rows are moved by a quarter of the module pitch, {length_shown(modules.pitch / 4, form.units)}, which "
            f"brings modules {length_shown(edge, form.units)} from the return past it: {name} must be at least a "
            "quarter of the module pitch",
            of_sizes=True,
        )
        return True
    return False


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
            "says nothing of where the rows are across the depth: give count = 1 for one midway, or pitch, or count "
            f'with edge_distance, or at = ["{"1 1/2 in" if form.units == "in" else "40 mm"}"] above the back'
            if on_return(rows)
            else 'says nothing of how far apart the rows are: give pitch = "9 in", or count with edge_distance, '
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
