"""What a study asks is answered by simulation and search with the study's own values."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lumsim.errors import InputError
from lumsim.simulation import simulate
from lumsim.study.answering import answer
from lumsim.study.questions import MARK
from lumsim.study.reading import Study, study_from_text
from lumsim.study.searching import search
from lumsim.study.usual_depths import usual_depths
from tests.study.written import changed

SMALL = changed(
    ('width = "48 in"', 'width = "12 in"'), ('height = "24 in"', 'height = "16 in"'), ('"8 in"', '"4 in"')
)


def small(*changes: str) -> Study:
    """Return a study of a cabinet that is searched in a moment."""
    return study_from_text(SMALL, changes=changes)


def test_the_marks_of_a_tape_measure_are_sixteenths_and_millimetres() -> None:
    """1/16 in is 1.5875 mm."""
    assert float(MARK["in"]) == 0.0015875
    assert float(MARK["mm"]) == 0.001


def test_an_answer_is_the_simulation_of_the_studys_cabinet_and_requirement() -> None:
    """`answer` lights this cabinet and judges by this requirement, and nothing else."""
    study = small("requirement.max_to_min=9", "requirement.stripe_window=3 in")
    lit, expected = answer(study), simulate(study.cabinet, study.requirement)
    assert lit.evenness == expected.evenness
    assert lit.verdict == expected.verdict
    assert {one.name for one in lit.verdict.judged} == {"max_to_min", "stripe_max_to_min"}
    assert lit.evenness.window == pytest.approx(0.0762)


def test_a_search_tells_the_studys_own_layout_beside_the_best() -> None:
    """The layout to build is simulated whole, the study's own beside it, and progress runs from 0 to 1."""
    study = small()
    shares: list[float] = []
    asked = replace(study.search, other_depths=(0.1,))
    found = search(study, asked=asked, progress=lambda share, what: shares.append(share))
    assert found.own.evenness == answer(study).evenness
    assert found.verified.evenness == simulate(found.at_depth.best.cabinet, study.requirement).evenness
    assert found.group == 0
    assert [one.depth for one in found.against_depth] == [0.1]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)


def test_usual_depths_go_from_half_to_one_and_a_half_of_the_throw() -> None:
    """Six inches deep with the modules at 1/2 in: seven depths from 3 1/4 in to 8 3/4 in, on quarter inches."""
    inches = [depth / 0.0254 for depth in usual_depths(small())]
    assert inches == pytest.approx([3.25, 4.25, 5.0, 6.0, 7.0, 7.75, 8.75], abs=1e-9)
    millimetres = [
        depth * 1000 for depth in usual_depths(small("units=mm", "cabinet.depth=152 mm", "rows.z=12 mm"))
    ]
    assert [round(depth, 9) for depth in millimetres if depth != 152] == [
        round(depth / 5) * 5 for depth in millimetres if depth != 152
    ]
    assert 152 in [round(depth, 9) for depth in millimetres]


def test_usual_depths_leave_every_group_its_throw() -> None:
    """A second group that stands high keeps the shallow depths out."""
    text = SMALL.replace("[requirement]", '[[rows]]\nat = ["1 in"]\nz = "5 in"\n\n[requirement]')
    depths = usual_depths(study_from_text(text), 1)
    assert all(depth > 5 * 0.0254 for depth in depths)
    assert len(depths) >= 3


@pytest.mark.parametrize(
    ("changes", "group", "said"),
    [
        (["requirement.stripe_max_to_min="], None, "there is nothing to search for: set a limit"),
        ([], 2, "there is no group of rows 2: they are counted from 1 to 1"),
        ([], 0, "there is no group of rows 0"),
    ],
)
def test_a_search_without_a_question_is_refused(changes: list[str], group: int | None, said: str) -> None:
    """Without a limit, or for a group that is not there, the refusal says what to do."""
    study = small(*changes)
    with pytest.raises(InputError, match=said):
        search(study, asked=replace(study.search, group=group))
