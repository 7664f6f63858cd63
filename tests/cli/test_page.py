"""`lumsim page`: a file whole or not at all, the study's verdict on stdout, faults told clearly."""

from __future__ import annotations

from pathlib import Path

import pytest

from lumsim.page import lit_settings
from lumsim.simulation import simulate
from tests.cli.called import lumsim, small_study

FEW = ["--set", 'page.pitches=["8 in"]', "--set", 'page.depths=["8 in"]', "--processes", "1"]


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """A small study's file."""
    return small_study(tmp_path)


def test_a_page_is_written(study: Path, tmp_path: Path) -> None:
    """An HTML file is written whole, the study's own verdict stands on stdout, and the status is that of its limits."""
    file = tmp_path / "shop.html"
    ran = lumsim("page", study, "-o", file, *FEW)
    assert ran.status == 0
    assert ran.out == lumsim("light", study).out.split("\n\n")[-1].splitlines()[0] + "\n"
    assert f"wrote {file}" in ran.err
    content = file.read_text(encoding="utf-8")
    assert content.startswith("<!DOCTYPE html>")
    assert content.endswith("</html>")
    assert "<h1>Corner shop</h1>" in content


def test_a_requirement_that_is_missed(study: Path, tmp_path: Path) -> None:
    """A sign that misses its requirement has its page all the same, status 1, and JSON alone on stdout if asked."""
    file = tmp_path / "shop.html"
    ran = lumsim("page", study, "-o", file, *FEW, "--set", "requirement.stripe_max_to_min=1.0001", "--json")
    assert ran.status == 1
    assert file.exists()
    settings = ran.document["settings"]
    assert len(settings) == 8
    assert sorted({one["depth_m"] for one in settings}) == pytest.approx([0.1524, 0.2032])
    assert {one["requirement_met"] for one in settings} == {False}


@pytest.mark.parametrize(
    ("name", "said"), [("shop.pdf", "is written as .html"), ("none/shop.html", "there is no folder")]
)
def test_a_file_that_cannot_be_written(study: Path, tmp_path: Path, name: str, said: str) -> None:
    """A wrong ending and a missing folder are told before any work, with the file's name."""
    ran = lumsim("page", study, "-o", tmp_path / name)
    assert ran.status == 2
    assert name in ran.err
    assert said in ran.err


def test_a_page_that_is_stopped_leaves_what_was_there(
    study: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After Ctrl-C the status is 130, the file is as it was, and the message says that it is not written."""
    file = tmp_path / "shop.html"
    file.write_text("the page of before", encoding="utf-8")
    calls = []

    def stopped(*given: object, **named: object) -> object:
        calls.append(1)
        if len(calls) > 4:
            raise KeyboardInterrupt
        return simulate(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(lit_settings, "simulate", stopped)
    ran = lumsim("page", study, "-o", file, *FEW)
    assert ran.status == 130
    assert "is not written" in ran.err
    assert file.read_text(encoding="utf-8") == "the page of before"


def test_rows_that_cannot_be_told_apart(study: Path, tmp_path: Path) -> None:
    """A study with two groups of rows is asked which one's pitch changes; told so, its page is written."""
    text = study.read_text(encoding="utf-8")
    study.write_text(
        text.replace("[[rows]]", '[[rows]]\nz = "1 in"\nat = ["8 in"]\n\n[[rows]]'), encoding="utf-8"
    )
    file = tmp_path / "shop.html"
    ran = lumsim("page", study, "-o", file, *FEW)
    assert ran.status == 2
    assert "--set search.group=1" in ran.err
    assert lumsim("page", study, "-o", file, *FEW, "--set", "search.group=2").status in {0, 1}
