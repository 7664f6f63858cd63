"""Every number from outside on wire and supplies, against lumsim and against its formula."""

from __future__ import annotations

import math

import pytest

from tests.published import table
from tests.published.electrical_by_lumsim import CHECKS
from tests.published.values import MARKS, Published, by_family, missed, read_published

ALL = read_published("electrical.toml")
KFT = 304.8
V0 = 12.0


def _ohms_per_metre(gauge: int, temperature: float, stranded: int) -> float:
    """Resistance of round copper by its diameter, strands as the mean of table 8's columns [Ω/m]."""
    diameter = 0.127 * math.pow(92, (36 - gauge) / 39)
    solid = 0.017241 / (math.pi / 4 * diameter**2) * (1 + 0.00393 * (temperature - 20))
    return solid * (1.023 if stranded else 1)


def _constant_power(modules: int, segment: float, watts: float) -> tuple[float, float]:
    """Voltage at the end, and current of the supply, walked from the end to the supply and bisected [V, A]."""

    def walked(end: float) -> tuple[float, float]:
        volts, amperes = end, 0.0
        for _ in range(modules):
            amperes += watts / volts
            volts += segment * amperes
        return volts, amperes

    low, high = V0 / 2, V0
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if walked(middle)[0] < V0 else (low, middle)
    return low, walked(low)[1]


def _string_again(check: str, given: dict[str, float]) -> float:
    """What happens along a string once more, in closed form."""
    if check == "longest_string":
        drop_of_one = 2 * 0.1 * given["per_kft"] / KFT * 0.06
        return math.floor(math.sqrt(1 / 4 + 2 * 0.05 * V0 / drop_of_one) - 1 / 2)
    N, r = int(given["modules"]), given["segment"]
    if "ohms" in given:
        g = math.acosh(1 + r / (2 * given["ohms"]))
        return V0 * math.cosh(g / 2) / math.cosh(g * (N + 1 / 2))
    if "watts" in given:
        return _constant_power(N, r, given["watts"])[check == "feed_amperes"]
    i, feed = given["amperes"], given.get("feed", 0.0)
    if check == "middle_drop":
        return r * i * (N / 2) * (N / 2 + 1) / 2
    if check == "feed_drop":
        return N * i * feed
    drop = N * i * feed + r * i * N * (N + 1) / 2
    return 100 * drop / V0 if check == "end_drop_share" else drop


def _again(published: Published) -> float:
    """Derive a number once more from its formula."""
    check = published.check
    assert check is not None
    given = {name: float(value) for name, value in published.parameters.items()}
    if check in {"ohms_per_km", "ohms_per_kft"}:
        metres = 1000 if check == "ohms_per_km" else KFT
        return metres * _ohms_per_metre(int(given["gauge"]), given["temperature"], int(given["stranded"]))
    if check.startswith("class_2"):
        volts = given["volts"]
        power = 5.0 * volts if volts <= 20 else 100.0
        any_load = 8.0 if volts <= 30 else 150 / volts
        return {"class_2_volt_amperes": power, "class_2_amperes": power / volts}.get(check, any_load)
    return _string_again(check, given)


def by_lumsim(published: Published) -> float:
    """What lumsim says of a number."""
    assert published.check is not None
    return CHECKS[published.check](**published.parameters)


@pytest.mark.parametrize("family", by_family(ALL))
def test_lumsim_gives_the_published_numbers(family: str) -> None:
    """Every number from outside is what lumsim gives, to its printed digits or as its family says."""
    assert missed(by_family(ALL)[family], by_lumsim) == []


@pytest.mark.parametrize("family", [family for family in by_family(ALL) if family != "metric-copper"])
def test_a_formula_gives_the_published_numbers(family: str) -> None:
    """Every number that has a formula is what it gives."""
    assert missed(by_family(ALL)[family], _again) == []


def test_a_metric_wire_may_resist_more_than_its_area_would() -> None:
    """The greatest resistance of each nominal size is 4 to 16 % above that of so much copper."""
    sizes = by_family(ALL)["metric-copper"]
    over = [one.expected * float(one.parameters["area"]) / 17.241 for one in sizes]
    assert len(over) == 18
    assert 1.04 < min(over) < max(over) < 1.16


def test_hot_copper_resists_a_fifth_more_than_cold() -> None:
    """At 75 °C copper has 21.6 % more resistance than at 20 °C, at 20 °C some 82 % of what it has at 75 °C."""
    hot, cold = (CHECKS["ohms_per_km"](18, temperature, 0) for temperature in (75.0, 20.0))
    assert hot / cold == pytest.approx(1.216, abs=0.0005)
    assert cold / hot == pytest.approx(0.82, abs=0.005)


def test_every_number_has_an_origin() -> None:
    """Every number from outside names its source and what that is worth, once."""
    assert all(one.mark in MARKS and one.source and one.what for one in ALL)
    assert len({str(one) for one in ALL}) == len(ALL)


def test_every_check_is_used() -> None:
    """No check stands idle, and each that is named exists."""
    assert {one.check for one in ALL} == set(CHECKS)


def test_the_table_ends_with_wire_and_supplies() -> None:
    """The table of checks ends with the numbers on wire and supplies, and finds the check of each."""
    listed = table.read_published()
    assert listed[-len(ALL) :] == ALL
    assert set(CHECKS) <= set(table.CHECKS)
