"""A beam, and the photometric file that it was read from, as lines of text and as one document."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from lumsim.beams.beam import Array, Beam
from lumsim.beams.figures import BeamFigures, PlaneAngle, beam_figures
from lumsim.beams.lm63 import PhotometricFile
from lumsim.beams.measured import whole_web
from lumsim.beams.webs import Web
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.rows import Rows
from lumsim.report.json_text import SCHEMA
from lumsim.report.numbers import significant
from lumsim.report.rows_text import beam_document, beam_words, faces_words

__all__ = ["ToldBeam", "beam_facts", "beam_text", "beams_document", "module_beams", "peak_place"]

TOLD_KEYWORDS = (
    "TEST",
    "TESTLAB",
    "TESTDATE",
    "ISSUEDATE",
    "MANUFAC",
    "LUMCAT",
    "LUMINAIRE",
    "LAMPCAT",
    "LAMP",
    "",
)
"""Of a file's labels those that say what was measured, by whom; the document has all."""

LABEL = 12
"""Width of the labels. [characters]"""

PLANES = ("0-180", "90-270")


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldBeam:
    """A beam with what there is to tell of it."""

    name: str
    """of the file, or of the kind of module"""
    beam: Beam
    figures: BeamFigures
    watts: float | None
    """None: not told [W]"""
    file: PhotometricFile | None = None
    """where it is one's own light"""
    shares: str = ""
    """of a module between two faces: what goes to which, in words"""

    @staticmethod
    def of_file(file: PhotometricFile) -> ToldBeam:
        """The light of a photometric file as it was measured."""
        web = whole_web(file)
        return ToldBeam(
            name=file.name,
            beam=web,
            figures=beam_figures(web, web.flux),
            watts=file.watts if file.watts > 0 else None,
            file=file,
        )

    @staticmethod
    def of_module(module: Module, *, shares: str = "") -> ToldBeam:
        """The light of one module of a kind, at its lumens; ``shares`` as above."""
        return ToldBeam(
            name=module.name,
            beam=module.beam,
            figures=beam_figures(module.beam, module.lumens),
            watts=module.watts,
            shares=shares,
        )

    @property
    def efficacy(self) -> float | None:
        """Lumens for each watt; None where watts are not told. [lm/W]"""
        return None if self.watts is None else self.figures.flux / self.watts


def module_beams(cabinet: Cabinet) -> dict[str, ToldBeam]:
    """The beam of each kind of module in a cabinet, by its name, in the order of its groups."""
    kinds: dict[str, Module] = {}
    for group in cabinet.groups:
        of_group = (group.module,) if isinstance(group, Rows) else group.placed.kinds
        kinds |= {kind.name: kind for kind in of_group}
    return {
        name: ToldBeam.of_module(kind, shares=faces_words(cabinet, name) if cabinet.double_sided else "")
        for name, kind in kinds.items()
    }


def _shape(beam: Beam) -> str:
    return beam.name or "a file" if isinstance(beam, Web) else beam_words(beam)


def beam_text(
    beams: Sequence[ToldBeam], *, title: str, warnings: Sequence[str] = (), notes: Sequence[str] = ()
) -> str:
    """Each beam as lines of text, first what its file holds.

    Parameters
    ----------
    beams : sequence of ToldBeam
    title : str
        Of the file or study.
    warnings : sequence of str
        What is odd.
    notes : sequence of str
        What the study says and is not used.
    """
    lines = [title, *(_line("note", note) for note in notes)]
    for one in beams:
        if one.file is not None:
            lines += _file_lines(one.file, one.figures.flux)
            lines += ["", "Its light"]
        else:
            lines += ["", f"Module {one.name}: {_shape(one.beam)}"]
        lines += _figure_lines(one)
        if one.shares:
            lines.append(_line("two faces", one.shares))
    if warnings:
        lines += ["", *(f"WARNING: {text}" for text in warnings)]
    return "\n".join(lines)


def beam_facts(one: ToldBeam) -> tuple[str, ...]:
    """Lines to print under a picture of a beam.

    Parameters
    ----------
    one : ToldBeam
    """
    figures = one.figures
    who = "as the file has it" if one.file is not None else f"module {one.name}, {_shape(one.beam)}"
    efficacy = "" if one.efficacy is None else f" · {significant(one.efficacy)} lm/W"
    lines = [f"{who} · {_number(figures.flux)} lm{efficacy}{f' · {one.shares}' if one.shares else ''}"]
    lines.append(f"peak {_number(figures.peak)} cd {peak_place(figures)}")
    for what, pair in (
        ("beam angle, to half of the highest:", figures.beam_angles),
        ("field angle, to a tenth of it:", figures.field_angles),
    ):
        first, second = (_angle_fact(angle) for angle in pair)
        lines.append(f"{what} {first}" if figures.axial else f"{what} 0–180 {first}, 90–270 {second}")
    return tuple(lines)


def _angle_fact(angle: PlaneAngle | None) -> str:
    if angle is None:
        return "dark"
    return _deg(angle.angle) + (" (hollow)" if angle.below_on_axis else "")


def _file_lines(file: PhotometricFile, flux: float) -> list[str]:
    generation = "" if file.file_generation is None else f", file generation: {file.file_generation}"
    lines = [_line("file", f"{file.edition}{generation}")]
    lines += [
        _line(f"[{keyword}]" if keyword else "label", " ".join(text.split()))
        for keyword, text in file.keywords
        if keyword in TOLD_KEYWORDS and text.strip()
    ]
    if file.lumens_per_lamp is None:
        lines.append(_line("rated", "none: absolute photometry"))
    else:
        rated = file.lamps * file.lumens_per_lamp
        each = f"{file.lamps} × {file.lumens_per_lamp:.10g} lm" if file.lamps > 1 else f"{rated:.10g} lm"
        lines.append(_line("rated", f"{each}; the light measured is {100 * flux / rated:.1f} % of it"))
    if file.multiplier != 1:
        lines.append(_line("multiplier", f"{file.multiplier:.10g}, applied to every intensity"))
    lines.append(_line("power", f"{file.watts:.10g} W" if file.watts > 0 else "not told"))
    lines.append(_line("opening", _opening(file)))
    lines.append(
        _line(
            "angles",
            f"type {file.photometric_type}; vertical {_sweep(file.vertical)}; horizontal {_sweep(file.horizontal)}",
        )
    )
    lines.append(_line("symmetry", file.symmetry))
    if file.tilt is not None:
        lines.append(
            _line(
                "tilt", f"factors for {len(file.tilt.angles)} angles of a tilted lamp, which are not applied"
            )
        )
    return lines


def _opening(file: PhotometricFile) -> str:
    sizes = [f"{1000 * one:.4g}" for one in (file.length, file.width, file.height)]
    if not any((file.length, file.width, file.height)):
        return "a point"
    form = "round or elliptic, " if file.round_opening else ""
    return f"{form}{sizes[0]} mm along 0 deg, {sizes[1]} mm across, {sizes[2]} mm high"


def _sweep(angles: Array) -> str:
    if len(angles) == 1:
        return f"{angles[0]:g} deg alone"
    steps = np.diff(angles)
    low, high = float(steps.min()), float(steps.max())
    apart = f"{low:.4g}" if high - low < 0.005 * high else f"{low:.4g} to {high:.4g}"
    return f"{len(angles)} from {angles[0]:g} to {angles[-1]:g} deg, {apart} deg apart"


def _figure_lines(one: ToldBeam) -> list[str]:
    figures = one.figures
    watts = "" if one.watts is None else f", {significant(one.efficacy or 0.0)} lm/W at {one.watts:.10g} W"
    lines = [
        _line("flux", f"{_number(figures.flux)} lm{watts}"),
        _line("peak", f"{_number(figures.peak)} cd {peak_place(figures)}"),
    ]
    if figures.peak_angle > 0:
        share = figures.on_axis / figures.peak
        lines.append(_line("on the axis", f"{_number(figures.on_axis)} cd, {100 * share:.3g} % of the peak"))
    for what, share_words, pair in (
        ("beam angle", "half", figures.beam_angles),
        ("field angle", "a tenth", figures.field_angles),
    ):
        if figures.axial:
            lines.append(_line(what, _angle_line(pair[0], share_words, "0-180")))
            continue
        lines += [
            _line(
                what if plane == "0-180" else "",
                f"in plane {plane:<7}{_angle_line(angle, share_words, plane)}",
            )
            for angle, plane in zip(pair, PLANES, strict=True)
        ]
    if not figures.axial:
        lines.append(_line("planes", "0 lies along the row; seen from in front they count clockwise"))
    within = ", ".join(f"{_deg(angle)} {_percent(share)}" for angle, share in figures.within)
    beyond = f"; beyond 90 deg {_percent(figures.behind)}" if figures.behind > 1e-9 else ""
    lines.append(_line("flux within", f"{within}{beyond}"))
    lines += _zone_lines(figures)
    return lines


def _zone_lines(figures: BeamFigures) -> list[str]:
    """Shares of the flux in zones of ten degrees, nine on a line, as far as there is light."""
    last = 18 if figures.behind > 1e-9 else 9
    lines = []
    for first in range(0, last, 9):
        zones = range(first, first + 9)
        names = "".join(f"{f'{10 * zone}-{10 * zone + 10}':>9}" for zone in zones)
        shares = "".join(f"{100 * figures.zones[zone]:>9.1f}" for zone in zones)
        lines += [_line("zone [deg]", names).rstrip(), _line("share [%]", shares)]
    return lines


def _angle_line(angle: PlaneAngle | None, share_words: str, plane: str) -> str:
    if angle is None:
        return "none: no light in this plane"
    enough = f"{share_words} of {_number(angle.highest)} cd or more"
    if angle.last - angle.first > 2 * math.pi - 1e-6:
        told = f"{_deg(angle.angle)}: {enough} as far as straight back"
    elif abs(angle.first + angle.last) < 1e-6:
        cut = ", cut off there" if all(angle.cut_off) else ""
        told = f"{_deg(angle.angle)}: {enough} within {_deg(angle.last)} of the axis{cut}"
    else:
        towards = plane.split("-")
        told = f"{_deg(angle.angle)}: {enough} from " + " to ".join(
            _direction(end, towards, cut=cut)
            for end, cut in zip((angle.first, angle.last), angle.cut_off, strict=True)
        )
    if angle.below_on_axis:
        told += "; hollow: less on the axis"
    elif angle.dips:
        told += "; less in places between"
    return f"{told}; as much again behind" if angle.again_behind else told


def _direction(angle: float, towards: Sequence[str], *, cut: bool) -> str:
    side = towards[0] if angle > 0 else towards[1]
    return f"{_deg(abs(angle))} towards {side}{' (cut off)' if cut else ''}"


def peak_place(figures: BeamFigures) -> str:
    """Where a beam is strongest, in words.

    Parameters
    ----------
    figures : BeamFigures
    """
    if figures.peak_angle == 0:
        return "on the axis"
    where = f"at {_deg(figures.peak_angle)} from the axis"
    return f"{where}, all round" if figures.axial else f"{where}, towards {_deg(figures.peak_plane)}"


def _deg(angle: float) -> str:
    """An angle in degrees, to a tenth."""
    return f"{round(math.degrees(angle), 1):.10g} deg"


def _number(value: float) -> str:
    return f"{float(significant(value, 4)):.10g}"


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def _line(label: str, text: str) -> str:
    return f"  {label:<{LABEL}}{text}" if len(label) < LABEL else f"  {label} {text}"


def beams_document(beams: Sequence[ToldBeam], *, source: str, warnings: Sequence[str] = ()) -> dict[str, Any]:
    """Everything about some beams.

    Parameters
    ----------
    beams : sequence of ToldBeam
    source : str
        The file or study that they stand in.
    warnings : sequence of str
        What is odd.
    """
    return {
        "schema": SCHEMA,
        "source": source,
        "beams": [_document(one) for one in beams],
        "warnings": list(warnings),
    }


def _document(one: ToldBeam) -> dict[str, Any]:
    figures = one.figures
    return {
        "name": one.name,
        "beam": beam_document(one.beam),
        "flux_lm": figures.flux,
        "watts": one.watts,
        "lumens_per_watt": one.efficacy,
        "axial": figures.axial,
        "peak_cd": figures.peak,
        "peak_angle_deg": math.degrees(figures.peak_angle),
        "peak_plane_deg": math.degrees(figures.peak_plane),
        "on_axis_cd": figures.on_axis,
        "beam_angle": {plane: _angle(at) for plane, at in zip(PLANES, figures.beam_angles, strict=True)},
        "field_angle": {plane: _angle(at) for plane, at in zip(PLANES, figures.field_angles, strict=True)},
        "flux_within": [
            {"angle_deg": math.degrees(angle), "share": share} for angle, share in figures.within
        ],
        "flux_beyond_90_deg": figures.behind,
        "zones": [
            {"from_deg": 10 * zone, "to_deg": 10 * zone + 10, "share": share, "lumens": share * figures.flux}
            for zone, share in enumerate(figures.zones)
        ],
        "file": None if one.file is None else _file(one.file),
    }


def _angle(angle: PlaneAngle | None) -> dict[str, Any] | None:
    if angle is None:
        return None
    return {
        "angle_deg": math.degrees(angle.angle),
        "share": angle.share,
        "of_cd": angle.highest,
        "from_deg": math.degrees(angle.first),
        "to_deg": math.degrees(angle.last),
        "cut_off": list(angle.cut_off),
        "hollow": angle.below_on_axis,
        "dips": angle.dips,
        "again_behind": angle.again_behind,
    }


def _file(file: PhotometricFile) -> dict[str, Any]:
    tilt = file.tilt
    return {
        "edition": file.edition,
        "keywords": [{"keyword": keyword, "text": text} for keyword, text in file.keywords],
        "lamps": file.lamps,
        "lumens_per_lamp": file.lumens_per_lamp,
        "absolute": file.lumens_per_lamp is None,
        "multiplier": file.multiplier,
        "watts": file.watts,
        "photometric_type": file.photometric_type,
        "opening_m": {"width": file.width, "length": file.length, "height": file.height},
        "round_opening": file.round_opening,
        "vertical_deg": [float(one) for one in file.vertical],
        "horizontal_deg": [float(one) for one in file.horizontal],
        "symmetry": file.symmetry,
        "tilt": None
        if tilt is None
        else {
            "lamp_geometry": tilt.geometry,
            "angles_deg": [float(one) for one in tilt.angles],
            "factors": [float(one) for one in tilt.factors],
        },
        "file_generation": file.file_generation,
    }
