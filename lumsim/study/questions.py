"""What a study asks of a search: which questions, between what lengths, rounded to what."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, get_args

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.asked import EdgeAsked, FewestAsked, PlaneAsked
from lumsim.study.reports import Report, length_shown
from lumsim.study.search_form import EdgeForm, PlaneForm, SearchForm
from lumsim.units import METRES_PER_INCH, Units

__all__ = ["MARK", "QUESTIONS", "Question", "SearchAsked", "asked_for", "question_named", "search_asked"]

Question = Literal["pitch", "depth", "modules", "watts", "rows", "edge", "plane"]
"""The widest row pitch, the least depth, the fewest modules, watts or rows, the best edge distance, the plane."""

QUESTIONS: tuple[Question, ...] = get_args(Question)

MARK: dict[Units, Fraction] = {"in": METRES_PER_INCH / 16, "mm": Fraction(1, 1000)}
"""Distance between the marks of a tape measure. [m]"""

Range = tuple[float, float]
"""The least and the most. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchAsked:
    """Every question that a study may hold, those it does not hold as they are unless said."""

    questions: tuple[Question, ...] = ()
    """that it holds"""
    group: int | None = None
    """whose rows move, from 1; None: the only one there is"""
    step: Fraction
    """what a layout to build is rounded to [m]"""
    other_depths: tuple[float, ...] = ()
    """at which the widest row pitch is searched besides the cabinet's own [m]"""
    depth_within: Range | None = None
    """None: see ``depth.usual_range``"""
    fewest: FewestAsked
    edge: EdgeAsked
    plane: PlaneAsked


def search_asked(form: SearchForm, units: Units, cabinet: Cabinet, report: Report) -> SearchAsked:
    """What a form asks of a search.

    Parameters
    ----------
    form : SearchForm
    units : {"in", "mm"}
        For the marks that hold unless it names a step.
    cabinet : Cabinet
        That it is asked of.
    report : callable
        Told of each thing that does not fit.
    """
    _check(form, units, cabinet, report)
    questions: list[Question] = []
    if form.pitch is not None:
        questions.append("pitch")
    if form.depth is not None:
        questions.append("depth")
    if form.fewest is not None:
        questions.append(form.fewest.of)
    if form.edge is not None:
        questions.append("edge")
    if form.plane is not None:
        questions.append("plane")
    fewest = form.fewest
    edge = form.edge or EdgeForm()
    plane = form.plane or PlaneForm()
    return SearchAsked(
        questions=tuple(questions),
        group=form.group,
        step=MARK[units] if form.step is None else form.step,
        other_depths=() if form.pitch is None else tuple(float(depth) for depth in form.pitch.depths),
        depth_within=None if form.depth is None else _floats(form.depth.within),
        fewest=FewestAsked()
        if fewest is None
        else FewestAsked(
            of=fewest.of,
            row_pitch=_floats(fewest.row_pitch),
            module_pitch=_floats(fewest.module_pitch),
            edge_distance=_floats(fewest.edge_distance),
            staggered=None if fewest.staggered is None else tuple(dict.fromkeys(fewest.staggered)),
            directions=None if fewest.directions is None else tuple(dict.fromkeys(fewest.directions)),
        ),
        edge=EdgeAsked(count=edge.count, within=_floats(edge.within)),
        plane=PlaneAsked(
            pitches=plane.pitches,
            depths=plane.depths,
            pitch_count=plane.pitch_count,
            depth_count=plane.depth_count,
        ),
    )


def asked_for(asked: SearchAsked, questions: Sequence[Question]) -> SearchAsked:
    """The same search with other questions in place of those that it holds.

    Parameters
    ----------
    asked : SearchAsked
    questions : sequence of Question
    """
    return replace(asked, questions=tuple(dict.fromkeys(questions)))


def question_named(text: str) -> Question:
    """The question that a text names.

    Parameters
    ----------
    text : str

    Raises
    ------
    InputError
        Where it names none.
    """
    for question in QUESTIONS:
        if text == question:
            return question
    nearest = difflib.get_close_matches(text, QUESTIONS, n=1)
    hint = f"; did you mean {nearest[0]}?" if nearest else ""
    raise InputError(f"{text!r} is no question: {', '.join(QUESTIONS[:-1])} or {QUESTIONS[-1]} is{hint}")


def _floats(span: tuple[Fraction, Fraction] | None) -> Range | None:
    return None if span is None else (float(span[0]), float(span[1]))


def _check(form: SearchForm, units: Units, cabinet: Cabinet, report: Report) -> None:
    """Report what does not fit the cabinet."""
    groups = cabinet.groups
    if form.group is not None and form.group > len(groups):
        report(
            ("search", "group"),
            f"there is no group {form.group} of rows: they are counted from 1 to {len(groups)}",
        )
        return
    group = groups[0 if form.group is None else form.group - 1]
    if form.group is not None and not isinstance(group, Rows):
        report(
            ("search", "group"), f"group {form.group} lists its modules one by one: there is no pitch to move"
        )
    smallest = min(cabinet.box.width, cabinet.box.height)
    if form.step is not None and float(form.step) > smallest / 2:
        report(
            ("search", "step"),
            f"must be at most half the cabinet's shorter side, got {length_shown(form.step, units)}",
            of_sizes=True,
        )
    for table, key, span in (
        ("fewest", "row_pitch", form.fewest and form.fewest.row_pitch),
        ("fewest", "module_pitch", form.fewest and form.fewest.module_pitch),
        ("plane", "pitches", form.plane and form.plane.pitches),
    ):
        if span and not span[0] > 0:
            report(
                ("search", table, key),
                f"the least pitch must be more than 0, got {length_shown(span[0], units)}",
            )
    if form.edge is not None and form.edge.count == 1:
        report(
            ("search", "edge", "count"),
            "a single row sits in the middle: a best edge distance takes two rows or more",
        )
