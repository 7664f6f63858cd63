"""`lumsim search --save` writes an answer as a study, and `light` on it repeats its numbers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.called import SMALL, lumsim, small_study

RANGES = """
[search.depth]
within = ["4 in", "9 in"]

[search.edge]
count = 3

[search.fewest]
row_pitch = ["3 in", "7 in"]
module_pitch = ["3 in", "6 in"]
staggered = [true]
"""


@pytest.mark.parametrize(
    ("question", "step"), [("pitch", "7 mm"), ("depth", "1/2 in"), ("edge", "7 mm"), ("modules", "1/2 in")]
)
def test_light_on_a_saved_answer_repeats_its_number(question: str, step: str, tmp_path: Path) -> None:
    """The layout to build is read back exactly: max/min, stripes, edge dimming, counts and pitches are the answer's.

    In another folder, under the same requirement, with what --set changed written into it.
    """
    study = small_study(tmp_path, text="# Ours.\n" + SMALL + RANGES)
    (tmp_path / "answers").mkdir()
    target = tmp_path / "answers" / "built.toml"
    loose = ("--set", "requirement.stripe_max_to_min=1.15", "--direct-only")
    asked = ("search", study, *loose, "--for", question, "--step", step, "--json")
    called = lumsim(*asked, "--save", target)
    (found,) = called.document["answers"]
    built = found["to_build"]
    assert f"wrote {target}" in called.err
    assert called.document == lumsim(*asked).document
    lit = lumsim("light", target, "--direct-only", "--json").document
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming"):
        assert lit["uniformity"][name] == pytest.approx(built[name], rel=1e-8)
    (rows,) = lit["study"]["rows"]
    assert (rows["count"], rows["module_count"], rows["direction"]) == (
        built["rows"],
        built["modules_in_a_row"],
        built["direction"],
    )
    assert rows["positions_m"] == pytest.approx(built["positions_m"], abs=1e-9)
    assert lit["study"]["depth_m"] == pytest.approx(built["depth_m"], abs=1e-12)
    assert lit["requirement"]["stripe_max_to_min"]["value"] == 1.15
    assert lit["requirement_met"] is True
    text = target.read_text(encoding="utf-8")
    assert "# Ours." in text
    assert text.startswith("# ")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--save", "built.txt"], "a study is written as .toml"),
        (["--save", "nowhere/built.toml"], "there is no folder"),
        (
            ["--save", "built.toml", "--for", "pitch", "--for", "depth"],
            "--save writes the layout that answers one",
        ),
        (["--save", "built.toml", "--for", "plane"], "--save writes the layout that answers one question"),
    ],
)
def test_what_cannot_be_saved_is_refused_before_the_work(
    arguments: list[str], said: str, tmp_path: Path
) -> None:
    """Another ending, no folder, several questions, and the plane, which is no layout."""
    study = small_study(tmp_path)
    called = lumsim("search", study, *(str(tmp_path / one) if "." in one else one for one in arguments))
    assert (called.status, called.out) == (2, "")
    assert said in called.err
    assert [file.name for file in tmp_path.glob("*.toml")] == [study.name]


def test_an_answer_out_of_reach_is_saved_as_that(tmp_path: Path) -> None:
    """What came nearest is a study too, and its first line says that the requirement is out of reach."""
    study, target = small_study(tmp_path), tmp_path / "nearest.toml"
    called = lumsim(
        "search",
        study,
        "--direct-only",
        "--save",
        target,
        "--set",
        "requirement.max_to_min=1.01",
        "--set",
        "cabinet.depth=18 in",
    )
    assert called.status == 1
    assert "nearest to a requirement out of reach" in target.read_text(encoding="utf-8").splitlines()[0]
    assert lumsim("light", target, "--direct-only").status == 1
