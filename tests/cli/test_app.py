"""Every command has help; whatever stops one is a sentence and an exit status, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer

from lumsim import __version__
from lumsim.cli import app as application
from lumsim.study import answering
from tests.cli.called import SMALL, lumsim, small_study

COMMANDS = ("new", "check", "light", "search", "beam")


def test_the_commands_are_these() -> None:
    """`lumsim --help` names each command, with a sentence for it, and the exit statuses."""
    called = lumsim("--help")
    assert called.status == 0
    commands = called.out.partition("Commands:\n")[2]
    for command in COMMANDS:
        assert len(next(line for line in commands.splitlines() if line.split()[:1] == [command]).split()) > 5
    assert "Exit status: 0 done" in called.out


@pytest.mark.parametrize("command", COMMANDS)
def test_every_argument_and_option_has_its_help(command: str) -> None:
    """No command, argument or option is without its words."""
    group = typer.main.get_command(application.app)
    assert hasattr(group, "commands")
    found = group.commands[command]
    assert found.help
    for parameter in found.params:
        assert getattr(parameter, "help", None), parameter.name
    assert lumsim(command, "--help").status == 0


def test_the_version_is_told() -> None:
    """`--version` prints the package's version."""
    assert lumsim("--version").out == f"lumsim {__version__}\n"


@pytest.mark.parametrize(
    "arguments", [["bogus"], ["light"], ["light", "a.toml", "--bogus"], ["new", "--units", "cm"]]
)
def test_a_call_that_is_none_is_told_how_to_ask_for_help(arguments: list[str]) -> None:
    """A wrong command, a missing study and an unknown option are bad input, status 2."""
    called = lumsim(*arguments)
    assert (called.status, called.out) == (2, "")
    assert "--help' for help" in called.err


def test_units_that_are_none_are_told_in_plain_words() -> None:
    """What may be given is named, without what libraries call it."""
    called = lumsim("new", "sign.toml", "--units", "cm")
    assert "a study is written in inches, in, or in millimetres, mm; got cm" in called.err
    assert "alue error" not in called.err


@pytest.mark.parametrize("command", ["check", "light", "search"])
def test_a_study_that_is_not_there_is_told(command: str, tmp_path: Path) -> None:
    """A missing file is bad input, named as it was given."""
    called = lumsim(command, tmp_path / "none.toml")
    assert (called.status, called.out) == (2, "")
    assert called.err == f"{tmp_path / 'none.toml'}: cannot be read: No such file or directory\n"


def test_ctrl_c_stops_without_a_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An interrupt is one line on stderr and status 130, as shells expect (128 + SIGINT's 2)."""

    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(answering, "answer", interrupt)
    monkeypatch.setattr("sys.argv", ["lumsim", "light", str(small_study(tmp_path))])
    with pytest.raises(SystemExit) as caught:
        application.main()
    assert caught.value.code == 130
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.endswith("\nlumsim: stopped\n")
    assert "Traceback" not in printed.err


def test_bad_input_leaves_main_with_status_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """What a shell sees of a refusal is its sentence and status 2."""
    monkeypatch.setattr("sys.argv", ["lumsim", "check", str(tmp_path)])
    with pytest.raises(SystemExit) as caught:
        application.main()
    assert caught.value.code == 2
    assert capsys.readouterr().err == f"{tmp_path}: cannot be read: Is a directory\n"


@pytest.mark.parametrize("command", ["light", "search", "beam"])
@pytest.mark.parametrize(
    ("text", "arguments"),
    [
        (None, []),
        ("[cabinet\n", []),
        (SMALL.replace('"6 in"', '"6"'), []),
        (SMALL, ["--set", "cabinet.depth=-1 in"]),
        (SMALL, ["--no-such-option"]),
    ],
)
def test_of_bad_input_json_has_nothing_on_stdout(
    command: str, text: str | None, arguments: list[str], tmp_path: Path
) -> None:
    """With --json, what is refused is text on stderr, stdout stays empty and the exit status is 2."""
    file = tmp_path / "shop.toml" if text is None else small_study(tmp_path, text=text)
    called = lumsim(command, file, "--json", *arguments)
    assert (called.status, called.out) == (2, "")
    assert called.err


@pytest.mark.parametrize(
    ("command", "arguments"),
    [
        ("light", ["--at", "99 in; 1 in"]),
        ("light", ["--map", "face.gif"]),
        ("search", ["--group", "3"]),
        ("search", ["--depths", "6"]),
        ("search", ["--set", "requirement.stripe_max_to_min="]),
        ("beam", ["--module", "none"]),
        ("beam", ["--picture", "beam.gif"]),
    ],
)
def test_of_bad_options_json_has_nothing_on_stdout(
    command: str, arguments: list[str], tmp_path: Path
) -> None:
    """The same of options that cannot be for this study."""
    called = lumsim(command, small_study(tmp_path), "--json", *arguments)
    assert (called.status, called.out) == (2, "")
    assert called.err
