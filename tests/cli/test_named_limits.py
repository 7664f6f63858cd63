"""Named limits on the command line: told with their source, judged with the study's own, in every command's verdict."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.called import SMALL, UNEQUAL, Called, lumsim, small_study

NAMED = 'requirement.named_limits=["england-2007", "en-1838-2013"]'


def light(study: Path, *changes: str, json: bool = False) -> Called:
    """Light the study with changes, by direct light, which is quicker and as good here."""
    more = ["--json"] if json else []
    return lumsim("light", study, "--direct-only", *more, *(f"--set={change}" for change in changes))


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """Write the small study, whose mean luminance is some 500 cd/m²."""
    return small_study(tmp_path)


def test_light_tells_each_with_how_the_sign_stands(study: Path) -> None:
    """Text: source, mark, note, value, actual number, verdict; and that lumsim judges no compliance."""
    called = light(study, NAMED)
    mean = light(study, json=True).document["luminance"]["mean_cd_m2"]
    assert "england-2007: Town and Country Planning (Control of Advertisements)" in called.out
    assert "paragraph 2 (seen)\n" in called.out
    assert "Written for safety signs: " in called.out
    told = re.search(
        r"mean luminance at most 600 cd/m² \(up to 10 m²; visible here 0.0903 m²\): ([0-9.]+) cd/m², (met|NOT met)",
        called.out,
    )
    assert told is not None
    assert float(told[1]) == pytest.approx(mean, rel=2e-3)
    assert (told[2] == "met") == (mean <= 600)
    assert re.search(r"lowest luminance at least 2 cd/m²: [0-9.]+ cd/m², met\n", called.out)
    for words in (
        "lumsim judges no compliance",
        "a town's own limit, or a permit's, decides",
        "max_luminance",
    ):
        assert words in called.out
    assert "  named     en-1838-2013: max/min at most 10; lowest luminance at least 2 cd/m²\n" in called.out
    plain = light(study).out
    assert "named" not in plain.lower()


def test_the_verdict_and_the_exit_status_go_by_them(study: Path) -> None:
    """A named limit that is missed fails the sign, and the verdict says by what; a tighter own one is judged."""
    called = light(study, 'requirement.named_limits=["billboards-2010"]')
    assert called.status == 1
    assert "requirement NOT met; mean luminance" in called.out.partition("VERDICT")[2]
    assert "What helps: against too much light dim to" in called.out
    tighter = light(study, 'requirement.named_limits=["billboards-2010"]', "requirement.max_luminance=50")
    assert "NOT met, " in tighter.out
    assert "; judged is the tighter at most 50 cd/m²\n" in tighter.out


def test_the_document_holds_own_and_named_limits(study: Path) -> None:
    """Each by face with its area; what is judged stands under `requirement`; null where none is named."""
    document = light(study, NAMED, json=True).document
    assert document["named_limits"]["own"] == {"stripe_max_to_min": 1.2}
    assert document["requirement"].keys() == {
        "max_to_min", "stripe_max_to_min", "max_luminance", "darkest_luminance"
    }  # fmt: skip
    england, safety = document["named_limits"]["named"]
    assert (england["name"], england["mark"]) == ("england-2007", "seen")
    front = england["faces"]["front"]
    assert front["visible_area_m2"] == pytest.approx(10 * 14 * 0.0254**2)
    judged = document["requirement"]["max_luminance"]
    asked = front["limits"]["max_luminance"]
    assert {key: asked[key] for key in judged} == judged
    assert (asked["state"], asked["is_the_tightest"]) == ("new", True)
    assert safety["faces"]["front"]["limits"].keys() == {"max_to_min", "darkest_luminance"}
    assert document["study"]["named_limits"] == ["england-2007", "en-1838-2013"]
    assert "no compliance" in document["named_limits"]["note"]
    assert light(study, json=True).document["named_limits"] is None


def test_an_aged_sign_stands_where_it_has_less_to_spare(study: Path) -> None:
    """The most is held against the new mean, the least against the aged darkest place."""
    document = light(study, NAMED, "ageing.maintenance_factor=0.5", json=True).document
    england, safety = document["named_limits"]["named"]
    assert england["faces"]["front"]["limits"]["max_luminance"]["state"] == "new"
    lowest = safety["faces"]["front"]["limits"]["darkest_luminance"]
    assert lowest["state"] == "aged"
    assert lowest["actual"] == pytest.approx(document["aged"]["luminance"]["min_cd_m2"])


def test_each_face_of_two_is_told(tmp_path: Path) -> None:
    """Faces that are lit unlike have each their own line and part."""
    study = small_study(tmp_path, text=UNEQUAL)
    called = light(study, 'requirement.named_limits=["england-2007"]')
    assert (
        len(
            re.findall(r"visible here 0.0903 m² of each face\): of the (front|rear) face [0-9.]+", called.out)
        )
        == 2
    )
    document = light(study, 'requirement.named_limits=["england-2007"]', json=True).document
    faces = document["named_limits"]["named"][0]["faces"]
    for side, face in document["faces"].items():
        assert faces[side]["limits"]["max_luminance"]["actual"] == face["luminance"]["mean_cd_m2"]


def test_check_tells_what_is_asked_for(study: Path) -> None:
    """Before anything is lit, each named limit is told with its source and note, and no number of the sign."""
    called = lumsim("check", study, f"--set={NAMED}")
    assert called.status == 0
    assert "    mean luminance at most 600 cd/m² (up to 10 m²; visible here 0.0903 m²)\n" in called.out
    assert "england-2007: Town and Country" in called.out
    assert called.out.endswith("no problem found\n")


def test_a_search_keeps_to_them(study: Path) -> None:
    """The layout that a search answers with meets the named limit, and its saved study names it still."""
    answer = study.with_name("answer.toml")
    named = '--set=requirement.named_limits=["en-12464-1-surround"]'
    called = lumsim("search", study, "--direct-only", named, "--save", answer, "--json")
    best = called.document["answers"][0]["to_build"]
    assert best["requirement"]["min_to_mean"]["value"] == 0.4
    assert best["requirement"]["min_to_mean"]["met"]
    assert 'named_limits = ["en-12464-1-surround"]' in answer.read_text(encoding="utf-8")
    assert answer.read_text(encoding="utf-8") != SMALL
