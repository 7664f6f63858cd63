"""The inside of a box: what its sizes alone fix, computed once and kept for every layout and reflectance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from lumsim.cabinet.box import Box
from lumsim.errors import TooLargeError
from lumsim.light.corners import CornerMesh
from lumsim.light.exchange import Exchange
from lumsim.light.gathering import Gathering
from lumsim.light.surfaces import Mesh, mesh_of

__all__ = ["Inside", "Interior", "at_depth", "interior_of"]

LEAST_IN_DEPTH = 4
"""Patches in the depth of a box, at least: max/min is then still good to a per cent. [1]"""


class Inside:
    """All that one mesh of a box's inside fixes, each part computed when it is first asked for."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh

    @cached_property
    def exchange(self) -> Exchange:
        """What each patch sends to each other."""
        return Exchange(self.mesh)

    @cached_property
    def gathering(self) -> Gathering:
        """How the light of each surface reaches the face."""
        return Gathering(self.mesh)

    @cached_property
    def corner(self) -> CornerMesh:
        """The cells that a corner of the face is solved again in."""
        return CornerMesh(self.mesh)


@dataclass(frozen=True, slots=True, kw_only=True)
class Interior:
    """The inside of one box at two finenesses: one to answer by, one to tell how exact the answer is.

    It depends on the box's sizes alone: any layout of modules and any reflectances in that box may use it.
    """

    fine: Inside
    coarse: Inside
    """half as many patches each way"""


def interior_of(box: Box, *, patches_in_depth: int) -> Interior:
    """Compute the exchange of a box, as finely as asked or, in a very large and shallow box, as memory allows.

    Parameters
    ----------
    box : Box
    patches_in_depth : int
        How fine, see ``surfaces.mesh_of``; even. [1]

    Raises
    ------
    TooLargeError
        Where even ``LEAST_IN_DEPTH`` patches in the depth are too many.
    """
    count = patches_in_depth
    while True:
        try:
            mesh = mesh_of(box.width, box.height, box.depth, patches_in_depth=count)
            break
        except TooLargeError:
            if count <= LEAST_IN_DEPTH:
                raise
            count = max(LEAST_IN_DEPTH, count - 2)
    coarse = mesh_of(box.width, box.height, box.depth, patches_in_depth=count // 2)
    return Interior(fine=Inside(mesh), coarse=Inside(coarse))


def at_depth(inside: Inside, depth: float) -> Inside:
    """The inside of a box of another depth, cut into the same patches, only deeper or shallower.

    A mesh of its own might have a row of patches more: between depths that are held against each other its error would
    jump.

    Parameters
    ----------
    inside : Inside
    depth : float
        Not far from its own. [m]
    """
    mesh = inside.mesh
    if depth == mesh.depth:
        return inside
    z = tuple(one * depth / mesh.depth for one in mesh.z[:-1])
    return Inside(replace(mesh, depth=depth, z=(*z, depth)))
