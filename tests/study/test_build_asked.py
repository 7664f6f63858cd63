"""What a study says of strings, supports, supplies, parts, costs and service: read, defaults told, refused in words."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from lumsim.errors import StudyError
from lumsim.study.build_asked import BuildAsked
from lumsim.study.reading import read_study, study_from_text
from tests.sheet.signs import POWER, SIGN, STRING, SUPPORTS

INCH = Fraction(254, 10000)


def asked(*more: str) -> BuildAsked:
    """Return what a sign asks of its building."""
    return study_from_text(SIGN + "".join(more)).building


def refused(*more: str) -> str:
    """Return what a sign is refused with."""
    with pytest.raises(StudyError) as error:
        asked(*more)
    return str(error.value)


def test_what_is_said_is_taken() -> None:
    """Every key of strings, supports and supplies comes to its rule."""
    found = asked(
        STRING, "cut_every = 2\nmost_joints = 3\nshortest_section = 4\n", SUPPORTS, 'from_end = "3 in"\n',
        'clearance = "1/4 in"\nvertical_interval = "50 in"\n', POWER,
        'loading_share = 0.7\nlongest_string = "9 ft"\ninterleaved = true\n',
        'supplies_at = [["10 in", "12 in"]]\nsupply_size = ["6 in", "4 in"]\n',
    )  # fmt: skip
    rules = found.rules
    how = rules.delivered["standard"]
    assert how.stock is not None
    assert (how.stock.roll_modules, how.stock.cut_every) == (30, 2)
    assert (how.stock.most_joints, how.stock.shortest_section) == (3, 4)
    assert (how.pitch, how.module_length) == (5 * INCH, 2 * INCH)
    assert rules.holding.intervals == {"horizontal": 25 * INCH, "vertical": 50 * INCH}
    assert (rules.holding.from_end, rules.holding.clearance, rules.holding.step) == (
        3 * INCH,
        INCH / 4,
        INCH / 16,
    )
    assert rules.supply is not None
    assert (rules.supply.watts, rules.supply.loading_share, rules.interleaved) == (25.0, 0.7, True)
    assert rules.supply.longest_string == pytest.approx(9 * 0.3048)
    assert found.upkeep.supplies_at == ((10 * INCH, 12 * INCH),)
    assert found.upkeep.supply_size == (6 * INCH, 4 * INCH)
    assert found.defaults == ()


def test_what_is_left_out_and_bears_on_the_sheet_is_told() -> None:
    """Defaults are named with their values, in the study's units, and only where they bear on anything."""
    assert asked().defaults == ()
    assert asked(STRING, SUPPORTS, POWER, "[costs]\nhours_a_day = 8\n").defaults == (
        ("modules.standard.string.cut_every", "1"),
        ("modules.standard.string.most_joints", "0"),
        ("power.loading_share", "0.8"),
        ("supports.from_end", "6 in"),
        ("supports.clearance", "1/2 in"),
        ("costs.supply_efficiency", "0.85"),
    )
    in_mm = study_from_text('units = "mm"\n' + SIGN + SUPPORTS).building
    assert in_mm.defaults == (("supports.from_end", "150 mm"), ("supports.clearance", "12 mm"))
    assert in_mm.rules.holding.step == Fraction(1, 1000)


def test_parts_of_a_study_stand_in_place_of_the_usual_ones() -> None:
    """One rule of its own leaves none of the usual."""
    found = asked('[[parts]]\nname = "clip"\nper = "row"\neach = 3\nwith_roll = 2\n')
    (rule,) = found.rules.parts
    assert (rule.name, rule.per, rule.each, rule.with_roll) == ("clip", "row", 3, 2)
    assert len(asked().rules.parts) == 5


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (STRING + "cut_every = 7\n", "roll_modules must be a multiple of cut_every"),
        (STRING + "shortest_section = 31\n", "shortest_section must be from 1 module up to the roll's 30"),
        (
            STRING.replace("2 in", "6 in"),
            "modules.standard.string.module_length: is longer than the string's",
        ),
        (
            POWER + 'supplies_at = [["61 in", "3 in"]]\n',
            "power.supplies_at.1: x = 61 in puts the supply outside",
        ),
        (
            POWER + 'supplies_at = [["6 in"]]\n',
            "must be two lengths, from the left and from the bottom return",
        ),
        (POWER + "supplies_at = 3\n", 'must be a list such as [["12 in", "6 in"], ["60 in", "6 in"]]'),
        (POWER + "loading_share = 1.2\n", "power.loading_share: must be more than 0 and at most 1, got 1.2"),
        ("[parts]\nname = 1\n", "is a list of groups: write [[parts]] with two brackets"),
        ('[[parts]]\nname = "clip"\n', 'per: is needed, such as "section"'),
        ('[[parts]]\nname = "clip"\nper = "sections"\n', 'did you mean "section"?'),
        ('[[parts]]\nname = "a"\nper = "row"\n' * 2, "'a' is counted by parts 1 already"),
        ('[[parts]]\nname = "supply"\nper = "row"\n', "'supply' is counted by the sheet itself already"),
        ('[[parts]]\nname = ""\nper = "row"\n', "name: is empty"),
        (POWER + 'supply_size = ["6 in", "4 in"]\n', "power.supply_size: says nothing without supplies_at"),
        (
            POWER + 'supplies_at = [["9 in", "9 in"], ["9 in", "9 in"]]\n',
            "supplies_at.2: is where supply 1 is",
        ),
        (
            POWER + 'supplies_at = [["58 in", "9 in"]]\nsupply_size = ["6 in", "4 in"]\n',
            "x = 58 in with 3 in of supply_size to either side puts the supply outside",
        ),
        ("[costs]\nprice_a_kwh = 0.3\n", "costs.currency: is needed beside price_a_kwh"),
        ('[costs]\nprices = "no.csv"\ncurrency = "EUR"\n', "no.csv: cannot be read"),
        ("[costs]\nsupply_efficiency = 0.9\n", "costs.supply_efficiency: says nothing without hours_a_day"),
        ("[costs]\nhours_a_day = 25\n", "must be more than 0 and at most 24 h, got 25 h"),
        ('[service]\nopens = "back"\n', 'must be "front", "rear", "left", "right", "bottom" or "top"'),
        ("[supports]\nhorizontal = 3\n", "is no known key; did you mean horizontal_interval?"),
    ],
)
def test_what_cannot_be_is_refused_in_words(more: str, told: str) -> None:
    """With its key, its value and what would be right."""
    assert told in refused(more)


def test_every_fault_of_a_price_list_is_told_at_once(tmp_path: Path) -> None:
    """With the file and the line of each."""
    (tmp_path / "prices.csv").write_text('part,price\nsupply,"1,50"\nsupply,2\n')
    (tmp_path / "sign.toml").write_text(SIGN + '[costs]\nprices = "prices.csv"\ncurrency = "EUR"\n')
    with pytest.raises(StudyError) as error:
        read_study(tmp_path / "sign.toml")
    assert "prices.csv, line 2: price: " in str(error.value)
    assert "prices.csv, line 3: part: " in str(error.value)
