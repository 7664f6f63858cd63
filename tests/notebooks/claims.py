"""What each lesson tells that must hold wherever its sliders stand."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.notebooks.course import Ran, stands_in


def one_module_claims(moved: Ran) -> None:
    """Twice as far a quarter is left, half as far four times as much; what lies between modules looks darker then."""
    made = moved.made
    assert made["far"] == pytest.approx(made["near"] / 4)
    assert made["closer"] == pytest.approx(4 * made["near"])
    assert made["aside"] == pytest.approx(made["near"] / 4)
    assert made["narrow_left"] == pytest.approx(1 / 8)
    # Two modules a throw apart: 2/(1 + 1/4)² midway against 1 + 1/4, and half as far 8/4 against 4 + 4/25.
    assert (
        "there was 102 % of what is over one of them, and now there is 48 %: it looks darker" in moved.words
    )


def row_claims(moved: Ran) -> None:
    """A row is as light at the ends of its picture as in the middle; what is called a dip that is seen is one."""
    made = moved.made
    across = made["row_lux"]
    period = round(10 * made["pitch"])
    assert max(across[: period + 1]) == pytest.approx(max(across), rel=0.005)
    assert (made["dip_here"] >= made["SEEN"]) == (made["pitch"] / made["throw"] >= made["row_seen_from"])
    assert made["dip_closer"] >= made["dip_here"] - 1e-6
    assert made["ripple"] > 0.999


def rows_claims(moved: Ran) -> None:
    """Both cabinets have the same stripes, and hardly other ones than rows without end."""
    made = moved.made
    assert made["in_small"] == pytest.approx(made["in_large"], rel=1e-9)
    assert made["in_small"] == pytest.approx(made["stripes"], rel=0.06)


def white_claims(moved: Ran) -> None:
    """No paint that can be set is darker than all black, nor lights more than white all over by far."""
    made = moved.made
    assert made["black"].evenness.mean <= made["yours"].evenness.mean * 1.000001
    whiter = max(made["back"].value, made["returns"].value) > made["WHITE"]
    assert whiter or made["yours"].evenness.mean <= made["white"].evenness.mean * 1.000001


def beam_claims(moved: Ran) -> None:
    """A stripe is told where there is one, and the verdict on the beam is that of the two numbers beside it."""
    made, words = moved.made, moved.words
    rows_of, apart = made["rows_of"], made["inches"](made["pitch"].value)
    stripes, plain = (rows_of(one).max_to_min(apart) for one in (made["width"].value, made["PLAIN"]))
    assert ("no stripe to speak of" in words) == (stripes < made["FAINTEST"])
    assert stands_in(f"black inside: {stripes:.3f}", words)
    verdict = re.search(r"(Your beam is the|Your beam is (?:more|less|as) even|Both are even)", words)
    assert verdict is not None
    assert ("is the" in verdict[1]) == (made["width"].value == 0)
    told = max(stripes, plain) >= made["FAINTEST"]
    assert ("more even" in verdict[1]) == (told and float(f"{stripes:.3f}") < float(f"{plain:.3f}"))


def depth_claims(moved: Ran) -> None:
    """What is called too wide reads as above its limit, and wider than the widest pitch; what is even does not."""
    made, words = moved.made, moved.words
    deep, limit = made["depth"].value, made["limit"].value
    (widest,) = re.findall(r"rows may stand ([\d.]+) in apart", words)
    for pitch, (at, told, says) in zip(
        (deep, made["THUMB"]),
        re.findall(r"(?:depth, )?([\d.]+) in(?: on centre)?: stripes ([\d.]+): (too wide|even)", words),
        strict=True,
    ):
        wide = made["even"]("white", deep, pitch) > limit
        assert float(at) == pitch
        assert (says == "too wide") == wide == (float(told) > limit) == (pitch > float(widest))
    assert len(made["failing"]) == words.count("fails: striped")
    assert ("It leaves stripes in none" in words) == (made["failing"] == [])


CLAIMS: dict[int, Callable[[Ran], None]] = {
    1: one_module_claims,
    2: row_claims,
    3: rows_claims,
    4: white_claims,
    5: beam_claims,
    6: depth_claims,
}
"""What a lesson, by its number, is held to at every setting of its sliders."""
