"""The [tolerance] table: what it may say, and what is refused."""

from __future__ import annotations

import pytest

from lumsim.search.spread import Spread
from lumsim.study.reading import study_from_text
from tests.study.written import SIGN, problem

TABLE = """
[tolerance]
signs = 250
seed = 7
flux_scatter = 0.04
placing = "1/8 in"
row_sag = "3 mm"
depth = "1/16 in"
bow = "1/4 in"
dead_modules = 2
"""


def test_a_table_is_read_whole() -> None:
    """Every key is there in SI; without the table nothing differs."""
    asked = study_from_text(SIGN + TABLE).tolerance
    assert (asked.signs, asked.seed) == (250, 7)
    assert asked.spread == Spread(
        flux_scatter=0.04,
        placing=0.003175,
        row_sag=0.003,
        depth=0.0015875,
        bow=0.00635,
        dead_modules=2,
    )
    plain = study_from_text(SIGN).tolerance
    assert (plain.signs, plain.seed, plain.spread.any) == (1000, 1, False)


@pytest.mark.parametrize(
    ("line", "key", "told"),
    [
        ("flux_scatter = 0.6", "flux_scatter", "0 or more and at most 0.5"),
        ("flux_scatter = -0.1", "flux_scatter", "0 or more and at most 0.5"),
        ("placing = 3", "placing", "a length needs its unit and quotes"),
        ('placing = "-3 mm"', "placing", "must be 0 or more"),
        ('row_sag = "3 in"', "row_sag", "more than a quarter of the least throw"),
        ('depth = "2 in"', "depth", "more than a quarter of the least throw"),
        ('depth = "1 in"\nbow = "1 in"', "bow", "depth and bow together, 50.8 mm"),
        ("dead_modules = 36", "dead_modules", "leaves none of the 36 modules lit"),
        ("dead_modules = 1.5", "dead_modules", "must be a whole number"),
        ("signs = 0", "signs", "1 or more"),
        ("sign = 10", "sign", "did you mean signs"),
    ],
)
def test_what_does_not_fit_is_refused_by_its_key(line: str, key: str, told: str) -> None:
    """Each in words, at its key."""
    found = problem(f"{SIGN}\n[tolerance]\n{line}\n")
    assert found.key == f"tolerance.{key}"
    assert told in found.text


def test_a_sag_without_rows_that_sag_is_refused() -> None:
    """Vertical rows hang along themselves."""
    text = SIGN.replace('pitch = "8 in"', 'pitch = "8 in"\ndirection = "vertical"')
    found = problem(f'{text}\n[tolerance]\nrow_sag = "3 mm"\n')
    assert found.key == "tolerance.row_sag"
    assert "no row of this cabinet sags" in found.text
