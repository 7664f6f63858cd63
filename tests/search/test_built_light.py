"""Light of built signs by what they differ in, against each of them simulated whole by itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lumsim.beams.closed import CosinePower
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.rows import Direction
from lumsim.search.built_light import LitSigns
from lumsim.search.spread import BuiltSign, Spread, built, draw, refuse_unfit
from lumsim.search.twins import twins
from lumsim.simulation import ALL_LIGHT, Lighting, simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT, OPAL, in_rows, listed

NAMES = ("max_to_min", "stripe_max_to_min", "edge_dimming", "mean", "coefficient_of_variation")

DEPTH = 0.12
FACE = Face(transmittance=0.4, reflectance=0.4, visible_border=0.02)

SPREADS = {
    # What each is held to of max/min, relative: some twice what was found over a hundred signs.
    "flux_scatter": (Spread(flux_scatter=0.1), 3e-4),
    "dead_modules": (Spread(dead_modules=1), 2e-3),
    "placing": (Spread(placing=0.003), 5e-4),
    "row_sag": (Spread(row_sag=0.006), 5e-4),
    "depth": (Spread(depth=0.003), 2e-4),
    "all": (Spread(flux_scatter=0.05, dead_modules=1, placing=0.003, row_sag=0.003, depth=0.003), 3e-3),
}


def sign_cabinet() -> Cabinet:
    """Three rows of four modules, 0.4 × 0.3 × 0.12 m."""
    return in_rows(0.4, 0.3, DEPTH, rows=3, modules=4, face=FACE, z=0.01)


def off_by(
    given: Cabinet,
    spread: Spread,
    *,
    signs: int,
    lighting: Lighting = ALL_LIGHT,
    solved_anew: bool | None = None,
) -> dict[str, float]:
    """The largest relative error of each number over some signs, against each simulated by itself."""
    lit = LitSigns(given, spread, Requirement(), lighting=lighting, names=NAMES, solved_anew=solved_anew)
    drawn = [draw(given, spread, seed=7, number=number) for number in range(1, signs + 1)]
    requirement = Requirement(stripe_window=given.stripe_window)
    worst = dict.fromkeys(NAMES, 0.0)
    for sign, found in zip(drawn, lit.numbers(drawn), strict=True):
        whole = simulate(built(given, sign), requirement, lighting=lighting)
        for side, numbers in found.items():
            even = whole.on(side).evenness
            for name in NAMES:
                worst[name] = max(worst[name], abs(numbers[name] / getattr(even, name) - 1))
    return worst


@pytest.mark.parametrize(
    ("kind", "signs"),
    [*((kind, 1) for kind in SPREADS), *(pytest.param(kind, 4, marks=pytest.mark.slow) for kind in SPREADS)],
)
def test_a_built_sign_is_lit_as_if_simulated_by_itself(kind: str, signs: int) -> None:
    """Every number of a built sign is that of a whole simulation of it, to what is stated for each kind of spread."""
    spread, told = SPREADS[kind]
    worst = off_by(sign_cabinet(), spread, signs=signs)
    assert worst["max_to_min"] < told
    assert max(worst["stripe_max_to_min"], worst["edge_dimming"]) < told
    assert worst["mean"] < told
    assert worst["coefficient_of_variation"] < 5 * told


def test_the_drawing_itself_is_simulated_to_the_last_digits() -> None:
    """A sign that differs by nothing has the numbers of `simulate`."""
    given = sign_cabinet()
    lit = LitSigns(given, Spread(flux_scatter=0.1), Requirement(), lighting=ALL_LIGHT, names=NAMES)
    even = simulate(given).evenness
    (found,) = lit.numbers([as_drawn(given)])
    for name in NAMES:
        assert found["front"][name] == pytest.approx(getattr(even, name), rel=1e-6)


def test_the_contrast_of_spots_is_told_of_each_sign() -> None:
    """Where it is asked for, the greatest contrast of a stripe or a dot is that of a whole simulation."""
    given = in_rows(0.4, 0.5, 0.06, rows=3, modules=4, face=FACE)
    spread = Spread(flux_scatter=0.1)
    sign = draw(given, spread, seed=7, number=1)
    names = ["hot_spot_contrast"]
    lit = LitSigns(given, spread, Requirement(), lighting=ALL_LIGHT, names=names)
    whole = simulate(built(given, sign), Requirement(stripe_window=given.stripe_window)).evenness
    assert whole.hot_spot_contrast > 0.05
    (found,) = lit.numbers([sign])
    assert found["front"]["hot_spot_contrast"] == pytest.approx(whole.hot_spot_contrast, rel=2e-3)


def test_direct_light_alone_is_exact() -> None:
    """Without light thrown back nothing is approximated but for the spline through the samples."""
    spread = replace(SPREADS["all"][0], bow=0.0)
    assert max(off_by(sign_cabinet(), spread, signs=2, lighting=DIRECT).values()) < 2e-4


def test_a_shift_counts_where_mirror_images_are_in_rows_that_cross() -> None:
    """Two modules in a column and two in a row, each the other's image: all four are moved as they are built."""
    ways: tuple[Direction, Direction] = ("vertical", "horizontal")
    left, right = (
        listed(0.3, 0.3, DEPTH, [(x, y) for y in (0.09, 0.21)], direction=direction, z=0.01, face=FACE)
        for x, direction in zip((0.075, 0.225), ways, strict=True)
    )
    given = replace(left, groups=(*left.groups, *right.groups))
    assert twins(given).flipped.any()
    worst = off_by(given, Spread(placing=0.004), signs=3, solved_anew=False)
    assert worst["max_to_min"] < 5e-4


def test_unequal_faces_and_returns_are_told_each() -> None:
    """Of a double-sided cabinet with unlike returns and faces both faces are those of a whole simulation."""
    given = listed(
        0.32,
        0.3,
        0.14,
        [(x, y) for y in (0.08, 0.21) for x in (0.07, 0.16, 0.24)],
        z=0.06,
        front_share=0.6,
        face=FACE,
        rear=Face(transmittance=0.3, reflectance=0.5, visible_border=0.03),
    )
    given = replace(given, box=replace(given.box, left_return_reflectance=0.5))
    worst = off_by(given, Spread(flux_scatter=0.1, placing=0.003, depth=0.003), signs=1)
    assert worst["max_to_min"] < 1e-3


def test_other_beams_are_lit_likewise() -> None:
    """A beam whose light is summed by curves is told as exactly."""
    given = in_rows(0.4, 0.3, DEPTH, rows=3, modules=4, face=FACE, beam=CosinePower(exponent=1.7))
    assert off_by(given, Spread(flux_scatter=0.1, placing=0.003), signs=2)["max_to_min"] < 1e-3


def test_solved_anew_is_the_same_light() -> None:
    """In signs too large to keep each module's light, what is solved for anew is as exact, depth included."""
    spread = Spread(flux_scatter=0.1, placing=0.003, depth=0.003)
    assert off_by(sign_cabinet(), spread, signs=2, solved_anew=True)["max_to_min"] < 1e-3


@pytest.mark.parametrize("solved_anew", [False, True])
def test_a_deeper_sign_without_scatter_is_the_drawing_deeper(solved_anew: bool) -> None:
    """How the drawing's own light bends with the depth counts once, whichever way modules' light is come by.

    With next to no scatter, and the depth off by up to a seventh of the throw, signs are the drawing at their depth.
    """
    spread = Spread(flux_scatter=1e-9, depth=0.015)
    assert off_by(sign_cabinet(), spread, signs=1, solved_anew=solved_anew)["max_to_min"] < 1.5e-3


def test_modules_moved_far_are_solved_for_anew() -> None:
    """Beyond what a slope tells, up to the quarter of the throw that is taken, light is as of a whole simulation."""
    spread = Spread(placing=0.0275)
    refuse_unfit(sign_cabinet(), spread)
    assert off_by(sign_cabinet(), spread, signs=2)["max_to_min"] < 1e-3


def test_a_face_without_border_is_told_into_its_corners() -> None:
    """Where the corners are in sight, what the spline misses of them is taken from the drawing."""
    given = in_rows(0.4, 0.3, DEPTH, rows=3, modules=4, face=OPAL)
    assert off_by(given, Spread(flux_scatter=0.05), signs=2)["max_to_min"] < 2e-3


def test_a_dead_module_is_its_light_left_out() -> None:
    """One module dead in turn is the sign simulated without it, extremes over the whole face."""
    given = sign_cabinet()
    lit = LitSigns(given, Spread(), Requirement(), lighting=ALL_LIGHT, names=NAMES)
    for module in (0, 6):
        whole = simulate(built(given, without(given, module)), Requirement(stripe_window=given.stripe_window))
        found = lit.without(module)["front"]
        for name in ("max_to_min", "stripe_max_to_min", "edge_dimming"):
            assert found[name] == pytest.approx(getattr(whole.evenness, name), rel=2e-3)


def test_twins_are_mirror_images() -> None:
    """Of a centred layout a quarter of the modules stands for all; unlike returns or fluxes leave fewer twins."""
    pairs = twins(sign_cabinet())
    assert len(pairs.alone) == 2 * 2
    places = sign_cabinet().emitters().places
    for module, (first, flipped) in enumerate(zip(pairs.first, pairs.flipped, strict=True)):
        image = places[first].copy()
        image[0] = 0.4 - image[0] if flipped[0] else image[0]
        image[1] = 0.3 - image[1] if flipped[1] else image[1]
        assert image == pytest.approx(places[module])
    lopsided = replace(sign_cabinet(), box=replace(sign_cabinet().box, left_return_reflectance=0.3))
    assert len(twins(lopsided).alone) == 2 * 4
    assert len(twins(listed(0.3, 0.3, 0.1, [(0.1, 0.1), (0.2, 0.1)], lumens=np.array([1.0, 2.0]))).alone) == 2


# --- a bowed face ----------------------------------------------------------------------------------------


def on_bowed(given: Cabinet, bow: float, x: np.ndarray, y: np.ndarray, *, slanted: bool) -> np.ndarray:
    """Direct light on a bowed face by the plain sum over Lambertian modules, with or without its slant. [lx]"""
    box, emitters = given.box, given.emitters()
    u, v = 2 * x / box.width - 1, 2 * y / box.height - 1
    z = box.depth + bow * (1 - u**2) * (1 - v**2)
    slope_x = bow * -4 * u / box.width * (1 - v**2) * slanted
    slope_y = bow * -4 * v / box.height * (1 - u**2) * slanted
    total = np.zeros_like(x)
    for sx, sy, sz, flux in zip(emitters.x, emitters.y, emitters.z, emitters.flux, strict=True):
        dx, dy, dz = x - sx, y - sy, z - sz
        r2 = dx**2 + dy**2 + dz**2
        # The normal of the face, outwards, is (−slope_x, −slope_y, 1), to its length.
        facing = (dz - slope_x * dx - slope_y * dy) / np.sqrt(1 + slope_x**2 + slope_y**2)
        total += flux / np.pi * dz * facing / r2**2
    return total


def bowed(given: Cabinet, bow: float, lighting: Lighting) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Light on the samples of a bowed face, and the samples. [lx, m]"""
    spread = Spread(bow=abs(bow))
    lit = LitSigns(given, spread, Requirement(), lighting=lighting, names=NAMES)
    sign = replace(as_drawn(given), bow=(bow, bow))
    return lit.illuminance([sign])[0], *np.meshgrid(*lit.samples())


@pytest.mark.parametrize("bow", [0.006, -0.006])
def test_direct_light_on_a_bowed_face_is_at_its_true_distance(bow: float) -> None:
    """By a parabola through three flat faces it is that of the plain sum at each point's own distance, to 1e-4."""
    given = sign_cabinet()
    E, x, y = bowed(given, bow, DIRECT)
    assert pytest.approx(on_bowed(given, bow, x, y, slanted=False), rel=1e-4) == E


def test_the_slant_of_a_bowed_face_is_worth_little() -> None:
    """What is left out of a face's slant is less than its steepest slope at the edges, and nothing in its middle."""
    given, bow = sign_cabinet(), 0.006
    _, x, y = bowed(given, bow, DIRECT)
    flat, slanted = (on_bowed(given, bow, x, y, slanted=one) for one in (False, True))
    off = np.abs(slanted / flat - 1)
    steepest = 4 * bow / 0.3
    assert off.max() < steepest
    assert off[off.shape[0] // 2, off.shape[1] // 2] < 1e-3


def test_light_thrown_back_at_a_bowed_face_lies_between_two_depths() -> None:
    """Between that of a flat face and that of a cabinet deeper by the whole bow, at every point."""
    given, bow = sign_cabinet(), 0.006
    E, _, _ = bowed(given, bow, ALL_LIGHT)
    straight, _, _ = bowed(given, bow, DIRECT)
    flat, deeper = (thrown_back(given, more) for more in (0.0, bow))
    low, high = np.minimum(flat, deeper), np.maximum(flat, deeper)
    room = 2e-4 * flat
    assert ((E - straight >= low - room) & (E - straight <= high + room)).all()
    assert np.abs(deeper / flat - 1).max() < 0.05


def thrown_back(given: Cabinet, deeper: float) -> np.ndarray:
    """Light thrown back in a deeper flat cabinet, on the samples. [lx]"""
    spread = Spread(depth=0.006)
    sign = replace(as_drawn(given), depth=deeper)
    both = [
        LitSigns(given, spread, Requirement(), lighting=one, names=NAMES).illuminance([sign])[0]
        for one in (ALL_LIGHT, DIRECT)
    ]
    return np.asarray(both[0] - both[1])


def as_drawn(given: Cabinet) -> BuiltSign:
    """A sign that differs by nothing."""
    n = len(given.emitters())
    return BuiltSign(number=1, flux=np.ones(n), off=np.zeros((n, 3)), depth=0.0, bow=(0.0, 0.0), dead=())


def without(given: Cabinet, module: int) -> BuiltSign:
    """A sign with one module dead."""
    sign = as_drawn(given)
    sign.flux[module] = 0.0
    return replace(sign, dead=(module,))
