"""Every number from outside on what the eye sees, against lumsim and against its formula."""

from __future__ import annotations

import math

import pytest

from tests.published import table
from tests.published.seeing_by_lumsim import CHECKS
from tests.published.values import MARKS, Published, by_family, missed, read_published

ALL = read_published("seeing.toml")


def _sensitivity(u: float, L: float, field: float) -> float:
    """Barten's short formula as printed, term by term [1]."""
    above = 5200 * math.exp(-0.0016 * u**2 * (1 + 100 / L) ** 0.08)
    below = (1 + 144 / field + 0.64 * u**2) * (63 / L**0.83 + 1 / (1 - math.exp(-0.02 * u**2)))
    return above / math.sqrt(below)


def _again(published: Published) -> float:
    """Derive a number once more from its formula."""
    given = {name: float(value) for name, value in published.parameters.items()}
    u = given.get("u") or math.tan(math.pi / 180) * given["distance"] / given["pitch"]
    if published.check == "frequency":
        return u
    sensitivity = _sensitivity(u, given["luminance"], given["field"])
    return {
        "sensitivity": sensitivity,
        "threshold": 1 / sensitivity,
        "threshold_ratio": (sensitivity + 1) / (sensitivity - 1),
    }[str(published.check)]


def by_lumsim(published: Published) -> float:
    """What lumsim says of a number."""
    assert published.check is not None
    return CHECKS[published.check](**published.parameters)


@pytest.mark.parametrize("family", by_family(ALL))
def test_lumsim_gives_the_published_numbers(family: str) -> None:
    """Every number from outside is what lumsim gives, to its printed digits or as its family says."""
    assert missed(by_family(ALL)[family], by_lumsim) == []


@pytest.mark.parametrize("family", by_family(ALL))
def test_a_formula_gives_the_published_numbers(family: str) -> None:
    """Every number is what its formula gives."""
    assert missed(by_family(ALL)[family], _again) == []


def test_the_short_formula_is_near_the_full_model_and_not_the_same() -> None:
    """It stays below the full model, by half a per cent to nine."""
    short = [1 - by_lumsim(one) / one.expected for one in by_family(ALL)["full-contrast-sensitivity"]]
    assert len(short) == 8
    assert min(short) == pytest.approx(0.005, abs=0.002)
    assert max(short) == pytest.approx(0.09, abs=0.005)


def test_every_number_has_an_origin() -> None:
    """Every number from outside names its source and what that is worth, once."""
    assert all(one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used_and_found_by_the_table() -> None:
    """No check stands idle, each that is named exists, and the table of checks holds them all."""
    assert {one.check for one in ALL} == set(CHECKS)
    assert set(map(str, ALL)) <= set(map(str, table.read_published()))
    assert set(CHECKS) <= set(table.CHECKS)
