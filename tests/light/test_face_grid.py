"""How fine the face is sampled."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Rectangle
from lumsim.cabinet.sources import Sources, sources_of
from lumsim.errors import TooLargeError
from lumsim.light.direct import DirectLight
from lumsim.light.face_grid import LEAST_POINTS, MOST_EVALUATIONS, MOST_POINTS, face_grid, finest_detail
from tests.cabinets import cosine_powers

ROUNDING = 1e-12


def modules(z: list[float], exponent: list[float]) -> Sources:
    """Place modules along a line."""
    n = len(z)
    return sources_of(
        cosine_powers(np.linspace(0, 1, n), np.zeros(n), z=np.array(z), exponent=np.array(exponent))
    )


def part(width: float, height: float) -> Rectangle:
    """Return a part of the face that does not begin at its corner."""
    return Rectangle(x0=0.1, x1=0.1 + width, y0=0.2, y1=0.2 + height)


@pytest.mark.parametrize("m", [0.0, 1.0, 2.5, 60.0])
def test_the_finest_detail_is_the_bell_curve_at_the_top_of_one_module(m: float) -> None:
    """Near its top a module's light falls as a bell curve of that standard deviation, and nowhere faster."""
    sources = modules([0.03], [m])
    sigma = finest_detail(sources, 0.15)
    light = DirectLight(sources, 0.15)

    def along(x: NDArray[np.float64]) -> NDArray[np.float64]:
        return light.illuminance(x, np.zeros(len(x)))

    near = along(np.array([0.0, sigma / 100]))
    assert near[1] / near[0] == pytest.approx(math.exp(-1 / 20000), rel=1e-7)
    step = sigma / 50
    profile = along(step * np.arange(0, 2000.0))
    second = np.diff(profile, 2) / step**2
    assert (second >= -profile[1:-1] / sigma**2 * (1 + 1e-3)).all()


def test_the_finest_detail_is_the_finest_of_all_modules() -> None:
    """A raised module, or one with a steeper beam, sets the detail."""
    assert finest_detail(modules([0.0, 0.1], [1.0, 1.0]), 0.2) == pytest.approx(0.05, rel=ROUNDING)
    assert finest_detail(modules([0.0, 0.0], [1.0, 13.0]), 0.2) == pytest.approx(0.05, rel=ROUNDING)
    assert finest_detail(modules([0.0, 0.15], [61.0, 1.0]), 0.2) == pytest.approx(0.025, rel=ROUNDING)


@pytest.mark.parametrize("samples", [2.0, 4.0, 8.0, 5.5])
@pytest.mark.parametrize(("width", "height"), [(1.23, 0.71), (0.01, 0.9), (3.0, 0.001)])
def test_the_grid_is_even_fine_enough_and_keeps_the_edges(
    samples: float, width: float, height: float
) -> None:
    """The grid runs from edge to edge in even steps of at most a detail over the samples, in odd counts."""
    sources = modules([0.0], [1.0])
    grid = face_grid(part(width, height), sources, 0.1, samples_per_detail=samples)
    assert grid.detail == pytest.approx(0.05, rel=ROUNDING)
    for line, start, size in ((grid.x, 0.1, width), (grid.y, 0.2, height)):
        assert (line[0], line[-1]) == (start, pytest.approx(start + size, rel=ROUNDING))
        np.testing.assert_allclose(np.diff(line), size / (len(line) - 1), rtol=1e-9)
        assert line[1] - line[0] <= grid.detail / samples * (1 + 1e-9)
        assert len(line) % 2 == 1
        assert len(line) >= LEAST_POINTS
        # No finer than it need be: one pair of samples fewer would be too coarse.
        assert len(line) == LEAST_POINTS or size / (len(line) - 3) > grid.detail / samples * (1 - 1e-9)


def test_too_fine_a_grid_is_refused_with_its_size() -> None:
    """A face that would need too many points is refused, and the message says how many and why."""
    with pytest.raises(TooLargeError) as refused:
        face_grid(part(30.0, 20.0), modules([0.018], [1.0]), 0.02)
    message = str(refused.value)
    # A throw of 2 mm: a detail of 1 mm, a step of 0.25 mm.
    assert "30 by 20 m lit by 1 LEDs at a throw of 2 mm" in message
    assert "120001 by 80001 points" in message
    assert f"at most {MOST_POINTS / 1e6:g} million points" in message
    assert "Raise the throw" in message


def test_the_largest_grid_is_taken() -> None:
    """Just below the most points the grid is made, and just above it is refused."""
    step = 0.1 / 2 / 4
    side = (math.isqrt(MOST_POINTS) - 2) * step
    sources = modules([0.0], [1.0])
    grid = face_grid(part(side, side), sources, 0.1)
    assert len(grid.x) * len(grid.y) <= MOST_POINTS
    with pytest.raises(TooLargeError, match="needs a grid of"):
        face_grid(part(side + 4 * step, side + 4 * step), sources, 0.1)


def test_too_many_points_times_modules_are_refused() -> None:
    """A face whose map would take minutes is refused too, with the number of modules."""
    step = 0.1 / 2 / 4
    side = 1500 * step
    count = MOST_EVALUATIONS // 1501**2 + 1
    with pytest.raises(TooLargeError, match=rf"lit by {count} LEDs .* points times modules are taken"):
        face_grid(part(side, side), modules([0.0] * count, [1.0] * count), 0.1)
    assert len(face_grid(part(side, side), modules([0.0] * 100, [1.0] * 100), 0.1).x) in {1501, 1503}


def test_a_face_no_module_shines_at_is_as_fine_as_one_lit_from_the_other_side() -> None:
    """What is thrown back from across the depth holds no finer detail than a Lambertian module there would."""
    assert finest_detail(modules([], []), 0.15) == finest_detail(modules([0.0], [1.0]), 0.15)
    grid = face_grid(part(1.2, 0.6), modules([], []), 0.15)
    assert grid.x[1] - grid.x[0] <= 0.15 / 8 * (1 + ROUNDING)
