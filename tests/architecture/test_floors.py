"""The floors of the package hold, and each folder says what is in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "lumsim"
FOLDERS = sorted(file.parent.name for file in PACKAGE.glob("*/__init__.py"))
VAGUE = {"utils", "util", "helpers", "helper", "common", "core", "base", "misc", "tools"}


def test_each_file_imports_only_from_floors_below_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every import contract of pyproject.toml is kept, and there are some."""
    monkeypatch.chdir(ROOT)
    status = lint_imports(no_cache=True)
    printed = capsys.readouterr().out
    assert status == 0, printed
    kept = re.search(r"Contracts: ([0-9]+) kept, 0 broken", printed)
    assert kept is not None
    assert int(kept[1]) >= 5


def test_the_floors_are_all_the_folders_there_are() -> None:
    """The list of folders that the next tests go through is not empty by mistake."""
    assert {
        "beams",
        "cabinet",
        "chunks",
        "cli",
        "kernels",
        "light",
        "pictures",
        "report",
        "search",
        "study",
        "uniformity",
    } <= set(FOLDERS)


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_folder_lists_its_files_and_no_others(folder: str) -> None:
    """The docstring of each __init__.py names each file beside it once, with what it is for, and no other file."""
    text = (PACKAGE / folder / "__init__.py").read_text(encoding="utf-8")
    listed = re.findall(r"^    (\w+\.py) +\S", text, re.MULTILINE)
    there = sorted(file.name for file in (PACKAGE / folder).glob("*.py") if file.name != "__init__.py")
    assert sorted(listed) == there


def test_no_file_or_folder_has_a_name_that_says_nothing() -> None:
    """A name such as "utils" takes in anything; there is none."""
    names = {path.stem for root in (PACKAGE, ROOT / "tests") for path in root.rglob("*.py")} | {
        path.name for root in (PACKAGE, ROOT / "tests") for path in root.rglob("*") if path.is_dir()
    }
    assert not names & VAGUE


def test_no_file_is_too_long_to_read() -> None:
    """A file of the package has at most some 400 lines."""
    long = {
        str(path.relative_to(ROOT)): lines
        for path in PACKAGE.rglob("*.py")
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 420
    }
    assert long == {}
