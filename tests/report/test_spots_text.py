"""Spots are told as what they are: the brightest place is no fault where it is the face's only peak."""

from __future__ import annotations

import numpy as np

from lumsim.report.spots_text import spot_lines
from lumsim.simulation import simulate
from tests import cabinets
from tests.cabinets import DIRECT


def test_a_bright_middle_is_no_hot_spot() -> None:
    """One module makes one peak, which text does not list as a spot; its dark corners it does."""
    lit = simulate(cabinets.listed(0.5, 0.4, 0.1, [(0.1, 0.3)]), lighting=DIRECT).front
    assert lit.spots.lone_peak(lit.evenness)
    assert len(lit.spots.hot) == 1
    lines = spot_lines(lit, "mm")
    assert "No hot spot of contrast 2.0 % or more beside the brightest place" in lines
    assert any(line.startswith("Dark spots ") for line in lines)


def test_the_brightest_of_several_spots_is_told_against_the_darkest() -> None:
    """Of two modules that light two peaks the brighter is held against the darkest place, the other by its contrast."""
    cabinet = cabinets.listed(0.8, 0.3, 0.08, [(0.2, 0.1), (0.6, 0.2)], lumens=np.array([100.0, 60.0]))
    lit = simulate(cabinet, lighting=DIRECT).front
    first, second = (spot for spot in lit.spots.hot)
    assert not lit.spots.lone_peak(lit.evenness)
    lines = spot_lines(lit, "mm")
    at = next(number for number, line in enumerate(lines) if line.startswith("Hot spots"))
    assert lines[at].endswith("(2)")
    assert lines[at + 1].startswith("  1 ")
    assert f"the brightest place, {first.contrast:.0%} against the darkest" in lines[at + 1].replace(
        " %", "%"
    )
    assert lines[at + 2].startswith("  2 ")
    assert f"contrast {second.contrast:.0%}" in lines[at + 2].replace(" %", "%")


def test_text_lists_as_many_as_a_picture_numbers_and_counts_the_rest() -> None:
    """Of many spots six are listed, in their order, with the count of those left out."""
    lit = simulate(cabinets.in_rows(1.2, 0.6, 0.05, rows=3, modules=6), lighting=DIRECT).front
    lines = spot_lines(lit, "mm")
    at = next(number for number, line in enumerate(lines) if line.startswith("Hot spots"))
    listed = lines[at + 1 : at + 7]
    assert [line.split()[0] for line in listed] == ["1", "2", "3", "4", "5", "6"]
    assert lines[at + 7] == f"  and {len(lit.spots.hot) - 6} more"
