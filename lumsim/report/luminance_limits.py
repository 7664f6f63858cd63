"""Limits on luminance in words and in a document: how a sign stands to them, how far to dim it, what helps."""

from __future__ import annotations

import math
from typing import Any

from lumsim.report.numbers import limit_words, missed_by, significant
from lumsim.simulation import Simulation
from lumsim.study.levels import Level, LumensNeeded, dim_share, lumens_needed, tightest_of
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.uniformity.requirement import LIMITS, Judged

__all__ = [
    "LUMINANCE_LIMITS",
    "dimming_part",
    "dimming_told",
    "level_cures",
    "limit_lines",
    "lumens_per_area",
    "what_limits_luminance",
    "which_words",
]

LUMINANCE_LIMITS = frozenset(UNITS)
"""Limits on the mean and on the lowest luminance of the visible face."""

_LEAST = ("min_luminance", "darkest_luminance")


def limit_lines(simulation: Simulation) -> list[str]:
    """How a sign stands to each limit on its luminance, and how far to dim it.

    Parameters
    ----------
    simulation : Simulation
    """
    lines = []
    for name in ("max_luminance", *_LEAST):
        found = tightest_of(simulation, name)
        if found is None:
            continue
        level, judged = found
        actual, limit = limit_words(judged)
        met = "met" if judged.met else f"NOT met, {missed_by(judged)}"
        lines.append(
            f"{NAMES[name].capitalize()} at full output{which_words(simulation, level)} {actual} "
            f"(limit {LIMITS[name]} {limit}: {met})"
        )
        if name == "max_luminance":
            lines += [f"  {told}" for told in dimming_told(simulation)]
    return lines


def dimming_told(simulation: Simulation) -> list[str]:
    """How far to dim a sign that is lighter than allowed; nothing of any other.

    Parameters
    ----------
    simulation : Simulation
    """
    found = tightest_of(simulation, "max_luminance")
    if found is None or found[1].met:
        return []
    share, least = dim_share(found[1].actual, found[1].limit), _hardest_least(simulation)
    if least is None:
        return [f"dimmed to {_share(share)} or less it is met; dimming changes no ratio"]
    level, judged = least
    floor = _rounded_up(judged.limit / judged.actual)
    if floor <= share:
        both = "both limits" if len(_leasts(simulation)) == 1 else "all limits on luminance"
        return [
            f"dimmed to between {_share(floor)} and {_share(share)} {both} are met; dimming changes no ratio"
        ]
    what = "mean" if judged.name == "min_luminance" else "lowest luminance"
    return [
        (
            f"dimmed to {_share(share)} or less it is met, but the {what}{which_words(simulation, level)} is then "
            f"{significant(share * judged.actual, 4)} cd/m², below the least required: no output meets both"
        )
    ]


def _leasts(simulation: Simulation) -> list[tuple[Level, Judged]]:
    """Each least luminance that is required, where it has the least to spare."""
    found = (tightest_of(simulation, name) for name in _LEAST)
    return [one for one in found if one is not None]


def _hardest_least(simulation: Simulation) -> tuple[Level, Judged] | None:
    """The least luminance that is missed first when a sign is dimmed; None: none is required."""
    return max(_leasts(simulation), key=lambda one: one[1].limit / one[1].actual, default=None)


def _rounded_up(share: float) -> float:
    """A share of full output to three digits, never less than it is."""
    step = 10.0 ** (math.floor(math.log10(share)) - 2)
    return math.ceil(share / step) * step


def _what_no_output_meets(simulation: Simulation) -> str:
    """Which limit on the least luminance lies too near the most allowed; nothing where some output meets all."""
    most, least = tightest_of(simulation, "max_luminance"), _hardest_least(simulation)
    if most is None or least is None:
        return ""
    apart = most[1].limit / most[1].actual < least[1].limit / least[1].actual
    return least[1].name if apart else ""


def which_words(simulation: Simulation, level: Level) -> str:
    """Of which face and in which state, where there are several.

    Parameters
    ----------
    simulation : Simulation
    level : Level
        One of its faces in one state.
    """
    side = "" if simulation.rear is None else f" of the {level.lit.side} face"
    if simulation.cabinet.mirrored_faces:
        side = " of each face"
    return side + ("" if simulation.aged is None else f" when {level.state}")


def lumens_per_area(simulation: Simulation, needed: LumensNeeded) -> str:
    """Lumens for a luminance, by the face's area in metres and feet.

    Parameters
    ----------
    simulation : Simulation
    needed : LumensNeeded
    """
    face = "face" if simulation.rear is None else "one face"
    metre, foot = (significant(value, 4) for value in (needed.per_area, needed.per_square_foot))
    return f"{metre} lm per m² of {face} ({foot} lm per ft²)"


def _share(share: float) -> str:
    """A share to dim to in per cent, with the three digits it has: rounding it here could lift it again."""
    return f"{share * 100:.3g} %"


def level_cures(simulation: Simulation) -> list[str]:
    """What helps a luminance that misses its limit, on whatever face and in whatever state."""
    none = "no output and no other modules meet both limits on luminance"
    more_even = "move a limit, or make the face more even"
    too_near = _what_no_output_meets(simulation)
    if too_near == "darkest_luminance":
        return [f"{none}: the mean and the darkest place lie further apart than these; {more_even}"]
    if too_near:
        states = "new and aged" if simulation.aged is not None else "front and rear"
        return [f"{none}: {states} lie further apart than these; move a limit, or make the two more alike"]
    cures = []
    too_bright = tightest_of(simulation, "max_luminance")
    if too_bright is not None and not too_bright[1].met:
        share = dim_share(too_bright[1].actual, too_bright[1].limit)
        cures.append(f"against too much light dim to {_share(share)}, or fewer or weaker modules")
    too_dark = tightest_of(simulation, "min_luminance")
    if too_dark is not None and not too_dark[1].met:
        needed = lumens_needed(simulation, too_dark[1].limit)
        cures.append(f"against too little light more lumens, {lumens_per_area(simulation, needed)}")
    darkest = tightest_of(simulation, "darkest_luminance")
    if darkest is not None and not darkest[1].met:
        needed = lumens_needed(simulation, darkest[1].limit, of="darkest_luminance")
        cures.append(
            f"against too little light in the darkest place more lumens, {lumens_per_area(simulation, needed)}, or a "
            "more even face"
        )
    return cures


def what_limits_luminance(name: str) -> str:
    """What keeps a search from meeting a limit on luminance.

    Parameters
    ----------
    name : str
        Of ``LUMINANCE_LIMITS``.
    """
    if name == "max_luminance":
        return "too much light: dim the sign (which changes no ratio), or take weaker modules or a darker face or film"
    more = "modules of more lumens, or closer along the rows, or a whiter inside"
    if name == "darkest_luminance":
        return f"too little light in the darkest place: {more}, or outer rows nearer the returns"
    return f"too little light: {more}"


def dimming_part(simulation: Simulation) -> dict[str, Any] | None:
    """How far to dim a sign that is lighter than allowed, for a document; None of any other."""
    found = tightest_of(simulation, "max_luminance")
    if found is None or found[1].met:
        return None
    level, judged = found
    return {
        "dim_to": dim_share(judged.actual, judged.limit),
        "face": level.lit.side,
        "state": level.state,
        "note": "limits are judged at full output; dimming changes no ratio",
    }
