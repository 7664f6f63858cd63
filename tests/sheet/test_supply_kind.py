"""Kinds of supplies and circuits: usable watts, loadings, what fits together, and what cannot be."""

from __future__ import annotations

import math

import pytest

from lumsim.errors import InputError
from lumsim.sheet.supply_kind import Circuit, SupplyKind, circuits_fit
from lumsim.units import METRES_PER_FOOT

FOOT = float(METRES_PER_FOOT)


def test_usable_watts_are_the_loading_share_of_the_rated_ones() -> None:
    """Four fifths where nothing else is said."""
    assert SupplyKind(watts=60).usable_watts == pytest.approx(48, rel=1e-15)
    assert SupplyKind(watts=60, loading_share=1.0).usable_watts == 60


def test_loadings_are_shares_of_both_limits() -> None:
    """A limit that is not told is loaded with nothing."""
    assert SupplyKind(watts=60, loading_share=0.5, longest_string=8.0).loading(15.0, 6.0) == (0.5, 0.75)
    assert SupplyKind(watts=60, loading_share=0.5).loading(15.0, 6.0) == (0.5, 0.0)


def test_twenty_feet_fit_a_sixty_watt_supply_and_a_bit_more_does_not() -> None:
    """Common practice, no source: a 60 W supply of 12 V feeds at most 20 ft of one-sided string of 3 W/ft."""
    kind = SupplyKind(watts=60, loading_share=1.0)

    def string(feet: float) -> Circuit:
        return Circuit(row=1, watts=3.0 * feet, length=feet * FOOT)

    assert circuits_fit(kind, string(20))
    assert not circuits_fit(kind, string(20.01))
    assert not circuits_fit(SupplyKind(watts=60), string(20))
    by_length = SupplyKind(watts=600, longest_string=20 * FOOT)
    assert circuits_fit(by_length, string(20))
    assert not circuits_fit(by_length, string(20.01))


def test_circuits_fit_together_up_to_and_including_a_limit() -> None:
    """Three tenths and a fifth of a watt are half a watt, whatever their floats sum to; a millionth more is more."""
    kind = SupplyKind(watts=0.5, loading_share=1.0)
    tenths = [Circuit(row=row, watts=0.1, length=1.0) for row in (1, 2, 3)]
    assert circuits_fit(kind, *tenths, Circuit(row=4, watts=0.2, length=1.0))
    assert not circuits_fit(kind, *tenths, Circuit(row=4, watts=0.200001, length=1.0))


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ({"watts": 0.0}, "rated power of a supply must be more than 0 W, got 0 W"),
        ({"watts": math.nan}, "rated power"),
        ({"watts": math.inf}, "rated power"),
        ({"watts": 60.0, "loading_share": 0.0}, "more than 0 and up to 1, got 0"),
        ({"watts": 60.0, "loading_share": 1.01}, "more than 0 and up to 1, got 1.01"),
        ({"watts": 60.0, "longest_string": 0.0}, "longest string .* must be more than 0, got 0 m"),
    ],
)
def test_supplies_that_cannot_be_are_refused(numbers: dict[str, float], words: str) -> None:
    """Each number with what would be right."""
    with pytest.raises(InputError, match=words):
        SupplyKind(**numbers)


def test_circuits_that_cannot_be_are_refused() -> None:
    """Counted from 1, of some power, of no length below 0."""
    for row, circuit in ((0, 1), (1, 0)):
        with pytest.raises(InputError, match="counted from 1"):
            Circuit(row=row, circuit=circuit, watts=1.0, length=1.0)
    for watts in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(InputError, match="power of row 2, circuit 1 must be more than 0 W"):
            Circuit(row=2, watts=watts, length=1.0)
    for length in (-1.0, math.nan, math.inf):
        with pytest.raises(InputError, match="length of row 2, circuit 1 must be 0 or more"):
            Circuit(row=2, watts=1.0, length=length)
