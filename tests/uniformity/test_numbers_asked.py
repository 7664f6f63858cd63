"""The numbers asked for one by one are those of a whole look at the face, and a spline through the samples holds it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lumsim.search.layouts import with_row_pitch
from lumsim.simulation import ALL_LIGHT, simulate
from lumsim.uniformity.evenness import evenness, numbers_asked
from lumsim.uniformity.face_map import FaceMap
from lumsim.uniformity.requirement import Requirement, judge, judge_numbers, names_asked
from lumsim.whole_light import light_on_face
from tests.search.scanned import cabinet

NAMES = (
    "edge_dimming",
    "max_to_min",
    "mean",
    "stripe_max_to_min",
    "coefficient_of_variation",
    "min_to_mean",
    "darkest_luminance",
)


@pytest.fixture(scope="module", params=[0.001, 0.02], ids=["narrow border", "border"])
def lit(request: pytest.FixtureRequest) -> FaceMap:
    """Light the cabinet of 0.3 × 0.6 × 0.15 m with all that is thrown back. [cd/m²]"""
    return simulate(with_row_pitch(cabinet(0.2, border=request.param), 0, 0.17), lighting=ALL_LIGHT).luminance


def test_each_number_asked_for_is_that_of_the_whole_look(lit: FaceMap) -> None:
    """Each number, asked for alone or with others, is that of ``evenness`` to 2e-6, in the order asked for."""
    whole = evenness(lit, 0.17)
    assert tuple(numbers_asked(lit, 0.17, NAMES)) == NAMES
    for name in NAMES:
        alone = numbers_asked(lit, 0.17, (name,))
        assert alone == {name: pytest.approx(getattr(whole, name), rel=2e-6)}


def test_a_spline_through_the_samples_holds_the_light_between_them(lit: FaceMap) -> None:
    """Asked by the spline, every number is the same to 3e-5, with a border of no more than a millimetre too."""
    whole, splined = evenness(lit, 0.17), numbers_asked(lit.splined(), 0.17, NAMES)
    for name in NAMES:
        assert splined[name] == pytest.approx(getattr(whole, name), rel=3e-5)


def test_right_into_the_corners_the_light_itself_is_asked() -> None:
    """Without a border the last digits hold what a spline cannot: the darkest place a hair off the corner."""
    lit = simulate(with_row_pitch(cabinet(0.2, border=0.0), 0, 0.17), lighting=ALL_LIGHT).luminance
    whole = evenness(lit, 0.17)
    found = numbers_asked(lit, 0.17, ("max_to_min",), last_digits=True)["max_to_min"]
    assert found == pytest.approx(whole.max_to_min, rel=1e-9)
    assert numbers_asked(lit.splined(), 0.17, ("max_to_min",))["max_to_min"] < 0.99 * found


def test_without_the_exact_mean_the_samples_mean_stands() -> None:
    """The samples' own mean is within 1e-3 of the exact one, which is integrated to 1e-4."""
    sign = simulate(cabinet(0.15), lighting=ALL_LIGHT)
    quick = light_on_face(sign.cabinet, sign.reflected, exact_mean=False)
    assert quick.mean is None
    assert sign.luminance.mean is not None
    assert evenness(quick, 0.15).mean == pytest.approx(sign.luminance.mean, rel=1e-3)


def test_a_lowest_luminance_asked_for_alone_needs_no_mean(lit: FaceMap) -> None:
    """It is the lowest value of the map, and goes with the light as the mean does."""
    whole = evenness(lit, 0.17)
    assert numbers_asked(lit, 0.17, ("darkest_luminance",)) == {
        "darkest_luminance": pytest.approx(whole.min_to_mean * whole.mean, rel=2e-6)
    }
    assert whole.scaled(0.5).darkest_luminance == whole.darkest_luminance / 2


def test_numbers_are_judged_as_a_whole_look_is(lit: FaceMap) -> None:
    """Of a least and a most luminance the one number is asked once, and each limit is judged as ``judge`` does."""
    requirement = Requirement(max_to_min=1.5, min_luminance=10.0, max_luminance=2000.0, min_to_mean=0.5)
    assert names_asked(requirement) == ("max_to_min", "min_to_mean", "mean")
    whole = replace(evenness(lit, 0.17), max_to_min=1.4)
    numbers = {"max_to_min": 1.4, "min_to_mean": whole.min_to_mean, "mean": whole.mean}
    assert judge_numbers(numbers, requirement) == judge(whole, requirement)
