"""The notebooks of the course: where they are, what they hold once they are run, what may not stand in them."""

from __future__ import annotations

import ast
import importlib.util
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from html import unescape
from itertools import product
from pathlib import Path
from typing import Any

import marimo

# marimo tells nowhere in public which cells hang on a variable.
from marimo._ast.app import InternalApp

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
    """A notebook that was run from its first cell to its last, or from a slider on."""

    app: marimo.App
    shown: tuple[str, ...]
    """HTML of what each cell shows, where it shows something"""
    made: Mapping[str, Any]
    """every variable that a cell makes"""

    @property
    def sliders(self) -> dict[str, marimo.ui.slider]:
        """By the names of their variables."""
        return {name: one for name, one in sorted(self.made.items()) if isinstance(one, marimo.ui.slider)}

    @property
    def pictures(self) -> list[str]:
        """The text alternative of each; empty where there is none."""
        tags = [tag for html in self.shown for tag in re.findall(r"<img\b[^>]*>", html)]
        return [unescape(alt[1]) if (alt := re.search(r'\balt="([^"]+)"', tag)) else "" for tag in tags]

    @property
    def words(self) -> str:
        """All that it tells, in text, beside its pictures and in its answers."""
        texts = [unescape(re.sub(r"<[^>]*>", " ", html)) for html in self.shown]
        asked = [f"{question} {answer}" for question, answer in self.made["answers"].items()]
        return re.sub(r"\s+", " ", " | ".join([*texts, *self.pictures, *asked]))

    def set_to(self, values: Mapping[str, float]) -> Ran:
        """Move sliders and run what hangs on them, as the app would: what those cells show, what is made by then.

        Parameters
        ----------
        values : dict of str to float
            Of sliders by their names, each one of its settings.
        """
        moved = {
            name: marimo.ui.slider(steps=settings(self.sliders[name]), value=value)
            for name, value in values.items()
        }
        made = {**self.made, **moved}
        shown = [_run(cell, made) for cell in hanging_on(values, self.app)]
        return Ran(app=self.app, shown=tuple(filter(None, shown)), made=made)


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
    app = app_of(notebook)
    outputs, made = app.run()
    shown = tuple(marimo.as_html(one).text for one in outputs if one is not None)
    return Ran(app=app, shown=shown, made=dict(made))


def settings(slider: marimo.ui.slider) -> list[float]:
    """Every setting of a slider, from its first to its last.

    Parameters
    ----------
    slider : marimo.ui.slider
    """
    if slider.steps:
        return list(slider.steps)
    step = slider.step or 1
    return [
        round(slider.start + number * step, 9)
        for number in range(1 + round((slider.stop - slider.start) / step))
    ]


def spread(values: Sequence[float], count: int) -> list[float]:
    """Both ends of a list and so many in all, evenly spread over it; all of a shorter one.

    Parameters
    ----------
    values : sequence of float
    count : int
        Two at least.
    """
    if len(values) <= count:
        return list(values)
    return [values[round(number * (len(values) - 1) / (count - 1))] for number in range(count)]


def moves(sliders: Mapping[str, marimo.ui.slider], count: int) -> list[dict[str, float]]:
    """Settings in which every two sliders meet in all combinations of some of their settings, ends included.

    Of three or more, each one after the second goes by the sum of the first two's turns: with as many settings of each,
    it meets each setting of either once.

    Parameters
    ----------
    sliders : dict of str to slider
    count : int
        Settings of each.
    """
    tried = {name: spread(settings(slider), count) for name, slider in sliders.items()}
    first, after = list(tried.items())[:2], list(tried.items())[2:]
    found = []
    for turns in product(*(range(len(values)) for _, values in first)):
        move = {name: values[turn] for (name, values), turn in zip(first, turns, strict=True)}
        found.append(move | {name: values[sum(turns) % len(values)] for name, values in after})
    return found


def hanging_on(names: Collection[str], app: marimo.App) -> list[Any]:
    """The cells of an app that read variables of such names, or anything made of them, in their order.

    Parameters
    ----------
    names : collection of str
    app : marimo.App
    """
    inner = InternalApp(app)
    changed, found = set(names), []
    for one in inner.execution_order:
        cell = inner.graph.cells[one]
        if cell.refs & changed:
            changed |= cell.defs
            found.append(cell)
    return found


def _run(cell: Any, made: dict[str, Any]) -> str:
    """Run a cell on what is made, and make what it shows ready for the page."""
    exec(cell.body, made)
    shown = eval(cell.last_expr, made)
    return "" if shown is None else marimo.as_html(shown).text


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


AMISS = re.compile(
    r"\b(?:nan|inf|None|namespace)\b"
    r"|(?<![\d.,/])[-−]?0 (?:of|rows?|modules?|more|in|lx|cd)\b"
    r"|[-−]0(?:\.0+)?(?![\d.])"
    r"|(?<![\d.,/])1 (?:rows|modules|supplies)\b"
    r"|\bsupplys\b"
    r"|\bfrom (\d\S*?),? to \1(?![\d.]*\d)"
)
"""What no sentence built from numbers should say: no number, none of them, one of many, from here to here."""


def stands_in(number: str, text: str) -> bool:
    """Whether a number stands in a text as a whole word, and not as part of a longer number.

    Parameters
    ----------
    number : str
        As it is printed; with what it is of behind it, where it is short.
    text : str
    """
    return re.search(rf"(?<![\w.,]){re.escape(number)}(?!\w|[.,]\d)", text) is not None
