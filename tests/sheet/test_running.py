"""What a sign takes from the mains in a year, and what that costs."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.running import Running, cost_a_year, kwh_a_year


@pytest.mark.parametrize(
    ("watts", "running", "kwh", "cost"),
    [
        # 40 W / 0.8 = 50 W; 50 W × 10 h = 0.5 kWh a day; × 365 = 182.5 kWh; × 0.30 = 54.75.
        (40.0, Running(hours_a_day=10.0, tariff=Decimal("0.30"), efficiency=0.8), 182.5, "54.75"),
        # 1000 W all day and night is a kilowatt for 8760 hours.
        (1000.0, Running(hours_a_day=24.0, tariff=Decimal(1), efficiency=1.0), 8760.0, "8760"),
        # Half the load: 20 W / 0.8 = 25 W.
        (40.0, Running(hours_a_day=10.0, tariff=Decimal("0.30"), efficiency=0.8, dimmed_to=0.5), 91.25, "27.375"),
        (0.0, Running(hours_a_day=10.0, tariff=Decimal("0.30"), efficiency=0.8), 0.0, "0"),
        (40.0, Running(hours_a_day=0.0, tariff=Decimal("0.30"), efficiency=0.8), 0.0, "0"),
    ],
)  # fmt: skip
def test_a_year_is_worked_out_as_by_hand(watts: float, running: Running, kwh: float, cost: str) -> None:
    """Watts over efficiency, times the share, the hours and 365 days, by a thousand; then times the tariff."""
    assert kwh_a_year(watts, running) == pytest.approx(kwh, rel=1e-15)
    assert cost_a_year(watts, running) == Decimal(cost)


def test_watts_may_come_out_of_an_array() -> None:
    """A number of numpy's costs what the plain number does."""
    running = Running(hours_a_day=10.0, tariff=Decimal("0.30"), efficiency=0.8)
    assert cost_a_year(np.array([40.0]).sum(), running) == Decimal("54.75")


def test_without_a_tariff_there_is_no_cost() -> None:
    """Energy is known all the same."""
    running = Running(hours_a_day=12.0, efficiency=0.9)
    assert cost_a_year(100.0, running) is None
    assert kwh_a_year(100.0, running) == pytest.approx(100 / 0.9 * 12 * 365 / 1000, rel=1e-15)


@given(
    watts=st.floats(0, 1e6),
    hours=st.floats(0, 24),
    efficiency=st.floats(0.01, 1),
    dimmed_to=st.floats(0.01, 1),
)
def test_a_year_is_365_days_of_energy(
    watts: float, hours: float, efficiency: float, dimmed_to: float
) -> None:
    """Against a year added up day by day: what supplies lose and give comes out of the mains, and no less."""
    running = Running(hours_a_day=hours, tariff=Decimal("0.25"), efficiency=efficiency, dimmed_to=dimmed_to)
    given_out = math.fsum(watts * dimmed_to * hours for _ in range(365)) / 1000
    lost = given_out * (1 - efficiency) / efficiency
    assert kwh_a_year(watts, running) == pytest.approx(given_out + lost, rel=1e-12, abs=1e-300)
    cost = cost_a_year(watts, running)
    assert cost is not None
    assert float(cost) == pytest.approx((given_out + lost) / 4, rel=1e-12, abs=1e-300)


@pytest.mark.parametrize(
    ("hours", "tariff", "efficiency", "dimmed_to", "said"),
    [
        (24.5, "0.3", 0.8, 1.0, "a day has 0 to 24 hours, got 24.5"),
        (-1.0, "0.3", 0.8, 1.0, "a day has 0 to 24 hours, got -1"),
        (math.nan, "0.3", 0.8, 1.0, "a day has 0 to 24 hours, got nan"),
        (8.0, "-0.3", 0.8, 1.0, "a tariff must be 0 or more for each kWh, got -0.3"),
        (8.0, "Infinity", 0.8, 1.0, "a tariff must be 0 or more for each kWh, got Infinity"),
        (8.0, "0.3", 0.0, 1.0, "efficiency of supplies must be more than 0 and at most 1, got 0"),
        (8.0, "0.3", 1.01, 1.0, "efficiency of supplies must be more than 0 and at most 1, got 1.01"),
        (8.0, "0.3", 0.8, 0.0, "dimmed to a share that is more than 0 and at most 1, got 0"),
        (8.0, "0.3", 0.8, 1.5, "dimmed to a share that is more than 0 and at most 1, got 1.5"),
    ],
)
def test_what_cannot_be_is_refused(
    hours: float, tariff: str, efficiency: float, dimmed_to: float, said: str
) -> None:
    """A day of more than 24 hours, a tariff below nothing, supplies that give more than they take."""
    with pytest.raises(InputError, match=said):
        Running(hours_a_day=hours, tariff=Decimal(tariff), efficiency=efficiency, dimmed_to=dimmed_to)


@pytest.mark.parametrize("watts", [-1.0, math.nan, math.inf])
def test_power_that_cannot_be_is_refused(watts: float) -> None:
    """Less than nothing, none and endless."""
    with pytest.raises(InputError, match="supplies give 0 W or more"):
        kwh_a_year(watts, Running(hours_a_day=8.0, efficiency=0.8))
