"""What the eye may notice from the distances that a study names, as text and as a part of a JSON document."""

from __future__ import annotations

from typing import Any

from lumsim.report.columns import Block
from lumsim.report.numbers import significant
from lumsim.simulation import LitFace, Simulation
from lumsim.study.levels import Level, levels
from lumsim.study.reading import Study
from lumsim.study.reports import distance_shown
from lumsim.study.viewing import Grating, Viewed, viewed
from lumsim.uniformity.threshold import SeenAt
from lumsim.units import Units, format_close

__all__ = ["MODEL", "NOTE", "viewing_blocks", "viewing_document", "viewing_head", "viewing_lines"]

MODEL = "contrast threshold of Barten (2003)"
"""What it is told by."""

NOTE = (
    "the threshold is that of a trained observer at leisure, for the first harmonic of the ripple at the face's mean "
    "luminance, of which beside dark edges some 0.4 % may be the edge's own; it is information and no requirement: "
    "nothing is judged by it"
)
"""What it is worth."""

FAR_OFF = 1000
"""Times from which it does not matter how many. [1]"""

_NAMES = {"rows": "stripes", "modules": "dots along the rows"}


def viewing_head(study: Study) -> list[str]:
    """The distances, for the head of a text; nothing where none is named."""
    if not study.viewing:
        return []
    return [f"  viewing   from {', '.join(distance_shown(one, study.units) for one in study.viewing)}"]


def viewing_lines(study: Study, simulation: Simulation) -> list[str]:
    """Each face in each state held against the threshold; nothing where the study names no distance.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    """
    blocks = viewing_blocks(study, simulation)
    if not blocks:
        return []
    first, *others = blocks
    lines = [first.head]
    for block in others:
        lines += [f"  {line}" for line in block.lines]
    return [*lines, *(f"  {note}" for note in first.notes)]


def viewing_blocks(study: Study, simulation: Simulation) -> list[Block]:
    """The same as blocks: what is told and what it is worth, then each grating; nothing where no distance is named.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    """
    if not study.viewing:
        return []
    blocks = [
        Block(
            head=f"What the eye may notice, by the {MODEL}: information, no requirement",
            notes=[f"{NOTE[0].upper()}{NOTE[1:]}"],
        )
    ]
    for level in levels(simulation):
        if level.lit.side == "rear" and simulation.cabinet.mirrored_faces:
            continue
        seen = viewed(simulation.cabinet, level.lit, study.viewing)
        which = _which(simulation, level)
        blocks += [_grating(grating, seen, which, study.units) for grating in seen.gratings]
    return blocks


def _which(simulation: Simulation, level: Level) -> str:
    told = []
    if simulation.rear is not None:
        told.append("each face" if simulation.cabinet.mirrored_faces else f"{level.lit.side} face")
    if simulation.aged is not None:
        told.append(level.state)
    return f", {', '.join(told)}" if told else ""


def _grating(grating: Grating, seen: Viewed, which: str, units: Units) -> Block:
    name = _NAMES[grating.of]
    if grating.modulation is None:
        return Block(head=f"{name}{which}: not told: {grating.why_not}")
    assert grating.pitch is not None
    head = (
        f"{name}{which}: {grating.of} {format_close(grating.pitch, units, within=1e-4)} on centre, "
        f"modulation {_percent(grating.modulation)} at {significant(seen.face.luminance, 4)} cd/m²"
    )
    rows = [
        [
            distance_shown(one.distance, units),
            significant(one.cycles_per_degree),
            _percent(one.threshold) if one.threshold < 1 else "none is seen",
            _times(one),
        ]
        for one in grating.seen
    ]
    return Block(
        head=head,
        heads=["from", "cycles a degree", "threshold", "modulation is"],
        rows=rows,
        notes=_stretches(grating, name, seen, units),
    )


def _stretches(grating: Grating, name: str, seen: Viewed, units: Units) -> list[str]:
    nearest, farthest = seen.distances[0], seen.distances[-1]
    if nearest == farthest:
        return []
    near, far = distance_shown(nearest, units), distance_shown(farthest, units)
    if not grating.above:
        return [f"{name} are below the threshold of seeing all the way from {near} to {far}"]
    told = []
    for begin, end in grating.above:
        if (begin, end) == (nearest, farthest):
            return [f"{name} are above the threshold of seeing all the way from {near} to {far}"]
        told.append(f"between {distance_shown(begin, units)} and {distance_shown(end, units)}")
    where = " and ".join(told)
    return [f"{name} are above the threshold of seeing {where}, elsewhere from {near} to {far} below it"]


def _times(one: SeenAt) -> str:
    times = one.times if one.times >= 1 else 1 / one.times if one.times > 0 else FAR_OFF
    shown = f"more than {FAR_OFF}" if times >= FAR_OFF else significant(times, 2 if times < 100 else 3)
    return f"{shown} times {'above' if one.times >= 1 else 'below'} it"


def _percent(share: float) -> str:
    """A modulation in per cent, two digits: thresholds are fractions of one per cent."""
    return "less than 0.001 %" if 0 < share < 1e-5 else f"{significant(100 * share, 2)} %"


def viewing_document(study: Study, simulation: Simulation, lit: LitFace) -> dict[str, Any] | None:
    """One face held against the threshold; None where the study names no distance.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    lit : LitFace
        One of its faces.
    """
    if not study.viewing:
        return None
    seen = viewed(simulation.cabinet, lit, study.viewing)
    return {
        "model": MODEL,
        "note": NOTE,
        "distances_m": list(seen.distances),
        "mean_cd_m2": seen.face.luminance,
        **{one.of: _grating_part(one, seen) for one in seen.gratings},
    }


def _grating_part(grating: Grating, seen: Viewed) -> dict[str, Any]:
    told = grating.modulation is not None
    return {
        "pitch_m": grating.pitch,
        "modulation": grating.modulation,
        "why_not_told": None if told else grating.why_not,
        "seen": [
            {
                "distance_m": one.distance,
                "cycles_per_degree": one.cycles_per_degree,
                "field_deg2": one.field,
                "threshold": one.threshold,
                "times_threshold": one.times,
            }
            for one in grating.seen
        ],
        "above_threshold_m": [list(one) for one in grating.above]
        if told and seen.distances[0] < seen.distances[-1]
        else None,
    }
