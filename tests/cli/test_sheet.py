"""`lumsim sheet`: rows on the tape, voltages, the light that is left, what if; the same in text, JSON and CSV."""

from __future__ import annotations

import csv
import json
from itertools import pairwise
from pathlib import Path

import pytest

from lumsim.report.cautions import CAUTIONS
from tests.cli.called import SMALL, lumsim, small_study

RATED = 'watts = 6.0\nvolts = 12.0\nelectrics = { takes = "resistor", forward_volts = 9.0 }'


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study with power enough for its far ends to be dimmer."""
    assert "watts = 0.8" in SMALL
    return small_study(tmp_path, text=SMALL.replace("watts = 0.8", RATED))


def test_the_text_tells_places_voltages_light_failures_and_cautions(study: Path) -> None:
    """Everything stands in the text, defaults named, every caution in plain sight."""
    called = lumsim("sheet", study, "--direct-only")
    for told in (
        "on centre: lines from the bottom or left return",
        "first module",
        "fed at its left or bottom end by 60 in of 18 AWG; copper at 50 °C",
        "Defaults: power.feed_at = end",
        "on its wire",
        "What if: the worst of each kind that may fail",
        " dead (of 4 looked at): max/min ",
        "CAUTIONS",
        "VERDICT (direct light only): as built the face",
        "connectors and couplers to have no resistance",
    ):
        assert told in called.out
    for caution in CAUTIONS:
        assert caution[1:] in called.out
    assert "UNFINISHED" not in called.out


def test_text_json_and_table_hold_the_same(study: Path, tmp_path: Path) -> None:
    """Each module's place, voltage and light in the table is the document's, and the least of a row the text's."""
    table = tmp_path / "modules.csv"
    called = lumsim("sheet", study, "--direct-only", "--json", "--csv", table)
    text = lumsim("sheet", study, "--direct-only").out
    document = json.loads(called.out)
    lines = list(csv.DictReader(table.read_text().splitlines()))
    assert [line["row"] for line in lines] == [
        row["row"] for row in document["rows"] for _ in range(row["modules"])
    ]
    for name, of_row in (("along_m", "along_m"), ("volts", "volts"), ("light_share", "light_share")):
        assert [float(line[name]) for line in lines] == [
            pytest.approx(value, rel=1e-8) for row in document["rows"] for value in row[of_row]
        ]
    for row in document["rows"]:
        assert f"{min(row['volts']):.2f}" in text
        assert row["amperes"] * 12.0 > row["lost_in_wire_w"] > 0
    assert document["wiring"]["amperes"] == pytest.approx(sum(row["amperes"] for row in document["rows"]))
    assert document["built"]["max_to_min"] > document["rated"]["max_to_min"]
    assert document["cautions"] == list(CAUTIONS)
    assert [one["kind"] for one in document["failures"]] == ["module", "row"]


def test_the_light_at_rated_voltage_is_what_light_tells(study: Path) -> None:
    """Before the wire the numbers are those of `lumsim light`."""
    rated = json.loads(lumsim("sheet", study, "--direct-only", "--json").out)["rated"]
    light = json.loads(lumsim("light", study, "--direct-only", "--json").out)["uniformity"]
    for name in ("max_to_min", "stripe_max_to_min"):
        assert rated[name] == light[name]


def test_without_watts_there_are_places_and_no_voltages(tmp_path: Path) -> None:
    """What the study does not tell is not made up: the sheet says which keys are missing."""
    bare = small_study(tmp_path, text=SMALL)
    called = lumsim("sheet", bare, "--direct-only")
    assert "Wire: no voltages: the study does not tell modules.standard.volts" in called.out
    assert "Light: every module taken to have its rated voltage" in called.out
    document = json.loads(lumsim("sheet", bare, "--direct-only", "--json").out)
    assert document["wiring"] is None
    assert all(row["volts"] is None for row in document["rows"])


def test_a_dark_sign_does_not_pass(study: Path) -> None:
    """Where no module has voltage enough the face is dark, and that is no pass."""
    electrics = "modules.standard.electrics"
    called = lumsim(
        "sheet", study, "--direct-only", "--set", f"{electrics}.takes=constant current",
        "--set", f"{electrics}.forward_volts=", "--set", f"{electrics}.drop_out=11.999",
    )  # fmt: skip
    assert called.status == 1
    assert "as built the face stays dark" in called.out
    assert "Light: none is left" in called.out


def test_more_volts_than_modules_are_rated_for_are_warned_of(study: Path) -> None:
    """A supply above the rating is warned of in text and document; one at it is not."""
    warned = "modules.standard is rated for 12 V and the supply holds 24 V"
    over = ("sheet", study, "--direct-only", "--set", "power.supply_volts=24")
    assert f"WARNING: {warned}" in lumsim(*over).out
    assert any(one.startswith(warned) for one in json.loads(lumsim(*over, "--json").out)["warnings"])
    assert "is rated for" not in lumsim("sheet", study, "--direct-only").out


def test_a_wire_that_cannot_carry_its_string_is_refused(study: Path) -> None:
    """The row, what the wire can carry, and what would help; no traceback, nothing printed."""
    called = lumsim(
        "sheet", study, "--direct-only", "--set", "power.feed_wire=38 AWG",
        "--set", "modules.standard.electrics.takes=constant power",
        "--set", "modules.standard.electrics.forward_volts=",
    )  # fmt: skip
    assert called.status == 2
    assert called.out == ""
    assert "row 1: the string is too long for its wire" in called.err


WHOLE = (
    ("modules.standard.string.roll_modules", "5"),
    ("modules.standard.string.pitch", "6 in"),
    ("modules.standard.string.most_joints", "1"),
    ("modules.standard.string.module_length", "2 in"),
    ("supports.horizontal_interval", "5 in"),
    ("supports.from_end", "3 in"),
    ("power.supply_watts", "45"),
    ("power.longest_string", "8 ft"),
    ("power.interleaved", "true"),
    ("costs.hours_a_day", "10"),
    ("costs.price_a_kwh", "0.3"),
    ("costs.currency", "EUR"),
    ("service.opens", "top"),
    ("service.arm", "5 in"),
)
"""Everything that a sheet can be told but a price list."""


def whole(*more: str) -> list[str]:
    """Return the arguments that tell it."""
    return [*(part for key, value in WHOLE for part in ("--set", f"{key}={value}")), *more]


def test_what_to_cut_hold_power_and_keep_up_stands_in_text_and_document(study: Path) -> None:
    """Every plan of the document adds up, and the text tells the same counts; nothing is left untold."""
    text = lumsim("sheet", study, "--direct-only", *whole()).out
    document = json.loads(lumsim("sheet", study, "--direct-only", "--json", *whole()).out)
    assert [document[f"why_no_{work}"] for work in ("cutting", "supports", "supplies", "voltages")] == [
        None
    ] * 4
    (cutting,) = document["cutting"]
    cut = [one for roll in cutting["rolls"] for one in roll["sections"]]
    for roll in cutting["rolls"]:
        assert sum(one["modules"] for one in roll["sections"]) + roll["left_modules"] == 5
    for row in document["rows"]:
        assert sum(one["modules"] for one in cut if one["row"] == row["row"]) == row["modules"]
    assert f"{len(cutting['rolls'])} rolls with {cutting['joints']} joint" in text
    supplies = document["supplies"]
    fed = [(one["row"], one["circuit"]) for supply in supplies["supplies"] for one in supply["feeds"]]
    assert sorted(fed) == sorted((row["row"], 1) for row in document["rows"])
    for one in supplies["supplies"]:
        assert one["watts"] <= supplies["usable_watts"] == pytest.approx(36.0)
        assert one["string_m"] <= supplies["longest_string_m"] == pytest.approx(8 * 0.3048)
        assert 0.9 * one["watts"] < one["amperes"] * 12 <= one["watts"]
    assert sum(one["amperes"] for one in supplies["supplies"]) == pytest.approx(document["wiring"]["amperes"])
    assert f"Supplies, {len(supplies['supplies'])} (the fewest): each 45.0 W, of which 80 %, 36.0 W" in text
    assert "class 2 (NEC chapter 9, table 11(B)): at 12 V at most 60.0 VA" in text
    held = {one["row"]: one["at_m"] for one in document["supports"]}
    for row in document["rows"]:
        assert max(b - a for a, b in pairwise(held[row["row"]])) <= 5 * 0.0254 + 1e-9
        assert min(abs(a - b) for a in row["along_m"] for b in held[row["row"]]) >= 1.5 * 0.0254 - 1e-9
    running = document["running"]
    assert running["kwh_a_year"] == pytest.approx(running["watts_from_supplies"] / 0.85 * 10 * 365 / 1000)
    assert running["cost_a_year"] == pytest.approx(running["kwh_a_year"] * 0.3)
    assert [one["kind"] for one in document["failures"]] == ["module", "row", "supply", "joint"]
    assert "comes apart (of" in text
    assert "from the top to the farthest module" in text
    assert document["service"]["out_of_reach"]
    assert "WARNING: farther in than service.arm: row 1" in text
    for row in document["rows"]:
        assert sum(row["feed_amperes"]) == pytest.approx(row["amperes"])


def test_modules_that_end_beyond_the_returns_are_warned_of(study: Path) -> None:
    """By their length along the row: of 5 in the outermost at 2 in end half an inch outside, of 3 in they do not."""
    length = "modules.standard.string.module_length"
    args = ("sheet", study, "--direct-only", "--no-what-if", "--set")
    warned = "the outermost modules of rows 1 to 4 end beyond the returns"
    assert warned in lumsim(*args, f"{length}=5 in").out
    assert "end beyond the returns" not in lumsim(*args, f"{length}=3 in").out


def test_what_may_fail_can_be_left_out(study: Path) -> None:
    """Nothing is then told of losses, and all else is as before."""
    args: list[str | Path] = ["sheet", study, "--direct-only", *whole()]
    text, short = lumsim(*args).out, lumsim(*args, "--no-what-if").out
    assert "What if" in text
    assert "What if" not in short
    assert [line for line in text.splitlines() if line.startswith("Supplies, ")] == [
        line for line in short.splitlines() if line.startswith("Supplies, ")
    ]
    assert json.loads(lumsim(*args, "--no-what-if", "--json").out)["failures"] == []


def test_rows_on_returns_say_so(tmp_path: Path) -> None:
    """Text, document and table name the return; a beam that is dimmed by its wire is warned of nothing new."""
    edge = RATED.replace("6.0", "2.0")
    text = (
        SMALL.replace("watts = 0.8", edge)
        .replace("z = 0.5", "z = 0.5")
        .replace('pitch = "4 in"\n', "count = 1\n", 1)
    )
    text = text.replace("[[rows]]\n", '[[rows]]\non = "top"\n')
    path, table = small_study(tmp_path, text=text), tmp_path / "modules.csv"
    called = lumsim("sheet", path, "--direct-only", "--no-what-if", "--csv", table)
    assert "horizontal, top return" in called.out
    assert "tilted" not in called.out
    assert {line["on"] for line in csv.DictReader(table.read_text().splitlines())} == {"top"}
    document = json.loads(lumsim("sheet", path, "--direct-only", "--no-what-if", "--json").out)
    assert {row["on"] for row in document["rows"]} == {"top"}


def test_parts_that_cost_nothing_known_are_told(study: Path) -> None:
    """A price list prices what it names; the total says what it leaves out, and a near miss is asked about."""
    (study.parent / "prices.csv").write_text("part,price\nroll of standard,10.00\nsuply,7\n")
    priced = whole("--set", "costs.prices=prices.csv")
    text = lumsim("sheet", study, "--direct-only", *priced).out
    document = json.loads(lumsim("sheet", study, "--direct-only", "--json", *priced).out)
    rolls = len(document["cutting"][0]["rolls"])
    assert document["total"] == pytest.approx(10 * rolls)
    assert "supply" in document["unpriced"]
    assert f"Parts to buy: {10 * rolls}.00 EUR, without" in text
    assert "no price; is 'suply' meant?" in text


def test_what_cannot_be_built_does_not_pass(study: Path) -> None:
    """A row longer than its roll, with no joints: the sheet says so, tells all else, and is no pass."""
    short = (
        "--set",
        "modules.standard.string.roll_modules=2",
        "--set",
        "modules.standard.string.most_joints=0",
    )
    called = lumsim("sheet", study, "--direct-only", *whole(*short))
    assert called.status == 1
    assert "Cutting: NOT possible as asked: row 1: " in called.out
    assert "VERDICT (direct light only): NOT to be built as asked: see cutting" in called.out
    assert "Supports, " in called.out


def test_a_drawing_is_written_in_each_of_its_ways(study: Path, tmp_path: Path) -> None:
    """PDF, SVG and PNG, each by its ending, the same bytes again; another ending is refused before any work."""
    files = [tmp_path / f"plan{ending}" for ending in (".pdf", ".svg", ".png")]
    asked = [part for file in files for part in ("--drawing", str(file))]
    lumsim("sheet", study, "--direct-only", *whole(*asked))
    written = [file.read_bytes() for file in files]
    assert [content[:4] for content in written] == [b"%PDF", b"<?xm", b"\x89PNG"]
    lumsim("sheet", study, "--direct-only", *whole(*asked))
    assert [file.read_bytes() for file in files] == written
    called = lumsim("sheet", study, "--drawing", tmp_path / "plan.jpg")
    assert called.status == 2
    assert "--drawing" in called.err
    assert ".pdf or .svg or .png" in called.err


def test_a_table_goes_into_a_csv_file_alone(study: Path, tmp_path: Path) -> None:
    """Another ending is refused before any work."""
    called = lumsim("sheet", study, "--csv", tmp_path / "modules.txt")
    assert called.status == 2
    assert "--csv" in called.err
