"""The table of named limits: what each says of itself, and where areas part its values."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from lumsim.uniformity.named_limits import NAMED_LIMITS, tightest_limits
from lumsim.uniformity.requirement import LIMITS, Requirement


def test_every_named_limit_tells_its_source_mark_and_what_it_was_written_for() -> None:
    """Each stands under its own name, limits what can be limited, was seen, and says what of it is not judged."""
    for name, one in NAMED_LIMITS.items():
        assert one.name == name
        assert one.sets.keys() <= LIMITS.keys()
        assert one.source
        assert one.mark in {"seen", "seen in a secondary source"}
        assert "ritten for" in one.note or "recommendation" in one.note
        assert "ot judged" in one.note or "may mean otherwise" in one.note
        assert "memory" not in (one.source + one.note + one.mark).lower()


def test_every_value_can_be_required() -> None:
    """Bands rise to infinity, and each value that there is makes a requirement."""
    for one in NAMED_LIMITS.values():
        for limit, bands in one.sets.items():
            tops = [band.up_to for band in bands]
            assert tops == sorted(set(tops))
            assert tops[-1] == math.inf
            for band in bands:
                assert band.value is None or Requirement(**{limit: band.value}).limits == {limit: band.value}


def test_a_face_of_exactly_ten_square_metres_is_a_smaller_one() -> None:
    """At 10 m² England's limit is that of smaller faces, a hair above it the other; so with fractions."""
    england = NAMED_LIMITS["england-2007"]
    assert england.values(10.0) == {"max_luminance": 600.0}
    assert england.values(math.nextafter(10.0, 11)) == {"max_luminance": 300.0}
    assert england.values(Fraction(10)) == {"max_luminance": 600.0}
    assert england.values(10 + Fraction(1, 10**30)) == {"max_luminance": 300.0}


def test_a_dash_is_no_value() -> None:
    """In zone E1 there is none above 10 m², and there is one below."""
    assert NAMED_LIMITS["china-e1"].values(10.0) == {"max_luminance": 30.0}
    assert NAMED_LIMITS["china-e1"].values(10.1) == {"max_luminance": None}


@pytest.mark.parametrize(
    ("sets", "tightest"),
    [
        ([], {}),
        ([{}, {"max_luminance": 600.0}], {"max_luminance": 600.0}),
        ([{"max_luminance": 500.0, "max_to_min": 1.5}, {"max_luminance": 600.0, "max_to_min": 1.2}],
         {"max_to_min": 1.2, "max_luminance": 500.0}),
        ([{"min_to_mean": 0.4, "darkest_luminance": 2.0}, {"min_to_mean": 0.7, "darkest_luminance": 1.0}],
         {"min_to_mean": 0.7, "darkest_luminance": 2.0}),
    ],
)  # fmt: skip
def test_the_tightest_is_the_least_of_the_most_and_the_most_of_the_least(
    sets: list[dict[str, float]], tightest: dict[str, float]
) -> None:
    """Of what must be at most something the least holds, of what must be at least something the greatest."""
    assert tightest_limits(sets) == tightest
