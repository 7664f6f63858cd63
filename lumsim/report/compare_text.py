"""Several studies side by side as text."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence

from lumsim.report.columns import columns, plural
from lumsim.report.compare_built import NONE, Row, built_rows
from lumsim.report.compare_numbers import number_rows, requirement_rows
from lumsim.report.faces_text import face_words
from lumsim.report.light_text import exactness, numbers_told, verdict_line, watts_of
from lumsim.report.notes import LIMITS_OF_THE_MODEL, followed, light_followed, warnings
from lumsim.report.numbers import ratio, significant
from lumsim.report.sentences import sentence
from lumsim.study.comparing import Compared, Comparison
from lumsim.uniformity.names import NAMES
from lumsim.units import Units, format_size

__all__ = ["alike_together", "compare_text", "compared_facts", "remarks_rows", "units_told"]

WIDTH = 110
"""Of a line of a table. [characters]"""

_BESIDE = 2
"""Studies told beside the first in one block of columns. [1]"""

_UNIT_WORDS: dict[Units, str] = {"in": "inches", "mm": "millimetres"}


def compare_text(comparison: Comparison) -> str:
    """Everything that `compare` has to say, as lines of text.

    Parameters
    ----------
    comparison : Comparison
    """
    studies = comparison.studies
    lines = [f"{len(studies)} studies side by side, held against {studies[0].letter}"]
    lines += [f"  {one.letter}  {one.name}" for one in studies]
    if comparison.common_changes:
        lines.append("  tried in all: " + ", ".join(comparison.common_changes))
    lines += units_told(comparison)
    built = built_rows(comparison)
    lines += ["", "What is built otherwise" if built else "All is built alike"]
    if built:
        lines += _blocks(comparison, lambda shown: _built_block(comparison, built, shown))
    lines += ["", _numbers_heading(comparison)]
    lines += _blocks(comparison, lambda shown: _numbers_block(comparison, shown))
    lines += [f"  {told}" for told in _exactness(comparison)]
    limits = requirement_rows(comparison)
    if limits:
        differ = "" if comparison.same_requirement else "; they differ: each study is judged by its own"
        lines += ["", f"What is required, and how much is to spare of each limit{differ}"]
        lines += _blocks(comparison, lambda shown: _limits_block(comparison, limits, shown))
    told = remarks_rows(comparison)
    if told:
        lines += ["", *(f"WARNING {letters}: {text}" for letters, text in told)]
    lines.append("")
    lines += [verdict_line(one.simulation).replace("VERDICT", f"VERDICT {one.letter}", 1) for one in studies]
    lines += [f"  {sentence(text)}" for text in _lettered(comparison, lambda one: followed(one.simulation))]
    return "\n".join([*lines, f"  {sentence(LIMITS_OF_THE_MODEL)}"])


def units_told(comparison: Comparison) -> list[str]:
    """In what lengths are told, where studies have them otherwise; else nothing.

    Parameters
    ----------
    comparison : Comparison
    """
    others = [one.letter for one in comparison.others if one.study.units != comparison.units]
    if not others:
        return []
    (own,) = {one.study.units for one in comparison.others if one.study.units != comparison.units}
    there = f"{', '.join(others)} {'has' if len(others) == 1 else 'have'} {_UNIT_WORDS[own]}"
    return [
        f"  lengths in {_UNIT_WORDS[comparison.units]}, as {comparison.first.letter} has them; {there} in the study"
    ]


def remarks_rows(comparison: Comparison) -> list[tuple[str, str]]:
    """Every warning once, with the letters of the studies that it is for.

    Parameters
    ----------
    comparison : Comparison
    """
    return alike_together(
        (one.letter, text)
        for one in comparison.studies
        for text in (*one.study.remarks, *warnings(one.simulation, comparison.units))
    )


def alike_together(told: Iterator[tuple[str, str]]) -> list[tuple[str, str]]:
    """Texts that are said of several studies, once, with their letters: ``A, C``.

    Parameters
    ----------
    told : iterator of (letter, text)
    """
    letters: dict[str, list[str]] = {}
    for letter, text in told:
        letters.setdefault(text, []).append(letter)
    return [(", ".join(dict.fromkeys(of)), text) for text, of in letters.items()]


def compared_facts(one: Compared, units: Units) -> tuple[str, ...]:
    """Lines to print with the picture of a study: what it is, its numbers, the verdict on it.

    Parameters
    ----------
    one : Compared
    units : {"in", "mm"}
    """
    cabinet, even, verdict = one.study.cabinet, one.lit.evenness, one.lit.verdict
    box, watts = cabinet.box, watts_of(one.study.cabinet)
    built = [format_size((box.width, box.height, box.depth), units), plural(cabinet.modules, "module")]
    if watts is not None:
        built.append(f"{watts:.4g} W")
    numbers = [
        f"{NAMES[name]} {ratio(getattr(even, name))}"
        for name in ("max_to_min", "stripe_max_to_min", "edge_dimming")
    ]
    numbers.append(f"mean {significant(even.mean)} cd/m²")
    aged = f"{one.state}: " if one.simulation.aged is not None else ""
    state = "requirement met" if one.simulation.met else "requirement NOT met"
    judged = f"{state}: {numbers_told(verdict)}" if verdict.judged else "nothing required"
    return " · ".join(built), f"{aged}{' · '.join(numbers)}", judged


def _numbers_heading(comparison: Comparison) -> str:
    followed_by = light_followed(comparison.first.simulation)
    faces = {face_words(one.simulation) for one in comparison.studies}
    return f"How even, {followed_by}" + (
        "" if faces == {"the face"} else "; of two faces the worse one is told of"
    )


def _blocks(comparison: Comparison, block: Callable[[Sequence[int]], list[str]]) -> list[str]:
    """Lines of a table for the first study and some others at a time, so that each block is narrow enough."""
    others = range(1, len(comparison.studies))
    lines: list[str] = []
    for start in range(0, len(others), _BESIDE):
        lines += [*([""] if lines else []), *block([0, *others[start : start + _BESIDE]])]
    return lines


def _built_block(comparison: Comparison, rows: Sequence[Row], shown: Sequence[int]) -> list[str]:
    """What is built otherwise in these studies: what only others differ in is theirs."""
    differing = [row for row in rows if len({row.cells[number] for number in shown}) > 1]
    if not differing:
        return [f"  {', '.join(comparison.studies[number].letter for number in shown)}  alike"]
    return _wrapped_block(comparison, differing, shown)


def _limits_block(comparison: Comparison, rows: Sequence[Row], shown: Sequence[int]) -> list[str]:
    """The limits that are set in these studies."""
    own = [row for row in rows if any(row.cells[number] != NONE for number in shown)]
    letters = ", ".join(comparison.studies[number].letter for number in shown)
    return _wrapped_block(comparison, own, shown) if own else [f"  {letters}  nothing"]


def _wrapped_block(comparison: Comparison, rows: Sequence[Row], shown: Sequence[int]) -> list[str]:
    """Lines of a table whose cells are wrapped so that it is narrow enough."""
    label = max(len(label) for label, _ in rows) + 2
    cell = (WIDTH - 2 - label) // len(shown) - 2
    wrapped: list[list[str]] = []
    for name, cells in rows:
        parts = [textwrap.wrap(cells[number], cell) for number in shown]
        for line in range(max(len(part) for part in parts)):
            wrapped.append(
                ["" if line else name, *(part[line] if line < len(part) else "" for part in parts)]
            )
    return columns(["", *(comparison.studies[number].letter for number in shown)], wrapped)


def _numbers_block(comparison: Comparison, shown: Sequence[int]) -> list[str]:
    first = comparison.first.letter
    heads = [""]
    for number in shown:
        heads.append(comparison.studies[number].letter)
        if number:
            heads.append(f"against {first}")
    rows = []
    for row in number_rows(comparison):
        cells = [row.label]
        for number in shown:
            cells.append(row.cells[number])
            if number:
                cells.append(row.against[number - 1])
        rows.append(cells)
    return columns(heads, rows)


def _lettered(comparison: Comparison, told_of: Callable[[Compared], str]) -> list[str]:
    """What is said of each study: once where it is the same of all, else with the letters that it is for."""
    told = alike_together((one.letter, told_of(one)) for one in comparison.studies)
    return [text if len(told) == 1 else f"{letters}: {text}" for letters, text in told]


def _exactness(comparison: Comparison) -> list[str]:
    return _lettered(comparison, lambda one: exactness(one.simulation.deciding))
