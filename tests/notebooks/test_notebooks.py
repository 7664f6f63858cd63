"""Every notebook of the course runs clean, has one form, quotes what is published and computes no light itself."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.notebooks.course import NOTEBOOKS, Ran, computing_in, dicts_named, ran, typed_in
from tests.published.table import read_published

PUBLISHED = {str(one): one for one in read_published()}


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def notebook(request: pytest.FixtureRequest) -> Path:
    """Each notebook of the course."""
    assert isinstance(request.param, Path)
    return request.param


@pytest.fixture
def run(notebook: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ran:
    """Run the notebook once, from a folder that holds nothing; a warning is an error, as in every test."""
    monkeypatch.chdir(tmp_path)
    return ran(notebook)


def test_there_is_a_course() -> None:
    """Notebooks are numbered from 01 without a gap."""
    numbers = [int(path.stem[:2]) for path in NOTEBOOKS]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) >= 3


def test_it_runs_clean_and_opens_with_what_can_be_learnt(run: Ran) -> None:
    """From any folder every cell runs; there is one heading, and what one can do at the end is said first."""
    assert "By the end you can" in run.shown[0]
    assert sum(html.count("<h1") for html in run.shown) == 1


def test_every_picture_is_told_in_words(run: Ran) -> None:
    """There is a picture, and each has words with numbers in them for those who cannot see it."""
    pictures = [tag for html in run.shown for tag in re.findall(r"<img\b[^>]*>", html)]
    assert pictures
    for tag in pictures:
        alt = re.search(r'\balt="([^"]+)"', tag)
        assert alt is not None
        assert re.search(r"\d", alt[1]), alt[1]


def test_it_computes_no_light_itself(notebook: Path) -> None:
    """It imports marimo and lumsim alone, and takes no power, no square and no sine."""
    assert computing_in(notebook.read_text(encoding="utf-8")) == []


def test_it_says_its_one_idea_first(notebook: Path) -> None:
    """The file opens with one sentence."""
    told = ast.get_docstring(ast.parse(notebook.read_text(encoding="utf-8")))
    assert told is not None
    assert told.endswith(".")
    assert "\n" not in told


def test_it_closes_with_three_questions_whose_answers_are_computed(notebook: Path, run: Ran) -> None:
    """Three questions; each answer is filled with computed values, and no digit in it is typed."""
    (answers,) = dicts_named("answers", notebook.read_text(encoding="utf-8"))
    assert len(answers.values) == 3
    assert typed_in(answers) == []
    made = run.made["answers"]
    assert len(made) == 3
    for question, answer in made.items():
        assert question.rstrip().endswith("?")
        assert re.search(r"\d", answer), question


def test_what_it_quotes_is_published_and_what_lumsim_computes(notebook: Path, run: Ran) -> None:
    """Each quoted number stands in the table of numbers from outside, digit by digit, and lumsim computes it so."""
    (quoted,) = dicts_named("quoted", notebook.read_text(encoding="utf-8"))
    assert all(isinstance(part, ast.Constant) for part in [*quoted.keys, *quoted.values])
    told, computed = run.made["quoted"], run.made["computed"]
    assert told.keys() == computed.keys()
    for key, digits in told.items():
        published = PUBLISHED[key]
        assert digits == published.printed
        assert computed[key] == pytest.approx(published.expected, abs=published.tolerance, rel=0)
        # What stands there is seen, and in more than one form it would not be the same number.
        assert any(digits in html for html in run.shown)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("import numpy as np", "numpy"),
        ("import math", "math"),
        ("from scipy.special import j1", "scipy"),
        ("from . import light", "imports from"),
        ("E = I * h**-2", "power"),
        ("d **= 2", "power"),
        ("E = pow(h, -2)", "pow"),
        ("E = I / (h.value * h.value)", "square"),
        ("E = I * mo.math.cos(t)", "cos"),
        ("n = __import__('numpy')", "__import__"),
    ],
)
def test_light_computed_by_hand_is_found(line: str, says: str) -> None:
    """Each way of working out light by oneself is told, with its line."""
    found = computing_in(f"import marimo as mo\nfrom lumsim.units import parse_length\n{line}\n")
    assert len(found) == 1
    assert found[0].startswith("line 3")
    assert says in found[0]


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("'a quarter'", "no f-string"),
        ("f'25 % at {throw:g} in'", "typed"),
        ("f'{25} %, {throw:g}'", "typed"),
        ("f'a quarter'", "nothing computed"),
        ("f'{share:.2f} at ' f'{throw:g} in'", None),
    ],
)
def test_a_typed_answer_is_found(answer: str, says: str | None) -> None:
    """An answer without a computed value or with a typed number is told; digits of a format are no such number."""
    (answers,) = dicts_named("answers", f"answers = {{'How much is left?': {answer}}}")
    faults = typed_in(answers)
    assert (says is None) == (faults == [])
    assert says is None or says in faults[0]
