"""Real modules in a box against photons counted one by one (`pytest -m slow tests/photons`)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text
from tests.photons.cases import BOX, CASES, FILE, file_text
from tests.photons.tracer import count

CELLS = (12, 6)
SAMPLES = 96
"""Of lumsim's light in each cell, each way. [1]"""


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_the_face_has_the_light_that_photons_bring(name: str, tmp_path: Path) -> None:
    """Mean, cells and what modules keep agree with counted photons to what their number is good for.

    The mean within four standard errors, the cells' root of mean squares within what ten batches scatter.
    """
    case = CASES[name]()
    (tmp_path / FILE).write_text(file_text(), encoding="utf-8")
    lit = answer(study_from_text(case.study, folder=tmp_path))
    columns, rows = CELLS
    x, y = (
        (np.arange(n * SAMPLES) + 0.5) / (n * SAMPLES) * extent
        for n, extent in ((columns, BOX.size[0]), (rows, BOX.size[1]))
    )
    assert lit.front.reflected is not None
    E = lit.front.direct.illuminance(*np.meshgrid(x, y)) + lit.front.reflected.on_grid(x, y)
    E = E.reshape(rows, SAMPLES, columns, SAMPLES).mean(axis=(1, 3))
    counted = count(BOX, case.sources, photons=2_000_000, cells=CELLS, seed=11)
    brought, error = counted.illuminance * case.lumens, counted.standard_error * case.lumens
    off_mean = (E.mean() - brought.mean()) / (np.sqrt(np.sum(error**2)) / E.size)
    assert abs(off_mean) < 4
    # Of ten batches' standard errors the squares scatter about 9/7, and their mean over 72 cells by some 0.3.
    assert np.sqrt(np.mean(((E - brought) / error) ** 2)) < 1.6
    assert lit.ledger.absorbed_modules / case.lumens == pytest.approx(counted.absorbed, abs=1.5e-3)
