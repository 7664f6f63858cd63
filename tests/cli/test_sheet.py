"""`lumsim sheet`: rows on the tape, voltages, the light that is left, what if; the same in text, JSON and CSV."""

from __future__ import annotations

import csv
import json
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
        "defaults  power.feed_at = end",
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
    assert [int(line["row"]) for line in lines] == [
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


def test_a_table_goes_into_a_csv_file_alone(study: Path, tmp_path: Path) -> None:
    """Another ending is refused before any work."""
    called = lumsim("sheet", study, "--csv", tmp_path / "modules.txt")
    assert called.status == 2
    assert "--csv" in called.err
