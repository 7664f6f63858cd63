"""The widest row pitch is the one that trying every pitch would find, exactly and on the tape measure."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest
from scipy.special import k1

from lumsim.cabinet.rows import Rows
from lumsim.errors import InputError
from lumsim.search.layouts import with_row_pitch
from lumsim.search.row_pitch import PitchSearch, widest_row_pitch
from lumsim.simulation import simulate
from lumsim.uniformity.requirement import Requirement
from tests.cabinets import DIRECT
from tests.search.scanned import Scanned, cabinet, scan

SIXTEENTH = Fraction(254, 160_000)
MILLIMETRE = Fraction(1, 1000)

# On either side of the answers; two rows at more than 0.36 m have a max/min in the tens.
DEEP, SHALLOW = 0.15, 0.1


@pytest.fixture(scope="module")
def deep() -> Scanned:
    """Scan the cabinet of 0.3 × 0.6 × 0.15 m."""
    return scan(depth=DEEP, step=0.0025, narrowest=0.1, widest=0.36)


@pytest.fixture(scope="module")
def shallow() -> Scanned:
    """Scan the cabinet of 0.3 × 0.6 × 0.1 m, on just the pitches of four and five rows."""
    return scan(depth=SHALLOW, step=0.001, narrowest=0.125, widest=0.17)


def found(requirement: Requirement, depth: float, *, mark: Fraction = MILLIMETRE) -> PitchSearch:
    """Search the cabinet of a depth, whose own pitch must not matter."""
    return widest_row_pitch(cabinet(0.2, depth=depth), 0, requirement, mark=mark, lighting=DIRECT)


def islands(pitches: list[float], step: float) -> int:
    """Return how many stretches of neighbouring pitches there are."""
    return 1 + sum(b - a > 1.5 * step for a, b in pairwise(pitches))


REQUIREMENTS = [
    # Three, four and five rows each have an island; the widest is that of three.
    (Requirement(max_to_min=1.95), 3),
    # Only the middle of the pitches of three rows, and of four, meets it: the answer is a crossing.
    (Requirement(max_to_min=1.9), 2),
    # Three rows come within 2 % and miss it; four rows have a narrow island.
    (Requirement(max_to_min=1.86), 1),
    (Requirement(max_to_min=1.95, edge_dimming=1.45), 2),
    (Requirement(edge_dimming=1.45), 3),
    (Requirement(stripe_max_to_min=1.1, max_to_min=2.1), 3),
]


@pytest.mark.parametrize(("requirement", "feasible_islands"), REQUIREMENTS, ids=lambda one: str(one)[:60])
def test_the_search_finds_what_trying_every_pitch_finds(
    requirement: Requirement, feasible_islands: int, deep: Scanned
) -> None:
    """Feasible islands beyond infeasible gaps are found: at most one step of the scan short of its widest."""
    met = deep.met(requirement)
    assert islands(met, deep.step) >= feasible_islands
    answer = found(requirement, DEEP)
    assert answer.exact is not None
    assert answer.exact.pitch >= max(met) - deep.step
    # And no wider than the scan allows: the first step above its widest fails.
    assert answer.exact.pitch < max(met) + deep.step or max(met) + deep.step > max(deep.pitches)
    assert simulate(cabinet(answer.exact.pitch, depth=DEEP), requirement, lighting=DIRECT).verdict.met


def test_a_sliver_of_a_feasible_island_is_found(shallow: Scanned) -> None:
    """Only five rows just below their widest pitch, where four begin, meet 1.85: an island 2 or 3 mm wide."""
    requirement = Requirement(max_to_min=1.85)
    met = shallow.met(requirement)
    assert 1 <= len(met) <= 5
    answer = found(requirement, SHALLOW)
    assert answer.exact is not None
    assert answer.exact.rows.count == 5
    assert answer.exact.pitch >= max(met) - shallow.step
    assert simulate(cabinet(answer.exact.pitch, depth=SHALLOW), requirement, lighting=DIRECT).verdict.met


def test_a_dip_between_the_samples_of_a_row_count_is_found() -> None:
    """Three rows meet 1.875 over a tenth of a millimetre near 0.234 m, which no even sampling of them would meet."""
    requirement = Requirement(max_to_min=1.875)
    near = [0.2335 + 2e-5 * i for i in range(50)]
    met = [
        pitch
        for pitch in near
        if simulate(cabinet(pitch, depth=DEEP), requirement, lighting=DIRECT).verdict.met
    ]
    assert 0 < max(met) - min(met) < 3e-4
    answer = found(requirement, DEEP)
    assert answer.exact is not None
    assert answer.exact.pitch == pytest.approx(max(met), abs=4e-5)


def test_just_wider_than_the_answer_the_requirement_is_missed() -> None:
    """The crossing is found to some micrometres: a tenth of a millimetre wider, and it is not met."""
    requirement = Requirement(max_to_min=1.9)
    answer = found(requirement, DEEP)
    assert answer.exact is not None
    assert answer.exact.evenness.max_to_min == pytest.approx(1.9, rel=1e-4)
    assert not simulate(
        cabinet(answer.exact.pitch + 1e-4, depth=DEEP), requirement, lighting=DIRECT
    ).verdict.met


@pytest.mark.parametrize("mark", [MILLIMETRE, SIXTEENTH, Fraction(1, 200)])
def test_the_answer_on_the_tape_is_on_a_mark_and_meets_the_requirement(mark: Fraction) -> None:
    """A whole number of marks, no wider than the exact pitch, and the widest such that is met."""
    requirement = Requirement(max_to_min=1.95)
    answer = found(requirement, DEEP, mark=mark)
    assert answer.buildable is not None
    assert answer.exact is not None
    pitch = answer.buildable.rows.pitch
    assert pitch is not None
    assert pitch % mark == 0
    assert pitch <= Fraction(answer.exact.pitch * (1 + 1e-12))
    assert simulate(cabinet(pitch, depth=DEEP), requirement, lighting=DIRECT).verdict.met
    for wider in range(1, int((Fraction(answer.exact.pitch) - pitch) / mark) + 1):
        assert not simulate(
            cabinet(pitch + wider * mark, depth=DEEP), requirement, lighting=DIRECT
        ).verdict.met
    assert answer.best is answer.buildable


def test_an_island_without_a_mark_is_no_search_for_ever() -> None:
    """Where no mark meets what one pitch just does, few layouts are lit whole, and none is narrower than the search."""
    own = cabinet(0.09, width=0.607, height=0.311, depth=0.073, border=0.021, module_pitch=0.04)
    answer = widest_row_pitch(own, 0, Requirement(max_to_min=1.84035), mark=MILLIMETRE, lighting=DIRECT)
    assert answer.exact is not None
    assert answer.buildable is None
    assert min(one.pitch for one in answer.tried) > 0.005
    assert sum(one.whole is not None for one in answer.tried) < 8


def test_out_of_reach_answers_with_the_nearest_layout(deep: Scanned) -> None:
    """Where no pitch meets it, the closest layout is at least as near as the nearest of the scan."""
    requirement = Requirement(max_to_min=1.8)
    assert deep.met(requirement) == []
    shares: list[float] = []
    answer = widest_row_pitch(
        cabinet(0.2, depth=DEEP), 0, requirement, mark=MILLIMETRE,
        progress=lambda share, what: shares.append(share), lighting=DIRECT)  # fmt: skip
    assert answer.exact is None
    assert answer.buildable is None
    assert answer.best is answer.closest
    assert answer.closest.excess <= deep.least_excess(requirement) * (1 + 1e-6)
    assert answer.closest.excess > 1
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)


def test_what_was_tried_rises_in_pitch_and_tells_its_verdict() -> None:
    """The curve of a search is in order, and each layout's excess is 1 or less just where its verdict is met."""
    answer = found(Requirement(max_to_min=1.95, edge_dimming=1.45), DEEP)
    pitches = [one.pitch for one in answer.tried]
    assert pitches == sorted(set(pitches))
    for one in answer.tried:
        assert (one.excess <= 1 + 1e-12) == one.verdict.met or math.isclose(one.excess, 1, rel_tol=1e-12)
    assert answer.exact in answer.tried


def test_rows_of_either_direction_are_searched_alike() -> None:
    """The same cabinet turned by a right angle has the same widest pitch."""
    requirement = Requirement(stripe_max_to_min=1.1)
    lying = found(requirement, DEEP)
    turned = cabinet(0.2, depth=DEEP, width=0.6, height=0.3, direction="vertical")
    standing = widest_row_pitch(turned, 0, requirement, mark=MILLIMETRE, lighting=DIRECT)
    assert lying.exact is not None
    assert standing.exact is not None
    # Both are found to the root finder's tolerance, and steps back of at most 10 µm.
    assert standing.exact.pitch == pytest.approx(lying.exact.pitch, abs=2e-5)


def test_a_single_row_in_the_middle_can_be_the_answer() -> None:
    """Where a loose whole-face limit is met by one row, that is the answer, and it is on the tape as it is."""
    answer = widest_row_pitch(
        cabinet(0.1, height=0.2, depth=0.3), 0, Requirement(max_to_min=3), mark=MILLIMETRE, lighting=DIRECT
    )
    assert answer.exact is not None
    assert answer.exact.rows.count == 1
    assert answer.exact.rows.positions == (Fraction(1, 10),)
    assert answer.buildable is answer.exact


def test_stripes_are_only_judged_where_the_face_shows_a_whole_period() -> None:
    """Deep and low, one row would pass any stripes limit, its window filling the face: it is not even tried."""
    deep_and_low = cabinet(0.1, height=0.2, depth=0.3)
    answer = widest_row_pitch(
        deep_and_low, 0, Requirement(stripe_max_to_min=1.2), mark=MILLIMETRE, lighting=DIRECT
    )
    assert answer.exact is not None
    # Visible are 0.2 m less a border of 0.02 m on either side: two periods of 0.08 m.
    assert answer.exact.pitch == pytest.approx(0.08, rel=1e-6)
    assert answer.exact.rows.count >= 2
    assert max(one.pitch for one in answer.tried) <= 0.08 * (1 + 1e-6)
    own_window = Requirement(stripe_max_to_min=1.2, stripe_window=0.05)
    assert any(
        one.rows.count == 1
        for one in widest_row_pitch(deep_and_low, 0, own_window, mark=MILLIMETRE, lighting=DIRECT).tried
    )


def test_the_whole_curve_goes_on_beyond_the_answer() -> None:
    """For a picture every row count is tried, down to a quarter of the throw; the answer stays the same."""
    low = cabinet(0.1, height=0.3, depth=0.2)
    requirement = Requirement(max_to_min=3)
    short = widest_row_pitch(low, 0, requirement, mark=MILLIMETRE, lighting=DIRECT)
    whole = widest_row_pitch(low, 0, requirement, mark=MILLIMETRE, whole_curve=True, lighting=DIRECT)
    assert short.exact is not None
    assert whole.exact is not None
    assert whole.exact.pitch == short.exact.pitch
    assert min(one.pitch for one in whole.tried) < 0.06 < min(one.pitch for one in short.tried)


def test_without_a_limit_there_is_nothing_to_search_for() -> None:
    """A requirement that limits nothing is refused."""
    with pytest.raises(InputError, match="there is nothing to search for: set a limit"):
        found(Requirement(), DEEP)


# --- against infinite rows -----------------------------------------------------------------------------------


def ripple(pitch_by_throw: float) -> float:
    """Max/min of infinite Lambertian line sources, by Poisson's sum.

    E/Ē = 1 + 2 Σ T(2πj h/p) cos(2πj x/p) with T(x) = x K₁(x), the spectrum of a row's light across it,
    (1 + x²/h²)^(−3/2), where its modules are close: E of each falls as (1 + d²/h²)⁻², summed along the row.
    Highest under a row, lowest midway. Derived from first principles.
    """
    terms = [2 * math.pi * j / pitch_by_throw for j in range(1, 40)]
    T = [x * float(k1(x)) for x in terms]
    highest = 1 + 2 * math.fsum(T)
    lowest = 1 + 2 * math.fsum(t * (-1) ** j for j, t in enumerate(T, start=1))
    return highest / lowest


# Ratio and the pitch/throw at which infinite rows have it: derived, inverted from the Poisson sum.
INFINITE_ROWS = [(1.2, 1.53128), (1.5, 1.96056)]


@pytest.mark.parametrize(("ratio", "pitch_by_throw"), INFINITE_ROWS)
def test_in_a_large_cabinet_the_stripes_limit_is_that_of_infinite_rows(
    ratio: float, pitch_by_throw: float
) -> None:
    """With edges hidden four throws deep the widest pitch is the published one within 1 %.

    Rows beyond the returns are missing: at four throws one gives 17^(−3/2) = 1.4 % of what it gives beneath it,
    and what all of them would give is so smooth that M takes nearly all of it away.
    """
    assert ripple(pitch_by_throw) == pytest.approx(ratio, abs=2e-5)
    throw = 0.1
    large = cabinet(0.15, height=1.6, width=1.2, depth=throw, border=0.4, module_pitch=throw / 2)
    answer = widest_row_pitch(
        large, 0, Requirement(stripe_max_to_min=ratio), mark=MILLIMETRE, lighting=DIRECT
    )
    assert answer.exact is not None
    assert answer.exact.pitch / throw == pytest.approx(pitch_by_throw, rel=0.01)
    (group,) = answer.exact.cabinet.groups
    assert isinstance(group, Rows)
    assert group.modules == large.groups[0].modules  # type: ignore[union-attr]


def test_a_round_cabinet_is_answered_on_the_very_pitch_where_the_count_changes() -> None:
    """In 36 in, 8 in on centre is the widest that rounds to five rows: where it passes it is the answer."""
    inch = Fraction(254, 10_000)
    given = cabinet(0.9, height=float(36 * inch), depth=float(6 * inch))
    at_mark = simulate(with_row_pitch(given, 0, 8 * inch), lighting=DIRECT).evenness.stripe_max_to_min
    found = widest_row_pitch(
        given, 0, Requirement(stripe_max_to_min=at_mark * 1.001), mark=inch / 16, lighting=DIRECT
    )
    assert found.buildable is not None
    assert found.buildable.pitch == pytest.approx(float(8 * inch), rel=1e-12)
    assert found.buildable.rows.count == 5
