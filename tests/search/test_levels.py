"""Searches by luminance, and of cabinets that age: what is answered holds in both states."""

from __future__ import annotations

import pickle
from dataclasses import replace
from fractions import Fraction

import pytest

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.cabinet import Cabinet
from lumsim.search.depths import pitch_against_depth
from lumsim.search.layouts import with_row_pitch
from lumsim.search.row_pitch import PitchSearch, widest_row_pitch
from lumsim.simulation import Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

MILLIMETRE = Fraction(1, 1000)
DEPTH = 0.15
QUICK = Lighting(patches_in_depth=4)
HEIGHT = 0.3


def low(depth: float = DEPTH) -> Cabinet:
    """Rows in a cabinet of 0.15 × 0.3 m, which is searched in a moment. [m]"""
    return cabinet(0.1, height=HEIGHT, width=0.15, depth=depth, module_pitch=0.075)


LOW = low()


def found(asked: Requirement, ageing: Ageing | None = None, *, lighting: Lighting = DIRECT) -> PitchSearch:
    """Search the low cabinet, 0.15 m deep."""
    return widest_row_pitch(LOW, 0, asked, mark=MILLIMETRE, lighting=lighting, ageing=ageing)


def mean_of(pitch: Fraction | float) -> float:
    """Return the mean luminance with rows at a pitch, by direct light. [cd/m²]"""
    return simulate(with_row_pitch(LOW, 0, pitch), lighting=DIRECT).evenness.mean


def test_a_least_luminance_is_met_by_the_fewest_rows_that_give_it() -> None:
    """The answer gives the least that is required, and one row alone does not."""
    least = 1.2 * mean_of(HEIGHT)
    answer = found(Requirement(min_luminance=least)).exact
    assert answer is not None
    assert answer.rows.count == 2
    assert mean_of(answer.pitch) >= least
    (judged,) = answer.verdict.judged
    assert judged.actual == pytest.approx(mean_of(answer.pitch), rel=1e-12)


def test_a_darkest_place_asks_for_rows_that_light_it_new_and_aged() -> None:
    """The answer's darkest place has what is asked for when aged, and a coarser look comes to the same."""
    least = 1.1 * simulate(with_row_pitch(LOW, 0, HEIGHT), lighting=DIRECT).evenness.darkest.value
    answer = found(Requirement(darkest_luminance=0.7 * least), Ageing(maintenance_factor=0.7)).exact
    assert answer is not None
    assert answer.rows.count == 2
    (judged,) = answer.verdict.judged
    lowest = simulate(answer.cabinet, lighting=DIRECT).evenness.darkest.value
    assert judged.actual == pytest.approx(0.7 * lowest, rel=1e-9)
    assert lowest >= least * (1 - 1e-12)


def test_a_most_luminance_keeps_closer_rows_out() -> None:
    """Two rows are the fewest that are even enough: capped below the least that they give, nothing is answered."""
    even, deep = Requirement(max_to_min=1.6), low(0.25)

    def answered(asked: Requirement) -> PitchSearch:
        return widest_row_pitch(deep, 0, asked, mark=MILLIMETRE, lighting=DIRECT)

    free = answered(even)
    assert free.exact is not None
    assert free.exact.rows.count == 2
    means = [
        simulate(one.cabinet, lighting=DIRECT).evenness.mean for one in free.tried if one.rows.count == 2
    ]
    capped = answered(replace(even, max_luminance=0.9 * min(means)))
    assert capped.exact is None
    assert capped.closest is not None
    assert capped.closest.excess > 1
    roomy = answered(replace(even, max_luminance=1.1 * max(means))).exact
    assert roomy is not None
    assert roomy.pitch == free.exact.pitch


def test_each_limit_is_told_in_the_state_where_it_is_the_harder() -> None:
    """The most is held against the new mean and the least against the aged one, on every layout that was tried."""
    asked = Requirement(max_luminance=1e4, min_luminance=mean_of(HEIGHT))
    for one in found(asked, Ageing(maintenance_factor=0.7)).tried:
        most, least = one.verdict.judged
        assert most.actual == pytest.approx(mean_of(one.pitch), rel=1e-12)
        assert least.actual == pytest.approx(0.7 * most.actual, rel=1e-12)


def test_maintenance_asks_for_as_much_more_of_a_new_cabinet() -> None:
    """A least of L, held aged with a factor f, is answered as L/f of a cabinet that does not age."""
    least = mean_of(HEIGHT / 2)
    old = found(Requirement(min_luminance=0.7 * least), Ageing(maintenance_factor=0.7))
    new = found(Requirement(min_luminance=least))
    assert old.exact is not None
    assert new.exact is not None
    assert old.exact.pitch == pytest.approx(new.exact.pitch, rel=1e-9)
    assert (old.exact.aged, new.exact.aged) == (True, False)
    assert old.exact.evenness.mean == pytest.approx(0.7 * new.exact.evenness.mean, rel=1e-9)


def test_with_dirt_the_answer_is_that_of_the_dirty_cabinet() -> None:
    """Dirt makes a face less even: one row that is even enough new is not so aged, and the aged one's two are built."""
    asked, ageing = Requirement(max_to_min=1.8), Ageing(dirt_factor=0.5)
    both = found(asked, ageing, lighting=QUICK).exact
    old = widest_row_pitch(aged(LOW, ageing), 0, asked, mark=MILLIMETRE, lighting=QUICK).exact
    new = found(asked, lighting=QUICK).exact
    assert both is not None
    assert old is not None
    assert new is not None
    assert (both.rows.count, old.rows.count, new.rows.count) == (2, 2, 1)
    assert both.pitch == old.pitch
    assert both.evenness == old.evenness
    assert both.aged
    # What is kept is the layout to build, new.
    assert both.cabinet.box == LOW.box
    lit = simulate(both.cabinet, asked, lighting=QUICK, ageing=ageing)
    assert lit.met
    assert lit.deciding.verdict == both.verdict
    assert not simulate(new.cabinet, asked, lighting=QUICK, ageing=ageing).met


def test_other_depths_age_as_well() -> None:
    """At another depth one row gives enough new and not aged, so two are answered."""
    deeper = low(0.2)
    asked = Requirement(
        min_luminance=0.8 * simulate(with_row_pitch(deeper, 0, HEIGHT), lighting=DIRECT).evenness.mean
    )
    for ageing, rows in ((None, 1), (Ageing(maintenance_factor=0.6), 2)):
        (found_there,) = pitch_against_depth(
            LOW, 0, asked, [0.2], mark=MILLIMETRE, lighting=DIRECT, ageing=ageing
        )  # fmt: skip
        assert found_there.exact is not None
        assert found_there.exact.rows.count == rows
        assert found_there.exact.aged == (ageing is not None)


@pytest.mark.parametrize("ageing", [Ageing(maintenance_factor=0.9), Ageing(dirt_factor=0.9)])
def test_the_light_of_what_was_verified_serves_again(ageing: Ageing) -> None:
    """A simulation by the verified light of a layout, new and aged, is the simulation; another process has none."""
    asked = Requirement(max_to_min=1.8)
    tried = found(asked, ageing, lighting=QUICK).best
    assert len(tried.light.lights) == (1 if ageing.levels_only else 2)
    again = simulate(tried.cabinet, asked, lighting=QUICK, ageing=ageing, known=tried.light.lights)
    anew = simulate(tried.cabinet, asked, lighting=QUICK, ageing=ageing)
    for one, other in ((again, anew), (again.aged, anew.aged)):
        assert one is not None
        assert other is not None
        assert (one.evenness, one.verdict, one.error) == (other.evenness, other.verdict, other.error)
        assert (one.ledger, one.patches, one.spots) == (other.ledger, other.patches, other.spots)
    sent = pickle.loads(pickle.dumps(tried))
    assert sent.light.lights == ()
    assert sent.evenness == tried.evenness
