"""The inside of a box at two finenesses."""

from __future__ import annotations

from lumsim.cabinet.box import Box
from lumsim.light.interior import interior_of


def test_an_interior_is_two_meshes_of_one_box() -> None:
    """The interior of a box holds its exchange as fine as asked and half as fine."""
    interior = interior_of(Box(width=0.5, height=0.4, depth=0.1), patches_in_depth=16)
    fine, coarse = interior.fine.mesh, interior.coarse.mesh
    assert (fine.columns, coarse.columns) == (80, 40)
    assert (fine.width, fine.height, fine.depth) == (coarse.width, coarse.height, coarse.depth)
