"""Limits of class 2 supplies, and how a rating stands against them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.class_2 import class_2_limits, stand_against_class_2


@pytest.mark.parametrize(
    ("volts", "watts", "exceeded"),
    [
        (12.0, 60.0, ()),
        (12.0, 60.1, ("rated volt-amperes", "rated amperes")),
        (5.0, 25.0, ()),
        (5.0, 40.0, ("rated volt-amperes", "rated amperes")),
        (24.0, 96.0, ()),
        (24.0, 100.0, ()),
        (24.0, 150.0, ("rated volt-amperes", "rated amperes")),
        (48.0, 100.0, ()),
        (48.0, 120.0, ("rated volt-amperes", "rated amperes")),
    ],
)
def test_a_rating_stands_against_the_limits_of_its_voltage(
    volts: float, watts: float, exceeded: tuple[str, ...]
) -> None:
    """12 V keeps the limits up to 60 W, 24 V and more up to 100 W; both limits are named where they are exceeded."""
    standing = stand_against_class_2(volts, watts)
    assert standing.exceeded == exceeded
    assert standing.limits == class_2_limits(volts)
    assert standing.rated_amperes == watts / volts


@given(volts=st.floats(0.1, 60))
def test_a_limit_is_kept_up_to_and_including_it(volts: float) -> None:
    """A supply rated for just what its voltage allows keeps both limits, one of a hair more exceeds them."""
    most = class_2_limits(volts).rated_volt_amperes
    assert stand_against_class_2(volts, most).exceeded == ()
    assert stand_against_class_2(volts, most * 1.000001).exceeded == ("rated volt-amperes", "rated amperes")


def test_a_current_on_the_label_is_held_by_itself() -> None:
    """A label may keep the power and exceed the current."""
    assert stand_against_class_2(12.0, 60.0, 5.5).exceeded == ("rated amperes",)
    assert stand_against_class_2(12.0, 66.0, 5.0).exceeded == ("rated volt-amperes",)


def test_the_steps_lie_at_20_and_30_volts() -> None:
    """20 V and 30 V belong to the lines below them; above 30 V the numbers are from memory, and say so."""
    assert class_2_limits(20.0).rated_amperes == 5.0
    assert class_2_limits(20.01).rated_amperes == pytest.approx(100 / 20.01)
    assert class_2_limits(30.0).amperes_under_any_load == 8.0
    assert class_2_limits(30.01).amperes_under_any_load == pytest.approx(150 / 30.01)
    assert [class_2_limits(volts).mark for volts in (12.0, 30.0, 30.01)] == ["seen", "seen", "from memory"]


@pytest.mark.parametrize("volts", [0.0, -12.0, 60.01, math.nan])
def test_a_voltage_without_known_limits_is_refused(volts: float) -> None:
    """Nothing, less, NaN and more than 60 V."""
    with pytest.raises(InputError, match="more than 0 V and up to 60 V of direct current"):
        class_2_limits(volts)


def test_a_rating_that_cannot_be_is_refused() -> None:
    """Power and current on a label are more than nothing."""
    with pytest.raises(InputError, match="rated power of a supply must be more than 0 W, got 0 W"):
        stand_against_class_2(12.0, 0.0)
    with pytest.raises(InputError, match="rated current of a supply must be more than 0 A, got -1 A"):
        stand_against_class_2(12.0, 60.0, -1.0)
