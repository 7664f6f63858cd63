"""What is printed never says the opposite of what was judged."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, seed
from hypothesis import strategies as st

from lumsim.report.numbers import limit_told, limit_words, number_told, ratio, significant
from lumsim.uniformity.requirement import LIMITS, Judged


def judged(name: str, actual: float, limit: float) -> Judged:
    """Judge one number: met up to and including its limit."""
    met = actual <= limit if LIMITS[name] == "at most" else actual >= limit
    return Judged(name=name, actual=actual, limit=limit, met=met, margin=0.0)


RATIOS = st.floats(1, 1e5)
NEAR = st.tuples(RATIOS, st.integers(-4, 4)).map(lambda one: one[0] * (1 + one[1] * 2.0**-52))


@seed(60)
@given(
    st.sampled_from(list(LIMITS)),
    RATIOS | st.floats(1e-3, 1),
    RATIOS | st.sampled_from([1.0, 1.2, 1.5, 0.25]),
)
@example("max_to_min", 1.5000000001, 1.5)
@example("max_to_min", math.nextafter(1.5, 2), 1.5)
@example("max_to_min", 1.5, 1.5)
@example("max_to_min", 1.4999999999, 1.5)
@example("stripe_max_to_min", 1.2345678, 1.2345677)
@example("min_to_mean", 0.6999999, 0.7)
@example("min_to_mean", math.nextafter(0.7, 0), 0.7)
def test_the_printed_numbers_never_contradict_the_verdict(name: str, actual: float, limit: float) -> None:
    """Read back as a person reads them, actual and limit are in the order that `met` says, and the limit is whole."""
    one = judged(name, actual, limit)
    shown_actual, shown_limit = (float(text.split()[0]) for text in limit_words(one))
    assert (
        shown_actual <= shown_limit if LIMITS[name] == "at most" else shown_actual >= shown_limit
    ) == one.met
    assert math.isclose(shown_limit, limit, rel_tol=1e-12)


@seed(61)
@given(st.sampled_from(list(LIMITS)), RATIOS, st.integers(-3, 3))
def test_numbers_that_differ_in_the_last_bit_are_told_apart(name: str, limit: float, bits: int) -> None:
    """However close actual and limit are, what is printed agrees with `met`."""
    actual = limit
    for _ in range(abs(bits)):
        actual = math.nextafter(actual, math.inf if bits > 0 else 0)
    one = judged(name, actual, limit)
    shown_actual, shown_limit = (float(text.split()[0]) for text in limit_words(one))
    assert (
        shown_actual <= shown_limit if LIMITS[name] == "at most" else shown_actual >= shown_limit
    ) == one.met


def test_ordinary_numbers_have_two_decimals() -> None:
    """Where two decimals tell the two apart no more are printed."""
    assert limit_words(judged("max_to_min", 2.08765, 1.5)) == ("2.09", "1.50")
    assert limit_words(judged("max_to_min", 1.504, 1.5)) == ("1.504", "1.500")


@pytest.mark.parametrize(
    ("actual", "limit", "told"),
    [
        (869.9, 600.0, ("870 cd/m²", "600 cd/m²")),
        (600.4, 600.0, ("600.4 cd/m²", "600.0 cd/m²")),
        (600.0, 600.0, ("600 cd/m²", "600 cd/m²")),
        (45.63, 50.5, ("45.6 cd/m²", "50.5 cd/m²")),
        (3.0, 2.0, ("3.00 cd/m²", "2.00 cd/m²")),
    ],
)
def test_luminance_has_its_unit_and_digits_enough(actual: float, limit: float, told: tuple[str, str]) -> None:
    """Three digits of the limit, more where they are needed to tell the two apart; never a limit that seems met."""
    assert limit_words(judged("max_luminance", actual, limit)) == told


def test_a_limit_is_told_as_a_person_would_set_it() -> None:
    """With its side, its unit where it has one, and no digit more than it has."""
    assert limit_told("max_luminance", 600.0) == "mean luminance at most 600 cd/m²"
    assert limit_told("min_to_mean", 0.7) == "min/mean (U0) at least 0.7"
    assert (number_told("min_luminance", 382.51), number_told("max_to_min", 1.5)) == ("382.5 cd/m²", "1.500")


@seed(62)
@given(st.floats(1e-12, 1e12), st.integers(1, 6))
def test_significant_digits_are_as_many_as_asked_for(value: float, digits: int) -> None:
    """What is printed is within half a step of the last digit asked for, and readable as the number."""
    step = 10.0 ** (math.floor(math.log10(value)) + 1 - digits)
    assert abs(float(significant(value, digits)) - value) <= step * 0.501
    assert float(significant(-value, digits)) == -float(significant(value, digits))


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (3872.4, "3872"), (492.93, "493"), (0.5, "0.500"), (12.345, "12.3"), (1e-9, "1e-09")],
)
def test_significant_writes_numbers_as_a_person_does(value: float, text: str) -> None:
    """Three digits unless the number itself has more before its point."""
    assert significant(value) == text


@pytest.mark.parametrize(
    ("value", "text"), [(1.0, "1.00"), (2.094, "2.09"), (99.99, "99.99"), (123.4, "123")]
)
def test_a_ratio_has_two_decimals(value: float, text: str) -> None:
    """Two decimals, or three digits from 100 on."""
    assert ratio(value) == text
