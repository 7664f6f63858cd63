"""Tables for people: columns under their heads, rows that are alike together, numbers in a list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = ["Block", "columns", "grouped", "markdown_table", "numbers_in_words", "plural", "rows_told"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A sentence, a table under it, and what is said of the table: lines of text here, typeset elsewhere."""

    head: str
    leads: Sequence[str] = ()
    """lines between head and table"""
    heads: Sequence[str] = ()
    """of the table's columns; none where there is no table"""
    rows: Sequence[Sequence[str]] = ()
    """as many cells each as there are heads"""
    notes: Sequence[str] = ()
    """lines below the table"""

    @property
    def lines(self) -> list[str]:
        """The same as lines of text."""
        table = columns(self.heads, self.rows) if self.heads else []
        if not any(self.heads):
            table = table[1:]
        return [
            self.head,
            *(f"  {lead}" for lead in self.leads),
            *table,
            *(f"  {note}" for note in self.notes),
        ]


def columns(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table, each column as wide as it needs, indented by two.

    Parameters
    ----------
    heads : sequence of str
    rows : sequence of sequence of str
        As many cells each as there are heads.
    """
    widths = [max(len(cell) for cell in column) + 2 for column in zip(heads, *rows, strict=True)]
    return [
        ("  " + "".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True))).rstrip()
        for row in (heads, *rows)
    ]


def markdown_table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as Markdown.

    Parameters
    ----------
    heads : sequence of str
        Of its columns.
    rows : sequence of sequence of str
        Each as long as the heads.
    """
    return "\n".join(f"| {' | '.join(cells)} |" for cells in [heads, ["---"] * len(heads), *rows])


def grouped(rows: Iterable[tuple[int | str, Sequence[str]]]) -> list[list[str]]:
    """Lines that say the same as one, named by all their numbers.

    Parameters
    ----------
    rows : iterable of (number or name, cells)
    """
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, cells in rows:
        alike.setdefault(tuple(cells), []).append(str(name))
    return [[numbers_in_words(names), *cells] for cells, names in alike.items()]


def numbers_in_words(names: Sequence[str]) -> str:
    """Numbers in a list, runs of three and more as ``2 to 9``; what is no number stands as it is.

    Parameters
    ----------
    names : sequence of str
        Numbers rising.
    """
    runs: list[list[str]] = []
    for name in names:
        if runs and name.isdigit() and runs[-1][-1].isdigit() and int(name) == int(runs[-1][-1]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    told = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    return ", ".join(told)


def rows_told(names: Sequence[str]) -> str:
    """Rows by their numbers: ``row 3``, ``rows 2 to 9``.

    Parameters
    ----------
    names : sequence of str
        Numbers rising.
    """
    return f"row{'' if len(names) == 1 else 's'} {numbers_in_words(names)}"


def plural(count: int, what: str) -> str:
    """A count and what is counted: ``1 roll``, ``2 rolls``.

    Parameters
    ----------
    count : int
        [1]
    what : str
        Of which more than one take an s.
    """
    return f"{count} {what}{'' if count == 1 else 's'}"
