"""What is good enough: limits, how a face stands to them, and what cannot be asked for."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lumsim.errors import InputError
from lumsim.uniformity.evenness import Evenness, evenness
from lumsim.uniformity.extremes import Extreme
from lumsim.uniformity.requirement import LIMITS, Requirement, judge, judge_numbers, names_asked, standing
from tests.uniformity.known_faces import flat

FLAT = evenness(flat(1.0), 0.2)


def even(**numbers: float | Extreme) -> Evenness:
    """Return a face's evenness with some numbers set by hand."""
    return replace(FLAT, **numbers)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "name", ["max_to_min", "stripe_max_to_min", "edge_dimming", "coefficient_of_variation"]
)
def test_at_most_is_met_up_to_and_including(name: str) -> None:
    """A number that must not be above a limit may equal it, and the next float above is too much."""
    limit = 1.5
    requirement = Requirement(**{name: limit})
    for actual, met in ((1.2, True), (limit, True), (math.nextafter(limit, 2), False), (1.8, False)):
        (judged,) = judge(even(**{name: actual}), requirement).judged
        assert (judged.name, judged.actual, judged.limit, judged.met) == (name, actual, limit, met)
        assert judged.margin == pytest.approx(limit / actual - 1, abs=1e-15)
        assert (judged.margin >= 0) == met


def test_at_least_is_met_down_to_and_including() -> None:
    """A number that must not be below a limit may equal it, and the next float below is too little."""
    for actual, met in ((0.8, True), (0.7, True), (math.nextafter(0.7, 0), False), (0.35, False)):
        (judged,) = judge(even(min_to_mean=actual), Requirement(min_to_mean=0.7)).judged
        assert judged.met == met
        assert judged.margin == pytest.approx(actual / 0.7 - 1, abs=1e-15)


def test_luminance_limits_are_judged_on_the_mean() -> None:
    """The most and the least luminance are limits on the mean, met up to and including them, in cd/m²."""
    asked = Requirement(max_luminance=500.0, min_luminance=200.0)
    for mean, met in (
        (math.nextafter(200.0, 0), (True, False)),
        (200.0, (True, True)),
        (350.0, (True, True)),
        (500.0, (True, True)),
        (math.nextafter(500.0, 600), (False, True)),
    ):
        most, least = judge(even(mean=mean), asked).judged
        assert (most.name, least.name) == ("max_luminance", "min_luminance")
        assert (most.actual, least.actual) == (mean, mean)
        assert (most.met, least.met) == met
        assert most.margin == pytest.approx(500 / mean - 1, abs=1e-15)
        assert least.margin == pytest.approx(mean / 200 - 1, abs=1e-15)


def test_a_wanted_luminance_judges_nothing() -> None:
    """What is wanted is no limit."""
    assert judge(even(mean=3.0), Requirement(wanted_luminance=500.0)).judged == ()


def test_a_least_luminance_above_the_most_is_refused() -> None:
    """No face could meet both; as much as the most is all right."""
    with pytest.raises(
        InputError, match="min_luminance 501 cd/m² is above max_luminance 500 cd/m²: no luminance"
    ):
        Requirement(max_luminance=500, min_luminance=501)
    assert len(Requirement(max_luminance=500, min_luminance=500).limits) == 2


def test_the_lowest_luminance_is_judged_on_the_darkest_place() -> None:
    """Down to and including its limit it is met; above the most luminance allowed it is refused."""
    asked = Requirement(darkest_luminance=2.0)
    assert names_asked(asked) == ("darkest_luminance",)
    for lowest, met in ((2.5, True), (2.0, True), (math.nextafter(2.0, 0), False)):
        whole = even(darkest=Extreme(value=lowest, x=0.0, y=0.0))
        (judged,) = judge(whole, asked).judged
        assert (judged.actual, judged.met) == (lowest, met)
        assert judge_numbers({"darkest_luminance": lowest}, asked).judged == (judged,)
    with pytest.raises(InputError, match="darkest_luminance 3 cd/m² is above max_luminance 2 cd/m²"):
        Requirement(max_luminance=2, darkest_luminance=3)


@pytest.mark.parametrize("name", ["max_luminance", "min_luminance", "darkest_luminance", "wanted_luminance"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_luminance_that_is_none_is_refused(name: str, value: float) -> None:
    """Nought, less, NaN and infinity are refused with their unit."""
    with pytest.raises(InputError, match=rf"{name} must be above 0 and at most 1e\+09 cd/m², got"):
        Requirement(**{name: value})


def test_all_limits_must_be_met_and_the_tightest_is_named() -> None:
    """One limit that is not met fails the whole; the tightest is the one with the least to spare."""
    requirement = Requirement(max_to_min=1.5, stripe_max_to_min=1.2, min_to_mean=0.7)
    good = judge(even(max_to_min=1.4, stripe_max_to_min=1.0, min_to_mean=0.9), requirement)
    assert good.met
    assert good.tightest is not None
    assert good.tightest.name == "max_to_min"
    bad = judge(even(max_to_min=1.4, stripe_max_to_min=1.3, min_to_mean=0.9), requirement)
    assert not bad.met
    assert [one.name for one in bad.judged if not one.met] == ["stripe_max_to_min"]
    assert bad.tightest is not None
    assert bad.tightest.margin == pytest.approx(1.2 / 1.3 - 1)


def test_no_requirement_is_met() -> None:
    """Where nothing is asked for, everything is met and nothing is tightest."""
    verdict = judge(even(max_to_min=9.0), Requirement())
    assert verdict.met
    assert verdict.judged == ()
    assert verdict.tightest is None


def test_a_perfectly_even_face_meets_the_strictest_requirement() -> None:
    """Limits of 1, which are perfect evenness, are met by a face without any variation."""
    strictest = Requirement(max_to_min=1.0, stripe_max_to_min=1.0, min_to_mean=1.0)
    assert judge(evenness(flat(123.456), 0.2), strictest).met


def test_no_variation_leaves_everything_to_spare() -> None:
    """A coefficient of variation of nought has no finite margin."""
    (judged,) = judge(even(coefficient_of_variation=0.0), Requirement(coefficient_of_variation=0.1)).judged
    assert judged.met
    assert judged.margin == math.inf


def test_limits_come_in_one_order() -> None:
    """Limits are judged in the order of the list of limits, whichever are set."""
    requirement = Requirement(min_to_mean=0.5, max_to_min=2.0)
    assert list(requirement.limits) == [name for name in LIMITS if name in {"min_to_mean", "max_to_min"}]


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("max_to_min", 0.99, "max_to_min cannot be below 1, got 0.99"),
        ("stripe_max_to_min", math.nan, "stripe_max_to_min cannot be below 1, got nan"),
        ("edge_dimming", -1.0, "edge_dimming cannot be below 1, got -1"),
        ("coefficient_of_variation", -0.1, "coefficient_of_variation cannot be below 0, got -0.1"),
        ("min_to_mean", 0.0, "min_to_mean must be above 0 and at most 1, got 0"),
        ("min_to_mean", 1.01, "min_to_mean must be above 0 and at most 1, got 1.01"),
        ("stripe_window", 0.0, "stripe_window must be more than 0 m, got 0 m"),
        ("spot_contrast", 0.0, "spot_contrast must be between 0 and 1, got 0"),
        ("spot_contrast", 1.0, "spot_contrast must be between 0 and 1, got 1"),
    ],
)
def test_what_cannot_be_asked_for_is_refused(name: str, value: float, message: str) -> None:
    """A limit that every face meets or none can is refused, with its name and value."""
    with pytest.raises(InputError, match=message):
        Requirement(**{name: value})


def test_the_worse_of_two_faces_stands_lower() -> None:
    """Faces compare by whether they meet the requirement, then by the least margin, and by max/min where none is."""
    requirement = Requirement(max_to_min=2.0, stripe_max_to_min=1.2)

    def stands(
        max_to_min: float, stripes: float, asked: Requirement = requirement
    ) -> tuple[bool, float, float]:
        one = even(max_to_min=max_to_min, stripe_max_to_min=stripes)
        return standing(one.max_to_min, judge(one, asked))

    # The margins: 0.2 by stripes; 0.0 by max/min; a hair missed; 2/3 of the limit.
    by_rank = [stands(1.1, 1.0), stands(2.0, 1.0), stands(math.nextafter(2.0, 3), 1.0), stands(1.1, 1.8)]
    assert sorted(by_rank, reverse=True) == by_rank
    assert stands(1.6, 1.0) == stands(1.1, 1.0)
    assert stands(1.6, 1.0, Requirement()) < stands(1.5, 1.3, Requirement())
