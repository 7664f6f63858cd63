"""Row pitch against depth: each depth is searched by itself, in the order asked for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from lumsim.cabinet.rows import Rows
from lumsim.chunks import Crew
from lumsim.errors import InputError
from lumsim.search.depths import pitch_against_depth
from lumsim.search.row_pitch import widest_row_pitch
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.search.scanned import cabinet

MILLIMETRE = Fraction(1, 1000)
EVEN = Requirement(stripe_max_to_min=1.2)


def test_answers_come_in_the_order_of_the_depths_and_progress_only_rises() -> None:
    """Each answer is that of the cabinet at that depth, and a deeper one allows a wider pitch of even stripes."""
    shares: list[float] = []
    depths = [0.2, 0.16]
    answers = pitch_against_depth(
        cabinet(0.1, height=0.75, depth=0.15), 0, EVEN, depths, mark=MILLIMETRE,
        progress=lambda share, what: shares.append(share), lighting=DIRECT)  # fmt: skip
    assert [one.depth for one in answers] == depths
    by_depth = {one.depth: one.exact for one in answers}
    for depth, widest in by_depth.items():
        alone = widest_row_pitch(
            cabinet(0.1, height=0.75, depth=depth), 0, EVEN, mark=MILLIMETRE, lighting=DIRECT
        ).exact
        assert widest is not None
        assert alone is not None
        assert widest.pitch == alone.pitch
    assert by_depth[0.16].pitch < by_depth[0.2].pitch  # type: ignore[union-attr]
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


@pytest.mark.slow
def test_whoever_searches_the_depths_finds_the_same() -> None:
    """Two processes find what one does, to the last digit."""
    built = cabinet(0.1, height=0.75, depth=0.15)
    one, two = (
        pitch_against_depth(
            built, 0, EVEN, [0.2, 0.16], mark=MILLIMETRE, lighting=DIRECT, crew=Crew(processes=processes)
        )
        for processes in (1, 2)
    )
    assert one == two


def test_ctrl_c_leaves_the_depths_that_were_come_to() -> None:
    """Stopped after the first of three depths, the answer is the first, searched to its end."""
    built = cabinet(0.1, height=0.75, depth=0.15)

    def stop(share: float, what: str) -> None:
        if what == "1 of 3 depths":
            raise KeyboardInterrupt

    (only,) = pitch_against_depth(
        built, 0, EVEN, [0.2, 0.16, 0.18], mark=MILLIMETRE, progress=stop, lighting=DIRECT
    )
    assert only.depth == 0.2
    assert only.finished


def test_no_depths_are_no_answers() -> None:
    """Where no depth is asked for nothing is searched."""
    assert pitch_against_depth(cabinet(0.1), 0, EVEN, [], mark=MILLIMETRE, lighting=DIRECT) == ()


@pytest.mark.parametrize("depth", [0.05, 0.0509, 0.0, -1.0, float("nan")])
def test_a_depth_without_throw_is_refused_before_any_search(depth: float) -> None:
    """A depth less than 1 mm above the modules, or none at all, is refused, with the least that would do."""
    built = cabinet(0.1)
    (group,) = built.groups
    assert isinstance(group, Rows)
    raised = replace(built, groups=(replace(group, z=0.05),))

    def begun(share: float, what: str) -> None:
        raise AssertionError("a search has begun")

    with pytest.raises(InputError, match=r"leaves no throw: these modules need one of at least 51 mm"):
        pitch_against_depth(raised, 0, EVEN, [0.2, depth], mark=MILLIMETRE, progress=begun, lighting=DIRECT)
