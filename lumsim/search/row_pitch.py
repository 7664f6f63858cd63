"""The widest row pitch that meets a requirement at one depth."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import MOST_PLACES, pitches_of
from lumsim.cabinet.rows import Rows
from lumsim.light.interior import Interior
from lumsim.search.layouts import with_row_pitch
from lumsim.search.scanning import HOPELESS, WIDE, first_settled
from lumsim.search.trying import (
    COARSE,
    Found,
    Progress,
    Trials,
    Tried,
    closest_of,
    first_on_marks,
    refuse_unlimited,
    widest_judged,
)
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement
from lumsim.units import exact_length

__all__ = ["PitchSearch", "widest_row_pitch"]

Attempt = Callable[[Fraction | float], Tried]
"""Takes a pitch [m]."""

NARROWEST = 0.25
"""The narrowest pitch tried, in throws: stripes at twice that are already below 1 part in 10 000. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchSearch(Found):
    """The widest pitch; to build, the widest on the tape measure's marks that is no wider."""

    depth: float
    """[m]"""


def widest_row_pitch(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    *,
    mark: Fraction,
    whole_curve: bool = False,
    lighting: Lighting = ALL_LIGHT,
    interior: Interior | None = None,
    ageing: Ageing | None = None,
    progress: Progress | None = None,
) -> PitchSearch:
    """Search the widest row pitch of one group of rows that meets a requirement.

    Row counts are taken one by one, from one row upwards. For each, the pitches that round to that count are
    scanned as ``scanning`` does, so that a feasible island between two infeasible pitches is seen; a count whose first
    three wide looks are all ``HOPELESS`` is given up. Wider pitches belong to smaller counts: the first count that can
    meet the requirement holds the widest pitch.

    All this goes by quick looks, see ``trying``. What they find, and what they find to miss by a hair, is lit whole,
    and moved until that meets the requirement. Of two faces the worse one decides, and of a cabinet new and
    aged the worse state. Stopped by Ctrl-C, the best so far is the answer.

    No pitch is tried on which stripes that are limited could not be judged, see ``trying.widest_judged``.

    Parameters
    ----------
    cabinet : Cabinet
    group : int
        Whose rows move, from 0.
    requirement : Requirement
        With at least one limit.
    mark : Fraction
        Distance between the marks that a person can measure to. [m]
    whole_curve : bool
        Look at every count down to the narrowest pitch, for the sake of the curve.
    lighting : Lighting
        How light is followed.
    interior : Interior, optional
        The exchange of the cabinet's box, where it is known; else it is computed, once for all pitches.
    ageing : Ageing, optional
        The requirement must be met by the cabinet aged too.
    progress : callable, optional

    Returns
    -------
    PitchSearch

    Raises
    ------
    InputError
        Where the requirement sets no limit.
    """
    refuse_unlimited(requirement)
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    extent = rows.rows.extent
    judged = widest_judged(cabinet, rows.direction, requirement)
    most = min(
        math.ceil(extent / (NARROWEST * _shortest_throw(cabinet, rows))),
        MOST_PLACES // (4 * rows.modules.count),
    )
    most = max(most, 2, math.ceil(extent / judged))
    trials = Trials(group=group, requirement=requirement, lighting=lighting, ageing=ageing)
    if interior is not None:
        trials.keep(cabinet.box, interior)
    looked: dict[float, Tried] = {}
    verified: dict[float, Tried] = {}

    def look(pitch: Fraction | float) -> Tried:
        if float(pitch) not in looked:
            looked[float(pitch)] = trials.look(with_row_pitch(cabinet, group, pitch))
        return looked[float(pitch)]

    def verify(pitch: Fraction | float) -> Tried:
        if float(pitch) not in verified:
            verified[float(pitch)] = trials.verify(with_row_pitch(cabinet, group, pitch))
        return verified[float(pitch)]

    widest: Tried | None = None
    finished = True
    try:
        for count in range(1, most + 1):
            if progress is not None:
                progress((count - 1) / most, f"{count} row{'s' if count > 1 else ''}")
            if widest is None:
                widest = _widest_of_count(count, extent, judged, look, verify)
            elif not whole_curve:
                break
            if whole_curve:
                for pitch in _samples(count, extent, judged)[::2]:
                    look(pitch)
    except KeyboardInterrupt:
        if not looked:
            raise
        finished = False
    narrowest = pitches_of(extent, most)[0]
    markable = None if widest is None else _on_a_mark(widest, mark, narrowest, look, verify)
    closest = None
    if widest is None:
        # Of equals the widest, which needs the fewest rows.
        closest = verify(closest_of(looked.values(), lambda tried: -tried.pitch).pitch)
    if progress is not None:
        progress(1.0, "done")
    tried = looked | verified
    return PitchSearch(
        depth=cabinet.box.depth,
        exact=widest,
        buildable=markable,
        closest=closest,
        tried=tuple(tried[pitch] for pitch in sorted(tried)),
        finished=finished,
    )


def _shortest_throw(cabinet: Cabinet, rows: Rows) -> float:
    """From the rows that move to the nearest face that they shine at. [m]"""
    alone = replace(cabinet, groups=(rows,))
    return min(float(np.min(alone.throws(side), initial=math.inf)) for side, _ in alone.faces)


def _samples(count: int, extent: Fraction, judged: float) -> list[float]:
    """Pitches that round to a row count, the widest first; a single one for one row in the middle. [m]"""
    if count == 1:
        return [] if judged < extent else [float(extent)]
    least, most = pitches_of(extent, count)
    low, high = float(least) * (1 + 1e-9), float(most) * (1 - 1e-9)
    if not low < min(high, judged):
        return []
    samples = [float(pitch) for pitch in np.linspace(min(high, judged), low, 13 if count < 6 else 9)]
    if high < judged and exact_length(float(most)) == most:
        # Round sizes put the widest pitch of a count on a mark: taken exactly, it has this count still.
        samples[0] = float(most)
    return samples


def _widest_of_count(
    count: int, extent: Fraction, judged: float, look: Attempt, verify: Attempt
) -> Tried | None:
    """The widest pitch of one row count that meets the requirement, verified."""
    samples = _samples(count, extent, judged)
    if not samples:
        return None
    if count == 1:
        return verify(extent) if look(extent).excess <= 1 + COARSE and verify(extent).verdict.met else None
    if all(look(pitch).excess > HOPELESS for pitch in samples[: 3 * WIDE : WIDE]):
        return None
    found = first_settled(
        lambda pitch: look(pitch).excess,
        lambda pitch: verify(pitch).excess,
        samples,
        tolerance=1e-5,
        coarse=COARSE,
    )
    return None if found is None else verify(found)


def _on_a_mark(
    widest: Tried, mark: Fraction, narrowest: Fraction, look: Attempt, verify: Attempt
) -> Tried | None:
    """The widest pitch on a mark that is no wider, but above the narrowest, and meets the requirement. [m]"""
    if widest.rows.count == 1:
        return widest
    # A pitch on a mark may have been rounded to a float just below it.
    first = Fraction(widest.pitch * (1 + 1e-12)) // mark
    return first_on_marks(look, verify, (marks * mark for marks in range(first, narrowest // mark, -1)))
