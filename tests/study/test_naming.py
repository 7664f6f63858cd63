"""Named limits in a study: read, held together with its own, and refused in words."""

from __future__ import annotations

import pickle

import pytest

from lumsim.study.reading import study_from_text
from tests.study.written import SIGN, changed, line_of, problem, problems

OWN = "stripe_max_to_min = 1.2"
LARGE = (('width = "48 in"', 'width = "5 m"'), ('height = "24 in"', 'height = "2 m"'), ('"1 in"', '"0 in"'))
"""Changes that make the visible face 10 m² exactly."""


def naming(names: str, own: str = OWN, *changes: tuple[str, str]) -> str:
    """Return the sign with named limits as they are written, and its own."""
    return changed((OWN, f"{own}\nnamed_limits = {names}"), *changes)


def test_a_named_limit_joins_the_studys_own() -> None:
    """The requirement holds both; the study remembers which came from where."""
    study = study_from_text(naming('["england-2007", "en-1838-2013"]'))
    assert study.requirement.limits == {
        "max_to_min": 10.0, "stripe_max_to_min": 1.2, "max_luminance": 600.0, "darkest_luminance": 2.0,
    }  # fmt: skip
    assert dict(study.own_limits) == {"stripe_max_to_min": 1.2}
    england, safety = study.named_limits
    assert (england.limit.name, safety.limit.name) == ("england-2007", "en-1838-2013")
    (face,) = england.faces
    assert (face.side, dict(face.limits)) == ("front", {"max_luminance": 600.0})
    assert face.area == pytest.approx(46 * 22 * 0.0254**2)
    plain = study_from_text(SIGN)
    assert (plain.named_limits, dict(plain.own_limits)) == ((), {"stripe_max_to_min": 1.2})


@pytest.mark.parametrize(("own", "judged"), [(500, 500.0), (700, 600.0)])
def test_the_tightest_of_own_and_named_is_judged(own: int, judged: float) -> None:
    """Whichever asks for more decides, and the study's own is kept beside it."""
    study = study_from_text(naming('["england-2007"]', f"max_luminance = {own}"))
    assert study.requirement.max_luminance == judged
    assert dict(study.own_limits) == {"max_luminance": own}


def test_the_area_is_that_of_the_visible_face_to_the_last_digit() -> None:
    """A face of 10 m² exactly is a smaller one, a tenth of a millimetre more is not; a border takes its part off."""
    names = '["england-2007"]'
    assert study_from_text(naming(names, OWN, *LARGE)).requirement.max_luminance == 600
    more = ('width = "48 in"', 'width = "5000.1 mm"')
    assert study_from_text(naming(names, OWN, more, *LARGE[1:])).requirement.max_luminance == 300
    bordered = (more, LARGE[1], ('"1 in"', '"1 mm"'))
    assert study_from_text(naming(names, OWN, *bordered)).requirement.max_luminance == 600


def test_each_face_counts_for_itself_and_both_are_judged_by_the_tighter() -> None:
    """A rear face of a wider border is asked for less; what is judged is the tighter of the two."""
    wide = ('width = "48 in"', 'width = "5001 mm"')
    double = ('depth = "6 in"', 'depth = "6 in"\nfaces = 2'), ("back_reflectance", "return_reflectance")
    text = naming('["england-2007"]', OWN, wide, *LARGE[1:], *double)
    study = study_from_text(text.replace("[modules.", '[face.rear]\nvisible_border = "10 mm"\n[modules.'))
    (england,) = study.named_limits
    assert [(face.side, face.limits["max_luminance"]) for face in england.faces] == [
        ("front", 300.0),
        ("rear", 600.0),
    ]
    assert study.requirement.max_luminance == 300


@pytest.mark.parametrize(
    ("names", "key", "said"),
    [
        (
            '["england-207"]',
            "requirement.named_limits.1",
            'did you mean "england-2007"? known are en-1838-2013, ',
        ),
        (
            '["leed-night", "moon"]',
            "requirement.named_limits.2",
            "'moon' is no named limit; known are en-1838-2013",
        ),
        ("[7]", "requirement.named_limits.1", "7 is no named limit; known are "),
        ('"england-2007"', "requirement.named_limits", 'must be a list such as ["england-2007"]'),
        ("[]", "requirement.named_limits", "is empty: give at least one"),
        (
            '["leed-night", "leed-night"]',
            "requirement.named_limits.2",
            "leed-night is named twice: once is enough",
        ),
    ],
)
def test_names_that_are_none_are_refused(names: str, key: str, said: str) -> None:
    """Each with its line, the nearest and the list."""
    text = naming(names)
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, "named_limits"), key)
    assert said in one.text


def test_an_area_that_the_source_leaves_empty_is_refused() -> None:
    """The message tells the face, its area and what would be right; smaller faces are taken."""
    above = ('width = "48 in"', 'width = "5.1 m"'), *LARGE[1:]
    one = problem(naming('["china-e1"]', OWN, *above))
    assert one.key == "requirement.named_limits.1"
    assert (
        "china-e1 has no value for mean luminance of so large a face: the face has 10.2 m² visible"
        in one.text
    )
    assert "name another limit, or write one as a number" in one.text
    assert study_from_text(naming('["china-e1"]', OWN, *LARGE)).requirement.max_luminance == 30


def test_limits_that_no_face_can_meet_together_are_told() -> None:
    """An own least above a named most, and a named least above an own most, each with who asks for what."""
    one = problem(naming('["leed-night", "england-2007"]', "min_luminance = 250"))
    assert one.key == "requirement.named_limits.1"
    assert one.text == (
        "leed-night asks for mean luminance at most 200 cd/m², the study itself asks for mean luminance at least "
        "250 cd/m²: no luminance meets both"
    )
    other = problem(naming('["en-1838-2013"]', "max_luminance = 1.5"))
    assert other.text.startswith(
        "en-1838-2013 asks for lowest luminance at least 2 cd/m², the study itself asks"
    )
    own = problems(naming('["leed-night"]', "max_luminance = 100\nmin_luminance = 150"))
    assert [one.key for one in own] == ["requirement.min_luminance"]


def test_what_rests_on_sizes_is_not_told_of_sizes_that_are_missing() -> None:
    """Where the cabinet's width is refused, nothing is said of an area that is not known."""
    one = problem(naming('["china-e1"]', OWN, ('width = "48 in"', 'width = "48"')))
    assert one.key == "cabinet.width"


def test_a_study_that_names_limits_goes_to_other_processes() -> None:
    """It can be sent to whoever works on it, and comes out the same."""
    study = study_from_text(naming('["england-2007"]'))
    assert pickle.loads(pickle.dumps(study.named_limits)) == study.named_limits
    assert pickle.loads(pickle.dumps(study)).own_limits == study.own_limits


def test_names_can_be_tried_without_editing() -> None:
    """`--set` takes a list of names."""
    study = study_from_text(SIGN, changes=['requirement.named_limits=["china-e3"]'])
    assert study.requirement.max_luminance == 600
