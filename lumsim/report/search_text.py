"""A search's answer as text."""

from __future__ import annotations

import math

from lumsim.report.levels import LUMINANCE_LIMITS, decided_by, tried_state, what_limits_luminance
from lumsim.report.light_text import cabinet_text, numbers_told
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import limit_told, limit_words, missed_by, number_told, ratio
from lumsim.search.row_pitch import PitchSearch
from lumsim.search.trying import Tried
from lumsim.study.answering import SearchAnswer
from lumsim.study.reading import Study
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import LIMITS, measured
from lumsim.units import Units, format_length

__all__ = ["search_facts", "search_text"]

MOST_POSITIONS = 12

COLUMN = 14
"""Width of a number's column in the table of depths: the longest name. [1]"""


def search_text(study: Study, answer: SearchAnswer) -> str:
    """What a search found, as lines of text: the layout to mark out, and what stands against a wider one.

    Parameters
    ----------
    study : Study
    answer : SearchAnswer
    """
    units = study.units
    found = answer.at_depth
    lines = [*cabinet_text(study), ""]
    limits = ", ".join(limit_told(name, limit) for name, limit in study.requirement.limits.items())
    depth = format_length(found.depth, units)
    lines.append(f"Widest row pitch at {depth} deep, for {limits}")
    if study.cabinet.double_sided:
        lines.append(f"  of two faces   {_decides(found.best)}")
    ages = study.ageing is not None
    lines += (
        _met(found, units, ages=ages) if found.widest is not None else _out_of_reach(found, units, ages=ages)
    )
    if answer.against_depth:
        lines += ["", *_against_depth(study, answer, units)]
    told = [*study.remarks, *warnings(answer.verified, units)]
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += ["", _verdict(study, answer)]
    lines += [f"  {text[0].upper()}{text[1:]}." for text in (followed(answer.verified), LIMITS_OF_THE_MODEL)]
    return "\n".join(lines)


def search_facts(study: Study, answer: SearchAnswer) -> tuple[str, ...]:
    """Two lines to print under a picture of a search.

    Parameters
    ----------
    study : Study
    answer : SearchAnswer
    """
    limits = ", ".join(limit_told(name, limit) for name, limit in study.requirement.limits.items())
    best = answer.at_depth.best
    two = study.cabinet.double_sided
    if answer.at_depth.widest is None:
        found = "out of reach at this depth"
    elif best.rows.count == 1:
        found = "one row in the middle meets it"
    else:
        found = f"widest row pitch {format_length(best.pitch, study.units)}, {best.rows.count} rows"
    return (
        f"required: {limits} · {format_length(answer.at_depth.depth, study.units)} deep",
        f"{light_followed(answer.verified)} · {found}"
        + (" · of two faces the worse at each pitch" if two else ""),
    )


def _met(found: PitchSearch, units: Units, *, ages: bool) -> list[str]:
    assert found.widest is not None
    lines = []
    if found.widest.rows.count == 1:
        lines.append(f"  one row in the middle, at {format_length(found.widest.rows.positions[0], units)}")
    else:
        exact = float(found.widest.pitch)
        # Rounded down: the next wider pitch does not meet the requirement.
        shown = (
            f"{math.floor(exact * 1e4 + 1e-6) / 10:.1f} mm"
            if units == "mm"
            else f"{math.floor(exact / 2.54e-5 + 1e-6) / 1e3:.3f} in"
        )
        lines.append(f"  exactly        {shown}, {found.widest.rows.count} rows")
    if found.markable is not None and found.widest.rows.count > 1:
        best = found.markable
        lines.append(
            f"  on the tape    {format_length(best.pitch, units)} on centre, {best.rows.count} rows, "
            f"edge distance {format_length(best.rows.edge_distances[0], units)}"
        )
    lines += _positions(found.best, units)
    lines += _numbers(found.best)
    if ages:
        lines.append(
            "  met new and aged; limits are told where they have less to spare, all else when "
            f"{tried_state(found.best)}"
        )
    if _stops_at_judged(found):
        lines.append("  wider rows would show less than one period on this face: stripes could not be judged")
    return lines


def _stops_at_judged(found: PitchSearch) -> bool:
    """Whether the widest pitch is the widest at which stripes, which are limited, can be judged."""
    widest = found.widest
    if widest is None or all(one.name != "stripe_max_to_min" for one in widest.verdict.judged):
        return False
    across = widest.evenness.periods[1 if widest.cabinet.direction == "horizontal" else 0]
    return abs(across - 1) < 1e-6


def _positions(one: Tried, units: Units) -> list[str]:
    at = [format_length(position, units) for position in one.rows.positions]
    shown = ", ".join(at[:MOST_POSITIONS]) + (
        f" and {len(at) - MOST_POSITIONS} more" if len(at) > MOST_POSITIONS else ""
    )
    return [f"  rows at        {shown}"]


def _numbers(one: Tried) -> list[str]:
    lines = []
    judged = {limit.name: limit for limit in one.verdict.judged}
    for name in LIMITS:
        if name in judged:
            actual, limit = limit_words(judged[name])
            state = (
                f"met, {percent(judged[name].margin)} to spare"
                if judged[name].met
                else f"NOT met, {missed_by(judged[name])}"
            )
            lines.append(f"  {NAMES[name]:<14} {actual}  (limit {LIMITS[name]} {limit}: {state})")
        elif name in {"max_to_min", "stripe_max_to_min", "edge_dimming"}:
            lines.append(f"  {NAMES[name]:<14} {ratio(getattr(one.evenness, name))}")
    return lines


def _out_of_reach(found: PitchSearch, units: Units, *, ages: bool) -> list[str]:
    closest = found.closest
    tightest = closest.verdict.tightest
    assert tightest is not None
    actual, limit = limit_words(tightest)
    pitch = (
        "with one row in the middle"
        if closest.rows.count == 1
        else f"at {format_length(closest.pitch, units)} on centre, {closest.rows.count} rows"
    )
    return [
        (
            f"  OUT OF REACH: no row pitch meets it. The nearest is {NAMES[tightest.name]} {actual} "
            f"(limit {LIMITS[tightest.name]} {limit}){f' when {tried_state(closest)}' if ages else ''}, {pitch}"
        ),
        *_positions(closest, units),
        *_numbers(closest),
        f"  What limits it: {_what_limits(tightest.name, closest.evenness)}",
    ]


def _what_limits(name: str, even: Evenness) -> str:
    if name in LUMINANCE_LIMITS:
        return what_limits_luminance(name)
    edges, stripes = even.edge_dimming, even.stripe_max_to_min
    if name == "stripe_max_to_min" or (name != "edge_dimming" and stripes > edges):
        along, across = sorted((even.ripple_x, even.ripple_y))
        return (
            f"stripes and dots, {stripes:.2f} (ripple {along:.2f} and {across:.2f} along the two directions): "
            "a deeper cabinet, or modules closer along the rows"
        )
    return (
        f"dark edges and corners, edge dimming {edges:.2f} against stripes {stripes:.2f}; closer rows do not "
        "lighten an edge: outer rows nearer the returns do, and whiter returns"
    )


def _decides(one: Tried) -> str:
    """Which face a layout stands or falls by."""
    if one.cabinet.mirrored_faces:
        return "both are lit as mirror images: the numbers are those of either"
    return f"the {one.side} face is the worse and decides: the numbers are its own"


def _against_depth(study: Study, answer: SearchAnswer, units: Units) -> list[str]:
    # A least and a greatest luminance are one number.
    names = list({NAMES[name]: name for name in study.requirement.limits}.values())
    lines = [
        "Row pitch against depth",
        "  depth       widest pitch  rows  edge distance  "
        + "  ".join(f"{NAMES[name]:<{COLUMN}}" for name in names)
        + ("  face" if study.cabinet.double_sided else ""),
    ]
    for one in sorted((answer.at_depth, *answer.against_depth), key=lambda one: one.depth):
        best = one.best
        pitch = "one row" if best.rows.count == 1 else format_length(best.pitch, units)
        numbers = "  ".join(f"{number_told(name, measured(best.evenness, name)):<{COLUMN}}" for name in names)
        if study.cabinet.double_sided:
            numbers += "  either" if best.cabinet.mirrored_faces else f"  {best.side}"
        if one.widest is None:
            pitch = "none"
        row = (
            f"  {format_length(one.depth, units):<12}{pitch:<14}{best.rows.count:<6}"
            f"{format_length(best.rows.edge_distances[0], units):<15}{numbers}".rstrip()
        )
        lines.append(
            row + ("   nearest, not met" if one.widest is None else "   *" if _stops_at_judged(one) else "")
        )
    if any(_stops_at_judged(one) for one in (answer.at_depth, *answer.against_depth)):
        lines.append("  * wider rows were not tried: stripes could not be judged on this face")
    return lines


def _verdict(study: Study, answer: SearchAnswer) -> str:
    own = answer.own.deciding.verdict
    state, ages = "meets" if own.met else "does NOT meet", study.ageing is not None
    face = ""
    if study.cabinet.double_sided and not study.cabinet.mirrored_faces:
        face = f"{answer.own.deciding.worse.side} face: "
    if answer.at_depth.widest is None:
        reach = "no row pitch at this depth does"
    elif answer.at_depth.best.rows.count == 1:
        reach = "one row in the middle does"
    else:
        reach = (
            f"the widest pitch that does is {format_length(answer.at_depth.best.pitch, study.units)} "
            f"({answer.at_depth.best.rows.count} rows)"
        )
        if _stops_at_judged(answer.at_depth):
            reach += ", and wider ones were not tried: stripes could not be judged on this face"
    return (
        f"VERDICT ({light_followed(answer.verified)}): the study's own layout {state} the requirement"
        f"{' new and aged' if ages and own.met else decided_by(answer.own)} "
        f"({face}{f'{decided_by(answer.own).strip()}: ' if ages and own.met else ''}{numbers_told(own)}); {reach}"
    )
