"""Progress of long work, told on stderr."""

from __future__ import annotations

import pytest

from lumsim.cli import messages
from lumsim.cli.messages import progress_line, say, show


class Clock:
    """A clock that the test sets."""

    def __init__(self) -> None:
        self.now = 1000.0

    def monotonic(self) -> float:
        """Return its time. [s]"""
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """Put a clock in place of the time that progress goes by."""
    there = Clock()
    monkeypatch.setattr(messages, "time", there)
    return there


def last_line(capsys: pytest.CaptureFixture[str]) -> str:
    """Return the last line on stderr."""
    return capsys.readouterr().err.splitlines()[-1]


def test_time_left_goes_by_the_parts_that_took_time(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """Of ten parts eight were kept and are told at once; the ninth took a minute, so the tenth takes another."""
    tell = progress_line("lighting a plane")
    clock.now += 0.1
    tell(0.8, "8 of 10 depths")
    clock.now += 60
    tell(0.9, "9 of 10 depths")
    assert last_line(capsys) == "lumsim: lighting a plane, 9 of 10 depths, 90%, at most 60 s left"


def test_time_left_of_work_from_nought(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """With a quarter done in 30 s the rest takes three times that."""
    tell = progress_line("lighting a plane")
    clock.now += 30
    tell(0.25, "5 of 20 depths")
    assert last_line(capsys) == "lumsim: lighting a plane, 5 of 20 depths, 25%, at most 90 s left"


def test_many_short_parts_are_told_now_and_then(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """A thousand parts in 20 s: no line in the first second, then one every five, and the time left is right."""
    tell = progress_line("building signs")
    for number in range(1, 1000):
        clock.now += 0.02
        tell(number / 1000, f"{number} of 1000 signs")
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 3
    assert lines[-1].endswith("at most 5 s left")


def test_progress_on_a_terminal_is_gone_before_a_result_stands_there(
    clock: Clock, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Work that was stopped half-way leaves no open line: what is shown or said next takes it away first, once."""
    for tell_next in (show, say):
        tell = progress_line("lighting a plane")
        monkeypatch.setattr("sys.stderr.isatty", lambda: True)
        clock.now += 30
        tell(0.25, "5 of 20 depths")
        assert capsys.readouterr().err.endswith("25%, at most 90 s left")
        tell_next("stopped")
        printed = capsys.readouterr()
        assert printed.err.startswith("\r\x1b[K")
        tell_next("again")
        assert "\x1b" not in capsys.readouterr().err


def test_no_time_is_told_from_too_little(clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    """A hundredth part of the work says nothing yet of how long it takes, nor do kept parts alone."""
    tell = progress_line("building signs")
    clock.now += 10
    tell(0.01, "1 of 100 signs")
    assert last_line(capsys) == "lumsim: building signs, 1 of 100 signs, 1%"
    again = progress_line("building signs")
    clock.now += 0.5
    again(0.5, "50 of 100 signs")
    clock.now += 10
    again(0.5, "50 of 100 signs")
    assert last_line(capsys) == "lumsim: building signs, 50 of 100 signs, 50%"
