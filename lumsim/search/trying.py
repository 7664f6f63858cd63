"""One layout lit and judged: quickly while many are looked at, whole before one is told."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.places import Places
from lumsim.cabinet.rows import Direction, Rows
from lumsim.errors import InputError
from lumsim.light.interior import Interior
from lumsim.light.lit_inside import light_inside
from lumsim.simulation import Lighting
from lumsim.uniformity.evenness import LEVELS, Evenness, numbers_asked
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.prominence import RowsRun
from lumsim.uniformity.requirement import (
    Requirement,
    Verdict,
    judge_numbers,
    names_asked,
    standing,
    tightest_of_each,
)
from lumsim.whole_light import WholeLight, light_on_face, whole_light

__all__ = [
    "COARSE",
    "Found",
    "Here",
    "Progress",
    "Trials",
    "Tried",
    "closest_of",
    "first_on_marks",
    "numbers_of",
    "refuse_unlimited",
    "rows_run",
    "widest_judged",
]

Progress = Callable[[float, str], None]
"""Takes the share done, from 0 to 1, and what is being done."""

NARROW = 5e-4
"""A border narrower than this leaves the face's corners in sight, where a spline through samples does not do. [m]"""

COARSE = 1e-3
"""By which a look's worst of actual over limit may be off: a layout that misses by less is looked at again. [1]"""

MOST_MARKS = 200
"""How many marks on from an exact answer are looked at. [1]"""

LOOKING = 1e-4
"""To which the balance is solved for a look; max/min is then good to some 2e-5. [1]"""

_MEANS = frozenset({"mean", "min_to_mean"})
"""Numbers that need the mean to be exact beside returns."""


class Here:
    """Light that is of use in this process only: what is pickled leaves it behind."""

    __slots__ = ("lights",)

    def __init__(self, lights: tuple[WholeLight, ...] = ()) -> None:
        self.lights = lights

    def __reduce__(self) -> tuple[type[Here], tuple[()]]:
        """Pickle nothing of it."""
        return Here, ()


NOTHING = Here()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One layout and how it stands to the requirement."""

    cabinet: Cabinet
    """with its rows laid so"""
    group: int
    """whose rows were moved, from 0"""
    side: Side
    """whose face is the worse, and decides"""
    numbers: Mapping[str, float]
    """of that face, by their names in ``Evenness``: those that the requirement limits, or all that was asked for"""
    verdict: Verdict
    """on that face; of a cabinet new and aged each limit in the state that has less to spare"""
    excess: float
    """the worst of actual over limit; met up to and including 1; where nothing is required max/min [1]"""
    aged: bool = False
    """whether it is the worse, and decides, as an aged face; else as a new one"""
    whole: Evenness | None = None
    """every number of that face, by the fine mesh; None where it was only looked at"""
    light: Here = field(default=NOTHING, repr=False, compare=False)
    """the cabinet new, and aged, by the fine mesh; nothing where it was only looked at, or by another process"""

    @property
    def moved(self) -> Rows:
        """The group whose rows were moved."""
        rows = self.cabinet.groups[self.group]
        assert isinstance(rows, Rows)
        return rows

    @property
    def rows(self) -> Places:
        """Where its rows are."""
        return self.moved.rows

    @property
    def pitch(self) -> float:
        """On centre; the cabinet's own extent where a single row sits in its middle. [m]"""
        return float(self.rows.extent if self.rows.pitch is None else self.rows.pitch)

    @property
    def evenness(self) -> Evenness:
        """Every number of the face that decides, of a layout that was verified."""
        assert self.whole is not None
        return self.whole

    @property
    def modules(self) -> int:
        """In the whole cabinet. [1]"""
        return self.cabinet.modules


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a search found: an answer by exact lengths, one to build, and everything that was tried on the way."""

    exact: Tried | None
    """by lengths as they come; None where none within the search meets the requirement"""
    buildable: Tried | None
    """with what was searched on whole marks; None where none of those looked at meets it"""
    closest: Tried | None
    """the layout that comes nearest to the requirement, where none meets it; else None"""
    tried: tuple[Tried, ...]
    """by rising length, or in the order of the search"""
    finished: bool = True
    """whether the search was left to its end; else the best so far"""

    @property
    def best(self) -> Tried:
        """What to build, or what came nearest."""
        best = self.buildable or self.exact or self.closest
        assert best is not None
        return best

    @property
    def met(self) -> bool:
        """Whether that meets the requirement."""
        return self.best.verdict.met


@dataclass(kw_only=True)
class Trials:
    """Layouts of one cabinet's group of rows, lit and judged; the exchange of each box is computed once.

    Of two faces the worse one decides, and of a cabinet new and aged the worse state.
    """

    group: int
    """whose rows are moved, from 0"""
    requirement: Requirement
    """what is judged; without limits max/min is looked at"""
    lighting: Lighting
    ageing: Ageing | None = None
    names: Sequence[str] = ()
    """further numbers to look at, by their names in ``Evenness``"""
    _kept: tuple[tuple[float, float, float], Interior] | None = field(default=None, init=False, repr=False)

    def look(self, cabinet: Cabinet, *, closely: bool = False, residual: float = LOOKING) -> Tried:
        """Light a layout and ask its face for the limited numbers only, by a spline through its samples.

        By the coarse mesh, hardly less exact than the fine one: the light thrown back differs by some 1e-4 of max/min.

        Parameters
        ----------
        cabinet : Cabinet
        closely : bool
            By the fine mesh: all but the last digits are then those of ``verify``.
        residual : float
            To which the balance is solved. [1]
        """
        names = list(dict.fromkeys((*names_asked(self.requirement), *self.names))) or ["max_to_min"]

        def seen(state: Cabinet) -> list[tuple[Side, Mapping[str, float], None]]:
            lit = None
            if not self.lighting.direct_only:
                interior = self._interior(state.box)
                lit = light_inside(state, interior.fine if closely else interior.coarse, residual=residual)
            exact_mean = not _MEANS.isdisjoint(names)
            found: list[tuple[Side, Mapping[str, float], None]] = []
            for side in state.unlike_sides:
                reflected = None if lit is None else lit.reflected(side)
                face = light_on_face(state, reflected, side=side, exact_mean=exact_mean)
                found.append((side, numbers_of(state, side, face, names, self.requirement), None))
            return found

        return self.judged(cabinet, seen)

    def verify(self, cabinet: Cabinet) -> Tried:
        """Light a layout by the fine mesh and ask its face for every number, as ``simulate`` does.

        Parameters
        ----------
        cabinet : Cabinet
        """
        lights: list[WholeLight] = []

        def seen(state: Cabinet) -> list[tuple[Side, Mapping[str, float], Evenness | None]]:
            interior = None if self.lighting.direct_only else self._interior(state.box)
            lights.append(whole_light(state, self.requirement, interior))
            names = dict.fromkeys((*names_asked(self.requirement), *self.names, "max_to_min"))
            return [
                (side, {name: float(getattr(face.evenness, name)) for name in names}, face.evenness)
                for side, face in lights[-1].faces.items()
            ]

        return replace(self.judged(cabinet, seen), light=Here(tuple(lights)))

    def keep(self, box: Box, interior: Interior) -> None:
        """Keep the exchange of a box, for every layout in it; of one box at a time.

        Parameters
        ----------
        box : Box
        interior : Interior
            Of that box.
        """
        self._kept = (box.width, box.height, box.depth), interior

    def _interior(self, box: Box) -> Interior:
        if self._kept is None or self._kept[0] != (box.width, box.height, box.depth):
            interior = self.lighting.interior(box)
            assert interior is not None
            self.keep(box, interior)
        assert self._kept is not None
        return self._kept[1]

    def judged(
        self,
        cabinet: Cabinet,
        seen: Callable[[Cabinet], Sequence[tuple[Side, Mapping[str, float], Evenness | None]]],
    ) -> Tried:
        """Judge a layout, new and aged, by its worse face.

        Parameters
        ----------
        cabinet : Cabinet
            New.
        seen : callable
            Takes the cabinet new or aged, and gives each face's numbers and, where it was verified, its evenness.
        """
        found = [(*one, False) for one in seen(cabinet)]
        ageing = self.ageing
        if ageing is not None:
            # Dirt darkens what is thrown back, and so changes the ratios; direct light only falls off alike.
            if ageing.levels_only or self.lighting.direct_only:
                factor = ageing.maintenance_factor
                found += [
                    (
                        side,
                        {name: value * (factor if name in LEVELS else 1) for name, value in numbers.items()},
                        None if even is None else even.scaled(factor),
                        True,
                    )
                    for side, numbers, even, _ in found
                ]
            else:
                found += [(*one, True) for one in seen(aged(cabinet, ageing))]
        judged = [
            (side, numbers, even, is_aged, judge_numbers(numbers, self.requirement))
            for side, numbers, even, is_aged in found
        ]
        side, numbers, even, is_aged, _ = min(
            judged, key=lambda one: standing(one[1].get("max_to_min", 1.0), one[4])
        )
        # A most luminance is hard to keep new and a least one aged: each is told where it is the harder.
        verdict = tightest_of_each([one for own, *_, one in judged if own == side])
        excess = max(
            (1 / (1 + one.margin) if one.margin > -1 else math.inf for one in verdict.judged),
            default=numbers.get("max_to_min", math.inf),
        )
        return Tried(
            cabinet=cabinet,
            group=self.group,
            side=side,
            numbers=numbers,
            verdict=verdict,
            excess=excess,
            aged=is_aged,
            whole=even,
        )


def numbers_of(
    cabinet: Cabinet, side: Side, face: FaceMap, names: Sequence[str], requirement: Requirement
) -> dict[str, float]:
    """Some numbers of one lit face, by a spline through its samples wherever that does.

    Parameters
    ----------
    cabinet : Cabinet
    side : {"front", "rear"}
        Whose face it is.
    face : FaceMap
        Its visible part.
    names : sequence of str
        As ``evenness.numbers_asked`` knows them.
    requirement : Requirement
        For the stripe window that it may name.
    """
    window = requirement.stripe_window or cabinet.stripe_window
    bare = cabinet.face_on(side).visible_border < NARROW
    return numbers_asked(face if bare else face.splined(), window, names, rows_run(cabinet), last_digits=bare)


def rows_run(cabinet: Cabinet) -> RowsRun:
    """How a cabinet's rows run, for the contrast of stripes."""
    return RowsRun(direction=cabinet.direction, lines=len(cabinet.row_lines))


def first_on_marks(
    look: Callable[[Fraction], Tried], verify: Callable[[Fraction], Tried], marks: Iterable[Fraction]
) -> Tried | None:
    """The first of some lengths on marks at which a layout, lit whole, meets the requirement; None where none does.

    Parameters
    ----------
    look, verify : callable
        Take a length [m], and light it quickly or whole: whole only where a quick look does not miss by more than its
        error.
    marks : iterable of Fraction
        Of which the first ``MOST_MARKS`` are looked at. [m]
    """
    for length in itertools.islice(marks, MOST_MARKS):
        if look(length).excess <= 1 + COARSE and (tried := verify(length)).verdict.met:
            return tried
    return None


def closest_of(tried: Iterable[Tried], among_equals: Callable[[Tried], float]) -> Tried:
    """Return the layout that comes nearest to the requirement, or has most to spare.

    Parameters
    ----------
    tried : iterable of Tried
        At least one.
    among_equals : callable
        Of layouts that stand alike the one for which this is least.
    """
    return min(tried, key=lambda one: (one.excess, among_equals(one)))


def widest_judged(cabinet: Cabinet, direction: Direction, requirement: Requirement) -> float:
    """The widest row pitch on which a requirement can be judged.

    Stripes are judged by whole periods: where they are limited and the study names no window of its own, it is half
    the visible face. A single row, whose window may fill the face, would else pass for even by any stripes number.

    Parameters
    ----------
    cabinet : Cabinet
    direction : {"horizontal", "vertical"}
        Which way the rows run.
    requirement : Requirement

    Returns
    -------
    float
        Infinite where stripes are not limited, or have a window of their own. [m]
    """
    if requirement.stripe_max_to_min is None or requirement.stripe_window is not None:
        return math.inf
    parts = [cabinet.visible_on(side) for side, _ in cabinet.faces]
    across = min(part.height if direction == "horizontal" else part.width for part in parts)
    return across / 2 * (1 + 1e-9)


def refuse_unlimited(requirement: Requirement) -> None:
    """Refuse a requirement that limits nothing.

    Raises
    ------
    InputError
    """
    if not requirement.limits:
        raise InputError(
            "there is nothing to search for: set a limit under [requirement], such as stripe_max_to_min = 1.2"
        )
