"""A lit face on a screen."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.errors import InputError
from lumsim.pictures.exposure import Exposure
from lumsim.study.answering import answer
from lumsim.study.reading import read_study


def shown(greys: np.ndarray) -> np.ndarray:
    """Light of a screen at greys of sRGB, over its white (IEC 61966-2-1, from its own inverse)."""
    return np.where(greys <= 0.04045, greys / 12.92, ((greys + 0.055) / 1.055) ** 2.4)


def test_screen_shows_ratios_true() -> None:
    """What a screen shows of a face stands in the ratios of its luminance, by the inverse that the standard prints."""
    luminance = np.array([0.5, 5.0, 50.0, 250.0, 500.0])
    greys = Exposure(white=500.0).greys(luminance)
    assert shown(greys) == pytest.approx(luminance / 500.0, rel=1e-3)


def test_middle_grey() -> None:
    """0.21586 of the white's light is the middle grey 128 of 255 (IEC 61966-2-1)."""
    assert Exposure(white=1.0).greys(np.array([0.21586])) == pytest.approx(128 / 255, abs=1e-4)


def test_beyond_white_is_white() -> None:
    """What is brighter than the white is shown as white, and darkness as black."""
    assert Exposure(white=10.0).greys(np.array([0.0, 10.0, 30.0])) == pytest.approx([0.0, 1.0, 1.0])


def test_one_exposure_for_several() -> None:
    """Of several faces the brightest point of all is just white."""
    even = answer(read_study("studies/larkspur-library.toml"), direct_only=True)
    uneven = answer(read_study("studies/fernhill-market.toml"), direct_only=True)
    faces = [*even.faces, *uneven.faces]
    highest = max(float(lit.luminance.values.max()) for lit in faces)
    assert Exposure.of(faces).white == pytest.approx(highest, rel=1e-2)


@pytest.mark.parametrize("white", [0.0, -1.0, float("nan"), float("inf")])
def test_white_that_is_none_is_refused(white: float) -> None:
    """A white of no light, or of none that can be told, is refused."""
    with pytest.raises(InputError, match="more than 0"):
        Exposure(white=white)
