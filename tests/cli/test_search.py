"""`lumsim search`: the layout to build, or what stands in the way, and how far it falls short."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from lumsim.cli import messages
from lumsim.study import searching
from tests.cli.called import SMALL, lumsim, small_study

# Tall enough that one or two rows cannot do.
TALL = SMALL.replace('"16 in"', '"24 in"')
LISTED = TALL.replace('pitch = "4 in"\nmodule_pitch = "4 in"\n', 'positions = "as-built.csv"\n')
TWO_GROUPS = TALL.replace("[requirement]", '[[rows]]\nat = ["1 in"]\n\n[requirement]')


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study."""
    return small_study(tmp_path, text=TALL)


def test_text_tells_the_pitch_exactly_and_to_build(study: Path) -> None:
    """Both pitches, the rows' places and the verdict stand in the text; the pitch to build is not the wider one."""
    called = lumsim("search", study)
    assert called.status == 0
    assert re.search(r"^ +exactly +to build +limit$", called.out, re.MULTILINE)
    exact = re.search(r"^  row pitch +([0-9.]+) in +[0-9/ ]+ in$", called.out, re.MULTILINE)
    assert exact is not None
    assert re.search(r"^  edge distance +[0-9.]+ in +[0-9/ ]+ in$", called.out, re.MULTILINE)
    assert "rows at " in called.out
    assert "VERDICT (with reflected light): the study's own layout meets the requirement" in called.out
    (answer,) = lumsim("search", study, "--json").document["answers"]
    assert answer["exact"]["pitch_m"] / 0.0254 == pytest.approx(float(exact[1]) + 5e-4, abs=5.1e-4)
    assert answer["to_build"]["pitch_m"] <= answer["exact"]["pitch_m"]


def test_json_stands_alone_on_stdout_and_is_the_same_every_time(study: Path) -> None:
    """One valid JSON document, the same bytes twice; what was tried rises in pitch."""
    called = lumsim("search", study, "--direct-only", "--json")
    document = called.document
    (answer,) = document["answers"]
    assert (called.status, answer["requirement_met"], answer["group"]) == (0, True, 1)
    assert document["own_layout"]["requirement_met"] is True
    assert lumsim("search", study, "--direct-only", "--json").out == called.out
    pitches = [one["pitch_m"] for one in answer["tried"] if one["pitch_m"] is not None]
    assert pitches == sorted(pitches)


def test_other_depths_are_searched_too(study: Path) -> None:
    """Depths asked for come back in their order beside the study's own, and as a table in the text."""
    called = lumsim("search", study, "--direct-only", "--json", "--depths", "8 in; 5 in; 6 in")
    (answer,) = called.document["answers"]
    assert [one["depth_m"] for one in answer["against_depth"]] == [0.2032, 0.127]
    pitch = {one["depth_m"]: one["exact"]["pitch_m"] for one in answer["against_depth"]}
    assert pitch[0.127] < answer["exact"]["pitch_m"]
    table = lumsim("search", study, "--direct-only", "--depths", "8 in").out
    assert "Row pitch against depth" in table
    assert re.search(r"^  6 in .*\n  8 in ", table, re.MULTILINE)


@pytest.mark.parametrize(
    ("depths", "said"),
    [
        ("5", "--depths 5: a length needs its unit"),
        ("", "a length is missing"),
        ("5 in;", "a length is missing"),
        ("-5 in", "a depth must be more than 0, got -5 in"),
        ("1/2 in", "leaves no throw: these modules need one of at least 13.7 mm"),
        ("usal", "--depths usal: did you mean usual?"),
        ("usuall", "did you mean usual?"),
        ("any", "a length begins with a number"),
        ("4 in, 5 in", 'write a semicolon between depths, such as --depths "4 in; 5 in"'),
        ("4 in; 5in, 6 in", '--depths "4 in; 5in; 6 in"'),
        ("4,5 in", 'write "4.5 in"'),
    ],
)
def test_depths_that_are_none_are_refused(depths: str, said: str, study: Path) -> None:
    """A depth that cannot be read, or leaves no throw, is refused."""
    called = lumsim("search", study, f"--depths={depths}")
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_a_picture_is_drawn_of_the_search(study: Path, tmp_path: Path) -> None:
    """The picture is a PNG (its signature, PNG specification, 5.2); stdout still holds the document alone."""
    file = tmp_path / "pitch.png"
    called = lumsim("search", study, "--direct-only", "--json", "--picture", file)
    assert file.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
    assert called.document["answers"][0]["requirement_met"] is True
    assert f"wrote {file}" in called.err


@pytest.mark.parametrize(
    ("picture", "said"),
    [
        ("pitch.jpg", "a picture is written as .png or .svg or .pdf"),
        ("nowhere/pitch.png", "there is no folder"),
    ],
)
def test_a_picture_that_cannot_be_written_is_refused_before_the_work(
    picture: str, said: str, study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unknown ending or a missing folder is refused before anything is searched."""

    def no_search(*_: object, **__: object) -> None:
        raise AssertionError("the work has begun")

    monkeypatch.setattr(searching, "search", no_search)
    called = lumsim("search", study, "--picture", tmp_path / picture)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_with_several_groups_the_one_to_move_must_be_named(tmp_path: Path) -> None:
    """Two groups: the search asks which, and moves that one."""
    file = small_study(tmp_path, text=TWO_GROUPS)
    asked = lumsim("search", file)
    assert (asked.status, asked.out) == (2, "")
    assert "the study has 2 groups of rows: say which one's pitch to search, such as --group 1" in asked.err
    loose = ("--set", "requirement.stripe_max_to_min=3")
    assert lumsim("search", file, "--json", "--group", "1", *loose).document["answers"][0]["group"] == 1
    beyond = lumsim("search", file, "--group", "3")
    assert beyond.status == 2
    assert "there is no group of rows 3: they are counted from 1 to 2" in beyond.err


def test_listed_modules_have_no_pitch_to_search(tmp_path: Path) -> None:
    """A study that lists its modules is refused with what would be right."""
    (tmp_path / "as-built.csv").write_text("x_in,y_in\n6,4\n6,12\n", encoding="utf-8")
    called = lumsim("search", small_study(tmp_path, text=LISTED))
    assert (called.status, called.out) == (2, "")
    assert "lists its modules one by one and has no row pitch to search" in called.err


def test_without_a_limit_there_is_nothing_to_search_for(study: Path) -> None:
    """A study that requires nothing is refused with the limit to set."""
    called = lumsim("search", study, "--set", "requirement.stripe_max_to_min=")
    assert (called.status, called.out) == (2, "")
    assert "set a limit under [requirement], such as stripe_max_to_min = 1.2" in called.err


@pytest.mark.parametrize(
    ("changes", "limits_it"),
    [
        (["requirement.stripe_max_to_min=", "requirement.edge_dimming=1.001"], "dark edges and corners"),
        (["requirement.stripe_max_to_min=1"], "stripes and dots"),
    ],
)
def test_an_unreachable_requirement_is_answered_with_the_nearest_layout(
    changes: list[str], limits_it: str, study: Path
) -> None:
    """Out of reach is an answer, not an error: status 1, the nearest layout, and what stands in the way."""
    # Deep, so that few row counts are to be tried.
    called = lumsim(
        "search", study, "--direct-only", *(f"--set={change}" for change in ("cabinet.depth=18 in", *changes))
    )
    assert called.status == 1
    assert "OUT OF REACH: no row pitch meets it. The nearest is" in called.out
    assert "rows at " in called.out
    assert f"What limits it: {limits_it}" in called.out
    assert "no row pitch at this depth does" in called.out


def test_an_unreachable_requirement_is_null_in_json(study: Path) -> None:
    """Where no pitch meets the requirement there is none in the document, and the closest is not met."""
    document = lumsim(
        "search",
        study,
        "--direct-only",
        "--json",
        "--set=cabinet.depth=18 in",
        "--set=requirement.max_to_min=1.001",
    ).document
    (answer,) = document["answers"]
    assert answer["requirement_met"] is False
    assert (answer["exact"], answer["to_build"]) == (None, None)
    assert answer["closest"]["requirement_met"] is False


def test_progress_of_long_work_goes_to_stderr_alone(study: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is told while it works, stdout holds the document and nothing else."""
    seconds = iter(range(0, 100_000, 10))
    monkeypatch.setattr(messages, "time", SimpleNamespace(monotonic=lambda: float(next(seconds))))
    called = lumsim("search", study, "--direct-only", "--json")
    assert "lumsim: searching, " in called.err
    assert called.document["schema"] == 2
