"""lumsim beside a general-purpose path tracer: each cell of each face, the whole of them, their mean.

The tracer's noise is a few thousandths in a cell, some ten-thousandths in the mean of a face. Seeds are fixed, so
that a run repeats.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

pytest.importorskip("mitsuba")

from lumsim.beams.closed import CosinePower
from tests.cabinets import in_rows
from tests.path_tracer.cases import CASES, CELLS
from tests.path_tracer.measured import Comparison
from tests.path_tracer.opinions import AFRESH, by_lumsim, opinions
from tests.path_tracer.photograph import photograph

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("name", CASES)
def test_every_cell_is_within_three_standard_errors(name: str) -> None:
    """The mean of every cell is within three standard errors.

    Of the cells of all faces one or so is beyond by chance alone (one in 370), with any seed. Such a cell is measured
    again by fresh paths, and must be within three standard errors then.
    """
    found = opinions(name)
    assert found.measured.relative_error < 4e-3
    beyond = np.abs(found.differences) > 3
    assert beyond.sum() <= 3
    if beyond.any():
        afresh = opinions(name, seed=AFRESH)
        assert np.abs(afresh.differences[beyond]).max() <= 3


@pytest.mark.parametrize("name", CASES)
def test_the_cells_together_differ_as_noise_does(name: str) -> None:
    """The chi-square of all cells is neither improbably large nor improbably small."""
    assert opinions(name).probability > 0.001


@pytest.mark.parametrize("name", CASES)
def test_the_mean_of_the_face_is_within_three_standard_errors(name: str) -> None:
    """The mean of all cells, whose noise is an eighth of theirs, is within three of its standard errors."""
    found = opinions(name)
    assert abs(found.mean_difference) <= 3 * found.mean_error
    assert found.mean_error < 5e-4


def test_a_back_one_hundredth_darker_would_be_told_apart() -> None:
    """The comparison can fail: with 0.84 in place of 0.85 for the back alone, cells and mean are far from chance."""
    white = CASES["white"]
    box = replace(white.cabinet.box, back_reflectance=0.84)
    darker = replace(white, cabinet=replace(white.cabinet, box=box))
    found = Comparison(computed=by_lumsim(darker), measured=opinions("white").measured)
    assert found.probability < 1e-6
    assert found.mean_difference < -10 * found.mean_error


@pytest.mark.parametrize("axis", [0, 1])
def test_a_face_seen_in_a_mirror_would_be_told_apart(axis: int) -> None:
    """The comparison can fail: left for right, or top for bottom, no cell would agree but by accident."""
    name = "four unequal returns"
    found = Comparison(computed=np.flip(by_lumsim(CASES[name]), axis), measured=opinions(name).measured)
    assert found.largest > 50


def test_what_cannot_be_traced_is_refused() -> None:
    """Beams other than Lambertian, and a black face in a white box, are refused and not traced wrongly."""
    narrow = in_rows(0.9, 0.6, 0.15, rows=3, modules=4, beam=CosinePower(exponent=2.0))
    with pytest.raises(ValueError, match="only Lambertian"):
        photograph(narrow, CELLS, batches=2, samples=1, seed=1)
    white = CASES["white"].cabinet
    black_face = replace(white, face=replace(white.face, reflectance=0.0))
    with pytest.raises(ValueError, match="a black face"):
        photograph(black_face, CELLS, batches=2, samples=1, seed=1)
