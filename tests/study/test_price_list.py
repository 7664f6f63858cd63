"""A price list is read as a person or a spreadsheet writes it; faults are told by line and column."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from lumsim.errors import Problem
from lumsim.sheet.prices import Needed, Price, PriceList, parts_cost
from lumsim.study.price_list import LARGEST_FILE, MOST_PROBLEMS, read_prices


def read(content: str | bytes, folder: Path) -> tuple[PriceList, list[Problem]]:
    """Read a price list of this content."""
    file = folder / "prices.csv"
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_prices(file, "prices.csv")


def price(amount: str, pack: int = 1) -> Price:
    """Write a price shorter."""
    return Price(amount=Decimal(amount), pack=pack)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("part,price\nstandard,1.20\n", price("1.20")),
        ("part,price,pack\nstandard,60,50\n", price("60", 50)),
        ("part,price,pack\nstandard,60,\n", price("60")),
        ("\ufeffPart , PRICE\r\n\r\n standard , .5 \r\n", price("0.5")),
        ("price,part\r7.,standard\r", price("7")),
        ('part,price\n"standard","0"\n', price("0")),
        ("part,price\nstandard,0.000001\n", price("0.000001")),
        ("part,price\nstandard,1000000000\n", price("1000000000")),
    ],
)
def test_a_price_is_read_exactly(content: str, expected: Price, tmp_path: Path) -> None:
    """Every way a spreadsheet saves a line gives the decimal that stands there, and a pack of 1 unless told."""
    prices, problems = read(content, tmp_path)
    assert problems == []
    assert prices == PriceList(prices={"standard": expected})


def test_a_note_is_kept_and_may_hold_commas(tmp_path: Path) -> None:
    """What a user notes beside a price comes back with it."""
    prices, problems = read('part,price,note\nstandard,1.20,"on the shelf, left"\n', tmp_path)
    assert problems == []
    assert prices.prices["standard"] == Price(amount=Decimal("1.20"), pack=1, note="on the shelf, left")


def test_names_are_the_same_however_their_characters_are_stored(tmp_path: Path) -> None:
    """Runs of spaces, spaces that do not break, and accents stored apart make no other part."""
    prices, _ = read("part,price\nblende\u00a0 gro\u0308ße 2,3\n", tmp_path)
    assert prices.of("blende größe 2") == price("3")
    assert prices.of("Blende größe 2") is None
    (line,) = parts_cost([Needed(part="blende  größe 2", count=2)], prices).lines
    assert (line.part, line.amount) == ("blende  größe 2", Decimal(6))


LINES = [
    ("part,price\na,\n", 2, "price", "leave out the lines of parts without a price, got ''"),
    ("part,price\na,2\nb,-3\n", 3, "price", "must be 0 or more, got '-3'"),
    ('part,price\n\na,"1,50"\n', 3, "price", "thousands are not set apart: write 1.50, got '1,50'"),
    ('part,price\na,"1,234"\n', 2, "price", "write 1.234 or 1234, got '1,234'"),
    ('part,price\na,"1.234,56"\n', 2, "price", "write 1234.56, got"),
    ('part,price\na,"1,234.56"\n', 2, "price", "write 1234.56, got"),
    ('part,price\na,"1,234.567"\n', 2, "price", "write 1234.567, got"),
    ('part,price\na,"1.234,567"\n', 2, "price", "write 1234.567, got"),
    ('part,price\na,",5"\n', 2, "price", "write 0.5, got"),
    ('part,price\na,"1,234,56"\n', 2, "price", "must be a number alone"),
    ("part,price\na,1.234.567\n", 2, "price", "write 1234567, got"),
    ("part,price\na,1 234.5\n", 2, "price", "write 1234.5, got"),
    ("part,price\na,1'234\n", 2, "price", "write 1234, got"),
    ('part,price\na,"1,,5"\n', 2, "price", "must be a number alone, such as 12.50: the study names the currency"),
    ("part,price\na,$1.50\n", 2, "price", "must be a number alone, such as 12.50: the study names the currency"),
    ("part,price\na,1e3\n", 2, "price", "must be a number alone"),
    ("part,price\na,1" + "x" * 9999 + "\n", 2, "price", "got '1" + "x" * 59 + "'"),
    ("part,price\na,nan\n", 2, "price", "must be a number alone"),
    ("part,price\na,\u0661\n", 2, "price", "must be a number alone"),
    ("part,price\na,.\n", 2, "price", "must be a number alone"),
    ("part,price\na,1000000000.01\n", 2, "price", "must be at most 1000000000, got '1000000000.01'"),
    ("part,price\na,0.0000001\n", 2, "price", "at most 6 digits after the point, got '0.0000001'"),
    ("part,price,pack\na,1,0\n", 2, "pack", "must be a whole number from 1 to 1000000000, got '0'"),
    ("part,price,pack\na,1,2.5\n", 2, "pack", "must be a whole number from 1 to 1000000000, got '2.5'"),
    ("part,price,pack\na,1,-2\n", 2, "pack", "got '-2'"),
    ("part,price,pack\na,1,1000000001\n", 2, "pack", "got '1000000001'"),
    ("part,price,pack\na,1," + "9" * 5000 + "\n", 2, "pack", "must be a whole number from 1 to 1000000000"),
    ("part,price\n,1\n", 2, "part", "must name a part, got ''"),
    ("part,price\na\x00,1\n", 2, "part", "holds a character that cannot be seen, got 'a\\x00'"),
    ("part,price\n" + "a" * 201 + ",1\n", 2, "part", "must be at most 200 characters long"),
    ("part,price\na,1\nb,2\na,3\n", 4, "part", "'a' stands in line 2 already: keep one of the two"),
    ('part,price\n"a\nb",1\na b,3\n', 4, "part", "'a b' stands in line 2 already"),
    ("part,price\na,1,50\n", 2, "", "has 3 values where the header names 2 columns: decimals follow a point, and"),
    ("part,price\na\n", 2, "", "has 1 value where the header names 2 columns"),
    ('part,price\n"a"b,2\n', 2, "", "is not a CSV line"),
    ('part,price\nc,1\n"a,2\nb,3\n', 3, "", "is not a CSV line"),
    ("part,price\n" + "1" * 200_000 + ",2\n", 2, "", "is not a CSV line"),
    ("", 1, "", "is empty: the first line must name the columns, such as part,price,pack"),
    ("\npart,price\na,1\n", 1, "", "is empty: the first line must name the columns"),
    ("part,price\n", None, "", "lists no prices: give at least one line below the header"),
    ("part,prize\na,1\n", 1, "", "unknown column 'prize'; did you mean price? Known: part, price, pack, note"),
    ("part,price,colour\na,1,red\n", 1, "", "unknown column 'colour'; known: part, price, pack, note"),
    ("part,pack\na,1\n", 1, "", "has no price column"),
    ("price\n1\n", 1, "", "has no part column"),
    ("part,price,price\na,1,2\n", 1, "", "column 'price' stands there twice"),
    ("part;price\na;1,5\n", 1, "", "columns are parted by commas, not semicolons, and decimals follow a point"),
    ("part\tprice\na\t1\n", 1, "", "columns are parted by commas, not tabs, and decimals follow a point"),
    (b"part,price\na,1\nGr\xf6\xdfe,2\n", 3, "", "the byte 0xF6 ('ö' in Windows-1252) is not text in UTF-8"),
    (b"part,price\r\x81,2\r", 2, "", "the byte 0x81 is not text in UTF-8: save it as UTF-8"),
    ("part,price\na,1\n".encode("utf-16"), 1, "", "is not text in UTF-8: save it as UTF-8"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "line", "key", "said"), LINES, ids=[f"{one[0][:20]!r} {one[3][:20]}" for one in LINES]
)
def test_a_fault_is_told_by_line_and_column(
    content: str | bytes, line: int | None, key: str, said: str, tmp_path: Path
) -> None:
    """A fault is the only problem told: where, what value, and what would be right."""
    _, (one,) = read(content, tmp_path)
    assert (one.where, one.line, one.key) == ("prices.csv", line, key)
    assert said in one.text


def test_every_fault_is_told_at_once_up_to_a_bearable_number(tmp_path: Path) -> None:
    """Both faults of one line are told, and of fifty wrong lines twenty, and that there are more."""
    _, problems = read("part,price,pack\na,x,0\nb,1,y\n", tmp_path)
    assert [(one.line, one.key) for one in problems] == [(2, "price"), (2, "pack"), (3, "pack")]
    _, problems = read("part,price\n" + "".join(f"{n},a\n" for n in range(50)), tmp_path)
    assert [one.line for one in problems] == [*range(2, MOST_PROBLEMS + 2), MOST_PROBLEMS + 2]
    assert "more than 20 problems" in problems[-1].text


def test_a_file_without_end_or_that_cannot_be_opened_is_refused(tmp_path: Path) -> None:
    """What is too large is told by its size; a missing file, a folder and an impossible name in words."""
    _, (one,) = read("x" * (LARGEST_FILE + 1), tmp_path)
    assert one.text == "is larger than 2 MB"
    for path in (tmp_path / "none.csv", tmp_path, tmp_path / "a\x00b"):
        prices, (one,) = read_prices(path, "prices.csv")
        assert one.text.startswith("cannot be read: ")
        assert prices.prices == {}
