"""Strings on their wire: what each module takes, what voltage it has, how much of its light is left."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from lumsim.errors import InputError
from lumsim.sheet.dimming import ResistorBallast, SteadyDriver
from lumsim.sheet.strings import row_strings, with_light
from lumsim.sheet.wire import Wire
from lumsim.sheet.wiring import Electrics, Takes, Wiring, shares_of_light, wired, with_joint_open
from lumsim.simulation import simulate
from lumsim.study.reading import study_from_text
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT

SIGN = """
[cabinet]
width = "168 in"
height = "12 in"
depth = "5 in"
[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"
[modules.standard]
lumens = 60.0
[[rows]]
pitch = "6 in"
module_count = 40
module_pitch = "100 mm"
"""
WIRE = Wire.of_gauge(18, temperature=75.0)
ROWS = row_strings(study_from_text(SIGN).cabinet)
KIND = ROWS[0].kind.name


def electrics(takes: Takes = "constant current", *, forward_volts: float = 0.0) -> Electrics:
    """Return a module of 0.72 W at 12 V."""
    return Electrics(
        watts=0.72,
        volts=12.0,
        takes=takes,
        forward_volts=forward_volts,
        dimming=ResistorBallast(forward_voltage=forward_volts, rated_voltage=12.0),
    )


def wiring(**changed: object) -> Wiring:
    """Feed each row at its end by 2 m of the string's own wire, from 12 V."""
    given = {"feed_at": "end", "feed_length": 2.0, "circuits": 1, **changed}
    return Wiring(supply_volts=12.0, feed_wire=WIRE, string_wire=WIRE, **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(("takes", "forward"), [("constant current", 0.0), ("resistor", 9.0)])
def test_a_module_at_its_rated_voltage_takes_its_watts(takes: Takes, forward: float) -> None:
    """Whatever kind a module is, its rated voltage times its current there is its watts; power is what it is."""
    loads = electrics(takes, forward_volts=forward).loads(3, circuits=1)
    np.testing.assert_allclose(12.0 * loads.at(np.full(3, 12.0)), 0.72, rtol=1e-12)
    np.testing.assert_allclose(electrics("constant power").loads(1, circuits=1).watts, 0.72, rtol=0)


def test_the_far_end_is_the_closed_form_of_its_ladder() -> None:
    """Feed and string drop N i R₀ and r i N(N + 1)/2 less the first segment, which belongs to the feed."""
    (one, _) = wired(ROWS, {KIND: electrics()}, wiring())
    r, i = WIRE.loop(0.1), 0.06
    drop = 40 * i * WIRE.loop(2.0) + r * i * 39 * 40 / 2
    assert 12.0 - one.voltages.volts[-1] == pytest.approx(drop, rel=1e-12)
    assert one.lowest == 39
    assert one.amperes == pytest.approx(2.4, rel=1e-12)


def test_two_circuits_share_the_load_and_halve_the_drop() -> None:
    """A row with a circuit a side takes the same current in all, and each wire carries half of it."""
    (one, _), (two, _) = (wired(ROWS, {KIND: electrics()}, wiring(circuits=circuits)) for circuits in (1, 2))
    assert two.amperes == pytest.approx(one.amperes, rel=1e-12)
    np.testing.assert_allclose(12.0 - two.voltages.volts, (12.0 - one.voltages.volts) / 2, rtol=1e-9)
    assert two.wire_watts == pytest.approx(one.wire_watts / 2, rel=1e-9)


def test_the_dimmer_far_end_is_on_the_face() -> None:
    """Light falls along the string as its voltage does, so that the face is less even, and less bright by as much."""
    cabinet = study_from_text(SIGN).cabinet
    strings = wired(ROWS, {KIND: electrics("resistor", forward_volts=9.0)}, wiring())
    shares = shares_of_light(strings, cabinet.modules)
    assert (np.diff(shares[:40]) < 0).all()
    asked = Requirement(stripe_window=cabinet.stripe_window)
    own, dimmed = (simulate(one, asked, lighting=DIRECT) for one in (cabinet, with_light(cabinet, shares)))
    assert dimmed.evenness.max_to_min > own.evenness.max_to_min
    assert dimmed.ledger.emitted == pytest.approx(own.ledger.emitted * shares.mean(), rel=1e-12)
    middle = wired(ROWS, {KIND: electrics("resistor", forward_volts=9.0)}, wiring(feed_at="middle"))
    assert shares_of_light(middle, cabinet.modules).min() > shares.min()


def test_what_cannot_be_is_refused_with_its_row() -> None:
    """A wire that cannot carry its string says which row; a forward voltage above the rated one is no module."""
    heavy = Electrics(watts=40.0, volts=12.0, takes="constant power", dimming=SteadyDriver(drop_out=10.0))
    with pytest.raises(InputError, match=r"^row 1: the string is too long for its wire"):
        wired(ROWS, {KIND: heavy}, wiring())
    with pytest.raises(InputError, match="below the rated voltage of 12 V, got 12 V"):
        electrics("resistor", forward_volts=12.0)


def test_string_that_is_bunched_has_its_whole_wire() -> None:
    """Modules set closer than the string's pitch drop by the wire that hangs between them; wider ones by the gap."""
    (own, _) = wired(ROWS, {KIND: electrics()}, wiring())
    r, i = WIRE.loop(0.1), 0.06
    for pitch, length in ((Fraction(3, 20), 0.15), (Fraction(1, 20), 0.1)):
        (bunched, _) = wired(ROWS, {KIND: electrics()}, wiring(), {KIND: pitch})
        more = (length / 0.1 - 1) * r * i * 39 * 40 / 2
        assert own.voltages.volts[-1] - bunched.voltages.volts[-1] == pytest.approx(more, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("feed_at", "lit"),
    [("end", range(15)), ("middle", range(15, 40)), ("both ends", range(40))],
)
def test_what_a_joint_cuts_off_is_dark_and_the_rest_is_a_string_by_itself(feed_at: str, lit: range) -> None:
    """Beyond the joint no feed is left, or the one at the far end; what is left hangs on shorter wire alone."""
    (one, _) = wired(ROWS, {KIND: electrics("resistor")}, wiring(feed_at=feed_at))
    shares = with_joint_open(one, electrics("resistor"), wiring(feed_at=feed_at), None, before=15)
    assert np.flatnonzero(shares).tolist() == list(lit)
    if feed_at == "end":
        (alone, *_) = wired(ROWS[0].in_parts([15, 25])[:1], {KIND: electrics("resistor")}, wiring())
        np.testing.assert_array_equal(shares[:15], alone.shares)
    if feed_at == "both ends":
        assert shares[0] > one.shares[0]
        np.testing.assert_allclose(
            shares[15:],
            wired(ROWS[0].in_parts([25, 15])[:1], {KIND: electrics("resistor")}, wiring())[0].shares[::-1],
            rtol=1e-12,
        )
