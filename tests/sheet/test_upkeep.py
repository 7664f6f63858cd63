"""What a sign costs and what keeps it up: bought by its plans, and every module comes out with one section."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from lumsim.sheet.taking_out import to_change_module
from lumsim.sheet.upkeep import Upkeep, bill, kept_up, stretches
from lumsim.study.reading import Study, read_study
from tests.sheet.signs import POWER, SIGN, STRING, SUPPORTS, built, sign

COSTS = '[costs]\nhours_a_day = 10\nprice_a_kwh = 0.30\nsupply_efficiency = 0.8\ncurrency = "EUR"\n'


def upkeep(study: Study) -> Upkeep:
    """Work out a study's upkeep."""
    return kept_up(built(study), study.cabinet, study.building.upkeep, study.sheet.wiring, study.units)


def test_what_is_bought_is_what_the_plans_take() -> None:
    """Two rolls, two supplies, four feeds of 5 ft are 20 ft of wire, and the small parts less what comes with rolls."""
    clamps = '[[parts]]\nname = "clamp"\neach = 2\nper = "section"\nwith_roll = 3\n'
    study = sign(STRING, SUPPORTS, POWER, clamps)
    found = {one.part: one.count for one in bill(built(study), study.sheet.wiring, "in")}
    assert found == {"roll of standard": 2, "supply": 2, "ft of 18 AWG pair": 20, "clamp": 2}
    metres = {one.part: one.count for one in bill(built(study), study.sheet.wiring, "mm")}
    assert metres["m of 18 AWG pair"] == 7


def test_a_year_by_hand() -> None:
    """33.6 W of modules from supplies of 0.8 are 42 W, 10 h a day: 153.3 kWh in 365 days, at 0.30 each 45.99."""
    found = upkeep(sign(POWER, COSTS))
    assert found.watts == pytest.approx(33.6, rel=1e-12)
    assert found.kwh == pytest.approx(153.3, rel=1e-12)
    assert found.cost_a_year is not None
    assert abs(found.cost_a_year - Decimal("45.99")) < Decimal("1e-9")
    assert upkeep(sign(COSTS, without="watts = 0.7\n")).kwh is None


def test_power_is_what_the_strings_take_on_their_wire() -> None:
    """Resistors on thin wire take less than they are rated for, and a year costs less by as much."""
    driver = '[modules.standard.electrics]\ntakes = "resistor"\n'
    study = sign(driver, POWER, 'feed_wire = "28 AWG"\n', COSTS)
    wired = built(study).wired
    assert wired is not None
    watts = upkeep(study).watts
    assert watts == pytest.approx(12 * sum(one.amperes for one in wired), rel=1e-12)
    assert watts is not None
    assert watts < 33


def test_what_is_bought_and_not_counted_is_named() -> None:
    """Without rolls, supplies and watts, a total says what it leaves out; a place with no supply is not told of."""
    assert upkeep(sign()).not_counted == (
        "rolls",
        "supplies",
        "end clamp",
        "end cap",
        "coupler",
        "support clip",
    )
    assert upkeep(sign(STRING, SUPPORTS, POWER)).not_counted == ()
    power = POWER.replace("25.0", "99.0") + 'supplies_at = [["30 in", "3 in"], ["30 in", "20 in"]]\n'
    assert len(upkeep(sign(power, '[service]\nopens = "top"\n')).supply_reaches) == 1


@pytest.mark.parametrize("joints", [0, 1])
def test_each_module_comes_out_with_one_section(joints: int) -> None:
    """Sections cover each row once, in its order, and each support holds one of them, or two where they meet."""
    string = STRING.replace("30", "10" if joints else "30") + f"most_joints = {joints}\n"
    for more in (POWER, POWER.replace("25.0", "6.0")):
        found = built(sign(string, SUPPORTS, more))
        sections = stretches(found)
        for row, held in zip(found.rows, found.held.places, strict=True):
            mine = [one for one in sections if one.row == row.number]
            assert [one.section for one in mine] == list(range(1, len(mine) + 1))
            covered = [number for one in mine for number in range(one.from_module, one.to_module + 1)]
            assert covered == list(range(row.count))
            assert set(held or ()) == {place for one in mine for place in one.supports}
            for module in range(row.count):
                assert to_change_module(sections, row.number, module) in mine
        fed = [(one.row, feed) for one in sections for feed in one.feeds]
        assert len(fed) == len(set(fed)) == len(found.parts)


def test_a_support_of_a_line_holds_the_sections_beside_it(tmp_path: Path) -> None:
    """Two strings end to end on one line: each is off its own supports, and both off the one between them."""
    kinds = ["standard"] * 6 + ["odd"] * 6
    (tmp_path / "built.csv").write_text(
        "x_mm,y_mm,module\n" + "".join(f"{50 + 120 * k},300,{kind}\n" for k, kind in enumerate(kinds))
    )
    rows = SIGN[SIGN.index("[[rows]]") : SIGN.index("[modules")]
    text = SIGN.replace(rows, '[[rows]]\npositions = "built.csv"\n') + "[modules.odd]\nlumens = 30.0\n"
    (tmp_path / "sign.toml").write_text(text + '[supports]\nhorizontal_interval = "240 mm"\n')
    found = built(read_study(tmp_path / "sign.toml"))
    places = found.held.places[0] or ()
    left, right = stretches(found)
    assert set(left.supports) == {place for place in places if place < Fraction(77, 100)}
    assert set(right.supports) == {place for place in places if place > Fraction(65, 100)}
    assert {*left.supports, *right.supports} == set(places)
    assert len(places) > len(left.supports) > 2


def test_what_is_farther_in_than_an_arm_is_named() -> None:
    """Opened at the top, rows 12 in and more down are beyond an arm of 11 in; so is a supply at the bottom."""
    power = POWER + 'supplies_at = [["30 in", "3 in"], ["30 in", "20 in"]]\nsupply_size = ["6 in", "4 in"]\n'
    found = upkeep(sign(power, '[service]\nopens = "top"\narm = "11 in"\n'))
    assert found.out_of_reach == ("row 1", "row 2", "supply 1")
    assert found.row_reaches == pytest.approx([21 * 0.0254, 15 * 0.0254, 9 * 0.0254, 3 * 0.0254])
    assert found.rows_over_supplies == ((1,), (4,))
    assert upkeep(sign(power, '[service]\nopens = "rear"\n')).rows_over_supplies == ((), ())


def test_a_price_list_prices_the_plans(tmp_path: Path) -> None:
    """Rolls at 50, supplies at 20: 140; what has no price is left out and named."""
    (tmp_path / "prices.csv").write_text("part,price\nroll of standard,50\nsupply,20\n")
    (tmp_path / "sign.toml").write_text(SIGN + STRING + POWER + COSTS + 'prices = "prices.csv"\n')
    cost = upkeep(read_study(tmp_path / "sign.toml")).cost
    assert cost is not None
    assert cost.total == Decimal(140)
    assert set(cost.unpriced) == {"ft of 18 AWG pair", "end clamp", "end cap", "feed connector"}
