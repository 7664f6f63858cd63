"""The table that shows lumsim against every number from outside: ``python -m tests.published.table``.

One line for each family, in Markdown, with the member that lies furthest off against what its digits allow.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from tests.published import (
    by_lumsim,
    electrical_by_lumsim,
    limits_by_lumsim,
    photometric_by_lumsim,
    reflected_by_lumsim,
    seeing_by_lumsim,
    values,
)
from tests.published.values import Published

CHECKS = {
    **by_lumsim.CHECKS,
    **reflected_by_lumsim.CHECKS,
    **photometric_by_lumsim.CHECKS,
    **seeing_by_lumsim.CHECKS,
    **limits_by_lumsim.CHECKS,
    **electrical_by_lumsim.CHECKS,
}


def read_published() -> list[Published]:
    """Every number from outside: light, light thrown back, photometric files, what is seen and allowed, wire."""
    files = (
        "values.toml",
        "reflected.toml",
        "photometric.toml",
        "seeing.toml",
        "limits.toml",
        "electrical.toml",
    )
    return [one for file in files for one in values.read_published(file)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One number from outside beside lumsim's."""

    published: Published
    got: float

    @property
    def off(self) -> float:
        """How far lumsim is off, against what the printed digits allow [1]."""
        return abs(self.got - self.published.expected) / self.published.tolerance


def rows() -> Iterator[Row]:
    """Every number that lumsim can compute, beside lumsim's own."""
    for published in read_published():
        if published.check is not None:
            yield Row(published=published, got=CHECKS[published.check](**published.parameters))


def _shown(got: float, printed: str) -> str:
    """Write lumsim's number with one digit more than was printed."""
    decimals = len(printed.partition(".")[2])
    shown = f"{got:.{decimals + 1}f}"
    return shown.removeprefix("0") if printed.startswith(".") else shown


def markdown() -> Iterator[str]:
    """The table's lines."""
    yield "| check | source (mark) | numbers | furthest off | printed | lumsim |"
    yield "|---|---|---|---|---|---|"
    for _, members in groupby(rows(), key=lambda row: row.published.family):
        family = list(members)
        worst = max(family, key=lambda row: row.off)
        one = worst.published
        unit = "" if one.unit == "1" else f" {one.unit}"
        source = one.source if one.source.startswith(one.mark) else f"{one.source} ({one.mark})"
        yield (
            f"| {one.what} | {source} | {len(family)} | {one.key} | {one.printed}{unit} "
            f"| {_shown(worst.got, one.printed)}{unit} |"
        )


if __name__ == "__main__":
    sys.stdout.write("\n".join(markdown()) + "\n")
