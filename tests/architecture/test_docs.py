"""What is public is documented, and the documents say what is there."""

from __future__ import annotations

import importlib
import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType

import typer

from lumsim.cli.app import app
from tests.architecture.write_help import commands_in, with_help

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "lumsim"
MODULES = sorted(
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in PACKAGE.rglob("*.py")
    if path.name not in {"__init__.py", "__main__.py"}
)
SELF = {"self", "cls"}
TEXTS = {".py", ".md", ".toml", ".csv", ".json", ".txt", ".yml", ".yaml", ""}


def public(module: str) -> Iterator[tuple[str, object]]:
    """Go through the public functions and classes of a module, defined there, and the methods of the classes."""
    loaded = importlib.import_module(module)
    for name in loaded.__all__:
        thing = getattr(loaded, name)
        if not (inspect.isclass(thing) or isinstance(thing, FunctionType)) or thing.__module__ != module:
            continue
        yield name, thing
        if inspect.isclass(thing):
            for part, member in vars(thing).items():
                inner = member.fget if isinstance(member, property) else member
                inner = inner.__func__ if isinstance(inner, staticmethod | classmethod) else inner
                if not part.startswith("_") and isinstance(inner, FunctionType):
                    yield f"{name}.{part}", inner


def test_every_module_says_what_it_is_and_what_is_public() -> None:
    """Each module has a docstring and names in __all__ what others may use."""
    for module in MODULES:
        loaded = importlib.import_module(module)
        assert loaded.__doc__, module
        assert loaded.__all__, module
        assert len(set(loaded.__all__)) == len(loaded.__all__), module


def test_everything_public_has_a_docstring() -> None:
    """No public function, class or method is without its words."""
    without = [
        f"{module}.{name}" for module in MODULES for name, thing in public(module) if not thing.__doc__
    ]
    assert without == []


def test_every_parameter_of_a_public_function_is_documented() -> None:
    """A public function of two or more parameters names each of them in its docstring.

    What the command line takes is documented by the help of each argument and option.
    """
    missing = []
    for module in MODULES:
        for name, thing in public(module) if not module.startswith("lumsim.cli.") else ():
            if not isinstance(thing, FunctionType) or "." in name:
                continue
            parameters = [one for one in inspect.signature(thing).parameters if one not in SELF]
            if len(parameters) >= 2:
                missing += [
                    f"{module}.{name}({one})"
                    for one in parameters
                    if not re.search(rf"\b{one}\b", thing.__doc__ or "")
                ]
    assert missing == []


def test_the_readme_holds_the_help_of_every_command() -> None:
    """What the README shows of each command is its --help, to the letter."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    group = typer.main.get_command(app)
    assert hasattr(group, "commands")
    assert sorted(commands_in(readme)) == sorted(group.commands)
    assert readme == with_help(readme), "run: python tests/architecture/write_help.py"


def test_the_developers_map_lists_every_file_and_no_other() -> None:
    """DEVELOPERS.md names the path of each file of the package, and each path it names is there."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"lumsim/[\w/]+\.py", text))
    there = {"/".join(module.split(".")) + ".py" for module in MODULES}
    assert named - {"lumsim/__init__.py", "lumsim/__main__.py"} == there


def test_the_developers_map_explains_every_folder_of_tests() -> None:
    """A folder of tests mirrors one of the package, or DEVELOPERS.md says what is in it."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    folders = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir() and any(path.glob("*.py"))}
    assert folders
    for folder in folders - {path.name for path in PACKAGE.iterdir() if path.is_dir()}:
        assert f"`{folder}/`" in text or f"tests/{folder}" in text, folder


def written_files() -> Iterator[Path]:
    """Go through the files that people write: no caches, no builds, nothing hidden but the gates."""
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        skipped = any((part.startswith(".") and part != ".ci") or part == "__pycache__" for part in parts)
        built = parts[0] in {"build", "dist"} or any(part.endswith(".egg-info") for part in parts)
        if path.is_file() and path.suffix in TEXTS and not skipped and not built:
            yield path


def test_no_file_names_a_place_on_one_machine_or_leaves_work_undone() -> None:
    """No path of somebody's machine and no mark of unfinished work stands in any file."""
    marks = ["/" + "work", "/" + "tmp", "/" + "home/", "/" + "root/", "TO" + "DO", "FIX" + "ME", "X" + "XX"]
    files = list(written_files())
    assert len(files) > 60
    found = [
        f"{path.relative_to(ROOT)}: {mark}"
        for path in files
        for mark in marks
        if re.search(rf"{mark}\b", path.read_text(encoding="utf-8"))
    ]
    assert found == []
