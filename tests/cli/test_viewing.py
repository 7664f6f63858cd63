"""What the eye may notice, on the command line: text, JSON, no verdict."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.called import MIRRORED, SMALL, UNEQUAL, Called, lumsim, small_study

LONG = SMALL.replace('width = "12 in"', 'width = "20 in"').replace('depth = "6 in"', 'depth = "3 in"')
ASKED = 'viewing.distances=["3 m", "1500 ft"]'


def light(study: Path, *changes: str, json: bool = False) -> Called:
    """Light the study with changes, by direct light, which is quicker and as good here."""
    more = ["--json"] if json else []
    return lumsim("light", study, "--direct-only", *more, *(f"--set={change}" for change in changes))


def test_without_distances_nothing_is_told(tmp_path: Path) -> None:
    """The text says nothing of the eye, and `viewing` is null."""
    study = small_study(tmp_path, text=LONG)
    assert "eye" not in light(study).out
    assert light(study, json=True).document["viewing"] is None


def test_text_and_document_tell_the_same(tmp_path: Path) -> None:
    """Distances in feet for a study in inches, each so many times above or below; verdict and status as before."""
    study = small_study(tmp_path, text=LONG)
    plain, called = light(study), light(study, ASKED)
    document = light(study, ASKED, json=True).document
    rows = document["viewing"]["rows"]
    assert document["viewing"]["distances_m"] == [3.0, 457.2]
    assert rows["pitch_m"] == pytest.approx(0.1016)
    assert rows["why_not_told"] is None
    assert document["viewing"]["mean_cd_m2"] == document["luminance"]["mean_cd_m2"]
    for one in rows["seen"]:
        assert one["times_threshold"] == pytest.approx(rows["modulation"] / one["threshold"], rel=1e-7)
    ((begin, end),) = rows["above_threshold_m"]
    assert begin == 3.0
    assert 3.0 < end < 457.2
    assert rows["seen"][0]["times_threshold"] > 1 > rows["seen"][1]["times_threshold"]
    assert "viewing   from 9.84 ft, 1500 ft\n" in called.out
    assert re.search(r"\n    9.84 ft +[0-9.]+ +[0-9.]+ % +[0-9.]+ times above it\n", called.out)
    assert re.search(
        r"\n    1500 ft +[0-9.]+ +([0-9.]+ %|none is seen) +[a-z0-9. ]+ times below it\n", called.out
    )
    told = re.search(
        r"stripes are above the threshold of seeing between 9.84 ft and ([0-9.]+) ft, elsewhere", called.out
    )
    assert told is not None
    assert float(told[1]) == pytest.approx(end / 0.3048, rel=0.005)
    for words in (
        "information, no requirement",
        "Barten (2003)",
        "trained observer at leisure",
        "nothing is judged",
    ):
        assert words in called.out
    assert all(
        words in document["viewing"]["note"] for words in ("trained observer at leisure", "no requirement")
    )
    assert called.status == plain.status
    assert plain.out.partition("VERDICT")[2] == called.out.partition("VERDICT")[2]


def test_one_distance_has_no_stretch(tmp_path: Path) -> None:
    """From one distance it is told how things stand there, and no stretch, which is null."""
    study = small_study(tmp_path, text=LONG)
    only = 'viewing.distances=["3 m"]'
    assert "the threshold of seeing" not in light(study, only, "units=mm").out
    assert "from 3 m\n" in light(study, only, "units=mm").out
    assert light(study, only, json=True).document["viewing"]["rows"]["above_threshold_m"] is None


def test_what_is_not_told_says_why(tmp_path: Path) -> None:
    """A single row has no pitch: the text gives the reason and the document nulls."""
    study = small_study(tmp_path, text=LONG)
    single = ("rows.pitch=", "rows.count=1", ASKED)
    assert "  stripes: not told: a single row has no pitch\n" in light(study, *single).out
    rows = light(study, *single, json=True).document["viewing"]["rows"]
    assert rows == {
        "pitch_m": None, "modulation": None, "why_not_told": "a single row has no pitch", "seen": [],
        "above_threshold_m": None,
    }  # fmt: skip


def test_all_the_way_above_or_below(tmp_path: Path) -> None:
    """Where a whole range is above the threshold, or below it, the sentence says so."""
    study = small_study(tmp_path, text=LONG)
    near, far = 'viewing.distances=["3 m", "4 m"]', 'viewing.distances=["2000 m", "3000 m"]'
    assert (
        "stripes are above the threshold of seeing all the way from 3 m to 4 m"
        in light(study, near, "units=mm").out
    )
    told = light(study, far, "units=mm")
    assert "stripes are below the threshold of seeing all the way from 2000 m to 3000 m" in told.out
    assert re.search(r"none is seen +more than 1000 times below it", told.out)
    assert light(study, far, json=True).document["viewing"]["rows"]["above_threshold_m"] == []


def test_each_face_and_each_state_is_told(tmp_path: Path) -> None:
    """Of two faces each has its own, of mirror images one stands for both; an aged sign is told new and aged."""
    unequal = small_study(tmp_path, text=UNEQUAL)
    text = light(unequal, ASKED).out
    assert text.count("\n  stripes, front face: ") == text.count("\n  stripes, rear face: ") == 1
    document = light(unequal, ASKED, json=True).document
    of_faces = [document["faces"][side]["viewing"]["rows"]["modulation"] for side in ("front", "rear")]
    assert of_faces[0] != of_faces[1]
    assert document["viewing"] == document["faces"][document["face"]]["viewing"]
    mirrored = light(small_study(tmp_path, text=MIRRORED), ASKED, "ageing.maintenance_factor=0.5").out
    assert (
        mirrored.count("\n  stripes, each face, new: ")
        == mirrored.count("\n  stripes, each face, aged: ")
        == 1
    )
    aged = light(unequal, ASKED, "ageing.maintenance_factor=0.5", json=True).document
    new, old = aged["viewing"], aged["aged"]["viewing"]
    assert old["mean_cd_m2"] == pytest.approx(new["mean_cd_m2"] / 2)
    assert old["rows"]["modulation"] == pytest.approx(new["rows"]["modulation"], rel=1e-6)
    assert old["rows"]["seen"][0]["threshold"] > new["rows"]["seen"][0]["threshold"]


def test_check_tells_the_distances(tmp_path: Path) -> None:
    """`check` reads them back, in the study's units, and lights nothing."""
    called = lumsim("check", small_study(tmp_path, text=LONG), f"--set={ASKED}", "--set=units=mm")
    assert "  viewing   from 3 m, 457 m\n" in called.out
