"""Direct light on the patches: every lumen lands, where the law says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Cabinet
from lumsim.light.direct import direct_flux
from lumsim.light.patch_light import direct_on_patches
from lumsim.light.surfaces import Mesh, Surfaces, mesh_of
from tests import cabinets
from tests.light.plain_exchange import Patch, patches_of

Array = NDArray[np.float64]

OF_THE_LUMENS = 1e-7
"""How much of the emitted flux may be missing on a surface. [1]"""

EXPONENTS = [0.0, 0.3, 0.8048, 1.0, 2.0, 7.7, 60.0]


def mesh_in(cabinet: Cabinet, patches_in_depth: int = 10) -> Mesh:
    """Cut the inside of a cabinet."""
    box = cabinet.box
    return mesh_of(box.width, box.height, box.depth, patches_in_depth=patches_in_depth)


def fluxes(cabinet: Cabinet) -> dict[str, float]:
    """Flux on each surface by the patches, as a share of what is emitted."""
    mesh = mesh_in(cabinet)
    emitters = cabinet.emitters()
    light = direct_on_patches(mesh, cabinets.upright(cabinet)).each(np.multiply, mesh.areas())
    return {name: float(values.sum() / emitters.flux.sum()) for name, values in light._asdict().items()}


def held_against_direct_flux(cabinet: Cabinet) -> None:
    """Hold each surface's flux by the patches against the closed forms, and all of it against the lumens."""
    flux, found = direct_flux(cabinet), fluxes(cabinet)
    assert found["back"] == 0
    assert found["face"] == pytest.approx(flux.on_face / flux.emitted, rel=0, abs=OF_THE_LUMENS)
    for name in ("bottom", "top", "left", "right"):
        expected = getattr(flux, f"on_{name}_return") / flux.emitted
        assert found[name] == pytest.approx(expected, rel=0, abs=OF_THE_LUMENS), name
    assert sum(found.values()) == pytest.approx(1, rel=0, abs=2 * OF_THE_LUMENS)


@pytest.mark.parametrize("m", EXPONENTS)
@pytest.mark.parametrize("z", [0.0, 0.013, 0.06])
def test_each_surface_gets_its_flux(m: float, z: float) -> None:
    """The patches of each surface together get the flux of the closed forms, for any beam and throw."""
    draw = np.random.default_rng(11)
    places = draw.uniform([0.01, 0.01], [0.69, 0.39], (6, 2))
    held_against_direct_flux(cabinets.listed(0.7, 0.4, 0.1, places, z=z, exponent=m))


def test_beams_and_throws_may_be_mixed() -> None:
    """Modules of several beams at several heights together put on each surface what they put on it one by one."""
    draw = np.random.default_rng(12)
    cabinet = cabinets.listed(
        0.7,
        0.4,
        0.1,
        draw.uniform([0, 0], [0.7, 0.4], (12, 2)),
        z=draw.uniform(0, 0.08, 12),
        lumens=draw.uniform(10, 200, 12),
        exponent=draw.choice(EXPONENTS, 12),
    )
    held_against_direct_flux(cabinet)


@pytest.mark.parametrize("distance", [0.0, 1e-9, 1e-4, 2e-3])
@pytest.mark.parametrize("m", [0.0, 1.0, 2.5])
def test_a_module_near_or_on_a_return_loses_nothing(distance: float, m: float) -> None:
    """A module right at a return, or on it, casts half of its lumens on it, and none is lost."""
    cabinet = cabinets.listed(0.7, 0.4, 0.1, [(distance, 0.17)], exponent=m, z=0.02)
    held_against_direct_flux(cabinet)
    assert fluxes(cabinet)["left"] <= 0.5 + OF_THE_LUMENS


@pytest.mark.parametrize("distance", [0.0, 1e-9, 1e-4])
def test_a_module_in_a_corner_loses_nothing(distance: float) -> None:
    """A module in the corner of two returns casts three eighths of its lumens on each, and none is lost."""
    cabinet = cabinets.listed(0.7, 0.4, 0.1, [(distance, distance)])
    held_against_direct_flux(cabinet)
    found = fluxes(cabinet)
    assert found["left"] == pytest.approx(0.375, abs=2e-3)
    assert found["bottom"] == pytest.approx(0.375, abs=2e-3)


def _illuminance(cabinet: Cabinet, patch: Patch) -> float:
    """Mean of Σ I(θ) cos β / d² over a patch by Gauss-Legendre points [lx]."""
    nodes, weights = np.polynomial.legendre.leggauss(24)
    (first, a), (second, b) = patch.spans.items()
    u, v = np.meshgrid(*(low + (high - low) * (nodes + 1) / 2 for low, high in (a, b)), indexing="ij")
    place = {first: u, second: v, patch.normal: np.full(u.shape, patch.at)}
    emitters = cabinet.emitters()
    E = np.zeros(u.shape)
    for x, y, z, flux, m in zip(
        emitters.x, emitters.y, emitters.z, emitters.flux, cabinets.exponents(emitters), strict=True
    ):
        way = {"x": place["x"] - x, "y": place["y"] - y, "z": place["z"] - z}
        d = np.sqrt(way["x"] ** 2 + way["y"] ** 2 + way["z"] ** 2)
        I0 = flux * (m + 1) / (2 * math.pi)
        E += I0 * np.maximum(way["z"] / d, 0) ** m * np.abs(way[patch.normal]) / d**3
    return float(np.outer(weights, weights).ravel() @ E.ravel()) / 4


@pytest.mark.parametrize("m", [1.0, 2.0, 0.8048, 9.0])
def test_each_patch_gets_the_mean_of_the_law(m: float) -> None:
    """The mean illuminance of a patch of any surface is that of I(θ) cos β / d² over it."""
    cabinet = cabinets.listed(0.4, 0.3, 0.1, [(0.11, 0.08), (0.33, 0.21)], exponent=m, lumens=70.0)
    mesh = mesh_in(cabinet)
    found = direct_on_patches(mesh, cabinets.upright(cabinet)).joined()
    patches = patches_of(mesh)
    draw = np.random.default_rng(13)
    for i in draw.integers(mesh.columns * mesh.rows, mesh.patches, 60):
        assert found[i] == pytest.approx(_illuminance(cabinet, patches[i]), rel=1e-6, abs=1e-6)


def test_below_a_modules_plane_there_is_no_light() -> None:
    """The layers of a return that lie below a module's plane get nothing from it; the next one does."""
    cabinet = cabinets.listed(0.4, 0.3, 0.1, [(0.11, 0.08)], z=0.05)
    mesh = mesh_in(cabinet)
    light = direct_on_patches(mesh, cabinets.upright(cabinet))
    top = np.asarray(mesh.z)[1:]
    for name in ("bottom", "top", "left", "right"):
        values = getattr(light, name)
        assert (values[top <= 0.05] == 0).all()
        assert (values[top > 0.05 + 1e-9] > 0).all()


def test_light_adds_and_scales() -> None:
    """Two modules together light each patch as they do one by one, and twice the lumens twice as much."""
    one, other = (
        cabinets.listed(0.5, 0.3, 0.1, [place], lumens=lumens)
        for place, lumens in (((0.1, 0.2), 100.0), ((0.4, 0.05), 300.0))
    )
    both = cabinets.listed(0.5, 0.3, 0.1, [(0.1, 0.2), (0.4, 0.05)], lumens=np.array([200.0, 300.0]))
    mesh = mesh_in(one)
    parts = [direct_on_patches(mesh, cabinets.upright(cabinet)) for cabinet in (one, other)]
    together: Surfaces = direct_on_patches(mesh, cabinets.upright(both))
    expected = 2 * parts[0].joined() + parts[1].joined()
    np.testing.assert_allclose(together.joined(), expected, rtol=1e-10, atol=1e-9)
