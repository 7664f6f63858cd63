"""From the light inside to the numbers of each face: one state of a cabinet by one mesh, nothing judged yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.errors import InputError
from lumsim.light.direct import DirectLight, flux_on
from lumsim.light.face_grid import face_grid
from lumsim.light.gathering import ReflectedLight
from lumsim.light.interior import Interior
from lumsim.light.lit_inside import LitInside, light_inside
from lumsim.photometry import face_luminance
from lumsim.uniformity.evenness import Evenness, evenness
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.prominence import RowsRun
from lumsim.uniformity.requirement import Requirement

__all__ = ["SeenFace", "WholeLight", "light_on_face", "whole_light"]


def light_on_face(
    cabinet: Cabinet,
    reflected: ReflectedLight | None = None,
    *,
    side: Side = "front",
    samples_per_detail: float = 4.0,
    exact_mean: bool = True,
) -> FaceMap:
    """Luminance of the visible face: light behind it → luminance in front of it.

    Parameters
    ----------
    cabinet : Cabinet
    reflected : ReflectedLight, optional
        On that face. None: direct light only.
    side : {"front", "rear"}
        Which face.
    samples_per_detail : float
        How fine the face is sampled, see ``light.face_grid``. [1]
    exact_mean : bool
        Integrate the mean to 1e-4 beside returns too; else it is the samples'.

    Raises
    ------
    InputError
        Where no light at all gets to that face.
    """
    sources, part, depth = cabinet.sources(side), cabinet.visible_on(side), cabinet.box.depth
    transmittance = cabinet.face_on(side).outward_transmittance
    direct = DirectLight(sources, depth)
    grid = face_grid(part, sources, depth, samples_per_detail=samples_per_detail)

    def luminance(x: Array, y: Array) -> Array:
        E = direct.illuminance(x, y)
        if reflected is not None:
            E = E + reflected.illuminance(x, y)
        return face_luminance(E, transmittance)

    E = direct.on_lattice(grid.x, grid.y)
    if reflected is not None:
        E = E + reflected.on_grid(grid.x, grid.y)
    if not E.any():
        raise InputError(
            f"the {side} face stays dark: no module shines that way (front_share), and "
            + ("light thrown back is left out" if reflected is None else "nothing inside throws light back")
        )
    if not (E > 0).all():
        dark = np.argwhere(E <= 0)
        at_y, at_x = grid.y[dark[0, 0]], grid.x[dark[0, 1]]
        raise InputError(
            f"{100 * len(dark) / E.size:.2g} % of the {side} face gets no "
            + ("direct light" if reflected is None else "light")
            + f" (at x = {1000 * at_x:.4g} mm, y = {1000 * at_y:.4g} mm, for one), so that max/min has no value: "
            + ("follow the light thrown back too, or " if reflected is None else "")
            + "aim modules so that some light gets everywhere"
        )
    mean = None
    if reflected is not None and exact_mean:
        # Beside a return light rises too steeply for the samples' mean to be exact to 1e-4.
        straight = flux_on(sources, depth, part) / part.area
        mean = face_luminance(straight + reflected.mean(part), transmittance)
    return FaceMap(
        x=grid.x,
        y=grid.y,
        values=face_luminance(E, transmittance),
        at=luminance,
        detail=grid.detail,
        mean=mean,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFace:
    """One face lit, and every number asked of it."""

    reflected: ReflectedLight | None
    """None: direct light only"""
    luminance: FaceMap
    """of its visible part [cd/m²]"""
    evenness: Evenness


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeLight:
    """One state of a cabinet lit by the fine mesh: what its numbers are taken from."""

    inside: LitInside | None
    """None: direct light only"""
    faces: Mapping[Side, SeenFace]
    """those that must be looked at"""


def whole_light(
    cabinet: Cabinet,
    requirement: Requirement,
    interior: Interior | None,
    *,
    samples_per_detail: float = 4.0,
) -> WholeLight:
    """Light a cabinet by the fine mesh, and ask its faces for every number.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement
        For the stripe window that it may name.
    interior : Interior, optional
        Of its box. None: direct light only.
    samples_per_detail : float
        How fine a face is sampled, see ``light.face_grid``. [1]

    Raises
    ------
    InputError
        Where no light at all gets to a face.
    """
    inside = None if interior is None else light_inside(cabinet, interior.fine)
    rows = RowsRun(direction=cabinet.direction, lines=len(cabinet.row_lines))
    window = requirement.stripe_window or cabinet.stripe_window

    def seen(side: Side) -> SeenFace:
        reflected = None if inside is None else inside.reflected(side)
        luminance = light_on_face(cabinet, reflected, side=side, samples_per_detail=samples_per_detail)
        return SeenFace(reflected=reflected, luminance=luminance, evenness=evenness(luminance, window, rows))

    return WholeLight(inside=inside, faces={side: seen(side) for side in cabinet.unlike_sides})
