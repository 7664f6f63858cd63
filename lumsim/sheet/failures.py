"""What if: the face with some modules dark, and which of many such losses hurts most."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError
from lumsim.light.interior import Interior
from lumsim.search.dead import without_module
from lumsim.search.trying import Progress, Trials, Tried
from lumsim.sheet.strings import with_light
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement

__all__ = ["Failure", "Loss", "LossKind", "worst_of"]

LossKind = Literal["module", "row", "supply", "joint"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Something that fails, and what it takes from modules."""

    kind: LossKind
    what: str
    """in words, such as ``row 3``"""
    modules: tuple[int, ...]
    """by their number in the cabinet, from 0"""
    left: tuple[float, float] | tuple[tuple[float, float], ...] = (0.0, 0.0)
    """of their rated light that goes the way their axis points, and the other way; of all alike, or of each [1]"""

    @property
    def each_left(self) -> tuple[tuple[float, float], ...]:
        """The same of each module. [1]"""
        return tuple(
            (float(front), float(rear))
            for front, rear in np.broadcast_to(np.array(self.left), (len(self.modules), 2))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """The face after a loss."""

    loss: Loss
    tried: Tried | None
    """lit whole; None where a face or a part of it is left without any light"""
    looked_at: int
    """how many losses of that kind were looked at [1]"""
    finished: bool = True
    """whether all of them were"""


def worst_of(
    cabinet: Cabinet,
    requirement: Requirement,
    losses: Iterable[Loss],
    *,
    shares: NDArray[np.float64] | None = None,
    lighting: Lighting = ALL_LIGHT,
    interior: Interior | None = None,
    ageing: Ageing | None = None,
    progress: Progress | None = None,
) -> Failure | None:
    """The loss after which the face stands worst: each is looked at quickly, and the worst is lit whole.

    Single dark modules are taken away from the light of all, which is linear in them; other losses are lit anew.

    Stripes are averaged over the window of the cabinet as drawn, whatever is dark. What leaves a face, or a part of it,
    without any light is worse than anything. Stopped by Ctrl-C, the worst so far is told.

    Parameters
    ----------
    cabinet : Cabinet
        As it is drawn.
    requirement : Requirement
        Without limits the worst is that with the greatest max/min.
    losses : iterable of Loss
        Of one kind.
    shares : (modules,), optional
        Of its light that each module has while all is well; all of it unless said. [1]
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
            tried = _looked_at(cabinet, shares, loss, trials)
            stands = (np.inf, np.inf) if tried is None else (tried.excess, tried.numbers["max_to_min"])
            if stands > worst:
                worst, found = stands, loss
            done += 1
    except KeyboardInterrupt:
        if found is None:
            raise
    if found is None:
        return None
    return Failure(
        loss=found,
        tried=_after(cabinet, shares, found, trials.verify),
        looked_at=done,
        finished=done == len(losses),
    )


def _looked_at(
    cabinet: Cabinet, shares: NDArray[np.float64] | None, loss: Loss, trials: Trials
) -> Tried | None:
    """The cabinet after a loss, looked at quickly; None where a face or a part of it is without any light."""
    if len(loss.modules) > 1 or loss.left != (0.0, 0.0):
        return _after(cabinet, shares, loss, trials.look)
    whole = cabinet if shares is None else with_light(cabinet, shares)
    # Modules that are dark from the start are not in it.
    (module,) = loss.modules
    place = module if shares is None else int(np.count_nonzero(shares[:module]))

    try:
        return without_module(trials, whole, place)
    except InputError:
        return None


def _after(
    cabinet: Cabinet, shares: NDArray[np.float64] | None, loss: Loss, light: Callable[[Cabinet], Tried]
) -> Tried | None:
    """The cabinet lit after a loss; None where a face or a part of it is without any light."""
    left = np.ones((cabinet.modules, 2))
    if shares is not None:
        left *= shares[:, None]
    left[list(loss.modules)] = loss.left
    try:
        return light(with_light(cabinet, left))
    except InputError:
        return None
