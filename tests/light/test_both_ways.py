"""A double-sided cabinet against a twin without transforms, mirrors or closed forms of the direct light."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet, Side
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Emitters
from lumsim.cabinet.rows import ListedModules
from lumsim.light.interior import Inside, Interior
from lumsim.light.interreflection import reflectances
from lumsim.light.patch_light import DirectInside
from lumsim.simulation import simulate
from tests.cabinets import cosine_powers, exponents
from tests.light.plain_exchange import UNEVEN, Axis, Patch, dense, patches_of

Array = NDArray[np.float64]
AXES: tuple[Axis, ...] = ("x", "y", "z")
NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)


def unlike_both_ways() -> Cabinet:
    """Three modules of two beams, planes and shares each; no two surfaces are alike."""
    placed = cosine_powers(
        [0.21, 0.55, 0.9],
        [0.12, 0.31, 0.22],
        z=np.array([0.12, 0.12, 0.18]),
        flux=np.array([100.0, 40.0, 70.0]),
        exponent=np.array([1.0, 2.0, 1.0]),
        front_share=np.array([0.3, 0.8, 0.5]),
    )
    return Cabinet(
        box=Box(
            width=UNEVEN.width,
            height=UNEVEN.height,
            depth=UNEVEN.depth,
            left_return_reflectance=0.2,
            right_return_reflectance=0.9,
            bottom_return_reflectance=0.6,
            top_return_reflectance=0.75,
        ),
        face=Face(transmittance=0.35, reflectance=0.5),
        groups=(ListedModules(direction="horizontal", placed=placed),),
        rear=Face(transmittance=0.2, reflectance=0.7),
    )


def points_on(patch: Patch) -> tuple[Array, Array]:
    """Return points all over a patch (n, 3) and the area that each stands for (n,). [m, m²]"""
    half = {axis: (high - low) / 2 for axis, (low, high) in patch.spans.items()}
    u, v = patch.spans
    at: dict[Axis, Array] = {patch.normal: np.full((24, 24), patch.at)}
    at[u] = np.broadcast_to((sum(patch.spans[u]) / 2 + half[u] * NODES)[:, None], (24, 24))
    at[v] = np.broadcast_to(sum(patch.spans[v]) / 2 + half[v] * NODES, (24, 24))
    areas = np.outer(WEIGHTS, WEIGHTS) * half[u] * half[v]
    return np.stack([at[axis].ravel() for axis in AXES], axis=1), areas.ravel()


def straight(emitters: Emitters, points: Array, normal: Axis) -> Array:
    """Illuminance by I(θ) cos β / d² at points of a surface, each module shining both ways. [lx]"""
    total, powers = np.zeros(len(points)), exponents(emitters)
    for k in range(len(emitters)):
        way = points - [emitters.x[k], emitters.y[k], emitters.z[k]]
        d = np.linalg.norm(way, axis=1)
        cosine, m = way[:, 2] / d, powers[k]
        share = np.where(cosine > 0, emitters.front_share[k], 1 - emitters.front_share[k])
        intensity = share * emitters.flux[k] * (m + 1) / (2 * math.pi) * np.abs(cosine) ** m
        total += intensity * np.abs(way[:, AXES.index(normal)]) / d**3
    return total


def naive_direct() -> Array:
    """Mean direct illuminance of each patch, by points. [lx]"""
    emitters = unlike_both_ways().emitters()
    found = []
    for patch in patches_of(UNEVEN):
        points, areas = points_on(patch)
        found.append(float(straight(emitters, points, patch.normal) @ areas) / patch.area)
    return np.array(found)


@cache
def naive_illuminance() -> tuple[Array, Array]:
    """All light on each patch by one dense matrix [lx], and what each throws back [lm/m²]."""
    areas = UNEVEN.areas()
    rho = reflectances(unlike_both_ways())
    assert [float(one) for one in rho] == [0.7, 0.5, 0.6, 0.75, 0.2, 0.9]
    of_each = areas.each(lambda area, one: np.full(area.shape, float(one)), rho).joined()
    factors = dense(UNEVEN) / areas.joined()[:, None]
    found = np.linalg.solve(np.eye(UNEVEN.patches) - factors * of_each, naive_direct())
    return np.asarray(found, dtype=np.float64), np.asarray(of_each * found, dtype=np.float64)


def test_light_both_ways_lands_where_the_law_says() -> None:
    """Each patch has the direct light of I(θ) cos β / d² from modules that shine both ways, added up by points."""
    found = DirectInside(UNEVEN, unlike_both_ways()).on_patches().joined()
    np.testing.assert_allclose(found, naive_direct(), rtol=1e-6)


def test_lumens_through_both_faces_are_those_of_a_dense_solution() -> None:
    """What goes through each face, and what each return keeps, is that of the dense twin."""
    inside = Inside(UNEVEN)
    lit = simulate(unlike_both_ways(), interior=Interior(fine=inside, coarse=inside))
    illuminance, _ = naive_illuminance()
    flux = UNEVEN.areas().split(illuminance).each(np.multiply, UNEVEN.areas())
    assert lit.rear is not None
    assert lit.front.through_face == pytest.approx(0.35 * float(flux.face.sum()), rel=1e-6)
    assert lit.rear.through_face == pytest.approx(0.2 * float(flux.back.sum()), rel=1e-6)
    for side, kept in (("left", 0.8), ("right", 0.1), ("bottom", 0.4), ("top", 0.25)):
        expected = kept * float(getattr(flux, side).sum())
        assert getattr(lit.ledger, f"absorbed_{side}_return") == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("side", ["front", "rear"])
def test_points_of_both_faces_are_lit_as_the_dense_solution_says(side: Side) -> None:
    """Points of a face get the direct light by the law and from each patch what a sum over its points sends."""
    inside = Inside(UNEVEN)
    lit = simulate(unlike_both_ways(), interior=Interior(fine=inside, coarse=inside))
    (face,) = (one for one in lit.faces if one.side == side)
    # Half steps of the mesh, where the back's light is gathered and not interpolated.
    x, y = np.array([2, 3, 5, 6]) * UNEVEN.step_x / 2, np.array([2, 3, 4, 3]) * UNEVEN.step_y / 2
    at = np.stack([x, y, np.full(4, UNEVEN.depth if side == "front" else 0.0)], axis=1)
    direct = straight(unlike_both_ways().emitters(), at, "z")
    np.testing.assert_allclose(face.direct.illuminance(x, y), direct, rtol=1e-12)
    gathered = np.zeros(4)
    _, exitance = naive_illuminance()
    for patch, sent in zip(patches_of(UNEVEN), exitance, strict=True):
        if patch.normal == "z" and patch.at == at[0, 2]:
            continue
        points, areas = points_on(patch)
        way = points[:, None] - at
        r2 = (way**2).sum(axis=2)
        cosines = np.abs(way[..., 2]) * np.abs(way[..., AXES.index(patch.normal)]) / r2
        gathered += sent * (areas @ (cosines / (math.pi * r2)))
    # Beside the face the returns are cut finer than the twin's few patches.
    np.testing.assert_allclose(face.reflected_at(x, y), gathered, rtol=1e-2)
    np.testing.assert_allclose(
        face.luminance.at(x, y),
        face.face.transmittance / math.pi * (direct + face.reflected_at(x, y)),
        rtol=1e-12,
    )
