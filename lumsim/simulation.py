"""The whole path in one screen: light a cabinet and look at its face."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import BalanceError
from lumsim.light.direct import DirectFlux, DirectLight, direct_flux
from lumsim.light.edges import returns_beside_face
from lumsim.light.exchange import Exchange
from lumsim.light.face_grid import face_grid
from lumsim.light.gathering import ReflectedLight
from lumsim.light.interior import Inside, Interior, interior_of
from lumsim.light.interreflection import Interreflection, interreflect, reflectances
from lumsim.light.patch_light import DirectInside
from lumsim.photometry import face_luminance
from lumsim.uniformity.evenness import (
    Evenness,
    edge_dimming_of,
    evenness,
    extremes_of,
    stripes_of,
)
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.requirement import Requirement, Verdict, judge
from lumsim.uniformity.spots import Spots, find_spots
from lumsim.uniformity.windows import RunningIntegral, Window

__all__ = [
    "ALL_LIGHT",
    "BALANCE",
    "FINE",
    "USUAL",
    "FluxLedger",
    "Lighting",
    "NumericalError",
    "Simulation",
    "light_on_face",
    "reflected_light",
    "simulate",
]

BALANCE = 1e-6
"""The largest share of the lumens that may be unaccounted for, and of a patch's factors from adding up to 1. [1]"""

USUAL, FINE = 10, 14
"""Patches in the depth of the box, usually and where more digits are asked for. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lighting:
    """How light is followed."""

    direct_only: bool = False
    """leave out the light that the cabinet throws back"""
    patches_in_depth: int = USUAL
    """how finely the inside is cut for it, ``USUAL`` or ``FINE`` [1]"""

    def interior(self, box: Box) -> Interior | None:
        """The exchange inside a box; None where it is not followed."""
        return None if self.direct_only else interior_of(box, patches_in_depth=self.patches_in_depth)


ALL_LIGHT = Lighting()
"""Direct light and all that is thrown back, at the usual fineness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FluxLedger:
    """Where the lumens went."""

    emitted: float
    """by the modules [lm]"""
    through_face: float
    """through the whole face, return to return [lm]"""
    leaving_visible_face: float
    """of these, through the part that the retainer leaves free [lm]"""
    absorbed_face: float
    """in the face [lm]"""
    absorbed_back: float
    """in the back [lm]"""
    absorbed_returns: float
    """in the four returns [lm]"""
    not_followed: float
    """thrown back by face and returns, where only direct light is followed; else 0 [lm]"""

    @property
    def balance_error(self) -> float:
        """What is unaccounted for, as a share of what was emitted. [1]"""
        booked = (
            self.through_face
            + self.absorbed_face
            + self.absorbed_back
            + self.absorbed_returns
            + self.not_followed
        )
        return abs(booked - self.emitted) / self.emitted


@dataclass(frozen=True, slots=True, kw_only=True)
class NumericalError:
    """How far the numbers may be off by computing, relative: from half as fine a mesh, or face grid."""

    max_to_min: float
    """[1]"""
    stripe_max_to_min: float
    """[1]"""
    edge_dimming: float
    """[1]"""
    mean: float
    """of the visible face; where only direct light is followed, against its closed form [1]"""
    row_sum_defect: float
    """how far the factors of any patch are from adding up to 1, before the balance is solved [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulation:
    """A lit cabinet, judged."""

    cabinet: Cabinet
    direct: DirectLight
    reflected: ReflectedLight | None
    """None: direct light only"""
    luminance: FaceMap
    """of the visible face, seen from in front [cd/m²]"""
    evenness: Evenness
    spots: Spots
    verdict: Verdict
    """empty where nothing is required"""
    ledger: FluxLedger
    patches: int
    """that the inside was cut into; 0 for direct light only [1]"""
    direct_share: float
    """of the light that arrives on the visible face [1]"""
    error: NumericalError

    def reflected_at(self, x: Array, y: Array) -> Array:
        """Illuminance on the face's inner side from light thrown back, in lux; 0 where it is not followed."""
        return np.zeros(np.shape(x)) if self.reflected is None else self.reflected.illuminance(x, y)

    def illuminance(self, luminance: float) -> float:
        """Illuminance behind a point of a given luminance, in lux."""
        return luminance / face_luminance(1.0, self.cabinet.face.transmittance)


def light_on_face(
    cabinet: Cabinet, reflected: ReflectedLight | None = None, *, samples_per_detail: float = 4.0
) -> FaceMap:
    """Luminance of the visible face: light behind it → luminance in front of it.

    Parameters
    ----------
    cabinet : Cabinet
    reflected : ReflectedLight, optional
        None: direct light only.
    samples_per_detail : float
        How fine the face is sampled, see ``light.face_grid``. [1]
    """
    emitters, part = cabinet.emitters(), cabinet.visible
    direct = DirectLight(emitters, cabinet.box.depth)
    grid = face_grid(part, emitters, cabinet.box.depth, samples_per_detail=samples_per_detail)

    def luminance(x: Array, y: Array) -> Array:
        E = direct.illuminance(x, y)
        if reflected is not None:
            E = E + reflected.illuminance(x, y)
        return face_luminance(E, cabinet.face.transmittance)

    E = direct.illuminance(*np.meshgrid(grid.x, grid.y))
    if reflected is not None:
        E = E + reflected.on_grid(grid.x, grid.y)
    values = face_luminance(E, cabinet.face.transmittance)
    return FaceMap(x=grid.x, y=grid.y, values=values, at=luminance, detail=grid.detail)


def reflected_light(cabinet: Cabinet, inside: Inside) -> tuple[Interreflection, ReflectedLight]:
    """The light that back, returns and face throw back: modules → patches → balance → face.

    Parameters
    ----------
    cabinet : Cabinet
    inside : Inside
        Of its box.
    """
    mesh, emitters, rho = inside.mesh, cabinet.emitters(), reflectances(cabinet)
    direct_light = DirectInside(mesh, emitters)
    direct = direct_light.on_patches()
    balanced = interreflect(inside.exchange, direct, rho)
    returns = returns_beside_face(mesh, balanced, direct, direct_light.on_strips(), rho)
    return balanced, inside.gathering.light(balanced.exitance.back, returns)


def simulate(
    cabinet: Cabinet,
    requirement: Requirement | None = None,
    *,
    lighting: Lighting = ALL_LIGHT,
    interior: Interior | None = None,
    samples_per_detail: float = 4.0,
) -> Simulation:
    """Light a cabinet, look at its face, judge it.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement, optional
        What is good enough; also the stripe window and the contrast from which a spot is told.
    lighting : Lighting
        How light is followed.
    interior : Interior, optional
        The exchange of this cabinet's box, where it is known from another layout; else it is computed.
    samples_per_detail : float
        How fine the face is sampled, see ``light.face_grid``. [1]

    Returns
    -------
    Simulation

    Raises
    ------
    TooLargeError
        Where face or inside would need too fine a grid.
    """
    requirement = requirement or Requirement()
    window = requirement.stripe_window or cabinet.stripe_window

    flux = direct_flux(cabinet)
    # What would be refused for its size is refused before the work.
    face_grid(cabinet.visible, cabinet.emitters(), cabinet.box.depth, samples_per_detail=samples_per_detail)
    balanced, reflected, coarse, defect = None, None, None, 0.0
    if not lighting.direct_only:
        interior = interior or interior_of(cabinet.box, patches_in_depth=lighting.patches_in_depth)
        defect = _checked_defect(interior.fine.exchange)
        balanced, reflected = reflected_light(cabinet, interior.fine)
        _, coarse = reflected_light(cabinet, interior.coarse)

    luminance = light_on_face(cabinet, reflected, samples_per_detail=samples_per_detail)
    even = evenness(luminance, window)
    spots = find_spots(
        luminance,
        even,
        direction=cabinet.direction,
        row_lines=cabinet.row_lines,
        least_contrast=requirement.spot_contrast,
    )
    by_map = even.mean * cabinet.visible.area / face_luminance(1.0, cabinet.face.transmittance)
    on_visible = flux.on_visible_face if reflected is None else by_map
    return Simulation(
        cabinet=cabinet,
        direct=DirectLight(cabinet.emitters(), cabinet.box.depth),
        reflected=reflected,
        luminance=luminance,
        evenness=even,
        spots=spots,
        verdict=judge(even, requirement),
        ledger=_ledger(cabinet, flux, balanced, interior, on_visible),
        patches=0 if interior is None else interior.fine.mesh.patches,
        direct_share=min(1.0, flux.on_visible_face / on_visible),
        error=_grid_error(luminance, even, flux.on_visible_face / by_map)
        if reflected is None or coarse is None
        else _mesh_error(luminance, reflected, coarse, cabinet.face.transmittance, defect),
    )


def _checked_defect(exchange: Exchange) -> float:
    defect = exchange.row_sum_defect()
    if not defect < BALANCE:
        raise BalanceError(
            f"the exchange inside the box does not close: {defect:.3g} of a patch's light is unaccounted for; "
            "this is a fault of lumsim, please report it with the study"
        )
    return defect


def _ledger(
    cabinet: Cabinet,
    flux: DirectFlux,
    balanced: Interreflection | None,
    interior: Interior | None,
    on_visible: float,
) -> FluxLedger:
    """Book the light: at each surface, arriving = absorbed + thrown back + through."""
    face = cabinet.face
    if balanced is None or interior is None:
        arriving = {
            "back": 0.0,
            "face": flux.on_face,
            "bottom": flux.on_bottom_return,
            "top": flux.on_top_return,
            "left": flux.on_left_return,
            "right": flux.on_right_return,
        }
    else:
        fluxes = balanced.illuminance.each(np.multiply, interior.fine.exchange.areas)
        arriving = {name: float(values.sum()) for name, values in fluxes._asdict().items()}
    rho = {name: float(value) for name, value in reflectances(cabinet)._asdict().items()}
    returns = ("bottom", "top", "left", "right")
    followed = balanced is not None
    ledger = FluxLedger(
        emitted=flux.emitted,
        through_face=face.transmittance * arriving["face"],
        leaving_visible_face=face.transmittance * on_visible,
        absorbed_face=face.absorptance * arriving["face"],
        absorbed_back=(1 - rho["back"]) * arriving["back"],
        absorbed_returns=math.fsum((1 - rho[name]) * arriving[name] for name in returns),
        not_followed=0.0 if followed else math.fsum(rho[name] * arriving[name] for name in arriving),
    )
    if not ledger.balance_error < BALANCE:
        raise BalanceError(
            f"the lumens do not balance: {ledger.balance_error:.3g} of them is unaccounted for; "
            "this is a fault of lumsim, please report it with the study"
        )
    return ledger


def _grid_error(luminance: FaceMap, even: Evenness, closed_to_mean: float) -> NumericalError:
    """For direct light, which is exact at every point: how far the numbers move with every other sample."""
    coarse = luminance.coarser()
    integral = RunningIntegral(coarse)
    brightest, darkest = extremes_of(coarse, last_digits=False)
    stripe_max, stripe_min = stripes_of(coarse, integral, Window(coarse, even.window), last_digits=False)
    return NumericalError(
        max_to_min=abs(brightest.value / darkest.value / even.max_to_min - 1),
        stripe_max_to_min=abs(stripe_max.value / stripe_min.value / even.stripe_max_to_min - 1),
        edge_dimming=abs(edge_dimming_of(coarse, integral, even.window) / even.edge_dimming - 1),
        mean=abs(closed_to_mean - 1),
        row_sum_defect=0.0,
    )


def _mesh_error(
    luminance: FaceMap,
    reflected: ReflectedLight,
    coarse: ReflectedLight,
    transmittance: float,
    defect: float,
) -> NumericalError:
    """With reflected light, whose mesh is what errs: from the change against half as fine a mesh.

    The largest change at any point of the face, rather than that of each number: in a ratio the changes at
    two points may cancel for one mesh and not for another. Numbers that average over a window or an edge move
    by a fraction of it, which was measured on seeded boxes and is tested on others.
    """
    x, y = luminance.x, luminance.y
    moved = face_luminance(np.abs(coarse.on_grid(x, y) - reflected.on_grid(x, y)), transmittance)
    largest = float(np.max(moved / luminance.values))
    return NumericalError(
        max_to_min=largest,
        stripe_max_to_min=largest / 12,
        edge_dimming=largest / 4,
        mean=float(np.mean(moved) / np.mean(luminance.values)),
        row_sum_defect=defect,
    )
