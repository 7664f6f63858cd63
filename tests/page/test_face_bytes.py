"""A lit face as few bytes: what a screen shows of it is the light itself, to half a step."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from lumsim.page.face_bytes import LEAST_SIDE, MOST_SIDE, folded_or_coarser, seen_as_bytes, size_for
from lumsim.pictures.face_profiles import profiles_of
from lumsim.study.answering import answer
from tests.page.shown_page import study_of


@pytest.mark.parametrize(
    ("width", "height", "dots"), [(2, 1, 4000), (1, 3, 9000), (5, 0.2, 2000), (1, 1, 1e7), (1, 1, 1)]
)
def test_dots_are_as_many_as_asked_in_the_proportions_of_the_face(
    width: float, height: float, dots: float
) -> None:
    """Sides are even, within their bounds, and in the face's proportions to a dot or two where these allow."""
    nx, ny = size_for(width, height, dots)
    assert nx % 2 == ny % 2 == 0
    assert LEAST_SIDE <= min(nx, ny) <= max(nx, ny) <= MOST_SIDE
    if min(nx, ny) > LEAST_SIDE and max(nx, ny) < MOST_SIDE:
        assert abs(nx / ny - width / height) < 2 * (1 + width / height) / ny
        assert nx * ny == pytest.approx(dots, rel=0.1)


def test_dots_are_the_luminance_in_their_middle() -> None:
    """Each dot, read back between darkest and brightest, is the luminance there, seen row by row from the bottom."""
    lit = answer(study_of(), direct_only=True).front
    seen = seen_as_bytes(lit, profiles_of(lit)[0].mean, (24, 12))
    assert seen.dots.shape == (12, 24)
    left, right, low, high = lit.luminance.bounds
    x, y = (
        np.linspace(left, right, 49)[1::2],
        np.linspace(low, high, 25)[1::2],
    )
    there = lit.luminance.at(*np.meshgrid(x, y))
    back = seen.darkest + seen.dots / 255 * (seen.brightest - seen.darkest)
    assert_allclose(back, there, atol=0.51 * (seen.brightest - seen.darkest) / 255)
    assert seen.brightest <= lit.evenness.brightest.value


def test_the_profile_is_the_mean_along_the_rows() -> None:
    """Read back, the profile's mean is the face's mean, and no place of it passes the brightest point."""
    lit = answer(study_of(), direct_only=True).front
    seen = seen_as_bytes(lit, profiles_of(lit)[0].mean, (24, 12))
    shares = seen.profile / 65535
    even = lit.evenness
    assert np.trapezoid(shares) / (len(shares) - 1) == pytest.approx(
        even.mean / even.brightest.value, rel=2e-3
    )
    assert shares.max() < 1


def test_mirrored_faces_are_kept_as_quarters_and_others_half_as_fine() -> None:
    """Quarters unfold to the face itself; where one face is no mirror image, all are halved, a dot for four."""
    rng = np.random.default_rng(20)
    quarter = rng.integers(0, 256, (3, 5), dtype=np.uint8)
    both = np.concatenate([quarter, quarter[:, ::-1]], axis=1)
    whole = np.concatenate([both, both[::-1]])
    kept, folded = folded_or_coarser([whole, whole])
    assert folded
    assert np.array_equal(kept[1], quarter)
    askew = rng.integers(0, 256, (6, 10), dtype=np.uint8)
    kept, folded = folded_or_coarser([whole, askew])
    assert not folded
    assert [one.shape for one in kept] == [(3, 5), (3, 5)]
    assert abs(int(kept[1][0, 0]) - askew[:2, :2].mean()) <= 0.5
