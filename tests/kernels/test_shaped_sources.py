"""The kernels for beams of any shape against the law itself, point by point and source by source."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.kernels import shaped_sources

Array = NDArray[np.float64]

OF_PEAK = 3e-4
"""By how much an intensity that is looked up may miss the beam's, of its peak; a third of what is asked for. [1]"""

EVERY_5 = np.radians(np.arange(0, 91, 5.0))
EVERY_10 = np.radians(np.arange(0, 91, 10.0))

AXIAL: dict[str, Beam] = {
    "lambertian": LAMBERTIAN,
    "cosine power 20": CosinePower(exponent=20.0),
    "wide 2": Wide(width=2.0),
    "wide 4": Wide(width=4.0),
    "every 5 deg": Table(angles=tuple(EVERY_5), values=tuple(np.cos(EVERY_5).clip(0) * (1 + EVERY_5**2))),
    "every 10 deg": Table(angles=tuple(EVERY_10), values=(1.0, 0.9, 1, 1.3, 1.5, 1.9, 2, 1.1, 0.3, 0.0)),
}

ROUND = np.radians(np.arange(0, 361, 15.0))
LOPSIDED = Web(
    photometric_type="C",
    vertical=EVERY_5,
    horizontal=ROUND,
    values=np.cos(EVERY_5).clip(0)
    * (
        1
        + 0.5 * np.cos(2 * ROUND[:, None]) * np.sin(EVERY_5) ** 2
        + 0.2 * np.sin(ROUND[:, None]) * np.sin(EVERY_5)
    ),
)
ANY: dict[str, Beam] = AXIAL | {"lopsided": LOPSIDED}
SMOOTH = ("cosine power 20", "lambertian", "lopsided", "wide 2", "wide 4")


def law(x: Array, y: Array, place: Array, frame: Array, beam: Beam) -> Array:
    """E = I cos/r² of one source of one lumen, at the origin's height below the plane z = 0 … [lx]."""
    E = np.zeros(len(x))
    for i in range(len(x)):
        d = np.array([x[i] - place[0], y[i] - place[1], place[2]])
        r = float(np.linalg.norm(d))
        a, b, w = frame @ d
        if w > 0:
            theta, phi = math.atan2(math.hypot(a, b), w), math.atan2(b, a)
            E[i] = float(beam.intensity(np.array(theta), np.array(phi))) * place[2] / r**3
    return E


def peak(beam: Beam) -> float:
    """Largest intensity for one lumen [cd/lm]."""
    return float(
        beam.intensity(np.linspace(0, np.pi / 2, 2001), np.linspace(0, 2 * np.pi, 97)[:, None]).max()
    )


def around(beam: Beam) -> Callable[[Array], Array]:
    """Intensity of an axial beam by θ alone."""
    return lambda theta: beam.intensity(theta, np.zeros(1))


def points(seed: int, n: int = 700) -> tuple[Array, Array]:
    """Points up to 12 throws about, as many close to the axis as far off."""
    draw = np.random.default_rng(seed)
    radius, angle = draw.uniform(0, 1, n) ** 3 * 12, draw.uniform(0, 2 * np.pi, n)
    return radius * np.cos(angle), radius * np.sin(angle)


@pytest.mark.parametrize("beam", AXIAL.values(), ids=list(AXIAL))
def test_an_upright_beam_is_looked_up_to_a_fraction_of_its_peak(beam: Beam) -> None:
    """Beams alike all round: what is looked up misses the intensity by less than 3e-4 of the peak."""
    x, y = points(1)
    table = shaped_sources.upright_table(around(beam))
    one = np.ones(1)
    E = shaped_sources.upright(x, y, 0 * one, 0 * one, one, one, table)
    cosine = 1 / np.sqrt(1 + x**2 + y**2)
    miss = np.abs(E - law(x, y, np.array([0.0, 0, 1]), np.eye(3), beam)) / cosine**3
    assert miss.max() < OF_PEAK * peak(beam)


@pytest.mark.parametrize("cut_off", [30.0, 60.0, 85.0])
def test_a_step_is_as_narrow_as_a_cell(cut_off: float) -> None:
    """A beam that ends in a step is exact to 1e-6 on either side of it but for 0.4 % of its radius."""
    beam = UniformPlane(cut_off=math.radians(cut_off))
    table = shaped_sources.upright_table(around(beam))
    edge, one = math.tan(beam.cut_off), np.ones(1)
    x = np.concatenate([np.linspace(0, edge * 0.996, 500), np.linspace(edge * 1.004, 3 * edge, 500)])
    E = shaped_sources.upright(x, 0 * x, 0 * one, 0 * one, one, one, table)
    even = 1 / (math.pi * edge**2)
    np.testing.assert_allclose(E, np.where(x < edge, even, 0.0), atol=1e-6 * even)


@pytest.mark.parametrize("cut_off", [30.0, 47.3, 60.0, 61.1, 85.0])
def test_a_step_keeps_the_area_that_it_lights(cut_off: float) -> None:
    """The light of a beam that ends in a step, summed over the plane, is its flux to 1e-4."""
    beam = UniformPlane(cut_off=math.radians(cut_off))
    table = shaped_sources.upright_table(around(beam))
    edge, one = math.tan(beam.cut_off), np.ones(1)
    # By the squared radius, even steps of it have even areas.
    square = (np.arange(200_000) + 0.5) / 200_000 * 1.1 * edge**2
    E = shaped_sources.upright(np.sqrt(square), 0 * square, 0 * one, 0 * one, one, one, table)
    assert E.mean() * math.pi * 1.1 * edge**2 == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize("count", [1, 2, 3, 7])
def test_sources_add_up_whatever_their_number(count: int) -> None:
    """Two sources go together in the loop; an odd one is not lost nor counted twice."""
    draw = np.random.default_rng(count)
    x, y = draw.uniform(-1, 1, 300), draw.uniform(-1, 1, 300)
    sx, sy, h, c = (draw.uniform(0.5, 1, count) for _ in range(4))
    table = shaped_sources.upright_table(around(Wide(width=2.0)))
    each = [
        shaped_sources.upright(x, y, sx[k:][:1], sy[k:][:1], h[k:][:1], c[k:][:1], table)
        for k in range(count)
    ]
    np.testing.assert_allclose(
        shaped_sources.upright(x, y, sx, sy, h, c, table), np.sum(each, axis=0), rtol=1e-12
    )


def test_points_infinitely_far_get_nothing() -> None:
    """However far a point is, or not a number, it is not looked up outside the table."""
    table = shaped_sources.upright_table(around(LAMBERTIAN))
    one = np.ones(1)
    x = np.array([1e3, 1e9, 1e150, 1e200, np.inf])
    with np.errstate(all="ignore"):  # as plain Python, infinity less itself is warned of
        E = shaped_sources.upright(x, np.zeros(5), 0 * one, 0 * one, one, one, table)
    assert (np.abs(E) < 1e-10).all()


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(sorted(AXIAL)))
def test_a_tilted_beam_is_looked_up_as_an_upright_one(seed: int, name: str) -> None:
    """A beam alike all round in any direction: within a third of a thousandth of its peak, kinks and all."""
    beam, frame = AXIAL[name], turned(seed)
    x, y = points(seed, 300)
    place = np.array([0.1, -0.2, 0.7])
    table = shaped_sources.upright_table(around(beam))
    sx, sy, h = np.split(place, 3)
    got = shaped_sources.tilted(x, y, sx, sy, h, frame[2:].copy(), np.ones(1), table)
    r = np.sqrt((x - place[0]) ** 2 + (y - place[1]) ** 2 + place[2] ** 2)
    miss = np.abs(got - law(x, y, place, frame, beam)) * r**3 / place[2]
    assert miss.max() < OF_PEAK * peak(beam)


def turned(seed: int, *, left_handed: bool = False) -> Array:
    """A frame of random direction, its axis at least 20 degrees off the plane's own."""
    draw = np.random.default_rng(seed)
    frame, _ = np.linalg.qr(draw.normal(size=(3, 3)))
    frame *= np.sign(np.linalg.det(frame))
    if left_handed:
        frame[1] *= -1
    return np.ascontiguousarray(frame)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), left_handed=st.booleans(), name=st.sampled_from(SMOOTH))
def test_an_aimed_beam_is_looked_up_to_a_fraction_of_its_peak(
    seed: int, left_handed: bool, name: str
) -> None:
    """Any smooth beam, any direction, frames of either hand: within half a thousandth of the peak intensity."""
    beam, frame = ANY[name], turned(seed, left_handed=left_handed)
    x, y = points(seed, 300)
    place = np.array([0.1, -0.2, 0.7])
    sx, sy, h = np.split(place, 3)
    got = shaped_sources.aimed(x, y, sx, sy, h, frame.reshape(1, 9), np.ones(1), TABLES[name])
    r = np.sqrt((x - place[0]) ** 2 + (y - place[1]) ** 2 + place[2] ** 2)
    miss = np.abs(got - law(x, y, place, frame, beam)) * r**3 / place[2]
    assert miss.max() < 5e-4 * peak(beam)


TABLES = {name: shaped_sources.aimed_table(beam.intensity, 512) for name, beam in ANY.items()}


def test_behind_its_horizon_a_source_gives_nothing_at_all() -> None:
    """Where a point is behind the plane that the source shines away from, its light is 0 and not nearly so."""
    frame = np.array([[0.0, 0, -1], [0, 1, 0], [1, 0, 0]])
    x = np.linspace(-5, 5, 501)
    one = np.ones(1)
    E = shaped_sources.aimed(x, 0 * x, 0 * one, 0 * one, one, frame.reshape(1, 9), one, TABLES["lambertian"])
    assert (E[x <= 0] == 0).all()
    assert (E[x > 0] > 0).all()


def test_either_kernel_tells_the_same_of_an_upright_beam() -> None:
    """A beam alike all round that is upright gets the same light both ways, to what the coarser table is good for."""
    x, y = points(4)
    one = np.ones(1)
    beam = AXIAL["every 5 deg"]
    table = shaped_sources.upright_table(around(beam))
    straight = shaped_sources.upright(x, y, 0 * one, 0 * one, one, one, table)
    aimed = shaped_sources.aimed(
        x, y, 0 * one, 0 * one, one, np.eye(3).reshape(1, 9), one, TABLES["every 5 deg"]
    )
    np.testing.assert_allclose(aimed, straight, atol=OF_PEAK * peak(beam))


def test_points_that_no_source_reaches_are_dark_and_all_others_are_as_before() -> None:
    """Blocks of points beyond a cut-off are passed over: sources far apart light their own discs, to the rim."""
    beam = UniformPlane(cut_off=math.radians(60))
    table = shaped_sources.upright_table(lambda theta: beam.intensity(theta, np.zeros(1)))
    x, y = (one.ravel() for one in np.meshgrid(np.linspace(0, 20, 1001), np.linspace(0, 3, 31)))
    sx, sy, h = np.array([1.0, 9.0, 19.5]), np.array([1.0, 2.9, 0.0]), np.array([0.3, 0.2, 0.5])
    got = shaped_sources.upright(x, y, sx, sy, h, 1 / h**2, table)
    rho = np.hypot(x[:, None] - sx, y[:, None] - sy) / h
    even = 1 / (math.pi * math.tan(beam.cut_off) ** 2) / h**2
    expected = np.sum(np.where(rho < math.tan(beam.cut_off), even, 0.0), axis=1)
    near_rim = (np.abs(rho - math.tan(beam.cut_off)) < 0.02).any(axis=1)
    np.testing.assert_allclose(got[~near_rim], expected[~near_rim], rtol=1e-6)
    assert np.count_nonzero(expected) > 100
