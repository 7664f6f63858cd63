"""Several studies read to be held side by side."""

from __future__ import annotations

from pathlib import Path

import pytest

from lumsim.errors import InputError, StudyError
from lumsim.study.alternatives import MOST_STUDIES, changes_of, read_alternatives
from tests.study.written import SIGN, changed

INCH = 0.0254


@pytest.fixture
def sign(tmp_path: Path) -> Path:
    """Write a study without fault."""
    file = tmp_path / "sign.toml"
    file.write_text(SIGN, encoding="utf-8")
    return file


def test_files_come_first_and_changes_of_the_first_after_them(sign: Path, tmp_path: Path) -> None:
    """Studies stand in the order given, each further one made from the first file, `--set` made to all."""
    other = tmp_path / "other.toml"
    other.write_text(changed(('title = "Sign"', 'title = "Other"')), encoding="utf-8")
    studies = read_alternatives(
        [sign, other],
        also=["cabinet.depth=8 in", "cabinet.depth=9 in; cabinet.width=5 ft"],
        changes=["cabinet.height=30 in", "cabinet.depth=7 in"],
    )
    assert [one.title for one in studies] == ["Sign", "Other", "Sign", "Sign"]
    boxes = [one.cabinet.box for one in studies]
    assert [box.height for box in boxes] == pytest.approx([30 * INCH] * 4)
    assert [box.depth for box in boxes] == pytest.approx([7 * INCH, 7 * INCH, 8 * INCH, 9 * INCH])
    assert [box.width for box in boxes] == pytest.approx([48 * INCH, 48 * INCH, 48 * INCH, 60 * INCH])
    assert studies[2].changes == ("cabinet.height=30 in", "cabinet.depth=7 in", "cabinet.depth=8 in")


def test_the_same_file_twice_is_two_studies(sign: Path) -> None:
    """A study may be held against itself."""
    assert len(read_alternatives([sign, sign])) == 2


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("rows.pitch=9 in", ["rows.pitch=9 in"]),
        ("rows.pitch=9 in; cabinet.depth=8 in", ["rows.pitch=9 in", "cabinet.depth=8 in"]),
        ('rows.pitch=9";cabinet.depth=8";', ['rows.pitch=9"', 'cabinet.depth=8"']),
        ('title="Wide; and deep"', ['title="Wide; and deep"']),
        ('modules."a b".lumens=5; rows.z=', ['modules."a b".lumens=5', "rows.z="]),
        ("", [""]),
    ],
)
def test_semicolons_part_changes(text: str, changes: list[str]) -> None:
    """A semicolon begins the next change only where a key and an equals sign follow, so inch marks need no quotes."""
    assert changes_of(text) == changes


def test_one_study_alone_is_refused_with_what_to_do(sign: Path) -> None:
    """One study says that another is missing, and how to name it."""
    with pytest.raises(
        InputError, match=r'one study, and nothing to hold it against: .*--also rows.pitch="9 in"'
    ):
        read_alternatives([sign])


def test_too_many_are_refused_with_the_reason(sign: Path) -> None:
    """More studies than a picture can tell apart are refused before any is read."""
    with pytest.raises(InputError, match=r"7 studies: at most 6 .*could not be told apart"):
        read_alternatives(["missing.toml"] * MOST_STUDIES, also=["rows.pitch=9 in"])


def told(*paths: str | Path, also: tuple[str, ...] = (), changes: tuple[str, ...] = ()) -> list[str]:
    """Return every problem of studies that must be refused, as a line each."""
    with pytest.raises(StudyError) as caught:
        read_alternatives(paths, also=also, changes=changes)
    return str(caught.value).split("\n")


def test_every_problem_of_every_file_is_told_at_once(sign: Path, tmp_path: Path) -> None:
    """A missing file, a faulty one and each faulty change are told together, each by where it stands."""
    faulty = tmp_path / "faulty.toml"
    faulty.write_text(changed(("lumens = 90.0", "lumens = -1")), encoding="utf-8")
    lines = told(sign, faulty, "missing.toml", also=("cabinet.depth=8", "cabinet.dept=8 in"))
    assert len(lines) == 4
    assert any(line.startswith("missing.toml: ") for line in lines)
    assert any(line.startswith(f"{faulty}, line ") and "lumens" in line for line in lines)
    assert any(line.startswith("--also number 1: cabinet.depth: ") and '"8 in"' in line for line in lines)
    assert any(line.startswith("--also number 2: cabinet.dept: ") and "cabinet" in line for line in lines)


def test_a_faulty_file_is_told_once_and_not_again_for_its_changes(tmp_path: Path) -> None:
    """What is wrong with the first file is not told again of every study made from it."""
    faulty = tmp_path / "faulty.toml"
    faulty.write_text(changed(("lumens = 90.0", "lumens = -1")), encoding="utf-8")
    assert len(told(faulty, faulty, also=("cabinet.depth=8 in",))) == 1


def test_what_is_no_change_says_how_to_write_it(sign: Path) -> None:
    """An empty `--also` shows how a change is written."""
    (line,) = told(sign, also=("",))
    assert line.startswith("--also: ")
    assert 'cabinet.depth="8 in"' in line


def test_a_change_that_one_file_cannot_have_names_the_file(sign: Path, tmp_path: Path) -> None:
    """Where `--set` does not fit one file the message names that; where it fits none it is told once."""
    two = tmp_path / "two.toml"
    two.write_text(
        changed(("[requirement]", '[[rows]]\nmodule = "standard"\nat = ["4 in"]\n\n[requirement]')),
        encoding="utf-8",
    )
    (line,) = told(sign, two, changes=("rows.2.z=1 in",))
    assert line.startswith(f"--set in {sign}: rows.2.z: there is no rows.2")
    (line,) = told(sign, two, changes=("cabinet.depth=8",))
    assert line.startswith("--set: cabinet.depth: ")
