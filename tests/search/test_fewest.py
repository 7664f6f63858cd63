"""The fewest modules, watts or rows are those that trying every layout would find."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Direction, Rows
from lumsim.chunks import Crew
from lumsim.errors import InputError
from lumsim.search.asked import FewestAsked
from lumsim.search.families import families, usual_pitches
from lumsim.search.fewest import FewestSearch, fewest
from lumsim.search.layouts import with_rows
from lumsim.simulation import ALL_LIGHT, Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from lumsim.units import exact_length
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

CENTIMETRE = Fraction(1, 100)
WIDTH, HEIGHT = 0.5, 0.4
PITCHES = (0.1, 0.25)
ASKED = FewestAsked(row_pitch=PITCHES, module_pitch=PITCHES)
EVEN = Requirement(max_to_min=2.2, stripe_max_to_min=1.25, stripe_window=0.2)


def built() -> Cabinet:
    """A small cabinet, whose own layout must not matter."""
    return cabinet(0.2, height=HEIGHT, width=WIDTH, depth=0.13, module_pitch=0.2)


def found(
    requirement: Requirement = EVEN, asked: FewestAsked = ASKED, mark: Fraction = CENTIMETRE
) -> FewestSearch:
    """Search the small cabinet."""
    return fewest(built(), 0, requirement, asked, mark=mark, lighting=DIRECT)


@pytest.fixture(scope="module")
def answer() -> FewestSearch:
    """The answer for the small cabinet."""
    return found()


def counts(extent: float) -> Iterator[tuple[int, float, float]]:
    """Every count with its least and most pitch, as whole rows fall where a pitch is given. [m]"""
    for count in range(2, 7):
        low, high = extent / (count + 0.5), extent / (count - 0.5)
        low, high = max(low, PITCHES[0]), min(high, PITCHES[1])
        if low <= high:
            yield count, low, high


def laid(direction: Direction, rows: tuple[int, float], modules: tuple[int, float]) -> Cabinet:
    """Lay so many rows and modules, each count with its pitch [m]."""
    across, along = (HEIGHT, WIDTH) if direction == "horizontal" else (WIDTH, HEIGHT)
    return with_rows(
        built(),
        0,
        direction=direction,
        rows=place(exact_length(across), count=rows[0], pitch=exact_length(rows[1])),
        modules=place(exact_length(along), count=modules[0], pitch=exact_length(modules[1])),
    )


def meets(
    requirement: Requirement,
    direction: Direction,
    steps: int,
    *,
    fewer_than: int,
    lighting: Lighting = DIRECT,
    ageing: Ageing | None = None,
) -> list[tuple[int, int]]:
    """Every pair of counts, of fewer modules than that, one of whose layouts on a grid meets a requirement."""
    across, along = (HEIGHT, WIDTH) if direction == "horizontal" else (WIDTH, HEIGHT)
    interior = lighting.interior(built().box)
    return [
        (rows, modules)
        for rows, *between in counts(across)
        for modules, *along_between in counts(along)
        if rows * modules < fewer_than
        and any(
            simulate(
                laid(direction, (rows, float(row_pitch)), (modules, float(module_pitch))),
                requirement,
                lighting=lighting,
                interior=interior,
                ageing=ageing,
            ).met
            for row_pitch in np.linspace(between[0], between[1], steps)
            for module_pitch in np.linspace(along_between[0], along_between[1], steps)
        )
    ]


@pytest.mark.parametrize("steps", [3, pytest.param(7, marks=pytest.mark.slow)])
def test_no_layout_of_fewer_modules_meets_the_requirement(steps: int, answer: FewestSearch) -> None:
    """Every pair of counts with fewer modules is tried on a grid of both pitches: none does; the answer does."""
    assert answer.exact is not None
    assert simulate(answer.exact.cabinet, EVEN, lighting=DIRECT).verdict.met
    assert meets(EVEN, "horizontal", steps, fewer_than=answer.exact.modules) == []
    # Not for want of trying: there are layouts of fewer modules, and some are nearly as even.
    assert any(tried.modules < answer.exact.modules for tried in answer.tried)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("requirement", "ageing"),
    [
        (Requirement(max_to_min=1.35, stripe_max_to_min=1.2, stripe_window=0.2), None),
        (Requirement(min_to_mean=0.82), None),
        (Requirement(max_to_min=1.45, hot_spot_contrast=0.05), None),
        (Requirement(min_to_mean=0.82), Ageing(maintenance_factor=0.7, dirt_factor=0.8)),
        (Requirement(max_to_min=1.5, min_luminance=700.0), Ageing(maintenance_factor=0.7)),
    ],
)
def test_with_reflected_light_no_layout_of_fewer_modules_does(
    requirement: Requirement, ageing: Ageing | None
) -> None:
    """With light thrown back, new and aged, no pair of counts with fewer modules meets it anywhere on a grid."""
    found = fewest(built(), 0, requirement, ASKED, mark=CENTIMETRE, ageing=ageing)
    assert found.exact is not None
    assert simulate(found.exact.cabinet, requirement, ageing=ageing).met
    few = found.exact.modules
    assert meets(requirement, "horizontal", 5, fewer_than=few, lighting=ALL_LIGHT, ageing=ageing) == []


@pytest.mark.slow
def test_both_directions_are_searched_where_they_are_allowed() -> None:
    """A cabinet that takes fewer modules with its rows the other way is answered with that way."""
    one = found()
    both = found(asked=replace(ASKED, directions=("vertical", "horizontal")))
    assert one.exact is not None
    assert both.exact is not None
    assert one.exact.moved.direction == "horizontal"
    assert both.exact.modules <= one.exact.modules
    assert {tried.moved.direction for tried in both.tried} == {"horizontal", "vertical"}
    assert meets(EVEN, "vertical", 5, fewer_than=both.exact.modules) == []


def test_the_layout_to_build_has_both_pitches_on_marks(answer: FewestSearch) -> None:
    """Row pitch and module pitch are whole centimetres, and no fewer modules than the exact answer has do."""
    assert answer.exact is not None
    assert answer.buildable is not None
    for places in (answer.buildable.moved.rows, answer.buildable.moved.modules):
        assert places.pitch is not None
        assert (places.pitch / CENTIMETRE).denominator == 1
    assert answer.buildable.modules >= answer.exact.modules
    assert simulate(answer.buildable.cabinet, EVEN, lighting=DIRECT).verdict.met


@pytest.mark.slow
def test_the_fewest_rows_may_have_more_modules() -> None:
    """Rows are counted first, modules where rows are equal."""
    by_rows = found(asked=replace(ASKED, of="rows"))
    by_modules = found()
    assert by_rows.exact is not None
    assert by_modules.exact is not None
    assert by_rows.exact.rows.count <= by_modules.exact.rows.count
    assert by_rows.exact.modules >= by_modules.exact.modules


def test_edge_distances_bound_both_pitches() -> None:
    """Outermost rows and modules keep to the edge distances asked for."""
    answer = found(Requirement(max_to_min=2.6), replace(ASKED, edge_distance=(0.07, 0.1)))
    assert answer.exact is not None
    for places in (answer.exact.moved.rows, answer.exact.moved.modules):
        assert 0.07 - 1e-9 <= float(places.edge_distances[0]) <= 0.1 + 1e-9


def test_the_same_question_has_the_same_answer() -> None:
    """Nothing is drawn by chance: two searches agree to the last digit.

    Nor does it matter who searches: two processes find the same, though they look at pairs of counts beyond the answer.
    """
    narrow = replace(ASKED, row_pitch=(0.22, 0.25), module_pitch=(0.12, 0.2))
    loose = Requirement(max_to_min=2.6)
    answer = found(loose, narrow)
    assert answer.exact is not None
    assert found(loose, narrow) == answer
    by_two = fewest(built(), 0, loose, narrow, mark=CENTIMETRE, lighting=DIRECT, crew=Crew(processes=2))
    assert by_two == answer


def test_ctrl_c_leaves_the_best_so_far(answer: FewestSearch) -> None:
    """Stopped after five pairs of counts, these five are the answer, marked unfinished."""

    def stop(share: float, what: str) -> None:
        if what.startswith("5 of ") and what.endswith(" row and module counts"):
            raise KeyboardInterrupt

    stopped = fewest(built(), 0, EVEN, ASKED, mark=CENTIMETRE, lighting=DIRECT, progress=stop)
    assert not stopped.finished
    assert stopped.tried == answer.tried[:5]


def test_out_of_reach_the_closest_layout_is_told() -> None:
    """A limit that no layout meets is answered with the layout that comes nearest of all tried."""
    answer = found(Requirement(max_to_min=1.05), replace(ASKED, row_pitch=(0.1, 0.12)))
    assert (answer.exact, answer.buildable, answer.met) == (None, None, False)
    assert answer.closest is not None
    assert answer.closest.excess == pytest.approx(min(tried.excess for tried in answer.tried), rel=1e-3)


def test_watts_need_modules_that_have_some() -> None:
    """Without watts of the module the fewest watts are refused, with them they are the fewest modules."""
    with pytest.raises(InputError, match=r"has none: give modules\.standard\.watts"):
        found(asked=replace(ASKED, of="watts"))


def test_ranges_that_hold_no_layout_are_refused() -> None:
    """Pitches wider than the cabinet leave no two rows."""
    with pytest.raises(InputError, match=r"no layout falls within the ranges of \[search\.fewest\]"):
        found(asked=replace(ASKED, row_pitch=(0.9, 1.0)))


def test_usual_pitches_hold_the_groups_own() -> None:
    """From half to three throws, and wherever the own pitch is."""
    for pitch in (0.02, 0.12, 0.39):
        own = cabinet(pitch, height=HEIGHT, width=WIDTH, depth=0.13)
        rows = own.groups[0]
        assert isinstance(rows, Rows)
        (least, most), _ = usual_pitches(own, 0)
        assert rows.rows.pitch is None or least <= float(rows.rows.pitch) <= most


def test_staggered_rows_keep_the_edge_distance_that_is_asked_for() -> None:
    """With every other row moved, all ends are within the range; without one a quarter of the pitch is left."""
    narrow = replace(ASKED, row_pitch=(0.16, 0.25), module_pitch=(0.1, 0.2), staggered=(True,))
    for edges in (None, (0.03, 0.14)):
        cabinets = families(built(), 0, EVEN, replace(narrow, edge_distance=edges))
        assert cabinets
        for family in cabinets:
            for pitch in family.module_pitch:
                group = family.laid(family.row_pitch[0], pitch).groups[0]
                assert isinstance(group, Rows)
                ends = [float(end) for end in (*group.first_modules, *group.last_modules)]
                least, most = edges or (float(pitch) / 4, float(pitch))
                assert least - 1e-9 <= min(ends)
                assert max(ends) <= most + 1e-9


def test_staggered_rows_are_tried_where_they_are_allowed() -> None:
    """Both kinds are searched; a staggered answer is laid so, and its outermost modules stay inside."""
    narrow = replace(ASKED, row_pitch=(0.16, 0.25), module_pitch=(0.12, 0.2), staggered=(False, True))
    answer = found(Requirement(max_to_min=2.6), narrow)
    assert {tried.moved.staggered for tried in answer.tried} == {False, True}
    only = found(Requirement(max_to_min=2.6), replace(narrow, staggered=(True,)))
    assert only.exact is not None
    assert answer.exact is not None
    assert only.exact.moved.staggered
    assert answer.exact.modules <= only.exact.modules
    assert min(only.exact.moved.first_modules) >= 0
    assert simulate(only.exact.cabinet, Requirement(max_to_min=2.6), lighting=DIRECT).verdict.met
