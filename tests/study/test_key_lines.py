"""The line of each key of a TOML text, against lines counted by hand and by a writer that knows its lines."""

from __future__ import annotations

import random
import re
import tomllib
from datetime import date, datetime, time
from typing import Any

import pytest
from hypothesis import example, given, seed
from hypothesis import strategies as st

from lumsim.study.key_lines import KeyPath, key_lines, repeated_keys

STUDY = '''\
# a study
title = "Larkspur # not a comment"

[cabinet]
width = "84 in"   # inside
"depth" = '6 in'

[modules.standard]
beam = { shape = "wide", width.half = ["60 deg", "40 deg"] }

[[rows]]
at = [
    "6 in",  # ] "

    "18 1/2 in", [ { a = 1 },
    { b = """
two
""" }],
]
module = "standard"

[rows.face]
"a.b".c = 1979-05-27 07:32:00
[[rows]]
[rows.face]
x = 1
'''
STUDY_LINES: dict[KeyPath, int] = {
    ("title",): 2,
    ("cabinet",): 4,
    ("cabinet", "width"): 5,
    ("cabinet", "depth"): 6,
    ("modules",): 8,
    ("modules", "standard"): 8,
    ("modules", "standard", "beam"): 9,
    ("modules", "standard", "beam", "shape"): 9,
    ("modules", "standard", "beam", "width"): 9,
    ("modules", "standard", "beam", "width", "half"): 9,
    ("modules", "standard", "beam", "width", "half", 0): 9,
    ("modules", "standard", "beam", "width", "half", 1): 9,
    ("rows",): 11,
    ("rows", 0): 11,
    ("rows", 0, "at"): 12,
    ("rows", 0, "at", 0): 13,
    ("rows", 0, "at", 1): 15,
    ("rows", 0, "at", 2): 15,
    ("rows", 0, "at", 2, 0): 15,
    ("rows", 0, "at", 2, 0, "a"): 15,
    ("rows", 0, "at", 2, 1): 16,
    ("rows", 0, "at", 2, 1, "b"): 16,
    ("rows", 0, "module"): 20,
    ("rows", 0, "face"): 22,
    ("rows", 0, "face", "a.b"): 23,
    ("rows", 0, "face", "a.b", "c"): 23,
    ("rows", 1): 24,
    ("rows", 1, "face"): 25,
    ("rows", 1, "face", "x"): 26,
}


def paths_of(value: object, path: KeyPath = ()) -> set[KeyPath]:
    """Return the path of every key and every array element of a parsed document."""
    found: set[KeyPath] = {path} if path else set()
    if isinstance(value, dict):
        for key, inner in value.items():
            found |= paths_of(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            found |= paths_of(inner, (*path, index))
    return found


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_study_has_its_keys_on_the_lines_counted_by_hand(line_end: str) -> None:
    """Every key and element of a study stands on the line where a person finds it, whatever the line end."""
    text = STUDY.replace("\n", line_end)
    assert key_lines(text) == STUDY_LINES
    assert set(STUDY_LINES) == paths_of(tomllib.loads(text))


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", {}),
        ("# only = 1\n\n", {}),
        ("[a.b]\n[a]\nc = 1", {("a",): 1, ("a", "b"): 1, ("a", "c"): 3}),
        (
            "a.b.c = 1\na.b.d = 2",
            {("a",): 1, ("a", "b"): 1, ("a", "b", "c"): 1, ("a", "b", "d"): 2},
        ),
        ("\n[ a . 'b' ] # x\n", {("a",): 2, ("a", "b"): 2}),
        ("\n\"\" . '' = 2", {("",): 2, ("", ""): 2}),
        ('"\\u00e9\\t\\"\\\\" = 1', {('é\t"\\',): 1}),
        ('a = """"x"""""\nb = 1', {("a",): 1, ("b",): 2}),
        ('a = """\\"""\n"""\nb = 1', {("a",): 1, ("b",): 3}),
        ("a = '''\nb = 1\n''''\nc = 1", {("a",): 1, ("c",): 4}),
        ('a = ""\nb = \'\'\nc = """"""\nd = 1', {("a",): 1, ("b",): 2, ("c",): 3, ("d",): 4}),
        ('a = "[x] \\" # {"\n[b]', {("a",): 1, ("b",): 2}),
        ("a = [[],\n[1,\n2],]", {("a",): 1, ("a", 0): 1, ("a", 1): 2, ("a", 1, 0): 2, ("a", 1, 1): 3}),
        (
            "[[a.b]]\n[[a.b]]\n[[a.b.c]]\nd = 1\n[[a.b]]\n[a.b.e]",
            {
                ("a",): 1,
                ("a", "b"): 1,
                ("a", "b", 0): 1,
                ("a", "b", 1): 2,
                ("a", "b", 1, "c"): 3,
                ("a", "b", 1, "c", 0): 3,
                ("a", "b", 1, "c", 0, "d"): 4,
                ("a", "b", 2): 5,
                ("a", "b", 2, "e"): 6,
            },
        ),
    ],
)
def test_each_form_of_key_stands_on_its_line(text: str, lines: dict[KeyPath, int]) -> None:
    """Implied tables, dotted and quoted keys, strings of every kind and nested arrays keep the count."""
    assert key_lines(text) == lines
    assert set(lines) == paths_of(tomllib.loads(text))


class _Writer:
    """Writes a random document in random notation and keeps the line of every key it writes."""

    def __init__(self, rng: random.Random, depth: int) -> None:
        self.rng = rng
        self.text = ""
        self.lines: dict[KeyPath, int] = {}
        self.document = self.table(depth)
        self.section((), (), self.document)

    def maybe(self, share: float = 0.5) -> bool:
        return self.rng.random() < share

    # What is said.

    def string(self) -> str:
        return "".join(self.rng.choices("ab #[]{}=,.\"'\\\n\té", k=self.rng.randint(0, 12)))

    def key(self) -> str:
        alphabet = "abA0_-" if self.maybe(0.7) else "ab .#[]{}=,\"'\\é\n"
        return "".join(self.rng.choices(alphabet, k=self.rng.randint(0 if self.maybe(0.1) else 1, 3)))

    def scalar(self) -> object:
        return self.rng.choice([
            self.string(), self.string(), self.string(), -17, 2.5, 1e300, True,
            date(1979, 5, 27), datetime(1979, 5, 27, 7, 32), time(7, 32),
        ])  # fmt: skip

    def table(self, depth: int) -> dict[str, Any]:
        return {self.key(): self.value(depth) for _ in range(self.rng.randint(0, 4))}

    def value(self, depth: int) -> object:
        kind = self.rng.choice(["scalar", "table", "tables", "array"]) if depth > 0 else "scalar"
        if kind == "table":
            return self.table(depth - 1)
        if kind == "tables":
            return [self.table(depth - 1) for _ in range(self.rng.randint(1, 3))]
        if kind == "array":
            return [self.value(depth - 1) for _ in range(self.rng.randint(0, 3))]
        return self.scalar()

    # How it is written.

    def note(self, path: KeyPath, keys: tuple[str, ...]) -> None:
        """Record every key of a dotted key that begins at the end of the text."""
        for end in range(len(path), len(path) + len(keys) + 1):
            if end:
                self.lines.setdefault((*path, *keys)[:end], self.text.count("\n") + 1)

    def blank(self) -> None:
        for _ in range(self.rng.choice([0, 0, 0, 1, 2])):
            self.text += self.rng.choice(["\n", "  \n", "# [x] = \"'{\n", "\t# '''\n"])

    def space(self) -> str:
        return self.rng.choice(["", " ", " ", "\t "])

    def quoted(self, text: str) -> str:
        if self.maybe() and not re.search(r"['\n]", text):
            return f"'{text}'"
        for plain, escaped in (("\\", "\\\\"), ('"', '\\"'), ("\n", "\\n"), ("\t", "\\t")):
            text = text.replace(plain, escaped)
        if self.maybe():
            text = text.replace("é", "\\u00e9")
        return f'"{text}"'

    def dotted(self, keys: tuple[str, ...]) -> str:
        written = [
            key if re.fullmatch("[A-Za-z0-9_-]+", key) and self.maybe(0.8) else self.quoted(key)
            for key in keys
        ]
        return f"{self.space()}.{self.space()}".join(written)

    def scalar_text(self, value: object) -> str:
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, datetime):
            return value.isoformat(sep=" " if self.maybe() else "T")
        if isinstance(value, date | time):
            return value.isoformat()
        if not isinstance(value, str):
            return repr(value)
        first = "\n" if self.maybe() or value.startswith("\n") else ""
        form = self.rng.choice(["one line", "basic", "literal"])
        if form == "basic":
            escaped = value.replace("\\", "\\\\").replace('"""', '""\\"')
            escaped += self.rng.choice(["", "\\\n  "])
            return f'"""{first}{escaped}"""'
        if form == "literal" and "'''" not in value:
            return f"'''{first}{value}'''"
        return self.quoted(value)

    def entries(self, table: dict[str, Any], keys: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], Any]]:
        """Return what is to be written as key = value, with some inner tables opened into dotted keys."""
        found: list[tuple[tuple[str, ...], Any]] = []
        for key, value in table.items():
            if isinstance(value, dict) and value and self.maybe():
                found += self.entries(value, (*keys, key))
            else:
                found.append(((*keys, key), value))
        return found

    def write_value(self, path: KeyPath, value: object) -> None:
        if isinstance(value, dict):
            self.text += "{" + self.space()
            entries = self.entries(value)
            self.rng.shuffle(entries)
            for count, (keys, inner) in enumerate(entries):
                self.text += f"{self.space()},{self.space()}" if count else ""
                self.pair(path, keys, inner)
            self.text += self.space() + "}"
        elif isinstance(value, list):
            self.text += "["
            for index, inner in enumerate(value):
                self.blank()
                self.text += self.space()
                self.note((*path, index), ())
                self.write_value((*path, index), inner)
                self.blank()
                self.text += "," if index < len(value) - 1 or self.maybe() else ""
            self.blank()
            self.text += "]"
        else:
            self.text += self.scalar_text(value)

    def pair(self, path: KeyPath, keys: tuple[str, ...], value: object) -> None:
        self.note(path, keys)
        self.text += f"{self.dotted(keys)}{self.space()}={self.space()}"
        self.write_value((*path, *keys), value)

    def header(self, path: KeyPath, names: tuple[str, ...], *, is_array: bool) -> None:
        self.blank()
        self.text += self.space()
        for end in range(1, len(path) + 1):
            self.note(path[:end], ())
        name = f"{self.space()}{self.dotted(names)}{self.space()}"
        self.text += f"[[{name}]]" if is_array else f"[{name}]"
        self.text += self.rng.choice(["\n", " # ]\n", "\t\n"])

    def section(
        self, path: KeyPath, names: tuple[str, ...], table: dict[str, Any], *, is_element: bool = False
    ) -> None:
        """Write a table under its header; tables in it go under headers of their own or into its body."""
        own = {
            key: value
            for key, value in table.items()
            if isinstance(value, dict)
            or (isinstance(value, list) and value and all(isinstance(inner, dict) for inner in value))
        }
        own = {key: value for key, value in own.items() if self.maybe(0.7)}
        body = {key: value for key, value in table.items() if key not in own}
        last = bool(own) and bool(path) and not is_element and self.maybe(0.3)
        if not last:
            self.head_and_body(path, names, body, is_element=is_element, is_implied=bool(own))
        for key, value in own.items():
            if isinstance(value, dict):
                self.section((*path, key), (*names, key), value)
            else:
                for index, inner in enumerate(value):
                    self.section((*path, key, index), (*names, key), inner, is_element=True)
        if last:
            self.head_and_body(path, names, body, is_element=False, is_implied=True)

    def head_and_body(
        self,
        path: KeyPath,
        names: tuple[str, ...],
        body: dict[str, Any],
        *,
        is_element: bool,
        is_implied: bool,
    ) -> None:
        if path and (body or is_element or not is_implied or self.maybe()):
            self.header(path, names, is_array=is_element)
        entries = self.entries(body)
        self.rng.shuffle(entries)
        for keys, value in entries:
            self.blank()
            self.text += self.space()
            self.pair(path, keys, value)
            self.text += self.rng.choice(["\n", " # = '\n", "\t\n"])


@seed(30)
@given(st.integers(0, 2**32 - 1), st.integers(0, 4), st.booleans())
def test_random_documents_have_their_keys_where_they_were_written(
    draws: int, depth: int, carriage_returns: bool
) -> None:
    """Whatever the document, the paths are those tomllib finds and the lines those they were written on."""
    writer = _Writer(random.Random(draws), depth)
    text = writer.text.replace("\n", "\r\n") if carriage_returns else writer.text
    parsed = tomllib.loads(text)
    assert parsed == writer.document
    assert set(writer.lines) == paths_of(parsed)
    assert key_lines(text) == writer.lines
    assert repeated_keys(text) == []


def test_the_random_documents_hold_every_notation() -> None:
    """The writer does use every notation, so that the test above is about all of them."""
    texts = "\n".join(_Writer(random.Random(draws), 4).text for draws in range(60))
    for notation in [
        r"(?m)^\s*\[\[", r"(?m)^\s*\[[^\[]", r'"""', "'''", r"\{", r"= *\[\s*\n", r"\.", r"\\u00e9", r"\\\n",
        r"(?m)^\s*\w+\s*\.\s*\w+\s*=", r"1979-05-27 07", r'(?m)^\s*"', r"(?m)^\s*'",
    ]:  # fmt: skip
        assert re.search(notation, texts), notation


def test_a_key_given_twice_is_found_with_both_lines() -> None:
    """A key that gets a second value is told with the line of the first and of the second."""
    text = "[a]\nx = 1\nb = { y = 1, y = 2 }\n\nx = [\n1]\nb = 3\n"
    assert [(key.path, key.first, key.again) for key in repeated_keys(text)] == [
        (("a", "b", "y"), 3, 3),
        (("a", "x"), 2, 5),
        (("a", "b"), 3, 7),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        "a = " + "[" * 100_000,
        "a = " + "{b=" * 50_000,
        "a." * 50_000 + "b = 1",
        "[[\n" * 20_000,
    ],
)
def test_endless_nesting_is_passed_over(text: str) -> None:
    """Brackets and dots without end are passed over in the time it takes to read them once."""
    assert max(map(len, key_lines(text)), default=0) <= 1000


@seed(31)
@given(
    st.one_of(
        st.text(max_size=60),
        st.lists(
            st.sampled_from([*"ab.=[]{},#\"'\\ \n\r\t1", '"""', "'''", "[[", "]]", "\\u00e9", "\\U00110000"]),
            max_size=40,
        ).map("".join),
    )
)
@example('"\\UFFFFFFFF" = 1')
@example("a = {\x0b")
def test_any_text_is_passed_over_without_error(text: str) -> None:
    """A text that is no TOML gives lines within the text, and one that is gives the paths tomllib finds."""
    lines = key_lines(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
    try:
        parsed = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    assert set(lines) == paths_of(parsed)
