"""Which settings a page lets its reader choose: row pitches, depths, walls, and the cabinet that each one is."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from lumsim.cabinet.box import REFLECTANCES, Box
from lumsim.cabinet.cabinet import LEAST_THROW, Cabinet
from lumsim.cabinet.orientation import RETURNS
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError, TooLargeError
from lumsim.search.layouts import least_depth, rows_to_vary, with_depth, with_row_pitch
from lumsim.search.plane import usual_depths
from lumsim.study.page_form import MOST_DEPTHS, MOST_PITCHES
from lumsim.study.reading import Study
from lumsim.units import METRES_PER_INCH, Units, exact_length, format_length

__all__ = ["BLACK", "WHITE", "Laying", "PagePlan", "Setting", "Walls", "page_plan"]

BLACK, WHITE = 0.05, 0.85
"""Diffuse reflectance of matt black and of white paint: common practice, no source. [1]"""

_STEPS = {
    "in": [
        METRES_PER_INCH * step for step in (Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), 1, 2, 3, 6, 12)
    ],
    "mm": [Fraction(step, 1000) for step in (1, 2, 5, 10, 20, 50, 100, 200, 500)],
}
"""Steps from choice to choice that a person would take. [m]"""

_PITCH_STEP, _DEPTH_STEP = Fraction(1, 8), Fraction(1, 6)
"""From choice to choice about, of the study's own length. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laying:
    """One way to lay the rows that move."""

    pitch: Fraction | None
    """that a whole count of rows is laid at; of the study's own rows theirs, None where they have no one pitch [m]"""
    own: bool
    """whether these are the study's own rows"""
    by_pitch: bool = True
    """whether the pitch alone tells where they are; of the study's own count and edge distance may be needed"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Walls:
    """How much back and returns reflect."""

    repainted: float | None
    """all of them; None: each as the study says [1]"""

    def of(self, box: Box) -> Box:
        """A box with these walls.

        Parameters
        ----------
        box : Box
        """
        if self.repainted is None:
            return box
        return replace(box, **dict.fromkeys(REFLECTANCES, self.repainted))


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One choice of each: the numbers count from 0."""

    laying: int
    depth: int
    walls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PagePlan:
    """All that can be chosen on a page."""

    study: Study
    group: int | None
    """whose rows move, from 0; None: none do"""
    rows_stay: str
    """why none do; empty where they do"""
    layings: tuple[Laying, ...]
    """rising by pitch"""
    depths: tuple[Fraction, ...]
    """rising [m]"""
    walls: tuple[Walls, ...]
    """as the study says first"""

    @property
    def own(self) -> Setting:
        """The study itself."""
        own_depth = exact_length(self.study.cabinet.box.depth)
        return Setting(
            laying=next(number for number, one in enumerate(self.layings) if one.own),
            depth=self.depths.index(own_depth),
            walls=0,
        )

    @property
    def settings(self) -> int:
        """How many there are. [1]"""
        return len(self.layings) * len(self.depths) * len(self.walls)

    def cabinet(self, setting: Setting) -> Cabinet:
        """The study's cabinet as a reader sets it.

        Parameters
        ----------
        setting : Setting

        Raises
        ------
        InputError
            Where the rows cannot be laid so.
        """
        own = self.study.cabinet
        laying, depth = self.layings[setting.laying], float(self.depths[setting.depth])
        cabinet = own if setting.depth == self.own.depth else with_depth(own, depth)
        if not laying.own:
            assert self.group is not None
            assert laying.pitch is not None
            try:
                cabinet = with_row_pitch(cabinet, self.group, laying.pitch)
            except (InputError, TooLargeError) as error:
                shown = format_length(laying.pitch, self.study.units)
                raise type(error)(f"row pitch {shown}, which page.pitches may leave out: {error}") from None
        return replace(cabinet, box=self.walls[setting.walls].of(cabinet.box))


def page_plan(study: Study) -> PagePlan:
    """All that the reader of a study's page can choose: what the study says, or what one would try.

    Parameters
    ----------
    study : Study

    Raises
    ------
    InputError
        Where it must be told which rows move, a depth leaves no throw, or the walls are repainted as they are.
    """
    cabinet = study.cabinet
    group, why = _group(study)
    if group is None and study.page.pitches:
        raise InputError(f"page.pitches: there are no rows to lay anew: {why}")
    layings = (Laying(pitch=None, own=True, by_pitch=False),) if group is None else _layings(study, group)
    return PagePlan(
        study=study,
        group=group,
        rows_stay=why,
        layings=layings,
        depths=_depths(study, group),
        walls=(Walls(repainted=None), *_repainted(study, cabinet)),
    )


def _group(study: Study) -> tuple[int | None, str]:
    """Whose rows move, from 0, or why none do."""
    groups, named = study.cabinet.groups, study.search.group
    may_move = [
        number for number, one in enumerate(groups) if isinstance(one, Rows) and one.on not in RETURNS
    ]
    if named is not None:
        return rows_to_vary(study.cabinet, named, units=study.units), ""
    if len(may_move) > 1:
        raise InputError(
            f"the study has {len(may_move)} groups of rows that may move: say which one's pitch the page changes, such "
            f"as --set search.group={may_move[0] + 1}"
        )
    if may_move:
        return may_move[0], ""
    on_returns = any(isinstance(one, Rows) for one in groups)
    return None, "rows are on the returns" if on_returns else "modules are listed one by one"


def _layings(study: Study, group: int) -> tuple[Laying, ...]:
    rows = study.cabinet.groups[group]
    assert isinstance(rows, Rows)
    own = rows.rows.pitch
    about = own or rows.rows.extent / max(rows.rows.count, 1)
    pitches = set(study.page.pitches) or set(
        _around(
            about,
            least=about / 2,
            most=min(2 * about, rows.rows.extent),
            step=about * _PITCH_STEP,
            units=study.units,
            count=MOST_PITCHES,
        )
    )
    # The pitch alone may lay other rows than the study's, which may be told by count, edge distance or one by one.
    by_pitch = (
        own is not None and _rows(with_row_pitch(study.cabinet, group, own), group) == rows.rows.positions
    )
    layings = [Laying(pitch=pitch, own=by_pitch and pitch == own) for pitch in pitches]
    if not any(one.own for one in layings):
        layings.append(Laying(pitch=own, own=True, by_pitch=by_pitch))

    return tuple(sorted(layings, key=lambda one: (about if one.pitch is None else one.pitch, one.own)))


def _rows(cabinet: Cabinet, group: int) -> tuple[Fraction, ...]:
    """Where the rows of a group are across the face. [m]"""
    rows = cabinet.groups[group]
    assert isinstance(rows, Rows)
    return rows.rows.positions


def _depths(study: Study, group: int | None) -> tuple[Fraction, ...]:
    cabinet = study.cabinet
    own = exact_length(cabinet.box.depth)
    needed = least_depth(cabinet, LEAST_THROW)
    for depth in study.page.depths:
        if not float(depth) >= needed * (1 - 1e-12):
            raise InputError(
                f"page.depths: {format_length(depth, study.units)} leaves no throw: these modules need a depth of at "
                f"least {format_length(needed, study.units)}"
            )
    if study.page.depths:
        return tuple(sorted({*study.page.depths, own}))
    rows = None if group is None else cabinet.groups[group]
    pitch = rows.row_pitch if isinstance(rows, Rows) else None
    least, most = (exact_length(end) for end in usual_depths(cabinet, pitch))
    return _around(
        own,
        least=least,
        most=most,
        step=own * _DEPTH_STEP,
        units=study.units,
        count=MOST_DEPTHS,
    )


def _around(
    own: Fraction, *, least: Fraction, most: Fraction, step: Fraction, units: Units, count: int
) -> tuple[Fraction, ...]:
    """Lengths a round step apart, from a least to a most, the study's own among them. [m]"""

    def lengths(by: Fraction) -> tuple[Fraction, ...]:
        fewer, more = math.floor((own - least) / by), math.floor((most - own) / by)
        return tuple(own + number * by for number in range(-max(fewer, 0), max(more, 0) + 1))

    nearest: Iterable[Fraction] = sorted(_STEPS[units], key=lambda one: abs(math.log(one / step)))
    return next((found for by in nearest if len(found := lengths(by)) <= count), (own,))


def _repainted(study: Study, cabinet: Cabinet) -> tuple[Walls, ...]:
    box = cabinet.box
    own = [*box.return_reflectances, *([] if cabinet.double_sided else [box.back_reflectance])]
    other = study.page.repainted
    if other is None:
        other = BLACK if sum(own) / len(own) >= 0.5 else WHITE
    elif all(one == other for one in own):
        raise InputError(
            f"page.repainted: back and returns reflect {other:g} as they are: name another reflectance"
        )
    return (Walls(repainted=other),)
