"""The notebooks of the course: where they are, what they hold once they are run, what may not stand in them."""

from __future__ import annotations

import ast
import importlib.util
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import marimo

ROOT = Path(__file__).parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("[0-9]*.py"))

COMPUTING = frozenset(
    {
        *("sin", "cos", "tan", "asin", "acos", "atan", "atan2", "arcsin", "arccos", "arctan", "arctan2"),
        *(
            "radians",
            "degrees",
            "deg2rad",
            "rad2deg",
            "hypot",
            "sqrt",
            "cbrt",
            "exp",
            "log",
            "log10",
            "pow",
            "pi",
        ),
        *("__import__", "eval", "exec", "compile", "import_module"),
    }
)
"""What would be needed to work out light by oneself, or to import something that could."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """A notebook that was run from its first cell to its last."""

    shown: tuple[str, ...]
    """HTML of what each cell shows, where it shows something"""
    made: Mapping[str, Any]
    """every variable that a cell makes"""


def app_of(notebook: Path) -> marimo.App:
    """The app of a notebook, none of its cells run yet.

    Parameters
    ----------
    notebook : Path
    """
    spec = importlib.util.spec_from_file_location(f"notebook_{notebook.stem}", notebook)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    app = module.app
    assert isinstance(app, marimo.App)
    return app


@cache
def ran(notebook: Path) -> Ran:
    """Run a notebook in this process, as its sliders stand at first.

    Parameters
    ----------
    notebook : Path
    """
    outputs, made = app_of(notebook).run()
    return Ran(shown=tuple(marimo.as_html(one).text for one in outputs if one is not None), made=dict(made))


def computing_in(text: str) -> list[str]:
    """What in a notebook's text computes by other means than lumsim's.

    Parameters
    ----------
    text : str
        Of the file.
    """
    return [f"line {line}: {what}" for line, what in sorted(_computing(ast.parse(text)))]


def _computing(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                for name in names:
                    if name.name.split(".")[0] not in {"marimo", "lumsim"}:
                        yield node.lineno, f"imports {name.name}"
            case ast.ImportFrom(module=module, level=level):
                if level or (module or "").split(".")[0] not in {"marimo", "lumsim"}:
                    yield node.lineno, f"imports from {module}"
            case ast.BinOp(op=ast.Pow()) | ast.AugAssign(op=ast.Pow()):
                yield node.lineno, "takes a power"
            case ast.BinOp(op=ast.Mult(), left=left, right=right) if ast.dump(left) == ast.dump(right):
                yield node.lineno, "takes a square"
            case ast.Name(id=name) | ast.Attribute(attr=name) if name in COMPUTING:
                yield node.lineno, f"uses {name}"


def dicts_named(name: str, text: str) -> list[ast.Dict]:
    """Every dict that a text gives a name to; anything else by that name is refused.

    Parameters
    ----------
    name : str
    text : str
    """
    found = []
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Assign(targets=[ast.Name(id=target)], value=value) if target == name:
                assert isinstance(value, ast.Dict), f"{name} is not written as one dict"
                found.append(value)
    return found


def typed_in(answers: ast.Dict) -> list[str]:
    """Answers that hold no computed value, or a digit that somebody typed.

    Parameters
    ----------
    answers : ast.Dict
        Question to answer.
    """
    faults = []
    for answer in answers.values:
        if not isinstance(answer, ast.JoinedStr):
            faults.append(f"line {answer.lineno}: no f-string")
            continue
        constants = "".join(str(part.value) for part in answer.values if isinstance(part, ast.Constant))
        filled = [part.value for part in answer.values if isinstance(part, ast.FormattedValue)]
        if any(character.isdigit() for character in constants) or any(
            isinstance(value, ast.Constant) for value in filled
        ):
            faults.append(f"line {answer.lineno}: a typed number")
        if not filled:
            faults.append(f"line {answer.lineno}: nothing computed")
    return faults
