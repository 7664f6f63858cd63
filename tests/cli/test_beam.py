"""`lumsim beam`: a photometric file or the modules of a study, as text, document and picture."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.beams.written_lm63 import lambertian
from tests.cli.called import MIRRORED, SMALL, UNEQUAL, lumsim, small_study

TWO_KINDS = (
    SMALL.replace(
        "[[rows]]", '[modules.wide]\nlumens = 50.0\nbeam = { shape = "wide", width = 3 }\n\n[[rows]]'
    )
    .replace("[[rows]]", '[[rows]]\nmodule = "standard"')
    .replace("[requirement]", '[[rows]]\nmodule = "wide"\nz = "0.5 in"\npitch = "6 in"\n\n[requirement]')
)
"""The small study with two kinds of module."""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Write a photometric file of 100 cd straight ahead."""
    path = tmp_path / "module.ies"
    path.write_text(lambertian(last=90.0), encoding="utf-8")
    return path


def test_a_photometric_file_is_told(file: Path) -> None:
    """What the file holds and its light in figures stand on stdout, nothing on stderr, status 0."""
    called = lumsim("beam", file)
    assert (called.status, called.err) == (0, "")
    for part in ("module.ies", "LM-63-2002", "[TESTLAB]", "type C", "100 cd on the axis", "beam angle"):
        assert part in called.out


def test_the_modules_of_a_study_are_told(tmp_path: Path) -> None:
    """Every kind in its rows, or the one asked for; a change is tried without editing."""
    study = small_study(tmp_path, text=TWO_KINDS)
    called = lumsim("beam", study)
    assert called.status == 0
    assert "Module standard: Lambertian" in called.out
    assert "Module wide: " in called.out
    one = lumsim("beam", study, "--module", "wide", "--set", "modules.wide.lumens=70", "--json").document
    assert [beam["name"] for beam in one["beams"]] == ["wide"]
    assert one["beams"][0]["flux_lm"] == 70


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SMALL, None),
        (MIRRORED, "front and rear get half of these lumens each, by this beam and its mirror image"),
        (UNEQUAL, "front and rear get 60 % and 40 % of these lumens, by this beam and its mirror image"),
        (UNEQUAL.replace("= 0.6", "= 1"), "all of it goes to the front"),
        (UNEQUAL.replace("= 0.6", "= 0"), "all of it goes to the rear"),
        (
            UNEQUAL.replace("[requirement]", '[[rows]]\nz = "3 in"\ncount = 1\n\n[requirement]'),
            "each face gets its share of these lumens, which differs from module to module, by this beam",
        ),
    ],
)
def test_of_two_faces_the_share_of_each_is_told(text: str, said: str | None, tmp_path: Path) -> None:
    """The lumens of a double-sided study are the whole module's, and the text says what goes where."""
    called = lumsim("beam", small_study(tmp_path, text=text))
    assert called.status == 0
    told = [line for line in called.out.splitlines() if line.startswith("  two faces")]
    assert told == ([] if said is None else [f"  two faces   {said}"])


def test_modules_in_no_rows_are_told_as_such(tmp_path: Path) -> None:
    """A kind that is defined and in no rows is named by `beam`, `check` and the document of `light`."""
    text = SMALL.replace("[[rows]]", '[modules.spare]\nlumens = 50.0\n\n[[rows]]\nmodule = "standard"')
    study = small_study(tmp_path, text=text)
    assert "  note        modules.spare is in no rows" in lumsim("beam", study).out
    assert "  note      modules.spare is in no rows" in lumsim("check", study).out
    document = lumsim("light", study, "--direct-only", "--json").document
    assert document["study"]["notes"] == ["modules.spare is in no rows"]
    assert "is in no rows" not in lumsim("check", small_study(tmp_path, text=TWO_KINDS)).out


def test_the_document_is_all_that_stands_on_stdout(file: Path, tmp_path: Path) -> None:
    """With --json and --picture stdout holds one document; the message about the picture goes to stderr."""
    picture = tmp_path / "beam.svg"
    called = lumsim("beam", file, "--json", "--picture", picture)
    assert called.document["beams"][0]["file"]["edition"] == "LM-63-2002"
    assert called.err == f"wrote {picture}\n"
    assert picture.read_bytes().startswith(b"<?xml")


def test_a_picture_is_the_same_every_time_and_replaces_what_is_there(file: Path, tmp_path: Path) -> None:
    """Two runs write the same bytes, the second over the first."""
    picture = tmp_path / "beam.png"
    lumsim("beam", file, "--picture", picture)
    first = picture.read_bytes()
    lumsim("beam", file, "--picture", picture)
    assert picture.read_bytes() == first
    assert first.startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--module", "standard"), "--module standard: names a kind of module in a study (.toml), and "),
        (("--set", "cabinet.depth=5 in"), "--set cabinet.depth=5 in: changes a key of a study (.toml), and "),
        (
            ("--set", "cabinet.depth=5 in"),
            'put it into a study with beam = { file = "module.ies" } to try changes',
        ),
        (("--picture", "beam.jpg"), "written as .png or .svg or .pdf"),
        (("--picture", "nowhere/beam.png"), "there is no folder"),
    ],
)
def test_what_cannot_be_is_refused(file: Path, arguments: tuple[str, str], said: str) -> None:
    """Options of studies on a photometric file, other kinds of pictures, missing folders: one sentence, status 2."""
    called = lumsim("beam", file, *arguments)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_of_several_modules_one_is_drawn(tmp_path: Path) -> None:
    """A picture shows one beam: with two kinds --module is asked for, and a name that is not there is refused."""
    study, picture = small_study(tmp_path, text=TWO_KINDS), tmp_path / "beam.png"
    called = lumsim("beam", study, "--picture", picture)
    assert called.status == 2
    assert "standard, wide" in called.err
    assert not picture.exists()
    assert lumsim("beam", study, "--picture", picture, "--module", "wide").status == 0
    assert picture.exists()
    called = lumsim("beam", study, "--module", "narrow")
    assert called.status == 2
    assert "standard, wide" in called.err


def test_a_file_that_cannot_be_read_tells_its_faults(tmp_path: Path) -> None:
    """A photometric file with faults is refused with its lines, a missing one with its name."""
    broken = tmp_path / "broken.ies"
    broken.write_text(lambertian(kind=7), encoding="utf-8")
    called = lumsim("beam", broken)
    assert called.status == 2
    assert "broken.ies, line " in called.err
    assert "photometric type" in called.err
    missing = lumsim("beam", tmp_path / "missing.ies")
    assert missing.status == 2
    assert "missing.ies" in missing.err


def test_telling_of_a_file_compiles_nothing(file: Path) -> None:
    """In a fresh process `lumsim beam FILE` loads neither the compiler of loops nor the package of pictures."""
    look = (
        "import atexit, sys\n"
        "heavy = ('numba', 'matplotlib')\n"
        "atexit.register(lambda: sys.stderr.write(','.join(n for n in heavy if n in sys.modules) + '.'))\n"
        f"sys.argv = ['lumsim', 'beam', {str(file)!r}]\n"
        "from lumsim.cli.app import main\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], capture_output=True, text=True, check=False, timeout=300
    )
    assert (done.returncode, done.stderr) == (0, ".")
