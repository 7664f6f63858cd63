"""New and aged: less flux scales all light, dirt takes away what is thrown back, and both states are judged."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from lumsim.cabinet.ageing import Ageing, aged
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.photometry import face_luminance
from lumsim.simulation import Lighting, Simulation, simulate
from lumsim.study.levels import lumens_needed
from lumsim.uniformity.requirement import Requirement
from tests import cabinets
from tests.cabinets import DIRECT, shop_sign
from tests.published.reflected_closed_forms import integrating_box

QUICK = Lighting(patches_in_depth=4)
UNLIKE = Face(transmittance=0.3, reflectance=0.5, visible_border=0.03)

SIDE, FLUX, WHITE, PASSED = 0.6, 800.0, 0.6, 0.3

CUBE = 2e-3
"""What few patches and a face right up to the returns leave of the mean of the map; of the lumens less than 3e-4."""


def cube(white: float = WHITE) -> Cabinet:
    """A double-sided cube that reflects alike all over, a module in its middle that shines alike in all directions.

    By symmetry each of its six sides gets as much light as each other.
    """
    face = Face(transmittance=PASSED, reflectance=white)
    lit = cabinets.listed(
        SIDE, SIDE, SIDE, [(SIDE / 2, SIDE / 2)], z=SIDE / 2, lumens=FLUX, exponent=0.0, front_share=0.5,
        face=face, rear=face,
    )  # fmt: skip
    walls = {f"{side}_return_reflectance": white for side in ("left", "right", "bottom", "top")}
    return replace(lit, box=replace(lit.box, **walls))


@pytest.mark.parametrize("dirt", [0.9, 0.5])
def test_an_aged_white_cube_is_an_integrating_box_of_its_dirty_reflectance(dirt: float) -> None:
    """The mean illuminance of each face is f Φ/A · 1/(1 − d ρ), new with f = d = 1, by direct and all later light."""
    lit = simulate(cube(), lighting=QUICK, ageing=Ageing(maintenance_factor=0.7, dirt_factor=dirt))
    assert lit.aged is not None
    for one, flux, white in ((lit, FLUX, WHITE), (lit.aged, FLUX * 0.7, WHITE * dirt)):
        E = flux / (6 * SIDE**2) * integrating_box(white)
        for face in one.faces:
            assert face.arriving / SIDE**2 == pytest.approx(E, rel=3e-4)
            assert face.evenness.mean == pytest.approx(face_luminance(E, PASSED), rel=CUBE)


def test_the_lumens_for_a_luminance_are_those_of_an_integrating_box() -> None:
    """A mean luminance L in an aged cube takes Φ = π L A (1 − d ρ) / (τ f), told by one face's area in m² and ft²."""
    lit = simulate(cube(), lighting=QUICK, ageing=Ageing(maintenance_factor=0.7, dirt_factor=0.8))
    needed = lumens_needed(lit, 250.0)
    flux = np.pi * 250 * 6 * SIDE**2 / (integrating_box(WHITE * 0.8) * PASSED * 0.7)
    assert needed.total == pytest.approx(flux, rel=CUBE)
    assert needed.per_module == needed.total
    assert needed.per_area == pytest.approx(needed.total / SIDE**2, rel=1e-15)
    # A foot is 0.3048 m.
    assert needed.per_square_foot == pytest.approx(needed.per_area * 0.3048**2, rel=1e-15)
    assert needed.level.state == "aged"


def states(cabinet: Cabinet, lighting: Lighting, ageing: Ageing) -> tuple[Simulation, Simulation]:
    """Return the aged cabinet as told beside the new one, and the same lit for itself."""
    asked = Requirement(max_to_min=1.3, max_luminance=300.0)
    told = simulate(cabinet, asked, lighting=lighting, ageing=ageing).aged
    assert told is not None
    return told, simulate(aged(cabinet, ageing), asked, lighting=lighting)


@pytest.mark.parametrize("lighting", [DIRECT, QUICK], ids=["direct", "reflected"])
def test_maintenance_scales_all_light(lighting: Lighting) -> None:
    """What is told of modules that give less is, number for number, what lighting them gives."""
    between = cabinets.listed(
        0.7, 0.4, 0.16, [(0.1, 0.08), (0.52, 0.31)], z=0.05, front_share=0.4, rear=UNLIKE
    )
    for cabinet in (shop_sign(), between):
        told, lit = states(cabinet, lighting, Ageing(maintenance_factor=0.7))
        x, y = np.array([0.2, 0.3]), np.array([0.1, 0.35])
        assert told.cabinet.emitters().flux.sum() == pytest.approx(lit.cabinet.emitters().flux.sum())
        for one, other in zip(told.faces, lit.faces, strict=True):
            assert_allclose(one.luminance.values, other.luminance.values, rtol=1e-9)
            assert_allclose(one.luminance.at(x, y), other.luminance.at(x, y), rtol=1e-9)
            assert_allclose(one.direct.illuminance(x, y), other.direct.illuminance(x, y), rtol=1e-9)
            assert_allclose(one.reflected_at(x, y), other.reflected_at(x, y), rtol=1e-9)
            assert one.evenness.mean == pytest.approx(other.evenness.mean, rel=1e-9)
            assert one.evenness.darkest.value == pytest.approx(other.evenness.darkest.value, rel=1e-7)
            assert one.evenness.max_to_min == pytest.approx(other.evenness.max_to_min, rel=1e-7)
            assert [spot.luminance for spot in one.spots.hot] == pytest.approx(
                [spot.luminance for spot in other.spots.hot], rel=1e-7
            )
            assert [stripe.valley for stripe in one.spots.stripes] == pytest.approx(
                [stripe.valley for stripe in other.spots.stripes], rel=1e-7
            )
            assert [limit.met for limit in one.verdict.judged] == [
                limit.met for limit in other.verdict.judged
            ]
            assert one.through_face == pytest.approx(other.through_face, rel=1e-9)
        assert told.ledger.balance_error < 1e-6
        assert told.ledger.emitted == pytest.approx(lit.ledger.emitted, rel=1e-12)
        assert told.ledger.absorbed_returns == pytest.approx(lit.ledger.absorbed_returns, rel=1e-9)


def test_without_dirt_no_ratio_moves_by_a_digit() -> None:
    """A limit on a ratio that is met to the last digit new is met so aged."""
    new = simulate(shop_sign(), lighting=DIRECT).evenness
    asked = Requirement(max_to_min=new.max_to_min, stripe_max_to_min=new.stripe_max_to_min)
    lit = simulate(shop_sign(), asked, lighting=DIRECT, ageing=Ageing(maintenance_factor=0.37))
    assert lit.aged is not None
    assert lit.met
    assert lit.aged.evenness.max_to_min == new.max_to_min
    assert lit.aged.evenness.mean == pytest.approx(0.37 * new.mean, rel=1e-15)
    assert lit.deciding is lit


def test_dirt_leaves_direct_light_and_darkens_the_edges() -> None:
    """With dirt the light straight from the modules stays, less is thrown back, and the face is less even."""
    lit = simulate(shop_sign(), lighting=QUICK, ageing=Ageing(dirt_factor=0.8))
    assert lit.aged is not None
    x, y = np.array([0.3]), np.array([0.2])
    assert lit.aged.direct.illuminance(x, y) == lit.direct.illuminance(x, y)
    assert lit.aged.reflected_at(x, y) < lit.reflected_at(x, y)
    assert lit.aged.evenness.max_to_min > lit.evenness.max_to_min
    assert lit.aged.direct_share > lit.direct_share
    assert lit.aged.ledger.balance_error < 1e-6


def test_the_most_is_decided_new_and_the_least_aged() -> None:
    """The requirement is met where both states meet it; the state that misses it, or has less to spare, decides."""
    ageing = Ageing(maintenance_factor=0.5)
    mean = simulate(shop_sign(), lighting=DIRECT).evenness.mean
    for asked, met, decides in (
        (Requirement(max_luminance=0.99 * mean), False, "new"),
        (Requirement(max_luminance=mean), True, "new"),
        (Requirement(min_luminance=0.5 * mean), True, "aged"),
        (Requirement(min_luminance=0.51 * mean), False, "aged"),
        (Requirement(min_luminance=0.4 * mean, max_luminance=1.1 * mean), True, "new"),
    ):
        lit = simulate(shop_sign(), asked, lighting=DIRECT, ageing=ageing)
        assert lit.met == met
        assert (lit.deciding is lit) == (decides == "new")
        assert lit.deciding.verdict.met == met


def test_lumens_needed_give_the_luminance_wanted() -> None:
    """Modules of the lumens that are told light the darker face, aged, to just what was wanted."""
    cabinet = cabinets.listed(
        0.7, 0.4, 0.16, [(0.1, 0.08), (0.52, 0.31)], z=0.05, lumens=np.array([60.0, 90.0]), front_share=0.4,
        rear=UNLIKE,
    )  # fmt: skip
    ageing = Ageing(maintenance_factor=0.8, dirt_factor=0.9)
    needed = lumens_needed(simulate(cabinet, lighting=QUICK, ageing=ageing), 321.0)
    factor = needed.per_module / 75.0
    brighter = cabinets.listed(
        0.7, 0.4, 0.16, [(0.1, 0.08), (0.52, 0.31)], z=0.05, lumens=np.array([60.0, 90.0]) * factor,
        front_share=0.4, rear=UNLIKE,
    )  # fmt: skip
    again = simulate(brighter, lighting=QUICK, ageing=ageing)
    assert again.aged is not None
    means = [face.evenness.mean for face in (*again.faces, *again.aged.faces)]
    assert min(means) == pytest.approx(321.0, rel=1e-9)
    assert again.ledger.emitted == pytest.approx(needed.total, rel=1e-12)
    assert needed.total / (0.7 * 0.4) == pytest.approx(needed.per_area, rel=1e-12)
