"""Sensitivity and tolerance as text, and the built signs as CSV."""

from __future__ import annotations

from collections.abc import Callable

from lumsim.cabinet.cabinet import Cabinet
from lumsim.report.columns import columns
from lumsim.report.levels import decided_by
from lumsim.report.light_text import cabinet_text, numbers_told
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import limit_told, significant
from lumsim.report.search_document import outcome_part
from lumsim.report.tables import table_bytes
from lumsim.search.dead import DeadModule
from lumsim.search.sensitivity import Slope, Slopes
from lumsim.search.spread import ModulePlace, Spread, module_places
from lumsim.search.tolerance import CONFIDENCE, INTERVAL, Tolerance
from lumsim.study.reading import Study
from lumsim.study.tolerating import ToleranceAnswer
from lumsim.uniformity.evenness import LEVELS
from lumsim.uniformity.names import NAMES, SHARES, percent
from lumsim.units import METRES_PER_INCH, Units, format_length

__all__ = ["ASSUMED", "bowed", "called", "per_unit", "place_words", "tolerance_csv", "tolerance_text"]

COLUMN = 20
"""Width of a number's column. [1]"""

_QUANTITIES = {
    "row_pitch": "row pitch",
    "edge_distance": "edge distance",
    "module_pitch": "module pitch",
    "depth": "depth",
    "back_reflectance": "back reflectance",
    "return_reflectance": "return reflectance",
    "face_reflectance": "face reflectance",
}

_HOW_MOVED = {
    "row_pitch": "row pitch: as many rows, centred, so that the outermost come nearer to the returns",
    "edge_distance": "edge distance: the outermost rows alone, both of them",
    "module_pitch": "module pitch: as many modules, centred in each row",
    "depth": "depth: the modules keep their place above the back",
    "return_reflectance": "return reflectance: of all returns together",
}

ASSUMED = (
    "built signs are taken to differ by what [tolerance] says and nothing else, each module by itself; a whole batch "
    "that is dimmer changes no ratio"
)


def per_unit(quantity: str, units: Units) -> tuple[float, str]:
    """For how much of a quantity a slope is told, and in words. [m or 1]

    Parameters
    ----------
    quantity : str
        Of ``sensitivity.Quantity``.
    units : {"in", "mm"}
    """
    if quantity.endswith("reflectance"):
        return 0.01, "per 0.01"
    return (float(METRES_PER_INCH), "per inch") if units == "in" else (0.01, "per 10 mm")


def bowed(cabinet: Cabinet, spread: Spread) -> list[str]:
    """What is left out of bowed faces, and what that is worth; nothing where faces are flat.

    Light from one side falls on a slanted face by as much more or less as it is slanted, at most: at the edges, where
    all comes from one side.

    Parameters
    ----------
    cabinet : Cabinet
    spread : Spread
    """
    if not spread.bow > 0:
        return []
    slope = 4 * spread.bow / min(cabinet.box.width, cabinet.box.height)
    return [
        (
            "a bowed face is lit straight from the modules at its true distance, and by what is thrown back as a flat "
            "face of the depth there is at each point; its slant is left out, which at the edges is worth up to "
            f"{percent(slope)} of the light straight from the modules, in the middle nothing"
        )
    ]


def called(name: str) -> str:
    """What a number is called, by its name in ``Evenness``."""
    return "mean luminance" if name == "mean" else NAMES[name]


def place_words(place: ModulePlace, units: Units, *, groups: int) -> str:
    """Which module it is and where.

    Parameters
    ----------
    place : ModulePlace
    units : {"in", "mm"}
    groups : int
        How many groups of rows there are.
    """
    group = f"group {place.group}, " if groups > 1 else ""
    return (
        f"{group}row {place.row}, module {place.module}, at {format_length(place.x, units)}; "
        f"{format_length(place.y, units)}"
    )


def tolerance_text(study: Study, answer: ToleranceAnswer) -> str:
    """How a study's numbers move, which dead module hurts most, and what share of built signs meets it.

    Parameters
    ----------
    study : Study
    answer : ToleranceAnswer
    """
    lines = cabinet_text(study)
    if not answer.finished:
        lines += ["", "UNFINISHED: stopped before its end; what follows is what was come to"]
    if answer.slopes:
        lines += ["", *_slope_lines(study, answer)]
    if answer.worst_dead is not None:
        lines += ["", *_dead_lines(study, answer)]
    lines += ["", *_built_lines(study, answer)]
    told = [*study.remarks, *warnings(answer.own, study.units)]
    if told:
        lines += ["", *(f"WARNING: {text}" for text in told)]
    lines += ["", _verdict(answer)]
    rests_on = [followed(answer.own), LIMITS_OF_THE_MODEL]
    if answer.tolerance is not None:
        rests_on += [ASSUMED, *bowed(study.cabinet, answer.tolerance.spread)]
    lines += [f"  {text[0].upper()}{text[1:]}." for text in rests_on]
    return "\n".join(lines)


# --- sensitivity -----------------------------------------------------------------------------------------


def _slope_lines(study: Study, answer: ToleranceAnswer) -> list[str]:
    names = list(answer.slopes[0].numbers)
    own = ", ".join(f"{called(name)} {_number(name, answer.slopes[0].numbers[name])}" for name in names)
    heads = [_quantity(study, one) for one in answer.slopes]
    width = max(len(head) for head in heads) + 2
    lines = [f"How the numbers move, from {own}"]
    lines.append(" " * (width + 2) + "".join(f"{called(name):<{COLUMN}}" for name in names).rstrip())
    kinked = False
    for head, one in zip(heads, answer.slopes, strict=True):
        unit, _ = per_unit(one.quantity, study.units)
        cells = "".join(f"{_slope(one.slopes[name], unit):<{COLUMN}}" for name in names)
        kinked |= "|" in cells
        lines.append(f"  {head:<{width}}{cells}".rstrip())
    lines += [
        f"  {_HOW_MOVED[name]}" for name in _HOW_MOVED if any(one.quantity == name for one in answer.slopes)
    ]
    if kinked:
        lines.append(
            "  a | b: towards less | towards more, where the number has a kink or one side cannot be built (-)"
        )
    return lines


def _quantity(study: Study, one: Slopes) -> str:
    _, per = per_unit(one.quantity, study.units)
    lengths = not one.quantity.endswith("reflectance")
    value = format_length(one.value, study.units) if lengths else f"{one.value:.4g}"
    group = f" of group {one.group + 1}" if one.group is not None and len(study.cabinet.groups) > 1 else ""
    return f"{_QUANTITIES[one.quantity]}{group} {value}, {per}"


def _slope(slope: Slope, unit: float) -> str:
    if slope.slope is not None:
        return _signed(slope.slope * unit, slope.error * unit)
    below, above = (
        "-" if one is None else _signed(one * unit, slope.error * unit) for one in (slope.below, slope.above)
    )
    return f"{below} | {above}"


def _signed(value: float, error: float) -> str:
    """A slope to two digits, or to fewer where more are not known; 0 where not even its sign is."""
    if abs(value) <= error:
        return "0"
    return f"{'-' if value < 0 else '+'}{significant(abs(value), 2)}"


# --- a dead module ---------------------------------------------------------------------------------------


def _dead_lines(study: Study, answer: ToleranceAnswer) -> list[str]:
    dead = answer.worst_dead
    assert dead is not None
    places = module_places(study.cabinet)
    worst, count = dead.worst, sum(len(one.alike) for one in dead.tried)
    where = place_words(places[worst.module], study.units, groups=len(study.cabinet.groups))
    others = len(worst.alike) - 1
    alike = f", as its mirror image{'s' if others > 1 else ''} would" if others else ""
    lines = [f"One module dead, each of {count} in turn"]
    if not dead.finished:
        lines.append(f"  UNFINISHED: of {len(places)} modules only these")
    lines.append(f"  hurts most     {where}{alike}")
    lines.append(f"                 {_told(worst)}")
    if study.requirement.limits:
        hurt = sum(len(one.alike) for one in dead.tried if not one.met)
        lines.append(
            "                 no dead module alone breaks the requirement"
            if not hurt
            else f"                 {hurt} of {count} break the requirement, each alone"
        )
    return lines


def _told(one: DeadModule) -> str:
    return ", ".join(f"{called(name)} {_number(name, value)}" for name, value in one.numbers.items())


def _number(name: str, value: float) -> str:
    if name in LEVELS:
        return f"{significant(value, 4)} cd/m²"
    return f"{100 * value:.1f} %" if name in SHARES else f"{value:.3f}"


# --- built signs -----------------------------------------------------------------------------------------


def _built_lines(study: Study, answer: ToleranceAnswer) -> list[str]:
    found, asked = answer.tolerance, answer.asked
    if not asked.spread.any:
        return [
            "Built signs: nothing is said of what they differ in; give it under [tolerance], such as",
            (
                '  flux_scatter = 0.05, placing = "1/8 in", row_sag = "1/8 in", depth = "1/8 in", bow = "1/4 in", '
                "dead_modules = 1"
            ),
        ]
    limits = ", ".join(limit_told(name, limit) for name, limit in study.requirement.limits.items())
    lines = [
        f"Built signs: {asked.signs} drawn, seed {asked.seed}{f', for {limits}' if limits else ''}",
        *_spread_lines(asked.spread, study.units),
    ]
    if found is None:
        return [*lines, "  UNFINISHED: stopped before the first were lit"]
    if not found.finished:
        lines.append(f"  UNFINISHED: stopped after {len(found.signs)} of {found.asked} signs")
    if found.judged:
        least, most = found.interval
        lines.append(
            f"  meet it        {_share(found.share)} of them, {found.meeting} of {len(found.signs)}; of all signs so "
            f"built {_share(least)} to {_share(most)} with {percent(CONFIDENCE)} confidence ({INTERVAL})"
        )
    drawn = answer.own.deciding.worse.evenness
    rows = [
        [
            f"{called(name):<13}",
            *(_number(name, one) for one in found.percentiles(name)),
            _number(name, float(getattr(drawn, name))),
        ]
        for name in found.signs[0].numbers
    ]
    lines += ["", *columns(["", "5 % below", "half below", "95 % below", "as drawn"], rows)]
    return [*lines, "", *_worst_lines(study, found)]


def _share(share: float) -> str:
    """A share of signs to a tenth of a per cent, 0 and 100 only where it is all or none."""
    text = f"{100 * share:.1f}"
    if text == "100.0" and share < 1:
        return "more than 99.9 %"
    return "less than 0.1 %" if text == "0.0" and share > 0 else f"{text} %"


def _spread_lines(spread: Spread, units: Units) -> list[str]:
    def length(value: float) -> str:
        return format_length(value, units)

    told: dict[str, Callable[[], str]] = {
        "flux_scatter": lambda: (
            f"{percent(spread.flux_scatter)} standard deviation of a module's lumens, cut at three"
        ),
        "placing": lambda: (
            f"each module off its place by up to {length(spread.placing)}, along its row and across"
        ),
        "row_sag": lambda: f"middle of each horizontal row lower by up to {length(spread.row_sag)}",
        "depth": lambda: f"{length(spread.depth)} more or less",
        "bow": lambda: f"middle of each face up to {length(spread.bow)} out or in",
        "dead_modules": lambda: f"{spread.dead_modules} in each sign, anywhere",
    }
    return [f"  {name.replace('_', ' '):<15}{told[name]()}" for name in spread.kinds]


def _worst_lines(study: Study, found: Tolerance) -> list[str]:
    worst = found.worst
    told = ", ".join(f"{called(name)} {_number(name, value)}" for name, value in worst.numbers.items())
    lines = [f"  worst sign     number {worst.number}: {told}"]
    places = module_places(study.cabinet)
    groups = len(study.cabinet.groups)
    lines += [
        f"                 dead: {place_words(places[module], study.units, groups=groups)}"
        for module in worst.dead[:3]
    ]
    if len(worst.dead) > 3:
        lines.append(f"                 and {len(worst.dead) - 3} more")
    return lines


def _verdict(answer: ToleranceAnswer) -> str:
    light = light_followed(answer.own)
    own, found = answer.own, answer.tolerance
    verdict = own.deciding.verdict
    if not verdict.judged:
        return f"VERDICT ({light}): there is no requirement to meet"
    text = (
        f"VERDICT ({light}): as drawn the sign {'meets' if own.met else 'does NOT meet'} the requirement"
        f"{decided_by(own)} ({numbers_told(verdict)})"
    )
    if found is None:
        return text
    so_far = "" if found.finished else " so far"
    return f"{text}; as built {_share(found.share)} of {len(found.signs)} signs{so_far} do"


# --- CSV -------------------------------------------------------------------------------------------------


def tolerance_csv(found: Tolerance) -> bytes:
    """Every sign on a line of its own, nine significant digits.

    ``sign``, the numbers by their names, ``worst_of_actual_over_limit``, ``requirement_met`` (1 or 0, nothing where
    nothing is required), ``limits_missed``, ``face``, ``state`` and ``dead_modules`` (counted from 1 in the study's
    order); several with spaces between.

    Parameters
    ----------
    found : Tolerance
    """
    lines = [
        {
            "sign": one.number,
            **one.numbers,
            **outcome_part(one, judged=found.judged),
            "dead_modules": [module + 1 for module in one.dead],
        }
        for one in found.signs
    ]
    return table_bytes(list(lines[0]), lines)
