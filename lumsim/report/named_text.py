"""The named limits of a study and how its sign stands to them, as text and as a part of a JSON document."""

from __future__ import annotations

import math
from typing import Any

from lumsim.report.luminance_limits import which_words
from lumsim.report.numbers import limit_told, limit_words, missed_by, significant
from lumsim.simulation import Simulation
from lumsim.study.levels import Level, levels
from lumsim.study.naming import NamedAsked, NamedOnFace
from lumsim.study.reading import Study
from lumsim.uniformity.named_limits import Band
from lumsim.uniformity.names import UNITS
from lumsim.uniformity.requirement import LIMITS, Judged, Requirement, judge

__all__ = ["NAMED_NOTE", "named_document", "named_head", "named_lines"]

NAMED_NOTE = (
    "numbers from standards and statutes, held against this sign: lumsim judges no compliance; a town's own limit, or "
    "a permit's, decides and is a number in the study (max_luminance)"
)
"""What they are worth."""


def named_head(study: Study) -> list[str]:
    """What they ask for, for the head of a text; nothing where none is named."""
    lines = []
    for one in study.named_limits:
        told = "; ".join(
            f"{limit_told(name, value)}{_on(one, face)}"
            for number, face in enumerate(one.faces)
            for name, value in face.limits.items()
            if number == 0 or face.limits != one.faces[0].limits
        )
        lines.append(f"  named     {one.limit.name}: {told}")
    return lines


def _on(one: NamedAsked, face: NamedOnFace) -> str:
    """Of which face, where two are asked for unlike values."""
    return "" if all(other.limits == face.limits for other in one.faces) else f" on the {face.side} face"


def named_lines(study: Study, simulation: Simulation | None = None) -> list[str]:
    """Each named limit with its source, what it is worth, and how the sign stands; nothing where none is named.

    Parameters
    ----------
    study : Study
    simulation : Simulation, optional
        Of the study's cabinet; unless given, what is asked for is told alone.
    """
    if not study.named_limits:
        return []
    lines = [f"Named limits, {NAMED_NOTE}"]
    for one in study.named_limits:
        lines.append(f"  {one.limit.name}: {one.limit.source} ({one.limit.mark})")
        for face in one.faces:
            lit_alike = simulation is None or simulation.cabinet.mirrored_faces
            if lit_alike and face is not one.faces[0] and _alike(one):
                continue
            lines += [f"    {_asked_words(study, one, face, name, simulation)}" for name in face.limits]
        note = one.limit.note
        lines.append(f"    {note[0].upper()}{note[1:]}.")
    return lines


def _alike(one: NamedAsked) -> bool:
    """Whether both faces are as large and asked for the same."""
    first = one.faces[0]
    return all((face.area, face.limits) == (first.area, first.limits) for face in one.faces)


def _asked_words(
    study: Study, one: NamedAsked, face: NamedOnFace, name: str, simulation: Simulation | None
) -> str:
    value = face.limits[name]
    told = limit_told(name, value)
    bands = one.limit.sets[name]
    if len(bands) > 1:
        which = "" if len(one.faces) == 1 else " of each face" if _alike(one) else f" of the {face.side} face"
        told += f" ({_area_words(bands, value)}; visible here {significant(face.area)} m²{which})"
    if simulation is not None:
        level, judged = _standing(simulation, face, name)
        met = "met" if judged.met else f"NOT met, {missed_by(judged)}"
        told += f":{which_words(simulation, level)} {limit_words(judged)[0]}, {met}"
    tightest = study.requirement.limits[name]
    if tightest != value:
        told += f"; judged is the tighter {LIMITS[name]} {tightest:.10g}{f' {UNITS[name]}' if name in UNITS else ''}"
    return told


def _area_words(bands: tuple[Band, ...], value: float) -> str:
    """For what areas a value holds."""
    number = next(number for number, band in enumerate(bands) if band.value == value)
    if math.isinf(bands[number].up_to):
        return f"above {bands[number - 1].up_to:g} m²"
    above = "" if number == 0 else f"above {bands[number - 1].up_to:g} and "
    return f"{above}up to {bands[number].up_to:g} m²"


def _standing(simulation: Simulation, face: NamedOnFace, name: str) -> tuple[Level, Judged]:
    """How a face stands to what is asked of it, in the state in which it has less to spare."""
    found = [
        (level, judged)
        for level in levels(simulation)
        if level.lit.side == face.side
        for judged in judge(level.lit.evenness, Requirement(**{name: face.limits[name]})).judged
    ]
    return min(found, key=lambda one: one[1].margin)


def named_document(study: Study, simulation: Simulation) -> dict[str, Any] | None:
    """The study's own limits, and each named one as the sign stands to it; None where none is named.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    """
    if not study.named_limits:
        return None
    return {
        "note": NAMED_NOTE,
        "own": dict(study.own_limits),
        "named": [
            {
                "name": one.limit.name,
                "source": one.limit.source,
                "mark": one.limit.mark,
                "note": one.limit.note,
                "faces": {
                    face.side: {
                        "visible_area_m2": face.area,
                        "limits": {name: _limit_part(study, simulation, face, name) for name in face.limits},
                    }
                    for face in one.faces
                },
            }
            for one in study.named_limits
        ],
    }


def _limit_part(study: Study, simulation: Simulation, face: NamedOnFace, name: str) -> dict[str, Any]:
    level, judged = _standing(simulation, face, name)
    return {
        "value": judged.limit,
        "actual": judged.actual,
        "met": judged.met,
        "margin": judged.margin,
        "to_spare": judged.to_spare,
        "state": level.state,
        "is_the_tightest": study.requirement.limits[name] == judged.limit,
    }
