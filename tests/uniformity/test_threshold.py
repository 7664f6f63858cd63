"""The threshold of seeing: what its formula promises beyond the published table, and where it is passed."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.uniformity.threshold import (
    SeenFace,
    contrast_sensitivity,
    contrast_threshold,
    field_area,
    seen_at,
    spatial_frequency,
    stretch_above,
)

FACE = SeenFace(width=2.0, height=0.9, luminance=300.0)


def times(pitch: float, modulation: float, distance: float, face: SeenFace = FACE) -> float:
    """How many times the threshold a grating is. [1]"""
    return seen_at(face, pitch, modulation, distance).times


def test_a_degree_of_view_holds_as_many_cycles_as_pitches() -> None:
    """Where a pitch spans one degree on axis there is one cycle a degree; from twice as far there are two."""
    distance = 0.15 / math.tan(math.radians(1))
    assert spatial_frequency(0.15, distance) == pytest.approx(1, rel=1e-14)
    assert spatial_frequency(0.15, 2 * distance) == pytest.approx(2, rel=1e-14)


def test_a_face_fills_the_view_from_close_by_and_little_from_afar() -> None:
    """From 1 m a face of 2 × 2 m spans 90 by 90 degrees; far off the area falls with the square of the distance."""
    assert field_area(2.0, 2.0, 1.0) == pytest.approx(90**2, rel=1e-14)
    far = field_area(2.0, 0.9, 1000.0)
    assert far == pytest.approx(2.0 * 0.9 * (180 / math.pi / 1000) ** 2, rel=1e-5)
    assert field_area(2.0, 0.9, 2000.0) == pytest.approx(far / 4, rel=1e-5)


@given(
    u=st.floats(0.01, 30), area=st.floats(0.1, 1e4), luminance=st.floats(1, 5000), more=st.floats(1.05, 10)
)
def test_more_light_and_a_larger_field_never_hide_a_grating(
    u: float, area: float, luminance: float, more: float
) -> None:
    """Sensitivity rises with luminance and with the field's area, whatever the frequency."""
    plain = contrast_sensitivity(u, luminance, area)
    assert contrast_sensitivity(u, luminance * more, area) >= plain
    assert contrast_sensitivity(u, luminance, area * more) >= plain
    assert contrast_threshold(u, luminance, area) == pytest.approx(1 / plain, rel=1e-14)


def test_extreme_frequencies_have_a_threshold_too() -> None:
    """Nothing is seen of waves as wide as the sky or as fine as dust: thresholds far above 1, and no error."""
    assert contrast_threshold(1e-6, 300.0, 100.0) > 1
    assert contrast_threshold(300.0, 300.0, 100.0) > 1e6
    assert contrast_threshold(1e4, 300.0, 100.0) == math.inf
    assert times(0.15, 0.01, 1e7) == 0


def test_what_is_seen_is_the_formula_at_that_distance() -> None:
    """Frequency, field and threshold are those of pitch, face and distance; times is modulation over threshold."""
    seen = seen_at(FACE, 0.15, 0.02, 10.0)
    assert seen.cycles_per_degree == spatial_frequency(0.15, 10.0)
    assert seen.field == field_area(2.0, 0.9, 10.0)
    assert seen.threshold == contrast_threshold(seen.cycles_per_degree, 300.0, seen.field)
    assert seen.times == pytest.approx(0.02 / seen.threshold, rel=1e-14)


@given(
    pitch=st.floats(0.005, 2), modulation=st.floats(1e-5, 1), luminance=st.floats(5, 2000),
    width=st.floats(0.1, 20), height=st.floats(0.1, 20), near=st.floats(0.2, 50), ratio=st.floats(1.1, 500),
)  # fmt: skip
def test_the_stretch_is_where_a_scan_finds_it(
    pitch: float, modulation: float, luminance: float, width: float, height: float, near: float, ratio: float
) -> None:
    """Of 200 distances those within the stretch are above the threshold, all others below: there is one at most."""
    face = SeenFace(width=width, height=height, luminance=luminance)
    far = near * ratio
    found = stretch_above(face, pitch, modulation, near, far)
    for step in range(201):
        distance = min(near * ratio ** (step / 200), far)
        above = times(pitch, modulation, distance, face)
        if found is None:
            assert above < 1 + 1e-6
        elif found[0] * (1 + 1e-9) < distance < found[1] * (1 - 1e-9):
            assert above > 1 - 1e-9
        elif not found[0] * (1 - 1e-9) <= distance <= found[1] * (1 + 1e-9):
            assert above < 1 + 1e-9


def test_very_near_and_very_far_a_stripe_is_below_the_threshold() -> None:
    """Stripes of 0.5 % at 150 mm are lost from 1 m and from 300 m and seen between; both ends are crossings."""
    found = stretch_above(FACE, 0.15, 0.005, 1.0, 300.0)
    assert found is not None
    begin, end = found
    assert 1 < begin < end < 300
    assert times(0.15, 0.005, begin) == pytest.approx(1, rel=1e-9)
    assert times(0.15, 0.005, end) == pytest.approx(1, rel=1e-9)
    assert times(0.15, 0.005, 0.9 * begin) < 1 < times(0.15, 0.005, 1.1 * begin)
    assert times(0.15, 0.005, 1.1 * end) < 1 < times(0.15, 0.005, 0.9 * end)


def test_the_whole_way_and_none_of_it() -> None:
    """Stripes of 10 % are seen from 3 m to 50 m whole; those of 0.05 % nowhere; those of nothing nowhere."""
    assert stretch_above(FACE, 0.15, 0.1, 3.0, 50.0) == (3.0, 50.0)
    assert stretch_above(FACE, 0.15, 0.0005, 3.0, 50.0) is None
    assert stretch_above(FACE, 0.15, 0.0, 3.0, 50.0) is None


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_what_cannot_be_seen_from_is_refused(bad: float) -> None:
    """Pitch, distance, sizes and luminance are above 0 and finite."""
    with pytest.raises(InputError, match="distance must be more than 0 m"):
        spatial_frequency(0.15, bad)
    with pytest.raises(InputError, match="pitch must be more than 0 m"):
        spatial_frequency(bad, 3.0)
    with pytest.raises(InputError, match="luminance must be more than 0 cd/m²"):
        SeenFace(width=1.0, height=1.0, luminance=bad)
    with pytest.raises(InputError, match="width must be more than 0 m"):
        SeenFace(width=bad, height=1.0, luminance=1.0)


def test_a_range_runs_from_near_to_far() -> None:
    """A stretch is looked for between a nearer and a farther distance."""
    with pytest.raises(InputError, match="the farthest, 3 m, must be beyond the nearest, 3 m"):
        stretch_above(FACE, 0.15, 0.1, 3.0, 3.0)
