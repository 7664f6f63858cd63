"""Built signs drawn: by seed and number alone, within what is said of them."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.spread import BuiltSign, Spread, built, draw, module_places, refuse_unfit
from tests.search.scanned import MODULE, cabinet

ALL = Spread(flux_scatter=0.05, placing=0.004, row_sag=0.003, depth=0.005, bow=0.006, dead_modules=2)


def sign(number: int, spread: Spread = ALL, seed: int = 3) -> BuiltSign:
    """Draw a sign of the small cabinet."""
    return draw(small(), spread, seed=seed, number=number)


def small() -> Cabinet:
    """Six rows of three modules."""
    return cabinet(Fraction(1, 10))


def alike(one: BuiltSign, other: BuiltSign) -> bool:
    """Whether two signs are the same to the last bit."""
    return (
        np.array_equal(one.flux, other.flux)
        and np.array_equal(one.off, other.off)
        and (one.depth, one.bow, one.dead) == (other.depth, other.bow, other.dead)
    )


def test_a_sign_hangs_on_seed_and_number_alone() -> None:
    """Drawn in any order and company a sign is the same; another seed or number gives another."""
    there = [sign(number) for number in (1, 2, 3)]
    back = [sign(number) for number in (3, 2, 1)]
    assert all(alike(one, other) for one, other in zip(there, reversed(back), strict=True))
    assert not alike(there[0], there[1])
    assert not alike(sign(1, seed=4), there[0])


def test_one_more_kind_of_spread_leaves_the_others_draws() -> None:
    """A sign without dead modules has the same places, depth and bow, and the same flux where none is dead."""
    with_dead, without = sign(1), sign(1, replace(ALL, dead_modules=0))
    lit = with_dead.flux > 0
    assert np.array_equal(with_dead.off, without.off)
    assert np.array_equal(with_dead.flux[lit], without.flux[lit])
    assert (with_dead.depth, with_dead.bow) == (without.depth, without.bow)


def test_flux_is_normal_and_cut_at_three() -> None:
    """Of many draws the mean is 1, the scatter that of a normal draw cut at three, and none lies beyond."""
    flux = np.concatenate([sign(number, Spread(flux_scatter=0.05)).flux for number in range(1, 401)])
    off = (flux - 1) / 0.05
    assert np.abs(off).max() <= 3
    assert off.mean() == pytest.approx(0, abs=4 / math.sqrt(len(off)))
    assert off.std() == pytest.approx(0.9866, rel=4 / math.sqrt(2 * len(off)))


def test_dead_modules_are_drawn_without_replacement_and_alike() -> None:
    """Each sign has as many dead modules as asked for, and over many signs each module is dead as often."""
    signs = [sign(number, Spread(dead_modules=3)) for number in range(1, 401)]
    n = len(small().emitters())
    assert all(len(set(one.dead)) == 3 and (one.flux == 0).sum() == 3 for one in signs)
    often = np.bincount(np.concatenate([one.dead for one in signs]), minlength=n)
    expected = len(signs) * 3 / n
    assert np.abs(often - expected).max() < 4.5 * math.sqrt(expected)


def test_modules_are_off_along_and_across_and_sag_in_the_middle() -> None:
    """Placing fills ± its length both ways on the back; a sagging row hangs by one parabola, its ends not at all."""
    placed = np.concatenate([sign(number, Spread(placing=0.004)).off for number in range(1, 200)])
    assert np.abs(placed[:, :2]).max(axis=0) == pytest.approx([0.004, 0.004], rel=0.01)
    assert np.abs(placed[:, :2]).max() <= 0.004
    assert not placed[:, 2].any()
    sagging = sign(1, Spread(row_sag=0.003)).off.reshape(6, 3, 3)
    assert not sagging[:, [0, 2]].any()
    assert (sagging[:, 1, 1] < 0).all()
    assert (sagging[:, 1, 1] >= -0.003).all()
    assert len(set(sagging[:, 1, 1])) == 6


def test_rows_on_a_return_are_off_along_it_and_across_the_depth() -> None:
    """What is along and across follows what the rows are on."""
    group = small().groups[0]
    assert isinstance(group, Rows)
    depths = replace(group.rows, extent=Fraction(15, 100), positions=(Fraction(7, 100),), pitch=None)
    on_left = replace(group, on="left", direction="vertical", rows=depths, module=MODULE)
    edge_lit = replace(small(), groups=(on_left,))
    off = draw(edge_lit, Spread(placing=0.004), seed=1, number=1).off
    assert not off[:, 0].any()
    assert off[:, 1].all()
    assert off[:, 2].all()


def test_no_module_is_placed_through_a_wall() -> None:
    """Modules right at a return stay inside, and the sign can be built."""
    by_wall = cabinet(Fraction(12, 100), height=0.1201, module_pitch=0.2999)
    group = by_wall.groups[0]
    assert isinstance(group, Rows)
    at_wall = replace(group, modules=replace(group.modules, positions=(Fraction(0), Fraction(3, 10))))
    by_wall = replace(by_wall, groups=(at_wall,))
    for number in range(1, 20):
        emitters = built(by_wall, draw(by_wall, Spread(placing=0.01), seed=1, number=number)).emitters()
        assert (emitters.x >= 0).all()
        assert (emitters.x <= 0.3).all()


def test_modules_are_named_by_row_and_place() -> None:
    """Rows count from the bottom, modules from the left."""
    places = module_places(small())
    assert (places[0].row, places[0].module, places[-1].row, places[-1].module) == (1, 1, 6, 3)
    assert places[4].x == pytest.approx(0.15)
    assert places[4].y == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("spread", "told"),
    [
        (Spread(dead_modules=18), "leaves none of the 18 modules lit"),
        (Spread(depth=0.03, bow=0.01), "depth and bow together, 40 mm"),
        (Spread(placing=0.04), "placing and row_sag together, 40 mm"),
    ],
)
def test_what_a_cabinet_cannot_have_is_refused(spread: Spread, told: str) -> None:
    """In words, with the numbers."""
    with pytest.raises(InputError, match=told):
        refuse_unfit(small(), spread)


def test_a_sag_that_no_row_has_is_refused() -> None:
    """Vertical rows do not sag."""
    with pytest.raises(InputError, match="no row of this cabinet sags"):
        refuse_unfit(cabinet(Fraction(1, 10), direction="vertical"), Spread(row_sag=0.001))
