"""The numbers of several studies side by side, and by how much each differs from the first study's."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from lumsim.report.compare_built import NONE, Row
from lumsim.report.light_text import watts_of
from lumsim.report.numbers import limit_told, limit_words, ratio, significant, spared
from lumsim.study.comparing import Compared, Comparison
from lumsim.uniformity.names import NAMES, SHARES, percent
from lumsim.units import format_length

__all__ = ["Difference", "NumberRow", "difference", "number_rows", "numbers_of", "requirement_rows"]

_EVENNESS = (
    "max_to_min",
    "stripe_max_to_min",
    "edge_dimming",
    "hot_spot_contrast",
    "min_to_mean",
    "coefficient_of_variation",
)

_LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{name: NAMES[name] for name in _EVENNESS},
        "mean_cd_m2": "mean [cd/m²]",
        "max_cd_m2": "brightest [cd/m²]",
        "min_cd_m2": "darkest [cd/m²]",
        "modules": "modules",
        "lumens": "lumens [lm]",
        "watts": "watts [W]",
    }
)
"""Of the numbers that are held against each other, in the order in which they are told."""

ROUNDING = 1e-9
"""Up to which a difference is one of the last bits, as a share of the number. [1]"""


class Difference(NamedTuple):
    """One number against the first study's."""

    absolute: float
    """this one less the first"""
    share: float | None
    """of the first; None where that is 0 [1]"""


class NumberRow(NamedTuple):
    """One number of every study, and how each but the first differs."""

    label: str
    cells: tuple[str, ...]
    """a cell for each study"""
    against: tuple[str, ...]
    """a cell for each study but the first"""


def numbers_of(one: Compared) -> dict[str, float | None]:
    """Every number that is held against the first study's, by its name; None where it is not known.

    They are of the worse face in the state that decides: ratios [1], luminances [cd/m²], then modules [1], what they
    give in that state [lm], and their watts [W].
    """
    even, deciding = one.lit.evenness, one.simulation.deciding
    return {
        **{name: float(getattr(even, name)) for name in _EVENNESS},
        "mean_cd_m2": even.mean,
        "max_cd_m2": even.brightest.value,
        "min_cd_m2": even.darkest.value,
        "modules": deciding.cabinet.modules,
        "lumens": deciding.ledger.emitted,
        "watts": watts_of(one.study.cabinet),
    }


def difference(first: float | None, other: float | None) -> Difference | None:
    """How a number differs from the first study's; None where one of them is not known.

    Parameters
    ----------
    first, other : float, optional
    """
    if first is None or other is None:
        return None
    if abs(other - first) <= ROUNDING * abs(first):
        return Difference(0, None if first == 0 else 0.0)
    return Difference(other - first, None if first == 0 else other / first - 1)


def number_rows(comparison: Comparison) -> list[NumberRow]:
    """Every number of every study as told to a person, with the differences against the first.

    Shares, which are told in per cent, differ by points; all else by so much, and by so many per cent of the first.

    Parameters
    ----------
    comparison : Comparison
    """
    numbers = [numbers_of(one) for one in comparison.studies]
    rows = _answering(comparison)
    for name, label in _LABELS.items():
        values = [one[name] for one in numbers]
        if all(value is None for value in values):
            continue
        told = tuple(
            NONE if value is None else _told(one, name, value)
            for one, value in zip(comparison.studies, values, strict=True)
        )
        against = tuple(_difference_told(name, difference(values[0], value)) for value in values[1:])
        rows.append(NumberRow(label, told, against))
        if name == "stripe_max_to_min":
            rows += _windows(comparison)
    return rows


def _answering(comparison: Comparison) -> list[NumberRow]:
    """By which face and in which state each answers, where there are several of either."""
    cells = []
    for one in comparison.studies:
        told = []
        if one.simulation.rear is not None:
            told.append("each face" if one.simulation.cabinet.mirrored_faces else f"{one.lit.side} face")
        if one.simulation.aged is not None:
            told.append(one.state)
        cells.append(", ".join(told) or "the face")
    if set(cells) == {"the face"}:
        return []
    return [NumberRow("told of", tuple(cells), ("",) * len(comparison.others))]


def _windows(comparison: Comparison) -> list[NumberRow]:
    """What stripes are averaged over, where it is not the same."""
    cells = tuple(format_length(one.lit.evenness.window, comparison.units) for one in comparison.studies)
    return (
        [NumberRow("  averaged over", cells, ("",) * len(comparison.others))] if len(set(cells)) > 1 else []
    )


def _told(one: Compared, name: str, value: float) -> str:
    judged = {limit.name: limit for limit in one.lit.verdict.judged}
    if name in judged:
        return percent(value) if name in SHARES else limit_words(judged[name])[0]
    if name in SHARES:
        return percent(value)
    if name in _EVENNESS:
        return ratio(value)
    return f"{value:.0f}" if name == "modules" else significant(value, 4)


def _difference_told(name: str, found: Difference | None) -> str:
    if found is None:
        return NONE
    if found.absolute == 0:
        return "0"
    if name in SHARES:
        if abs(found.absolute) < 0.0005:
            return f"less than 0.1 points {'higher' if found.absolute > 0 else 'lower'}"
        return f"{_signed(found.absolute * 100, 1)} points"
    decimals = 2 if name in _EVENNESS else 0 if name == "modules" else None
    if decimals is not None and abs(found.absolute) < 0.5 * 10.0**-decimals:
        return f"less than 0.01 {'higher' if found.absolute > 0 else 'lower'}"
    absolute = _signed(found.absolute, decimals)
    return absolute if found.share is None else f"{absolute} ({_percent(found.share)})"


def _percent(share: float) -> str:
    told = percent(abs(share))
    return told if told.startswith("less") else f"{'+' if share > 0 else '-'}{told}"


def _signed(value: float, decimals: int | None) -> str:
    """A difference with its sign, to three digits where no decimals are named."""
    told = significant(abs(value)) if decimals is None else f"{abs(value):.{decimals}f}"
    return f"{'+' if value > 0 else '-'}{told}"


def requirement_rows(comparison: Comparison) -> list[Row]:
    """Each limit of each study: the number, and how much is to spare; last whether each meets all of its own.

    A limit that two studies set differently has a line for each value.

    Parameters
    ----------
    comparison : Comparison
    """
    judged = [
        {(limit.name, limit.limit): limit for limit in one.lit.verdict.judged} for one in comparison.studies
    ]
    order = list(NAMES)
    limits = sorted({key for one in judged for key in one}, key=lambda key: (order.index(key[0]), key[1]))
    rows = [
        Row(
            limit_told(*key),
            tuple(
                NONE
                if key not in one
                else f"{limit_words(one[key])[0]}, {'' if one[key].met else 'NOT met, '}{spared(one[key])}"
                for one in judged
            ),
        )
        for key in limits
    ]
    if limits:
        states = tuple(
            NONE if not own else "met" if one.simulation.met else "NOT met"
            for one, own in zip(comparison.studies, judged, strict=True)
        )
        rows.append(Row("requirement", states))
    return rows
