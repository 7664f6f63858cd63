"""Which settings a page lets its reader choose."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from lumsim.cabinet.cabinet import LEAST_THROW
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError, StudyError
from lumsim.study.page_form import MOST_DEPTHS, MOST_PITCHES
from lumsim.study.paging import BLACK, WHITE, PagePlan, Setting, page_plan
from lumsim.study.reading import read_study, study_from_text
from lumsim.units import METRES_PER_INCH
from tests.study.written import SIGN

STUDIES = Path(__file__).parents[2] / "studies"
FILES = sorted(STUDIES.rglob("*.toml"))


def plan_of(text: str, *changes: str) -> PagePlan:
    """Return what can be chosen on the page of a study's text."""
    return page_plan(study_from_text(text, changes=changes))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_study_is_among_the_settings(file: Path) -> None:
    """Every demo study, its first group of rows moved, is one of its own page's settings, to the last bit."""
    study = read_study(file)
    several = sum(isinstance(group, Rows) and group.on == "back" for group in study.cabinet.groups) > 1
    if several:
        study = read_study(file, changes=["search.group=1"])
    plan = page_plan(study)
    assert plan.cabinet(plan.own) == study.cabinet or plan.rows_stay
    assert plan.cabinet(plan.own).box == study.cabinet.box
    assert 1 <= len(plan.layings) <= MOST_PITCHES + 1
    assert 1 <= len(plan.depths) <= MOST_DEPTHS + 1
    assert all(one < other for one, other in pairwise(plan.depths))


def test_choices_unless_said() -> None:
    """Pitches go from half to twice the rows' own by round steps, depths likewise, each leaving a throw."""
    plan = plan_of(SIGN)
    pitches = [one.pitch for one in plan.layings]
    assert pitches == [METRES_PER_INCH * inches for inches in range(4, 17)]
    assert plan.depths == tuple(METRES_PER_INCH * inches for inches in range(3, 13))
    for depth in range(len(plan.depths)):
        cabinet = plan.cabinet(Setting(laying=0, depth=depth, walls=0))
        assert cabinet.throws("front").min() >= LEAST_THROW


def test_rows_are_laid_by_the_pitch_chosen_and_the_box_by_the_depth() -> None:
    """A setting's cabinet is the one that a study with that pitch, depth and paint describes."""
    plan = plan_of(SIGN)
    chosen = plan.cabinet(Setting(laying=2, depth=5, walls=1))
    written = study_from_text(
        SIGN,
        changes=[
            "rows.pitch=6 in",
            "cabinet.depth=8 in",
            f"interior.back_reflectance={BLACK}",
            f"interior.return_reflectance={BLACK}",
        ],
    )
    assert chosen == written.cabinet


def test_rows_that_their_pitch_does_not_tell_are_a_choice_of_their_own() -> None:
    """Rows told by count and edge distance stay among the choices beside those that their pitch alone would lay."""
    plan = plan_of(
        SIGN.replace('pitch = "8 in"', 'count = 3\nedge_distance = "2 in"'), 'page.pitches=["10 in"]'
    )
    assert [(one.pitch, one.own) for one in plan.layings] == [
        (10 * METRES_PER_INCH, False),
        (10 * METRES_PER_INCH, True),
    ]
    alone, own = (plan.cabinet(Setting(laying=number, depth=0, walls=0)) for number in (0, 1))
    assert [line / float(METRES_PER_INCH) for line in alone.row_lines] == pytest.approx([7, 17])
    assert [line / float(METRES_PER_INCH) for line in own.row_lines] == pytest.approx([2, 12, 22])


def test_choices_that_a_study_names() -> None:
    """Pitches, depths and paint that [page] names are the choices, with the study's own among them."""
    plan = plan_of(SIGN, 'page.pitches=["6 in", "4 in"]', 'page.depths=["9 in"]', "page.repainted=0.2")
    assert [one.pitch for one in plan.layings] == [METRES_PER_INCH * inches for inches in (4, 6, 8)]
    assert plan.depths == (6 * METRES_PER_INCH, 9 * METRES_PER_INCH)
    assert [one.repainted for one in plan.walls] == [None, 0.2]


@pytest.mark.parametrize(("own", "other"), [("0.85", BLACK), ("0.5", BLACK), ("0.3", WHITE)])
def test_light_walls_are_painted_black_and_dark_ones_white(own: str, other: float) -> None:
    """What back and returns are repainted with is the other end of what paint does."""
    plan = plan_of(SIGN, f"interior.back_reflectance={own}", f"interior.return_reflectance={own}")
    assert plan.walls[1].repainted == other


def test_listed_modules_stay_where_they_are() -> None:
    """Where no rows can be laid anew, depth and walls are the choices, and the plan says why."""
    plan = page_plan(read_study(STUDIES / "quarry-bakery.toml"))
    assert [(one.pitch, one.own) for one in plan.layings] == [(None, True)]
    assert "one by one" in plan.rows_stay
    assert len(plan.depths) > 5


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (['page.depths=["1/2 in"]'], "page.depths: 1/2 in leaves no throw"),
        (["page.repainted=0.85", "interior.return_reflectance=0.85"], "page.repainted"),
    ],
)
def test_choices_that_cannot_be(changes: list[str], said: str) -> None:
    """A depth without a throw, and paint that changes nothing, are refused by their keys."""
    study = study_from_text(SIGN, changes=changes)
    with pytest.raises(InputError, match=said):
        page_plan(study)


def test_which_of_several_groups_moves_must_be_said() -> None:
    """With several groups of rows the page asks which one's pitch changes, and says how to answer."""
    with pytest.raises(InputError, match=r"--set search\.group=1"):
        page_plan(read_study(STUDIES / "tidewater-ferry.toml"))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ('page.pitches=["6 in", "6 in"]', "twice"),
        ("page.pitches=[]", "is empty"),
        ('page.depths="6 in"', "list"),
        ("page.depths=[6]", "unit"),
        ("page.repainted=1.5", "at most 1"),
        ("page.pitch=3", "did you mean pitches"),
        ("page.pitches=[" + ", ".join(f'"{number} mm"' for number in range(10, 32)) + "]", "at most"),
    ],
)
def test_keys_that_are_refused(change: str, said: str) -> None:
    """What [page] cannot mean is refused with its key, in the user's words."""
    with pytest.raises(StudyError) as refused:
        study_from_text(SIGN, changes=[change])
    assert change.partition("=")[0] in str(refused.value)
    assert said in str(refused.value)


def test_a_fine_pitch_stays_exact() -> None:
    """A pitch that is no round number, and one told by a mark, are kept as fractions."""
    plan = plan_of(SIGN, "rows.pitch=7 9/16 in")
    own = plan.layings[plan.own.laying]
    assert own.pitch == Fraction(121, 16) * METRES_PER_INCH
