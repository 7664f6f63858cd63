"""`lumsim submittal` and the pages of `lumsim compare`: files whole or not at all, faults told clearly."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.called import lumsim, small_study
from tests.paper.read_back import ReadBack


@pytest.fixture
def study(tmp_path: Path) -> Path:
    """A small study's file."""
    return small_study(tmp_path)


def test_submittal_is_written(study: Path, tmp_path: Path) -> None:
    """A PDF is written, its verdict stands on stdout, and the exit status is that of the requirement."""
    file = tmp_path / "shop.pdf"
    ran = lumsim("submittal", study, "-o", file, "--no-plane", "--direct-only")
    assert ran.status == 0
    assert ran.out.startswith("VERDICT (direct light only): requirement met")
    assert "Corner shop" in ReadBack(file.read_bytes()).pages[0]


def test_requirement_that_is_missed(study: Path, tmp_path: Path) -> None:
    """A sign that misses its requirement has its submittal written all the same, and status 1."""
    file = tmp_path / "shop.pdf"
    limit = "requirement.stripe_max_to_min=1.0001"
    ran = lumsim("submittal", study, "-o", file, "--no-plane", "--direct-only", "--set", limit, "--json")
    assert ran.status == 1
    document = ran.document
    assert document["met"] is False
    assert "tried on the command line" in ReadBack(file.read_bytes()).text


@pytest.mark.parametrize("command", ["submittal", "compare"])
@pytest.mark.parametrize(
    ("name", "said"), [("shop.doc", "is written as .pdf"), ("none/shop.pdf", "there is no folder")]
)
def test_file_that_cannot_be_written(study: Path, tmp_path: Path, command: str, name: str, said: str) -> None:
    """A wrong ending and a missing folder are told before any work, with the file's name."""
    studies = [study, study] if command == "compare" else [study]
    ran = lumsim(command, *studies, "-o", tmp_path / name)
    assert ran.status == 2
    assert name in ran.err
    assert said in ran.err


def test_pages_of_a_comparison(study: Path, tmp_path: Path) -> None:
    """The pages of a comparison have each study's verdict and the numbers that its JSON document has."""
    file = tmp_path / "both.pdf"
    ran = lumsim("compare", study, "--also", "rows.pitch=8 in", "-o", file, "--direct-only", "--json")
    assert ran.status == 1
    paper = ReadBack(file.read_bytes())
    document = ran.document
    for letter in "AB":
        even = document["studies"][letter]["uniformity"]
        assert f"{even['max_to_min']:.2f}" in paper.text
    assert "A Corner shop" in paper.pages[0]
    assert "B against A" in paper.text
    for number, text in enumerate(paper.pages, start=1):
        assert f"page {number} of {len(paper.pages)}" in text
    assert all(paper.fonts().values())
