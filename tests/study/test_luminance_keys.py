"""Keys on luminance, ageing and films: read as written, and refused in words."""

from __future__ import annotations

import pytest

from lumsim.cabinet.ageing import Ageing
from lumsim.study.reading import study_from_text
from tests.study.written import SIGN, changed, line_of, problem, problems

LIMITS = (
    "stripe_max_to_min = 1.2",
    "max_luminance = 600\nmin_luminance = 200.5\ndarkest_luminance = 2\nwanted_luminance = 300",
)
AGED = f"{SIGN}\n[ageing]\nmaintenance_factor = 0.7\ndirt_factor = 0.9\n"
FILMED = ("visible_border", "film_transmittance = 0.25\nvisible_border")


def test_they_are_read_as_they_are_written() -> None:
    """Limits, what is wanted, both factors and the film reach cabinet and requirement."""
    study = study_from_text(changed(LIMITS))
    assert study.requirement.limits == {
        "max_luminance": 600.0,
        "min_luminance": 200.5,
        "darkest_luminance": 2.0,
    }
    assert study.requirement.wanted_luminance == 300.0
    assert study_from_text(AGED).ageing == Ageing(maintenance_factor=0.7, dirt_factor=0.9)
    assert study_from_text(changed(FILMED)).cabinet.face.film_transmittance == 0.25


def test_without_them_nothing_ages_and_no_film_is_there() -> None:
    """Left out, or all 1, they change nothing and are no default that must be told."""
    plain = study_from_text(SIGN)
    assert (plain.ageing, plain.cabinet.face.film_transmittance) == (None, 1.0)
    ones = study_from_text(f"{SIGN}\n[ageing]\nmaintenance_factor = 1\n")
    assert ones.ageing is None
    assert ones.defaults == plain.defaults


def test_one_factor_can_be_tried_without_editing() -> None:
    """`--set` makes the table where the study has none; the other factor is 1."""
    study = study_from_text(SIGN, changes=["ageing.dirt_factor=0.8", "face.film_transmittance=0.5"])
    assert study.ageing == Ageing(dirt_factor=0.8)
    assert study.cabinet.face.film_transmittance == 0.5


def test_the_rear_face_has_the_fronts_film_unless_it_names_its_own() -> None:
    """A film of the front is on both faces, told as a default, until [face.rear] says otherwise."""
    two = changed(
        FILMED, ('depth = "6 in"', 'depth = "6 in"\nfaces = 2'), ("back_reflectance", "return_reflectance")
    )
    own = two.replace("[modules.", "[face.rear]\nfilm_transmittance = 1\n[modules.")
    rear, named = study_from_text(two).cabinet.rear, study_from_text(own).cabinet.rear
    assert rear is not None
    assert named is not None
    assert (rear.film_transmittance, named.film_transmittance) == (0.25, 1.0)
    other = study_from_text(two.replace("[modules.", "[face.rear]\nreflectance = 0.3\n[modules."))
    assert ("face.rear.film_transmittance", "0.25") in other.defaults


@pytest.mark.parametrize("key", ["max_luminance", "min_luminance", "darkest_luminance", "wanted_luminance"])
@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("0", "must be more than 0 and at most 1e+09 cd/m², got 0 cd/m²"),
        ("-5", "got -5 cd/m²"),
        ("nan", "got nan cd/m²"),
        ("inf", "got inf cd/m²"),
        ('"500"', "must be a number without quotes, more than 0"),
        ('"500 cd/m2"', "must be a number without quotes"),
    ],
)
def test_a_luminance_that_is_none_is_refused(key: str, value: str, said: str) -> None:
    """Each is told with its line, its key and its unit."""
    text = changed(("stripe_max_to_min = 1.2", f"{key} = {value}"))
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, key), f"requirement.{key}")
    assert said in one.text


def test_a_least_above_the_most_is_refused_with_other_problems() -> None:
    """It is told at the least, whole digits and all, beside whatever else is wrong."""
    limits = ("stripe_max_to_min = 1.2", "max_luminance = 500\nmin_luminance = 500.25")
    text = changed(limits)
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, "min_luminance"), "requirement.min_luminance")
    assert one.text == "500.25 cd/m² is above max_luminance, 500 cd/m²: no luminance meets both"
    darkest = ("stripe_max_to_min = 1.2", "max_luminance = 500\ndarkest_luminance = 501")
    assert problem(changed(darkest)).key == "requirement.darkest_luminance"
    both = problems(changed(limits, ('module = "standard"', 'module = "standart"')))
    assert {one.key for one in both} == {"requirement.min_luminance", "rows.1.module"}
    assert len(problems(changed(limits, ("lumens = 90.0", "lumens = -1")))) == 2


@pytest.mark.parametrize("key", ["maintenance_factor", "dirt_factor", "film_transmittance"])
@pytest.mark.parametrize("value", ["0", "-0.1", "1.01", "nan"])
def test_a_share_that_is_none_is_refused(key: str, value: str) -> None:
    """Nought, less, more than all and NaN are told with their line and key."""
    table = "face" if key == "film_transmittance" else "ageing"
    text = (
        changed(("visible_border", f"{key} = {value}\nvisible_border"))
        if table == "face"
        else f"{SIGN}\n[ageing]\n{key} = {value}\n"
    )
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, key), f"{table}.{key}")
    assert f"must be more than 0 and at most 1, got {value}" in one.text


def test_an_unknown_key_of_ageing_is_told_with_those_that_are_known() -> None:
    """A misspelt factor is met with the right one, another word with both."""
    assert problem(f"{SIGN}\n[ageing]\ndirt = 0.9\n").text.startswith("is no known key")
    assert "did you mean maintenance_factor?" in problem(f"{SIGN}\n[ageing]\nmaintenence_factor = 1\n").text
    assert "known here are maintenance_factor, dirt_factor" in problem(f"{SIGN}\n[ageing]\nyears = 5\n").text
