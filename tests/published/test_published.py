"""Every number from outside against lumsim, and the table that shows it."""

from __future__ import annotations

from itertools import groupby

import pytest

from tests.published import table
from tests.published.by_lumsim import CHECKS
from tests.published.values import MARKS, Published, by_family, last_place, missed, read_published

ALL = read_published()


def by_lumsim(published: Published) -> float:
    """What lumsim says of a number."""
    assert published.check is not None
    return CHECKS[published.check](**published.parameters)


CHECKED = by_family(one for one in ALL if one.check is not None)


@pytest.mark.parametrize("family", CHECKED)
def test_lumsim_gives_the_published_numbers(family: str) -> None:
    """Every number from outside is what lumsim gives, to its printed digits."""
    assert missed(CHECKED[family], by_lumsim) == []


def test_every_number_has_an_origin() -> None:
    """Every number from outside names its source and what that is worth, once."""
    assert all(one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used() -> None:
    """No check stands idle, and each that is named exists."""
    assert {one.check for one in ALL if one.check is not None} == set(CHECKS)


def test_a_last_place_is_read_from_the_digits() -> None:
    """The digits as printed, trailing zeros included, say what a number is worth."""
    assert [last_place(printed) for printed in ("3183.10", ".8048", "1.0", "120")] == [0.01, 1e-4, 0.1, 1.0]


def test_the_table_has_a_line_for_each_family(monkeypatch: pytest.MonkeyPatch) -> None:
    """The table has one line for each family that lumsim computes, with the member furthest off."""
    few = [one for one in ALL if one.family in {"module-on-axis", "half-intensity-angle", "transform"}]
    monkeypatch.setattr(table, "read_published", lambda: few)
    heading, rule, *lines = table.markdown()
    assert heading.count("|") == rule.count("|")
    computed = [one.what for one in few if one.check is not None]
    assert [line.split(" | ")[0].removeprefix("| ") for line in lines] == [
        what for what, _ in groupby(computed)
    ]
    assert all(line.count("|") == heading.count("|") for line in lines)
