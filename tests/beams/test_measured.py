"""From a photometric file to the beam all round: what a file leaves out by symmetry is there."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.beams.lm63 import PhotometricFile, read_lm63, zonal_flux
from lumsim.beams.measured import whole_web
from tests.beams.written_lm63 import written

Array = NDArray[np.float64]

VERTICAL = np.arange(0.0, 91.0, 7.5)
SECTORS = {"0-0": (0, 0), "0-90": (0, 90), "0-180": (0, 180), "90-270": (90, 270), "0-360": (0, 360)}


def drawn(first: float, last: float, kind: int, *, seed: int = 5) -> PhotometricFile:
    """Read a file of random intensities over a sector."""
    draw = np.random.default_rng(seed)
    horizontal = np.unique(np.linspace(first, last, 7 if last > first else 1))
    candela = draw.uniform(1, 5, (len(horizontal), len(VERTICAL)))
    candela[:, 0] = candela[0, 0]
    if last == 360:
        candela[-1] = candela[0]
    return read_lm63(written(VERTICAL, horizontal, np.round(candela, 6), kind=kind), "drawn.ies")


@pytest.mark.parametrize("sector", SECTORS.values(), ids=list(SECTORS))
def test_the_whole_web_has_the_flux_of_the_file(sector: tuple[float, float]) -> None:
    """The beam all round has the flux that the file has by the symmetry of its angles."""
    file = drawn(*sector, kind=1)
    assert whole_web(file).flux == pytest.approx(zonal_flux(file), rel=1e-12)


@pytest.mark.parametrize("kind", [2, 3])
@pytest.mark.parametrize("sector", [(0, 90), (-90, 90)])
def test_types_a_and_b_have_their_flux_too(sector: tuple[float, float], kind: int) -> None:
    """Webs about a polar axis across the module's have the flux of their files."""
    file = drawn(*sector, kind=kind)
    assert whole_web(file).flux == pytest.approx(zonal_flux(file), rel=1e-12)


@pytest.mark.parametrize("sector", SECTORS.values(), ids=list(SECTORS))
def test_the_web_says_in_the_directions_of_the_file_what_the_file_says(sector: tuple[float, float]) -> None:
    """In each direction that a file tells of the web has its intensity, C clockwise as seen from in front."""
    file = drawn(*sector, kind=1)
    web = whole_web(file)
    gamma, C = np.radians(file.vertical), np.radians(file.horizontal)
    np.testing.assert_allclose(web.intensity(gamma, -C[:, None]) * web.flux, file.candela, rtol=1e-12)


@pytest.mark.parametrize(
    ("sector", "image"),
    [
        ((0, 90), lambda phi: -phi),
        ((0, 90), lambda phi: np.pi - phi),
        ((0, 180), lambda phi: -phi),
        ((90, 270), lambda phi: np.pi - phi),
        ((0, 0), lambda phi: phi + 1.234),
    ],
)
def test_what_a_symmetric_file_leaves_out_is_a_mirror_image(
    sector: tuple[float, float], image: object
) -> None:
    """Quadrants alike, halves mirrored about either plane, or all planes alike: as the last angle says."""
    web = whole_web(drawn(*sector, kind=1))
    draw = np.random.default_rng(6)
    theta, phi = draw.uniform(0, np.pi / 2, 300), draw.uniform(-np.pi, np.pi, 300)
    assert callable(image)
    np.testing.assert_allclose(web.intensity(theta, image(phi)), web.intensity(theta, phi), rtol=1e-9)


@pytest.mark.parametrize("kind", [2, 3])
def test_horizontal_angles_of_types_a_and_b_point_right_as_seen_from_behind(kind: int) -> None:
    """A beam that leans to H > 0 shines to the right of whoever looks along it, one that leans to V > 0 upwards."""
    angles = np.arange(-90.0, 91.0, 10.0)
    to_right = np.where(angles[:, None] > 0, np.where(abs(angles) < 85, 1.0, 0.0), 0.0)
    web = whole_web(read_lm63(written(angles, angles, to_right, kind=kind), "right.ies"))
    # Seen from in front, where azimuths are told, that is to the left: φ = 180 degrees.
    towards = web.intensity(np.full(2, np.radians(30)), np.array([np.pi, 0.0]))
    assert towards[0] > 0 == towards[1]
    web = whole_web(read_lm63(written(angles, angles, to_right.T, kind=kind), "up.ies"))
    towards = web.intensity(np.full(2, np.radians(30)), np.array([np.pi / 2, -np.pi / 2]))
    assert towards[0] > 0 == towards[1]
