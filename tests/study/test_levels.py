"""How far to dim, and which face and state a limit and a luminance rest on."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import example, given, seed
from hypothesis import strategies as st

from lumsim.cabinet.ageing import Ageing
from lumsim.errors import InputError
from lumsim.simulation import Simulation, simulate
from lumsim.study.levels import dim_share, levels, lumens_needed, luminance_to_reach, tightest_of
from lumsim.uniformity.requirement import Requirement
from tests import cabinets
from tests.cabinets import DIRECT, OPAL


def lit(asked: Requirement, ageing: Ageing | None = None) -> Simulation:
    """Light a double-sided cabinet whose rear face is the nearer and the brighter one."""
    cabinet = cabinets.listed(0.5, 0.3, 0.2, [(0.15, 0.15), (0.35, 0.15)], z=0.08, front_share=0.3, rear=OPAL)
    return simulate(cabinet, asked, lighting=DIRECT, ageing=ageing)


@seed(63)
@given(st.floats(1e-3, 1e6), st.floats(1e-3, 1e6))
@example(869.9, 600.0)
@example(500.0000001, 500.0)
@example(1000.0, 689.0)
@example(3.0, 0.3)
def test_dimmed_to_what_is_printed_the_cap_holds(mean: float, limit: float) -> None:
    """The share has three digits, dims to at most the limit, and one digit more would be at the limit or above."""
    share = dim_share(mean, limit)
    if mean <= limit:
        assert share == 1
        return
    assert 0 < share < 1
    assert share * mean <= limit
    exact = Decimal(repr(share))
    assert len(exact.normalize().as_tuple().digits) <= 3
    step = Decimal(1).scaleb((Decimal(limit) / Decimal(mean)).adjusted() - 2)
    assert float(exact + step) * mean >= limit * (1 - 1e-15)
    assert float(f"{share * 100:.3g}") == pytest.approx(share * 100, rel=1e-12)


def test_the_most_rests_on_the_brighter_face_new_and_the_least_on_the_darker_aged() -> None:
    """Of two faces and two states, each limit has the least to spare where it is hardest to meet."""
    one = lit(Requirement(max_luminance=1e5, min_luminance=1.0), Ageing(maintenance_factor=0.6))
    assert one.rear is not None
    assert one.rear.evenness.mean > one.front.evenness.mean
    most, least = tightest_of(one, "max_luminance"), tightest_of(one, "min_luminance")
    assert most is not None
    assert least is not None
    assert (most[0].lit.side, most[0].state) == ("rear", "new")
    assert (least[0].lit.side, least[0].state) == ("front", "aged")
    assert least[1].actual == pytest.approx(0.6 * one.front.evenness.mean, rel=1e-15)
    assert tightest_of(one, "max_to_min") is None
    assert len(levels(one)) == 4
    needed = lumens_needed(one, 100.0)
    assert (needed.level.lit.side, needed.level.state) == ("front", "aged")
    assert needed.total == pytest.approx(200 * 100 / (0.6 * one.front.evenness.mean), rel=1e-12)


def test_what_is_wanted_comes_before_a_least_that_is_missed() -> None:
    """The lumens told are those for what is wanted, or else for the least where it is missed, or for none."""
    for asked, reached in (
        (Requirement(), None),
        (Requirement(min_luminance=1e-3), None),
        (Requirement(min_luminance=1e6), 1e6),
        (Requirement(min_luminance=1e6, wanted_luminance=300.0), 300.0),
    ):
        assert luminance_to_reach(lit(asked), asked) == reached


def test_lumens_for_the_darkest_place_lift_it_to_what_is_asked() -> None:
    """They are those that there are, times what is asked over the lowest of all faces and states."""
    one = lit(Requirement(), Ageing(maintenance_factor=0.6))
    lowest = min(face.evenness.darkest.value for face in one.faces)
    needed = lumens_needed(one, 50.0, of="darkest_luminance")
    assert needed.total == pytest.approx(200 * 50 / (0.6 * lowest), rel=1e-12)
    assert needed.level.state == "aged"


@pytest.mark.parametrize("wanted", [0.0, -1.0, float("nan")])
def test_a_luminance_that_is_none_takes_no_lumens(wanted: float) -> None:
    """Nought, less and NaN are refused."""
    with pytest.raises(InputError, match="a wanted luminance must be more than 0 cd/m²"):
        lumens_needed(lit(Requirement()), wanted)
