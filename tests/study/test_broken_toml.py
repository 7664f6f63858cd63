"""Texts that are no TOML are explained in the words of the person who wrote them, with the right form."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import example, given, seed
from hypothesis import strategies as st

from lumsim.study.broken_toml import explain
from lumsim.units import parse_length


def explained(text: str) -> tuple[int | None, str]:
    """Return how a text is explained, after making sure that tomllib does refuse it."""
    with pytest.raises(tomllib.TOMLDecodeError) as caught:
        tomllib.loads(text)
    return explain(text, caught.value)


@pytest.mark.parametrize(
    ("value", "right"),
    [
        ('"84""', '"84 in", or \'84"\''),
        ('"4\'-6 1/2""', '"4 ft 6 1/2 in"'),
        ('"4\'-6 1/2""', "'4 ft 6 1/2\"'"),
        ('"4\' 6""  # deep', '"4 ft 6 in"'),
        ('"5-1/2""', '"5-1/2 in"'),
        ('"4’6""', '"4 ft 6 in"'),
        ('["6"", "18 1/2""]', '"6 in"'),
        ('["6 in", "18 1/2""]', '"18 1/2 in"'),
        ('{ width = "4"" }', '"4 in"'),
    ],
)
def test_an_inch_mark_that_ends_a_text_is_named_with_the_right_form(value: str, right: str) -> None:
    """A bare inch mark in a quoted length is told apart, and the person's number shown as it should be."""
    line, message = explained(f"[cabinet]\n\ndepth = {value}\n")
    assert line == 3
    assert "inch mark" in message
    assert right in message


@seed(40)
@given(st.integers(0, 99), st.integers(1, 11), st.integers(1, 15), st.booleans(), st.booleans())
def test_the_form_shown_for_an_inch_mark_is_the_same_length(
    feet: int, inches: int, sixteenths: int, has_feet: bool, has_fraction: bool
) -> None:
    """What is shown instead of a broken length is TOML and reads as the length that was meant."""
    fraction = f" {sixteenths}/16" if has_fraction else ""
    meant = f"{feet}'-{inches}{fraction}\"" if has_feet else f'{inches}{fraction}"'
    _, message = explained(f'depth = "{meant}"')
    forms = re.findall(r"\"[^\"]* in\"|'[^']*\"'", message)
    assert len(forms) == 2
    for form in forms:
        assert parse_length(tomllib.loads(f"depth = {form}")["depth"]) == parse_length(meant)


@pytest.mark.parametrize(
    ("value", "right"),
    [
        ("6 in", '"6 in"'), ('12"', '"12 in"'), ("5 1/2 in", '"5 1/2 in"'), ("1/2 in", '"1/2 in"'),
        ("½ in", '"½ in"'), ("4'-6\"", '"4 ft 6 in"'), ("4'", '"4\'"'), ("300 mm  # deep", '"300 mm"'),
        ("[6 in, 8 in]", '"6 in"'), ('["4 in", 8 in]', '"8 in"'), ("{ width = 6 in }", '"6 in"'),
        ("120 deg", '"120 deg"'), ("120°", '"120°"'), ('84 in"', '"84 in"'), ("-4 in", '"-4 in"'),
    ],
)  # fmt: skip
def test_a_number_with_its_unit_is_shown_in_quotes(value: str, right: str) -> None:
    """A length or angle without quotes is shown with them."""
    line, message = explained(f"a = 1\ndepth = {value}\nb = 1\n")
    assert line == 2
    assert f"in quotes: write {right}, got " in message


@pytest.mark.parametrize(
    ("value", "right"),
    [
        ("90,5", "write 90.5, got 90,5"),
        ("1,200", "write 1.200 or 1200,"),
        ("{ exponent = 1,5 }", "write 1.5,"),
        ("5,5 in", 'write "5.5 in",'),
        ("[5,5 in]", 'write "5.5 in",'),
        ("85%", "write 0.85, got 85%"),
        (".5", "write 0.5,"),
        ("5.", "write 5,"),
        ("05", "write 5,"),
    ],
)
def test_a_number_in_another_form_is_shown_in_the_right_one(value: str, right: str) -> None:
    """Decimal commas, percent signs, bare points and leading zeros are shown as the number that was meant."""
    line, message = explained(f"lumens = {value}\n")
    assert line == 1
    assert right in message


@pytest.mark.parametrize(
    ("text", "line", "parts"),
    [
        ("[c]\na = 1\n\na = [\n2]\n", 4, ["c.a is given twice", "line 2"]),
        ("[[rows]]\np = 1\np = 2", 3, ["rows.p is given twice", "line 2"]),
        ("b = { x = 1, x = 2 }", 1, ["b.x is given twice"]),
        ("[c]\nw = 1\n[c] # again\nh = 1\n", 3, ["[c] stands twice", "line 1"]),
        ("[[rows]]\n[rows]", 2, ["line 1", "write [[rows]] each time"]),
        ("[rows]\n[[rows]]", 2, ["line 1", "write [[rows]] each time"]),
        ("\nb = { x = 1 }\n[b]", 3, ["b is written already in line 2"]),
        ("b = { x = 1 }\nb.y = 2", 2, ["b is written already in line 1"]),
        ("[a.b]\nc = 1\n[a]\nb.d = 2", 4, ["a.b is written already in line 1"]),
        ("a = 1\na.b = 2", 2, ["has a value already"]),
        ("a = 1\n[a.b]", 2, ["has a value already"]),
    ],
)
def test_what_is_given_twice_is_told_with_both_lines(text: str, line: int, parts: list[str]) -> None:
    """A key, header or table that is there already is named, with the line where it was first."""
    assert explained(text)[0] == line
    for part in parts:
        assert part in explained(text)[1]


@pytest.mark.parametrize(
    ("text", "line", "part"),
    [
        ('a = 1\ndepth = "84 in', 2, 'not closed: write "84 in"'),
        ('depth = "84 in\nb = 1\n', 1, 'not closed: write "84 in"'),
        ("t = 'abc\n", 1, "not closed: write 'abc'"),
        ('a = 1\nb = """abc\n x\n', 2, 'that begins with """ is never closed'),
        ("b = '''abc \"x\n x\n", 1, "that begins with ''' is never closed"),
        ('at = ["6 in"', 1, "the [ is never closed"),
        ('a = 1\nat = [\n"6 in",\n\n', 2, "the [ is never closed"),
        ('at = ["6 in"\nb = 1', 1, "the [ is not closed before the next key"),
        ('at = ["6 in",\nb = 1', 1, "the [ is not closed before the next key"),
        ('at = ["6 in",\n[cabinet]\nw = 1', 1, "the [ is not closed before the next key"),
        ('at = ["6 in" "8 in"]', 1, 'a comma is missing before "8 in"'),
        ("x = [\n{ a = 1 b = 2 },\n]", 2, "a comma is missing before b"),
        ("b = { a = [1, 2 }", 1, "the [ is not closed before }"),
        ("b = { a = 1", 1, "the { is never closed"),
        ("b = { a = 1, ! }", 1, "a key is missing before ! }"),
        ("[cabinet", 1, "write [cabinet]"),
        ("[[rows]\n", 1, "write [[rows]]"),
        ("[cabinet]]", 1, "write [cabinet]"),
        ("[my table]", 1, 'write ["my table"]'),
        ("[]", 1, "write [name]"),
    ],
)
def test_what_is_not_closed_is_told_where_it_begins(text: str, line: int, part: str) -> None:
    """A text, array, table or header without its end is told with the line to mend."""
    assert explained(text)[0] == line
    assert part in explained(text)[1]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ('title = "The 84" sign"', "write 'The 84\" sign' in single quotes"),
        ('title = "The 84""', "write 'The 84\"' in single quotes"),
        ('title = "Bo\'s 84" sign"', 'write \\" for it'),
        ('width "84 in"', 'write width = "84 in"'),
        ('width: "84 in"', 'write width = "84 in"'),
        ("width", "write key = value"),
        ("= 4", "a line begins with a key"),
        ("width. = 4", "a key is missing before = 4"),
        ("width.", "a key is missing before the end of the line"),
        ("width =", "a value is missing"),
        ("width = # none\nb = 1", "a value is missing"),
        ("on = back", 'text goes in quotes: write "back"'),
        ("title = Larkspur Street", 'write "Larkspur Street"'),
        ("title = “Larkspur”", 'must be straight: write "Larkspur"'),
        ('file = "C:\\x\\m.ies"', "write / for it"),
        ('file = "C:\\users"', "write / for it"),
        ("lumens = 90 lm", "nothing may follow lumens = 90 on its line, got lm"),
        ('name = "a" "b"', 'nothing may follow name = "a" on its line, got "b"'),
        ("\ufeffa = 1", "byte order mark"),
        ('a = "\x00"', "illegal character '\\x00'"),
    ],
)
def test_other_slips_are_told_with_the_right_form(text: str, part: str) -> None:
    """Quotes inside texts, missing signs, bare words, backslashes and leftovers are told as what they are."""
    line, message = explained(text)
    assert line == 1
    assert part in message


@pytest.mark.parametrize("text", ["b = 1,\n", "a = 1\r\n\r\nb = 6 in\r\n", "a = 1\n\nb = 6 in"])
def test_lines_are_counted_alike_with_either_line_end(text: str) -> None:
    """The line is that of the slip whether lines end in a line feed alone or after a carriage return."""
    assert explained(text)[0] == (1 if text.startswith("b") else 3)


@pytest.mark.parametrize(
    ("said", "line", "part"),
    [
        ("Invalid value (at line 2, column 5)", 2, '"back"'),
        ("Something new (at end of document)", 2, "cannot be read as TOML: something new"),
        ("Something new", None, "cannot be read as TOML: something new"),
        ("Cannot declare something new (at line 99, column 1)", 2, "cannot declare something new"),
        ("", None, "cannot be read as TOML"),
    ],
)
def test_only_the_words_of_the_error_are_used(said: str, line: int | None, part: str) -> None:
    """The place is read from the error's text, which every Python writes alike, and may be missing."""
    # Made without its constructor, which takes other arguments in later versions of Python.
    error = tomllib.TOMLDecodeError.__new__(tomllib.TOMLDecodeError, said)
    found, message = explain("a = 1\nb = back\n", error)
    assert found == line
    assert part in message


PIECES = [
    *"ab.=[]{},#\"'\\ \n\t16%-½°”\r", '"""', "'''", "[[", "]]", " in", "depth = ", "[a]\n", "a = 1\n",
    '84"', "4'-6",
]  # fmt: skip


@seed(41)
@given(st.one_of(st.text(max_size=40), st.lists(st.sampled_from(PIECES), max_size=14).map("".join)))
@example("a = " + "9" * 80 + ".")
@example("a = " + "9" * 5000 + "%")
@example("a = ,5")
def test_every_refused_text_is_explained_with_a_line_in_it(text: str) -> None:
    """Whatever is refused, the explanation names a line of the text and says something."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line, message = explain(text, error)
    except ValueError:
        return
    else:
        return
    assert line is not None
    assert 1 <= line <= text.count("\n") + 1
    assert len(message) > 10
