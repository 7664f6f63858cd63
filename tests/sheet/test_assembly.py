"""A sign put together: parts, circuits, sections, supports and small parts agree, and what cannot be is named."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest

from lumsim.errors import InputError
from lumsim.sheet.assembly import Assembly, string_length
from lumsim.sheet.strings import row_strings
from lumsim.study.reading import read_study, study_from_text
from tests.sheet.signs import POWER, SIGN, STRING, SUPPORTS, built, sign

INCH = Fraction(254, 10000)


def whole(assembly: Assembly) -> None:
    """Check that parts, sections and circuits hold every module once, each row's in its order."""
    for row in assembly.rows:
        parts = [one for one in assembly.parts if one.number == row.number]
        assert tuple(module for one in parts for module in one.modules) == row.modules
        assert tuple(place for one in parts for place in one.along) == row.along
    for number, part in enumerate(assembly.parts):
        mine = [one for one in assembly.sections if one.part == number]
        assert [one.start for one in mine] == [
            sum(other.modules for other in mine[:index]) for index in range(len(mine))
        ]
        assert sum(one.modules for one in mine) == part.count
    if assembly.supplies is not None:
        fed = sorted(index for one in assembly.supplies.supplies for index in one.circuits)
        assert fed == list(range(len(assembly.circuits)))


def test_all_of_it_is_worked_out_together() -> None:
    """Four rows of 8.4 W on supplies of 20 W: two; 48 modules off rolls of 30 unjoined: two rows a roll; 3 supports."""
    found = built(sign(STRING, SUPPORTS, POWER))
    whole(found)
    assert (dict(found.untold), dict(found.refused)) == ({}, {})
    assert found.supplies is not None
    assert [[found.circuits[index].row for index in one.circuits] for one in found.supplies.supplies] == [
        [1, 2],
        [3, 4],
    ]
    (cutting,) = found.cuts
    assert (len(cutting.plan.rolls), cutting.plan.joints, cutting.unjoined) == (2, 0, None)
    assert [len(one or ()) for one in found.held.places] == [3] * 4
    needed = {one.rule.name: one.needed for one in found.small_parts.counts}
    assert needed == {"end clamp": 8, "end cap": 4, "coupler": 0, "feed connector": 4, "support clip": 12}


def test_a_row_too_much_for_a_supply_is_fed_in_the_fewest_parts_that_fit() -> None:
    """12 modules of 0.7 W on supplies of which 4 W may be taken are three parts; two would not do, and ends share."""
    study = sign(POWER.replace("25.0", "5.0"))
    found = built(study)
    whole(found)
    kind = study.building.rules.supply
    assert kind is not None
    assert [one.name for one in found.parts[:3]] == ["1.1", "1.2", "1.3"]
    # Five and five fill a supply each, and the last two of two rows share one: 10 supplies, where fours take 12.
    assert [one.count for one in found.parts] == [5, 5, 2] * 4
    assert all(one.watts <= kind.usable_watts for one in found.circuits)
    assert math.ceil(12 * 0.7 / kind.usable_watts) == 3
    assert found.supplies is not None
    assert len(found.supplies.supplies) == 10


def test_rows_are_parted_so_that_fewer_supplies_do() -> None:
    """3 rows of 60 W on supplies of 48 W: in halves six are needed; 48 W and 12 W each are three and one more."""
    text = SIGN.replace("watts = 0.7", "watts = 5.0").replace('pitch = "6 in"', "count = 3")
    found = built(study_from_text(text + "[power]\nsupply_watts = 64.0\nloading_share = 0.75\n"))
    whole(found)
    assert found.supplies is not None
    assert math.ceil(180 / 48) == len(found.supplies.supplies) == 4
    # 48 W are nine modules of 5 W, and three are left of each row.
    assert sorted({one.count for one in found.parts}) == [3, 9]


def test_the_longest_string_parts_a_row_as_watts_do() -> None:
    """A row of 60 in of string on supplies that may feed 21 in each is three parts, each of 20 in."""
    found = built(sign(STRING, POWER + 'longest_string = "21 in"\n'))
    assert [one.count for one in found.parts[:3]] == [4, 4, 4]
    assert max(one.length for one in found.circuits) == pytest.approx(20 * 0.0254, rel=1e-12)
    assert found.supplies is not None
    assert {one.binds for one in found.supplies.supplies} == {"length"}


def test_what_the_wire_loses_is_given_by_the_supply_too() -> None:
    """Modules that hold their power take more current at less voltage: the circuit counts as that, not as rated."""
    thin = 'feed_wire = "28 AWG"\nfeed_length = "15 ft"\nstring_wire = "18 AWG"\n'
    driver = '[modules.standard.electrics]\ntakes = "constant power"\n'
    found = built(sign(driver, POWER, thin))
    assert found.wired is not None
    for circuit, one in zip(found.circuits, found.wired, strict=True):
        assert circuit.watts == pytest.approx(12 * 0.7 + one.wire_watts, rel=1e-9)
        assert circuit.watts > 12 * 0.7 * 1.05
    plain = built(sign('[modules.standard.electrics]\ntakes = "resistor"\n', POWER, thin))
    assert plain.wired is not None
    # A resistor takes less on thin wire; the rating still stands for the day that the wire is thicker.
    assert plain.wired[0].voltages.supply_watts < 12 * 0.7
    assert plain.circuits[0].watts == pytest.approx(12 * 0.7, rel=1e-12)


def test_parts_that_only_fit_by_their_rating_are_made_smaller() -> None:
    """Eight watts of modules and some more in the wire do not fit eight usable watts: each row is fed in two parts."""
    driver = '[modules.standard.electrics]\ntakes = "constant power"\n'
    power = 'supply_watts = 10.6\nfeed_wire = "28 AWG"\nfeed_length = "12 ft"\nstring_wire = "18 AWG"\n'
    found = built(sign(driver, "[power]\n" + power))
    assert 12 * 0.7 < 10.6 * 0.8
    assert len(found.parts) == 2 * len(found.rows)
    assert all(one.watts <= 10.6 * 0.8 for one in found.circuits)


def test_each_circuit_of_a_string_is_counted() -> None:
    """Two circuits along a row share its watts, and each is as long as the row."""
    found = built(sign(STRING, POWER, "circuits_a_row = 2\n"))
    assert len(found.circuits) == 8
    assert [one.watts for one in found.circuits] == pytest.approx([4.2] * 8, rel=1e-12)
    assert [one.length for one in found.circuits] == pytest.approx([60 * 0.0254] * 8, rel=1e-12)
    feeds = {one.rule.per: one.needed for one in found.small_parts.counts}
    assert feeds["feed"] == 8


def test_what_is_not_told_is_named_and_nothing_is_made_up() -> None:
    """Without rolls, intervals and supplies there is no plan of any, and parts that go by them are not counted."""
    found = built(sign())
    assert dict(found.untold) == {
        "cutting": ("modules.standard.string.roll_modules",),
        "supports": ("supports.horizontal_interval",),
        "supplies": ("power.supply_watts",),
    }
    assert (found.cuts, found.supplies, set(found.held.places)) == ((), None, {None})
    assert {one.per for one in found.small_parts.unknown} == {"section", "joint", "support"}
    untold = built(sign(STRING, SUPPORTS, POWER, without="watts = 0.7\n"))
    assert (untold.wired, untold.circuits, untold.supplies) == (None, (), None)


def test_what_cannot_be_done_is_named_and_the_rest_is_worked_out() -> None:
    """A roll shorter than a row, modules without room for supports, a module above its supply: each by itself."""
    short = built(sign(STRING.replace("30", "10"), SUPPORTS, POWER))
    assert "row 1: 12 modules are more than a roll of 10" in short.refused["cutting"]
    assert short.supplies is not None
    assert not short.cuts
    wide = built(sign(STRING.replace("5 in", "4 in"), POWER))
    assert (
        "row 1: modules are up to 5 in apart, farther than string of standard reaches"
        in wide.refused["cutting"]
    )
    odd = built(sign(STRING.replace("30", "35"), "cut_every = 5\n", POWER.replace("25.0", "6.0")))
    assert odd.refused["cutting"].startswith(
        "row 1: 12 modules cannot be cut from string that is cut after every 5"
    )
    assert odd.refused["cutting"].endswith("next to it are 10 and 15")
    fed = built(sign(STRING.replace("30", "4"), POWER.replace("25.0", "6.0")))
    assert fed.refused["cutting"].startswith("row 1.1: 6 modules are more than a roll of 4")
    tight = built(sign(STRING.replace("2 in", "4 1/2 in"), SUPPORTS, POWER))
    assert tight.refused["supports"].startswith("row 1 and 3 more alike: ")
    assert tight.cuts
    weak = built(sign(STRING, SUPPORTS, POWER.replace("25.0", "0.8")))
    assert "row 1: a single module" in weak.refused["supplies"]
    assert weak.wired is not None
    assert weak.cuts


def test_a_wire_that_cannot_carry_its_string_is_refused() -> None:
    """There are then no voltages at all: the row is named."""
    driver = '[modules.standard.electrics]\ntakes = "constant power"\n'
    with pytest.raises(InputError, match="row 1: the string is too long for its wire"):
        built(sign(driver, '[power]\nfeed_wire = "36 AWG"\nfeed_length = "90 ft"\n'))


def test_string_to_cut_is_counted_by_its_own_pitch() -> None:
    """Twelve modules of a string of 5 in take 60 in however close they stand; untold, half a gap beyond each end."""
    (row, *_) = row_strings(study_from_text(SIGN).cabinet)
    assert string_length(row, 5 * INCH) == 60 * INCH
    assert string_length(row, Fraction(3, 20)) == Fraction(36, 20)
    assert string_length(row, None) == row.count * row.gaps[0]
    parts = row.in_parts([1, 11])
    assert [string_length(one, None) for one in parts] == [5 * INCH, 55 * INCH]


def test_uneven_rows_part_where_their_string_is_counted(tmp_path: Path) -> None:
    """Modules 250, 20 and 250 mm apart on supplies that may feed 400 mm: each gap goes half to either module."""
    (tmp_path / "built.csv").write_text("x_mm,y_mm\n50,300\n300,300\n320,300\n570,300\n")
    rows = SIGN[SIGN.index("[[rows]]") : SIGN.index("[modules")]
    text = SIGN.replace(rows, '[[rows]]\npositions = "built.csv"\n') + POWER + 'longest_string = "400 mm"\n'
    (tmp_path / "sign.toml").write_text(text)
    found = built(read_study(tmp_path / "sign.toml"))
    assert not found.refused
    assert [float(string_length(one, None)) for one in found.parts] == pytest.approx([0.385, 0.385])
    assert found.supplies is not None
    assert all(one.length <= 0.4 for one in found.supplies.supplies)


def test_rows_on_one_line_are_held_together_clear_of_all_their_modules(tmp_path: Path) -> None:
    """Two kinds in turn on one line are two strings: their supports are the line's, counted once, on no module."""
    (tmp_path / "built.csv").write_text(
        "x_mm,y_mm,module\n"
        + "".join(f"{50 + 100 * k},300,{'odd' if k % 2 else 'standard'}\n" for k in range(10))
    )
    rows = SIGN[SIGN.index("[[rows]]") : SIGN.index("[modules")]
    odd = '[modules.odd]\nlumens = 30.0\n[modules.odd.string]\nmodule_length = "40 mm"\n'
    text = SIGN.replace(rows, '[[rows]]\npositions = "built.csv"\n') + odd + SUPPORTS
    (tmp_path / "sign.toml").write_text(text)
    held = built(read_study(tmp_path / "sign.toml")).held
    one, two = held.places
    assert one is not None
    assert one == two
    assert held.lines == (0, 0)
    assert held.count == len(one)
    modules = [0.05 + 0.1 * k for k in range(10)]
    assert min(abs(float(place) - module) for place in one for module in modules) >= 0.02 + 0.0127 - 1e-12


def test_rows_beside_each_other_are_lines_of_their_own() -> None:
    """However close rows stand, each is held by itself; a row of another group on the same line is not."""
    close = SIGN.replace('pitch = "6 in"', 'at = ["3 in", "3 1/2 in"]') + SUPPORTS
    assert built(study_from_text(close)).held.lines == (0, 1)
    twice = close + '[[rows]]\nat = ["3 in"]\nmodule_count = 2\nmodule_edge_distance = "1/2 in"\n'
    assert built(study_from_text(twice)).held.lines == (0, 1, 0)


def test_a_supply_gives_what_its_strings_take_on_their_wire() -> None:
    """The currents of all supplies are those of all strings, however the circuits are counted for their number."""
    driver = '[modules.standard.electrics]\ntakes = "resistor"\n'
    for circuits in (1, 2):
        wires = f'feed_wire = "28 AWG"\ncircuits_a_row = {circuits}\n'
        found = built(sign(driver, POWER, wires))
        assert found.supplies is not None
        assert found.wired is not None
        given = [found.supply_amperes(one.number) for one in found.supplies.supplies]
        assert sum(given) == pytest.approx(sum(one.amperes for one in found.wired), rel=1e-12)
        assert sum(given) < 0.99 * sum(one.watts for one in found.circuits) / 12
