"""Rows without end: what their closed form promises, and what it refuses."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import j1, jn_zeros

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.errors import InputError
from lumsim.light.infinite_rows import ENVELOPE, WIDEST, InfiniteRows, has_closed_form
from lumsim.light.matern import matern

Array = NDArray[np.float64]

SPOT = UniformPlane(cut_off=math.radians(60))
RATIOS = (1.01, 1.05, 1.2, 1.5, 3.0)
BEAMS: dict[str, Beam] = {
    "lambertian": LAMBERTIAN,
    "even": CosinePower(exponent=0.0),
    "sharp": CosinePower(exponent=60.0),
    "wide 2": Wide(width=2.0),
    "wide 4": Wide(width=4.0),
    "uniform plane": SPOT,
}
PLATES = {"direct": (0.0, 0.0), "plates": (0.85, 0.4)}


def rows(
    beam: Beam = LAMBERTIAN,
    *,
    throw: float = 1.0,
    depth: float | None = None,
    plates: tuple[float, float] = (0.0, 0.0),
    behind: float = 0.0,
    module_pitch: float | None = None,
) -> InfiniteRows:
    """Rows on the back, at a throw of 1, unless said."""
    return InfiniteRows(
        beam=beam,
        throw=throw,
        depth=throw if depth is None else depth,
        back_reflectance=plates[0],
        face_reflectance=plates[1],
        behind=behind,
        module_pitch=module_pitch,
    )


def profile(lit: InfiniteRows, pitch: float, n: int = 4001) -> Array:
    """The light across a whole pitch."""
    return np.asarray(lit.illuminance(np.zeros(1), np.linspace(0, pitch, n), pitch)[0])


@pytest.mark.parametrize("plates", PLATES.values(), ids=PLATES)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_the_mean_is_the_flux_s(beam: Beam, plates: tuple[float, float]) -> None:
    """The light averages over a pitch to Φ/A by 1/(1 − ρ_b ρ_f), whatever the beam and the pitch."""
    lit = rows(beam, plates=plates)
    assert lit.mean == pytest.approx(1 / (1 - plates[0] * plates[1]), rel=1e-12)
    for pitch in (0.3, 1.0, 2.7):
        assert np.trapezoid(profile(lit, pitch)) / 4000 == pytest.approx(lit.mean, rel=1e-4)


@pytest.mark.parametrize("width", [0.0, 1.0, 2.0, 4.0])
def test_the_brightest_place_is_that_of_the_whole_profile(width: float) -> None:
    """Over a row, midway or wherever else: at the brightest place there is as much light as anywhere."""
    lit = rows(Wide(width=width), throw=0.2)
    for pitch in np.linspace(0.1, 0.8, 29):
        at = lit.brightest_at(float(pitch))
        assert 0 <= at <= pitch / 2
        here = float(lit.illuminance(np.zeros(1), np.array([at]), float(pitch))[0, 0])
        assert here >= profile(lit, float(pitch)).max() * (1 - 1e-12)


def test_rows_that_shine_straight_ahead_are_brightest_over_themselves() -> None:
    """Of a Lambertian beam, and any cosine power, the bright stripe lies on the row at every pitch."""
    for exponent in (0.0, 1.0, 3.0):
        for pitch in (0.4, 1.0, 2.0, 5.0):
            assert rows(CosinePower(exponent=exponent)).brightest_at(pitch) == 0


def test_between_on_a_row_and_midway_a_bright_stripe_parts_in_two() -> None:
    """Where a wide beam's stripe moves from midway onto the rows it passes places that are neither."""
    lit = rows(Wide(width=4.0))
    at = [lit.brightest_at(pitch) / pitch for pitch in (1.0, 1.75, 3.0)]
    assert at[0] == 0.5
    assert 0.01 < at[1] < 0.49
    assert at[2] < at[1]


def test_the_light_across_rows_goes_from_midway_to_midway() -> None:
    """Places rise from nought, midway before the first row, over so many pitches; rows lie half a pitch on."""
    lit = rows(throw=0.1)
    places, light = lit.across(0.3, periods=2)
    assert (places[0], places[-1]) == (0.0, pytest.approx(0.6))
    np.testing.assert_allclose(light, lit.illuminance(np.zeros(1), places - 0.15, 0.3)[0], rtol=1e-12)
    top = places[np.argsort(light)[-2:]]
    assert sorted(top) == pytest.approx([0.15, 0.45])
    assert light[0] == pytest.approx(light.min())


@pytest.mark.parametrize("plates", PLATES.values(), ids=PLATES)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_extremes_are_those_of_the_whole_profile(beam: Beam, plates: tuple[float, float]) -> None:
    """Max/min is never less than that of any samples, and no more than very fine ones show."""
    lit = rows(beam, plates=plates)
    for pitch in (0.5, 1.0, 1.55, 2.0, 2.9):
        E = profile(lit, pitch, 20_001)
        if E.min() > 1e-4 * E.max():
            # Fine samples miss the kinks of the discs' rims by a root.
            off = 3e-2 if beam is SPOT else 1e-6
            assert E.max() / E.min() * (1 - 1e-12) <= lit.max_to_min(pitch) <= E.max() / E.min() * (1 + off)


@pytest.mark.parametrize("plates", PLATES.values(), ids=PLATES)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_the_pitch_for_a_ratio_is_the_first_that_comes_up_to_it(
    beam: Beam, plates: tuple[float, float]
) -> None:
    """Every narrower pitch of a fine scan stays below the ratio; at the pitch itself it is the ratio."""
    lit = rows(beam, plates=plates)
    scanned = np.arange(0.1, 3.2, 0.02)
    ratios = np.array([lit.max_to_min(float(pitch)) for pitch in scanned])
    for ratio in RATIOS:
        found = lit.pitch_for(ratio)
        first = scanned[np.argmax(ratios >= ratio)] if (ratios >= ratio).any() else math.inf
        if found is None:
            assert first == math.inf
            continue
        # A bump between two pitches of the scan may come earlier, nothing may come later.
        assert found <= first
        assert (ratios[scanned < found] < ratio).all()
        at, just_below = lit.max_to_min(found * (1 + 1e-9)), lit.max_to_min(found * (1 - 1e-9))
        assert at * (1 + 1e-6) >= ratio
        assert just_below <= ratio * (1 + 1e-6)


def test_a_bump_is_not_overlooked() -> None:
    """Wide beams (width 2) rise to 1.0115 at a pitch of a throw, fall, and rise again: both are looked at."""
    lit = rows(Wide(width=2.0))
    pitches = np.arange(0.7, 1.5, 0.004)
    ratios = np.array([lit.max_to_min(float(pitch)) for pitch in pitches])
    top = int(np.argmax(ratios[pitches < 1.2]))
    assert ratios[top] > ratios[pitches > 1.2].min() + 0.005
    before, after = lit.pitch_for(float(ratios[top]) - 1e-6), lit.pitch_for(float(ratios[top]) + 1e-4)
    assert before is not None
    assert after is not None
    assert before == pytest.approx(pitches[top], abs=0.02)
    assert after > 1.5


def test_discs_leave_dark_places_once_they_part() -> None:
    """Rows of discs further apart than these are wide leave places without light, and no ratio is reached later."""
    lit = rows(SPOT)
    width = 2 * math.tan(math.radians(60))
    assert lit.max_to_min(width * 1.001) == math.inf
    assert lit.max_to_min(width * 0.999) < math.inf
    assert lit.pitch_for(1e6) == pytest.approx(width, rel=1e-6)


def test_the_first_harmonic_of_discs_vanishes_where_the_spectrum_says() -> None:
    """At a pitch of 2π/3.8317 radii rows of discs have no first harmonic, direct or between plates."""
    pitch = 2 * math.pi * math.tan(math.radians(60)) / float(jn_zeros(1, 1)[0])
    assert pitch / math.tan(math.radians(60)) == pytest.approx(1.63979, abs=5e-6)
    for plates in PLATES.values():
        E = profile(rows(SPOT, plates=plates), pitch, 200_001)[:-1]
        y = 2 * math.pi * np.arange(200_000) / 200_000
        assert abs(np.mean(E * np.cos(y))) < 1e-6


def test_the_envelope_of_the_discs_spectrum_holds() -> None:
    """√x |J₁(x)| stays below what the search for a first pitch starts from."""
    x = np.linspace(1e-3, 300, 300_001)
    assert 0.99 * ENVELOPE < (np.sqrt(x) * np.abs(j1(x))).max() < ENVELOPE


def test_scale_does_not_matter() -> None:
    """Twice the throw, depth and pitches: the same ratio."""
    for module_pitch in (None, 0.8):
        one = rows(plates=(0.8, 0.5), module_pitch=module_pitch).max_to_min(1.3)
        other = rows(
            throw=2.0, plates=(0.8, 0.5), module_pitch=None if module_pitch is None else 1.6
        ).max_to_min(2.6)
        assert other == pytest.approx(one, rel=1e-12)


def test_close_dots_are_a_row_and_dots_may_be_swapped_for_rows() -> None:
    """Dots a quarter of a throw apart are a continuous row; a lattice is the same seen along its other pitch."""
    assert rows(module_pitch=0.25).max_to_min(1.5) == pytest.approx(rows().max_to_min(1.5), rel=1e-8)
    one, other = rows(module_pitch=1.2).max_to_min(1.9), rows(module_pitch=1.9).max_to_min(1.2)
    assert one == pytest.approx(other, rel=1e-9)


def test_dots_too_far_apart_are_even_at_no_pitch() -> None:
    """Modules two throws apart along a row ripple by 1.535 on their own, however close the rows."""
    assert rows(module_pitch=2.0).pitch_for(1.5) is None
    assert rows(module_pitch=2.0).pitch_for(1.6) is not None


def test_plates_even_the_light_out() -> None:
    """The more the plates throw back, the more even the light."""
    ratios = [rows(plates=(both, 1.0)).max_to_min(1.5) for both in (0.0, 0.3, 0.6, 0.9)]
    assert sorted(ratios, reverse=True) == ratios


def test_raised_rows_have_the_plates_further_apart_than_their_throw() -> None:
    """Direct light knows only the throw; what the plates add is smoother the further they are apart."""
    assert rows(throw=1.0, depth=1.5).max_to_min(1.5) == rows().max_to_min(1.5)
    near, far = (rows(depth=depth, plates=(0.85, 0.4)).max_to_min(1.5) for depth in (1.0, 1.5))
    assert far < near


@pytest.mark.parametrize("depth", [2.0, 1.6])
def test_rows_between_two_faces_are_the_sum_of_all_that_goes_to_and_fro(depth: float) -> None:
    """Light followed from face to face by Fourier's sums, bounce by bounce, ends in the closed form."""
    rear, front, pitch = 0.4, 0.3, 1.9
    lit = rows(depth=depth, plates=(rear, front), behind=0.35)
    k = 2 * math.pi / pitch * np.arange(12.0)
    exchange = matern(1.0, k * depth)
    on_front = 0.65 * matern(1.0, k)
    on_rear = 0.35 * matern(1.0, k * (depth - 1.0))
    total = np.zeros_like(k)
    for _ in range(60):
        total += on_front
        on_front, on_rear = exchange * rear * on_rear, exchange * front * on_front
    y = np.linspace(0, pitch, 7)
    by_bounces = np.cos(np.multiply.outer(y, k)) @ (np.where(k > 0, 2, 1) * total)
    np.testing.assert_allclose(lit.illuminance(np.zeros(1), y, pitch)[0], by_bounces, rtol=1e-9)


@pytest.mark.parametrize("exponent", [0.0, 0.5, 1.0, 3.0, 7.5, 400.0])
def test_the_transform_falls_steadily_from_one(exponent: float) -> None:
    """T_m is 1 at 0 and only falls, which is what the search for a first pitch starts from."""
    T = matern(exponent, np.linspace(0, 200, 4001))
    assert T[0] == 1
    assert (np.diff(T) <= 1e-15).all()
    assert T[-1] < 1e-15


def test_a_ratio_never_reached_is_none() -> None:
    """Between plates that throw nearly all back no pitch looked at makes a hundred million to one."""
    assert rows(plates=(0.9, 0.9)).pitch_for(1e8) is None
    assert rows(plates=(0.9, 0.9)).max_to_min(WIDEST) < 1e8


def test_what_has_no_closed_form_is_said() -> None:
    """Tables have none, discs none as dots."""
    table = Table(angles=(0.0, 1.0, math.pi / 2), values=(1.0, 0.6, 0.0))
    assert [has_closed_form(beam) for beam in (LAMBERTIAN, Wide(width=2.0), SPOT, table)] == [
        True,
        True,
        True,
        False,
    ]
    with pytest.raises(InputError, match="closed form for cosine powers, their sums and uniform-plane"):
        rows(table)
    with pytest.raises(InputError, match="dotted rows without end"):
        rows(SPOT, module_pitch=1.0)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"throw": 0.0}, "a throw must be more than 0 m"),
        ({"throw": math.nan}, "a throw must be more than 0 m"),
        ({"throw": 1.0, "depth": 0.9}, "at most the depth of 0.9 m, got 1 m"),
        ({"plates": (1.1, 0.5)}, "back_reflectance must be from 0 to 1, got 1.1"),
        ({"plates": (0.5, math.nan)}, "face_reflectance must be from 0 to 1, got nan"),
        ({"plates": (1.0, 1.0)}, "light has no end"),
        ({"behind": 1.0}, "less than 1, got 1"),
        ({"module_pitch": 0.0}, "module pitch must be more than 0 m, got 0 m"),
    ],
)
def test_what_cannot_be_is_refused(given: dict[str, float], message: str) -> None:
    """Impossible lengths and shares are refused in words."""
    with pytest.raises(InputError, match=message):
        rows(**given)  # type: ignore[arg-type]


@pytest.mark.parametrize("pitch", [0.0, -1.0, math.inf, math.nan])
def test_a_pitch_that_cannot_be_is_refused(pitch: float) -> None:
    """A row pitch must be a length."""
    with pytest.raises(InputError, match="a row pitch must be more than 0 m"):
        rows().max_to_min(pitch)


@pytest.mark.parametrize("ratio", [1.0, 0.5, math.inf, math.nan])
def test_a_ratio_that_cannot_be_is_refused(ratio: float) -> None:
    """Nothing is more even than 1."""
    with pytest.raises(InputError, match="above 1 to be looked for"):
        rows().pitch_for(ratio)


@pytest.mark.parametrize(("periods", "samples"), [(0, 100), (3, 101), (3, 0), (3, -4)])
def test_no_row_to_look_across_is_refused(periods: int, samples: int) -> None:
    """Without a row, and with a number of places that has none in its middle, nothing is looked across."""
    with pytest.raises(InputError, match="even number"):
        rows(LAMBERTIAN).across(1.0, periods=periods, samples=samples)
