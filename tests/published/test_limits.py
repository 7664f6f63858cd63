"""Every limit of a standard or statute as it was printed, against lumsim's table, and no other in it."""

from __future__ import annotations

import pytest

from lumsim.uniformity.named_limits import NAMED_LIMITS
from tests.published import table
from tests.published.limits_by_lumsim import CHECKS
from tests.published.values import MARKS, by_family, missed, read_published

ALL = read_published("limits.toml")


@pytest.mark.parametrize("family", by_family(ALL))
def test_lumsim_holds_the_published_limits(family: str) -> None:
    """Every limit is the printed number."""
    checks = {one.check: CHECKS[str(one.check)] for one in ALL}
    assert missed(by_family(ALL)[family], lambda one: checks[one.check](**one.parameters)) == []


def test_every_value_of_the_table_is_a_published_one() -> None:
    """Each named limit, and each of its bands that has a value, was printed: nothing stands in the table without."""
    printed = {(str(one.parameters["name"]), one.expected) for one in ALL}
    held = {
        (name, band.value)
        for name, limit in NAMED_LIMITS.items()
        for bands in limit.sets.values()
        for band in bands
        if band.value is not None
    }
    assert held == printed


def test_every_number_has_an_origin() -> None:
    """Every limit names its source, was seen, and stands there once."""
    assert all(one.mark == "seen" and one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used_and_found_by_the_table() -> None:
    """No check stands idle, each that is named exists, and the table of checks holds them all."""
    assert {one.check for one in ALL} == set(CHECKS)
    assert set(map(str, ALL)) <= set(map(str, table.read_published()))
    assert set(CHECKS) <= set(table.CHECKS)
