"""Plans of supplies: limits kept, the fewest, evenly loaded, in blocks or interleaved, in the time given."""

from __future__ import annotations

import itertools
import math
import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lumsim.errors import InputError, TooLargeError
from lumsim.sheet.sharing_out import EVEN
from lumsim.sheet.supplies import ABOUT_EVEN, MOST_CIRCUITS, SupplyPlan, assign_supplies
from lumsim.sheet.supply_kind import Circuit, SupplyKind
from lumsim.units import METRES_PER_FOOT
from tests.sheet.replay_supplies import best_of_all, faults, first_fit_decreasing, loading, within

FOOT = float(METRES_PER_FOOT)


def rows(watts: list[float], lengths: list[float] | None = None) -> list[Circuit]:
    """Return one circuit a row."""
    lengths = [1.0] * len(watts) if lengths is None else lengths
    return [
        Circuit(row=number, watts=each, length=length)
        for number, (each, length) in enumerate(zip(watts, lengths, strict=True), start=1)
    ]


def alike(count: int, *, watts: float = 7.3, length: float = 1.2, circuits: int = 1) -> list[Circuit]:
    """Return circuits that take the same, several a row."""
    return [
        Circuit(row=row, circuit=circuit, watts=watts, length=length)
        for row in range(1, count + 1)
        for circuit in range(1, circuits + 1)
    ]


def unlike(count: int, seed: int) -> list[Circuit]:
    """Return circuits no two of which take the same: made up."""
    made = random.Random(seed)
    return rows([made.uniform(3, 20) for _ in range(count)], [made.uniform(0.5, 4) for _ in range(count)])


some_circuits = st.lists(
    st.tuples(
        st.integers(1, 12),
        st.integers(1, 3),
        st.one_of(st.sampled_from([4.0, 7.5, 12.0]), st.floats(0.5, 20)),
        st.one_of(st.sampled_from([0.0, 1.0, 2.5]), st.floats(0, 4)),
    ),
    min_size=1,
    max_size=24,
    unique_by=lambda one: one[:2],
).map(lambda made: [Circuit(row=row, circuit=own, watts=w, length=m) for row, own, w, m in made])


@given(circuits=some_circuits, longest=st.sampled_from([None, 4.0, 9.0]), interleaved=st.booleans())
@settings(max_examples=25)
def test_every_plan_feeds_each_circuit_once_and_keeps_the_limits(
    circuits: list[Circuit], longest: float | None, interleaved: bool
) -> None:
    """Replayed circuit by circuit in exact sums; never more supplies than first-fit decreasing."""
    kind = SupplyKind(watts=30, loading_share=0.8, longest_string=longest)
    plan = assign_supplies(circuits, kind, interleaved=interleaved, seconds=2)
    assert faults(plan, circuits, kind) == []
    assert len(plan.supplies) <= first_fit_decreasing(circuits, kind)


@given(
    watts=st.lists(st.integers(1, 10), min_size=1, max_size=7),
    lengths=st.lists(st.integers(0, 10), min_size=7, max_size=7),
    longest=st.sampled_from([None, 10.0, 14.0]),
    interleaved=st.booleans(),
)
def test_small_plans_have_the_fewest_supplies_of_all_there_are(
    watts: list[int], lengths: list[int], longest: float | None, interleaved: bool
) -> None:
    """Against every way to group seven circuits: as few, proven; as even but for what is given away for nearness."""
    circuits = rows([float(one) for one in watts], [float(one) for one in lengths[: len(watts)]])
    kind = SupplyKind(watts=12, loading_share=1.0, longest_string=longest)
    fewest, greatest = best_of_all(circuits, kind)
    plan = assign_supplies(circuits, kind, interleaved=interleaved)
    assert faults(plan, circuits, kind) == []
    assert (len(plan.supplies), plan.proven) == (fewest, True)
    assert plan.least_loading <= float(greatest) * (1 + 1e-9)
    assert plan.greatest_loading <= float(greatest) * (1 + EVEN) * (1 + ABOUT_EVEN) * (1 + 1e-9)


@pytest.mark.parametrize(("watts", "longest", "count"), [(10.0, None, 2), (1000.0, 10.0, 2), (10.0, 10.0, 3)])
def test_both_limits_bind_where_either_alone_would_not(
    watts: float, longest: float | None, count: int
) -> None:
    """By watts only a with b and c with d fit, by length only a with c and b with d: two either way, three by both."""
    circuits = rows([7.0, 3.0, 6.0, 4.0], [7.0, 6.0, 3.0, 4.0])
    plan = assign_supplies(circuits, SupplyKind(watts=watts, loading_share=1.0, longest_string=longest))
    assert (len(plan.supplies), plan.proven) == (count, True)


def test_a_supply_tells_which_limit_it_is_nearer_to() -> None:
    """The larger of the two loadings; of equals watts."""
    circuits = rows([5.0, 5.0], [4.0, 4.0])
    for longest, binds, greatest in ((10.0, "watts", 1.0), (8.0, "watts", 1.0), (None, "watts", 1.0)):
        kind = SupplyKind(watts=10, loading_share=1.0, longest_string=longest)
        (only,) = assign_supplies(circuits, kind).supplies
        assert (only.binds, only.loading) == (binds, greatest)
    (only,) = assign_supplies(circuits, SupplyKind(watts=20, loading_share=1.0, longest_string=10.0)).supplies
    assert (only.loading_by_watts, only.loading_by_length, only.binds) == (0.5, 0.8, "length")


@pytest.mark.parametrize(
    ("count", "sizes"), [(12, [4, 4, 4]), (11, [4, 4, 3]), (10, [4, 3, 3]), (9, [3, 3, 3])]
)
def test_equal_circuits_fall_into_even_blocks_of_neighbours(count: int, sizes: list[int]) -> None:
    """Four circuits of 12 W fit into 48 W: ⌈n/4⌉ supplies, of blocks that differ by one row at most."""
    plan = assign_supplies(rows([12.0] * count), SupplyKind(watts=60))
    assert [len(supply.circuits) for supply in plan.supplies] == sizes
    assert plan.supply_of == tuple(number for number, size in enumerate(sizes, start=1) for _ in range(size))
    assert plan.proven
    assert plan.interleaved_as_asked


def test_circuits_are_ordered_by_row_whatever_order_they_come_in() -> None:
    """The same circuits shuffled go to the same supplies, and answers come twice the same."""
    circuits = unlike(18, 3)
    kind = SupplyKind(watts=60, longest_string=12)
    shuffled = random.Random(1).sample(circuits, len(circuits))

    def by_row(plan: SupplyPlan) -> dict[int, int]:
        return {one.row: supply for one, supply in zip(plan.circuits, plan.supply_of, strict=True)}

    for interleaved in (False, True):
        plan = assign_supplies(circuits, kind, interleaved=interleaved)
        assert plan == assign_supplies(circuits, kind, interleaved=interleaved)
        even = by_row(assign_supplies(rows([12.0] * 18), kind, interleaved=interleaved))
        mixed = random.Random(2).sample(rows([12.0] * 18), 18)
        assert by_row(assign_supplies(mixed, kind, interleaved=interleaved)) == even
        assert len(assign_supplies(shuffled, kind, interleaved=interleaved).supplies) == len(plan.supplies)


def test_blocks_are_taken_wherever_so_many_blocks_do() -> None:
    """Unlike circuits that two blocks can hold, though not as evenly as two heaps: every supply feeds a block."""
    circuits = rows([10.0, 11.0, 10.0, 9.5, 10.0, 10.5])
    plan = assign_supplies(circuits, SupplyKind(watts=40, loading_share=1.0))
    assert plan.supply_of == (1, 1, 1, 2, 2, 2)


@given(
    kinds=st.lists(st.sampled_from([(5.0, 1.0), (8.0, 0.5), (11.0, 2.0)]), min_size=5, max_size=14),
    interleaved=st.booleans(),
)
def test_no_exchange_of_two_circuits_would_place_them_better(
    kinds: list[tuple[float, float]], interleaved: bool
) -> None:
    """Unless blocks were found: nearer together, or farther apart if interleaved, by what the docstring sums."""
    circuits = rows([watts for watts, _ in kinds], [length for _, length in kinds])
    kind = SupplyKind(watts=24, loading_share=1.0, longest_string=4.0)
    plan = assign_supplies(circuits, kind, interleaved=interleaved)
    blocks = all(one <= other for one, other in itertools.pairwise(plan.supply_of))

    def cost(supply_of: tuple[int, ...]) -> float:
        return math.fsum(
            float(other - one) ** (-4 if interleaved else 2)
            for one, other in itertools.combinations(range(len(circuits)), 2)
            if supply_of[one] == supply_of[other]
        )

    if blocks and not interleaved:
        return
    for one, other in itertools.combinations(range(len(circuits)), 2):
        swapped = list(plan.supply_of)
        swapped[one], swapped[other] = swapped[other], swapped[one]
        groups = [
            [circuits[index] for index in range(len(circuits)) if swapped[index] == number]
            for number in range(1, len(plan.supplies) + 1)
        ]
        # Of exchanges that leave the greatest loading at most as it is.
        if max(loading(kind, group) for group in groups) <= plan.greatest_loading:
            assert cost(tuple(swapped)) >= cost(plan.supply_of) * (1 - 1e-6)


@pytest.mark.parametrize("count", [2, 3, 7, 20, 41])
def test_two_interleaved_supplies_alternate_from_row_to_row(count: int) -> None:
    """Equal rows on two supplies: 1, 2, 1, 2 …, so that half of them, evenly spread, stay lit."""
    kind = SupplyKind(watts=10.0 * -(-count // 2), loading_share=1.0)
    plan = assign_supplies(rows([10.0] * count), kind, interleaved=True)
    assert plan.supply_of == tuple(1 + row % 2 for row in range(count))
    assert plan.neighbours_on_one_supply == 0
    assert plan.interleaved_as_asked


@pytest.mark.parametrize("count", [7, 12, 20, 41])
@pytest.mark.parametrize("supplies", [3, 4, 5, 7])
def test_more_interleaved_supplies_take_rows_in_turn(count: int, supplies: int) -> None:
    """Equal rows on k supplies: row i is on supply i mod k."""
    kind = SupplyKind(watts=10.0 * -(-count // supplies), loading_share=1.0)
    plan = assign_supplies(rows([10.0] * count), kind, interleaved=True)
    used = len(plan.supplies)
    assert used == -(-count // -(-count // supplies))
    assert plan.supply_of == tuple(1 + row % used for row in range(count))


def test_two_sided_rows_interleave_like_a_chessboard() -> None:
    """Two circuits a row on two supplies: a row's two differ, and each side alternates from row to row."""
    circuits = alike(20, circuits=2)
    plan = assign_supplies(circuits, SupplyKind(watts=200), interleaved=True)
    assert len(plan.supplies) == 2
    fed = {(one.row, one.circuit): supply for one, supply in zip(circuits, plan.supply_of, strict=True)}
    assert all(fed[row, 1] != fed[row, 2] for row in range(1, 21))
    assert all(fed[row, side] != fed[row + 1, side] for row in range(1, 20) for side in (1, 2))
    assert plan.neighbours_on_one_supply == 0
    together = assign_supplies(circuits, SupplyKind(watts=200))
    assert together.supply_of == (1,) * 20 + (2,) * 20
    assert together.neighbours_on_one_supply == 36


def test_unequal_rows_interleave_as_far_as_the_fewest_supplies_allow() -> None:
    """Long and short rows by turns on two full supplies cannot alternate strictly: one long and one short each way."""
    circuits = rows([30.0, 10.0, 30.0, 10.0])
    plan = assign_supplies(circuits, SupplyKind(watts=40, loading_share=1.0), interleaved=True)
    assert [supply.watts for supply in plan.supplies] == [40.0, 40.0]
    # (1, 2, 2, 1) has one pair of neighbours on one supply; (1, 1, 2, 2) would have two.
    assert plan.supply_of == (1, 2, 2, 1)
    assert plan.neighbours_on_one_supply == 1


def test_one_supply_cannot_be_interleaved_and_the_plan_says_so() -> None:
    """It stays one supply."""
    plan = assign_supplies(rows([5.0] * 4), SupplyKind(watts=60), interleaved=True)
    assert (len(plan.supplies), plan.interleaved, plan.interleaved_as_asked) == (1, True, False)
    assert plan.neighbours_on_one_supply == 3
    assert assign_supplies(rows([5.0] * 4), SupplyKind(watts=60)).interleaved_as_asked


def test_rows_that_follow_each_other_are_neighbours_whatever_their_numbers() -> None:
    """Rows 2, 5 and 9 stand beside each other where there are no others."""
    circuits = [Circuit(row=row, watts=5.0, length=1.0) for row in (2, 5, 9)]
    assert assign_supplies(circuits, SupplyKind(watts=60)).neighbours_on_one_supply == 2


def test_twenty_feet_of_one_sided_string_fill_one_supply_and_two_sided_ones_two() -> None:
    """Common practice, no source: 60 W feed 20 ft of 3 W/ft, so a string with such a circuit a side needs two."""
    kind = SupplyKind(watts=60, loading_share=1.0)
    one_sided = [Circuit(row=1, watts=3.0 * 20, length=20 * FOOT)]
    assert len(assign_supplies(one_sided, kind).supplies) == 1
    two_sided = [Circuit(row=1, circuit=side, watts=3.0 * 20, length=20 * FOOT) for side in (1, 2)]
    plan = assign_supplies(two_sided, kind)
    assert (len(plan.supplies), plan.proven) == (2, True)
    assert [supply.loading_by_watts for supply in plan.supplies] == [1.0, 1.0]
    # At a loading share of 0.8 the same string is more than one supply may feed.
    with pytest.raises(InputError, match=r"60 W on 6.096 m of string, more than a supply of 48 W usable"):
        assign_supplies(one_sided, SupplyKind(watts=60))


def test_three_hundred_equal_circuits_take_less_than_a_second() -> None:
    """By ⌈300/⌊48/7.3⌋⌉ = 50 supplies, proven."""
    for interleaved in (False, True):
        begun = time.process_time()
        plan = assign_supplies(alike(300), SupplyKind(watts=60, longest_string=12), interleaved=interleaved)
        assert time.process_time() - begun < 1
        assert (len(plan.supplies), plan.proven) == (50, True)


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_hundred_circuits_of_five_kinds_take_less_than_three_seconds(seed: int) -> None:
    """Made-up kinds; limits kept, and as many supplies as the bound."""
    made = random.Random(seed)
    kinds = [(made.uniform(3, 20), made.uniform(0.5, 4)) for _ in range(5)]
    drawn = [made.choice(kinds) for _ in range(100)]
    circuits = rows([watts for watts, _ in drawn], [length for _, length in drawn])
    kind = SupplyKind(watts=60, longest_string=12)
    begun = time.process_time()
    plan = assign_supplies(circuits, kind)
    assert time.process_time() - begun < 3
    assert faults(plan, circuits, kind) == []
    assert plan.proven


def test_unlike_circuits_keep_the_time_given_and_tell_the_bound() -> None:
    """Sixty circuits all different in 3 s: limits kept, at least by the sums, never above first-fit decreasing."""
    circuits = unlike(60, 7)
    kind = SupplyKind(watts=60, longest_string=12)
    begun = time.monotonic()
    plan = assign_supplies(circuits, kind, seconds=3)
    assert time.monotonic() - begun < 5
    assert faults(plan, circuits, kind) == []
    by_sums = max(
        math.ceil(math.fsum(one.watts for one in circuits) / 48),
        math.ceil(math.fsum(one.length for one in circuits) / 12),
    )
    assert by_sums <= plan.least_supplies <= len(plan.supplies) <= first_fit_decreasing(circuits, kind)


def test_a_limit_is_kept_up_to_and_including_it() -> None:
    """Ten of a tenth fill a supply though their floats sum to a hair beside it; a thousandth more needs another."""
    kind = SupplyKind(watts=1.0, loading_share=1.0)
    assert len(assign_supplies(rows([0.1] * 10), kind).supplies) == 1
    assert len(assign_supplies(rows([0.1] * 9 + [0.1001]), kind).supplies) == 2
    assert within(kind, rows([0.1] * 10))


def test_progress_is_told_from_nothing_to_all() -> None:
    """Shares rise from 0 to 1, each with what is done."""
    told: list[tuple[float, str]] = []
    assign_supplies(
        unlike(12, 1), SupplyKind(watts=60), progress=lambda share, what: told.append((share, what))
    )
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    assert all(what for _, what in told)


def test_nothing_printed_by_the_solver_reaches_standard_output(capfd: pytest.CaptureFixture[str]) -> None:
    """An answer goes there, and programs read it."""
    assign_supplies(unlike(60, 7), SupplyKind(watts=60, longest_string=12), seconds=3)
    assert capfd.readouterr().out == ""


def test_what_cannot_be_planned_is_refused() -> None:
    """Nothing to feed, a circuit twice, one above either limit, and more than are planned together."""
    kind = SupplyKind(watts=60, longest_string=2.0)
    with pytest.raises(InputError, match="no circuit"):
        assign_supplies([], kind)
    twice = Circuit(row=3, circuit=2, watts=5.0, length=1.0)
    with pytest.raises(InputError, match="row 3, circuit 2 is there twice"):
        assign_supplies([twice, twice], kind)
    with pytest.raises(InputError, match=r"row 1, circuit 1 takes 48.1 W .* cut the row into pieces"):
        assign_supplies(rows([48.1]), kind)
    with pytest.raises(InputError, match=r"on 2.1 m of string, more than .* 2 m of string"):
        assign_supplies(rows([5.0], [2.1]), kind)
    with pytest.raises(TooLargeError, match=f"up to {MOST_CIRCUITS}"):
        assign_supplies(alike(MOST_CIRCUITS + 1), kind)
