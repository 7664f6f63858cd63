"""What happens at the ends: deep and shallow cabinets, steep and flat beams, one module."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from lumsim.beams.closed import CosinePower
from lumsim.light.direct import direct_flux
from lumsim.simulation import simulate
from tests import cabinets
from tests.cabinets import DIRECT


def test_stripes_die_as_the_cabinet_grows_deep() -> None:
    """The deeper the cabinet, the weaker the stripes of the same rows, down to none."""
    stripes = [
        simulate(
            cabinets.in_rows(2.4, 1.2, depth, rows=6, modules=12), lighting=DIRECT
        ).evenness.stripe_max_to_min
        - 1
        for depth in (0.05, 0.1, 0.2, 0.4, 0.8)
    ]
    assert all(shallow > 3 * deep for shallow, deep in itertools.pairwise(stripes[:3]))
    assert stripes == sorted(stripes, reverse=True)


def test_in_the_middle_of_a_wide_cabinet_stripes_fall_exponentially_with_depth() -> None:
    """The first harmonic falls as T₁(2πh/p): in a wide cabinet half a pitch more depth takes 90 % of it."""
    stripes = []
    for depth in (0.1, 0.15, 0.2):
        cabinet = cabinets.in_rows(4.0, 4.0, depth, rows=40, modules=80)
        at = np.linspace(1.95, 2.05, 41)
        profile = simulate(cabinet, lighting=DIRECT).direct.illuminance(np.full(41, 2.0), at)
        stripes.append(float(profile.max() / profile.min()) - 1)
    assert stripes[1] < 0.1 * stripes[0]
    assert stripes[2] < 0.1 * stripes[1]


def test_a_shallow_cabinet_shows_every_module() -> None:
    """As the throw goes to nothing the brightest point is over a module, and max/min grows without end."""
    ratios = []
    for depth in (0.1, 0.05, 0.025):
        even = simulate(
            cabinets.listed(0.6, 0.4, depth, [(0.2, 0.25), (0.4, 0.15)]), lighting=DIRECT
        ).evenness
        ratios.append(even.max_to_min)
        nearest = min(
            np.hypot(even.brightest.x - x, even.brightest.y - y) for x, y in ((0.2, 0.25), (0.4, 0.15))
        )
        assert nearest < depth / 4
    # With E = c h⁴/(h² + ρ²)² the far field over the peak falls as h⁴ for each halving: 16 in the end.
    assert ratios[1] / ratios[0] > 8
    assert 8 < ratios[2] / ratios[1] < 16


def test_one_module_in_the_middle() -> None:
    """One module in the middle: the brightest point is over it, the darkest is the farthest corner, and no stripe."""
    simulation = simulate(cabinets.listed(1.0, 0.6, 0.15, [(0.55, 0.3)]), lighting=DIRECT)
    even = simulation.evenness
    assert (even.brightest.x, even.brightest.y) == pytest.approx((0.55, 0.3), abs=1e-5)
    assert (even.darkest.x, even.darkest.y) == (0.0, 0.0)
    assert even.max_to_min == pytest.approx(((0.15**2 + 0.55**2 + 0.3**2) / 0.15**2) ** 2, rel=1e-9)
    assert len(simulation.spots.hot) == 1


def test_a_very_deep_cabinet_is_evenly_lit() -> None:
    """From far away the face is lit evenly: within (size/depth)² of 1, however the modules stand."""
    positions = np.random.default_rng(2).uniform([0, 0], [0.5, 0.5], (6, 2))
    even = simulate(cabinets.listed(0.5, 0.5, 50.0, positions), lighting=DIRECT).evenness
    assert even.max_to_min - 1 < 4 * 0.5 * (0.5 / 50) ** 2 * 2
    assert even.edge_dimming == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize("depth", [1e-3, 0.01])
def test_all_lumens_reach_the_face_of_a_flat_cabinet(depth: float) -> None:
    """Far from the returns, a shallow throw puts all lumens on the face: what misses it goes as (h/R)²."""
    flux = direct_flux(cabinets.listed(2, 2, depth, [(1, 1)]))
    assert 1 - flux.on_face / flux.emitted < depth**2 * 1.3


def test_a_module_at_the_foot_of_a_return_gives_it_half_its_lumens() -> None:
    """At a long high return half of the lumens go into it; in the corner a quarter reaches the face."""
    at_return = direct_flux(cabinets.listed(200 * 0.01, 200 * 0.01, 0.01, [(2.0, 1.0)]))
    assert at_return.on_right_return / at_return.emitted == pytest.approx(0.5, abs=1e-4)
    in_corner = direct_flux(cabinets.listed(2.0, 2.0, 0.01, [(0.0, 0.0)]))
    assert in_corner.on_face / in_corner.emitted == pytest.approx(0.25, abs=1e-4)
    assert in_corner.on_left_return == pytest.approx(in_corner.on_bottom_return, rel=1e-12)


def test_steep_beams_send_everything_to_the_face() -> None:
    """The steeper the beam, the larger the share of the lumens on the face, up to all of them."""
    shares = []
    for exponent in (0.0, 0.5, 1.0, 3.0, 10.0, 100.0, 1000.0):
        beam = CosinePower(exponent=exponent)
        flux = direct_flux(cabinets.in_rows(0.5, 0.3, 0.1, rows=1, modules=1, beam=beam))
        shares.append(flux.on_face / flux.emitted)
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1, abs=1e-12)
