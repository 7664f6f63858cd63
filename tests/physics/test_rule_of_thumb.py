"""What the trade says of rows in light boxes, tried in a cabinet."""

from __future__ import annotations

import pytest

from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text

SIGN = """
[cabinet]
width = "72 in"
height = "60 in"
depth = "{depth} in"
[face]
transmittance = 0.4
reflectance = 0.4
visible_border = "1 in"
[modules.standard]
lumens = 60.0
beam = {{ shape = {shape} }}
[[rows]]
pitch = "12 in"
module_pitch = "4 in"
"""


def stripes(depth: float, shape: str) -> float:
    """Return max/min of the stripes that rows 12 in apart make at a depth."""
    sign = study_from_text(SIGN.format(depth=depth, shape=shape))
    return answer(sign, direct_only=False, fine=False).evenness.stripe_max_to_min


@pytest.mark.parametrize("depth", [5, 6, 7, 8])
def test_rows_12_in_apart_are_even_from_5_to_8_in_with_wide_beams(depth: float) -> None:
    """Common practice, no source: 12 in on centre, 5 to 8 in from the face, with wide beams; even is taken as 1.2."""
    assert stripes(depth, '"wide", width = 4.0') <= 1.2


def test_the_rule_must_be_tried_since_cabinets_and_beams_vary() -> None:
    """Common practice, no source: shallower than 5 in, or with plain Lambertian beams at 5 in, it does not hold."""
    assert stripes(3.5, '"wide", width = 4.0') > 1.2
    assert stripes(5, '"lambertian"') > 1.2
