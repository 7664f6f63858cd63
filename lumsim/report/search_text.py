"""A search's answer as text."""

from __future__ import annotations

from collections.abc import Sequence

from lumsim.report.layout_text import counted, exactly, on_the_tape, positions
from lumsim.report.levels import LUMINANCE_LIMITS, decided_by, tried_state, what_limits_luminance
from lumsim.report.light_text import cabinet_text, numbers_told
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import limit_told, limit_words, missed_by, number_told, ratio
from lumsim.report.plane_text import plane_lines
from lumsim.search.depth import DepthSearch
from lumsim.search.edge_distance import EdgeSearch
from lumsim.search.fewest import FewestSearch
from lumsim.search.row_pitch import PitchSearch
from lumsim.search.trying import Found, Tried
from lumsim.study.questions import Question
from lumsim.study.reading import Study
from lumsim.study.searching import PlaneAnswer, SearchAnswer
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import LIMITS, measured
from lumsim.units import Units, format_length

__all__ = ["plane_facts", "reached", "search_facts", "search_text"]

COLUMN = 14
"""Width of a number's column in the table of depths: the longest name. [1]"""

NO_LAYOUT: dict[Question, str] = {
    "pitch": "no row pitch meets it",
    "depth": "no depth looked at meets it",
    "modules": "no layout looked at meets it",
    "watts": "no layout looked at meets it",
    "rows": "no layout looked at meets it",
    "edge": "no edge distance looked at meets it",
}


def search_text(study: Study, answers: Sequence[SearchAnswer | PlaneAnswer]) -> str:
    """What a search found, as lines of text: the layout to mark out, and what stands against a wider one.

    Parameters
    ----------
    study : Study
    answers : sequence of SearchAnswer or PlaneAnswer
        At least one.
    """
    lines = cabinet_text(study)
    for answer in answers:
        lines += ["", *(_plane(study, answer) if isinstance(answer, PlaneAnswer) else _answer(study, answer))]
    told = list(study.remarks)
    for answer in answers:
        if isinstance(answer, SearchAnswer):
            told += [text for text in warnings(answer.verified, study.units) if text not in told]
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += ["", _verdict(study, answers)]
    lines += [f"  {text[0].upper()}{text[1:]}." for text in (followed(answers[0].own), LIMITS_OF_THE_MODEL)]
    return "\n".join(lines)


def _answer(study: Study, answer: SearchAnswer) -> list[str]:
    """One question and its answer."""
    units, found = study.units, answer.found
    limits = _limits(study)
    lines = [f"{_asked(study, answer)}, {f'for {limits}' if limits else 'without a requirement: by max/min'}"]
    if study.cabinet.double_sided:
        lines.append(f"  of two faces   {_decides(found.best)}")
    ages = study.ageing is not None
    if not answer.finished:
        lines.append("  UNFINISHED: stopped before its end; the best so far")
    if found.exact is None:
        lines += _out_of_reach(answer, units, ages=ages)
    else:
        lines += _met(answer, units, ages=ages)
    if answer.against_depth:
        lines += ["", *_against_depth(study, answer, units)]
    return lines


def _limits(study: Study) -> str:
    return ", ".join(limit_told(name, limit) for name, limit in study.requirement.limits.items())


def _asked(study: Study, answer: SearchAnswer) -> str:
    found, units = answer.found, study.units
    if isinstance(found, PitchSearch):
        return f"Widest row pitch at {format_length(found.depth, units)} deep"
    if isinstance(found, DepthSearch):
        between = f"from {format_length(found.least, units)} to {format_length(found.most, units)}"
        return f"Least depth {between} with the rows as they are"
    if isinstance(found, EdgeSearch):
        between = f"from {format_length(found.least, units)} to {format_length(found.most, units)}"
        return f"Best edge distance {between} of {found.best.rows.count} rows"
    return f"Fewest {answer.question} in this cabinet"


def _plane(study: Study, answer: PlaneAnswer) -> list[str]:
    limits = _limits(study)
    return [
        f"Evenness over row pitch and depth{f', for {limits}' if limits else ''}",
        *plane_lines(answer.plane, answer.own, study.units, judged=bool(limits)),
    ]


def search_facts(study: Study, answer: SearchAnswer) -> tuple[str, ...]:
    """Two lines to print under a picture of a search.

    Parameters
    ----------
    study : Study
    answer : SearchAnswer
    """
    best = answer.at_depth.best
    two = study.cabinet.double_sided
    if answer.found.exact is None:
        found = "out of reach at this depth"
    elif best.rows.count == 1:
        found = "one row in the middle meets it"
    else:
        found = f"widest row pitch {format_length(best.pitch, study.units)}, {best.rows.count} rows"
    return (
        f"required: {_limits(study)} · {format_length(answer.at_depth.depth, study.units)} deep",
        f"{light_followed(answer.verified)} · {found}"
        + (" · of two faces the worse at each pitch" if two else ""),
    )


def plane_facts(study: Study, answer: PlaneAnswer) -> tuple[str, ...]:
    """Two lines to print with a picture of the plane.

    Parameters
    ----------
    study : Study
    answer : PlaneAnswer
    """
    limits = _limits(study)
    two = " · of two faces the worse at each point" if study.cabinet.double_sided else ""
    unfinished = "" if answer.finished else " · UNFINISHED"
    points = reached(study, answer).removesuffix(" do") + (" meet it" if limits else "")
    return (
        f"required: {limits}" if limits else "nothing is required",
        f"{light_followed(answer.own)} · {points}{two}{unfinished}",
    )


def _met(answer: SearchAnswer, units: Units, *, ages: bool) -> list[str]:
    found = answer.found
    assert found.exact is not None
    if isinstance(found, PitchSearch) and found.exact.rows.count == 1:
        lines = [f"  one row in the middle, at {format_length(found.exact.rows.positions[0], units)}"]
    else:
        lines = [f"  exactly        {exactly(found, units)}"]
        if found.buildable is not None:
            lines.append(f"  on the tape    {on_the_tape(found, found.buildable, units)}")
        else:
            lines.append(
                f"  on the tape    no layout on marks of {format_length(answer.step, units)} meets it: take a smaller "
                "step, or the exact one"
            )
    lines += positions(found.best, units)
    lines += _numbers(found.best)
    if ages:
        lines.append(
            "  met new and aged; limits are told where they have less to spare, all else when "
            f"{tried_state(found.best)}"
            if found.met
            else f"  told when {tried_state(found.best)}"
        )
    if isinstance(found, PitchSearch | FewestSearch) and _stops_at_judged(found):
        lines.append("  wider rows would show less than one period on this face: stripes could not be judged")
    return lines


def _stops_at_judged(found: Found) -> bool:
    """Whether the widest pitch is the widest at which stripes, which are limited, can be judged."""
    widest = found.exact
    if widest is None or all(one.name != "stripe_max_to_min" for one in widest.verdict.judged):
        return False
    across = widest.evenness.periods[1 if widest.cabinet.direction == "horizontal" else 0]
    return abs(across - 1) < 1e-6


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
        elif name == "hot_spot_contrast":
            lines.append(f"  {NAMES[name]:<14} {percent(one.evenness.hot_spot_contrast)}")
    return lines


def _out_of_reach(answer: SearchAnswer, units: Units, *, ages: bool) -> list[str]:
    closest = answer.found.closest or answer.found.best
    tightest = closest.verdict.tightest
    assert tightest is not None
    actual, limit = limit_words(tightest)
    if isinstance(answer.found, DepthSearch):
        where = f"at {format_length(closest.cabinet.box.depth, units)} deep"
    elif isinstance(answer.found, FewestSearch):
        where = f"with {counted(closest)}"
    elif closest.rows.count == 1:
        where = "with one row in the middle"
    else:
        where = f"at {format_length(closest.pitch, units)} on centre, {closest.rows.count} rows"
    return [
        (
            f"  OUT OF REACH: {NO_LAYOUT[answer.question]}. The nearest is {NAMES[tightest.name]} {actual} "
            f"(limit {LIMITS[tightest.name]} {limit}){f' when {tried_state(closest)}' if ages else ''}, {where}"
        ),
        *positions(closest, units),
        *_numbers(closest),
        f"  What limits it: {_what_limits(tightest.name, closest.evenness)}",
    ]


def _what_limits(name: str, even: Evenness) -> str:
    if name in LUMINANCE_LIMITS:
        return what_limits_luminance(name)
    edges, stripes = even.edge_dimming, even.stripe_max_to_min
    if name == "hot_spot_contrast":
        return (
            f"stripes and dots, contrast {percent(even.hot_spot_contrast)}: a deeper cabinet, or modules closer along "
            "the rows"
        )
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
        if one.exact is None:
            pitch = "none"
        row = (
            f"  {format_length(one.depth, units):<12}{pitch:<14}{best.rows.count:<6}"
            f"{format_length(best.rows.edge_distances[0], units):<15}{numbers}".rstrip()
        )
        lines.append(
            row + ("   nearest, not met" if one.exact is None else "   *" if _stops_at_judged(one) else "")
        )
    if any(_stops_at_judged(one) for one in (answer.at_depth, *answer.against_depth)):
        lines.append("  * wider rows were not tried: stripes could not be judged on this face")
    return lines


def _verdict(study: Study, answers: Sequence[SearchAnswer | PlaneAnswer]) -> str:
    whole = answers[0].own
    own = whole.deciding.verdict
    light = light_followed(whole)
    told = "; ".join(reached(study, one) for one in answers)
    if not own.judged:
        return f"VERDICT ({light}): there is no requirement to meet{f'; {told}' if told else ''}"
    state, ages = "meets" if own.met else "does NOT meet", study.ageing is not None
    face = ""
    if study.cabinet.double_sided and not study.cabinet.mirrored_faces:
        face = f"{whole.deciding.worse.side} face: "
    return (
        f"VERDICT ({light}): the study's own layout {state} the requirement"
        f"{' new and aged' if ages and own.met else decided_by(whole)} "
        f"({face}{f'{decided_by(whole).strip()}: ' if ages and own.met else ''}{numbers_told(own)})"
        f"{f'; {told}' if told else ''}"
    )


def reached(study: Study, answer: SearchAnswer | PlaneAnswer) -> str:
    """What of one question belongs in the verdict.

    Parameters
    ----------
    study : Study
    answer : SearchAnswer or PlaneAnswer
    """
    if isinstance(answer, PlaneAnswer):
        points = [point for row in answer.plane.points if row is not None for point in row]
        so_far = "" if answer.finished else " so far"
        if not study.requirement.limits:
            return f"{len(points)} points of the plane are lit{so_far}"
        return f"{sum(point.met for point in points)} of {len(points)} points of the plane do{so_far}"
    found, units = answer.found, study.units
    so_far = "" if found.finished else " so far"
    if isinstance(found, EdgeSearch):
        edge = format_length(found.best.rows.edge_distances[0], units)
        does = (
            "" if not found.best.verdict.judged else f", and {'meets' if found.met else 'does NOT meet'} it"
        )
        return f"the best edge distance of {found.best.rows.count} rows{so_far} is {edge}{does}"
    if isinstance(found, PitchSearch):
        if found.exact is None:
            return f"no row pitch at this depth does{so_far}"
        if found.best.rows.count == 1:
            return "one row in the middle does"
        reach = (
            f"the widest pitch that does{so_far} is {format_length(found.best.pitch, units)} "
            f"({found.best.rows.count} rows)"
        )
        if _stops_at_judged(found):
            reach += ", and wider ones were not tried: stripes could not be judged on this face"
        return reach
    if isinstance(found, DepthSearch):
        if found.exact is None:
            return f"no depth looked at does with these rows{so_far}"
        return f"the least depth that does{so_far} is {format_length(found.best.cabinet.box.depth, units)}"
    if found.exact is None:
        return f"no layout looked at does{so_far}"
    return f"the fewest {answer.question} that do{so_far} are {counted(found.best)}"
