"""The share of built signs that meets a requirement, and the dead module that hurts most."""

from __future__ import annotations

from dataclasses import fields, replace
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from scipy.stats import beta

from lumsim.cabinet.ageing import Ageing
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError
from lumsim.search.dead import dead_of, dead_parts, worst_dead_of
from lumsim.search.spread import Spread, built, draw
from lumsim.search.tolerance import (
    SIGNS_AT_ONCE,
    SignResult,
    Tolerance,
    signs_of,
    tolerance_of,
    tolerance_parts,
)
from lumsim.simulation import Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

LIMIT = 2.6
"""Of max/min, that about half of the signs meet. [1]"""

SPREAD = Spread(flux_scatter=0.1, dead_modules=1)


def small() -> Cabinet:
    """Four rows of three modules."""
    return cabinet(Fraction(1, 10), height=0.4)


def drawn(
    requirement: Requirement,
    *,
    signs: int = 30,
    seed: int = 1,
    spread: Spread = SPREAD,
    ageing: Ageing | None = None,
    lighting: Lighting = DIRECT,
) -> Tolerance:
    """Draw signs of the small cabinet and judge them."""
    parts = tolerance_parts(
        small(), requirement, spread, signs=signs, seed=seed, lighting=lighting, ageing=ageing
    )
    return tolerance_of(parts, {number: signs_of(part) for number, part in enumerate(parts)})


@cache
def some() -> Tolerance:
    """Sixty signs, some of which meet the requirement."""
    return drawn(Requirement(max_to_min=LIMIT), signs=60)


def test_each_sign_is_the_same_in_any_share_of_them() -> None:
    """The first thirty of sixty signs are the thirty signs, to the last bit, and rise from one."""
    few = drawn(Requirement(max_to_min=LIMIT), signs=SIGNS_AT_ONCE)
    assert some().signs[:SIGNS_AT_ONCE] == few.signs
    assert [one.number for one in some().signs] == list(range(1, 61))
    other = drawn(Requirement(max_to_min=LIMIT), signs=SIGNS_AT_ONCE, seed=2)
    assert other.signs != few.signs


def test_a_sign_is_judged_by_its_own_numbers() -> None:
    """What is told of a sign is what a simulation of it by itself says, met or not."""
    requirement = Requirement(max_to_min=LIMIT)
    fixed = replace(requirement, stripe_window=small().stripe_window)
    for one in some().signs[:4]:
        sign = draw(small(), SPREAD, seed=1, number=one.number)
        whole = simulate(built(small(), sign), fixed, lighting=DIRECT)
        assert one.numbers["max_to_min"] == pytest.approx(whole.evenness.max_to_min, rel=1e-4)
        assert (one.met, one.dead) == (whole.met, sign.dead)
        assert one.excess == pytest.approx(one.numbers["max_to_min"] / LIMIT)


def test_the_share_is_counted_and_its_interval_is_clopper_and_pearsons() -> None:
    """Share and interval are those of so many of so many, by the quantiles of the beta distribution."""
    found = some()
    met, n = sum(one.numbers["max_to_min"] <= LIMIT for one in found.signs), len(found.signs)
    assert 0 < met < n
    assert found.share == met / n
    low, high = found.interval
    assert low == pytest.approx(beta.ppf(0.025, met, n - met + 1), rel=1e-9)
    assert high == pytest.approx(beta.ppf(0.975, met + 1, n - met), rel=1e-9)


@pytest.mark.parametrize(("limit", "share"), [(1e5, 1.0), (1.0, 0.0)])
def test_all_or_none_may_meet_it(limit: float, share: float) -> None:
    """A share of 1 and of 0 has an interval that ends there and is not empty."""
    found = drawn(Requirement(max_to_min=limit))
    assert found.share == share
    low, high = found.interval
    assert (high if share else low) == share
    assert high - low == pytest.approx(1 - 0.025 ** (1 / 30))


def test_percentiles_and_the_worst_are_of_the_signs() -> None:
    """Half the signs lie below the middle one, and the worst has the greatest excess."""
    found = some()
    values = [one.numbers["stripe_max_to_min"] for one in found.signs]
    assert found.percentiles("stripe_max_to_min") == pytest.approx(np.quantile(values, [0.05, 0.5, 0.95]))
    assert found.worst.excess == max(one.excess for one in found.signs)


def test_what_was_come_to_is_told_as_unfinished() -> None:
    """Some of the parts make an answer of their own, marked unfinished."""
    parts = tolerance_parts(small(), Requirement(), SPREAD, signs=60, seed=1, lighting=DIRECT)
    found = tolerance_of(parts, {1: signs_of(parts[1])})
    assert not found.finished
    assert found.asked == 60
    assert found.signs == some_unjudged().signs[25:50]
    assert some_unjudged().finished


@cache
def some_unjudged() -> Tolerance:
    """The same signs without a requirement."""
    return drawn(Requirement(), signs=60)


def test_without_a_requirement_nothing_is_judged() -> None:
    """Numbers are told, and the worst sign is that of the greatest max/min."""
    found = some_unjudged()
    assert not found.judged
    assert found.worst.numbers["max_to_min"] == max(one.numbers["max_to_min"] for one in found.signs)


def test_aged_signs_are_judged_in_the_state_that_stands_lower() -> None:
    """With dirt some states decide as aged, and a least luminance then fails that new signs meet."""
    level = simulate(small()).evenness.mean
    limited = Requirement(min_luminance=0.75 * level)
    ageing = Ageing(maintenance_factor=0.8, dirt_factor=0.8)
    lighting = Lighting()
    new = drawn(limited, signs=2, lighting=lighting)
    old = drawn(limited, signs=2, ageing=ageing, lighting=lighting)
    assert (new.share, old.share) == (1.0, 0.0)
    assert all(one.aged for one in old.signs)
    assert not any(one.aged for one in new.signs)
    dimmer = drawn(limited, signs=2, ageing=Ageing(maintenance_factor=0.6), lighting=lighting)
    assert dimmer.share == 0.0
    for one, other in zip(dimmer.signs, new.signs, strict=True):
        assert one.numbers["mean"] == pytest.approx(0.6 * other.numbers["mean"])


def test_the_dead_module_that_hurts_most_is_found_by_trying_each() -> None:
    """Of modules left out one by one in whole simulations the worst is the one that is told, with its mirror images."""
    parts = dead_parts(small(), Requirement(max_to_min=LIMIT), lighting=DIRECT)
    found = worst_dead_of(parts, {number: dead_of(part) for number, part in enumerate(parts)})
    assert found is not None
    assert found.finished
    n = len(small().emitters())
    assert sorted(module for one in found.tried for module in one.alike) == list(range(n))
    fixed = Requirement(max_to_min=LIMIT, stripe_window=small().stripe_window)
    each = []
    for module in range(n):
        sign = replace(
            draw(small(), Spread(), seed=1, number=1), flux=np.where(np.arange(n) == module, 0.0, 1.0)
        )
        each.append(simulate(built(small(), sign), fixed, lighting=DIRECT).evenness.max_to_min)
    worst = max(each)
    assert found.worst.numbers["max_to_min"] == pytest.approx(worst, rel=1e-4)
    for module in found.worst.alike:
        assert each[module] == pytest.approx(worst, rel=1e-9)
    assert [one.excess for one in found.tried] == sorted((one.excess for one in found.tried), reverse=True)


def test_a_single_module_has_no_dead_one_to_compare() -> None:
    """A cabinet with one module is not lit without it."""
    alone = cabinet(Fraction(4, 10), height=0.4, width=0.1)
    assert dead_parts(alone, Requirement(), lighting=DIRECT) == ()
    assert worst_dead_of((), {}) is None


def test_what_cannot_be_drawn_is_refused() -> None:
    """No spread, no signs and a seed below nought are refused in words."""
    given = (small(), Requirement())
    with pytest.raises(InputError, match=r"set a spread under \[tolerance\]"):
        tolerance_parts(*given, Spread(), signs=10, seed=1, lighting=DIRECT)
    with pytest.raises(InputError, match="signs must be 1 or more"):
        tolerance_parts(*given, SPREAD, signs=0, seed=1, lighting=DIRECT)
    with pytest.raises(InputError, match="seed 0 or more"):
        tolerance_parts(*given, SPREAD, signs=1, seed=-1, lighting=DIRECT)


def test_results_are_plain_enough_to_compare() -> None:
    """A sign's result equals another with the same content, as chunks compare them."""
    assert some().signs[0] == SignResult(
        **{field.name: getattr(some().signs[0], field.name) for field in fields(SignResult)}
    )
