"""Another row pitch or depth changes that and nothing else of a cabinet."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from lumsim.cabinet.box import Obstruction
from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.layouts import rows_to_vary, with_depth, with_row_pitch
from tests.cabinets import listed
from tests.search.scanned import cabinet


def two_groups() -> Cabinet:
    """Return a cabinet with rows along its width and, as a second group, rows along its height."""
    lying = cabinet(0.2)
    standing = cabinet(0.1, direction="vertical")
    return replace(lying, groups=(*lying.groups, *standing.groups))


def test_a_single_group_needs_no_name() -> None:
    """The only group is group 1, counted from 0 inside."""
    assert rows_to_vary(cabinet(0.2), None) == 0
    assert rows_to_vary(cabinet(0.2), 1) == 0
    assert rows_to_vary(two_groups(), 2) == 1


@pytest.mark.parametrize(
    ("built", "group", "said"),
    [
        (
            two_groups(),
            None,
            "the study has 2 groups of rows: say which one's pitch to search, such as --group 1",
        ),
        (two_groups(), 3, "there is no group of rows 3: they are counted from 1 to 2"),
        (two_groups(), 0, "there is no group of rows 0"),
        (two_groups(), -1, "there is no group of rows -1"),
        (
            listed(0.3, 0.6, 0.15, [(0.1, 0.1)]),
            None,
            "group 1 lists its modules one by one and has no row pitch",
        ),
    ],
)
def test_a_group_that_cannot_be_moved_is_refused(built: Cabinet, group: int | None, said: str) -> None:
    """Where it is not said which group, there is none such, or it has no pitch, the refusal says what to do."""
    with pytest.raises(InputError, match=said):
        rows_to_vary(built, group)


def test_another_pitch_lays_one_groups_rows_anew() -> None:
    """The nearest whole count of rows, centred: 0.6/0.17 is nearest to 4; all else of the cabinet stays."""
    before = two_groups()
    after = with_row_pitch(before, 0, Fraction(17, 100))
    moved = after.groups[0]
    assert isinstance(moved, Rows)
    assert moved.rows.positions == tuple(
        Fraction(3, 10) + Fraction(2 * i - 3, 2) * Fraction(17, 100) for i in range(4)
    )
    original = before.groups[0]
    assert isinstance(original, Rows)
    assert (moved.modules, moved.module, moved.z) == (original.modules, original.module, original.z)
    assert after.groups[1] is before.groups[1]
    assert (after.box, after.face) == (before.box, before.face)


def test_another_depth_leaves_the_modules_on_the_back() -> None:
    """Only the depth changes, also where a shallower box could not hold what stands in it."""
    pole = Obstruction(x=0.0, y=0.0, z=0.0, width=0.01, height=0.01, depth=0.15)
    before = replace(cabinet(0.2), obstructions=(pole,))
    after = with_depth(before, 0.1)
    assert after.box == replace(before.box, depth=0.1)
    np.testing.assert_array_equal(after.emitters().z, before.emitters().z)
    assert after.groups == before.groups
