"""`lumsim compare`: each study as `light` tells it, differences against the first, status by every verdict."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.called import SMALL, UNEQUAL, lumsim, small_study

AGED = SMALL + "\n[ageing]\nmaintenance_factor = 0.7\ndirt_factor = 0.9\n"


def written(folder: Path, name: str, text: str) -> Path:
    """Write a study file under a name of its own."""
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study."""
    return small_study(tmp_path)


def tables(text: str) -> list[list[str]]:
    """Return the tables of a text: the lines from each line of heads, which is indented, to the next that is empty."""
    found: list[list[str]] = []
    inside = False
    for line in text.splitlines():
        heads = line.startswith("     ") and line.split()[0] == "A"
        inside = heads or (inside and line.startswith("  ") and "may be off" not in line)
        if heads:
            found.append([])
        if inside:
            found[-1].append(line)
    return found


def without_schema(document: dict[str, Any]) -> dict[str, Any]:
    """Return a document of `light` as it stands within one of `compare`."""
    return {key: value for key, value in document.items() if key != "schema"}


def test_a_study_held_against_itself_differs_by_nothing(study: Path) -> None:
    """The same file twice: every difference is 0, and nothing is said to be built otherwise."""
    document = lumsim("compare", study, study, "--direct-only", "--json").document
    differences, numbers = document["differences"], document["studies"]["A"]["numbers"]
    assert list(differences) == ["B"]
    assert differences["B"].keys() == numbers.keys()
    for name, one in differences["B"].items():
        # Of nothing there is no share.
        assert one == {"absolute": 0, "share": 0 if numbers[name] else None}
    text = lumsim("compare", study, study, "--direct-only").out
    assert "All is built alike" in text
    assert "against A" in text


def test_each_study_is_told_as_light_tells_it(study: Path, tmp_path: Path) -> None:
    """Under its letter stands the document of `light --json`, single, double-sided, aged and changed alike."""
    double, aged = written(tmp_path, "double.toml", UNEQUAL), written(tmp_path, "aged.toml", AGED)
    depth = "cabinet.depth=7 in"
    called = lumsim("compare", study, double, aged, "--also", depth, "--direct-only", "--json")
    document = called.document
    assert list(document["studies"]) == ["A", "B", "C", "D"]
    for letter, command in (
        ("A", (study,)),
        ("B", (double,)),
        ("C", (aged,)),
        ("D", (study, "--set", depth)),
    ):
        own = document["studies"][letter]
        light = without_schema(lumsim("light", *command, "--direct-only", "--json").document)
        assert {key: own[key] for key in light} == light


def test_differences_are_those_of_what_light_tells(study: Path) -> None:
    """Each number less the first study's, and as a share of that, from two runs of `light`, all light followed."""
    changes = ("rows.pitch=8 in", "modules.standard.watts=1.6")
    document = lumsim("compare", study, "--also", "; ".join(changes), "--json").document
    one = lumsim("light", study, "--json").document
    other = lumsim("light", study, "--set", changes[0], "--set", changes[1], "--json").document
    told = document["differences"]["B"]
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming", "coefficient_of_variation"):
        first, second = one["uniformity"][name], other["uniformity"][name]
        assert told[name]["absolute"] == pytest.approx(second - first, abs=1e-7)
        assert told[name]["share"] == pytest.approx(second / first - 1, abs=1e-7)
    mean = one["luminance"]["mean_cd_m2"], other["luminance"]["mean_cd_m2"]
    assert told["mean_cd_m2"]["absolute"] == pytest.approx(mean[1] - mean[0], abs=1e-5)
    # 4 rows of 3 modules of 0.8 W, 2 rows of 3 of 1.6 W, 90 lm each.
    assert told["modules"] == {"absolute": -6, "share": -0.5}
    assert told["lumens"] == {"absolute": -540, "share": -0.5}
    assert told["watts"] == {"absolute": 0, "share": 0}


def test_the_worse_face_and_the_deciding_state_answer(tmp_path: Path) -> None:
    """Of two faces the worse one, of new and aged the state that decides, is held against the first; both are named."""
    aged = written(tmp_path, "aged.toml", AGED.replace("stripe_max_to_min = 1.2", "min_luminance = 1.0"))
    double = written(tmp_path, "double.toml", UNEQUAL)
    document = lumsim("compare", double, aged, "--direct-only", "--json").document
    rear, old = document["studies"]["A"], document["studies"]["B"]
    assert rear["told_of"] == {"face": "rear", "state": "new"}
    assert rear["numbers"]["max_to_min"] == rear["faces"]["rear"]["uniformity"]["max_to_min"]
    assert old["told_of"] == {"face": "front", "state": "aged"}
    assert (
        old["numbers"]["mean_cd_m2"]
        == old["aged"]["luminance"]["mean_cd_m2"]
        < old["luminance"]["mean_cd_m2"]
    )
    text = lumsim("compare", double, aged, "--direct-only").out
    (line,) = (line for line in text.splitlines() if line.startswith("  told of"))
    assert [cell.strip() for cell in line.split("  ") if cell.strip()] == ["told of", "rear face", "aged"]


def test_text_and_json_tell_the_same_numbers(study: Path) -> None:
    """The printed ratios and their differences are those of the document, to the digits printed."""
    arguments = ("compare", study, "--also", "rows.pitch=8 in", "--direct-only")
    document, text = lumsim(*arguments, "--json").document, lumsim(*arguments).out
    (line,) = (line for line in text.splitlines() if line.startswith("  max/min  "))
    told = document["differences"]["B"]["max_to_min"]
    first, other = (document["studies"][letter]["numbers"]["max_to_min"] for letter in "AB")
    assert line.split()[1:4] == [f"{first:.2f}", f"{other:.2f}", f"{told['absolute']:+.2f}"]
    assert f"({told['share'] * 100:+.0f} %)" in line


def test_what_is_built_otherwise_is_told_and_nothing_else(study: Path) -> None:
    """The table has a line for each thing that differs, with each study's own, and none for what is alike."""
    called = lumsim(
        "compare",
        study,
        "--also",
        "cabinet.depth=8 in",
        "--also",
        "modules.standard.lumens=100",
        "--direct-only",
    )
    built, *_ = tables(called.out)
    assert [line.split("  ")[1] for line in built[1:]] == ["depth", "lumens a module"]
    assert built[1].split() == ["depth", "6", "in", "8", "in", "6", "in"]
    assert built[2].split()[3:] == ["90", "lm", "90", "lm", "100", "lm"]


@pytest.mark.parametrize("also", [1, 2, 5])
def test_tables_are_aligned_and_narrow(study: Path, also: int) -> None:
    """Every cell stands under its head, no line of a table is wider than 110, and each study has its columns."""
    more = [argument for number in range(also) for argument in ("--also", f"cabinet.depth={7 + number} in")]
    called = lumsim("compare", study, *more, "--direct-only")
    found = tables(called.out)
    assert len(found) == 3 * ((also + 1) // 2)
    heads = [head for table in found for head in table[0].split() if head in "ABCDEF"]
    assert set(heads) == set("ABCDEF"[: also + 1])
    for head, *lines in found:
        starts = [
            place for place in range(1, len(head)) if head[place] != " " and head[place - 2 : place] == "  "
        ]
        for line in (head, *lines):
            assert len(line) <= 110
            assert all(line[start - 2 : start].strip() == "" for start in starts)


def test_every_study_has_its_verdict_and_warnings_name_theirs(study: Path) -> None:
    """Each verdict bears its letter, as `light` words it; a warning names those that it is for, once."""
    wide = "rows.count=2; rows.edge_distance=6 in; rows.pitch="
    called = lumsim("compare", study, study, "--also", wide, "--also", wide, "--direct-only")
    light = lumsim("light", study, "--direct-only").out
    (verdict,) = (line for line in light.splitlines() if line.startswith("VERDICT"))
    for letter in "AB":
        assert verdict.replace("VERDICT", f"VERDICT {letter}") in called.out
    warned = [
        line for line in called.out.splitlines() if line.startswith("WARNING") and "outermost row" in line
    ]
    assert len(warned) == 1
    assert warned[0].startswith("WARNING C, D: ")


def test_requirements_that_differ_are_told_and_each_judged_by_its_own(study: Path, tmp_path: Path) -> None:
    """Two limits on one number have a line each; the text says that requirements differ, and status 1 is one missed."""
    other = written(tmp_path, "other.toml", SMALL.replace("= 1.2\n", "= 1.0001\n"))
    called = lumsim("compare", study, other, "--direct-only")
    assert called.status == 1
    assert "each study is judged by its own" in called.out
    lines = {
        line.split("  ")[1]: line
        for line in called.out.splitlines()
        if " at most 1" in line and "VERD" not in line
    }
    assert "to spare" in lines["stripes at most 1.2"]
    assert lines["stripes at most 1.2"].endswith("-")
    assert "NOT met" in lines["stripes at most 1.0001"]


def test_status_is_that_of_the_worst(study: Path) -> None:
    """0 where all are met, 1 where one is not."""
    assert lumsim("compare", study, study, "--direct-only").status == 0
    assert lumsim("compare", study, "--also", "cabinet.depth=2 in", "--direct-only").status == 1


def test_the_first_studys_units_hold_and_lengths_alike_are_alike(study: Path, tmp_path: Path) -> None:
    """A study in millimetres of the same lengths is built alike, and the text says in what lengths are told."""
    metric = written(
        tmp_path, "metric.toml", SMALL.replace('units = "in"', 'units = "mm"').replace('"6 in"', '"152.4 mm"')
    )
    called = lumsim("compare", study, metric, "--direct-only")
    assert "lengths in inches, as A has them; B has millimetres in the study" in called.out
    assert "All is built alike" in called.out


def test_studies_of_one_title_are_told_apart(study: Path, tmp_path: Path) -> None:
    """Two of one title are named by file, those of one file by their own changes; changes of all stand once."""
    other = written(tmp_path, "other.toml", SMALL)
    called = lumsim(
        "compare", study, other, "--also", "cabinet.depth=7 in", "--set", "rows.z=1 in", "--direct-only"
    )
    names = called.out.splitlines()[1:5]
    assert names == [
        "  A  Corner shop (shop.toml)",
        "  B  Corner shop (other.toml)",
        "  C  Corner shop (shop.toml; cabinet.depth=7 in)",
        "  tried in all: rows.z=1 in",
    ]


def test_a_picture_is_written(study: Path, tmp_path: Path) -> None:
    """Pictures are what their ending says, and their writing is told on stderr."""
    png, svg = tmp_path / "both.png", tmp_path / "both.svg"
    called = lumsim("compare", study, study, "--direct-only", "--json", "--picture", png, "--picture", svg)
    assert called.document["colour_scale"]["screen_white_cd_m2"] > 0
    assert png.read_bytes().startswith(b"\x89PNG")
    assert b"<svg" in svg.read_bytes()
    assert f"wrote {png}" in called.err


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "one study, and nothing to hold it against"),
        (("missing.toml",), "missing.toml: "),
        (("--also", "cabinet.depht=8 in"), "--also: cabinet.depht: is no known key; did you mean depth?"),
        (("--also", "cabinet.depth"), "--also: cabinet.depth: write it as key=value"),
        (("--also", "cabinet.depth=8 in", "--set", "rows.pitch=0 in"), "--set: rows.1.pitch: "),
        (
            ("--also", "rows.z=1 in", "--picture", "both.txt"),
            "--picture both.txt: a picture is written as .png",
        ),
    ],
)
def test_bad_input_is_refused_in_the_users_words(study: Path, arguments: tuple[str, ...], told: str) -> None:
    """One study alone, a missing file, a bad change, a bad ending: said where and what, nothing printed, status 2."""
    called = lumsim("compare", study, *arguments)
    assert called.status == 2
    assert called.out == ""
    assert told in called.err
