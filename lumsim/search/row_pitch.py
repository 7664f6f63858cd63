"""The widest row pitch that meets a requirement at one depth."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from scipy.optimize import brentq, minimize_scalar

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.places import MOST_PLACES, Places
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.light.interior import Inside, Interior, interior_of
from lumsim.light.lit_inside import light_inside
from lumsim.search.layouts import with_row_pitch
from lumsim.simulation import ALL_LIGHT, Lighting, light_on_face
from lumsim.uniformity.evenness import Evenness, evenness
from lumsim.uniformity.requirement import Requirement, Verdict, judge, standing, tightest_of_each
from lumsim.units import exact_length

__all__ = ["PitchSearch", "Tried", "widest_row_pitch"]

Attempt = Callable[[Fraction | float], "Tried"]
"""Takes a pitch [m]."""

Progress = Callable[[float, str], None]
"""Takes the share done, from 0 to 1, and what is being done."""

NARROWEST = 0.25
"""The narrowest pitch tried, in throws: stripes at twice that are already below 1 part in 10 000. [1]"""


MAY_REACH = 1.25
"""Samples of a dip up to this far above the requirement are minimised; they lie within some 3 % in pitch. [1]"""

STEPS_BACK = (5e-4, 2e-3, 8e-3)
"""How much narrower than found a pitch is tried at full fineness, where what was found just fails there. [1]"""

MOST_MARKS = 200
"""How many marks below the widest pitch are looked at. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One layout and how it stands to the requirement."""

    pitch: float
    """on centre; the cabinet's own extent where a single row sits in its middle [m]"""
    cabinet: Cabinet
    """with its rows laid at that pitch"""
    rows: Places
    side: Side
    """whose face is the worse, and decides"""
    evenness: Evenness
    """of that face"""
    verdict: Verdict
    """on that face; of a cabinet new and aged each limit in the state that has less to spare"""
    excess: float
    """the worst of actual over limit; met up to and including 1 [1]"""
    aged: bool = False
    """whether it is the worse, and decides, as an aged face; else as a new one"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchSearch:
    """The answer, and everything that was tried on the way."""

    depth: float
    """[m]"""
    widest: Tried | None
    """the widest pitch that meets the requirement; None where none does"""
    markable: Tried | None
    """the widest on the tape measure's marks, at most that wide, which meets it too"""
    closest: Tried
    """the layout that comes nearest to the requirement, or has most to spare"""
    tried: tuple[Tried, ...]
    """by rising pitch"""

    @property
    def best(self) -> Tried:
        """What to build, or what came nearest."""
        return self.markable or self.widest or self.closest


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
    sampled, every dip of the samples that might reach the requirement is minimised (bounded Brent), and the
    widest crossing is found by Brent's root finder; so a feasible island between two infeasible pitches is
    seen. Wider pitches belong to smaller counts: the first count that can meet the requirement holds the
    widest pitch.

    All this goes by the coarse mesh of the exchange, which is quick and hardly less exact. What it finds is
    then lit by the fine one, and moved until that meets the requirement. Of two faces the worse one decides, and
    of a cabinet new and aged the worse state.

    Stripes are judged by whole periods: where they are limited and the study names no window of its own, no
    pitch above half the visible face is tried. A single row, whose window may fill the face, would else pass
    for even by any stripes number.

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
        Go on to the narrowest pitch for the sake of the curve.
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
    if not requirement.limits:
        raise InputError(
            "there is nothing to search for: set a limit under [requirement], such as stripe_max_to_min = 1.2"
        )
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    extent = float(rows.rows.extent)
    throw = _shortest_throw(cabinet, rows)
    judged = _widest_judged(cabinet, rows, requirement)
    most = min(math.ceil(extent / (NARROWEST * throw)), MOST_PLACES // (4 * rows.modules.count))
    most = max(most, 2, math.ceil(extent / judged))

    if not lighting.direct_only:
        interior = interior or interior_of(cabinet.box, patches_in_depth=lighting.patches_in_depth)
    tries: dict[float, Tried] = {}

    def attempt(pitch: Fraction | float) -> Tried:
        if float(pitch) not in tries:
            inside = None if interior is None else interior.coarse
            tries[float(pitch)] = _try(cabinet, group, requirement, pitch, inside, ageing)
        return tries[float(pitch)]

    def confirm(pitch: Fraction | float) -> Tried:
        if interior is None:
            return attempt(pitch)
        return _try(cabinet, group, requirement, pitch, interior.fine, ageing)

    widest: Tried | None = None
    for count in range(1, most + 1):
        if progress is not None:
            progress((count - 1) / most, f"{count} row{'s' if count > 1 else ''}")
        found = _widest_of_count(count, extent, judged, attempt)
        if widest is None and found is not None:
            widest = _confirmed(found, confirm)
            if widest is not None and not whole_curve:
                break
    markable = None if widest is None else _on_a_mark(widest, mark, confirm)
    ordered = tuple(tries[pitch] for pitch in sorted(tries))
    # Of equals the widest, which needs the fewest rows.
    closest = min(reversed(ordered), key=lambda one: one.excess)
    if progress is not None:
        progress(1.0, "done")
    return PitchSearch(
        depth=cabinet.box.depth,
        widest=widest,
        markable=markable,
        closest=confirm(closest.pitch) if widest is None else closest,
        tried=ordered,
    )


def _shortest_throw(cabinet: Cabinet, rows: Rows) -> float:
    """From the rows that move to the nearest face that they shine at. [m]"""
    alone = replace(cabinet, groups=(rows,))
    return min(float(np.min(alone.throws(side), initial=math.inf)) for side, _ in alone.faces)


def _widest_judged(cabinet: Cabinet, rows: Rows, requirement: Requirement) -> float:
    """Return the widest pitch on which the requirement can be judged, in metres."""
    if requirement.stripe_max_to_min is None or requirement.stripe_window is not None:
        return math.inf
    parts = [cabinet.visible_on(side) for side, _ in cabinet.faces]
    across = min(part.height if rows.direction == "horizontal" else part.width for part in parts)
    return across / 2 * (1 + 1e-9)


def _try(
    cabinet: Cabinet,
    group: int,
    requirement: Requirement,
    pitch: Fraction | float,
    inside: Inside | None,
    ageing: Ageing | None,
) -> Tried:
    moved = with_row_pitch(cabinet, group, pitch)
    new = _seen(moved, requirement, inside)
    found = [(side, even, False) for side, even in new]
    if ageing is not None:
        # Dirt darkens what is thrown back, and so changes the ratios; direct light only falls off alike.
        old = (
            [(side, even.scaled(ageing.maintenance_factor)) for side, even in new]
            if ageing.levels_only or inside is None
            else _seen(aged(moved, ageing), requirement, inside)
        )
        found += [(side, even, True) for side, even in old]
    judged = [(side, even, is_aged, judge(even, requirement)) for side, even, is_aged in found]
    side, even, is_aged, _ = min(judged, key=lambda one: standing(one[1], one[3]))
    # A most luminance is hard to keep new and a least one aged: each is told where it is the harder.
    verdict = tightest_of_each([one for own, _, _, one in judged if own == side])
    rows = moved.groups[group]
    assert isinstance(rows, Rows)
    excess = max(1 / (1 + one.margin) if one.margin > -1 else math.inf for one in verdict.judged)
    return Tried(
        pitch=float(pitch),
        cabinet=moved,
        rows=rows.rows,
        side=side,
        evenness=even,
        verdict=verdict,
        excess=excess,
        aged=is_aged,
    )


def _seen(cabinet: Cabinet, requirement: Requirement, inside: Inside | None) -> list[tuple[Side, Evenness]]:
    """How even each face is that must be looked at; without an inside by direct light only."""
    lit = None if inside is None else light_inside(cabinet, inside)
    window = requirement.stripe_window or cabinet.stripe_window
    return [
        (
            side,
            evenness(light_on_face(cabinet, None if lit is None else lit.reflected(side), side=side), window),
        )
        for side in cabinet.unlike_sides
    ]


def _widest_of_count(count: int, extent: float, judged: float, attempt: Attempt) -> Tried | None:
    """The widest pitch of one row count that meets the requirement."""
    if count == 1:
        if judged < extent:
            return None
        single = attempt(extent)
        return single if single.verdict.met else None
    # A half goes up: the upper end still has this count, the lower end has one more.
    low, high = extent / (count + 0.5) * (1 + 1e-9), extent / (count - 0.5) * (1 - 1e-9)
    high = min(high, judged)
    if not low < high:
        return None
    samples = np.linspace(low, high, 13 if count < 6 else 9)
    tried = [attempt(float(pitch)) for pitch in samples]
    upper = exact_length(extent) / Fraction(2 * count - 1, 2)
    if high < judged and exact_length(float(upper)) == upper:
        # Round sizes put the widest pitch of a count on a mark: taken exactly, it has this count still.
        tried[-1] = attempt(upper)
    excess = np.array([one.excess for one in tried])
    # Every dip that might reach the requirement, the ends of the range included.
    for i in range(len(samples)):
        left, right = max(i - 1, 0), min(i + 1, len(samples) - 1)
        is_dip = excess[i] <= excess[left] and excess[i] <= excess[right]
        if is_dip and 1 < excess[i] < MAY_REACH:
            found = minimize_scalar(
                lambda pitch: attempt(float(pitch)).excess,
                bounds=(samples[left], samples[right]),
                method="bounded",
                options={"xatol": 1e-4 * samples[i]},
            )
            tried.append(attempt(float(found.x)))
    tried = sorted({one.pitch: one for one in tried}.values(), key=lambda one: one.pitch)
    feasible = [i for i, one in enumerate(tried) if one.verdict.met]
    if not feasible:
        return None
    last = feasible[-1]
    if last == len(tried) - 1:
        return tried[last]
    inside, outside = tried[last], tried[last + 1]
    if inside.excess < 1:
        crossing = brentq(
            lambda pitch: attempt(float(pitch)).excess - 1, inside.pitch, outside.pitch, xtol=1e-6
        )
        # The root finder may stop on either side: step back until the requirement is met.
        for back in (0.0, 2e-6, 1e-5, 1e-4):
            candidate = attempt(max(float(crossing) - back, inside.pitch))
            if candidate.verdict.met:
                return candidate
    return inside


def _confirmed(found: Tried, confirm: Attempt) -> Tried | None:
    """The widest layout near one that was found which meets the requirement at full fineness."""
    narrower = [found.pitch * (1 - share) for share in (0.0, *STEPS_BACK)]
    for wider, pitch in zip([None, *narrower], narrower, strict=False):
        candidate = confirm(pitch)
        if candidate.verdict.met:
            if wider is None:
                return candidate
            # Between a pitch that fails and one that meets it.
            crossing = brentq(lambda one: confirm(one).excess - 1, pitch, wider, xtol=1e-5)
            closer = confirm(float(crossing) - 1e-5)
            return closer if closer.verdict.met else candidate
    return None


def _on_a_mark(widest: Tried, mark: Fraction, attempt: Callable[[Fraction], Tried]) -> Tried | None:
    """The widest pitch on a mark that is no wider and meets the requirement."""
    if widest.rows.count == 1:
        return widest
    # A pitch on a mark may have been rounded to a float just below it.
    first = Fraction(widest.pitch * (1 + 1e-12)) // mark
    for marks in range(first, max(0, first - MOST_MARKS), -1):
        candidate = attempt(marks * mark)
        if candidate.verdict.met:
            return candidate
    return None
