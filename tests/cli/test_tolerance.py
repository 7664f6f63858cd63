"""`lumsim tolerance`: slopes, the worst dead module, built signs; the same bytes by one process and by two."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from lumsim.search import tolerance as search_tolerance
from lumsim.study import tolerating
from tests.cli.called import MIRRORED, SMALL, UNEQUAL, lumsim, small_study

SPREAD = (
    SMALL
    + """
[tolerance]
signs = 60
flux_scatter = 0.08
dead_modules = 1
"""
)


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study with a spread."""
    return small_study(tmp_path, text=SPREAD)


def test_text_tells_slopes_the_dead_module_and_the_share(study: Path) -> None:
    """All three stand in the text with their units, and the verdict holds the share; the drawing decides the status."""
    called = lumsim("tolerance", study, "--direct-only", "--processes", "1")
    assert called.status == 0
    assert "row pitch 4 in, per inch" in called.out
    assert "reflectance 0.85" not in called.out.split("VERDICT")[0].split("How the numbers")[1]
    assert "One module dead, each of 12 in turn" in called.out
    assert "hurts most     row " in called.out
    assert "Built signs: 60 drawn, seed 1, for stripes at most 1.2" in called.out
    assert "95 % confidence (Clopper-Pearson)" in called.out
    assert "VERDICT (direct light only): as drawn the sign meets the requirement" in called.out
    assert " of 60 signs do" in called.out
    assert "UNFINISHED" not in called.out


@pytest.mark.parametrize(
    "light", [("--direct-only",), pytest.param((), marks=pytest.mark.slow)], ids=["direct", "all"]
)
def test_one_process_and_two_give_the_same_bytes(light: tuple[str, ...], study: Path, tmp_path: Path) -> None:
    """The document and the table of signs hang on nobody who did the work."""
    tables = [tmp_path / "one.csv", tmp_path / "two.csv"]
    one, two = (
        lumsim("tolerance", study, "--json", "--signs", "26", "--processes", number, "--csv", table, *light)
        for number, table in zip(("1", "2"), tables, strict=True)
    )
    assert (one.status, two.status) == (0, 0)
    assert one.out == two.out
    assert tables[0].read_bytes() == tables[1].read_bytes()


def test_json_and_csv_hold_every_sign(study: Path, tmp_path: Path) -> None:
    """What is counted in the document is what stands in its signs, and the table has a line for each."""
    table = tmp_path / "signs.csv"
    document = lumsim(
        "tolerance", study, "--direct-only", "--json", "--processes", "1", "--csv", table
    ).document
    found = document["built_signs"]
    assert (document["finished"], found["signs"], len(found["each"])) == (True, 60, 60)
    met = sum(one["requirement_met"] for one in found["each"])
    assert (found["meeting"], found["share"]) == (met, pytest.approx(met / 60))
    assert found["interval"]["low"] < found["share"] <= found["interval"]["high"]
    assert found["spread"] == {
        "flux_scatter": 0.08,
        "placing_m": 0.0,
        "row_sag_m": 0.0,
        "depth_m": 0.0,
        "bow_m": 0.0,
        "dead_modules": 1,
    }
    lines = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    assert [int(line["sign"]) for line in lines] == list(range(1, 61))
    for line, one in zip(lines, found["each"], strict=True):
        assert float(line["max_to_min"]) == one["numbers"]["max_to_min"]
        assert line["dead_modules"] == " ".join(str(module) for module in one["dead_modules"])
    worst = document["dead_module"]["worst"]
    assert worst["worst_of_actual_over_limit"] == max(
        one["worst_of_actual_over_limit"] for one in document["dead_module"]["tried"]
    )
    assert {one["quantity"]: one["unit"] for one in document["sensitivity"]} == {
        "row_pitch": "m",
        "edge_distance": "m",
        "module_pitch": "m",
        "depth": "m",
    }


def test_signs_and_seed_may_be_given_on_the_command_line(study: Path) -> None:
    """Fewer signs are the first of them; another seed draws others."""
    fast = ("--direct-only", "--json", "--processes", "1")
    whole, few, other = (
        lumsim("tolerance", study, *fast, *more).document["built_signs"]["each"]
        for more in ((), ("--signs", "25"), ("--seed", "2"))
    )
    assert few == whole[:25]
    assert other != whole


def test_without_a_spread_it_says_what_to_give(tmp_path: Path) -> None:
    """Slopes and dead modules are told all the same; options of signs are refused."""
    study = small_study(tmp_path)
    called = lumsim("tolerance", study, "--direct-only", "--processes", "1")
    assert called.status == 0
    assert "nothing is said of what they differ in; give it under [tolerance]" in called.out
    assert (
        lumsim("tolerance", study, "--direct-only", "--json", "--processes", "1").document["built_signs"]
        is None
    )
    for option in (("--signs", "10"), ("--seed", "2"), ("--csv", str(tmp_path / "signs.csv"))):
        refused = lumsim("tolerance", study, *option)
        assert refused.status == 2
        assert "no sign is drawn" in refused.err


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--signs", "0"), "--signs 0: from 1 to 1000000 signs are drawn"),
        (("--seed", "-1"), "--seed -1: a seed is a whole number"),
        (("--csv", "signs.txt"), "a table is written as .csv"),
        (("--processes", "0"), "0 processes do no work"),
        (("--processes", "2", "--scheduler", "tcp://127.0.0.1:1"), "give one of the two"),
    ],
)
def test_what_cannot_be_is_refused(study: Path, options: tuple[str, ...], told: str) -> None:
    """In words, before the work."""
    called = lumsim("tolerance", study, *options)
    assert (called.status, called.out) == (2, "")
    assert told in called.err


@pytest.mark.slow
def test_two_faces_and_millimetres(tmp_path: Path) -> None:
    """The worse face decides each sign; the study's units are kept to."""
    text = (
        UNEQUAL.replace('units = "in"', 'units = "mm"')
        + '\n[tolerance]\nsigns = 5\nplacing = "2 mm"\nbow = "3 mm"\n'
    )
    study = small_study(tmp_path, text=text)
    called = lumsim("tolerance", study, "--processes", "1")
    assert called.status == 1
    assert "per 10 mm" in called.out
    assert "as drawn the sign does NOT meet the requirement" in called.out
    assert "each module off its place by up to 2 mm" in called.out
    assert "its slant is left out, which at the edges is worth up to 3.9 %" in called.out
    each = lumsim("tolerance", study, "--processes", "1", "--json").document["built_signs"]["each"]
    assert {one["face"] for one in each} == {"rear"}


def test_mirrored_faces_are_lit_as_one(tmp_path: Path) -> None:
    """Two faces alike need one look; without a requirement there is no share."""
    text = MIRRORED.split("[requirement]")[0] + "\n[tolerance]\nsigns = 5\nflux_scatter = 0.1\n"
    document = lumsim(
        "tolerance", small_study(tmp_path, text=text), "--json", "--direct-only", "--processes", "1"
    ).document
    assert {one["face"] for one in document["built_signs"]["each"]} == {"front"}
    assert document["built_signs"]["share"] is None
    assert document["built_signs"]["each"][0]["requirement_met"] is None


def test_ctrl_c_leaves_what_was_come_to(study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Interrupted after the first 25 signs it tells of these, marked unfinished, with status 130."""
    done: list[search_tolerance.SignsPart] = []

    def one_part_only(part: search_tolerance.SignsPart) -> tuple[search_tolerance.SignResult, ...]:
        if done:
            raise KeyboardInterrupt
        done.append(part)
        return search_tolerance.signs_of(part)

    monkeypatch.setattr(tolerating, "signs_of", one_part_only)
    table = tmp_path / "signs.csv"
    called = lumsim("tolerance", study, "--direct-only", "--processes", "1", "--csv", table)
    assert called.status == 130
    assert "UNFINISHED: stopped after 25 of 60 signs" in called.out
    assert "of 25 signs so far do" in called.out
    assert len(table.read_text(encoding="utf-8").splitlines()) == 26
