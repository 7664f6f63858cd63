"""A lit cabinet as text."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.rows import Rows
from lumsim.report.cures import cures
from lumsim.report.faces_text import (
    both_faces_lines,
    evenness_heading,
    face_words,
    outside_heading,
    requirement_words,
)
from lumsim.report.flux_text import flux_lines
from lumsim.report.levels import (
    decided_by,
    level_lines,
    other_state,
    state_words,
    study_lines,
    worse_state,
)
from lumsim.report.luminance_limits import LUMINANCE_LIMITS, level_cures
from lumsim.report.named_text import named_head, named_lines
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import limit_words, missed_by, ratio, significant, spared
from lumsim.report.rows_text import rows_lines
from lumsim.report.seeing_text import viewing_head, viewing_lines
from lumsim.report.sentences import sentence
from lumsim.report.spots_text import spot_lines
from lumsim.simulation import Simulation
from lumsim.study.reading import Study
from lumsim.uniformity.names import NAMES, SHARES, percent
from lumsim.uniformity.requirement import LIMITS, Judged, Verdict
from lumsim.units import Units, format_length, format_size

__all__ = [
    "cabinet_text",
    "evenness_rows",
    "exactness",
    "light_text",
    "numbers_told",
    "picture_facts",
    "place_words",
    "returns_words",
    "rounded_up",
    "verdict_line",
    "watts_of",
]

_EXPLAINED = {
    "max_to_min": "whole visible face, dark edges and corners included",
    "stripe_max_to_min": "against the mean of the {window} square around: rows too far apart",
    "edge_dimming": "middle over the darkest stretch of edge: dark edges",
    "hot_spot_contrast": "greatest of a stripe or a dot beside a brighter one",
    "min_to_mean": "lowest over mean",
    "min_to_max": "lowest over highest",
    "coefficient_of_variation": "standard deviation over mean",
    "nine_point": "sampled max/min of nine points; it aliases with the pitch",
    "ripple_across": "row to row",
    "ripple_along": "module to module",
}


def light_text(study: Study, simulation: Simulation, *, extra: Sequence[str] = ()) -> str:
    """Everything `light` has to say about a study, as lines of text.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    extra : sequence of str
        Lines to put before the warnings and the verdict.
    """
    units = study.units
    lines = [*cabinet_text(study), "", *evenness_heading(simulation, units)]
    for title, value, limit, explained in evenness_rows(simulation, units):
        number = f"{value}  ({limit})" if limit else value
        lines.append(f"  {title:<20}{number:<7} {explained}".rstrip())
    both = both_faces_lines(simulation)
    lines += ["", *both] if both else []
    lines += ["", *_luminance_lines(simulation, units)]
    lines += ["", *level_lines(study, simulation)]
    named = named_lines(study, simulation)
    lines += ["", *named] if named else []
    lines += ["", *spot_lines(simulation.worse, units)]
    noticed = viewing_lines(study, simulation)
    lines += ["", *noticed] if noticed else []
    lines += ["", *flux_lines(simulation)]
    told_from = "every other point"
    inside = ""
    if simulation.reflected is not None:
        told_from, inside = "half as fine a mesh", f"{simulation.patches} patches inside; "
    lines.append(
        f"Computed on {len(simulation.luminance.x)} by {len(simulation.luminance.y)} points of "
        f"{face_words(simulation)}, extremes polished; {inside}told from {told_from}, {exactness(simulation)}"
    )
    lines += extra
    told = [*study.remarks, *warnings(simulation, units)]
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += [
        "",
        verdict_line(simulation),
        f"  {sentence(followed(simulation))}",
        f"  {sentence(LIMITS_OF_THE_MODEL)}",
    ]
    return "\n".join(lines)


def evenness_rows(simulation: Simulation, units: Units) -> list[tuple[str, str, str, str]]:
    """Each number on the worse face's evenness: its name, itself, its limit and how it stands to it, what it is.

    Parameters
    ----------
    simulation : Simulation
    units : {"in", "mm"}
    """
    even = simulation.evenness
    judged = {one.name: one for one in simulation.verdict.judged}
    along, across = (
        (even.ripple_x, even.ripple_y)
        if simulation.worse.direction == "horizontal"
        else (even.ripple_y, even.ripple_x)
    )
    rows = []
    for name, title in NAMES.items():
        if name in LUMINANCE_LIMITS:
            continue
        state = ""
        if name in judged:
            value, limit = limit_words(judged[name])
            state = f"limit {LIMITS[name]} {limit}: {'met' if judged[name].met else 'NOT met'}"
        else:
            number = {"ripple_along": along, "ripple_across": across}.get(name)
            number = getattr(even, name) if number is None else number
            value = percent(number) if name in SHARES else ratio(number)
        explained = _EXPLAINED[name].format(window=format_length(even.window, units))
        rows.append((title, value, state, explained))
    return rows


def exactness(simulation: Simulation) -> str:
    """By how much the numbers may be off; max/min apart where it is much less exact than the others."""
    errors = [lit.error for lit in simulation.faces]
    extremes = max(one.max_to_min for one in errors)
    others = max(max(one.stripe_max_to_min, one.edge_dimming, one.mean) for one in errors)
    if extremes > 4 * others and extremes > EXACT:
        return f"max/min may be off by {rounded_up(extremes)}, the other numbers by {rounded_up(others)}"
    worst = max(extremes, others)
    trust = "" if worst <= LARGELY_EXACT else ": the last digits are not to be trusted"
    return f"these numbers may be off by {rounded_up(worst)}{trust}"


EXACT, LARGELY_EXACT = 1e-3, 1e-2
"""Error of max/min that is not told apart, and error of any number from which its last digits mean nothing. [1]"""


def rounded_up(share: float) -> str:
    """A share as a step that a reader can take in, never less than it is.

    Parameters
    ----------
    share : float
        [1]
    """
    for step in (1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2):
        if share <= step:
            return f"{step * 100:g} %"
    return percent(share)


def cabinet_text(study: Study) -> list[str]:
    """What is built: sizes, modules, rows with their edge distances, defaults that were taken."""
    units = study.units
    cabinet = study.cabinet
    box = cabinet.box
    emitters = cabinet.emitters()
    shown_returns = returns_words(box)
    lines = [
        study.title,
        (
            f"  cabinet   {format_size((box.width, box.height, box.depth), units)} inside, "
            + (
                f"double-sided, face to face; reflectance {shown_returns}"
                if cabinet.double_sided
                else f"single-faced; reflectance back {box.back_reflectance:g}, {shown_returns}"
            )
        ),
        *_face_lines(cabinet, units),
    ]
    lines += rows_lines(cabinet, units)
    lines.append(
        f"  modules   {len(emitters)}, {emitters.flux.sum():.6g} lm, "
        f"{emitters.flux.sum() / (cabinet.whole_face.area * len(cabinet.faces)):.4g} lm/m² of "
        + ("both faces" if cabinet.double_sided else "face")
        + _power(study)
    )
    lines += [*study_lines(study), *named_head(study), *viewing_head(study)]
    if study.defaults:
        lines.append("  defaults  " + ", ".join(f"{key} = {value}" for key, value in study.defaults))
    lines += [f"  note      {note}" for note in study.notes]
    if study.changes:
        lines.append("  tried     " + ", ".join(study.changes))
    return lines


def returns_words(box: Box) -> str:
    """Reflectance of the returns, one by one where they are not all the same."""
    sides = ("left", "right", "bottom", "top")
    each = [f"{reflectance:g}" for reflectance in box.return_reflectances]
    if len(set(each)) == 1:
        return f"returns {each[0]}"
    return "returns " + ", ".join(f"{side} {value}" for side, value in zip(sides, each, strict=True))


def _face_lines(cabinet: Cabinet, units: Units) -> list[str]:
    """One line a face; one for two that are alike."""
    alike = cabinet.rear == cabinet.face
    lines = []
    for side, face in cabinet.faces[:1] if alike else cabinet.faces:
        head = "faces" if alike else side if cabinet.double_sided else "face"
        lines.append(
            f"  {head:<9} transmittance {face.transmittance:g}, reflectance {face.reflectance:g}, "
            f"visible border {format_length(face.visible_border, units)}"
            + (", front and rear alike" if alike else "")
        )
    return lines


def _power(study: Study) -> str:
    watts = watts_of(study.cabinet)
    return "" if watts is None else f", {watts:.4g} W"


def watts_of(cabinet: Cabinet) -> float | None:
    """Power of all modules, in watts; None where that of some is not told, or modules are listed."""
    watts = 0.0
    for group in cabinet.groups:
        if not isinstance(group, Rows) or group.module.watts is None:
            return None
        watts += group.module.watts * group.rows.count * group.modules.count
    return watts


def picture_facts(simulation: Simulation, side: Side | None = None) -> tuple[str, ...]:
    """Two lines to print under a picture of a face: the numbers, and the verdict on it.

    Parameters
    ----------
    simulation : Simulation
    side : {"front", "rear"}, optional
        Which face; unless said, the worse one.
    """
    lit = simulation.on(side)
    even = lit.evenness
    numbers = " · ".join(
        f"{NAMES[name]} {ratio(getattr(even, name))}"
        for name in ("max_to_min", "stripe_max_to_min", "edge_dimming")
    )
    if not lit.verdict.judged:
        verdict = "nothing required"
    else:
        level = worse_state(simulation, lit.side)
        state = ("met" if level.lit.verdict.met else "NOT met") + decided_by(simulation, level)
        verdict = f"requirement {state}: {numbers_told(level.lit.verdict)}"
    return f"{numbers} · mean {significant(even.mean)} cd/m²", f"{light_followed(simulation)} · {verdict}"


def _luminance_lines(simulation: Simulation, units: Units) -> list[str]:
    even = simulation.evenness
    lines = [f"{outside_heading(simulation):<32}luminance   behind it"]
    for name, value, place in (
        ("mean", even.mean, ""),
        ("brightest", even.brightest.value, place_words(even.brightest.x, even.brightest.y, units)),
        ("darkest", even.darkest.value, place_words(even.darkest.x, even.darkest.y, units)),
    ):
        lines.append(
            f"  {name:<27}{significant(value, 4):>9} cd/m²  {significant(simulation.illuminance(value), 4):>7} lx"
            f"  {place}".rstrip()
        )
    return lines


def place_words(x: float, y: float, units: Units) -> str:
    """Where a point of the face is, as seen from the front.

    Parameters
    ----------
    x, y : float
        [m]
    units : {"in", "mm"}
    """
    return f"at {format_length(x, units)} from left, {format_length(y, units)} from bottom"


def verdict_line(simulation: Simulation) -> str:
    """One line: whether the requirement is met, and by how much; what helps where it is not."""
    decides = simulation.deciding
    verdict = decides.verdict
    head = f"VERDICT ({light_followed(simulation)}{state_words(simulation)})"
    tightest = verdict.tightest
    if tightest is None:
        return f"{head}: nothing is required; set limits under [requirement]"
    if verdict.met:
        return (
            f"{head}: {requirement_words(decides)} {_numbers(tightest)}{decided_by(simulation)}, "
            f"{spared(tightest)}"
        )
    failing = [one for one in verdict.judged if not one.met]
    what = "; ".join(f"{_numbers(one)}, {missed_by(one)}" for one in failing)
    other, missed_too = other_state(simulation)
    if missed_too:
        what += f"; when {other}: " + "; ".join(_numbers(one) for one in missed_too)
    helps = [*cures([*failing, *missed_too], decides), *level_cures(simulation)]
    return f"{head}: {requirement_words(decides)} {what}. What helps: {'; '.join(helps)}"


def numbers_told(verdict: Verdict) -> str:
    """The limits that are missed, or else the one with the least to spare, with what they stand against."""
    failing = [one for one in verdict.judged if not one.met]
    told = failing or [one for one in (verdict.tightest,) if one is not None]
    return "; ".join(_numbers(one) for one in told)


def _numbers(one: Judged) -> str:
    actual, limit = limit_words(one)
    return f"{NAMES[one.name]} {actual}, limit {LIMITS[one.name]} {limit}"
