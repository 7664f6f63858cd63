"""A reader is warned of what makes the numbers mean something else, and of nothing else."""

from __future__ import annotations

import pytest

from lumsim.report.notes import layout_warnings, warnings
from lumsim.study.answering import answer
from lumsim.study.reading import study_from_text
from tests.cli.called import SMALL


def told(*changes: str, text: str = SMALL) -> list[str]:
    """Return the warnings of the small study's layout with some keys changed."""
    study = study_from_text(text, changes=changes)
    return layout_warnings(study.cabinet, study.units)


def test_half_a_pitch_from_the_return_is_no_warning() -> None:
    """Four rows 4 in apart in 16 in are half a pitch from the returns, to the last digit."""
    assert told() == []


@pytest.mark.parametrize(
    ("changes", "warned"),
    [
        (["rows.edge_distance=2 in"], 0),
        (["rows.count=3"], 1),
        (["rows.pitch=", "rows.count=4", "rows.edge_distance=1.9 in"], 0),
        # A pitch of 11.96/3 in, a half of it 1.99333 in, less than the 2.02 in at either end.
        (["rows.pitch=", "rows.count=4", "rows.edge_distance=2.02 in"], 1),
        (["rows.pitch=", 'rows.at=["2 in","6 in","10 in","14 in"]'], 0),
        (["rows.pitch=", 'rows.at=["2.001 in","6 in","10 in","14 in"]'], 1),
        (["rows.pitch=", 'rows.at=["8 in"]'], 0),
        (["rows.pitch=", 'rows.at=["2.2 in","6 in","10 in","13.5 in"]'], 2),
        (["rows.module_count=2"], 1),
    ],
)
def test_more_than_half_a_pitch_from_a_return_is_warned_of(changes: list[str], warned: int) -> None:
    """Above half a pitch, however little, there is a warning, one for ends that are alike; up to half a pitch none."""
    found = told(*changes)
    assert len(found) == warned
    assert all("the edge there will be darker" in warning for warning in found)


def test_the_warning_names_the_return_and_the_numbers() -> None:
    """Horizontal rows end at bottom and top, their modules at left and right."""
    assert told("rows.count=3")[0] == (
        "the outermost row is 4 in from the bottom and top returns, more than half the row pitch of 4 in: the edge "
        "there will be darker"
    )
    assert "module is 4 in from the left and right returns" in told("rows.module_count=2")[0]
    low, high = told("rows.pitch=", 'rows.at=["2.25 in","6 in","10 in","13.5 in"]')
    assert "row is 2 1/4 in from the bottom return, more than" in low
    assert "row is 2 1/2 in from the top return, more than" in high
    assert "row is 4 in from the left and right returns" in told("rows.direction=vertical", "rows.count=2")[0]


def test_of_several_groups_the_outermost_row_is_what_counts() -> None:
    """A group farther in is no fault beside one that lights the edge; where all are far in, the nearest is told."""
    inner = '[[rows]]\ncount = 3\npitch = "4 in"\n\n[requirement]'
    text = SMALL.replace("[requirement]", inner)
    assert told(text=text) == []
    both = told("rows.1.count=2", text=text)
    assert [warning.partition(", more")[0] for warning in both] == [
        "the outermost row is 4 in from the bottom and top returns",
    ]


def test_a_return_with_rows_of_its_own_is_no_dark_edge() -> None:
    """Rows on the left return end 4 in from bottom and top; where those carry rows, that darkens no edge."""
    left = SMALL.replace('z = "0.5 in"\npitch = "4 in"', 'on = "left"\ncount = 1\nmodule_count = 3')
    assert [one.partition(", more")[0] for one in told(text=left)] == [
        "the outermost module is 4 in from the bottom and top returns"
    ]
    more = '[[rows]]\non = "{}"\ncount = 1\nmodule_pitch = "4 in"\n\n'
    text = left.replace("[requirement]", more.format("bottom") + "[requirement]")
    assert [one.partition(", more")[0] for one in told(text=text)] == [
        "the outermost module is 4 in from the top return"
    ]
    text = text.replace("[requirement]", more.format("top") + "[requirement]")
    assert told(text=text) == []


@pytest.mark.parametrize(("count", "words"), [(1, "1 obstruction not"), (2, "2 obstructions not")])
def test_obstructions_are_told_as_not_modelled(count: int, words: str) -> None:
    """What casts a shadow and is not modelled makes the true ratio worse."""
    box = '[[obstruction]]\nx = "1 in"\ny = "1 in"\nz = "0 in"\nwidth = "1 in"\nheight = "1 in"\ndepth = "1 in"\n'
    (warning,) = told(text=SMALL + "\n" + box * count)
    assert warning == f"{words} modelled: the true ratio is worse"


@pytest.mark.parametrize(
    ("window", "warned"), [("4 in", False), ("7 in", False), ("7.01 in", True), ("20 in", True)]
)
def test_a_window_that_sees_less_than_a_period_is_warned_of(window: str, warned: bool) -> None:
    """The visible face is 14 in high: a window above 7 in has less than its own size to move over."""
    study = study_from_text(SMALL, changes=[f"requirement.stripe_window={window}"])
    found = warnings(answer(study), study.units)
    assert [("sees less than one whole period" in warning) for warning in found] == [True] * warned


@pytest.mark.parametrize(("exponent", "warned"), [(1, False), (12, True)])
def test_a_face_that_is_next_to_dark_in_parts_is_warned_of(exponent: int, warned: bool) -> None:
    """One module 25 mm behind the middle: max/min is (1 + ρ²/h²)^((m + 3)/2) with ρ² = 74 in², 6e3 and 1e14."""
    alone = ["rows.pitch=", "rows.count=1", "rows.module_pitch=", "rows.module_count=1"]
    beam = f'modules.standard.beam={{ shape = "cosine-power", exponent = {exponent} }}'
    study = study_from_text(SMALL, changes=["cabinet.depth=37.7 mm", *alone, beam])
    found = warnings(answer(study, direct_only=True), study.units)
    assert any("parts of the face get next to no light" in one for one in found) == warned


@pytest.mark.parametrize(
    ("tilt", "z", "told"),
    [
        ("10 deg", "0 in", None),
        ("12 deg", "0 in", "1.1 %"),
        ("60 deg", "0 in", "25 %"),
        ("60 deg", "0.5 in", None),
    ],
)
@pytest.mark.parametrize("direct_only", [True, False])
def test_light_that_is_lost_in_modules_is_warned_of(
    tilt: str, z: str, told: str | None, direct_only: bool
) -> None:
    """A tilted Lambertian at z = 0 sends (1 - cos t)/2 behind the back: 0.8 % at 10 degrees, 1.1 % at 12."""
    study = study_from_text(SMALL, changes=[f'rows.tilt="{tilt}"', f'rows.z="{z}"'])
    found = [one for one in warnings(answer(study, direct_only=direct_only), study.units) if "lost in" in one]
    assert [one.partition(" of the lumens are lost in the modules themselves")[0] for one in found] == (
        [] if told is None else [told]
    )
    assert all("their light that goes behind the surface that they are on is lost;" in one for one in found)


@pytest.mark.parametrize(
    ("changes", "direct_only", "warned"),
    [
        (
            [
                'rows.z="4 in"',
                'rows.module_edge_distance="0.2 in"',
                "rows.module_pitch=",
                "rows.module_count=4",
            ],
            False,
            True,
        ),
        (
            [
                'rows.z="4 in"',
                'rows.module_edge_distance="0.2 in"',
                "rows.module_pitch=",
                "rows.module_count=4",
            ],
            True,
            False,
        ),
        (['rows.module_edge_distance="0.2 in"', "rows.module_pitch=", "rows.module_count=4"], False, False),
        (['rows.z="4 in"'], False, False),
    ],
)
def test_modules_close_to_face_and_return_are_warned_of(
    changes: list[str], direct_only: bool, warned: bool
) -> None:
    """With light thrown back, modules raised to the face and a fifth of an inch off a return at once are warned of."""
    study = study_from_text(SMALL, changes=changes)
    texts = warnings(answer(study, direct_only=direct_only), study.units)
    assert any("close to the face and to a return" in text for text in texts) == warned
