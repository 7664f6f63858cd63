"""The picture of a face that is lit from the returns."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.lines import Line2D

from lumsim.pictures.writing import picture_bytes
from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text
from tests.cli.called import SMALL
from tests.pictures.face_drawn import axes_of, drawn

EDGES = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1\ntilt = "-10 deg"', 1).replace(
    "[requirement]", '[[rows]]\non = "top"\ncount = 1\nmodule_count = 3\n\n[requirement]', 1
)
"""The small study, 12 by 16 in, with four modules on its left return and three on its top one."""


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_modules_on_returns_are_marked_on_the_edge(suffix: str) -> None:
    """Each module stands where its return is, left of the face or above it, and the picture can be written."""
    figure = drawn(answer(study_from_text(EDGES), direct_only=True))
    face = axes_of(figure, "face")
    marked = [
        line for line in face.get_lines() if isinstance(line, Line2D) and np.size(line.get_xdata()) == 7
    ]
    (modules,) = marked
    x, y = np.asarray(modules.get_xdata()), np.asarray(modules.get_ydata())
    np.testing.assert_allclose(x[:4], 0, atol=1e-9)
    np.testing.assert_allclose(y[:4], [2, 6, 10, 14], rtol=1e-9)
    np.testing.assert_allclose(y[4:], 16, rtol=1e-9)
    np.testing.assert_allclose(x[4:], [2, 6, 10], rtol=1e-9)
    assert len(picture_bytes(figure, suffix)) > 1000
