"""A lit cabinet as text."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import Rows
from lumsim.photometry import CosinePower
from lumsim.report.levels import (
    LUMINANCE_LIMITS,
    decided_by,
    film_lines,
    level_cures,
    level_lines,
    other_state,
    study_lines,
)
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import limit_words, missed_by, ratio, significant
from lumsim.simulation import Simulation
from lumsim.study.reading import Study
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import LIMITS, Judged, Verdict
from lumsim.uniformity.spots import Spot
from lumsim.units import Units, format_length, format_size

__all__ = ["cabinet_text", "light_text", "numbers_told", "picture_facts", "verdict_line"]

_EXPLAINED = {
    "max_to_min": "whole visible face, dark edges and corners included",
    "stripe_max_to_min": "against the mean of the {window} square around: rows too far apart",
    "edge_dimming": "middle over the darkest stretch of edge: dark edges",
    "min_to_mean": "lowest over mean",
    "min_to_max": "lowest over highest",
    "coefficient_of_variation": "standard deviation over mean",
    "nine_point": "sampled max/min of nine points; it aliases with the pitch",
    "ripple_across": "row to row",
    "ripple_along": "module to module",
}

MOST_SHOWN = 6
"""Spots of each kind that the text shows; JSON lists more. [1]"""


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
    even = simulation.evenness
    part = simulation.worse.visible
    lines = [*cabinet_text(study), ""]
    lines.append(f"Evenness of the visible face, {format_size((part.width, part.height), units)}")
    judged = {one.name: one for one in simulation.verdict.judged}
    along, across = (
        (even.ripple_x, even.ripple_y)
        if simulation.spots.direction == "horizontal"
        else (even.ripple_y, even.ripple_x)
    )
    for name, title in NAMES.items():
        if name in LUMINANCE_LIMITS:
            continue
        if name in judged:
            actual, limit = limit_words(judged[name])
            value = f"{actual}  (limit {LIMITS[name]} {limit}: {'met' if judged[name].met else 'NOT met'})"
        else:
            number = {"ripple_along": along, "ripple_across": across}.get(name)
            number = getattr(even, name) if number is None else number
            value = ratio(number) if name != "coefficient_of_variation" else percent(number)
        explained = _EXPLAINED[name].format(window=format_length(even.window, units))
        lines.append(f"  {title:<20}{value:<7} {explained}".rstrip())
    lines += ["", *_luminance_lines(simulation, units)]
    lines += ["", *level_lines(study, simulation)]
    lines += ["", *_spot_lines(simulation, units)]
    lines += ["", *_flux_lines(simulation)]
    error = simulation.error
    worst = max(error.max_to_min, error.stripe_max_to_min, error.edge_dimming, error.mean)
    half = (
        "with every other point"
        if simulation.reflected is None
        else f"{simulation.patches} patches inside; against half as fine a mesh"
    )
    lines.append(
        f"Computed on {len(simulation.luminance.x)} by {len(simulation.luminance.y)} points of the face, extremes "
        f"polished; {half} {_moved_by(worst)}"
    )
    lines += extra
    told = warnings(simulation, units)
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += [
        "",
        verdict_line(simulation),
        f"  {_sentence(followed(simulation))}",
        f"  {_sentence(LIMITS_OF_THE_MODEL)}",
    ]
    return "\n".join(lines)


def _moved_by(worst: float) -> str:
    """How far the numbers moved, rounded up to a step that a reader can take in."""
    for step in (1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3, 1e-2):
        if worst <= step:
            return f"no number moves by more than {step * 100:g} %"
    return f"numbers move by up to {percent(worst)}: the last digits are not to be trusted"


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."


def cabinet_text(study: Study) -> list[str]:
    """What is built: sizes, modules, rows with their edge distances, defaults that were taken."""
    units = study.units
    cabinet = study.cabinet
    box, face = cabinet.box, cabinet.face
    emitters = cabinet.emitters()
    returns = {
        box.left_return_reflectance,
        box.right_return_reflectance,
        box.bottom_return_reflectance,
        box.top_return_reflectance,
    }
    shown_returns = "/".join(f"{value:g}" for value in sorted(returns))
    lines = [
        study.title,
        (
            f"  cabinet   {format_size((box.width, box.height, box.depth), units)} inside, "
            + (
                f"double-sided; reflectance returns {shown_returns}"
                if cabinet.double_sided
                else f"single-faced; reflectance back {box.back_reflectance:g}, returns {shown_returns}"
            )
        ),
        (
            f"  face      transmittance {face.transmittance:g}, reflectance {face.reflectance:g}, "
            f"visible border {format_length(face.visible_border, units)}"
        ),
    ]
    for number, group in enumerate(cabinet.groups, start=1):
        head = "rows" if len(cabinet.groups) == 1 else f"rows {number}"
        if isinstance(group, Rows):
            horizontal = group.direction == "horizontal"
            throw = box.depth - group.z
            lines.append(
                f"  {head:<9} {_places(group.rows, 'row', units)}, {group.direction}; "
                f"{_edges(group.rows, ('bottom', 'top') if horizontal else ('left', 'right'), units)}"
            )
            lines.append(
                f"            {_places(group.modules, 'module', units)} in each; "
                f"{_edges(group.modules, ('left', 'right') if horizontal else ('bottom', 'top'), units)}"
            )
            lines.append(
                f"            {group.module.lumens:g} lm, {_beam(group.module.beam)}; "
                f"throw {format_length(throw, units)}"
            )
        else:
            placed = group.emitters()
            nearest, farthest = box.depth - float(placed.z.max()), box.depth - float(placed.z.min())
            shown = format_length(nearest, units)
            if farthest > nearest:
                shown += f" to {format_length(farthest, units)}"
            lines.append(
                f"  {head:<9} {len(placed)} listed modules, {placed.flux.sum():.6g} lm; throw {shown}"
            )
    lines.append(
        f"  modules   {len(emitters)}, {emitters.flux.sum():.6g} lm, "
        f"{emitters.flux.sum() / cabinet.whole_face.area:.4g} lm/m² of face" + _power(study)
    )
    lines += study_lines(study)
    if study.defaults:
        lines.append("  defaults  " + ", ".join(f"{key} = {value}" for key, value in study.defaults))
    if study.changes:
        lines.append("  tried     " + ", ".join(study.changes))
    return lines


def _power(study: Study) -> str:
    watts = 0.0
    for group in study.cabinet.groups:
        if not isinstance(group, Rows) or group.module.watts is None:
            return ""
        watts += group.module.watts * group.rows.count * group.modules.count
    return f", {watts:.4g} W"


def _places(places: Places, what: str, units: Units) -> str:
    plural = "" if places.count == 1 else "s"
    if places.pitch is None:
        if places.count > 1:
            at = ", ".join(format_length(position, units) for position in places.positions[:8])
            more = f" and {places.count - 8} more" if places.count > 8 else ""
            return f"{places.count} {what}s at {at}{more}"
        return f"1 {what}{plural}"
    return f"{places.count} {what}s {format_length(places.pitch, units)} on centre"


def _edges(places: Places, sides: tuple[str, str], units: Units) -> str:
    first, last = places.edge_distances
    if first == last:
        return f"edge distance {format_length(first, units)}"
    return f"edge distance {format_length(first, units)} {sides[0]}, {format_length(last, units)} {sides[1]}"


def _beam(beam: CosinePower) -> str:
    return "Lambertian" if beam.exponent == 1 else f"cosine power {beam.exponent:.4g}"


def picture_facts(simulation: Simulation) -> tuple[str, ...]:
    """Two lines to print under a picture of the face: the numbers, and the verdict."""
    even = simulation.evenness
    numbers = " · ".join(
        f"{NAMES[name]} {ratio(getattr(even, name))}"
        for name in ("max_to_min", "stripe_max_to_min", "edge_dimming")
    )
    if not simulation.verdict.judged:
        verdict = "nothing required"
    else:
        state = ("met" if simulation.met else "NOT met") + decided_by(simulation)
        verdict = f"requirement {state}: {numbers_told(simulation.deciding.verdict)}"
    return f"{numbers} · mean {significant(even.mean)} cd/m²", f"{light_followed(simulation)} · {verdict}"


def _luminance_lines(simulation: Simulation, units: Units) -> list[str]:
    even = simulation.evenness
    lines = ["Seen from in front" + " " * 14 + "luminance   behind it"]
    for name, value, place in (
        ("mean", even.mean, ""),
        ("brightest", even.brightest.value, _at(even.brightest.x, even.brightest.y, units)),
        ("darkest", even.darkest.value, _at(even.darkest.x, even.darkest.y, units)),
    ):
        lines.append(
            f"  {name:<27}{significant(value, 4):>9} cd/m²  {significant(simulation.illuminance(value), 4):>7} lx"
            f"  {place}".rstrip()
        )
    return lines


def _at(x: float, y: float, units: Units) -> str:
    return f"at {format_length(x, units)} from left, {format_length(y, units)} from bottom"


def _spot_lines(simulation: Simulation, units: Units) -> list[str]:
    spots = simulation.spots
    least = percent(spots.least_contrast)
    lines = []
    if spots.stripes:
        side = "bottom" if spots.direction == "horizontal" else "left"
        lines.append(f"Stripes, contrast {least} or more ({len(spots.stripes)})")
        for stripe in spots.stripes[: 2 * MOST_SHOWN]:
            rows = " and ".join(str(row) for row in stripe.rows)
            where = f"row {rows}" if len(stripe.rows) == 1 else f"rows {rows}"
            lines.append(
                f"  {where:<14}{format_length(stripe.position, units):>10} from {side:<7} "
                f"contrast {percent(stripe.contrast)}"
            )
        if len(spots.stripes) > 2 * MOST_SHOWN:
            lines.append(f"  and {len(spots.stripes) - 2 * MOST_SHOWN} more")
    else:
        lines.append(f"No stripe of contrast {least} or more")
    for kind, found, more in (
        ("hot", spots.hot, spots.hot_not_listed),
        ("dark", spots.dark, spots.dark_not_listed),
    ):
        beside = " beside the stripes" if spots.stripes else ""
        if not found:
            lines.append(f"No {kind} spot of contrast {least} or more{beside}")
            continue
        lines.append(f"{kind.capitalize()} spots{beside}, contrast {least} or more ({len(found) + more})")
        lines.extend(_one_spot(spot, units) for spot in found[:MOST_SHOWN])
        if len(found) + more > MOST_SHOWN:
            lines.append(f"  and {len(found) + more - MOST_SHOWN} more")
    return lines


def _one_spot(spot: Spot, units: Units) -> str:
    return (
        f"  {format_length(spot.x, units):>10} from left, {format_length(spot.y, units):>10} from bottom: "
        f"{significant(spot.luminance, 4)} cd/m², contrast {percent(spot.contrast)}"
    )


def _flux_lines(simulation: Simulation) -> list[str]:
    ledger = simulation.ledger

    def share(flux: float) -> str:
        return f"{significant(flux, 4):>8} lm {flux / ledger.emitted * 100:>5.1f} %"

    return [
        "Where the lumens went",
        f"  given by the modules      {share(ledger.emitted)}",
        (
            f"  through the face          {share(ledger.through_face)}, "
            f"of it {significant(ledger.leaving_visible_face, 4)} lm through the visible part"
        ),
        *film_lines(simulation),
        f"  absorbed in the face      {share(ledger.absorbed_face)}",
        f"  absorbed in the returns   {share(ledger.absorbed_returns)}",
        *(
            [f"  thrown back, not followed {share(ledger.not_followed)}"]
            if simulation.reflected is None
            else [f"  absorbed in the back      {share(ledger.absorbed_back)}"]
        ),
        f"Of the light on the visible face {percent(simulation.direct_share)} came straight from the modules",
    ]


def verdict_line(simulation: Simulation) -> str:
    """One line: whether the requirement is met, and by how much; what helps where it is not."""
    verdict = simulation.deciding.verdict
    head = f"VERDICT ({light_followed(simulation)})"
    tightest = verdict.tightest
    if tightest is None:
        return f"{head}: nothing is required; set limits under [requirement]"
    if verdict.met:
        both = "" if simulation.aged is None else f" new and aged, least to spare{decided_by(simulation)}"
        return f"{head}: requirement met{both}; {_numbers(tightest)}, {percent(tightest.margin)} to spare"
    failing = [one for one in verdict.judged if not one.met]
    what = "; ".join(f"{_numbers(one)}, {missed_by(one)}" for one in failing)
    other, missed_too = other_state(simulation)
    if missed_too:
        what += f"; when {other}: " + "; ".join(_numbers(one) for one in missed_too)
    cures = [*_cures([*failing, *missed_too], simulation.deciding.evenness), *level_cures(simulation)]
    return f"{head}: requirement NOT met{decided_by(simulation)}; {what}. What helps: {'; '.join(cures)}"


def numbers_told(verdict: Verdict) -> str:
    """The limits that are missed, or else the one with the least to spare, with what they stand against."""
    failing = [one for one in verdict.judged if not one.met]
    told = failing or [one for one in (verdict.tightest,) if one is not None]
    return "; ".join(_numbers(one) for one in told)


def _numbers(one: Judged) -> str:
    actual, limit = limit_words(one)
    return f"{NAMES[one.name]} {actual}, limit {LIMITS[one.name]} {limit}"


def _cures(failing: list[Judged], even: Evenness) -> list[str]:
    names = {one.name for one in failing} - LUMINANCE_LIMITS
    stripes, edges = even.stripe_max_to_min, even.edge_dimming
    whole_face = bool(names - {"stripe_max_to_min", "edge_dimming"})
    cures = []
    if "stripe_max_to_min" in names or (whole_face and stripes > edges):
        cures.append(f"against stripes ({stripes:.2f}) rows closer together, or a deeper cabinet")
    if "edge_dimming" in names or (whole_face and edges >= stripes):
        cures.append(f"against dark edges ({edges:.2f}) outer rows nearer the returns, or whiter returns")
    return cures
