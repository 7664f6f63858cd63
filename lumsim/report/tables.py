"""Tables as CSV: floats to nine significant digits, yes and no as 1 and 0, lists with spaces between."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

__all__ = ["table_bytes"]


def table_bytes(names: Sequence[str], lines: Iterable[Mapping[str, object]]) -> bytes:
    """A table with a heading.

    Parameters
    ----------
    names : sequence of str
        Of its columns.
    lines : iterable of mapping
        What stands under each name; left empty where a line has no such name.
    """
    table = io.StringIO()
    writer = csv.DictWriter(table, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: _cell(value) for name, value in line.items()} for line in lines)
    return table.getvalue().encode()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(int(value))
    if isinstance(value, list):
        return " ".join(_cell(one) for one in value)
    return f"{value:.9g}" if isinstance(value, float) else str(value)
