"""Every number from outside on photometric files, against lumsim and against its formula."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from scipy.integrate import quad

from tests.published import table
from tests.published.photometric_by_lumsim import CHECKS, flux_off
from tests.published.values import MARKS, Published, by_family, missed, read_published

ALL = read_published("photometric.toml")


def _linear_between(m: float, step: float, theta: float) -> float:
    """A cosine power at every step, and linear between [cd]."""
    low = math.radians(step) * min(math.floor(theta / math.radians(step)), round(90 / step) - 1)
    high = low + math.radians(step)
    share = (theta - low) / (high - low)
    return float((1 - share) * max(math.cos(low), 0) ** m + share * max(math.cos(high), 0) ** m)


def _again(published: Published) -> float:
    """Derive a number once more from its formula, by quadrature."""
    if published.check == "zonal_constant":
        first, last = (math.radians(float(published.parameters[end])) for end in ("first", "last"))
        return 2 * math.pi * (math.cos(first) - math.cos(last))
    m, step = (float(published.parameters[name]) for name in ("m", "step"))
    pieces = [math.radians(step * k) for k in range(round(90 / step) + 1)]
    total = math.fsum(
        quad(lambda theta: _linear_between(m, step, theta) * math.sin(theta), low, high)[0]
        for low, high in pairwise(pieces)
    )
    return 1000 * (total * (m + 1) - 1)


def by_lumsim(published: Published) -> float:
    """What lumsim says of a number."""
    assert published.check is not None
    return CHECKS[published.check](**published.parameters)


@pytest.mark.parametrize("family", by_family(ALL))
def test_lumsim_gives_the_published_numbers(family: str) -> None:
    """Every number from outside is what lumsim gives, to its printed digits."""
    assert missed(by_family(ALL)[family], by_lumsim) == []


@pytest.mark.parametrize("family", by_family(ALL))
def test_a_formula_gives_the_published_numbers(family: str) -> None:
    """Every number is what its formula gives."""
    assert missed(by_family(ALL)[family], _again) == []


@pytest.mark.parametrize(("step", "within"), [(10.0, 10.0), (5.0, 3.0)])
@pytest.mark.parametrize("m", [1.0, 2.0])
def test_flux_is_within_what_the_steps_allow(m: float, step: float, within: float) -> None:
    """Flux is within 1 % of the closed form from angles 10 degrees apart, and within 0.3 % from 5 degrees."""
    assert abs(flux_off(m, step)) < within


@pytest.mark.parametrize("m", [1.0, 2.0, 5.0])
def test_halving_the_steps_quarters_the_error_of_flux(m: float) -> None:
    """The error of flux falls to a quarter with each halving of the steps."""
    assert [flux_off(m, step) / flux_off(m, step / 2) for step in (10.0, 5.0, 2.5)] == pytest.approx(
        [4] * 3, rel=0.1
    )


def test_every_number_has_an_origin() -> None:
    """Every number from outside names its source and what that is worth, once."""
    assert all(one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used() -> None:
    """No check stands idle, and each that is named exists."""
    assert {one.check for one in ALL} == set(CHECKS)


def test_the_table_holds_photometric_files() -> None:
    """The table of checks holds the numbers on photometric files in one piece, and finds the check of each."""
    listed = table.read_published()
    first = listed.index(ALL[0])
    assert listed[first : first + len(ALL)] == ALL
    assert set(CHECKS) <= set(table.CHECKS)
