"""Several studies side by side, as what a picture of them is drawn from."""

from __future__ import annotations

from dataclasses import dataclass

from lumsim.pictures.comparison_plan import ShownFace
from lumsim.report.compare_text import compared_facts
from lumsim.report.notes import light_followed
from lumsim.study.comparing import Comparison

__all__ = ["ShownComparison", "shown_comparison"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownComparison:
    """What ``draw_comparison`` takes."""

    shown: tuple[ShownFace, ...]
    title: str
    facts: tuple[str, ...]


def shown_comparison(comparison: Comparison) -> ShownComparison:
    """Several studies ready to be drawn, each by its worse face in the state that decides."""
    shown = tuple(
        ShownFace(
            letter=one.letter,
            title=one.name,
            facts=compared_facts(one, comparison.units),
            simulation=one.simulation.deciding,
        )
        for one in comparison.studies
    )
    titles = list(dict.fromkeys(one.study.title for one in comparison.studies))
    tried = comparison.common_changes
    return ShownComparison(
        shown=shown,
        title=titles[0] if len(titles) == 1 else f"{len(shown)} studies side by side",
        facts=(
            light_followed(comparison.first.simulation),
            *((f"tried in all: {', '.join(tried)}",) if tried else ()),
        ),
    )
