"""What a study says of how built signs differ from it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from pydantic import Field

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import MOST_PLACES
from lumsim.errors import InputError
from lumsim.search.spread import MOST_SCATTER, Spread, refuse_unfit
from lumsim.study.reports import Report
from lumsim.study.table import Table
from lumsim.study.values import Length, Number

__all__ = ["MOST_SIGNS", "ToleranceAsked", "ToleranceForm", "tolerance_asked"]

MOST_SIGNS = 1_000_000
"""Drawn for one answer. [1]"""

_TOGETHER = (("dead_modules",), ("depth", "bow"), ("placing", "row_sag"))
"""Keys that are refused together."""


class ToleranceForm(Table):
    """What built signs differ in, for `lumsim tolerance`; what is left out does not differ."""

    signs: Annotated[int, Number(least=1, most=MOST_SIGNS, whole=True)] = Field(
        default=1000, description="how many signs are drawn"
    )
    seed: Annotated[int, Number(least=0, most=2**63 - 1, whole=True)] = Field(
        default=1, description="of the draw: the same seed draws the same signs"
    )
    flux_scatter: Annotated[float, Number(least=0, most=MOST_SCATTER)] = Field(
        default=0.0,
        description="relative standard deviation of one module's lumens; normal, cut at three of them",
    )
    placing: Length = Field(
        default=Fraction(0),
        description="each module off its place along and across its row, evenly within plus or minus so much",
    )
    row_sag: Length = Field(
        default=Fraction(0),
        description="middle of a horizontal row lower than its ends, a parabola, evenly from 0 to so much",
    )
    depth: Length = Field(
        default=Fraction(0),
        description="depth of the built cabinet, evenly within plus or minus so much; modules stay above the back",
    )
    bow: Length = Field(
        default=Fraction(0),
        description="bulge of each face in its middle, outwards or inwards, evenly within plus or minus so much",
    )
    dead_modules: Annotated[int, Number(least=0, most=MOST_PLACES, whole=True)] = Field(
        default=0, description="in each sign, any of them alike"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceAsked:
    """How many signs are drawn, and what they differ in."""

    signs: int
    """[1]"""
    seed: int
    spread: Spread


def tolerance_asked(form: ToleranceForm, cabinet: Cabinet, report: Report) -> ToleranceAsked:
    """What a form says of built signs.

    Parameters
    ----------
    form : ToleranceForm
    cabinet : Cabinet
        As it should be.
    report : callable
        Told of each thing that does not fit.
    """
    lengths = {name: float(getattr(form, name)) for name in ("placing", "row_sag", "depth", "bow")}
    spread = Spread(flux_scatter=form.flux_scatter, dead_modules=form.dead_modules, **lengths)
    for names in _TOGETHER:
        try:
            refuse_unfit(cabinet, Spread(**{name: getattr(spread, name) for name in names}))
        except InputError as error:
            # The last that is given: it is the one too much.
            key = next(name for name in reversed(names) if getattr(spread, name) > 0)
            report(("tolerance", key), str(error), of_sizes=True)
    return ToleranceAsked(signs=form.signs, seed=form.seed, spread=spread)
