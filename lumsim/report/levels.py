"""Luminance, ageing, films, and lumens for a wanted luminance, as text and as parts of a JSON document."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lumsim.cabinet.cabinet import Side
from lumsim.report.luminance_limits import dimming_part, limit_lines, lumens_per_area, which_words
from lumsim.report.notes import light_followed
from lumsim.report.numbers import ratio, significant
from lumsim.search.trying import Tried
from lumsim.simulation import LitFace, Simulation
from lumsim.study.levels import (
    Level,
    State,
    levels,
    lumens_needed,
    luminance_to_reach,
    tightest_of,
)
from lumsim.study.reading import Study
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.names import NAMES, SHARES, percent
from lumsim.uniformity.requirement import Judged, standing

__all__ = [
    "aged_part",
    "decided_by",
    "level_document",
    "level_lines",
    "other_state",
    "state_of",
    "state_words",
    "study_lines",
    "tried_state",
    "worse_state",
]

FILM = "luminance only; what it throws back inside is not modelled"

_COMPARED = ("max_to_min", "stripe_max_to_min", "edge_dimming", "min_to_mean", "coefficient_of_variation")

_LEVELS: dict[str, Callable[[Evenness], float]] = {
    "mean": lambda even: even.mean,
    "brightest": lambda even: even.brightest.value,
    "darkest": lambda even: even.darkest.value,
}

_AGED = (
    "face", "illuminance", "luminance", "uniformity", "viewing", "flux", "requirement", "requirement_met", "faces",
)  # fmt: skip


def study_lines(study: Study) -> list[str]:
    """What a study says of films, ageing and luminance, for the head of a text."""
    lines = []
    cabinet = study.cabinet
    alike = cabinet.rear == cabinet.face
    for side, face in cabinet.faces[:1] if alike else cabinet.faces:
        if face.film_transmittance < 1:
            which = f"{side} " if cabinet.double_sided and not alike else ""
            lines.append(f"  film      {which}transmittance {face.film_transmittance:g}: {FILM}")
    if study.ageing is not None:
        lines.append(f"  ageing    {_ageing_words(study)}")
    asked = study.requirement
    told = [
        f"{words} {limit:.10g} cd/m²"
        for words, limit in (
            ("at most", asked.max_luminance),
            ("at least", asked.min_luminance),
            ("wanted", asked.wanted_luminance),
        )
        if limit is not None
    ]
    if told:
        lines.append(f"  luminance {', '.join(told)}: mean of the visible face at full output")
    if asked.darkest_luminance is not None:
        lines.append(f"  darkest   at least {asked.darkest_luminance:.10g} cd/m² at full output")
    return lines


def _ageing_words(study: Study) -> str:
    assert study.ageing is not None
    return (
        f"lumens × {study.ageing.maintenance_factor:g}, inner reflectances × {study.ageing.dirt_factor:g}; "
        "transmittance as new"
    )


# --- text of a lit cabinet -------------------------------------------------------------------------------


def level_lines(study: Study, simulation: Simulation) -> list[str]:
    """How the mean luminance stands to what is asked for, what lumens it takes, and the cabinet new and aged.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    """
    hundred = lumens_per_area(simulation, lumens_needed(simulation, 100.0))
    lines = [
        *limit_lines(simulation),
        (
            f"Each 100 cd/m² of mean luminance takes {hundred} in this box with this layout"
            f"{_resting_on(simulation)}"
        ),
    ]
    wanted = luminance_to_reach(simulation, study.requirement)
    if wanted is not None:
        needed = lumens_needed(simulation, wanted)
        flux = simulation.cabinet.emitters().flux
        average = " on average" if (flux != flux[0]).any() else ""
        lines.append(
            f"  for {wanted:.10g} cd/m²: {lumens_per_area(simulation, needed)}, {significant(needed.per_module, 4)} lm "
            f"a module{average} with {len(flux)} of them"
        )
        most = tightest_of(simulation, "max_luminance")
        if most is not None:
            brightest = most[1].actual * needed.total / simulation.ledger.emitted
            if brightest > most[1].limit:
                lines.append(
                    f"  but the mean{which_words(simulation, most[0])} is then {significant(brightest, 4)} cd/m², "
                    f"above the most allowed of {most[1].limit:.10g} cd/m²"
                )
    if simulation.aged is not None:
        lines += ["", *_new_and_aged(study, simulation, simulation.aged)]
    return lines


def _resting_on(simulation: Simulation) -> str:
    told = []
    if simulation.aged is not None:
        told.append("of new modules, reached when aged")
    if simulation.rear is not None and not simulation.cabinet.mirrored_faces:
        told.append("on the darker face")
    if simulation.reflected is None:
        told.append("by direct light only")
    return f" ({', '.join(told)})" if told else ""


def _new_and_aged(study: Study, new: Simulation, old: Simulation) -> list[str]:
    lines = []
    pairs = list(zip(new.faces, old.faces, strict=True))
    for one, other in pairs[:1] if new.cabinet.mirrored_faces else pairs:
        which = f", {one.side} face" if len(pairs) > 1 and not new.cabinet.mirrored_faces else ""
        heading = f"New and aged{which}"
        lines.append(f"{heading:<25}{'new':>9}{'aged':>9}  {_ageing_words(study)}")
        for title, level_of in _LEVELS.items():
            values = (significant(level_of(lit.evenness), 4) for lit in (one, other))
            lines.append(f"  {title:<23}" + "".join(f"{value:>9}" for value in values) + "  cd/m²")
        for name in _COMPARED:
            lines.append(f"  {NAMES[name]:<23}" + "".join(f"{_number(lit, name):>9}" for lit in (one, other)))
        if one.verdict.judged:
            states = ("met" if lit.verdict.met else "NOT met" for lit in (one, other))
            lines.append(f"  {'requirement':<23}" + "".join(f"{state:>9}" for state in states))
    return lines


def _number(lit: LitFace, name: str) -> str:
    value = float(getattr(lit.evenness, name))
    return percent(value) if name in SHARES else ratio(value)


# --- verdicts ----------------------------------------------------------------------------------------------


def state_of(simulation: Simulation) -> State:
    """The state that decides."""
    return "new" if simulation.deciding is simulation else "aged"


def worse_state(simulation: Simulation, side: Side) -> Level:
    """The state in which one face stands lower; of equals the new one.

    Parameters
    ----------
    simulation : Simulation
    side : {"front", "rear"}
    """
    own = [level for level in levels(simulation) if level.lit.side == side]
    return min(own, key=lambda one: standing(one.lit.evenness.max_to_min, one.lit.verdict))


def decided_by(simulation: Simulation, level: Level | None = None) -> str:
    """In which state a verdict is decided, to follow a word; nothing where there is one state.

    Parameters
    ----------
    simulation : Simulation
    level : Level, optional
        The face and state that are meant; unless said, those that decide on the whole.
    """
    if simulation.aged is None:
        return ""
    return f" when {state_of(simulation) if level is None else level.state}"


def state_words(simulation: Simulation) -> str:
    """In which states the requirement is met, or in which it is missed, for the head of a verdict."""
    if simulation.aged is None:
        return ""
    return ", new and aged" if simulation.met else f",{decided_by(simulation)}"


def other_state(simulation: Simulation) -> tuple[State, list[Judged]]:
    """The state that does not decide, and what it misses; nothing where there is one state."""
    if simulation.aged is None:
        return "new", []
    state: State = "aged" if state_of(simulation) == "new" else "new"
    other = simulation.aged if state == "aged" else simulation
    return state, [one for one in other.verdict.judged if not one.met]


# --- JSON --------------------------------------------------------------------------------------------------


def level_document(study: Study, simulation: Simulation) -> dict[str, Any]:
    """What stands in a document beside the numbers of the face: the verdict on all states, dimming, lumens.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    """
    hundred = lumens_needed(simulation, 100.0)
    wanted = luminance_to_reach(simulation, study.requirement)
    needed = None if wanted is None else lumens_needed(simulation, wanted)
    return {
        "requirement_met": simulation.met if simulation.verdict.judged else None,
        "dimming": dimming_part(simulation),
        "film": _film(simulation),
        "lumens_for_luminance": {
            "wanted_cd_m2": wanted,
            "lm_per_m2": None if needed is None else needed.per_area,
            "lm_per_ft2": None if needed is None else needed.per_square_foot,
            "lm_per_module": None if needed is None else needed.per_module,
            "per_100_cd_m2_lm_per_m2": hundred.per_area,
            "per_100_cd_m2_lm_per_ft2": hundred.per_square_foot,
            "face": hundred.level.lit.side,
            "state": hundred.level.state,
            "light": light_followed(simulation),
        },
    }


def _film(simulation: Simulation) -> dict[str, Any] | None:
    passed = {side: face.film_transmittance for side, face in simulation.cabinet.faces}
    return None if min(passed.values()) == 1 else {"transmittance": passed, "note": f"film: {FILM}"}


def aged_part(study: Study, document: dict[str, Any]) -> dict[str, Any]:
    """What a document tells of the aged cabinet.

    Parameters
    ----------
    study : Study
        With ageing.
    document : dict
        Of the aged cabinet alone.
    """
    assert study.ageing is not None
    return {
        "maintenance_factor": study.ageing.maintenance_factor,
        "dirt_factor": study.ageing.dirt_factor,
        **{key: document[key] for key in _AGED if key in document},
    }


def tried_state(one: Tried) -> State:
    """The state that decides on a layout that a search tried."""
    return "aged" if one.aged else "new"
