"""The inside cut into patches: what a mesh promises."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.errors import TooLargeError
from lumsim.light.surfaces import LEAST_ALONG, Surfaces, mesh_of

BOXES = [
    (1.0, 1.0, 0.2),
    (2.4, 1.2, 0.127),
    (3.0, 0.4, 0.3),
    (0.2, 0.2, 0.2),
    (0.05, 3.0, 0.05),
    (0.3, 0.4, 1.5),
]


@pytest.mark.parametrize("size", BOXES)
@pytest.mark.parametrize("patches_in_depth", [4, 10, 16])
def test_the_patches_cover_the_inside(size: tuple[float, float, float], patches_in_depth: int) -> None:
    """The areas of each surface's patches add up to the surface, and all of them are counted."""
    width, height, depth = size
    mesh = mesh_of(width, height, depth, patches_in_depth=patches_in_depth)
    areas = mesh.areas()
    expected = Surfaces(
        *(
            np.asarray(area)
            for area in (width * height, width * height, *2 * [width * depth], *2 * [height * depth])
        )
    )
    for values, area in zip(areas, expected, strict=True):
        assert values.min() > 0
        assert float(values.sum()) == pytest.approx(float(area), rel=1e-12, abs=0)
    assert mesh.patches == sum(values.size for values in areas)
    assert len(areas.joined()) == mesh.patches


@pytest.mark.parametrize("size", BOXES)
@pytest.mark.parametrize("patches_in_depth", [4, 10, 16])
def test_no_patch_is_wider_than_was_asked_for(
    size: tuple[float, float, float], patches_in_depth: int
) -> None:
    """Patches of back and face are no wider than the depth over the number asked for, and enough a side."""
    width, height, depth = size
    mesh = mesh_of(width, height, depth, patches_in_depth=patches_in_depth)
    assert max(mesh.step_x, mesh.step_y) <= depth / patches_in_depth * (1 + 1e-9)
    assert min(mesh.columns, mesh.rows) >= LEAST_ALONG
    assert mesh.edges_x[0] == 0
    assert mesh.edges_x[-1] == width
    assert len(mesh.edges_x) == mesh.columns + 1
    assert mesh.edges_y[-1] == height
    assert len(mesh.edges_y) == mesh.rows + 1


@pytest.mark.parametrize("patches_in_depth", [4, 10, 16])
def test_the_depth_is_cut_finer_near_back_and_face(patches_in_depth: int) -> None:
    """Layers of the returns run from back to face, mirror images about the middle, and widen towards it."""
    mesh = mesh_of(2.4, 1.2, 0.127, patches_in_depth=patches_in_depth)
    z = np.asarray(mesh.z)
    layers = np.diff(z)
    assert (z[0], z[-1]) == (0.0, 0.127)
    assert len(layers) == 3 * patches_in_depth // 2
    np.testing.assert_allclose(z + z[::-1], 0.127, rtol=0, atol=1e-15)
    half = layers[: len(layers) // 2]
    assert (np.diff(half) > 0).all()
    assert layers.max() <= 0.127 / patches_in_depth * 1.05


@pytest.mark.parametrize("size", [(2.4, 1.2, 0.127), (3.0, 0.6, 0.1), (1.0, 0.8, 0.15)])
def test_half_the_patches_in_depth_is_half_as_fine_each_way(size: tuple[float, float, float]) -> None:
    """Half as many patches in the depth are half as many along width, height and depth of a sign."""
    fine, coarse = (mesh_of(*size, patches_in_depth=n) for n in (12, 6))
    assert coarse.columns <= fine.columns / 2 + 1
    assert coarse.rows <= fine.rows / 2 + 1
    assert len(coarse.z) - 1 == (len(fine.z) - 1) / 2


def test_joined_and_split_undo_each_other() -> None:
    """A vector of all values is cut into the same surfaces that it was joined from, in their order."""
    mesh = mesh_of(0.5, 0.3, 0.2, patches_in_depth=4)
    draw = np.random.default_rng(1)
    values = mesh.areas().each(lambda area: draw.normal(size=area.shape))
    vector = values.joined()
    np.testing.assert_array_equal(vector[: values.back.size], values.back.ravel())
    for one, other in zip(values.split(vector), values, strict=True):
        np.testing.assert_array_equal(one, other)


def test_each_applies_to_each_surface_and_its_fellows() -> None:
    """A function of several surfaces gets those of one name together."""
    areas = mesh_of(0.5, 0.3, 0.2, patches_in_depth=4).areas()
    doubled = areas.each(np.add, areas)
    for name, values in doubled._asdict().items():
        np.testing.assert_array_equal(values, 2 * getattr(areas, name))


@pytest.mark.parametrize("size", [(100.0, 100.0, 0.01), (30.0, 30.0, 0.3), (1.0, 1.0, 0.01)])
def test_what_would_not_fit_is_refused_with_its_size(size: tuple[float, float, float]) -> None:
    """A box so large and shallow that its exchange would not fit is refused, with how large it would be."""
    with pytest.raises(TooLargeError, match=r"needs .* million patches .* GB: it is too large and shallow"):
        mesh_of(*size, patches_in_depth=10)
