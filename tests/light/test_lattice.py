"""Light of whole rows on a lattice against the same light computed source by source and point by point."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.orientation import frame
from lumsim.cabinet.sources import Half, Sources
from lumsim.light.beam_tables import jumps
from lumsim.light.direct import DirectLight
from lumsim.light.lattice import light_of_rows
from tests.benchmarks.contests import lopsided

Array = NDArray[np.float64]
Indices = NDArray[np.intp]

DEPTH = 0.15
EVERY_5 = np.radians(np.arange(0, 91, 5.0))
COARSE = Table(angles=tuple(EVERY_5), values=tuple(np.cos(EVERY_5).clip(0) * (1 + EVERY_5**2)))
SMOOTH: dict[str, Beam] = {
    "cosine power 1.7": CosinePower(exponent=1.7),
    "cosine power 12.5": CosinePower(exponent=12.5),
    "wide 2.6": Wide(width=2.6),
}
WHOLE = ("wide 2.6", 0.0)
"""Upright, its two whole powers have kernels of their own."""
MEASURED: dict[str, Beam] = {"every 5 deg": COARSE, "web": lopsided()}

X, Y = np.linspace(0.02, 1.58, 101), np.linspace(0.03, 0.77, 53)


def sources(
    beam: Beam, *, sx: list[float], sy: list[float], tilt: float = 0.0, columns: bool = False
) -> Sources:
    """Every place of sx by every place of sy, at two throws and of uneven flux; rows along y where `columns`."""
    x, y = (one.ravel() for one in np.meshgrid(sx, sy))
    n = len(x)
    which = np.arange(n) % len(sx) if columns else np.arange(n) // len(sx)
    along = np.arange(n) // len(sx) if columns else np.arange(n) % len(sx)
    return Sources(
        x=x,
        y=y,
        z=np.where(which % 2 == 0, 0.02, 0.05),
        flux=np.asarray(1.0 + 0.1 * (along % 3), dtype=np.float64),
        frames=np.repeat(frame("back", "horizontal", tilt=tilt, turn=0.3)[None], n, axis=0),
        half=np.zeros(n, dtype=np.intp),
        halves=(Half(beam, False),),
    )


PLACES = [0.013 + 0.0517 * k for k in range(30)]
FEW = [0.1, 0.31, 0.66]


def one_by_one(some: Sources) -> tuple[float, float]:
    """Largest difference between the two ways, of the light's peak, and the difference of the means, of the mean."""
    light = DirectLight(some, DEPTH)
    together = light.on_lattice(X, Y)
    singly = light.illuminance(*np.meshgrid(X, Y))
    assert together.shape == singly.shape
    assert not np.array_equal(together, singly), "nothing was summed by rows"
    return float(np.abs(together - singly).max() / singly.max()), float(together.mean() / singly.mean() - 1)


@pytest.mark.parametrize("columns", [False, True], ids=["rows", "columns"])
@pytest.mark.parametrize(
    ("name", "tilt"),
    [(name, tilt) for name in sorted(SMOOTH) for tilt in (0.0, 0.6) if (name, tilt) != WHOLE],
)
def test_rows_of_smooth_beams_are_those_of_their_sources(name: str, tilt: float, columns: bool) -> None:
    """Summed by curves, rows miss the light of their sources by less than 2e-4 of its peak, in the mean by 2e-5.

    Upright it is 1e-5, in the mean 2e-6; aslant a beam's light bends at its horizon.
    """
    sx, sy = (FEW, PLACES[:14]) if columns else (PLACES, FEW)
    error, of_mean = one_by_one(sources(SMOOTH[name], sx=sx, sy=sy, tilt=tilt, columns=columns))
    assert error < (2e-4 if tilt else 1e-5)
    assert abs(of_mean) < (2e-5 if tilt else 2e-6)


@pytest.mark.parametrize("tilt", [0.0, 0.6], ids=["upright", "tilted"])
@pytest.mark.parametrize("name", sorted(MEASURED))
def test_rows_of_measured_beams_are_those_of_their_sources(name: str, tilt: float) -> None:
    """Beams that bend at each of their angles are met within 1e-3 of the peak, and in the mean within 1e-5."""
    error, of_mean = one_by_one(sources(MEASURED[name], sx=PLACES, sy=FEW, tilt=tilt))
    assert error < 1e-3
    assert abs(of_mean) < 1e-5


def test_beams_that_jump_are_summed_one_by_one() -> None:
    """A step within a beam would be smeared by the curves, so that light is computed source by source."""
    light = DirectLight(sources(UniformPlane(cut_off=math.radians(60)), sx=PLACES, sy=FEW), DEPTH)
    np.testing.assert_array_equal(light.on_lattice(X, Y), light.illuminance(*np.meshgrid(X, Y)))


@pytest.mark.parametrize("degrees", [2.5, 5.0, 10.0])
def test_rows_of_noisy_tables_are_those_of_their_sources(degrees: float) -> None:
    """Angles that scatter by 2 % bend a beam at each: nodes come closer, and rows stay within 1e-3 of the peak."""
    draw, angles = np.random.default_rng(5), np.radians(np.arange(0, 90 + degrees / 2, degrees))
    noise = 1 + 0.02 * draw.standard_normal(len(angles))
    beam = Table(angles=tuple(angles), values=tuple(np.cos(angles).clip(0) * noise))
    error, of_mean = one_by_one(sources(beam, sx=PLACES, sy=FEW))
    assert error < 1e-3
    assert abs(of_mean) < 2e-5


def test_what_jumps() -> None:
    """Cut-offs and tables that end lit jump; a beam lit at 90 deg jumps where it is aslant, and not upright."""
    lit_to_horizon = Table(angles=(0.0, math.pi / 2), values=(1.0, 0.5))
    ends_lit = Table(angles=(0.0, math.radians(70)), values=(1.0, 0.2))
    for beam in (UniformPlane(cut_off=1.0), ends_lit):
        assert jumps(Half(beam, False), to_horizon=False)
    for smooth in (Wide(width=4.0), CosinePower(exponent=20.0), COARSE, lopsided()):
        assert not jumps(Half(smooth, False), to_horizon=True)
    C = np.radians([0.0, 90, 91, 270, 271, 360])
    half_lit = Web(
        photometric_type="C",
        vertical=EVERY_5,
        horizontal=C,
        values=np.array([1, 1, 0.1, 0.1, 1, 1])[:, None] * np.cos(EVERY_5).clip(0),
    )
    assert jumps(Half(half_lit, False), to_horizon=False), "a step around the axis"
    assert not jumps(Half(lit_to_horizon, False), to_horizon=False)
    assert jumps(Half(lit_to_horizon, False), to_horizon=True)


def law(dx: Array, dy: Array) -> Array:
    """A Lambertian source's E h²/I₀ at a throw of 0.1 m: cos⁴θ."""
    return np.asarray((1 + (dx**2 + dy**2) / 0.1**2) ** -2.0)


def test_a_source_in_no_row_is_left_to_others() -> None:
    """Rows that are too short to gain by it are told as not done, and add nothing."""
    sx, sy, h = np.array([*PLACES, 0.4]), np.array([0.2] * 30 + [0.5]), np.full(31, 0.1)
    asked: list[int] = []

    def light(x: Array, y: Array, which: Indices) -> Array:
        asked.extend(which.tolist())
        return law(x - PLACES[0], y - 0.2)

    E, done = light_of_rows(X, Y, sx, sy, h, np.ones(31), step=1 / 32, aslant=False, light=light)
    assert done.tolist() == [True] * 30 + [False]
    assert asked == [0]
    expected = sum(law(X[None, :] - at, Y[:, None] - 0.2) for at in PLACES)
    np.testing.assert_allclose(E, expected, rtol=1e-5)


def test_rows_alike_are_asked_for_together() -> None:
    """Rows whose sources stand in the same places at the same throw are one sum; a staggered row is its own."""
    sx = np.concatenate([PLACES, np.array(PLACES) + 0.02, PLACES])
    sy = np.repeat([0.1, 0.3, 0.5], 30)
    asked: list[list[int]] = []

    def light(x: Array, y: Array, which: Indices) -> Array:
        asked.append(sorted(which.tolist()))
        return np.zeros(len(x))

    light_of_rows(X, Y, sx, sy, np.full(90, 0.1), np.ones(90), step=1 / 32, aslant=False, light=light)
    assert sorted(asked) == [[0, 60], [30]]
