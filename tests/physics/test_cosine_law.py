"""The cosine laws: of the beam at the module, and of incidence at the face."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.beams.closed import CosinePower
from lumsim.light.direct import DirectLight
from tests import cabinets

TABLE = 1e-9
"""The table of powers is good to 1e-10 for each module."""


@pytest.mark.parametrize("exponent", [0.0, 0.3, 0.8048, 1.0, 1.5, 2.0, 7.25, 60.0])
def test_off_the_axis_illuminance_falls_with_the_power_of_the_cosine(exponent: float) -> None:
    """Under the angle θ a module gives cos^(m+3) θ of what it gives on its axis.

    cosᵐ θ is the beam's, cos θ the incidence's, and cos² θ the longer way's.
    """
    cabinet = cabinets.listed(4, 4, 0.2, [(2, 2)], exponent=exponent)
    light = DirectLight(cabinet.sources(), 0.2)
    angle = np.radians([0.0, 10.0, 30.0, 45.0, 60.0, 75.0])
    for turn in np.radians([0.0, 37.0, 90.0, 200.0]):
        x, y = 2 + 0.2 * np.tan(angle) * np.cos(turn), 2 + 0.2 * np.tan(angle) * np.sin(turn)
        illuminance = light.illuminance(x, y)
        np.testing.assert_allclose(
            illuminance / illuminance[0], np.cos(angle) ** (exponent + 3), rtol=TABLE, atol=0
        )


@pytest.mark.parametrize("exponent", [0.1, 0.5, 1.0, 3.0, 1000.0])
def test_intensity_is_half_at_half_the_half_intensity_angle(exponent: float) -> None:
    """At half the full half-intensity angle from the axis a beam has half its peak intensity."""
    half_angle = CosinePower(exponent=exponent).half_intensity_angle / 2
    throw = 0.1
    cabinet = cabinets.listed(100, 1, throw, [(0, 0.5)], exponent=exponent)
    light = DirectLight(cabinet.sources(), throw)
    x = np.array([0.0, throw * np.tan(half_angle)])
    illuminance = light.illuminance(x, np.full(2, 0.5))
    intensity = illuminance * (throw**2 + x**2) ** 1.5 / throw
    assert intensity[1] / intensity[0] == pytest.approx(0.5, rel=TABLE, abs=0)


def test_a_steeper_beam_with_the_same_lumens_is_brighter_on_its_axis_and_darker_beside() -> None:
    """With the same lumens a steeper beam gives more under the module and less far beside it."""
    lights = [
        DirectLight(cabinets.listed(4, 1, 0.2, [(2, 0.5)], exponent=m).sources(), 0.2)
        for m in (0.0, 0.5, 1.0, 4.0, 30.0)
    ]
    on_axis = [float(light.illuminance(np.array([2.0]), np.array([0.5]))[0]) for light in lights]
    beside = [float(light.illuminance(np.array([2.6]), np.array([0.5]))[0]) for light in lights]
    assert on_axis == sorted(on_axis)
    assert beside == sorted(beside, reverse=True)
