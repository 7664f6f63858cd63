"""`lumsim new` writes a study that `lumsim check` finds no fault with; nothing that is there is overwritten."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lumsim.study.form import study_schema
from tests.cli.called import SMALL, lumsim, small_study


@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_new_study_passes_check_as_it_is(units: str, tmp_path: Path) -> None:
    """`new` then `check`: no problem found, the next command told, and lengths in the units asked for."""
    file = tmp_path / "sign.toml"
    called = lumsim("new", file, "--units", units)
    assert (called.status, called.out) == (0, "")
    assert called.err == f"wrote {file}; next: lumsim check {file}\n"
    checked = lumsim("check", file)
    assert checked.status == 0
    assert checked.out.endswith(f"{file}: no problem found\n")
    assert f"{units} inside" in checked.out


def test_new_never_overwrites(tmp_path: Path) -> None:
    """A file that is there stays as it was, and so does a schema; a folder is no file."""
    file = small_study(tmp_path)
    called = lumsim("new", file)
    assert called.status == 2
    assert "is there already: name another file" in called.err
    assert file.read_text(encoding="utf-8") == SMALL
    assert lumsim("new", "--schema", file).status == 2
    assert file.read_text(encoding="utf-8") == SMALL
    assert "is a folder: name a file" in lumsim("new", tmp_path).err
    assert "there is no folder" in lumsim("new", tmp_path / "nowhere" / "sign.toml").err
    assert sorted(one.name for one in tmp_path.iterdir()) == ["shop.toml"]


def test_new_writes_the_schema_for_editors(tmp_path: Path) -> None:
    """The schema that is written is the one that studies are read by."""
    file = tmp_path / "study.schema.json"
    assert lumsim("new", "--schema", file).status == 0
    assert json.loads(file.read_text(encoding="utf-8")) == study_schema()


def test_new_asks_for_a_name() -> None:
    """Without a file there is nothing to write."""
    called = lumsim("new")
    assert called.status == 2
    assert "name the study file to write, such as: lumsim new sign.toml" in called.err


def test_check_tells_the_layout_and_its_warnings_and_lights_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rows with their edge distance and a warning of dark edges are told without any light."""

    def no_light(*_: object, **__: object) -> None:
        raise AssertionError("something was lit")

    monkeypatch.setattr("lumsim.simulation.light_on_face", no_light)
    called = lumsim("check", small_study(tmp_path), "--set", "rows.count=3")
    assert called.status == 0
    assert "3 rows 4 in on centre, horizontal; edge distance 4 in" in called.out
    assert "WARNING: the outermost row is 4 in from the bottom and top returns" in called.out


def test_check_tells_every_problem(tmp_path: Path) -> None:
    """Each fault of a study has its line on stderr; stdout stays empty."""
    file = small_study(tmp_path, text=SMALL.replace('"12 in"', "12").replace("90.0", "-1"))
    called = lumsim("check", file)
    assert (called.status, called.out) == (2, "")
    assert [line.partition(": ")[2].partition(":")[0] for line in called.err.splitlines()] == [
        "cabinet.width",
        "modules.standard.lumens",
    ]
