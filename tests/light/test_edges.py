"""Beside the edges of the face: strips that narrow towards them, and the light right at the edge."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.light.direct import DirectLight
from lumsim.light.edges import returns_beside_face, strips_at_edge
from lumsim.light.interior import Inside
from lumsim.light.lit_inside import light_inside
from lumsim.light.strips import DirectOnStrips, strips_of
from lumsim.light.surfaces import Surfaces, mesh_of
from lumsim.simulation import FINE, USUAL
from tests import cabinets
from tests.light.graded_box import GradedBox
from tests.published.reflected_closed_forms import rectangles_at_right_angles


def test_strips_are_very_long_rectangles() -> None:
    """Two strips at an edge exchange, for each metre of it, what rectangles a thousand times as long do."""
    for p, q in ((1.0, 1.0), (0.3, 1.0), (1.0, 0.05)):
        length = 1000.0 * max(p, q)
        of_first = rectangles_at_right_angles(q / length, p / length)
        found = float(strips_at_edge(np.array([0.0, p]), np.array([0.0, q]))[0, 0])
        assert found == pytest.approx(of_first * p, rel=2e-3)


def test_strips_add_up_to_the_strip_they_are_cut_from() -> None:
    """Cutting both sides of an edge changes nothing of what passes between them."""
    cut = np.array([0.0, 0.01, 0.05, 0.3, 1.0])
    parts = strips_at_edge(cut, 2 * cut)
    assert float(parts.sum()) == pytest.approx(
        float(strips_at_edge(cut[[0, -1]], 2 * cut[[0, -1]])[0, 0]), rel=1e-13
    )
    assert (parts > 0).all()


def test_strips_of_a_mesh_cut_its_layers_and_no_more() -> None:
    """Every layer's edge is one of the strips', which rise from back to face and narrow towards it."""
    for size in ((2.4, 1.2, 0.127), (0.3, 0.3, 1.5), (3.0, 0.4, 0.3)):
        for n in (4, 5, 10):
            mesh = mesh_of(*size, patches_in_depth=n)
            strips = strips_of(mesh)
            assert (np.diff(strips.z) > 0).all()
            assert strips.z[0] == 0
            assert strips.z[-1] == mesh.depth
            nearest = np.abs(strips.z[:, None] - np.asarray(mesh.z)).min(axis=0)
            assert nearest.max() < 1e-12
            assert (np.diff(strips.fine)[:5] <= np.diff(strips.fine)[1:6] * (1 + 1e-12)).all()


def test_even_light_stays_even() -> None:
    """Where a closed box of one reflectance is lit evenly all over, strips throw back what patches do, to 5e-5."""
    mesh = mesh_of(0.5, 0.4, 0.15, patches_in_depth=USUAL)
    strips = strips_of(mesh)
    rho = Surfaces(*(np.asarray(0.6) for _ in range(6)))
    E = mesh.areas().each(np.ones_like)
    direct = E.each(lambda one: 0.4 * one)
    layers, on_face = len(strips.z) - 1, len(strips.face_x) - 1
    along = (mesh.columns, mesh.columns, mesh.rows, mesh.rows)
    on_strips = DirectOnStrips(
        *(np.full((layers, n), 0.4) for n in along), *(np.full((on_face, n), 0.4) for n in along)
    )
    for exitance in returns_beside_face(mesh, E, direct, on_strips, rho):
        np.testing.assert_allclose(exitance, 0.6, rtol=5e-5)


@pytest.mark.parametrize(
    ("size", "z", "patches_in_depth", "at_edges", "inside"),
    [
        ((0.9, 0.6, 0.15), 0.0, USUAL, 1.5e-3, 5e-4),
        ((0.6, 0.4, 0.3), 0.0, USUAL, 1e-3, 5e-4),
        # At half the throw the dense solution's own patches, 30 mm wide, err by more along the edges.
        ((0.9, 0.6, 0.15), 0.08, USUAL, 7e-3, 2e-3),
        pytest.param((0.9, 0.6, 0.15), 0.0, FINE, 1.5e-3, 5e-4, marks=pytest.mark.slow),
    ],
)
def test_light_right_at_an_edge_is_that_of_a_graded_mesh(
    size: tuple[float, float, float], z: float, patches_in_depth: int, at_edges: float, inside: float
) -> None:
    """At edges and off them, light is within a part in a thousand of a dense solution with patches that narrow.

    From the middle of each side inwards, the edge itself included, and along the diagonal from 5 mm off a corner.
    """
    width, height, _ = size
    cabinet = cabinets.in_rows(*size, rows=3, modules=5, z=z, lumens=100.0)
    graded = GradedBox(cabinet, narrowest=4e-4, growth=1.35, widest=0.03)
    box = Inside(mesh_of(*size, patches_in_depth=patches_in_depth))
    light = light_inside(cabinet, box).reflected()
    off = np.array([0.0, 1e-3, 5e-3, 0.0254, 0.1])
    x = np.concatenate([np.full(5, width / 2), off, [0.005, 0.01, 0.0254, 0.05]])
    y = np.concatenate([off, np.full(5, height / 2), [0.005, 0.01, 0.0254, 0.05]])
    expected = graded.illuminance(x, y)
    direct = DirectLight(cabinet.sources(), cabinet.box.depth).illuminance(x, y)
    difference = np.abs((light.illuminance(x, y) + direct) / expected - 1)
    assert difference[:3].max() < at_edges
    assert difference[5:8].max() < at_edges
    assert difference[[3, 4, 8, 9]].max() < inside
    # Patches that narrow by the same factor all the way err by a part in a thousand near a corner, however small.
    assert difference[10:].max() < 3 * at_edges
