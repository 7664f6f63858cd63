"""The whole path in one screen: light a cabinet and look at its face."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import BalanceError
from lumsim.light.direct import DirectFlux, DirectLight, direct_flux
from lumsim.light.face_grid import face_grid
from lumsim.photometry import face_luminance
from lumsim.uniformity.evenness import Evenness, edge_dimming_of, evenness, extremes_of, stripes_of
from lumsim.uniformity.face_map import Array, FaceMap
from lumsim.uniformity.requirement import Requirement, Verdict, judge
from lumsim.uniformity.spots import Spots, find_spots
from lumsim.uniformity.windows import RunningIntegral, Window

__all__ = ["BALANCE", "FluxLedger", "NumericalError", "Simulation", "light_on_face", "simulate"]

BALANCE = 1e-6
"""The largest share of the lumens that may be unaccounted for. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FluxLedger:
    """Where the lumens went. Direct light only: what a surface throws back is booked as not followed."""

    emitted: float
    """by the modules [lm]"""
    through_face: float
    """through the whole face, return to return [lm]"""
    leaving_visible_face: float
    """of these, through the part that the retainer leaves free [lm]"""
    absorbed_face: float
    """in the face [lm]"""
    absorbed_back: float
    """in the back; no module on the back lights it directly [lm]"""
    absorbed_returns: float
    """in the four returns [lm]"""
    not_followed: float
    """thrown back by face and returns [lm]"""

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
    """How far the numbers may be off by computing, relative; from a grid half as fine."""

    max_to_min: float
    """change of max/min [1]"""
    stripe_max_to_min: float
    """change of the stripes number [1]"""
    edge_dimming: float
    """change of edge dimming [1]"""
    mean: float
    """mean over the visible face against the flux on it integrated in closed form [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulation:
    """A lit cabinet, judged."""

    cabinet: Cabinet
    luminance: FaceMap
    """of the visible face, seen from in front [cd/m²]"""
    evenness: Evenness
    spots: Spots
    verdict: Verdict
    """empty where nothing is required"""
    ledger: FluxLedger
    error: NumericalError

    def illuminance_at(self, x: Array, y: Array) -> Array:
        """Illuminance on the face's inner side at any points of it, in lux."""
        return DirectLight(self.cabinet.emitters(), self.cabinet.box.depth).illuminance(x, y)

    def illuminance(self, luminance: float) -> float:
        """Illuminance behind a point of a given luminance, in lux."""
        return luminance / face_luminance(1.0, self.cabinet.face.transmittance)


def light_on_face(cabinet: Cabinet, *, samples_per_detail: float = 4.0) -> FaceMap:
    """Luminance of the visible face: modules → illuminance behind it → luminance in front of it.

    Parameters
    ----------
    cabinet : Cabinet
    samples_per_detail : float
        How fine the face is sampled, see ``light.face_grid``. [1]
    """
    emitters = cabinet.emitters()
    direct = DirectLight(emitters, cabinet.box.depth)
    grid = face_grid(cabinet.visible, emitters, cabinet.box.depth, samples_per_detail=samples_per_detail)

    def luminance(x: Array, y: Array) -> Array:
        return face_luminance(direct.illuminance(x, y), cabinet.face.transmittance)

    values = luminance(*np.meshgrid(grid.x, grid.y))
    return FaceMap(x=grid.x, y=grid.y, values=values, at=luminance, detail=grid.detail)


def simulate(
    cabinet: Cabinet, requirement: Requirement | None = None, *, samples_per_detail: float = 4.0
) -> Simulation:
    """Light a cabinet, look at its face, judge it.

    Parameters
    ----------
    cabinet : Cabinet
    requirement : Requirement, optional
        What is good enough; also the stripe window and the contrast from which a spot is told.
    samples_per_detail : float
        How fine the face is sampled, see ``light.face_grid``. [1]

    Returns
    -------
    Simulation
        Direct light only.

    Raises
    ------
    TooLargeError
        Where the face would need too fine a grid.
    """
    requirement = requirement or Requirement()
    window = requirement.stripe_window or cabinet.stripe_window

    luminance = light_on_face(cabinet, samples_per_detail=samples_per_detail)
    even = evenness(luminance, window)
    spots = find_spots(
        luminance,
        even,
        direction=cabinet.direction,
        row_lines=cabinet.row_lines,
        least_contrast=requirement.spot_contrast,
    )
    flux = direct_flux(cabinet)
    return Simulation(
        cabinet=cabinet,
        luminance=luminance,
        evenness=even,
        spots=spots,
        verdict=judge(even, requirement),
        ledger=_ledger(cabinet, flux),
        error=_numerical_error(cabinet, luminance, even, flux),
    )


def _ledger(cabinet: Cabinet, flux: DirectFlux) -> FluxLedger:
    """Book the direct light: at each surface, arriving = absorbed + thrown back + through."""
    face, box = cabinet.face, cabinet.box
    on_returns = (
        (flux.on_left_return, box.left_return_reflectance),
        (flux.on_right_return, box.right_return_reflectance),
        (flux.on_bottom_return, box.bottom_return_reflectance),
        (flux.on_top_return, box.top_return_reflectance),
    )
    ledger = FluxLedger(
        emitted=flux.emitted,
        through_face=face.transmittance * flux.on_face,
        leaving_visible_face=face.transmittance * flux.on_visible_face,
        absorbed_face=face.absorptance * flux.on_face,
        absorbed_back=0.0,
        absorbed_returns=math.fsum((1 - reflectance) * arriving for arriving, reflectance in on_returns),
        not_followed=face.reflectance * flux.on_face
        + math.fsum(reflectance * arriving for arriving, reflectance in on_returns),
    )
    if not ledger.balance_error < BALANCE:
        raise BalanceError(
            f"the lumens do not balance: {ledger.balance_error:.3g} of them is unaccounted for; "
            "this is a fault of lumsim, please report it with the study"
        )
    return ledger


def _numerical_error(
    cabinet: Cabinet, luminance: FaceMap, even: Evenness, flux: DirectFlux
) -> NumericalError:
    coarse = luminance.coarser()
    integral = RunningIntegral(coarse)
    brightest, darkest = extremes_of(coarse, last_digits=False)
    stripe_max, stripe_min = stripes_of(coarse, integral, Window(coarse, even.window), last_digits=False)
    exact_mean = face_luminance(flux.on_visible_face / cabinet.visible.area, cabinet.face.transmittance)
    return NumericalError(
        max_to_min=abs(brightest.value / darkest.value / even.max_to_min - 1),
        stripe_max_to_min=abs(stripe_max.value / stripe_min.value / even.stripe_max_to_min - 1),
        edge_dimming=abs(edge_dimming_of(coarse, integral, even.window) / even.edge_dimming - 1),
        mean=abs(even.mean / exact_mean - 1),
    )
