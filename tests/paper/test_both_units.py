"""Lengths in inches are told in millimetres too, and nothing else is."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.paper.both_units import NO_BREAK, in_both_units
from lumsim.units import format_length, parse_length


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("throw 6 1/2 in", ["165.1 mm"]),
        ("1/16 in", ["1.6 mm"]),
        ("84 × 36 × 6 in inside", ["2133.6 × 914.4 × 152.4 mm"]),
        ("from 12 ft", ["3.658 m"]),
        ("5 3/4 in, 42 1/4 in", ["146.1 mm", "1073.2 mm"]),
        ("-1/2 in", ["-12.7 mm"]),
    ],
)
def test_lengths_in_both_units(text: str, si: list[str]) -> None:
    """An inch is 25.4 mm and a foot 0.3048 m (the international inch and foot)."""
    found = in_both_units(text)
    assert [one for _, one in found if one] == si
    assert "".join(part for part, _ in found).replace(NO_BREAK, " ") == text


@pytest.mark.parametrize(
    "text",
    [
        "100 in the longest",
        "3 in each",
        "2691 lm/m² of face",
        "1 point",
        "70 lm/in²",
        "12 ft/s",
        "",
        "no 5 index",
    ],
)
def test_what_is_no_length(text: str) -> None:
    """The word in, and units that only begin like it, are no inches."""
    assert in_both_units(text) == [(text, "")]


@given(st.integers(-(10**6), 10**6))
def test_every_length_that_is_printed(sixteenths: int) -> None:
    """Whatever length a tape has, its inches are found, and their millimetres are the same to 0.05 mm."""
    text = format_length(Fraction(sixteenths, 16) * Fraction(254, 10_000), "in")
    ((told, si),) = in_both_units(text)
    assert told == text.replace(" ", NO_BREAK)
    assert abs(parse_length(si) - parse_length(text)) <= Fraction(5, 100_000)
