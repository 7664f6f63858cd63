"""The inside of a cabinet lit: modules → patches → balance → the light thrown back at one face or two."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.light.corners import AtCorner
from lumsim.light.edges import returns_beside_face
from lumsim.light.gathering import ReflectedLight
from lumsim.light.interior import Inside
from lumsim.light.interreflection import RESIDUAL, Interreflection, interreflect, reflectances
from lumsim.light.mirrors import mirrored
from lumsim.light.patch_light import DirectInside
from lumsim.light.surfaces import Surfaces

__all__ = ["LitInside", "light_inside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LitInside:
    """All light on the inside of a cabinet, for however many faces."""

    inside: Inside
    reflectance: Surfaces
    """one each, arrays of no dimension [1]"""
    direct_light: DirectInside
    direct: Surfaces
    """mean direct illuminance of each patch [lx]"""
    balanced: Interreflection

    def reflected(self, side: Side = "front") -> ReflectedLight:
        """The light that the cabinet throws back at the face on a side: patches → face.

        The rear face is lit as the front would be in a mirror midway along the depth.

        Parameters
        ----------
        side : {"front", "rear"}
        """
        E, direct, rho = self.balanced.illuminance, self.direct, self.reflectance
        if side == "rear":
            E, direct = E.mirrored(), direct.mirrored()
            rho = rho._replace(back=rho.face, face=rho.back)
        returns = returns_beside_face(self.inside.mesh, E, direct, self.direct_light.on_strips(side), rho)

        in_x, in_y = mirrored(E, rho)

        @cache
        def solved(right: bool, top: bool) -> AtCorner:  # noqa: FBT001
            cells = self.inside.corner
            on_cells = self.direct_light.on_corner(
                side, cells.x.fine, cells.y.fine, cells.z.fine, right=right, top=top
            )
            return cells.solved_again(E, direct, on_cells, returns, rho, right=right, top=top)

        def corner(right: bool, top: bool) -> AtCorner:  # noqa: FBT001
            # Corners in mirror image are solved once.
            return solved(right and not in_x, top and not in_y)

        return self.inside.gathering.light(rho.back * E.back, returns, corner, mirrored=(in_x, in_y))


def light_inside(cabinet: Cabinet, inside: Inside, *, residual: float = RESIDUAL) -> LitInside:
    """Light the inside of a cabinet: modules → patches → balance of what they throw back.

    Parameters
    ----------
    cabinet : Cabinet
    inside : Inside
        Of its box.
    residual : float
        As for ``interreflection.interreflect``. [1]
    """
    rho = reflectances(cabinet)
    direct_light = DirectInside(inside.mesh, cabinet)
    direct = direct_light.on_patches()
    return LitInside(
        inside=inside,
        reflectance=rho,
        direct_light=direct_light,
        direct=direct,
        balanced=interreflect(inside.exchange, direct, rho, residual=residual),
    )
