"""`lumsim search` answers each question that a study or the command line asks, exactly and to build."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest

from lumsim.search import trying
from lumsim.units import parse_length
from tests.cli.called import SMALL, Called, lumsim, small_study

ASKED = (
    SMALL
    + """
[search]
step = "1/2 in"

[search.depth]
within = ["4 in", "9 in"]

[search.edge]
count = 3
"""
)

FEWEST = """
[search.fewest]
row_pitch = ["3 in", "8 in"]
module_pitch = ["3 in", "6 in"]
"""

PLANE = """
[search.plane]
pitches = ["3 in", "5 in"]
depths = ["5 in", "7 in"]
pitch_count = 3
depth_count = 2
"""

INCH = 0.0254


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write a study that asks for the depth and the edge distance."""
    return small_study(tmp_path, text=ASKED)


def stop_at_look(monkeypatch: pytest.MonkeyPatch, number: int) -> list[int]:
    """Have Ctrl-C come at a look; how many there were is returned, and may be set back."""
    looks = [0]
    look = trying.Trials.look

    def stopped(self: trying.Trials, *args: Any, **options: Any) -> trying.Tried:
        looks[0] += 1
        if looks[0] == number:
            raise KeyboardInterrupt
        return look(self, *args, **options)

    monkeypatch.setattr(trying.Trials, "look", stopped)
    return looks


def answer(called: Called) -> dict[str, Any]:
    """Return the only answer of a document."""
    (found,) = called.document["answers"]
    assert isinstance(found, dict)
    return found


def to_build(called: Called, name: str) -> str:
    """Return what a table tells by a name of the layout to build, or of the only one there is."""
    _, _, table = called.out.partition(" exactly ")
    (line,) = re.findall(rf"^  {name}  +(.*)$", table, re.MULTILINE)
    return re.split("  +", line)[-1]


def test_what_a_study_asks_is_answered_in_one_run(study: Path) -> None:
    """Both questions of its tables, each told exactly and to build, and both in the verdict; the same twice."""
    called = lumsim("search", study, "--direct-only")
    assert called.status == 0
    assert re.search(
        r"^Least depth from 4 in to 9 in with the rows as they are, for ", called.out, re.MULTILINE
    )
    assert len(re.findall(r"^ +exactly +(?:and )?to build +limit$", called.out, re.MULTILINE)) == 2
    assert re.fullmatch(r"[0-9]+( 1/2)? in", to_build(called, "depth"))
    assert re.search(r"^Best edge distance from .* of 3 rows, for ", called.out, re.MULTILINE)
    assert re.search(
        r"VERDICT .*the least depth that does is .*; the best edge distance of 3 rows is .*, and meets it",
        called.out,
    )
    assert lumsim("search", study, "--direct-only").out == called.out
    questions = [
        one["question"] for one in lumsim("search", study, "--direct-only", "--json").document["answers"]
    ]
    assert questions == ["depth", "edge"]


def test_the_command_line_asks_in_place_of_the_study(study: Path) -> None:
    """--for names the question; text and document tell the same; the least depth keeps to the study's range."""
    found = answer(lumsim("search", study, "--direct-only", "--json", "--for", "depth"))
    text = lumsim("search", study, "--direct-only", "--for", "depth").out
    exact = re.search(r"^  depth +([0-9.]+) in\b", text, re.MULTILINE)
    assert exact is not None
    # Rounded up: at the depth that is printed the requirement is met.
    assert 0 <= float(exact[1]) * INCH - found["exact"]["depth_m"] < 1.01 * INCH / 1000
    assert (found["least_depth_m"], found["most_depth_m"]) == (4 * INCH, 9 * INCH)
    assert "Best edge distance" not in text


def test_a_layout_to_build_is_rounded_to_the_step(study: Path) -> None:
    """The study's step holds unless the command line gives another."""
    by_study = answer(lumsim("search", study, "--direct-only", "--json", "--for", "depth"))
    assert by_study["step_m"] == INCH / 2
    assert by_study["to_build"]["depth_m"] / (INCH / 2) == pytest.approx(
        round(by_study["to_build"]["depth_m"] * 2 / INCH)
    )
    finer = answer(lumsim("search", study, "--direct-only", "--json", "--for", "depth", "--step", "10 mm"))
    assert finer["step_m"] == pytest.approx(0.01)
    assert finer["to_build"]["depth_m"] * 100 == pytest.approx(
        round(finer["to_build"]["depth_m"] * 100), abs=1e-6
    )


@pytest.mark.parametrize("question", ["modules", "watts", "rows"])
def test_the_fewest_are_counted_and_placed(question: str, tmp_path: Path) -> None:
    """How many rows of how many modules, their pitches, and the first of each from its return; watts are a module's."""
    file = small_study(
        tmp_path, text=SMALL.replace("stripe_max_to_min = 1.2\n", "max_to_min = 2.5\n") + FEWEST
    )
    called = lumsim("search", file, "--direct-only", "--for", question, "--step", "1/2 in")
    modules, watts, rows, each, pitch, first, module_pitch, first_module = (
        to_build(called, name)
        for name in (
            "modules", "watts", "rows", "modules in each", "row pitch", "edge distance", "module pitch", "first module",
        )
    )  # fmt: skip
    rows = rows.removesuffix(" horizontal")
    assert int(modules) == int(rows) * int(each)
    assert float(watts) == pytest.approx(0.8 * int(modules))
    assert 2 * parse_length(first) + (int(rows) - 1) * parse_length(pitch) == parse_length("16 in")
    assert 2 * parse_length(first_module) + (int(each) - 1) * parse_length(module_pitch) == parse_length(
        "12 in"
    )
    assert f"the fewest {question} that do are {modules} modules" in called.out
    found = answer(lumsim("search", file, "--direct-only", "--json", "--for", question, "--step", "1/2 in"))
    assert (found["question"], found["fewest_of"]) == (question, question)
    assert found["to_build"]["modules"] == int(modules)


def test_the_plane_is_a_table_a_csv_and_a_document(tmp_path: Path) -> None:
    """The same points in all three: 3 pitches by 2 depths, what meets the requirement marked."""
    file, table, picture = (
        small_study(tmp_path, text=SMALL + PLANE),
        tmp_path / "plane.csv",
        tmp_path / "plane.png",
    )
    called = lumsim("search", file, "--direct-only", "--csv", table, "--picture", picture)
    assert picture.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
    found = answer(lumsim("search", file, "--direct-only", "--json"))
    lines = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    points = [point for row in found["points"] for point in row]
    assert (len(lines), len(points), len(found["depths_m"])) == (6, 6, 2)
    for line, point in zip(lines, points, strict=True):
        assert float(line["max_to_min"]) == point["max_to_min"]
        assert line["requirement_met"] == str(int(point["requirement_met"]))
        assert int(line["rows"]) == point["rows"]
    row = re.search(r"^  5 in +(.*)$", called.out, re.MULTILINE)
    assert row is not None
    shown = re.findall(r"([0-9.]+)(\*| |$)", row[1])
    assert [(f"{point['max_to_min']:.2f}", point["requirement_met"]) for point in points[:3]] == [
        (number, star == "*") for number, star in shown
    ]
    # Rows without end over a black back: stripes of 1.2 at the published pitch of 1.53128 throws.
    endless = found["endless_rows"]
    assert endless["max_to_min"] == 1.2
    for pitch, depth in zip(found["pitches_m"], endless["depths_m"], strict=True):
        assert pitch / (depth - INCH / 2) == pytest.approx(1.53128, rel=1e-5)
    assert called.status == (0 if any(point["requirement_met"] for point in points) else 1)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ["--for", "dept"],
            "'dept' is no question: pitch, depth, modules, watts, rows, edge or plane is; did you mean",
        ),
        (["--for", "depth", "--depths", "5 in"], "--depths are for the widest row pitch: add --for pitch"),
        (
            ["--for", "depth", "--picture", "x.png"],
            "--picture draws the widest row pitch or the plane: ask",
        ),
        (
            ["--for", "depth", "--csv", "x.csv"],
            "--csv writes the plane of row pitch and depth: add --for plane",
        ),
        (["--for", "plane", "--csv", "x.txt"], "a table is written as .csv"),
        (["--step", "0.5"], "--step 0.5: a length needs its unit"),
        (["--step", "0 in"], '--step 0 in: must be more than 0, such as "1/2 in" or "10 mm"'),
        (["--step", "0"], '--step 0: must be more than 0, such as "1/2 in" or "10 mm"'),
        (["--for", "edge", "--set", "search.edge.count=1"], "a best edge distance takes two rows or more"),
        (["--set", "search.step=30 in"], "must be at most half the cabinet's shorter side, got 30 in"),
        (["--set", "search.group=2"], "there is no group 2 of rows: they are counted from 1 to 1"),
        (
            ["--set", 'search.depth.within=["9 in", "4 in"]'],
            "the least comes first and must be below the most",
        ),
        (["--set", 'search.depth.within="9 in"'], "must be two lengths, the least and the most"),
        (["--set", "search.fewest.of=lumens"], 'must be "modules", "watts" or "rows", got'),
        (["--set", "search.plane.pitch_count=1"], "must be 2 or more and at most 400, got 1"),
        (["--set", "search.plane.pitch_count=2.5"], "must be a whole number, 2 or more and at most 400"),
        (["--set", "search.depths=5 in"], "is no known key"),
        (
            ["--set", 'search.fewest.row_pitch=["0 in", "4 in"]'],
            "search.fewest.row_pitch: the least pitch must be more than 0, got 0 in",
        ),
        (["--set", 'search.plane.pitches=["0 in", "4 in"]'], "the least pitch must be more than 0"),
        (
            ["--for", "depth", "--save", "x.toml"],
            "--save would write over the study itself: name another file",
        ),
    ],
)
def test_a_question_that_is_none_is_refused(
    arguments: list[str], said: str, study: Path, tmp_path: Path
) -> None:
    """Each in words, before any work, with nothing on stdout."""
    placed = [str(tmp_path / one) if one.startswith("x.") else one for one in arguments]
    placed = [str(study) if one.endswith("x.toml") else one for one in placed]
    called = lumsim("search", study, *placed)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_out_of_reach_says_what_came_nearest_and_what_limits_it(study: Path) -> None:
    """A depth range that holds no answer: the nearest depth, its numbers, and what stands in the way."""
    called = lumsim(
        "search", study, "--direct-only", "--for", "depth", "--set", "requirement.stripe_max_to_min=1.0001"
    )
    assert called.status == 1
    assert "OUT OF REACH: no depth looked at meets it. The nearest is stripes" in called.out
    assert re.search(r"at [0-9/ ]+ in deep$", called.out, re.MULTILINE)
    assert "What limits it: stripes and dots" in called.out
    assert "no depth looked at does with these rows" in called.out


def test_stopped_by_ctrl_c_the_best_so_far_is_told_and_marked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C at the third look: the answer so far, UNFINISHED, exit status 130; the next question is not begun."""
    study = small_study(tmp_path, text=ASKED.replace('["4 in", "9 in"]', '["2 in", "9 in"]'))
    looks = stop_at_look(monkeypatch, 3)
    called = lumsim("search", study, "--direct-only")
    assert called.status == 130
    assert "UNFINISHED: stopped before its end; the best so far" in called.out
    assert "Best edge distance" not in called.out
    looks[0] = 0
    assert answer(lumsim("search", study, "--direct-only", "--json"))["finished"] is False


def test_a_stopped_plane_keeps_the_depths_that_it_came_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C in the second depth: the first stands in text and document, the second is missing and said."""
    file = small_study(tmp_path, text=SMALL + PLANE)
    looks = stop_at_look(monkeypatch, 4)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "kept for one run"))
    called = lumsim("search", file, "--direct-only", "--processes", "1")
    assert called.status == 130
    assert "UNFINISHED: stopped after 1 of 2 depths" in called.out
    assert re.search(r"^  7 in +- +- +-$", called.out, re.MULTILINE)
    looks[0] = 0
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "kept for another"))
    found = answer(lumsim("search", file, "--direct-only", "--json", "--processes", "1"))
    assert (found["finished"], found["points"][1]) == (False, None)


def test_without_a_requirement_the_best_edge_distance_goes_by_max_to_min(study: Path) -> None:
    """The evenest face is found and the text says by what; there is nothing to meet."""
    called = lumsim(
        "search", study, "--direct-only", "--for", "edge", "--set", "requirement.stripe_max_to_min="
    )
    assert called.status == 0
    assert "of 3 rows, without a requirement: by max/min" in called.out
    assert "there is no requirement to meet; the best edge distance of 3 rows is" in called.out
