"""A module's light against its voltage."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.dimming import Dimming, MeasuredCurve, ResistorBallast, SteadyDriver

VOLTS = np.array([0.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0])


def test_a_steady_driver_is_full_or_dark() -> None:
    """Full at the drop-out voltage and above, dark below."""
    assert SteadyDriver(drop_out=10.0).share(VOLTS).tolist() == [0, 0, 0, 1, 1, 1, 1]


def test_a_resistor_dims_with_the_voltage_above_the_leds() -> None:
    """Three LEDs of 3 V on 12 V give two thirds at 11 V, nothing from 9 V down, and more than all above 12 V."""
    got = ResistorBallast(forward_voltage=9.0, rated_voltage=12.0).share(VOLTS)
    assert got == pytest.approx([0, 0, 0, 1 / 3, 2 / 3, 1, 4 / 3], abs=1e-15)


def test_a_curve_is_linear_between_its_points() -> None:
    """On the points it is theirs, linear between, steady beyond the last and dark below the first."""
    curve = MeasuredCurve(points=((9.0, 0.2), (10.0, 0.6), (12.0, 1.0)))
    assert curve.share(VOLTS) == pytest.approx([0, 0, 0.2, 0.6, 0.8, 1, 1], abs=1e-15)
    assert curve.share(np.array([9.0, np.nextafter(9.0, 0)])).tolist() == [0.2, 0.0]


def test_two_points_make_a_resistor() -> None:
    """A curve from the LEDs' voltage to the rated one is a resistor's up to there."""
    curve = MeasuredCurve(points=((9.0, 0.0), (12.0, 1.0)))
    ballast = ResistorBallast(forward_voltage=9.0, rated_voltage=12.0)
    volts = np.linspace(0, 12, 49)
    assert curve.share(volts) == pytest.approx(ballast.share(volts), abs=1e-15)


@pytest.mark.parametrize(
    "dimming",
    [
        SteadyDriver(drop_out=10.5),
        ResistorBallast(forward_voltage=8.1, rated_voltage=12.0),
        MeasuredCurve(points=((8.0, 0.1), (11.0, 0.8), (12.0, 1.0))),
    ],
)
@given(volts=st.lists(st.floats(0, 12), min_size=1, max_size=20))
def test_more_voltage_never_dims(dimming: Dimming, volts: list[float]) -> None:
    """Of each kind the share rises with the voltage, from 0 on, to all at the rated voltage."""
    shares = dimming.share(np.sort(np.array(volts)))
    assert (np.diff(shares) >= 0).all()
    assert shares.min() >= 0
    assert dimming.share(np.array([12.0])).tolist() == [1.0]


def test_what_cannot_be_is_refused() -> None:
    """Each kind says what it needs and what it got."""
    with pytest.raises(InputError, match="drop-out voltage must be 0 V or more, got -1 V"):
        SteadyDriver(drop_out=-1.0)
    for forward in (12.0, -0.1, math.nan):
        with pytest.raises(InputError, match="below the rated voltage of 12 V, got"):
            ResistorBallast(forward_voltage=forward, rated_voltage=12.0)
    with pytest.raises(InputError, match="two points or more, got 1"):
        MeasuredCurve(points=((12.0, 1.0),))
    with pytest.raises(InputError, match="must rise from point to point, got 10 V after 12 V"):
        MeasuredCurve(points=((12.0, 1.0), (10.0, 0.5)))
    with pytest.raises(InputError, match=r"share of light must be 0 or more, got -0\.5 at 10 V"):
        MeasuredCurve(points=((10.0, -0.5), (12.0, 1.0)))
    with pytest.raises(InputError, match="voltage of a curve must be 0 V or more, got nan V"):
        MeasuredCurve(points=((math.nan, 0.5), (12.0, 1.0)))
