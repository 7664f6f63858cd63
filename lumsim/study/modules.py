"""Kinds of module: form → Module, with its beam, its LEDs and what shines of it; what does not fit is refused."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import degrees
from pathlib import Path, PurePath

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide, exponent_from_half_intensity_angle
from lumsim.beams.lm63 import PhotometricFile, read_lm63_file
from lumsim.beams.measured import whole_web
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.modules import Module
from lumsim.errors import InputError, Problem, StudyError
from lumsim.study.form import BeamForm, ModuleForm
from lumsim.study.key_lines import dotted
from lumsim.study.reports import Report

__all__ = ["Kinds", "built_kinds"]

SHAPE_OF = {
    "exponent": "cosine-power",
    "half_intensity_angle": "cosine-power",
    "width": "wide",
    "cut_off": "uniform-plane",
}
"""Which shape each number of a beam belongs to."""

SAYS = ("shape", "table", "file")
"""The ways to say a beam, one of which is taken."""

EXAMPLES = {"width": "2.0", "cut_off": '"60 deg"'}

STAND_IN_LUMENS = 1.0
"""Of a kind whose lumens were refused; nothing is ever lit with it. [lm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinds:
    """Every kind of module of a study, and what is to be said of them."""

    modules: dict[str, Module]
    """by name, in the study's order"""
    defaults: tuple[tuple[str, str], ...] = ()
    """keys whose value comes from a photometric file, with it, as printed"""
    notes: tuple[str, ...] = ()
    """what the study says and is not used"""
    remarks: tuple[str, ...] = ()
    """what is odd in photometric files"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measured:
    """A photometric file that was read."""

    file: PhotometricFile
    web: Web


def built_kinds(forms: dict[str, ModuleForm], folder: Path, report: Report, problems: list[Problem]) -> Kinds:
    """Make each kind of module that a study describes.

    Parameters
    ----------
    forms : mapping of name to form
    folder : Path
        Where photometric files are looked for.
    report : callable
        Told of each thing that does not fit.
    problems : list of Problem
        Grows by what is wrong in photometric files.
    """
    files: dict[Path, _Measured | None] = {}
    modules: dict[str, Module] = {}
    defaults: list[tuple[str, str]] = []
    notes: list[str] = []
    for name, form in forms.items():
        path = ("modules", name)
        beam, measured = _beam((*path, "beam"), form.beam, folder, files, report, problems)
        lumens = _lumens(path, form, measured, report)
        key = dotted((*path, "lumens"))
        if measured is not None and form.lumens is None:
            defaults.append((key, f"{lumens:.4g} lm, what {measured.web.name} adds up to"))
        if measured is not None and form.lumens is not None and form.lumens_from == "file":
            notes.append(
                f"{key}, {form.lumens:g} lm, is not used: lumens_from names the file, whose own "
                f"{lumens:.4g} lm hold"
            )
        modules[name] = _module(name, form, lumens, beam, measured, report)
    remarks = [
        f"{PurePath(one.file.name).name}: {remark}"
        for one in files.values()
        if one is not None
        for remark in one.file.remarks
    ]
    return Kinds(modules=modules, defaults=tuple(defaults), notes=tuple(notes), remarks=tuple(remarks))


def _module(
    name: str, form: ModuleForm, lumens: float, beam: Beam, measured: _Measured | None, report: Report
) -> Module:
    path = ("modules", name)
    if form.opening is not None and form.opening_diameter is not None:
        report((*path, "opening_diameter"), "opening is given too: leave one of the two out")
    leds = ((Fraction(0), Fraction(0)),) if form.leds is None else tuple(form.leds)
    for number, led in enumerate(leds):
        if led in leds[:number]:
            report(
                (*path, "leds", number),
                f"the same place as LED {leds.index(led) + 1}: each place counts once",
            )
            return Module(name=name, lumens=lumens, beam=beam)
    opening, is_round = None, False
    if form.opening is not None:
        opening = (float(form.opening[0]), float(form.opening[1]))
    elif form.opening_diameter is not None:
        opening, is_round = (float(form.opening_diameter),) * 2, True
    elif measured is not None and len(leds) == 1 and max(measured.file.length, measured.file.width) > 0:
        # A file without an opening writes 0 and 0.
        opening, is_round = (measured.file.length, measured.file.width), measured.file.round_opening
    try:
        return Module(
            name=name,
            lumens=lumens,
            beam=beam,
            watts=form.watts,
            volts=form.volts,
            leds=tuple((float(along), float(across)) for along, across in leds),
            opening=opening,
            round_opening=is_round,
        )
    except InputError as error:
        report(path, str(error))
        return Module(name=name, lumens=STAND_IN_LUMENS)


def _lumens(path: tuple[str, str], form: ModuleForm, measured: _Measured | None, report: Report) -> float:
    """The lumens that hold."""
    if form.beam.file is not None and (form.beam.shape is not None or form.beam.table is not None):
        # Which of them is meant is to be mended first.
        return STAND_IN_LUMENS
    if form.beam.file is None:
        if form.lumens_from == "file" and form.lumens is None:
            report(
                (*path, "lumens_from"),
                'names a file, and the beam is none: write beam = { file = "module.ies" }, or lumens = 90 without '
                "lumens_from",
            )
            return STAND_IN_LUMENS
        if form.lumens_from is not None:
            report(
                (*path, "lumens_from"),
                "the beam is no file, so lumens are the study's: leave it out",
            )
        if form.lumens is None:
            report((*path, "lumens"), "is needed, such as 90")
        return STAND_IN_LUMENS if form.lumens is None else form.lumens
    if form.lumens is None:
        if form.lumens_from == "study":
            report(
                (*path, "lumens_from"), "names the study, which says no lumens: give them, or leave it out"
            )
        return STAND_IN_LUMENS if measured is None else measured.web.flux
    # Of a file that cannot be read that is to be mended first.
    if form.lumens_from is None and measured is not None:
        report(
            (*path, "lumens"),
            f"{form.lumens:g} lm here, and the file {form.beam.file} has a flux of its own, "
            f"{measured.web.flux:.4g} lm: write lumens_from = "
            '"study" or "file" to say which holds, or leave lumens out',
        )
    if form.lumens_from == "file" and measured is not None:
        return measured.web.flux
    return form.lumens


def _beam(
    path: tuple[str, ...],
    form: BeamForm,
    folder: Path,
    files: dict[Path, _Measured | None],
    report: Report,
    problems: list[Problem],
) -> tuple[Beam, _Measured | None]:
    """The beam, and the file that it was read from; a Lambertian one where anything was refused."""
    said = [name for name in SAYS if getattr(form, name) is not None]
    if len(said) != 1:
        how = f"{' and '.join(said)} are given" if said else "none is given"
        report(path, f"takes one of shape, table and file; {how}")
        return LAMBERTIAN, None
    for name, shape in SHAPE_OF.items():
        if getattr(form, name) is not None and shape != form.shape:
            kind = f"a {form.shape} beam has none" if form.shape else f"a beam by its {said[0]} has none"
            cure = f'write shape = "{shape}"' if form.shape else "leave it out"
            report((*path, name), f"{kind}: {cure}")
    if form.table is not None:
        return _table((*path, "table"), form.table, report), None
    if form.file is not None:
        measured = _measured((*path, "file"), folder / form.file, files, report, problems)
        return (LAMBERTIAN, None) if measured is None else (measured.web, measured)
    return _shape(path, form, report), None


def _shape(path: tuple[str, ...], form: BeamForm, report: Report) -> Beam:
    if form.shape == "lambertian":
        return LAMBERTIAN
    if form.shape == "cosine-power":
        return _cosine_power(path, form, report)
    key = "width" if form.shape == "wide" else "cut_off"
    if getattr(form, key) is None:
        report(path, f"a {form.shape} beam takes a {key}, such as {key} = {EXAMPLES[key]}; none is given")
        return LAMBERTIAN
    if form.width is not None and form.shape == "wide":
        return Wide(width=form.width)
    assert form.cut_off is not None
    return UniformPlane(cut_off=form.cut_off)


def _cosine_power(path: tuple[str, ...], form: BeamForm, report: Report) -> Beam:
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


def _table(path: tuple[str, ...], points: list[tuple[float, float]], report: Report) -> Beam:
    fits = True
    if points[0][0] != 0:
        report((*path, 0), f"the first angle must be 0 deg, the axis, got {degrees(points[0][0]):.6g} deg")
        fits = False
    for number, ((before, _), (angle, _)) in enumerate(pairwise(points), start=1):
        if not angle > before:
            report(
                (*path, number),
                f"angles must rise, got {degrees(angle):.6g} deg after {degrees(before):.6g} deg",
            )
            fits = False
    if not any(intensity > 0 for _, intensity in points):
        report(path, "every intensity is 0: there is no light in it")
        fits = False
    if not fits:
        return LAMBERTIAN
    angles, values = zip(*points, strict=True)
    beam = Table(angles=angles, values=values)
    if not beam.flux > 0:
        report(path, "its intensities add up to no light")
        return LAMBERTIAN
    return beam


def _measured(
    path: tuple[str, ...],
    file: Path,
    files: dict[Path, _Measured | None],
    report: Report,
    problems: list[Problem],
) -> _Measured | None:
    """A photometric file as a beam, read once however many kinds have it."""
    if file not in files:
        files[file] = None
        try:
            read = read_lm63_file(file)
            files[file] = _Measured(file=read, web=whole_web(read))
        except StudyError as error:
            for one in error.problems:
                # What is no line of the file is told where the study names it.
                if one.line is None:
                    report(path, f"{file}: {one.text}")
                else:
                    problems.append(one)
        except InputError as error:
            report(path, str(error))
    found = files[file]
    if found is not None and not found.web.flux <= MOST_LUMENS:
        report(path, f"it adds up to {found.web.flux:.4g} lm: at most {MOST_LUMENS:g} lm are taken")
        return None
    return found


MOST_LUMENS = 1e6
"""Of one module. [lm]"""
