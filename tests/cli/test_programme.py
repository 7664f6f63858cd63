"""`lumsim search FOLDER` answers a whole programme of signs in one run, by as many processes as there are."""

from __future__ import annotations

import csv
import io
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.called import SMALL, lumsim

QUICK = SMALL + '\n[search.depth]\nwithin = ["4 in", "7 in"]\n'
NAMES = ("alder-lane", "brook-street", "cedar-row")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Write three signs, of which the last asks for what is out of reach, beside a file that is no study."""
    for name in NAMES:
        text = QUICK.replace("Corner shop", name)
        if name == "cedar-row":
            text = text.replace("max_to_min = 1.2", "max_to_min = 1.0001")
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    (tmp_path / "notes.txt").write_text("not a study", encoding="utf-8")
    return tmp_path


def test_every_study_is_answered_and_summed_up(folder: Path) -> None:
    """All three texts as each alone, a line for each at the end, and status 1 for the one out of reach."""
    called = lumsim("search", folder, "--direct-only", "--processes", "1")
    assert called.status == 1
    alone = lumsim("search", folder / "alder-lane.toml", "--direct-only").out.strip()
    assert alone in called.out
    lines = called.out.strip().splitlines()[-4:]
    assert lines[0] == "3 studies: of 2 every question is met"
    assert [line.split()[1:3] for line in lines[1:]] == [["met:", "the"], ["met:", "the"], ["NOT", "met:"]]


def test_one_process_and_two_print_the_same_bytes(folder: Path) -> None:
    """Document and table are the same to the last byte, whoever did the work; studies stand in order of their names."""
    table = folder / "layouts.csv"
    one = lumsim("search", folder, "--direct-only", "--processes", "1", "--json", "--csv", table)
    by_one = table.read_bytes()
    two = lumsim("search", folder, "--direct-only", "--processes", "2", "--json", "--csv", table)
    assert (one.out, by_one) == (two.out, table.read_bytes())
    document = two.document
    assert [Path(study["study"]["file"]).stem for study in document["studies"]] == list(NAMES)
    assert (document["finished"], document["requirement_met"]) == (True, False)
    lines = list(csv.DictReader(io.StringIO(by_one.decode())))
    assert [(Path(line["study"]).stem, line["question"], line["met"]) for line in lines] == [
        (NAMES[0], "depth", "1"),
        (NAMES[1], "depth", "1"),
        (NAMES[2], "depth", "0"),
    ]
    built = document["studies"][0]["answers"][0]["to_build"]
    assert float(lines[0]["depth_m"]) == built["depth_m"]
    assert float(lines[0]["stripe_max_to_min"]) == pytest.approx(built["stripe_max_to_min"], rel=1e-8)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--picture", "x.png"], "--picture draws one study: name its file instead of a folder"),
        (["--csv", "x.txt"], "a table is written as .csv"),
        (["--processes", "0"], "0 processes do no work: give 1 or more"),
        (["--set", "requirement.stripe_max_to_min="], "alder-lane.toml: there is nothing to search for"),
        (["--set", "cabinet.depth=0 in"], "must be more than 0"),
    ],
)
def test_what_a_programme_cannot_do_is_refused_before_any_work(
    arguments: list[str], said: str, folder: Path
) -> None:
    """Each with the file that it is about, and nothing on stdout."""
    placed = [str(folder / one) if one.startswith("x.") else one for one in arguments]
    called = lumsim("search", folder, *placed)
    assert (called.status, called.out) == (2, "")
    assert said in called.err


def test_every_study_with_a_problem_is_named_at_once(folder: Path) -> None:
    """Two studies that cannot be read: both problems, each with its file."""
    for name in NAMES[:2]:
        (folder / f"{name}.toml").write_text(QUICK.replace("lumens = 90.0", "lumens = -1"), encoding="utf-8")
    called = lumsim("search", folder)
    assert called.status == 2
    assert "alder-lane.toml" in called.err
    assert "brook-street.toml" in called.err


def test_a_folder_without_a_study_is_refused(tmp_path: Path) -> None:
    """A folder that holds no .toml."""
    called = lumsim("search", tmp_path)
    assert (called.status, called.out) == (2, "")
    assert "holds no study: a study is a file that ends in .toml" in called.err


def test_processes_are_refused_where_they_would_do_nothing(folder: Path) -> None:
    """A single question other than the plane is searched one layout after the other."""
    called = lumsim("search", folder / "alder-lane.toml", "--processes", "2")
    assert (called.status, called.out) == (2, "")
    assert (
        "--processes and --scheduler share out planes, the fewest, further depths and folders" in called.err
    )


def test_every_answer_is_saved_as_a_study_of_its_own(folder: Path) -> None:
    """Each study's answer stands under its name in another folder, the question added where there are two."""
    saved = folder / "answers"
    called = lumsim("search", folder, "--direct-only", "--processes", "1", "--save", saved, "--json")
    assert sorted(file.name for file in saved.iterdir()) == [f"{name}.toml" for name in NAMES]
    for name, study in zip(NAMES, called.document["studies"], strict=True):
        (answer,) = study["answers"]
        layout = answer["to_build"] or answer["closest"]
        lit = lumsim("light", saved / f"{name}.toml", "--direct-only", "--json").document
        assert lit["uniformity"]["max_to_min"] == pytest.approx(layout["max_to_min"], rel=1e-8)
    lumsim(
        "search", folder, "--direct-only", "--processes", "1", "--save", saved, "--for", "depth", "--for", "pitch",
        "--set", "search.step=1 in",
    )  # fmt: skip
    assert {f"{name}-{question}.toml" for name in NAMES for question in ("depth", "pitch")} <= {
        file.name for file in saved.iterdir()
    }


def test_studies_are_not_written_over_by_their_answers(folder: Path) -> None:
    """A folder of answers is another one than the studies', and no file; nothing is searched before that is said."""
    for where, said in (
        (folder, "--save would write over the studies themselves: name another folder"),
        (folder / "notes.txt", "notes.txt is a file: name a folder for the answers"),
        (folder / "nowhere" / "answers", "there is no folder"),
    ):
        called = lumsim("search", folder, "--save", where)
        assert (called.status, called.out) == (2, "")
        assert said in called.err
    (folder / "alder.toml").write_text(QUICK, encoding="utf-8")
    (folder / "alder-depth.toml").write_text(QUICK, encoding="utf-8")
    (folder / "alder.toml").write_text(QUICK + "\n[search.edge]\n", encoding="utf-8")
    called = lumsim("search", folder, "--save", folder / "answers")
    assert called.status == 2
    assert re.search(r"--save would write 2 answers to \S*alder-depth.toml: ask one question", called.err)
    called = lumsim("search", folder, "--save", folder / "answers", "--for", "plane")
    assert called.status == 2
    assert "--save writes layouts, and the plane is none" in called.err


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals of a process group")
def test_after_ctrl_c_a_plane_goes_on_where_it_was(tmp_path: Path) -> None:
    """Ctrl-C in the middle: status 130, what was lit is told. Again, and the answer is that of a run left alone."""
    study = tmp_path / "plane.toml"
    spans = 'pitches = ["3 in", "5 in"]\ndepths = ["5 in", "7 in"]\n'
    plane = f"\n[search.plane]\n{spans}pitch_count = 4\ndepth_count = 16\n"
    study.write_text(SMALL + plane, encoding="utf-8")
    arguments = [sys.executable, "-m", "lumsim", "search", str(study), "--json", "--processes", "2"]
    around = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")}
    begun = subprocess.Popen(
        arguments,
        env=around,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    kept = tmp_path / "cache"
    until = time.monotonic() + 60
    while time.monotonic() < until and len([one for one in kept.rglob("*") if one.is_file()]) < 3:
        time.sleep(0.05)
    os.killpg(begun.pid, signal.SIGINT)
    out, err = begun.communicate(timeout=300)
    assert begun.returncode == 130, err
    assert "Traceback" not in err
    assert '"finished": false' in out
    again = subprocess.run(arguments, env=around, capture_output=True, text=True, check=False, timeout=300)
    alone = subprocess.run(
        [*arguments[:-1], "1"],
        env={**around, "XDG_CACHE_HOME": str(tmp_path / "other")},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert again.stdout == alone.stdout
    assert '"finished": true' in again.stdout
