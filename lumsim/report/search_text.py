"""A search's answer as text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lumsim.report.counting import counting_warnings
from lumsim.report.layout_text import counted, length_found
from lumsim.report.levels import decided_by, tried_state
from lumsim.report.light_text import cabinet_text, numbers_told
from lumsim.report.luminance_limits import LUMINANCE_LIMITS, dimming_told, what_limits_luminance
from lumsim.report.notes import (
    LIMITS_OF_THE_MODEL,
    LITTLE,
    followed,
    light_followed,
    little_to_spare,
    warnings,
)
from lumsim.report.numbers import limit_told, limit_words, number_told, spared
from lumsim.report.plane_text import plane_lines, skipped_told
from lumsim.report.side_by_side import columns_of, side_by_side
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
from lumsim.uniformity.requirement import LIMITS, Verdict, measured
from lumsim.units import Units, format_close, format_length

__all__ = ["LITTLE_TO_SPARE", "plane_facts", "reached", "search_facts", "search_text"]

COLUMN = 14
"""Width of a number's column in the table of depths: the longest name. [1]"""

LITTLE_TO_SPARE = (
    f"Less than {LITTLE * 100:.0f} % of a limit is little to spare: built signs scatter; `lumsim tolerance` on the "
    "study that --save writes tells what share of them would meet it."
)

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
    told += [
        f"the study's own layout: {text}"
        for text in counting_warnings(study.cabinet, study.units)
        if text not in told
    ]
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += ["", _verdict(study, answers)]
    if any(little_to_spare(one) for one in _verdicts(answers)):
        lines.append(f"  {LITTLE_TO_SPARE}")
    lines += [f"  {text[0].upper()}{text[1:]}." for text in (followed(answers[0].own), LIMITS_OF_THE_MODEL)]
    return "\n".join(lines)


def _verdicts(answers: Sequence[SearchAnswer | PlaneAnswer]) -> list[Verdict]:
    """On the study's own layout, and on each that was found."""
    found = [one.found.best.verdict for one in answers if isinstance(one, SearchAnswer)]
    return [answers[0].own.deciding.verdict, *found]


def _answer(study: Study, answer: SearchAnswer) -> list[str]:
    """One question and its answer."""
    units, found = study.units, answer.found
    limits = _limits(study)
    lines = [f"{_asked(study, answer)}, {f'for {limits}' if limits else 'without a requirement: by max/min'}"]
    if study.cabinet.double_sided:
        lines.append(f"  of two faces   {_decides(found)}")
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
    """Lines to print with a picture of the plane.

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
        *([skipped_told(answer.plane.skipped)] if answer.plane.skipped else []),
    )


def _met(answer: SearchAnswer, units: Units, *, ages: bool) -> list[str]:
    found = answer.found
    lines = side_by_side(found, units)
    if found.buildable is None:
        counted_by = (
            ": a pitch is counted by what the cabinet holds of it, and --for edge lays a count otherwise"
            if isinstance(found, PitchSearch)
            else ""
        )
        lines.append(
            f"  to build: no layout on marks of {format_close(float(answer.step), units)} meets it (take a smaller "
            f"step, or the exact one{counted_by})"
        )
    if ages:
        lines.append(
            "  met new and aged; limits are told where they have less to spare, all else when "
            f"{_of_each(found, tried_state)}"
            if found.met
            else f"  told when {_of_each(found, tried_state)}"
        )
    if isinstance(found, PitchSearch | FewestSearch) and _stops_at_judged(found):
        lines.append("  wider rows would show less than one period on this face: stripes could not be judged")
    return lines


def _of_each(found: Found, word: Callable[[Tried], str]) -> str:
    """A word on the layouts that are told of, once where it is the same of all."""
    words = {heading: word(one) for heading, one in columns_of(found).items()}
    if len(set(words.values())) == 1:
        return word(found.best)
    return ", ".join(f"{said} {heading}" for heading, said in words.items())


def _stops_at_judged(found: Found) -> bool:
    """Whether the widest pitch is the widest at which stripes, which are limited, can be judged."""
    widest = found.exact
    if widest is None or all(one.name != "stripe_max_to_min" for one in widest.verdict.judged):
        return False
    across = widest.evenness.periods[1 if widest.cabinet.direction == "horizontal" else 0]
    return abs(across - 1) < 1e-6


def _out_of_reach(answer: SearchAnswer, units: Units, *, ages: bool) -> list[str]:
    closest = answer.found.best
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
    none = "OUT OF REACH" if answer.finished else "NONE SO FAR"
    return [
        (
            f"  {none}: {NO_LAYOUT[answer.question]}. The nearest is {NAMES[tightest.name]} {actual} "
            f"(limit {LIMITS[tightest.name]} {limit}){f' when {tried_state(closest)}' if ages else ''}, {where}"
        ),
        *side_by_side(answer.found, units),
        f"  What limits it: {_what_limits(tightest.name, closest.evenness)}",
        *(f"  Its luminance: {told}" for told in dimming_told(answer.verified)),
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


def _decides(found: Found) -> str:
    """Which face each layout stands or falls by."""
    if found.best.cabinet.mirrored_faces:
        return "both are lit as mirror images: the numbers are those of either"
    worse = _of_each(found, lambda one: f"the {one.side} face")
    return f"{worse} is the worse and decides: the numbers are its own"


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
        f"({face}{f'{decided_by(whole).strip()}: ' if ages and own.met else ''}{numbers_told(own)}"
        f"{f', {spared(own.tightest)}' if own.met and own.tightest is not None else ''})"
        f"{f'; {told}' if told else ''}"
    )


def _margin(found: Found) -> str:
    """What is to spare of the tightest limit, to follow a layout that meets the requirement."""
    tightest = found.best.verdict.tightest
    return "" if tightest is None or not found.met else f"{NAMES[tightest.name]} {spared(tightest)}"


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
        edge = length_found(found, units)
        does = (
            ""
            if not found.best.verdict.judged
            else f", and meets it ({_margin(found)})"
            if found.met
            else ", and does NOT meet it"
        )
        return f"the best edge distance of {found.best.rows.count} rows{so_far} is {edge}{does}"
    if isinstance(found, PitchSearch):
        if found.exact is None:
            return f"no row pitch at this depth does{so_far}"
        if found.best.rows.count == 1:
            return f"one row in the middle does ({_margin(found)})"
        reach = (
            f"the widest pitch that does{so_far} is {length_found(found, units)} "
            f"({found.best.rows.count} rows; {_margin(found)})"
        )
        if _stops_at_judged(found):
            reach += ", and wider ones were not tried: stripes could not be judged on this face"
        return reach
    if isinstance(found, DepthSearch):
        if found.exact is None:
            return f"no depth looked at does with these rows{so_far}"
        depth = length_found(found, units)
        return f"the least depth that does{so_far} is {depth} ({_margin(found)})"
    if found.exact is None:
        return f"no layout looked at does{so_far}"
    return f"the fewest {answer.question} that do{so_far} are {counted(found.best)} ({_margin(found)})"
