"""The least depth is the one that trying every depth would find, beyond whatever gap it lies."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.beams.closed import Wide
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.depth import DepthSearch, shallowest, usual_range
from lumsim.search.layouts import with_depth, with_rows
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import Evenness
from lumsim.uniformity.requirement import Requirement, judge
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

MILLIMETRE = Fraction(1, 1000)
LEAST, MOST, STEP = 0.04, 0.24, 0.006


def wide() -> Cabinet:
    """Rows of a beam that is brightest far off its axis: a little deeper may be less even."""
    built = cabinet(0.15, height=0.6, width=0.6, depth=0.1, module_pitch=0.15)
    rows = built.groups[0]
    assert isinstance(rows, Rows)
    module = Module(name="wide", lumens=100.0, beam=Wide(width=2.0))
    return replace(built, groups=(replace(rows, module=module),))


def raised() -> Cabinet:
    """The same rows with their light-emitting plane 30 mm above the back."""
    return with_rows(wide(), 0, z=0.03)


@pytest.fixture(scope="module")
def scanned() -> dict[float, Evenness]:
    """How even the face is at every depth of a scan."""
    depths = [round(float(depth), 6) for depth in np.arange(LEAST, MOST, STEP)]
    return {depth: simulate(with_depth(wide(), depth), lighting=DIRECT).evenness for depth in depths}


def found(requirement: Requirement, *, least: float = LEAST, most: float = MOST) -> DepthSearch:
    """Search the wide beam's depth."""
    return shallowest(wide(), 0, requirement, least=least, most=most, mark=MILLIMETRE, lighting=DIRECT)


@pytest.mark.parametrize(
    ("requirement", "gap_below"),
    [
        # Max/min dips below 2.6 between 0.09 and 0.105 m, and again from 0.185 m on.
        (Requirement(max_to_min=2.6), False),
        # Stripes keep the search out of the first dip: the answer lies beyond the gap.
        (Requirement(max_to_min=2.6, stripe_max_to_min=1.06), True),
        # Edge dimming is least at 0.07 m and not met again before 0.19 m.
        (Requirement(edge_dimming=1.72, stripe_max_to_min=1.2), False),
    ],
    ids=str,
)
def test_the_least_depth_is_what_trying_every_depth_finds(
    requirement: Requirement, gap_below: bool, scanned: dict[float, Evenness]
) -> None:
    """An island at small depths is found, a gap behind it is passed over; at most one step of the scan short."""
    verdicts = {depth: judge(even, requirement).met for depth, even in scanned.items()}
    met = [depth for depth, is_met in verdicts.items() if is_met]
    island = {depth for depth in verdicts if met[0] < depth < met[-1]} - set(met)
    assert bool(island) is not gap_below
    answer = found(requirement)
    assert answer.exact is not None
    depth = answer.exact.cabinet.box.depth
    assert met[0] - STEP < depth <= met[0]
    assert simulate(with_depth(wide(), depth), requirement, lighting=DIRECT).verdict.met


def test_the_depth_to_build_is_on_a_mark_and_meets_the_requirement_too() -> None:
    """The first whole millimetre from the exact answer on; it stands in the range and is verified whole."""
    answer = found(Requirement(stripe_max_to_min=1.15))
    assert answer.exact is not None
    assert answer.buildable is not None
    exact, built = answer.exact.cabinet.box.depth, answer.buildable.cabinet.box.depth
    assert built * 1000 == pytest.approx(round(built * 1000), abs=1e-9)
    assert 0 <= built - exact < 1e-3
    assert answer.met
    assert answer.buildable.verdict.met


def test_a_depth_to_build_keeps_to_the_range() -> None:
    """A step so coarse that the next mark lies beyond the most depth asked for leaves nothing to build."""
    answer = shallowest(
        wide(),
        0,
        Requirement(stripe_max_to_min=1.15),
        least=LEAST,
        most=0.12,
        mark=Fraction(7, 100),
        lighting=DIRECT,
    )
    assert answer.exact is not None
    assert answer.buildable is None


def test_an_answer_just_misses_a_hundredth_of_a_millimetre_before() -> None:
    """Where the requirement is just met the number stands at its limit: 0.02 mm less and it is missed."""
    requirement = Requirement(stripe_max_to_min=1.15)
    answer = found(requirement)
    assert answer.exact is not None
    less = with_depth(wide(), answer.exact.cabinet.box.depth - 2e-5)
    assert not simulate(less, requirement, lighting=DIRECT).verdict.met
    assert answer.exact.evenness.stripe_max_to_min == pytest.approx(1.15, abs=2e-4)


def test_out_of_reach_the_closest_depth_is_told(scanned: dict[float, Evenness]) -> None:
    """Of a range with a dip in it that misses the requirement the bottom of the dip is the closest."""
    answer = found(Requirement(max_to_min=2.3), most=0.16)
    assert (answer.exact, answer.buildable, answer.met) == (None, None, False)
    numbers = {depth: even.max_to_min for depth, even in scanned.items() if depth <= 0.16}
    least = min(numbers, key=lambda depth: numbers[depth])
    assert answer.closest is not None
    assert answer.closest.cabinet.box.depth == pytest.approx(least, abs=2 * STEP)
    assert answer.best.excess == pytest.approx(numbers[least] / 2.3, rel=5e-3)


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        (0.029, 0.2, "leaves no throw: these modules need one of at least"),
        (0.2, 0.1, "must be below the most"),
    ],
)
def test_a_range_that_is_none_is_refused(least: float, most: float, said: str) -> None:
    """A depth within the modules, and a least above the most."""
    with pytest.raises(InputError, match=said):
        shallowest(
            raised(), 0, Requirement(max_to_min=2), least=least, most=most, mark=MILLIMETRE, lighting=DIRECT
        )


def test_the_usual_range_holds_the_cabinets_own_depth_and_leaves_a_throw() -> None:
    """From a fifth of the row pitch to three of it, above the light-emitting plane."""
    built = wide()
    least, most = usual_range(built)
    assert 0 < least < built.box.depth < most
    assert least == pytest.approx(0.15 / 5)
    assert most == pytest.approx(0.45)
