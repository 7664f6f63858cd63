"""Direct light on the patches: what interreflection starts from. Mean illuminance of each patch, exact in flux."""

from __future__ import annotations

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.light.patches_all_ways import AllWays
from lumsim.light.patches_one_way import OneWay
from lumsim.light.strips import DirectOnStrips, Squares
from lumsim.light.surfaces import Array, Mesh, Surfaces
from lumsim.light.upright import Upright, upright_terms

__all__ = ["DirectInside", "direct_on_patches"]


class DirectInside:
    """Direct light on the inside of a cabinet: as means over patches and over what is cut beside each face's edges.

    Modules of closed form that shine straight at the face or straight away from it are lit one way at a time; all
    others together.

    Parameters
    ----------
    mesh : Mesh
        Of its box.
    cabinet : Cabinet
    """

    def __init__(self, mesh: Mesh, cabinet: Cabinet) -> None:
        ahead, others = upright_terms(cabinet.sources())
        behind, rest = upright_terms(others.mirrored(mesh.depth))
        self._ways: dict[Side, OneWay] = {}
        if len(ahead) > 0:
            self._ways["front"] = OneWay(mesh, ahead)
        if len(behind) > 0:
            mirrored = cabinet.mirrored_faces
            self._ways["rear"] = self._ways["front"] if mirrored else OneWay(mesh, behind)
        self._mesh = mesh
        self._rest: dict[Side, AllWays] = {}
        if len(rest) > 0:
            self._rest["front"] = AllWays(mesh, rest.mirrored(mesh.depth))
            if cabinet.double_sided:
                self._rest["rear"] = AllWays(mesh, rest)

    def on_patches(self) -> Surfaces:
        """Mean illuminance of every patch. [lx]"""
        parts: list[Surfaces] = []
        ahead, behind = self._ways.get("front"), self._ways.get("rear")
        if ahead is not None:
            parts.append(ahead.on_patches())
        if behind is not None:
            parts.append((parts[0] if behind is ahead else behind.on_patches()).mirrored())
        if self._rest:
            parts.append(self._rest["front"].on_patches())
        return Surfaces(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

    def on_strips(self, side: Side) -> DirectOnStrips:
        """Mean illuminance of the strips beside the edges of the face on a side, as if it were at z = depth. [lx]"""
        parts: list[DirectOnStrips] = []
        near, far = self._near_and_far(side)
        if near is not None:
            parts.append(near.on_strips())
        if far is not None:
            # What shines the other way lights no face here, but the returns as far as it reaches.
            parts.append(far.behind_strips())
        if self._rest:
            parts.append(self._rest[side].on_strips())
        return DirectOnStrips(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

    def on_corner(self, side: Side, x: Array, y: Array, z: Array, *, right: bool, top: bool) -> Squares:
        """Mean illuminance of cells in a corner of the face on a side, as if it were at z = depth. [lx]

        Parameters
        ----------
        side : {"front", "rear"}
        x, y, z : rising arrays from 0
            Where cells meet, off the corner and off the face. [m]
        right, top : bool
            Which corner, as seen from in front.
        """
        parts: list[Squares] = []
        near, far = self._near_and_far(side)
        if near is not None:
            parts.append(near.on_corner(x, y, z, right=right, top=top))
        if far is not None:
            parts.append(
                Squares(np.zeros((len(y) - 1, len(x) - 1)), *far.behind_corner(x, y, z, right=right, top=top))
            )
        if self._rest:
            parts.append(self._rest[side].on_corner(x, y, z, right=right, top=top))
        return Squares(*(sum(arrays[1:], arrays[0]) for arrays in zip(*parts, strict=True)))

    def _near_and_far(self, side: Side) -> tuple[OneWay | None, OneWay | None]:
        """What shines straight at the face on a side, and what shines straight away from it."""
        other: Side = "rear" if side == "front" else "front"
        return self._ways.get(side), self._ways.get(other)


def direct_on_patches(mesh: Mesh, upright: Upright) -> Surfaces:
    """Mean direct illuminance of every patch from what shines straight at the face, in lux; 0 on the back.

    Parameters
    ----------
    mesh : Mesh
    upright : Upright
        [m, lm]
    """
    return OneWay(mesh, upright).on_patches()
