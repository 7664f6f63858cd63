"""Evenness against row pitch, ready to draw: what of a search's answer is shown, and where."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Literal, NamedTuple, Protocol

from matplotlib.ticker import MaxNLocator

from lumsim.cabinet.places import Places
from lumsim.uniformity.names import NAMES, UNITS
from lumsim.uniformity.requirement import LIMITS, Requirement, Verdict
from lumsim.units import Units, format_length, length_number

__all__ = ["Exit", "Piece", "PitchAnswer", "PitchCurve", "TriedPitch", "counted"]

SHOWN = 2.0
"""Up to so many times the limit the curve is shown, or half again as far as its lowest point. [1]"""

NARROWEST_SHOWN = 4.0
"""How many times narrower than the best the narrowest pitch shown is. [1]"""

FEWER_SHOWN = 2
"""How many rows fewer than the best the widest pitches shown have. [1]"""


class TriedPitch(Protocol):
    """One layout that a search tried."""

    @property
    def pitch(self) -> float:
        """On centre. [m]."""

    @property
    def rows(self) -> Places:
        """Where its rows lie."""

    @property
    def verdict(self) -> Verdict:
        """Each limit judged."""

    @property
    def excess(self) -> float:
        """The worst of actual over limit. [1]."""


class PitchAnswer(Protocol):
    """What a search found at one depth."""

    @property
    def depth(self) -> float:
        """Inside, back to face. [m]."""

    @property
    def exact(self) -> TriedPitch | None:
        """The widest pitch that meets the requirement; None where none does."""

    @property
    def buildable(self) -> TriedPitch | None:
        """The widest on a tape measure's marks that meets it too."""

    @property
    def best(self) -> TriedPitch:
        """What to build, or what comes nearest to the requirement."""

    @property
    def tried(self) -> Sequence[TriedPitch]:
        """All that was tried, by rising pitch."""


def counted(count: int) -> str:
    """Write a number of rows: ``1 row``, ``5 rows``."""
    return f"{count} row{'s' if count > 1 else ''}"


Edge = Literal["left", "right", "below", "above"]
"""Of a frame."""


class Exit(NamedTuple):
    """Where a line leaves what is shown."""

    pitch: float
    """[the unit]"""
    number: float
    side: Edge


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """The curve for one row count."""

    count: int
    pitches: list[float]
    """rising [the unit]"""
    numbers: list[list[float]]
    """for each limit, at each pitch"""
    excess: list[float]
    """the worst of actual over limit [1]"""
    met: list[bool]

    def stretches(self) -> list[tuple[float, float]]:
        """Where the requirement is met: from pitch to pitch, in the unit, as the lines between points go."""
        found: list[tuple[float, float]] = []
        for i, met in enumerate(self.met):
            if not met:
                continue
            start = self._crossing(i, i - 1) if i > 0 and not self.met[i - 1] else self.pitches[i]
            following = i + 1 < len(self.met) and not self.met[i + 1]
            end = self._crossing(i, i + 1) if following else self.pitches[i]
            if found and i > 0 and self.met[i - 1]:
                found[-1] = (found[-1][0], end)
            else:
                found.append((start, end))
        return found

    def exits(self, order: int, across: tuple[float, float], up: tuple[float, float]) -> list[Exit]:
        """Where the line of one limited number leaves a frame; the middle of what is wholly above it.

        Parameters
        ----------
        order : int
            Which of the numbers.
        across, up : two floats
            The frame: pitches [the unit] and numbers.
        """
        # What has no bound goes straight up.
        ceiling = up[1] + 1e6 * (up[1] - up[0])
        points = [
            (pitch, min(number, ceiling))
            for pitch, number in zip(self.pitches, self.numbers[order], strict=True)
        ]
        found = [one for ends in pairwise(points) for one in _leaves(*ends, across, up)]
        shown = [(pitch, number) for pitch, number in points if across[0] <= pitch <= across[1]]
        if shown and not found and all(number > up[1] for _, number in shown):
            found.append(Exit((shown[0][0] + shown[-1][0]) / 2, up[1], "above"))
        return found

    def _crossing(self, inside: int, outside: int) -> float:
        """Between a pitch that meets the requirement and one that does not."""
        low, high = self.excess[inside], self.excess[outside]
        part = (1 - low) / (high - low) if math.isfinite(high) and high > low else 0.0
        return self.pitches[inside] + part * (self.pitches[outside] - self.pitches[inside])


def _leaves(
    start: tuple[float, float],
    end: tuple[float, float],
    across: tuple[float, float],
    up: tuple[float, float],
) -> list[Exit]:
    """Where a straight line between two points leaves a frame, or enters it."""
    first, last = 0.0, 1.0
    sides: list[Edge | None] = [None, None]
    edges: tuple[tuple[int, float, Edge, int], ...] = (
        (0, across[0], "left", 1),
        (0, across[1], "right", -1),
        (1, up[0], "below", 1),
        (1, up[1], "above", -1),
    )
    for axis, bound, side, inwards in edges:
        here, there = inwards * (start[axis] - bound), inwards * (end[axis] - bound)
        if here < 0 and there < 0:
            return []
        if here < 0 and here / (here - there) > first:
            first, sides[0] = here / (here - there), side
        if there < 0 and here / (here - there) < last:
            last, sides[1] = here / (here - there), side
    if not first < last:
        return []
    return [
        Exit(start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]), side)
        for part, side in zip((first, last), sides, strict=True)
        if side is not None
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchCurve:
    """Evenness against row pitch, ready to draw."""

    pieces: list[Piece]
    """by rising pitch, so by falling row count"""
    names: list[str]
    """of the limited numbers"""
    limits: list[float]
    across: tuple[float, float]
    """of the axis of pitches [the unit]"""
    up: tuple[float, float]
    """of the axis of numbers, without the strip of row counts"""
    ticks: list[float]
    label: str
    line: float
    """where the limit lies"""
    limit_label: str
    best: tuple[float, float]
    """pitch [the unit] and number of the widest pitch, or of what came closest"""
    best_label: str
    is_met: bool
    own_pitch: float | None
    """[the unit]"""
    own_label: str

    @property
    def borders(self) -> list[float]:
        """Between one row count and the next, the axis's ends included, in the unit."""
        between = [(one.pitches[-1] + other.pitches[0]) / 2 for one, other in pairwise(self.pieces)]
        return [self.across[0], *between, self.across[1]]

    @property
    def exits(self) -> list[list[Exit]]:
        """Where the line of each limited number leaves what is shown."""
        return [
            [one for piece in self.pieces for one in piece.exits(order, self.across, self.up)]
            for order in range(len(self.names))
        ]

    @property
    def stretches(self) -> list[tuple[float, float]]:
        """Where the requirement is met, from pitch to pitch in the unit, across row counts."""
        joined: list[tuple[float, float]] = []
        for low, high in (stretch for piece in self.pieces for stretch in piece.stretches()):
            # A search leaves a part in a thousand million between one count's pitches and the next's.
            if joined and low <= joined[-1][1] * (1 + 1e-6):
                joined[-1] = (joined[-1][0], high)
            else:
                joined.append((low, high))
        return joined

    @staticmethod
    def of(answer: PitchAnswer, requirement: Requirement, own: float | None, units: Units) -> PitchCurve:
        """Pick what to show of an answer; ``own`` is the study's own row pitch [m]."""
        own_pitch = None if own is None else length_number(own, units)
        names = list(requirement.limits)
        single = len(names) == 1

        def numbers(one: TriedPitch) -> list[float]:
            judged = {judged.name: judged for judged in one.verdict.judged}
            if single:
                return [judged[names[0]].actual]
            margins = [judged[name].margin for name in names]
            return [1 / (1 + margin) if margin > -1 else math.inf for margin in margins]

        pieces = []
        for count, members in groupby(answer.tried, key=lambda one: one.rows.count):
            tried = list(members)
            pieces.append(
                Piece(
                    count=count,
                    pitches=[length_number(one.pitch, units) for one in tried],
                    numbers=[list(column) for column in zip(*(numbers(one) for one in tried), strict=True)],
                    excess=[one.excess for one in tried],
                    met=[one.verdict.met for one in tried],
                )
            )
        best = answer.exact or answer.best
        least = min(one.excess for one in answer.tried)
        shown = max(SHOWN, 1.5 * least) if math.isfinite(least) else math.inf
        seen = [one for one in answer.tried if one.excess <= shown]
        line = requirement.limits[names[0]] if single else 1.0
        near = [
            one
            for one in seen
            if one.pitch >= best.pitch / NARROWEST_SHOWN and one.rows.count >= best.rows.count - FEWER_SHOWN
        ]
        heights = [number for one in near for number in numbers(one) if math.isfinite(number)] + [line]
        room = 0.06 * (max(heights) - min(heights)) or 0.1
        up = (min(heights) - room, max(heights) + room)
        pitches = [length_number(one.pitch, units) for one in (*near, best)]
        pitches += [] if own_pitch is None else [own_pitch]
        margin = 0.03 * (max(pitches) - min(pitches)) or 0.1 * max(pitches)
        low, high = min(pitches), max(pitches)
        ticks = MaxNLocator(nbins=6, steps=[1, 2, 2.5, 5, 10]).tick_values(*up)
        return PitchCurve(
            pieces=pieces,
            names=names,
            limits=[requirement.limits[name] for name in names],
            across=(low - min(margin, low), high + margin),
            up=up,
            ticks=[float(f"{tick:.10g}") for tick in ticks if up[0] <= tick <= up[1]],
            label=f"{NAMES[names[0]]} [{UNITS.get(names[0], '1')}]"
            if single
            else "share of each limit used up [1]",
            line=line,
            limit_label=f"{LIMITS[names[0]]} {line:g}" if single else "limit",
            best=(length_number(best.pitch, units), max(numbers(best))),
            best_label=_best_label(answer, units),
            is_met=answer.exact is not None,
            own_pitch=own_pitch,
            own_label="" if own is None else f"this study {format_length(own, units)}",
        )


def _best_label(answer: PitchAnswer, units: Units) -> str:
    if answer.exact is None:
        nearest = answer.best
        return f"none meets it; closest {_number(nearest.pitch, units)}, {counted(nearest.rows.count)}"
    mark = answer.buildable
    marked = (
        f", on a mark {format_length(mark.pitch, units)}" if mark is not None and mark.rows.count > 1 else ""
    )
    return f"widest {_number(answer.exact.pitch, units)}, {counted(answer.exact.rows.count)}{marked}"


def _number(pitch: float, units: Units) -> str:
    """Write a pitch rounded down, so that what is printed is not wider than what was found."""
    digits = 2 if units == "in" else 1
    # A pitch of 8 in that is stored as 7.999999999999 in is 8 in.
    return f"{math.floor(length_number(pitch, units) * (1 + 1e-8) * 10**digits) / 10**digits:.7g} {units}"
