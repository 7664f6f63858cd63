"""The layouts that a search found side by side: exactly and to build, each with its own numbers and margins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lumsim.report.layout_text import layout_told, positions
from lumsim.report.numbers import limit_words, ratio, spared
from lumsim.search.trying import Found, Tried
from lumsim.uniformity.names import NAMES, percent
from lumsim.uniformity.requirement import LIMITS
from lumsim.units import Units

__all__ = ["columns_of", "side_by_side"]

LABEL = 16
"""Width of the names, where none is longer. [1]"""

_ALWAYS = ("max_to_min", "stripe_max_to_min", "edge_dimming", "hot_spot_contrast")

_Cell = tuple[str, str]
"""A value, and what is to spare of a limit."""


def columns_of(found: Found) -> dict[str, Tried]:
    """The layouts to tell of, by their headings: exactly and to build, once where they are one; or the nearest.

    Parameters
    ----------
    found : Found
    """
    if found.exact is None:
        return {"nearest": found.best}
    if found.buildable is None:
        return {"exactly": found.exact}
    if found.buildable is found.exact:
        return {"exactly and to build": found.exact}
    return {"exactly": found.exact, "to build": found.buildable}


def side_by_side(found: Found, units: Units) -> list[str]:
    """A table: the lengths of each layout, then each number with what it has to spare, in per cent of the limit.

    Below it stands where the rows of the best are.

    Parameters
    ----------
    found : Found
    units : {"in", "mm"}
    """
    columns = columns_of(found)
    layouts = [
        layout_told(found, one, units, exactly=heading == "exactly") for heading, one in columns.items()
    ]
    numbers = [_numbers(one) for one in columns.values()]
    limits = {one.name: f"{LIMITS[one.name]} {limit_words(one)[1]}" for one in found.best.verdict.judged}
    lines = [("", [(heading, "") for heading in columns], "limit" if limits else "")]
    lines += [(label, [(one.get(label, ""), "") for one in layouts], "") for label in _labels(layouts)]
    lines += [
        (NAMES[name], [one[name] for one in numbers], limits.get(name, "")) for name in _labels(numbers)
    ]
    return _aligned(lines, {"rows at": positions(found.best, units)})


def _labels(columns: Sequence[Mapping[str, object]]) -> list[str]:
    """Every name of some columns, in their order."""
    return list(dict.fromkeys(label for column in columns for label in column))


def _numbers(one: Tried) -> dict[str, _Cell]:
    """Each number that is limited, with what it has to spare, and those that are always told; by their names."""
    judged = {limit.name: limit for limit in one.verdict.judged}
    told: dict[str, _Cell] = {}
    for name in LIMITS:
        if name in judged:
            limit = judged[name]
            told[name] = limit_words(limit)[0], f"{'' if limit.met else 'NOT met, '}{spared(limit)}"
        elif name in _ALWAYS:
            value = float(getattr(one.evenness, name))
            told[name] = (percent(value) if name == "hot_spot_contrast" else ratio(value)), ""
    return told


def _aligned(lines: Sequence[tuple[str, Sequence[_Cell], str]], below: Mapping[str, str]) -> list[str]:
    """Lines of a name, a cell for each column and a limit, each as wide as its widest; then names and texts."""
    name = max(LABEL, *(len(label) + 2 for label, _, _ in lines))
    written = [""] * len(lines)
    for column in range(len(lines[0][1])):
        cells = [one[column] for _, one, _ in lines]
        value = max((len(value) for value, spare in cells if spare), default=0)
        texts = [f"{said:<{value}}  {spare}" if spare else said for said, spare in cells]
        wide = max(len(text) for text in texts)
        written = [f"{before}{text:<{wide}}   " for before, text in zip(written, texts, strict=True)]
    table = [(label, f"{cells}{limit}") for (label, _, limit), cells in zip(lines, written, strict=True)]
    return [f"  {label:<{name}}{text}".rstrip() for label, text in (*table, *below.items())]
