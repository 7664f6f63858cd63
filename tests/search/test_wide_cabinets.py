"""A search in the middle of a wide cabinet finds the pitch of rows without end, ever closer the wider it is."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from lumsim.beams.closed import LAMBERTIAN
from lumsim.cabinet.box import Box
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.face import Face
from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import place
from lumsim.cabinet.rows import Rows
from lumsim.light.infinite_rows import InfiniteRows
from lumsim.search.row_pitch import widest_row_pitch
from lumsim.simulation import ALL_LIGHT, Lighting
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.published.values import read_published

DEPTH = 0.1
BACK, FACE = 0.9, 0.5
SEEN = 2.2
"""Of the middle of the face: a little more than two rows, without which stripes could not be judged. [pitch]"""
MODULE_PITCH = 0.4
"""Rows are continuous then to 1e-5 of max/min. [h]"""
BEYOND_FIRST_ORDER = 2.0
"""Times what is missing in the very middle: what is more missing towards the visible edges, and smaller terms. [1]"""


def found_in(size: float, ratio: float, lighting: Lighting, seen: float) -> float:
    """The widest pitch in a cabinet so wide and high, its returns black, stripes at most a ratio. [h]"""
    wide = size * DEPTH
    box = Box(
        width=wide,
        height=wide,
        depth=DEPTH,
        back_reflectance=BACK,
        left_return_reflectance=0.0,
        right_return_reflectance=0.0,
        bottom_return_reflectance=0.0,
        top_return_reflectance=0.0,
    )
    face = Face(transmittance=1 - FACE, reflectance=FACE, visible_border=(size - seen) / 2 * DEPTH)
    rows = Rows(
        module=Module(name="standard", lumens=10.0),
        direction="horizontal",
        rows=place(wide, pitch=1.5 * DEPTH),
        modules=place(wide, pitch=MODULE_PITCH * DEPTH),
    )
    found = widest_row_pitch(
        Cabinet(box=box, face=face, groups=(rows,)),
        0,
        Requirement(stripe_max_to_min=ratio),
        mark=Fraction(1, 10**5),
        lighting=lighting,
    )
    assert found.exact is not None
    return found.exact.pitch / DEPTH


def narrower_by(lit: InfiniteRows, pitch: float, ratio: float, size: float) -> float:
    """How much narrower the pitch is in the middle of a cabinet so wide, to first order. [h]

    Of an even sheet what lies beyond a square of half side w is missing: ∫ r⁻⁴/π outside it, (π + 2)/(2π w²). Between
    plates light that has gone to and fro n times is missing 2n + 1 times as much, for tails add up; over all n that is
    (1 + R)/(1 − R) times. A share δ missing all over raises max/min by r (1/E_min − 1/E_max) δ, with E over the mean.
    """
    R = lit.back_reflectance * lit.face_reflectance
    missing = (math.pi + 2) / (2 * math.pi * (size / 2) ** 2) * (1 + R) / (1 - R)
    top, bottom = lit.illuminance(np.zeros(1), np.array([0.0, pitch / 2]), pitch)[0] / lit.mean
    slope = (lit.max_to_min(pitch + 1e-4) - lit.max_to_min(pitch - 1e-4)) / 2e-4
    return float(ratio * (1 / bottom - 1 / top) * missing / slope)


PITCHES = {
    float(one.parameters["ratio"]): one.expected for one in read_published() if one.family == "rows-pitch"
}


@pytest.mark.parametrize("ratio", PITCHES)
def test_direct_light_gives_the_published_pitch(ratio: float) -> None:
    """Black returns, direct light: the published pitch, less what the light that is missing beyond the cabinet takes.

    In a cabinet of 16 pitches that is 2e-3 to 3e-3 throws; to the printed digits it would take one of some 400. What
    is left to the digits is found without end, see tests/published/test_by_searching.py.
    """
    endless = InfiniteRows(beam=LAMBERTIAN, throw=1.0, depth=1.0)
    pitch = PITCHES[ratio]
    off = pitch - found_in(16 * pitch, ratio, DIRECT, SEEN * pitch)
    assert 0 < off < BEYOND_FIRST_ORDER * narrower_by(endless, pitch, ratio, 16 * pitch)
    assert off < 3e-3


def test_twice_as_wide_a_quarter_is_missing() -> None:
    """And what is missing of two cabinets tells the published pitch to 4e-4 throws."""
    ratio = 1.5
    pitch = PITCHES[ratio]
    near, far = (found_in(n * pitch, ratio, DIRECT, SEEN * pitch) for n in (8, 16))
    assert (pitch - near) / (pitch - far) == pytest.approx(4, rel=0.15)
    assert far + (far - near) / 3 == pytest.approx(pitch, abs=4e-4)


def test_light_thrown_back_gives_the_pitch_between_plates() -> None:
    """Back and face that reflect 0.9 and 0.5, black returns: the pitch of rows between plates, ever closer."""
    endless = InfiniteRows(
        beam=LAMBERTIAN, throw=1.0, depth=1.0, back_reflectance=BACK, face_reflectance=FACE
    )
    ratio = 1.26590727
    pitch = endless.pitch_for(ratio)
    # The published max/min at a pitch of two throws, the other way round.
    assert pitch == pytest.approx(2.0, abs=1e-7)
    off = []
    for size in (10.0, 16.0):
        off.append(2.0 - found_in(size, ratio, ALL_LIGHT, SEEN * 2.0))
        assert 0 < off[-1] < BEYOND_FIRST_ORDER * narrower_by(endless, 2.0, ratio, size)
    assert off[1] < off[0] * (10 / 16) ** 2
