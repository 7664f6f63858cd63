"""A whole answer beside the obvious way to max/min alone (`pytest tests/benchmarks --benchmark-enable`).

The cabinet is 96 by 48 in with 100 Lambertian modules. The obvious way is the plain NumPy loop over a map so
fine that its samples miss max/min by less than 1 part in 10 000, as the answer does: a step of a fortieth of
the throw. No time is asserted; that both agree is.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.simulation import simulate
from tests.benchmarks.loops import by_hand
from tests.cabinets import DIRECT

INCH = Fraction(254, 10_000)
ONE_PART_IN_10_000 = 1e-4


def cabinet() -> Cabinet:
    """96 × 48 × 5 in, 5 rows of 20 modules on the back, 1 in border."""
    rows = Rows(
        module=Module(name="standard", lumens=90.0),
        direction="horizontal",
        rows=place(48 * INCH, count=5),
        modules=place(96 * INCH, count=20),
    )
    return Cabinet(
        box=Box(width=float(96 * INCH), height=float(48 * INCH), depth=float(5 * INCH)),
        face=Face(transmittance=0.4, reflectance=0.4, visible_border=float(INCH)),
        groups=(rows,),
    )


def whole_answer(given: Cabinet) -> float:
    """Everything that is told of a face; max/min of it."""
    lit = simulate(given, lighting=DIRECT)
    assert (lit.error.max_to_min, lit.spots.least_contrast) > (0, 0)
    return lit.evenness.max_to_min


def by_a_fine_map(given: Cabinet) -> float:
    """Max/min from a map alone, by the plain NumPy loop."""
    emitters, part = given.emitters(), given.visible
    throw = given.box.depth - emitters.z
    x, y = np.meshgrid(
        np.linspace(part.x0, part.x1, round(40 * part.width / throw[0]) + 1),
        np.linspace(part.y0, part.y1, round(40 * part.height / throw[0]) + 1),
    )
    c = emitters.flux / np.pi / throw**2
    E = by_hand(2.0)(x.ravel(), y.ravel(), emitters.x, emitters.y, throw, c)
    return float(E.max() / E.min())


@pytest.mark.parametrize("way", [whole_answer, by_a_fine_map], ids=["whole answer", "fine map"])
def test_a_whole_answer(benchmark: BenchmarkFixture, way: object) -> None:
    """The whole answer's max/min is that of a map fine to a fortieth of the throw, to 1 part in 10 000."""
    given = cabinet()
    benchmark.group = "96 by 48 in, 100 modules"
    assert callable(way)
    found = benchmark(way, given)
    assert found == pytest.approx(whole_answer(given), rel=ONE_PART_IN_10_000)
    assert found == pytest.approx(by_a_fine_map(given), rel=ONE_PART_IN_10_000)
