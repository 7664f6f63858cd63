"""Small parts: needed by rule, less what comes with rolls, in whole packs; what goes by the unknown is left out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.parts import DEFAULT_RULES, Counted, PartRule, count_parts


def test_parts_by_hand() -> None:
    """Two clamps for each of 16 sections, 14 with each of 2 rolls: 4 to buy, one pack of 10; 32 clips: one of 50."""
    clamp = PartRule(name="clamp", each=2, per="section", with_roll=14, pack=10)
    clip = PartRule(name="clip", per="support", pack=50)
    found = count_parts([clamp, clip], Counted(section=16, roll=2, support=32))
    assert [(one.needed, one.came_with_rolls, one.to_buy, one.packs) for one in found.counts] == [
        (32, 28, 4, 1),
        (32, 0, 32, 1),
    ]
    assert found.unknown == ()


def test_clamps_that_come_with_a_roll_serve_so_many_sections() -> None:
    """Two clamps a section and eleven a roll serve five sections; parts of other things serve none."""
    assert PartRule(name="clamp", each=2, per="section", with_roll=11).sections_served == 5
    assert PartRule(name="plug", per="feed", with_roll=11).sections_served == 0


@given(
    each=st.integers(1, 9),
    count=st.integers(0, 500),
    with_roll=st.integers(0, 30),
    rolls=st.none() | st.integers(0, 40),
    pack=st.integers(1, 60),
)
def test_enough_is_there_and_no_pack_too_many(
    each: int, count: int, with_roll: int, rolls: int | None, pack: int
) -> None:
    """What comes with rolls and what is bought is enough for all, and one pack fewer would not be."""
    rule = PartRule(name="part", each=each, per="section", with_roll=with_roll, pack=pack)
    (one,) = count_parts([rule], Counted(section=count, roll=rolls)).counts
    there = with_roll * (rolls or 0)
    assert there + one.packs * pack >= each * count
    assert one.packs == 0 or there + (one.packs - 1) * pack < each * count
    assert one.came_with_rolls + one.to_buy == one.needed == each * count


def test_what_goes_by_the_unknown_is_told() -> None:
    """Without a cutting plan no sections are known: their parts are not counted, the others are."""
    found = count_parts(DEFAULT_RULES, Counted(feed=4, support=0))
    assert [(one.rule.per, one.needed) for one in found.counts] == [("feed", 4), ("support", 0)]
    assert {rule.per for rule in found.unknown} == {"section", "joint"}


@pytest.mark.parametrize(("key", "value"), [("each", 0), ("with_roll", -1), ("pack", 0)])
def test_rules_that_cannot_be(key: str, value: int) -> None:
    """Named by the part and the key."""
    with pytest.raises(InputError, match=f"clamp: {key} must be"):
        PartRule(name="clamp", per="row", **{key: value})
