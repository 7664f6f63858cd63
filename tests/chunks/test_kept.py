"""Finished parts are kept until the whole is done, and read back only where that is safe."""

from __future__ import annotations

import os
import stat
import sys
import time
from pathlib import Path

import pytest

from lumsim.chunks import Crew, in_chunks, usual_kept
from lumsim.errors import InputError, OutputError
from tests.chunks.trades import Errand, lines, refused, run_errand, squared

HERE = Crew(processes=1)


def interrupted(folder: Path, *, after: int) -> list[Errand]:
    """Do six errands, keep them, and be broken off after some."""
    parts = [Errand(number=number, folder=folder) for number in range(6)]

    def progress(share: float, text: str) -> None:
        if text.startswith(f"{after} of"):
            raise KeyboardInterrupt

    chunks = in_chunks(run_errand, parts, crew=Crew(processes=1, kept=folder / "kept"), progress=progress)
    assert not chunks.finished
    assert list(chunks.done) == list(range(after))
    return parts


def test_a_second_run_does_only_what_is_left(tmp_path: Path) -> None:
    """After a run broken off at four of six parts none of the four is done again, and then nothing is left behind."""
    parts = interrupted(tmp_path, after=4)
    told: list[tuple[float, str]] = []
    chunks = in_chunks(
        run_errand,
        parts,
        crew=Crew(processes=1, kept=tmp_path / "kept"),
        progress=lambda share, text: told.append((share, text)),
    )
    assert chunks.finished
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4, 9, 16, 25]
    assert [len(lines(tmp_path, "begun", number)) for number in range(6)] == [1] * 6
    assert told == [(4 / 6, "4 of 6 parts"), (5 / 6, "5 of 6 parts"), (1.0, "6 of 6 parts")]
    assert list((tmp_path / "kept").iterdir()) == []


def test_what_a_run_given_up_a_month_ago_has_left_is_taken_away(tmp_path: Path) -> None:
    """Parts older than 30 days go when the next work begins, whosever they are; younger ones and other files stay."""
    interrupted(tmp_path, after=2)
    old, young = sorted((tmp_path / "kept").iterdir())
    other = tmp_path / "kept" / "notes.txt"
    other.write_text("not a part")
    for file, days in ((old, 31), (young, 29), (other, 99)):
        os.utime(file, (time.time() - days * 86400,) * 2)
    in_chunks(squared, [1], crew=Crew(processes=1, kept=tmp_path / "kept"))
    assert set((tmp_path / "kept").iterdir()) == {young, other}


def test_only_this_works_own_files_are_taken_away(tmp_path: Path) -> None:
    """What another piece of work kept, and anything else in the folder, stays when the whole is done."""
    interrupted(tmp_path, after=2)
    folder = tmp_path / "kept"
    (folder / "letter.txt").write_text("keep me")
    before = sorted(folder.iterdir())
    assert len(before) == 3
    with pytest.raises(InputError):
        in_chunks(refused, [1, 2], crew=Crew(processes=1, kept=folder))
    assert len(list(folder.iterdir())) == 4
    assert in_chunks(refused, [1], crew=Crew(processes=1, kept=folder)).finished
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize("damage", [b"", b"x", None])
def test_a_damaged_file_is_done_again(tmp_path: Path, damage: bytes | None) -> None:
    """A file cut short, or with one byte changed, is no result."""
    parts = interrupted(tmp_path, after=1)
    (file,) = (tmp_path / "kept").iterdir()
    content = file.read_bytes()
    file.write_bytes(content[:-1] + bytes([content[-1] ^ 1]) if damage is None else damage)
    chunks = in_chunks(run_errand, parts, crew=Crew(processes=1, kept=tmp_path / "kept"))
    assert [square for square, _ in chunks.done.values()] == [0, 1, 4, 9, 16, 25]
    assert len(lines(tmp_path, "begun", 0)) == 2
    assert list((tmp_path / "kept").iterdir()) == []


def test_another_lumsim_or_other_work_takes_nothing_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Parts that a lumsim of other source kept are not read."""
    parts = interrupted(tmp_path, after=4)
    monkeypatch.setattr("lumsim.chunks.digests.source_digest", lambda: "0" * 64)
    in_chunks(run_errand, parts, crew=Crew(processes=1, kept=tmp_path / "kept"))
    assert [len(lines(tmp_path, "begun", number)) for number in range(6)] == [2, 2, 2, 2, 1, 1]


def test_a_disk_that_fills_up_stops_no_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a part cannot be kept any more the work goes on, and nothing half-written stays."""

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert in_chunks(squared, [1, 2], crew=Crew(processes=1, kept=tmp_path)).done == {0: 1, 1: 4}
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="users and modes of POSIX")
def test_the_folder_is_for_its_user_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is made so that nobody else may look in; one that others may write to, or own, is refused in words."""
    interrupted(tmp_path, after=1)
    assert stat.S_IMODE((tmp_path / "kept").stat().st_mode) == 0o700
    (file,) = (tmp_path / "kept").iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600

    (tmp_path / "kept").chmod(0o770)
    with pytest.raises(InputError, match="others may write to it; name a folder of your own"):
        in_chunks(squared, [1], crew=Crew(processes=1, kept=tmp_path / "kept"))
    (tmp_path / "kept").chmod(0o700)
    somebody = os.getuid() + 1
    monkeypatch.setattr(os, "getuid", lambda: somebody)
    with pytest.raises(InputError, match="belongs to another user"):
        in_chunks(squared, [1], crew=Crew(processes=1, kept=tmp_path / "kept"))


@pytest.mark.skipif(sys.platform == "win32", reason="users and modes of POSIX")
def test_a_file_that_others_could_write_is_not_read(tmp_path: Path) -> None:
    """A kept part with the right content, but writable by others, is done again."""
    parts = interrupted(tmp_path, after=1)
    (file,) = (tmp_path / "kept").iterdir()
    file.chmod(0o666)
    in_chunks(run_errand, parts, crew=Crew(processes=1, kept=tmp_path / "kept"))
    assert len(lines(tmp_path, "begun", 0)) == 2


def test_a_folder_that_cannot_be_is_told(tmp_path: Path) -> None:
    """A file in the folder's place is told before any work is done."""
    (tmp_path / "file").write_text("")
    for place in (tmp_path / "file", tmp_path / "file" / "kept"):
        with pytest.raises(OutputError, match="name another folder"):
            in_chunks(squared, [1], crew=Crew(processes=1, kept=place))


@pytest.mark.skipif(sys.platform in {"win32", "darwin"}, reason="the folder named by XDG")
def test_the_usual_folder_is_in_the_users_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG_CACHE_HOME counts where it is an absolute path, else the home's .cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert usual_kept() == tmp_path / "lumsim" / "parts"
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    for named in ("", "cache"):
        monkeypatch.setenv("XDG_CACHE_HOME", named)
        assert usual_kept() == tmp_path / "home" / ".cache" / "lumsim" / "parts"
