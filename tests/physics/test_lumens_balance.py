"""Lumens are neither lost nor made: what modules emit arrives, and what arrives is booked.

The ledger closes by construction (what does not fly past an edge of the face is on the face), so it proves
little by itself. Face and returns are therefore also integrated apart from it: the face from the map of its
luminance, the returns from the inverse-square and cosine law.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import product

import numpy as np
import pytest
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.face import Face
from lumsim.light.direct import DirectLight, direct_flux, flux_on
from lumsim.photometry import face_luminance
from lumsim.simulation import Simulation, simulate
from tests import cabinets
from tests.cabinets import DIRECT

Array = NDArray[np.float64]

BALANCE = 1e-12
"""Rounding: the ledger closes by construction."""

MAP = 1e-5
"""Means of the map hold to some 1e-6 at four samples for each finest detail."""

SIZES = ((0.4, 0.4), (1.2, 0.6), (2.0, 0.2))
DEPTHS = (0.03, 0.125, 0.5)
EXPONENTS = (0.0, 0.3, 1.0, 2.0, 30.0)
GRID = list(product(SIZES, DEPTHS, EXPONENTS))


@cache
def lit(size: tuple[float, float], depth: float, exponent: float) -> Simulation:
    """Light a cabinet of the grid."""
    pitch = max(depth, 0.1)
    rows, modules = max(1, round(size[1] / pitch / 1.5)), max(1, round(size[0] / pitch))
    face = Face(transmittance=0.35, reflectance=0.45, visible_border=0.01)
    beam = CosinePower(exponent=exponent)
    return simulate(
        cabinets.in_rows(*size, depth, rows=rows, modules=modules, beam=beam, face=face), lighting=DIRECT
    )


@pytest.mark.parametrize(("size", "depth", "exponent"), GRID)
def test_the_ledger_closes(size: tuple[float, float], depth: float, exponent: float) -> None:
    """In any cabinet, whatever the beam, what is booked adds up to what is emitted."""
    simulation = lit(size, depth, exponent)
    cabinet, booked = simulation.cabinet, simulation.ledger
    assert booked.balance_error < BALANCE
    assert abs(direct_flux(cabinet).balance_error) < BALANCE
    assert booked.emitted == pytest.approx(100.0 * len(cabinet.emitters()), rel=BALANCE)
    assert 0 < booked.leaving_visible_face < booked.through_face < booked.emitted


@pytest.mark.parametrize(("size", "depth", "exponent"), GRID)
def test_the_map_holds_the_lumens_on_the_visible_face(
    size: tuple[float, float], depth: float, exponent: float
) -> None:
    """The map of the luminance, integrated, is the flux that arrives on the visible face."""
    simulation = lit(size, depth, exponent)
    cabinet = simulation.cabinet
    on_face = simulation.illuminance(simulation.evenness.mean) * cabinet.visible.area
    on_visible = flux_on(cabinet.sources(), depth, cabinet.visible)
    assert on_face == pytest.approx(on_visible, rel=MAP)
    assert simulation.error.mean < MAP


@pytest.mark.parametrize("exponent", [0.0, 0.3, 1.0, 2.5, 12.0, 60.0])
def test_flux_on_a_part_is_its_illuminance_integrated(exponent: float) -> None:
    """Flux on a rectangle is the illuminance on it integrated, wherever the module stands to it.

    By Gauss-Legendre panels a quarter of the throw wide.
    """
    nodes, weights = leggauss(12)
    depth = 0.1
    part = Rectangle(x0=0.25, x1=0.6, y0=0.3, y1=0.45)
    for place in ((0.4, 0.35), (0.25, 0.3), (0.6, 0.4), (0.1, 0.2), (0.9, 0.37), (0.0, 0.9)):
        sources = cabinets.listed(1, 1, depth, [place], exponent=exponent).sources()
        sides = []
        for start, end in ((part.x0, part.x1), (part.y0, part.y1)):
            edges = np.linspace(start, end, math.ceil((end - start) / depth * 4) + 1)
            half = np.diff(edges)[:, None] / 2
            sides.append(((edges[:-1, None] + half * (1 + nodes)).ravel(), (half * weights).ravel()))
        (x, wx), (y, wy) = sides
        integrated = float(wy @ DirectLight(sources, depth).illuminance(*np.meshgrid(x, y)) @ wx)
        flux = flux_on(sources, depth, part)
        assert flux == pytest.approx(integrated, rel=1e-9, abs=1e-9 * 100)


@pytest.mark.parametrize("exponent", [0.0, 1.0, 6.0])
@pytest.mark.parametrize("distance", [0.003, 0.05, 0.4])
def test_flux_on_a_return_is_the_law_integrated(exponent: float, distance: float) -> None:
    """Flux on a return is I(θ) cos β / d² integrated over it.

    By Gauss-Legendre panels that grow from an eighth of the distance on.
    """
    width, height, depth, y = 0.9, 0.5, 0.1, 0.15
    cabinet = cabinets.listed(width, height, depth, [(width - distance, y)], lumens=1.0, exponent=exponent)
    z, wz = _growing(distance / 8, depth)
    integrated = 0.0
    for end in (y, height - y):
        along, w = _growing(distance / 8, end)
        d2 = distance**2 + along[:, None] ** 2 + z**2
        law = (exponent + 1) / (2 * math.pi) * (z / np.sqrt(d2)) ** exponent * distance / d2**1.5
        integrated += float(w @ law @ wz)
    assert direct_flux(cabinet).on_right_return == pytest.approx(integrated, rel=1e-9, abs=1e-12)


def _growing(first: float, end: float) -> tuple[Array, Array]:
    """Nodes and weights of quadrature from 0 to an end, by panels that grow from a first one on."""
    nodes, weights = leggauss(16)
    edges = np.concatenate([[0.0], np.geomspace(min(first, end / 2), end, 24)])
    half = np.diff(edges)[:, None] / 2
    return (edges[:-1, None] + half * (1 + nodes)).ravel(), (half * weights).ravel()


def test_what_arrives_is_split_as_the_surfaces_say() -> None:
    """Of what arrives on the face τ goes through, ρ is thrown back and the rest stays; likewise on returns."""
    simulation = simulate(cabinets.shop_sign(), lighting=DIRECT)
    flux, ledger = direct_flux(simulation.cabinet), simulation.ledger
    on_returns = flux.on_left_return + flux.on_right_return + flux.on_bottom_return + flux.on_top_return
    assert ledger.through_face == pytest.approx(0.4 * flux.on_face, rel=BALANCE)
    assert ledger.absorbed_face == pytest.approx(0.25 * flux.on_face, rel=BALANCE)
    assert ledger.absorbed_returns == pytest.approx(0.15 * on_returns, rel=BALANCE)
    assert ledger.not_followed == pytest.approx(0.35 * flux.on_face + 0.85 * on_returns, rel=BALANCE)
    assert ledger.absorbed_back == 0


def test_exitance_of_the_visible_face_is_the_flux_through_it() -> None:
    """A Lambertian face's luminance times π, over its area, is the flux that leaves it."""
    simulation = simulate(cabinets.shop_sign(), lighting=DIRECT)
    leaving = math.pi * simulation.evenness.mean * simulation.cabinet.visible.area
    assert leaving == pytest.approx(simulation.ledger.leaving_visible_face, rel=MAP)
    assert face_luminance(math.pi, 1.0) == pytest.approx(1.0, rel=BALANCE)
