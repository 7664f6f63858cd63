"""Every number on evenness, on faces where it can be told by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lumsim.errors import InputError
from lumsim.simulation import simulate
from lumsim.uniformity.evenness import evenness, nine_points
from lumsim.uniformity.face_map import FaceMap
from tests import cabinets
from tests.cabinets import DIRECT
from tests.uniformity.known_faces import Array, face_of, flat, rippled

SPLINE = 5e-6
"""Quintic splines through four samples for each finest detail hold means to some 1e-6."""

EXTREMES = 1e-8
"""Extremes are climbed on the field itself and polished."""

ROUNDING = 1e-12

LEVELS = [0.1, 0.3, 1 / 3, 100.0, 123.456, 1e-5, 7e7]


@pytest.mark.parametrize("level", LEVELS)
def test_a_flat_face_is_perfectly_even(level: float) -> None:
    """On a flat face every ratio is 1 exactly, so that a limit of 1 is met."""
    even = evenness(flat(level), 0.2)
    assert even.max_to_min == 1
    assert even.min_to_max == 1
    assert even.min_to_mean == 1
    assert even.stripe_max_to_min == 1
    assert even.ripple_x == 1
    assert even.ripple_y == 1
    assert even.nine_point == 1
    assert even.mean == level
    assert even.coefficient_of_variation < 1e-15


@pytest.mark.parametrize("level", LEVELS)
def test_a_flat_face_has_no_dark_edge(level: float) -> None:
    """On a flat face edge dimming is 1 exactly, so that a limit of 1 is met."""
    assert evenness(flat(level), 0.2).edge_dimming == 1


@pytest.mark.parametrize("amplitude", [0.001, 0.05, 0.3, 0.8])
@pytest.mark.parametrize(("pitch", "shift"), [(0.3, 0.0), (0.3, 0.07), (0.24, 0.113)])
def test_a_cosine_ripple(amplitude: float, pitch: float, shift: float) -> None:
    """Of 1 + a cos kx over whole periods every number has a closed form: max/min is (1 + a)/(1 − a)."""
    a = amplitude
    even = evenness(rippled(pitch=pitch, amplitude=a, shift=shift, width=1.2, height=0.7), pitch)
    ratio = (1 + a) / (1 - a)
    assert even.max_to_min == pytest.approx(ratio, rel=EXTREMES)
    assert even.min_to_max == pytest.approx(1 / ratio, rel=EXTREMES)
    assert even.mean == pytest.approx(100, rel=SPLINE)
    assert even.min_to_mean == pytest.approx(1 - a, rel=SPLINE)
    assert even.coefficient_of_variation == pytest.approx(a / math.sqrt(2), rel=SPLINE)
    assert even.stripe_max_to_min == pytest.approx(ratio, rel=SPLINE)
    assert even.ripple_x == pytest.approx(ratio, rel=SPLINE)
    assert even.ripple_y == pytest.approx(1, rel=ROUNDING)
    # Upright edges lie at one phase of the ripple; along the others whole periods average to the level.
    phase = min(0.0, math.cos(2 * math.pi * shift / pitch), math.cos(2 * math.pi * (1.2 - shift) / pitch))
    assert even.edge_dimming == pytest.approx(1 / (1 + a * phase), rel=SPLINE)


def test_ripples_along_both_directions_are_told_apart() -> None:
    """Of (1 + a cos kx)(1 + b cos ky) the ripple along x is a's, along y b's, and stripes are their product."""
    k, a, b = 2 * math.pi / 0.3, 0.2, 0.4
    face = face_of(lambda x, y: 50 * (1 + a * np.cos(k * x)) * (1 + b * np.cos(k * y)), 1.3, 1.1, detail=0.04)
    even = evenness(face, 0.3)
    assert even.ripple_x == pytest.approx(1.2 / 0.8, rel=SPLINE)
    assert even.ripple_y == pytest.approx(1.4 / 0.6, rel=SPLINE)
    assert even.stripe_max_to_min == pytest.approx(1.2 / 0.8 * 1.4 / 0.6, rel=SPLINE)


def test_nine_points_alias_with_the_pitch() -> None:
    """Rows a third of the face apart look perfectly even at nine points, and are not."""
    even = evenness(rippled(pitch=0.3, amplitude=0.5, width=0.9, height=0.6), 0.3)
    assert even.nine_point == pytest.approx(1, rel=ROUNDING)
    assert even.max_to_min == pytest.approx(3, rel=EXTREMES)


def test_nine_points_are_the_centres_of_three_by_three_parts() -> None:
    """The nine samples lie at a sixth, a half and five sixths of each side."""
    face = face_of(lambda x, y: 1 + x + 10 * y, 0.6, 1.2, detail=0.2)
    assert nine_points(face) == pytest.approx((1 + 0.5 + 10 * 1.0) / (1 + 0.1 + 10 * 0.2), rel=ROUNDING)


def test_a_ramp_has_no_stripes_but_a_dark_edge() -> None:
    """On 100 + g x every window's mean is the value in its middle: no stripes; the middle over the dark edge."""
    face = face_of(lambda x, y: 100 + 80 * x + 0 * y, 1.5, 0.8, detail=0.1)
    even = evenness(face, 0.3)
    assert even.stripe_max_to_min == pytest.approx(1, rel=ROUNDING)
    assert even.edge_dimming == pytest.approx((100 + 80 * 0.75) / 100, rel=ROUNDING)
    assert even.max_to_min == pytest.approx(220 / 100, rel=ROUNDING)
    assert even.mean == pytest.approx(160, rel=ROUNDING)
    assert even.coefficient_of_variation == pytest.approx(120 / math.sqrt(12) / 160, rel=ROUNDING)


def test_a_bowl_by_hand() -> None:
    """On 100 + k x² a window's mean is k w²/12 above its middle, so L/M is told by hand."""
    k, w = 400.0, 0.2
    face = face_of(lambda x, y: 100 + k * (x - 0.5) ** 2 + 0 * y, 1.0, 0.6, detail=0.1)
    even = evenness(face, w)
    least = 100 / (100 + k * w**2 / 12)
    most = (100 + k * 0.4**2) / (100 + k * 0.4**2 + k * w**2 / 12)
    assert even.stripe_max_to_min == pytest.approx(most / least, rel=ROUNDING)
    assert even.stripe_min.x == pytest.approx(0.5, abs=1e-5)
    assert abs(even.stripe_max.x - 0.5) == pytest.approx(0.4, abs=1e-9)
    # The mean of M over windows in the middle 0.8 m, over the middle w of the lower edge.
    middle = 100 + k * w**2 / 12 + k * 0.8**2 / 12
    assert even.edge_dimming == pytest.approx(middle / (100 + k * w**2 / 12), rel=ROUNDING)


def test_a_dark_corner_by_hand() -> None:
    """Near a dark corner the darkest stretch runs along one edge from the corner on, and turns none."""
    s, w, width, height, drop = 0.3, 0.25, 1.2, 0.8, 60.0
    face = face_of(lambda x, y: 100 - drop * np.exp(-(x + y) / s), width, height, detail=0.1)

    def mean_of_windows(size: float) -> float:
        first, last = w / 2, size - w / 2
        around = 2 * math.sinh(w / 2 / s) * s / w
        return around * s * (math.exp(-first / s) - math.exp(-last / s)) / (last - first)

    middle = 100 - drop * mean_of_windows(width) * mean_of_windows(height)
    stretch = 100 - drop * s / w * (1 - math.exp(-w / s))
    assert evenness(face, w).edge_dimming == pytest.approx(middle / stretch, rel=SPLINE)


def test_a_window_wider_than_the_face_takes_its_width() -> None:
    """A face narrower than the window along x takes its own width there, and has no places to move in."""
    face = rippled(pitch=0.3, amplitude=0.5, width=0.3, height=0.9)
    even = evenness(face, 0.4)
    assert even.window == 0.4
    assert even.periods == pytest.approx((0.0, 0.9 / 0.4 - 1))
    # The only window spans one whole period: M is the level. Its middle is a trough.
    assert even.stripe_max.value == pytest.approx(0.5, rel=SPLINE)
    assert even.stripe_max_to_min == pytest.approx(1, rel=SPLINE)
    # Both upright edges lie on a crest: the darkest stretch is a level one, over the whole width.
    assert even.edge_dimming == pytest.approx(1, rel=SPLINE)


@pytest.mark.parametrize("window", [0.9, 1.0, 5.0, 1e5])
def test_a_window_larger_than_the_face_is_the_whole_face(window: float) -> None:
    """Where the window covers the face there is one window, no stripes, and the mean over the darkest side."""
    face = face_of(lambda x, y: 100 + 100 * x + 0 * y, 0.9, 0.6, detail=0.1)
    even = evenness(face, window)
    assert even.stripe_max_to_min == pytest.approx(1, rel=ROUNDING)
    assert even.ripple_x == pytest.approx(1, rel=ROUNDING)
    assert even.edge_dimming == pytest.approx(145 / 100, rel=ROUNDING)
    assert even.periods == pytest.approx((0.0, 0.0), abs=ROUNDING)


def test_a_tiny_window_sees_no_stripes() -> None:
    """The smaller the window, the nearer its mean to its middle: the stripes number goes to 1."""
    face = rippled(pitch=0.3, amplitude=0.3, width=1.2, height=0.6)
    # M − L is a (k w)²/24 of the ripple to first order.
    expected = 1 + 2 * 0.3 * (2 * math.pi * 0.01 / 0.3) ** 2 / 24
    assert evenness(face, 0.01).stripe_max_to_min == pytest.approx(expected, abs=1e-3)
    assert evenness(face, 1e-5).stripe_max_to_min == pytest.approx(1, abs=1e-4)


@pytest.mark.parametrize("window", [0.0, -0.1, math.nan, math.inf])
def test_a_window_that_cannot_be_is_refused(window: float) -> None:
    """A window must have a size."""
    with pytest.raises(InputError, match=f"the stripe window must be more than 0 m, got {window:g} m"):
        evenness(flat(1.0), window)


def test_periods_say_how_far_the_window_moves() -> None:
    """The places of the window's centre span the face less one window."""
    even = evenness(rippled(pitch=0.3, amplitude=0.3, width=1.2, height=0.75), 0.3)
    assert even.periods == pytest.approx((3.0, 1.5), rel=ROUNDING)


@pytest.mark.parametrize("offset", [0.0, 0.011, 0.137])
def test_edge_dimming_sees_a_dip_anywhere_on_the_outline(offset: float) -> None:
    """A dark dip half as long as the window is found wherever on the outline it lies, on any side."""
    w, sigma = 0.2, 0.05
    for side in range(4):

        def field(x: Array, y: Array, side: int = side) -> Array:
            across = (y, x, 0.8 - y, 1.2 - x)[side]
            along = (x, y)[side % 2]
            return np.asarray(
                100 - 60 * np.exp(-((along - 0.45 - offset) ** 2) / (2 * sigma**2) - across / 0.02),
                dtype=np.float64,
            )

        even = evenness(face_of(field, 1.2, 0.8, detail=0.02), w)
        dip = 60 * math.sqrt(2 * math.pi) * sigma * math.erf(w / 2 / sigma / math.sqrt(2)) / w
        volume = 60 * math.sqrt(2 * math.pi) * sigma * 0.02 / ((1.2 - w) * (0.8 - w))
        # The mean of M counts the dip at most once for each place of the window over it.
        assert even.edge_dimming == pytest.approx(100 / (100 - dip), rel=volume / 100 * 2)


@pytest.mark.parametrize(("exponent", "depth"), [(12.0, 0.05), (30.0, 0.1), (60.0, 0.1), (60.0, 0.05)])
@pytest.mark.filterwarnings("ignore:.*encountered in:RuntimeWarning")
def test_steep_beams_far_apart_are_judged_or_refused(exponent: float, depth: float) -> None:
    """Where light all but dies between modules no number is negative or below 1: it is judged, or refused."""
    cabinet = cabinets.listed(1, 1, depth, [(0.2, 0.35), (0.8, 0.6)], exponent=exponent)
    try:
        even = simulate(cabinet, lighting=DIRECT).evenness
    except InputError:
        return
    for ratio in (even.max_to_min, even.stripe_max_to_min, even.edge_dimming, even.ripple_x, even.ripple_y):
        assert 1 <= ratio < math.inf
    assert even.stripe_min.value > 0


def test_a_face_map_needs_a_value_for_each_sample() -> None:
    """A map with too few values is refused."""
    x, y = np.linspace(0, 1, 15), np.linspace(0, 1, 17)
    with pytest.raises(InputError, match="17 by 15 samples needs as many values"):
        FaceMap(x=x, y=y, values=np.ones((15, 17)), at=lambda a, b: a, detail=0.1)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_a_face_map_needs_light_everywhere(wrong: float) -> None:
    """A map with a value that no luminance ratio can be told of is refused."""
    x, y = np.linspace(0, 1, 15), np.linspace(0, 1, 17)
    values = np.ones((17, 15))
    values[3, 4] = wrong
    with pytest.raises(InputError, match="finite and above 0 everywhere"):
        FaceMap(x=x, y=y, values=values, at=lambda a, b: a, detail=0.1)


def test_a_coarser_map_keeps_the_edges() -> None:
    """Every other sample of an odd count is a map from edge to edge too."""
    face = rippled(pitch=0.3, amplitude=0.3, width=1.2, height=0.6)
    assert face.coarser().bounds == face.bounds
    assert face.coarser().steps == pytest.approx((2 * face.steps[0], 2 * face.steps[1]), rel=ROUNDING)
