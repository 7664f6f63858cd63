"""Every notebook of the course runs clean, has one form, quotes what is published and computes no light itself."""

from __future__ import annotations

import ast
import re
from html import unescape
from pathlib import Path

import marimo
import pytest

from lumsim.report.cautions import CAUTIONS
from lumsim.report.notes import little_to_spare
from lumsim.report.search_text import LITTLE_TO_SPARE
from lumsim.report.sentences import sentence
from lumsim.units import format_length
from tests.notebooks.claims import CLAIMS
from tests.notebooks.course import (
    AMISS,
    NOTEBOOKS,
    Ran,
    computing_in,
    dicts_named,
    moves,
    ran,
    stands_in,
    typed_in,
)
from tests.published.table import read_published

PUBLISHED = {str(one): one for one in read_published()}

SHORT = {
    "wide-rows-bright-between: width 4, pitch 1.5": "it puts the bright stripe between the rows",
    "table-8-strands: AWG 18": "7.95 Ω",
    "class-2-rated-power: 12 V": "at most 60 VA",
}
"""What quoted numbers of few digits are told as."""


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
    assert run.pictures
    assert [alt for alt in run.pictures if not re.search(r"\d", alt)] == []


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
        # What stands there is seen; a short number stands in many places, so that it is looked for with what it is of.
        assert key in SHORT or len(re.sub(r"\D", "", digits)) >= 4
        assert stands_in(SHORT.get(key, digits), run.words), key


@pytest.mark.parametrize(
    "count", [4, pytest.param(12, marks=pytest.mark.slow)], ids=["some settings", "many settings"]
)
def test_it_holds_wherever_its_sliders_stand(notebook: Path, run: Ran, count: int) -> None:
    """At both ends and between: nothing fails, all three answers and all pictures have numbers, none is amiss."""
    assert run.sliders
    assert {name for move in moves(run.sliders, count) for name in move} == set(run.sliders)
    for move in moves(run.sliders, count):
        moved = run.set_to(move)
        assert AMISS.search(moved.words) is None, (move, moved.words)
        assert [answer for answer in moved.made["answers"].values() if not re.search(r"\d", answer)] == []
        assert len(moved.made["answers"]) == 3
        assert moved.pictures
        assert [alt for alt in moved.pictures if not re.search(r"\d", alt)] == []
        if claim := CLAIMS.get(int(notebook.stem[:2])):
            claim(moved)


def test_sliders_meet_at_their_ends_and_between() -> None:
    """Every two of three sliders meet in all combinations of the settings tried, among them both ends of each."""
    three = {name: marimo.ui.slider(0, stop, step=0.5) for name, stop in (("a", 3), ("b", 4), ("c", 9))}
    tried = moves(three, 4)
    assert len(tried) == 16
    for one, other in (("a", "b"), ("a", "c"), ("b", "c")):
        assert len({(move[one], move[other]) for move in tried}) == 16
    assert {move["c"] for move in tried} == {0, 3, 6, 9}
    assert moves({"a": marimo.ui.slider(steps=[1.02, 1.5], value=1.5)}, 4) == [{"a": 1.02}, {"a": 1.5}]


@pytest.mark.parametrize(
    ("said", "amiss"),
    [
        ("It fails for 0 of 5 here.", True),
        ("midway 0.90 of the mean, 10 of 12", False),
        ("stripes None", True),
        ("it wastes rows in none", False),
        ("edge dimming nan", True),
        ("brightest -0.0 in aside", True),
        ("1 rows", True),
        ("11 rows, 0.85 in", False),
        ("stripes go from 1.00 to 1.00.", True),
        ("stripes go from 1.00 to 1.002", False),
    ],
)
def test_words_amiss_are_found(said: str, amiss: bool) -> None:
    """What a sentence must not say is found in it, and is not taken for what only looks like it."""
    assert (AMISS.search(said) is not None) == amiss


@pytest.mark.parametrize(
    ("number", "text", "there"),
    [
        ("60", "at most 60 VA", True),
        ("60", "160, 60.5, 1.60, 6,600", False),
        (".894427", "printed .894427 |", True),
        (".894427", "lumsim 0.894427", False),
        ("1.025", "stripes of 1.025, black inside", True),
        ("1.025", "lumsim 1.0251", False),
    ],
)
def test_a_number_is_found_as_a_whole_word(number: str, text: str, there: bool) -> None:
    """Part of a longer number is not that number."""
    assert stands_in(number, text) == there


def lesson(number: int) -> Ran:
    """A notebook by its number."""
    return ran(NOTEBOOKS[number - 1])


def halves(first: int, last: int) -> list[float]:
    """The settings of a slider that goes by halves."""
    return [half / 2 for half in range(2 * first, 2 * last + 1)]


def test_two_humps_are_told_where_there_are_two() -> None:
    """Whatever lesson 2 is set to: up to where a hump parts there is no dip; beyond, it grows until it is seen."""
    made = lesson(2).made
    parts, seen = made["computed"]["flattest-pair: m = 1.0"], made["seen_from"]
    ratios = sorted({apart / throw for apart in halves(1, 15) for throw in halves(3, 12)})
    dips = {one: made["dip_between"](one, 1) for one in ratios}
    assert all(dips[one] < 1e-6 for one in ratios if one <= parts)
    beyond = [dips[one] for one in ratios if one > parts]
    assert beyond == sorted(beyond)
    assert beyond[0] > 0
    assert parts < seen < 1.5
    assert [dips[one] >= made["SEEN"] for one in ratios] == [one >= seen for one in ratios]


def test_white_paint_is_worth_a_row() -> None:
    """Painted black, the cabinet of lesson 4 needs a row more to be even, two to be bright; no row does its edges."""
    made = lesson(4).made
    assert made["for_stripes"].startswith("1 more row, ")
    assert made["for_light"].startswith("2 more rows, ")
    assert made["for_edges"] == f"no number up to {made['MOST']} will do"
    assert (made["for_the_edges"], made["for_the_level"]) == ("returns", "back")
    # The box that stands beside the lesson is small and deep: there it is the other way round.
    assert made["for_the_small_level"] == "returns"
    # A white back alone is worse for the edges than none.
    assert made["white_back"].evenness.edge_dimming > made["black"].evenness.edge_dimming


def test_a_real_box_stands_on_either_side_of_two_plates() -> None:
    """Black returns lose light that plates without end would keep; white ones hand on what would miss the face."""
    gains = lesson(4).made["gains"]
    assert gains["black returns"] < lesson(4).made["endless"] < gains["white returns"]


def test_the_best_beam_depends_on_the_pitch() -> None:
    """Each wider pitch of lesson 5 has a wider beam for its best, also in the real cabinet, up to the widest beam."""
    made = lesson(5).made
    best = made["best_width"]
    assert [best[pitch] for pitch in (6, 9, 12)] == [1.0, 2.0, 4.0]
    assert all(
        min(found, key=found.__getitem__) == best[pitch] for pitch, found in made["in_cabinet"].items()
    )


def test_a_wide_beam_s_bright_stripe_lies_between_rows_that_stand_close() -> None:
    """The wider the beam, the wider the pitch up to which it does; a plain beam's never does."""
    made = lesson(5).made
    up_to = made["between_up_to"]
    assert up_to[0.0] is None
    assert 0 < up_to[1.0] < up_to[2.0] < up_to[4.0]
    inches, stripe_at = made["inches"], made["stripe_at"]
    for width, widest in up_to.items():
        at = {stripe_at(width, inches(pitch)) for pitch in halves(3, 15) if inches(pitch) <= (widest or 1.0)}
        assert at == {"midway between rows" if widest else "on the rows"}


def test_no_setting_of_the_beams_is_brighter_than_white() -> None:
    """What lesson 5 shows as seen is never cut off, and a plain beam at the widest pitch is just white."""
    made = lesson(5).made
    peaks = [
        max(made["rows_of"](width).across(made["inches"](pitch))[1])
        for width in halves(0, 4)
        for pitch in halves(4, 15)
    ]
    assert max(peaks) == made["WHITE_AT"]


def test_twelve_inches_are_right_at_one_depth_alone() -> None:
    """The stricter the limit, the deeper a cabinet must be for 12 in; at each depth the real one has its own pitch."""
    made = lesson(6).made
    depths = [made["right_depth"][limit] for limit in sorted(made["right_depth"])]
    assert depths == sorted(depths, reverse=True)
    assert len(set(depths)) == len(depths)
    pitches = [found.pitch for _, found in sorted(made["searched"].items())]
    assert pitches == sorted(pitches)
    assert len(set(pitches)) == len(pitches)


def test_the_rule_of_thumb_fails_where_the_throw_is_half_the_depth() -> None:
    """Rows as far apart as the cabinet is deep are even on the back, and striped midway between two faces."""
    even, usual = lesson(6).made["even"], lesson(6).made["USUAL"]
    for depth in (3, 8, 15):
        assert even("white", depth, depth) <= usual < even("double-sided, rows midway", depth, depth)


def test_the_rule_wastes_rows_or_leaves_stripes() -> None:
    """As lesson 6 opens the rule fails where the throw is half the depth and, of what it keeps even, wastes rows."""
    made = lesson(6).made
    assert made["failing"] == ["double-sided, rows midway"]
    assert "white" in made["wasting"]
    assert not set(made["failing"]) & set(made["wasting"])


def test_a_real_cabinet_is_striped_at_the_pitch_of_rows_without_end() -> None:
    """At every depth that lesson 6 searches its pitch is the lesser; at that of rows without end stripes are more.

    What the search finds keeps both limits, that on the whole face too.
    """
    made = lesson(6).made
    for depth, found in made["searched"].items():
        assert found.evenness.max_to_min <= made["OWN"].requirement.max_to_min
        assert found.evenness.stripe_max_to_min <= made["USUAL"]
        assert found.pitch / 0.0254 < made["widest"]("white", depth, made["USUAL"])
    assert made["as_endless"].evenness.stripe_max_to_min > made["USUAL"]


def test_the_order_is_mended_and_every_caution_printed() -> None:
    """The order of lesson 7 fails with three rows, its answer meets what is asked with four; no caution is left out."""
    _, found, _, answer = lesson(7).made["orders"][lesson(7).made["ORDERED"]]
    assert not found.own.met
    assert (len(found.own.cabinet.row_lines), len(answer.assembly.rows)) == (3, 4)
    assert answer.met
    shown = unescape("".join(lesson(7).shown))
    # The answer's stripes are within two per cent of their limit: that is said as the search says it.
    assert little_to_spare(answer.built.verdict)
    assert LITTLE_TO_SPARE.split("`")[0] in shown
    assert "lumsim tolerance" in shown
    assert [text for text in CAUTIONS if sentence(text) not in shown.replace("’", "'")] == []


def test_the_drawing_is_there_for_whoever_opens_it() -> None:
    """Lesson 7 draws the building plan of any depth when asked, and tells it in words with the rows' lines."""
    made = lesson(7).made
    for _, _, taken, answer in made["orders"].values():
        drawn = made["plan_of"](taken, answer).text
        assert f"Building plan: {len(answer.assembly.rows)} rows of" in drawn
        assert format_length(answer.assembly.rows[0].across, "in") in drawn


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
