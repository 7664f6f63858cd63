"""What if: the face with some modules dark, and which of many such losses hurts most."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.interior import Interior
from lumsim.search.trying import Progress, Trials, Tried
from lumsim.sheet.strings import with_light
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["Failure", "Loss", "LossKind", "worst_of"]

LossKind = Literal["module", "row", "supply", "joint"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Something that fails, and the modules that go dark with it."""

    kind: LossKind
    what: str
    """in words, such as ``row 3``"""
    modules: tuple[int, ...]
    """by their number in the cabinet, from 0"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """The face after a loss."""

    loss: Loss
    tried: Tried | None
    """lit whole; None where no light is left at all"""
    looked_at: int
    """how many losses of that kind were looked at [1]"""
    finished: bool = True
    """whether all of them were"""


def worst_of(
    cabinet: Cabinet,
    requirement: Requirement,
    losses: Iterable[Loss],
    *,
    lighting: Lighting = ALL_LIGHT,
    interior: Interior | None = None,
    ageing: Ageing | None = None,
    progress: Progress | None = None,
) -> Failure | None:
    """The loss after which the face stands worst: each is looked at quickly, and the worst is lit whole.

    Stripes are averaged over the window of the cabinet as drawn, whatever is dark. What leaves no light at all is
    worse than anything. Stopped by Ctrl-C, the worst so far is told.

    Parameters
    ----------
    cabinet : Cabinet
        As it should be.
    requirement : Requirement
        Without limits the worst is that with the greatest max/min.
    losses : iterable of Loss
        Of one kind.
    lighting : Lighting
    interior : Interior, optional
        The exchange of the cabinet's box, where it is known.
    ageing : Ageing, optional
    progress : callable, optional

    Returns
    -------
    Failure or None
        Of equals the first; None where there are no losses.
    """
    losses = list(losses)
    window = requirement.stripe_window or cabinet.stripe_window
    trials = Trials(
        group=0,
        requirement=replace(requirement, stripe_window=window),
        lighting=lighting,
        ageing=ageing,
        names=("max_to_min",),
    )
    if interior is not None:
        trials.keep(cabinet.box, interior)
    worst: tuple[float, float] = (-np.inf, -np.inf)
    found: Loss | None = None
    done = 0
    try:
        for loss in losses:
            if progress is not None:
                progress(done / len(losses), loss.what)
            left = _without(cabinet, loss)
            stands = (np.inf, np.inf)
            if left is not None:
                tried = trials.look(left)
                stands = (tried.excess, tried.numbers["max_to_min"])
            if stands > worst:
                worst, found = stands, loss
            done += 1
    except KeyboardInterrupt:
        if found is None:
            raise
    if found is None:
        return None
    left = _without(cabinet, found)
    return Failure(
        loss=found,
        tried=None if left is None else trials.verify(left),
        looked_at=done,
        finished=done == len(losses),
    )


def _without(cabinet: Cabinet, loss: Loss) -> Cabinet | None:
    """The cabinet with the modules of a loss dark; None where none shines, or a face gets no light at all."""
    shares = np.ones(cabinet.modules)
    shares[list(loss.modules)] = 0.0
    if not shares.any():
        return None
    return with_light(cabinet, shares)
