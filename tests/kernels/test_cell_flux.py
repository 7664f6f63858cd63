"""Flux through cells against brute force: I cos β / r² added up over each cell, horizon and all."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.orientation import frame, mirrored
from lumsim.cabinet.sources import Half
from lumsim.kernels.cell_flux import flux_through_cells
from lumsim.light.beam_tables import potential_of

Array = NDArray[np.float64]

NODES, WEIGHTS = np.polynomial.legendre.leggauss(12)

STRIPS = 6
"""Of each cell, that brute force goes through."""

AXIAL, WEB = 2e-6, 1e-5
"""Of the lumens through a cell: the kernel looks beams up in tables, of a web in two directions. [1]"""


def lopsided() -> Web:
    """A smooth web, measured every two degrees, alike in no mirror; some light still lies along its horizon."""
    vertical, horizontal = np.radians(np.arange(0, 91, 2.0)), np.radians(np.arange(0, 361, 2.0))
    u = np.sin(vertical) * np.cos(horizontal[:, None])
    v = -np.sin(vertical) * np.sin(horizontal[:, None])
    values = 10 + 90 * np.exp(-((u - 0.3) ** 2) - 2 * (v + 0.2) ** 2 - 0.5 * u * v) * np.cos(vertical)
    values[-1] = values[0]
    return Web(photometric_type="C", vertical=vertical, horizontal=horizontal, values=values)


BEAMS: dict[str, Beam] = {
    "same all over": CosinePower(exponent=0.0),
    "lambertian": LAMBERTIAN,
    "steep": CosinePower(exponent=7.7),
    "wide": Wide(width=2.0),
    "table": Table(angles=tuple(np.radians(np.arange(0, 92, 2.0))), values=tuple(np.linspace(5, 1, 46))),
    "web": lopsided(),
}

FRAMES = {
    "upright": frame("back", "horizontal"),
    "turned": frame("back", "horizontal", turn=0.7),
    "tilted": frame("back", "vertical", turn=0.7, tilt=0.9),
    "level": frame("back", "horizontal", turn=-0.3, tilt=math.pi / 2),
    "aback": -frame("back", "horizontal", turn=0.2, tilt=1.2) * np.array([[1.0], [-1.0], [1.0]]),
    "in a mirror": mirrored(frame("back", "horizontal", turn=0.7, tilt=1.9)),
    "left-handed": frame("back", "vertical", turn=0.7, tilt=-0.8) * np.array([[1.0], [-1.0], [1.0]]),
}
"""Right-handed ones and left-handed ones, some of which shine partly away from the plane or altogether along it."""

X, Y = np.array([0.0, 0.07, 0.2, 0.5]), np.array([0.0, 0.15, 0.4])
PLACE, GAP = (0.19, 0.13), 0.08


def by_kernel(half: Half, axes: Array, place: tuple[float, float] = PLACE, gap: float = GAP) -> Array:
    """Shares of the flux through each cell, by the kernel. [1]"""
    return through(half, axes, place, gap, X, Y)


def through(
    half: Half, axes: Array, place: tuple[float, float], gap: float, x: Array, y: Array, *, pieces: int = 4
) -> Array:
    """Flux of 1 lm through each cell of a plane ahead, by the kernel. [lm]"""
    tables = potential_of(half)
    return flux_through_cells(
        np.array([place[0]]),
        np.array([place[1]]),
        np.array([gap]),
        np.ascontiguousarray(axes.reshape(1, 9)),
        np.ones(1),
        x,
        y,
        tables.axial,
        tables.web,
        tables.horizon,
        pieces,
    )


def by_points(half: Half, axes: Array, place: tuple[float, float] = PLACE, gap: float = GAP) -> Array:
    """The same by Gauss-Legendre points, in strips that are cut wherever the horizon crosses them. [1]"""
    found = np.zeros((len(Y) - 1, len(X) - 1))
    for j, i in np.ndindex(found.shape):
        lines = np.linspace(Y[j], Y[j + 1], STRIPS + 1)
        if axes[2, 1] != 0:
            # Where the horizon meets the sides of the cell.
            crossed = place[1] - (axes[2, 0] * (X[i : i + 2] - place[0]) + axes[2, 2] * gap) / axes[2, 1]
            lines = np.union1d(lines, crossed[(crossed > Y[j]) & (crossed < Y[j + 1])])
        for low, high in pairwise(lines):
            at = low + (high - low) * (NODES + 1) / 2
            strip = [_along(half, axes, place, gap, i, float(y)) for y in at]
            found[j, i] += float(WEIGHTS @ strip) * (high - low) / 2
    return found


def _along(half: Half, axes: Array, place: tuple[float, float], gap: float, i: int, y: float) -> float:
    ends = np.array([X[i], X[i + 1]])
    w = axes[2, 0] * (ends - place[0]) + axes[2, 1] * (y - place[1]) + axes[2, 2] * gap
    if (w <= 0).all():
        return 0.0
    if (w <= 0).any():
        ends[w <= 0] = ends[0] + (ends[1] - ends[0]) * w[0] / (w[0] - w[1])
    cuts = np.linspace(ends[0], ends[1], 5)
    x = (cuts[:-1, None] + np.diff(cuts)[:, None] * (NODES + 1) / 2).ravel()
    weights = (np.diff(cuts)[:, None] * WEIGHTS / 2).ravel()
    d = np.stack([x - place[0], np.full(len(x), y - place[1]), np.full(len(x), gap)])
    r = np.linalg.norm(d, axis=0)
    a, b, c = axes @ d / r
    intensity = half.intensity(np.arccos(np.clip(c, 0, 1)), np.arctan2(b, a))
    return float(weights @ (intensity * gap / r**3))


@pytest.mark.parametrize("axes", FRAMES.values(), ids=FRAMES)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_a_cell_takes_what_points_all_over_it_take(beam: Beam, axes: Array) -> None:
    """The flux through each cell is I cos β / r² integrated over what of it lies before the source's horizon."""
    half = Half(beam, backward=False)
    np.testing.assert_allclose(
        by_kernel(half, axes), by_points(half, axes), rtol=0, atol=AXIAL if beam.axial else WEB
    )


def test_the_frames_cover_what_they_should() -> None:
    """Of the frames that are tried some are left-handed, and the horizon of some crosses cells."""
    assert {round(float(np.linalg.det(axes))) for axes in FRAMES.values()} == {-1, 1}
    d = np.stack([*np.meshgrid(X - PLACE[0], Y - PLACE[1]), np.full((len(Y), len(X)), GAP)], axis=-1)
    before = [(d @ axes[2] > 0) for axes in FRAMES.values()]
    assert sum(bool(one.any() and not one.all()) for one in before) >= 3


@pytest.mark.parametrize("axes", FRAMES.values(), ids=FRAMES)
@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
@pytest.mark.parametrize(
    "place", [(0.3, 0.2, 0.1), (0.01, 0.39, 0.001), (0.4999, 0.2, 0.19), (0.25, 1e-6, 0.07)]
)
def test_a_closed_box_takes_all_the_light(beam: Beam, axes: Array, place: tuple[float, float, float]) -> None:
    """Wherever a source is in a box, and however it points, the six sides together take all of its lumens."""
    size = (0.5, 0.4, 0.2)
    lines = [
        np.concatenate([[0.0], size[axis] * np.array([0.1, 0.4, 0.45, 0.8]), [size[axis]]])
        for axis in range(3)
    ]
    total = 0.0
    for to, far in ((axis, far) for axis in range(3) for far in (False, True)):
        along, up = (axis for axis in range(3) if axis != to)
        seen = axes[:, [along, up, to]] * np.array([1.0, 1.0, 1.0 if far else -1.0])
        gap = size[to] - place[to] if far else place[to]
        cells = through(
            Half(beam, backward=False),
            seen,
            (place[along], place[up]),
            gap,
            lines[along],
            lines[up],
            pieces=1,
        )
        total += float(cells.sum())
    assert total == pytest.approx(1, rel=0, abs=1e-12)


@pytest.mark.parametrize("beam", BEAMS.values(), ids=BEAMS)
def test_behind_the_horizon_there_is_no_light_at_all(beam: Beam) -> None:
    """Cells that lie wholly behind a source's horizon get exactly nothing, not even rounding."""
    half = Half(beam, backward=False)
    away = FRAMES["upright"] * np.array([1.0, 1.0, -1.0])
    assert (by_kernel(half, away) == 0).all()
    # Level, and shining up: all below its own height is behind it.
    found = by_kernel(half, FRAMES["level"], place=(0.19, 0.15))
    assert (found[0] == 0).all()
    assert (found[1] > 0).all()


def test_sources_add_up_in_proportion_to_their_lumens() -> None:
    """Several sources in one call give what they give one by one, each by its own lumens."""
    half = Half(BEAMS["web"], backward=False)
    tables = potential_of(half)
    places, gaps, flux = (
        [(0.19, 0.13), (0.4, 0.3), (-0.1, 0.2)],
        np.array([0.08, 0.02, 0.3]),
        np.array([2.0, 50, 7]),
    )
    axes = [FRAMES[name] for name in ("tilted", "left-handed", "upright")]
    together = flux_through_cells(
        np.array([x for x, _ in places]),
        np.array([y for _, y in places]),
        gaps,
        np.stack([one.ravel() for one in axes]),
        flux,
        X,
        Y,
        tables.axial,
        tables.web,
        tables.horizon,
        4,
    )
    alone = [
        lumens * by_kernel(half, one, place, float(gap))
        for lumens, one, place, gap in zip(flux, axes, places, gaps, strict=True)
    ]
    np.testing.assert_allclose(together, np.sum(alone, axis=0), rtol=1e-11, atol=1e-12)


@pytest.mark.parametrize("cut_off", [30.003, 49.9921, 50.0, 61.31, 75.0077])
def test_wherever_a_beam_ends_its_even_disc_is_even(cut_off: float) -> None:
    """Within the disc of the uniform-plane form a cell takes its area over π tan² of the cut-off, at one throw."""
    beam = UniformPlane(cut_off=math.radians(cut_off))
    edges = np.array([-0.1, 0.05, 0.2])
    cells = through(Half(beam, False), np.eye(3), (0.0, 0.0), 1.0, edges, edges, pieces=1)
    areas = np.outer(np.diff(edges), np.diff(edges))
    np.testing.assert_allclose(cells, areas / (math.pi * math.tan(beam.cut_off) ** 2), rtol=1e-5)
