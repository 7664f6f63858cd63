"""What a study says of how built signs differ from it."""

from __future__ import annotations

from dataclasses import dataclass

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError
from lumsim.search.spread import Spread, refuse_unfit
from lumsim.study.form import ToleranceForm
from lumsim.study.reports import Report

__all__ = ["ToleranceAsked", "tolerance_asked"]

_TOGETHER = (("dead_modules",), ("depth", "bow"), ("placing", "row_sag"))
"""Keys that are refused together."""


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
