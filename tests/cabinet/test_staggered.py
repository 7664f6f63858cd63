"""Staggered rows: each row's modules stand midway between those of the rows beside it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from lumsim.beams.closed import LAMBERTIAN
from lumsim.beams.tables import Table
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.modules import Module
from lumsim.cabinet.orientation import Direction
from lumsim.cabinet.places import listed, place
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError
from lumsim.light.symmetry import sources_in_mirror
from lumsim.simulation import ALL_LIGHT, Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from tests import cabinets
from tests.cabinets import DIRECT

TABLE = Table(angles=(0.0, 0.5, 1.0, 1.5), values=(1.0, 1.2, 0.5, 0.0))
BOTH_WAYS = pytest.mark.parametrize("direction", ["horizontal", "vertical"])


def rows(**changes: Any) -> Rows:
    """Three staggered rows of four modules in 1.2 × 0.9 m: 300 mm on centre both ways."""
    laid = Rows(
        module=Module(name="one", lumens=100.0),
        direction="horizontal",
        rows=place(Fraction(9, 10), count=3),
        modules=place(Fraction(6, 5), count=4),
        staggered=True,
    )
    return replace(laid, **changes)


def one_by_one(cabinet: Cabinet) -> Cabinet:
    """Return the same cabinet with its modules listed."""
    (group,) = cabinet.groups
    return replace(cabinet, groups=(ListedModules(direction=group.direction, placed=group.emitters()),))


def test_rows_move_a_quarter_of_the_module_pitch_to_either_side() -> None:
    """Of 300 mm on centre 75 mm: rows 1 and 3 to the right, row 2 to the left, all else as it was."""
    got, straight = rows().emitters(), rows(staggered=False).emitters()
    np.testing.assert_allclose(got.x - straight.x, np.repeat([0.075, -0.075, 0.075], 4), atol=1e-15)
    np.testing.assert_array_equal(got.y, straight.y)
    np.testing.assert_array_equal(got.z, straight.z)
    assert rows().first_modules == (Fraction(9, 40), Fraction(3, 40), Fraction(9, 40))
    assert rows().last_modules == (Fraction(3, 40), Fraction(9, 40), Fraction(3, 40))
    assert len(got) == 12


def test_vertical_rows_move_up_and_down() -> None:
    """Along the row is then the height, and rows are counted from the left."""
    up = rows(
        direction="vertical", rows=place(Fraction(6, 5), count=3), modules=place(Fraction(9, 10), count=3)
    )
    np.testing.assert_allclose(
        up.emitters().y, [0.225, 0.525, 0.825, 0.075, 0.375, 0.675, 0.225, 0.525, 0.825]
    )


def test_neighbouring_rows_are_half_a_module_pitch_apart() -> None:
    """The modules of a row stand midway between those of the row beside it."""
    x = rows().emitters().x.reshape(3, 4)
    np.testing.assert_allclose((x[0, :-1] + x[0, 1:]) / 2, x[1, 1:], atol=1e-15)


def test_a_single_row_stays_in_the_middle() -> None:
    """It has none beside it; a search may come by."""
    assert rows(rows=place(Fraction(9, 10), count=1)).shifts == (Fraction(0),)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"modules": place(Fraction(6, 5), count=1)}, "two modules or more"),
        ({"modules": listed(Fraction(6, 5), [0.2, 0.5, 1.0])}, "evenly spaced"),
        ({"on": "bottom"}, "bottom return cannot be staggered"),
        ({"modules": place(Fraction(6, 5), count=5, edge_distance=0.05)}, "past it"),
    ],
)
def test_what_cannot_be_staggered_is_refused(changes: dict[str, Any], what: str) -> None:
    """No module pitch, a return, and modules that would be past one."""
    with pytest.raises(InputError, match=what):
        rows(**changes)


def test_a_quarter_of_the_pitch_just_fits() -> None:
    """The outermost modules then stand right at the returns."""
    laid = rows(modules=place(Fraction(6, 5), count=4, pitch=Fraction(12, 35)))
    assert min(laid.first_modules) == min(laid.last_modules) == 0
    assert laid.emitters().x.min() == 0.0


@BOTH_WAYS
@pytest.mark.parametrize(
    ("beam", "lighting"),
    [
        pytest.param(LAMBERTIAN, DIRECT, id="closed form-direct"),
        pytest.param(TABLE, DIRECT, id="table-direct"),
        pytest.param(TABLE, Lighting(patches_in_depth=4), id="table-all"),
        pytest.param(LAMBERTIAN, ALL_LIGHT, id="closed form-all", marks=pytest.mark.slow),
    ],
)
def test_light_is_that_of_the_same_modules_listed(
    direction: Direction, beam: Any, lighting: Lighting
) -> None:
    """Rows by curves, symmetry and patches know no lattice: staggered or listed, every number is the same to 1e-12."""
    laid = cabinets.in_rows(0.8, 0.5, 0.1, rows=4, modules=5, direction=direction, beam=beam, staggered=True)
    window = Requirement(stripe_window=laid.stripe_window)
    one, other = (
        simulate(laid, window, lighting=lighting),
        simulate(one_by_one(laid), window, lighting=lighting),
    )
    np.testing.assert_allclose(one.luminance.values, other.luminance.values, rtol=1e-12)
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming", "coefficient_of_variation", "mean"):
        assert getattr(one.evenness, name) == pytest.approx(getattr(other.evenness, name), rel=1e-12), name
    assert one.ledger == other.ledger


def test_light_is_the_sum_of_that_of_each_module() -> None:
    """The face's light against the inverse-square law written out for each place, no lumsim between."""
    laid = cabinets.in_rows(0.8, 0.5, 0.1, rows=4, modules=5, staggered=True)
    face = simulate(laid, lighting=DIRECT).luminance
    x, y = np.meshgrid(face.x, face.y)
    wanted = np.zeros_like(x)
    for row in range(4):
        for module in range(5):
            at_x = 0.16 * (module + 0.5) + (0.04 if row % 2 == 0 else -0.04)
            at_y = 0.125 * (row + 0.5)
            wanted += 100 / np.pi * 0.1**2 / ((x - at_x) ** 2 + (y - at_y) ** 2 + 0.01) ** 2
    shape = wanted / wanted.mean()
    np.testing.assert_allclose(face.values / face.values.mean(), shape, rtol=2e-5)


def test_an_odd_number_of_rows_is_mirrored_across_them_and_not_along() -> None:
    """Three staggered rows are their own mirror image top to bottom only; four are so neither way."""
    for count, across in ((3, True), (4, False)):
        sources = cabinets.in_rows(0.8, 0.6, 0.1, rows=count, modules=5, staggered=True).sources()
        assert not sources_in_mirror(sources, 0, 0.8)
        assert sources_in_mirror(sources, 1, 0.6) is across


def test_staggered_rows_are_more_even_where_modules_show() -> None:
    """Modules as far apart as the rows, 1.5 throws: midway between them lie the dark spots that stagger fills."""
    straight, staggered = (
        simulate(
            cabinets.in_rows(1.5, 1.5, 0.1, rows=10, modules=10, staggered=staggered), lighting=DIRECT
        ).evenness.stripe_max_to_min
        for staggered in (False, True)
    )
    assert staggered < straight - 0.05
