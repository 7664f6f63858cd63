"""How far off a point is for what shines: against the law integrated, and at its limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad

from lumsim.light.point_error import error_as_point

SIDES = st.floats(1e-3, 3.0)


@pytest.mark.parametrize(("length", "width"), [(1.0, 1.0), (0.5, 2.0), (0.2, 0.01)])
@pytest.mark.parametrize("throw", [0.5, 1.0, 3.0])
def test_a_rectangle_is_the_law_integrated(length: float, width: float, throw: float) -> None:
    """Point over exact is L W / h² over ∫∫ h² / (h² + x² + y²)² dx dy, by quadrature."""
    exact, _ = dblquad(
        lambda y, x: throw**2 / (throw**2 + x**2 + y**2) ** 2,
        -length / 2,
        length / 2,
        -width / 2,
        width / 2,
        epsabs=0,
        epsrel=1e-10,
    )
    expected = length * width / throw**2 / exact - 1
    got = error_as_point((length, width), throw, round_opening=False)
    assert got == pytest.approx(expected, rel=1e-8, abs=0)


@pytest.mark.parametrize(("length", "width"), [(1.0, 1.0), (0.5, 2.0)])
def test_an_ellipse_is_the_law_integrated(length: float, width: float) -> None:
    """The same over an ellipse, in its own polar coordinates."""
    a, b = length / 2, width / 2
    exact, _ = dblquad(
        lambda r, phi: a * b * r / (1 + (a * r * math.cos(phi)) ** 2 + (b * r * math.sin(phi)) ** 2) ** 2,
        0,
        2 * math.pi,
        0,
        1,
        epsabs=0,
        epsrel=1e-10,
    )
    expected = math.pi * a * b / exact - 1
    got = error_as_point((length, width), 1.0, round_opening=True)
    assert got == pytest.approx(expected, rel=1e-8, abs=0)


@given(length=SIDES, width=SIDES, round_opening=st.booleans(), throw=st.floats(0.1, 10.0))
def test_a_point_is_always_too_bright_and_turning_it_changes_nothing(
    length: float, width: float, round_opening: bool, throw: float
) -> None:
    """What shines beside the axis is farther off and seen aslant: the error is above 0, the same for W by L."""
    error = error_as_point((length, width), throw, round_opening=round_opening)
    assert error > 0
    assert error == pytest.approx(
        error_as_point((width, length), throw, round_opening=round_opening), rel=1e-9, abs=1e-14
    )
    # Farther off it is less, nothing but the ratio of size and throw counts.
    assert error_as_point((length, width), 2 * throw, round_opening=round_opening) < error
    assert error_as_point((2 * length, 2 * width), 2 * throw, round_opening=round_opening) == pytest.approx(
        error, rel=1e-9, abs=1e-14
    )


def test_a_line_is_the_limit_of_a_narrow_rectangle_and_a_point_is_exact() -> None:
    """Narrower and narrower rectangles come to the line; nothing at all is off by nothing."""
    line = error_as_point((1.0, 0.0), 1.0, round_opening=False)
    narrow = [error_as_point((1.0, width), 1.0, round_opening=False) - line for width in (0.1, 0.01, 0.001)]
    assert [narrow[0] / narrow[1], narrow[1] / narrow[2]] == pytest.approx([100, 100], rel=0.02)
    assert error_as_point((0.0, 0.0), 1.0, round_opening=False) == 0
    assert error_as_point((0.0, 0.0), 1.0, round_opening=True) == 0
