"""A list of prices: a CSV file of the user's.

Header ``part,price``; optional columns ``pack`` (how many the price is for, 1 unless told) and ``note`` (for people).
Parts are called as the sheet calls them. Prices are numbers alone: the study names the currency.
"""

from __future__ import annotations

import csv
import difflib
import io
import re
from decimal import Decimal
from pathlib import Path

from lumsim.errors import InputError, Problem
from lumsim.sheet.prices import Price, PriceList, plain_name
from lumsim.study.text_file import read_text

__all__ = ["read_prices"]

COLUMNS = ("part", "price", "pack", "note")
MOST_PROBLEMS = 20
LARGEST_FILE = 2_000_000
"""The largest file that is read. [byte]"""
LARGEST = 10**9
"""Of a price and of a pack. [1]"""
DIGITS = 6
"""The most after the point of a price. [1]"""
LONGEST_NAME = 200
"""Of a part. [character]"""

_PRICE = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")
_THOUSANDS = r"[0-9]{1,3}(?P<apart>[.,])[0-9]{3}(?:(?P=apart)[0-9]{3})*"
_DECIMALS = rf"(?P<whole>{_THOUSANDS}|[0-9]*)(?P<point>[.,])(?P<part>[0-9]+)"


def read_prices(path: Path, shown: str) -> tuple[PriceList, list[Problem]]:
    """Read a price list; what is wrong comes back as problems, each with its line.

    Parameters
    ----------
    path : Path
        Where it is.
    shown : str
        What to call it in messages.
    """

    def problem(text: str, line: int | None = None, key: str = "") -> Problem:
        return Problem(where=shown, line=line, key=key, text=text)

    nothing = PriceList(prices={})
    text, unreadable = read_text(path, shown, most=LARGEST_FILE)
    if unreadable:
        return nothing, unreadable

    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    prices: dict[str, Price] = {}
    lines: dict[str, int] = {}
    problems: list[Problem] = []
    line = 1
    try:
        header = [name.strip().lower() for name in next(reader, [])]
        problems = [problem(text, 1) for text in _header_problems(header)]
        if problems:
            return nothing, problems
        # A quoted text may run over several lines: a fault is told where it begins.
        line = reader.line_num + 1
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found, wrong = _one_line(header, cells, lines, line)
                problems.extend(problem(text, line, key) for key, text in wrong)
                prices.update(found)
            if len(problems) > MOST_PROBLEMS:
                problems[MOST_PROBLEMS:] = [
                    problem(f"more than {MOST_PROBLEMS} problems; the rest is not read", line)
                ]
                break
            line = reader.line_num + 1
    except csv.Error as error:
        problems.append(problem(f"is not a CSV line: {error}", line))
    if not prices and not problems:
        problems.append(problem("lists no prices: give at least one line below the header"))
    return PriceList(prices=prices), problems


def _header_problems(header: list[str]) -> list[str]:
    if not header or header == [""]:
        return ["is empty: the first line must name the columns, such as part,price,pack"]
    for parting, named in ((";", "semicolons"), ("\t", "tabs")):
        if len(header) == 1 and parting in header[0]:
            return [f"columns are parted by commas, not {named}, and decimals follow a point"]
    unknown = [name for name in header if name not in COLUMNS]
    problems = [_unknown_column(name) for name in unknown]
    problems += [
        f"column {name!r} stands there twice" for name in dict.fromkeys(header) if header.count(name) > 1
    ]
    # A column that is not known may be meant for it.
    problems += [f"has no {name} column" for name in ("part", "price") if not unknown and name not in header]
    return problems


def _unknown_column(name: str) -> str:
    nearest = difflib.get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
    hint = f"did you mean {nearest[0]}? Known" if nearest else "known"
    return f"unknown column {name!r}; {hint}: {', '.join(COLUMNS)}"


def _one_line(
    header: list[str], cells: list[str], lines: dict[str, int], line: int
) -> tuple[dict[str, Price], list[tuple[str, str]]]:
    """The price that a line tells, and what is wrong, by column; `lines` grows by where the part stands."""
    if len(cells) != len(header):
        more = ": decimals follow a point, and texts with commas stand in quotes"
        values = f"{len(cells)} value{'' if len(cells) == 1 else 's'}"
        hint = more if len(cells) > len(header) else ""
        return {}, [("", f"has {values} where the header names {len(header)} columns{hint}")]
    found = dict(zip(header, (cell.strip() for cell in cells), strict=True))
    wrong: list[tuple[str, str]] = []
    part, amount, pack = plain_name(found["part"]), Decimal(0), 1
    if complaint := _name_complaint(part):
        wrong.append(("part", complaint))
    elif lines.setdefault(part, line) != line:
        wrong.append(("part", f"{part!r} stands in line {lines[part]} already: keep one of the two"))
    try:
        amount = _read_price(found["price"])
    except InputError as error:
        wrong.append(("price", f"{error}, got {found['price'][:60]!r}"))
    if written := found.get("pack"):
        if re.fullmatch("[0-9]{1,10}", written) and 1 <= int(written) <= LARGEST:
            pack = int(written)
        else:
            wrong.append(("pack", f"must be a whole number from 1 to {LARGEST}, got {written[:60]!r}"))
    if wrong:
        return {}, wrong
    return {part: Price(amount=amount, pack=pack, note=found.get("note", ""))}, []


def _name_complaint(part: str) -> str | None:
    if not part:
        return "must name a part, got ''"
    if len(part) > LONGEST_NAME:
        return f"must be at most {LONGEST_NAME} characters long, got {len(part)}"
    return None if part.isprintable() else f"holds a character that cannot be seen, got {part!r}"


def _read_price(text: str) -> Decimal:
    """Read a price, exactly; raises InputError with what would be right."""
    if _PRICE.fullmatch(text):
        if len(text.partition(".")[2]) > DIGITS:
            raise InputError(f"must have at most {DIGITS} digits after the point")
        amount = Decimal(text)
        if amount > LARGEST:
            raise InputError(f"must be at most {LARGEST}")
        return amount
    if not text:
        raise InputError("must be a number, such as 12.50; leave out the lines of parts without a price")
    if text[0] in "-−" and _PRICE.fullmatch(text[1:].strip()):
        raise InputError("must be 0 or more")
    if ways := _meant(text):
        raise InputError(
            f"decimals follow a point, not a comma, and thousands are not set apart: write {' or '.join(ways)}"
        )
    raise InputError("must be a number alone, such as 12.50: the study names the currency")


def _meant(text: str) -> list[str]:
    """How a number with a decimal comma, or with its thousands set apart, would be written; nothing for others."""
    close = re.sub(r"[\s'’]", "", text)
    if _PRICE.fullmatch(close):
        return [close]
    ways = []
    match = re.fullmatch(_DECIMALS, close)
    if match and match["point"] != match["apart"]:
        ways.append(f"{re.sub('[.,]', '', match['whole']) or 0}.{match['part']}")
    if re.fullmatch(_THOUSANDS, close):
        ways.append(re.sub("[.,]", "", close))
    return ways
