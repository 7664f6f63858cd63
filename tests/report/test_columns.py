"""Tables for people: columns line up, lines that say the same are one, numbers in runs."""

from __future__ import annotations

import pytest

from lumsim.report.columns import Block, columns, grouped, markdown_table, numbers_in_words, plural


def test_columns_stand_under_their_heads() -> None:
    """Each as wide as its widest cell and two spaces; no space at a line's end."""
    assert columns(["row", "at"], [["1 to 3", "6 in"], ["4", "10 1/2 in"]]) == [
        "  row     at",
        "  1 to 3  6 in",
        "  4       10 1/2 in",
    ]
    assert columns(["row", "at"], []) == ["  row  at"]


def test_a_table_in_markdown_has_a_rule_under_its_heads() -> None:
    """Heads, a rule of as many columns, then the rows, cells between upright strokes."""
    assert markdown_table(["pitch", "stripes"], [["6 in", "1.02"]]).splitlines() == [
        "| pitch | stripes |",
        "| --- | --- |",
        "| 6 in | 1.02 |",
    ]


def test_lines_that_say_the_same_are_one() -> None:
    """Named by all their numbers, at the place of the first."""
    assert grouped([(1, ["a"]), (2, ["b"]), (3, ["a"]), (4, ["a"]), (5, ["a"])]) == [
        ["1, 3 to 5", "a"],
        ["2", "b"],
    ]


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["1"], "1"),
        (["1", "2"], "1, 2"),
        (["1", "2", "3", "5"], "1 to 3, 5"),
        (["9", "10", "11"], "9 to 11"),
        (["1.1", "1.2", "2"], "1.1, 1.2, 2"),
        ([], ""),
    ],
)
def test_numbers_in_words(names: list[str], told: str) -> None:
    """Runs of three and more from their first to their last; parts of rows one by one."""
    assert numbers_in_words(names) == told


def test_plural() -> None:
    """One of a thing has no s."""
    assert [plural(count, "roll") for count in (0, 1, 2)] == ["0 rolls", "1 roll", "2 rolls"]


def test_block_as_lines() -> None:
    """A block is its sentence, what leads to the table, the table, and what is said of it, the latter indented."""
    block = Block(
        head="Rolls, 2", leads=["by hand"], heads=["roll", "left"], rows=[["1", "-"]], notes=["end"]
    )
    assert block.lines == ["Rolls, 2", "  by hand", "  roll  left", "  1     -", "  end"]


def test_block_without_heads() -> None:
    """A table whose columns have no names begins with its first row; a block without a table is its sentence."""
    assert Block(head="Parts", heads=["", ""], rows=[["3", "clips"]]).lines == ["Parts", "  3  clips"]
    assert Block(head="Parts").lines == ["Parts"]
