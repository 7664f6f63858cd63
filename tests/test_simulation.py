"""The whole path: each part is called with what the cabinet and the requirement say."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import lumsim.simulation
from lumsim.beams.tables import UniformPlane
from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import BalanceError, InputError, TooLargeError
from lumsim.light.direct import DirectFlux, direct_flux
from lumsim.light.ledger import FluxLedger
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import evenness
from lumsim.uniformity.requirement import Requirement
from lumsim.whole_light import light_on_face
from tests import cabinets
from tests.cabinets import DIRECT


def test_the_window_is_the_requirements_or_the_row_pitch() -> None:
    """Stripes are judged over the window that is asked for, and over one row pitch where none is."""
    assert simulate(cabinets.shop_sign(), lighting=DIRECT).evenness.window == pytest.approx(0.2, rel=1e-15)
    asked = simulate(cabinets.shop_sign(), Requirement(stripe_window=0.13), lighting=DIRECT)
    assert asked.evenness.window == 0.13
    assert asked.evenness == evenness(asked.luminance, 0.13)


def test_the_verdict_is_on_this_face() -> None:
    """The verdict holds the limits against this face's own numbers."""
    even = simulate(cabinets.shop_sign(), lighting=DIRECT).evenness
    for limit, met in ((even.max_to_min, True), (even.max_to_min * 0.999, False)):
        verdict = simulate(cabinets.shop_sign(), Requirement(max_to_min=limit), lighting=DIRECT).verdict
        assert verdict.met == met
        assert verdict.judged[0].actual == even.max_to_min
    assert simulate(cabinets.shop_sign(), lighting=DIRECT).verdict.judged == ()


def test_spots_are_told_from_the_contrast_that_is_asked_for() -> None:
    """The least contrast of a spot is the requirement's."""
    cabinet = cabinets.in_rows(1.2, 0.6, 0.05, rows=3, modules=6)
    coarse, fine = (
        simulate(cabinet, Requirement(spot_contrast=contrast), lighting=DIRECT).spots
        for contrast in (0.97, 0.1)
    )
    assert (coarse.least_contrast, fine.least_contrast) == (0.97, 0.1)
    assert len(fine.hot) == 18
    assert all(spot.contrast >= 0.97 for spot in coarse.hot)
    assert len(coarse.hot) < 18


def test_hidden_borders_change_what_is_seen_and_not_what_is_lit() -> None:
    """A wider border leaves the light at each point and the lumens as they are, and shows less of them."""
    bare = cabinets.in_rows(1.2, 0.6, 0.12, rows=2, modules=6)
    framed = replace(bare, face=replace(bare.face, visible_border=0.05))
    wide, narrow = simulate(bare, lighting=DIRECT), simulate(framed, lighting=DIRECT)
    at = np.array([0.3])
    assert wide.direct.illuminance(at, at) == narrow.direct.illuminance(at, at)
    assert narrow.ledger.through_face == wide.ledger.through_face
    assert narrow.ledger.leaving_visible_face < wide.ledger.leaving_visible_face
    assert narrow.evenness.max_to_min < wide.evenness.max_to_min


def test_too_large_a_face_is_refused() -> None:
    """A face that needs too fine a grid is refused before it is lit."""
    with pytest.raises(TooLargeError, match="needs a grid of"):
        light_on_face(cabinets.listed(50, 50, 0.01, [(25.0, 25.0)]))


def test_lost_lumens_are_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where lumens do not balance there is no result, but an error that says it is lumsim's own fault."""

    def leaky(cabinet: Cabinet) -> DirectFlux:
        flux = direct_flux(cabinet)
        return replace(flux, on_face=flux.on_face * (1 - 1e-5))

    monkeypatch.setattr(lumsim.simulation, "direct_flux", leaky)
    with pytest.raises(
        BalanceError, match=r"do not balance: .* is unaccounted for; this is a fault of lumsim"
    ):
        simulate(cabinets.shop_sign(), lighting=DIRECT)


def test_the_balance_error_counts_every_entry() -> None:
    """Whatever is left out of the books shows in the balance."""
    ledger = FluxLedger(
        emitted=100.0,
        through_face=40.0,
        leaving_visible_face=35.0,
        absorbed_face=20.0,
        absorbed_back=1.0,
        absorbed_left_return=0.5,
        absorbed_right_return=1.0,
        absorbed_bottom_return=1.5,
        absorbed_top_return=2.0,
        not_followed=30.0,
        absorbed_modules=4.0,
    )
    assert ledger.balance_error == 0
    assert ledger.absorbed_returns == 5
    returns = (f"absorbed_{side}_return" for side in ("left", "right", "bottom", "top"))
    for name in (
        "through_face",
        "absorbed_face",
        "absorbed_back",
        *returns,
        "not_followed",
        "absorbed_modules",
    ):
        assert replace(ledger, **{name: 0.0}).balance_error == pytest.approx(getattr(ledger, name) / 100)
    assert replace(ledger, leaving_visible_face=0.0).balance_error == 0


def test_a_face_is_asked_for_by_its_side() -> None:
    """By name each face answers, without one the worse; a single-faced cabinet has no rear face to ask for."""
    cabinet = cabinets.listed(
        0.6, 0.4, 0.2, [(0.1, 0.1), (0.2, 0.2)], z=0.05, front_share=0.5, rear=cabinets.OPAL
    )
    lit = simulate(cabinet, lighting=DIRECT)
    assert lit.on("front") is lit.front
    assert lit.on("rear") is lit.rear is lit.on(None)
    with pytest.raises(InputError, match="a single-faced cabinet has no rear face"):
        simulate(cabinets.shop_sign(), lighting=DIRECT).on("rear")


def test_a_face_with_a_part_in_the_dark_is_told_where_and_what_to_do() -> None:
    """A narrow cut-off leaves the corners without direct light: max/min has no value, and the message says so."""
    lone = cabinets.in_rows(1.0, 1.0, 0.1, rows=1, modules=1, beam=UniformPlane(cut_off=math.radians(45)))
    with pytest.raises(
        InputError, match=r"9\d % of the front face gets no direct light \(at x = 0 mm, y = 0 mm"
    ):
        simulate(lone, lighting=DIRECT)
    assert simulate(lone).evenness.max_to_min > 1
