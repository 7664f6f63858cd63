"""Beside the corners of the face: three squares solved again, against an independent solution and the laws."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.light.corners import CornerMesh
from lumsim.light.direct import DirectLight
from lumsim.light.interior import Inside
from lumsim.light.lit_inside import light_inside
from lumsim.light.strips import ReturnsBesideFace, Squares, strips_of
from lumsim.light.surfaces import Surfaces, mesh_of
from lumsim.simulation import FINE, USUAL
from tests import cabinets

Array = NDArray[np.float64]

OFF_CORNER = np.array([1e-4, 5e-4, 1e-3, 2e-3, 3e-3, 5e-3, 1e-2, 2e-2])
"""Along the diagonal, off either return. [m]"""

# Twelve modules of 60 lm, 0.13 m apart from (0.1, 0.07), in 0.6 × 0.4 × 0.1 m. Derived by another program, which shares
# nothing with lumsim: area-to-area factors by contour integrals on two graded meshes down to 0.03 mm, extrapolated.
# Its own error is 0.1 to 0.3 % here.
INDEPENDENT = {
    (0.85, 0.0): (1211.9, 1223.3, 1234.6, 1253.9, 1271.2, 1303.0, 1377.6, 1535.0),
    (0.85, 0.4): (2067.2, 2096.8, 2121.9, 2160.5, 2192.2, 2245.9, 2357.5, 2560.6),
    (0.98, 0.5): (3785.4, 3834.4, 3872.3, 3926.7, 3969.0, 4036.9, 4167.0, 4381.8),
}
"""By the reflectance of back and returns, and of the face [lx]."""


def cabinet(walls: float, face: float, *, left: float | None = None) -> Cabinet:
    """Build that cabinet."""
    places = [(0.1 + 0.13 * i, 0.07 + 0.13 * j) for i in range(4) for j in range(3)]
    built = cabinets.listed(0.6, 0.4, 0.1, places, lumens=60.0)
    box = Box(
        width=0.6,
        height=0.4,
        depth=0.1,
        back_reflectance=walls,
        left_return_reflectance=walls if left is None else left,
        right_return_reflectance=walls,
        bottom_return_reflectance=walls,
        top_return_reflectance=walls,
    )
    return Cabinet(box=box, face=Face(transmittance=0.4, reflectance=face), groups=built.groups)


def light_at(given: Cabinet, x: Array, y: Array, *, patches_in_depth: int) -> Array:
    """All light at points of the face [lx]."""
    box = given.box
    inside = Inside(mesh_of(box.width, box.height, box.depth, patches_in_depth=patches_in_depth))
    direct = DirectLight(given.sources(), box.depth).illuminance(x, y)
    return direct + light_inside(given, inside).reflected().illuminance(x, y)


@pytest.mark.parametrize("patches_in_depth", [USUAL, FINE])
@pytest.mark.parametrize("reflectances", INDEPENDENT)
def test_light_beside_a_corner_is_that_of_an_independent_solution(
    reflectances: tuple[float, float], patches_in_depth: int
) -> None:
    """From a tenth of a millimetre off a corner to two centimetres, light is within 0.4 % of another program's."""
    found = light_at(cabinet(*reflectances), OFF_CORNER, OFF_CORNER, patches_in_depth=patches_in_depth)
    np.testing.assert_allclose(found, INDEPENDENT[reflectances], rtol=4e-3)
    np.testing.assert_allclose(found[-2:], INDEPENDENT[reflectances][-2:], rtol=5e-4)


def test_light_in_a_corner_does_not_hang_on_the_mesh() -> None:
    """Right in the corner, where a patch's mean was 2 % off, half as fine a mesh and a finer one agree to 0.3 %."""
    nowhere = np.zeros(1)
    found = [
        float(light_at(cabinet(0.85, 0.4), nowhere, nowhere, patches_in_depth=n)[0]) for n in (5, USUAL, FINE)
    ]
    assert max(found) / min(found) < 1.003
    near = light_at(cabinet(0.85, 0.4), np.array([1e-4]), np.array([1e-4]), patches_in_depth=USUAL)
    assert 0.97 * near[0] < found[1] < near[0]


def test_all_corners_of_a_mirrored_cabinet_are_alike() -> None:
    """In equal corners light is equal, by whichever of the four it is asked."""
    given = cabinets.in_rows(0.6, 0.4, 0.1, rows=3, modules=4)
    x, y = np.array([0.0, 1e-3, 4e-3]), np.array([0.0, 3e-3, 2e-3])
    corners = [
        light_at(given, at_x, at_y, patches_in_depth=6) for at_x in (x, 0.6 - x) for at_y in (y, 0.4 - y)
    ]
    for one in corners[1:]:
        np.testing.assert_allclose(one, corners[0], rtol=1e-7)


def test_a_darker_return_darkens_its_own_corners() -> None:
    """Beside a return of half the reflectance the corners are darker than those across."""
    given = cabinet(0.85, 0.4, left=0.4)
    off = np.full(2, 1e-3)
    dark = light_at(given, off, np.array([1e-3, 0.399]), patches_in_depth=6)
    bright = light_at(given, 0.6 - off, np.array([1e-3, 0.399]), patches_in_depth=6)
    assert (dark < 0.95 * bright).all()


def test_even_light_needs_no_correction() -> None:
    """Where all of a closed box of one reflectance is lit evenly, hardly anything is added beside a corner."""
    mesh = mesh_of(0.6, 0.4, 0.1, patches_in_depth=USUAL)
    layers = len(strips_of(mesh).z) - 1
    along = (mesh.columns, mesh.columns, mesh.rows, mesh.rows)
    returns = ReturnsBesideFace(*(np.full((layers, n), 0.6) for n in along))
    rho = Surfaces(*(np.asarray(0.6) for _ in range(6)))
    E = mesh.areas().each(np.ones_like)
    corner = CornerMesh(mesh)
    cells = len(corner.x.fine) - 1, len(corner.y.fine) - 1, len(corner.z.fine) - 1
    on_cells = Squares(*(np.full(shape, 0.4) for shape in (cells[1::-1], cells[2::-2], cells[:0:-1])))
    direct = E.each(lambda one: 0.4 * one)
    correction = corner.solved_again(E, direct, on_cells, returns, rho, right=True, top=False)
    assert correction.corrected
    off = np.array([1e-4, 1e-3, 5e-3, 1e-2])
    assert np.abs(correction.illuminance(off, off)).max() < 3e-3


def test_beyond_its_reach_a_correction_is_not_missed() -> None:
    """Where a correction ends, two patches from the corner, it has faded to a few parts in ten thousand."""
    given = cabinet(0.85, 0.4)
    inside = Inside(mesh_of(0.6, 0.4, 0.1, patches_in_depth=USUAL))
    lit = light_inside(given, inside)
    end = 2 * inside.mesh.step_x * np.array([0.9999, 1.0001])
    for y in (0.0, 1e-3, 5e-3, 2e-2):
        before, after = lit.reflected().illuminance(end, np.full(2, y))
        assert before == pytest.approx(after, rel=5e-4)


def test_light_too_uneven_for_the_squares_is_left_as_it_is() -> None:
    """Beside a module a millimetre off the face and the return nothing is corrected, and nothing is below nought."""
    given = cabinets.listed(0.2, 0.2, 0.06, [(0.004, 0.004), (0.1, 0.1)], z=np.array([0.058, 0.0]))
    inside = Inside(mesh_of(0.2, 0.2, 0.06, patches_in_depth=USUAL))
    light = light_inside(given, inside).reflected()
    assert light.error_at(0.0, 0.0, 0.4) > 0.03
    grid = np.linspace(0.0, 0.2, 81)
    assert light.on_grid(grid, grid).min() >= 0
