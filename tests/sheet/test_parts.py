"""Small parts: needed by rule, less what comes with rolls; what goes by the unknown is left out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.parts import DEFAULT_RULES, Counted, PartRule, count_parts


def test_parts_by_hand() -> None:
    """Two clamps for each of 16 sections, 14 with each of 2 rolls: 4 to buy; 32 clips: all of them."""
    clamp = PartRule(name="clamp", each=2, per="section", with_roll=14)
    clip = PartRule(name="clip", per="support")
    found = count_parts([clamp, clip], Counted(section=16, roll=2, support=32))
    assert [(one.needed, one.came_with_rolls, one.to_buy) for one in found.counts] == [
        (32, 28, 4),
        (32, 0, 32),
    ]
    assert found.unknown == ()


def test_clamps_that_come_with_a_roll_serve_so_many_sections() -> None:
    """Two clamps a section and eleven a roll serve five sections; parts of other things serve none."""
    assert PartRule(name="clamp", each=2, per="section", with_roll=11).sections_served == 5
    assert PartRule(name="plug", per="feed", with_roll=11).sections_served == 0


@given(
    each=st.integers(1, 9), count=st.integers(0, 500), with_roll=st.integers(0, 30), rolls=st.integers(0, 40)
)
def test_enough_is_there_and_none_too_many(each: int, count: int, with_roll: int, rolls: int) -> None:
    """What comes with rolls and what is bought is enough for all, and nothing is bought that came."""
    rule = PartRule(name="part", each=each, per="section", with_roll=with_roll)
    (one,) = count_parts([rule], Counted(section=count, roll=rolls)).counts
    assert one.needed == each * count
    assert with_roll * rolls + one.to_buy >= one.needed
    assert one.to_buy == 0 or with_roll * rolls + one.to_buy == one.needed


def test_what_goes_by_the_unknown_is_told() -> None:
    """Without a cutting plan no sections are known: their parts are not counted, the others are."""
    found = count_parts(DEFAULT_RULES, Counted(feed=4, support=0))
    assert [(one.rule.per, one.needed) for one in found.counts] == [("feed", 4), ("support", 0)]
    assert {rule.per for rule in found.unknown} == {"section", "joint"}
    plug = PartRule(name="plug", per="feed", with_roll=2)
    assert count_parts([plug], Counted(feed=4)).unknown == (plug,)


@pytest.mark.parametrize(("key", "value"), [("each", 0), ("with_roll", -1)])
def test_rules_that_cannot_be(key: str, value: int) -> None:
    """Named by the part and the key."""
    with pytest.raises(InputError, match=f"clamp: {key} must be"):
        PartRule(name="clamp", per="row", **{key: value})
