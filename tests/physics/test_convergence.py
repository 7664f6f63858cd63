"""Every number on evenness has converged: a finer grid changes none by 1e-4."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from lumsim.cabinet.cabinet import Cabinet, Rectangle
from lumsim.light.direct import flux_on
from lumsim.photometry import face_luminance
from lumsim.simulation import simulate
from tests import cabinets
from tests.cabinets import DIRECT

CONVERGED = 1e-4
"""What lumsim promises of means and variation, and of ratios. [1]"""

NUMBERS = (
    "max_to_min",
    "min_to_mean",
    "mean",
    "coefficient_of_variation",
    "nine_point",
    "stripe_max_to_min",
    "edge_dimming",
    "ripple_x",
    "ripple_y",
)


def scattered(seed: int) -> Cabinet:
    """Build a cabinet with a dozen modules of several beams and throws anywhere."""
    draw = np.random.default_rng(seed)
    return cabinets.listed(
        1.4,
        0.8,
        0.12,
        draw.uniform([0, 0], [1.4, 0.8], (12, 2)),
        z=draw.uniform(0, 0.06, 12),
        lumens=draw.uniform(20, 150, 12),
        exponent=draw.choice([0.0, 1.0, 1.7, 8.0], 12),
    )


def by_name(name: str) -> Cabinet:
    """Build the cabinets that the numbers are watched on."""
    built: dict[str, Callable[[], Cabinet]] = {
        "shop sign": cabinets.shop_sign,
        "wide pitch": lambda: cabinets.in_rows(1.8, 1.2, 0.08, rows=4, modules=9),
        "long and low": lambda: cabinets.in_rows(3.0, 0.2, 0.1, rows=1, modules=15),
        "scattered": lambda: scattered(31),
        "off the middle": lambda: cabinets.listed(0.9, 0.7, 0.1, [(0.13, 0.2), (0.71, 0.66)]),
    }
    return built[name]()


@pytest.mark.parametrize("name", ["shop sign", "wide pitch", "long and low", "scattered", "off the middle"])
def test_a_finer_grid_changes_no_number(name: str) -> None:
    """Twice as many samples along each side change no number on evenness by 1e-4."""
    usual, finer = (simulate(by_name(name), samples_per_detail=n, lighting=DIRECT) for n in (4.0, 8.0))
    for number in NUMBERS:
        assert getattr(usual.evenness, number) == pytest.approx(
            getattr(finer.evenness, number), rel=CONVERGED, abs=0
        ), number


@pytest.mark.parametrize("name", ["shop sign", "wide pitch", "scattered"])
def test_the_stated_error_covers_the_change(name: str) -> None:
    """The numerical error that is stated, from a grid half as fine, is no less than what a finer one changes."""
    usual, finer = (simulate(by_name(name), samples_per_detail=n, lighting=DIRECT) for n in (4.0, 8.0))
    for number in ("max_to_min", "stripe_max_to_min", "edge_dimming"):
        change = abs(getattr(usual.evenness, number) / getattr(finer.evenness, number) - 1)
        assert change <= getattr(usual.error, number) + 1e-8, number
        assert getattr(usual.error, number) < 1e-3


@pytest.mark.parametrize("name", ["shop sign", "wide pitch", "scattered"])
def test_the_stripes_number_stands_on_exact_means(name: str) -> None:
    """Where stripes are strongest, L/M with M from the flux in closed form is what lumsim states."""
    simulation = simulate(by_name(name), lighting=DIRECT)
    cabinet, even = simulation.cabinet, simulation.evenness
    sources, side = cabinet.sources(), even.window
    for extreme in (even.stripe_max, even.stripe_min):
        part = Rectangle(
            x0=extreme.x - side / 2, x1=extreme.x + side / 2, y0=extreme.y - side / 2, y1=extreme.y + side / 2
        )
        M = face_luminance(flux_on(sources, cabinet.box.depth, part) / part.area, cabinet.face.transmittance)
        L = float(simulation.luminance.at(np.array([extreme.x]), np.array([extreme.y]))[0])
        assert extreme.value == pytest.approx(L / M, rel=1e-5, abs=0)


@pytest.mark.parametrize("name", ["shop sign", "wide pitch", "scattered"])
def test_no_window_is_missed(name: str) -> None:
    """On a grid of a third of the depth, with M in closed form, no L/M passes the extremes that are stated."""
    simulation = simulate(by_name(name), lighting=DIRECT)
    cabinet, even = simulation.cabinet, simulation.evenness
    sources, side, visible = cabinet.sources(), even.window, cabinet.visible
    nx, ny = (int(np.ceil(size / (cabinet.box.depth / 3))) for size in (visible.width, visible.height))
    ratios = []
    for x in np.linspace(visible.x0 + side / 2, visible.x1 - side / 2, nx):
        for y in np.linspace(visible.y0 + side / 2, visible.y1 - side / 2, ny):
            part = Rectangle(x0=x - side / 2, x1=x + side / 2, y0=y - side / 2, y1=y + side / 2)
            M = face_luminance(
                flux_on(sources, cabinet.box.depth, part) / side**2, cabinet.face.transmittance
            )
            ratios.append(float(simulation.luminance.at(np.array([x]), np.array([y]))[0]) / M)
    assert max(ratios) <= even.stripe_max.value * (1 + 1e-5)
    assert min(ratios) >= even.stripe_min.value * (1 - 1e-5)
    # The grid comes near each extreme: it does look where the light varies.
    assert max(ratios) >= even.stripe_max.value * 0.9
    assert min(ratios) <= even.stripe_min.value * 1.1


def test_the_variation_is_the_area_integral() -> None:
    """Coefficient of variation is the standard deviation over the area, as a dense midpoint sum has it."""
    simulation = simulate(by_name("wide pitch"), lighting=DIRECT)
    x, y = ((np.arange(n) + 0.5) * size / n for n, size in ((720, 1.8), (480, 1.2)))
    dense = simulation.luminance.at(*np.meshgrid(x, y))
    even = simulation.evenness
    # The midpoint rule at h/32 is off by some (1/32)²/24.
    assert even.coefficient_of_variation == pytest.approx(float(dense.std() / dense.mean()), rel=CONVERGED)
    assert even.mean == pytest.approx(float(dense.mean()), rel=CONVERGED)


@pytest.mark.parametrize("name", ["shop sign", "wide pitch", "scattered", "long and low"])
def test_edge_dimming_is_what_a_dense_outline_says(name: str) -> None:
    """Edge dimming is the mean of M over the least mean of straight stretches, summed anew and densely."""
    simulation = simulate(by_name(name), lighting=DIRECT)
    cabinet, even = simulation.cabinet, simulation.evenness
    sources, side, visible = cabinet.sources(), even.window, cabinet.visible
    width, height = min(side, visible.width), min(side, visible.height)
    n = 40

    def places(start: float, room: float) -> list[float]:
        return [start + room * (i + 0.5) / n for i in range(n)] if room > 1e-9 else [start]

    M = np.mean(
        [
            flux_on(sources, cabinet.box.depth, Rectangle(x0=x, x1=x + width, y0=y, y1=y + height))
            for x in places(visible.x0, visible.width - width)
            for y in places(visible.y0, visible.height - height)
        ]
    ) / (width * height)
    stretches = []
    fine = 4000
    t = (np.arange(fine) + 0.5) / fine
    for x, y, length in (
        (visible.x0 + t * visible.width, np.full(fine, visible.y0), visible.width),
        (visible.x0 + t * visible.width, np.full(fine, visible.y1), visible.width),
        (np.full(fine, visible.x0), visible.y0 + t * visible.height, visible.height),
        (np.full(fine, visible.x1), visible.y0 + t * visible.height, visible.height),
    ):
        running = np.concatenate([[0.0], np.cumsum(simulation.direct.illuminance(x, y))]) / fine * length
        at = np.linspace(0, length, fine + 1)
        stretch = min(side, length)
        starts = np.linspace(0, length - stretch, 2001)
        means = (np.interp(starts + stretch, at, running) - np.interp(starts, at, running)) / stretch
        stretches.append(float(means.min()))
    # The mean of M by a midpoint rule of 40 places is the coarser of the two.
    assert even.edge_dimming == pytest.approx(float(M) / min(stretches), rel=5e-4, abs=0)
