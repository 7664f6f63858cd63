"""The keys of a study file's [page] table: what can be chosen on a page, and what its walls are painted."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from pydantic import Field

from lumsim.study.reports import Report, length_shown
from lumsim.study.table import Table
from lumsim.study.values import Number, Size
from lumsim.units import Units

__all__ = ["MOST_DEPTHS", "MOST_PITCHES", "PageAsked", "PageForm", "page_asked"]

MOST_PITCHES, MOST_DEPTHS = 20, 15
"""That a page lets its reader choose from: more would not fit a telephone's width, nor a mail. [1]"""


class PageForm(Table):
    """What can be chosen on the page that `lumsim page` makes; every choice is lit beforehand."""

    pitches: Annotated[list[Size], Field(min_length=1, max_length=MOST_PITCHES)] | None = Field(
        default=None,
        description="row pitches besides the rows' own; about a dozen from half to twice it unless said",
    )
    depths: Annotated[list[Size], Field(min_length=1, max_length=MOST_DEPTHS)] | None = Field(
        default=None,
        description="depths besides the cabinet's own; some ten from half to twice it unless said",
    )
    repainted: Annotated[float, Number(least=0, most=1)] | None = Field(
        default=None,
        description="reflectance of back and returns repainted; 0.05, matt black, where they are light, else 0.85, "
        "unless said",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PageAsked:
    """What a study lets the reader of its page choose; None or empty where it does not say."""

    pitches: tuple[Fraction, ...] = ()
    """rising [m]"""
    depths: tuple[Fraction, ...] = ()
    """rising [m]"""
    repainted: float | None = None
    """[1]"""


def page_asked(form: PageForm, units: Units, report: Report) -> PageAsked:
    """What a form lets the reader of a page choose.

    Parameters
    ----------
    form : PageForm
    units : {"in", "mm"}
        Of the study, for messages.
    report : callable
        Told of lengths that stand there twice.
    """
    asked = {}
    for key, lengths in (("pitches", form.pitches or []), ("depths", form.depths or [])):
        for one in sorted({one for one in lengths if lengths.count(one) > 1}):
            report(("page", key), f"names {length_shown(one, units)} twice: once is enough")
        asked[key] = tuple(sorted(lengths))
    return PageAsked(pitches=asked["pitches"], depths=asked["depths"], repainted=form.repainted)
