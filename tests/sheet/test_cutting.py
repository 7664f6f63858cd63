"""Plans of what to cut: carried out by a replay, held against every plan there is, and against known facts."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.cutting import CuttingPlan, Roll, Section, cut, first_fit
from lumsim.sheet.rules import Stock
from tests.sheet.every_cutting import best_of_all
from tests.sheet.replay import replayed


def rank(plan: CuttingPlan) -> tuple[int, int, int]:
    """Return rolls, joints, and the most left in one piece."""
    return len(plan.rolls), plan.joints, max(plan.leftovers, default=0)


@st.composite
def cases(draw: st.DrawFn, *, steps: int, rows: int, joints: int) -> tuple[list[int], Stock]:
    """Draw rows and the stock to cut them from; not every row need be possible."""
    every = draw(st.integers(1, 3))
    roll = draw(st.integers(1, steps))
    stock = Stock(
        roll_modules=every * roll,
        cut_every=every,
        most_joints=draw(st.integers(0, joints)),
        shortest_section=draw(st.integers(1, min(every * roll, 4))),
    )
    lengths = st.integers(1, roll * (stock.most_joints + 1)).map(lambda length: length * every)
    return draw(st.lists(lengths, max_size=rows)), stock


@given(case=cases(steps=30, rows=14, joints=3))
def test_a_plan_can_be_carried_out_and_is_never_worse_than_first_fit(case: tuple[list[int], Stock]) -> None:
    """Replayed, both plans give every row, by legal cuts; the rank of the programme's plan is at least as good."""
    rows, stock = case
    try:
        hand = first_fit(rows, stock)
    except InputError:
        with pytest.raises(InputError):
            cut(rows, stock)
        assume(False)
    plan = cut(rows, stock, seconds=2.0)
    assert replayed(hand, rows)
    assert replayed(plan, rows)
    mine, theirs = rank(plan), rank(hand)
    assert (mine[0], mine[1], -mine[2]) <= (theirs[0], theirs[1], -theirs[2])


@given(case=cases(steps=8, rows=5, joints=1) | cases(steps=6, rows=4, joints=2))
def test_of_a_few_rows_the_plan_is_the_best_of_all(case: tuple[list[int], Stock]) -> None:
    """Rolls, then joints, are the fewest of every plan there is, and proven; refused is what has no plan."""
    rows, stock = case
    assume(rows)
    best = best_of_all(rows, stock)
    if best is None:
        with pytest.raises(InputError, match=r"^row \d+: "):
            cut(rows, stock)
        return
    plan = cut(rows, stock)
    assert rank(plan)[:2] == best[:2]
    assert plan.proven
    assert plan.least_rolls == best[0]
    if not stock.most_joints:
        assert rank(plan) == best


def test_first_fit_decreasing_may_need_a_roll_more() -> None:
    """4, 4, 3, 3, 3, 3 from rolls of 10: by hand 4 + 4 first, and a third roll; 4 + 3 + 3 twice needs two."""
    rows, stock = [3, 4, 3, 4, 3, 3], Stock(roll_modules=10)
    hand, plan = first_fit(rows, stock), cut(rows, stock)
    assert [len(hand.rolls), len(plan.rolls)] == [3, 2]
    assert plan.proven
    assert plan.leftovers == ()
    assert not hand.proven
    assert hand.least_rolls == 2


def test_the_case_in_which_first_fit_needs_eleven_rolls_for_nine() -> None:
    """The textbook case of the bound 11/9: rows of 51, 27, 26 and 23 hundredths of a roll."""
    rows = [51] * 6 + [27] * 6 + [26] * 6 + [23] * 12
    stock = Stock(roll_modules=100)
    assert len(first_fit(rows, stock).rolls) == 11
    plan = cut(rows, stock)
    assert len(plan.rolls) == 9
    assert plan.modules_left == 0


def test_the_textbook_case_of_thirteen_widths() -> None:
    """Paper rolls of 5600 mm, cut to 13 widths: 73 rolls, published as the fewest; here every 10 mm is a module."""
    widths = {138: 22, 152: 25, 156: 12, 171: 14, 182: 18, 188: 18, 193: 20}
    widths |= {200: 10, 205: 12, 210: 14, 214: 16, 215: 18, 220: 20}
    rows = [width for width, count in widths.items() for _ in range(count)]
    plan = cut(rows, Stock(roll_modules=560))
    assert replayed(plan, rows)
    assert len(plan.rolls) == plan.least_rolls == 73


@given(rows=st.lists(st.integers(1, 12), min_size=1, max_size=30))
def test_rows_that_may_be_joined_anywhere_need_no_more_rolls_than_hold_them(rows: list[int]) -> None:
    """Laid end to end, rows up to a roll long are cut by the ends of rolls once at most, and nothing is lost."""
    plan = cut(rows, Stock(roll_modules=12, most_joints=1))
    assert replayed(plan, rows)
    assert len(plan.rolls) == -(-sum(rows) // 12)
    assert plan.proven


def test_joints_are_rolls_less_the_groups_that_fill_them() -> None:
    """Ten rows of 6 fill six rolls of 10; five fill three, and no fewer fill any, so two groups: four joints."""
    plan = cut([6] * 10, Stock(roll_modules=10, most_joints=1))
    assert rank(plan) == (6, 4, 0)
    assert len(cut([6] * 10, Stock(roll_modules=10)).rolls) == 10


def test_the_most_is_left_in_one_piece() -> None:
    """34 of two rolls of 20: 9 + 8 first leaves 3 and 3, where 9 + 6 + 5 fills a roll and all 6 are left together."""
    rows, stock = [9, 8, 6, 6, 5], Stock(roll_modules=20)
    plan = cut(rows, stock)
    assert rank(plan) == (2, 0, 6)
    assert best_of_all(rows, stock) == (2, 0, 6)
    assert rank(first_fit(rows, stock)) == (2, 0, 3)


def test_sections_may_have_to_be_joined_from_within_rolls() -> None:
    """Three rows of 5 as 3 + 2: four times 3 fill two rolls of 6, three times 2 a third, so that four rolls do."""
    rows = [6, 5, 5, 5, 3]
    plan = cut(rows, Stock(roll_modules=6, most_joints=1, shortest_section=2))
    assert replayed(plan, rows)
    assert rank(plan)[:2] == (4, 3)


def test_few_joints_are_kept_in_rows_longer_than_a_roll() -> None:
    """Ten rows of 13 with a joint each, from rolls of 10, need 14 rolls and not 13.

    A group of k rows on r rolls has k + r - 1 sections at least and 2 k at most, so r is k + 1 at most; 13 k fit on
    10 (k + 1) for groups of up to three rows only: three times 4 rolls, and 2 for the last row.
    """
    plan = cut([13] * 10, Stock(roll_modules=10, most_joints=1))
    assert replayed(plan, [13] * 10)
    assert rank(plan)[:2] == (14, 10)
    assert plan.proven
    assert len(cut([13] * 10, Stock(roll_modules=10, most_joints=2)).rolls) == 13


def test_a_row_longer_than_a_roll_takes_whole_rolls_first() -> None:
    """By hand 25 of rolls of 10 is 10 + 10 + 5, but 10 + 8 + 3 of 21 where none may be shorter than 3."""
    plan = first_fit([25], Stock(roll_modules=10, most_joints=2))
    assert [section.modules for _, section in plan.sections_of(0)] == [10, 10, 5]
    shortest = first_fit([21], Stock(roll_modules=10, most_joints=2, shortest_section=3))
    assert [section.modules for _, section in shortest.sections_of(0)] == [10, 8, 3]
    assert [section.start for _, section in shortest.sections_of(0)] == [0, 10, 18]


def test_three_hundred_rows_of_five_lengths_are_looked_through() -> None:
    """Without joints that is proven in far less than the time; the bound of the string alone is not reached."""
    rows = [length for length in (47, 34, 29, 22, 11) for _ in range(60)]
    plan = cut(rows, Stock(roll_modules=100))
    assert replayed(plan, rows)
    assert plan.proven
    assert plan == cut(rows, Stock(roll_modules=100))
    turned = cut(rows[::-1], Stock(roll_modules=100))
    assert rank(turned) == rank(plan)


def test_without_time_the_plan_is_one_by_hand_and_the_bound_holds() -> None:
    """No programme is begun: first fit, and no proof where more rolls are used than hold the string."""
    rows, stock = [3, 4, 3, 4, 3, 3], Stock(roll_modules=10)
    plan = cut(rows, stock, seconds=0.0)
    assert plan == first_fit(rows, stock)
    assert (plan.least_rolls, plan.proven) == (2, False)
    joined = cut(rows, replace(stock, most_joints=1), seconds=0.0)
    assert replayed(joined, rows)
    assert len(joined.rolls) == 2
    with pytest.raises(InputError, match="seconds must be 0 or more, got -1"):
        cut(rows, stock, seconds=-1.0)


def test_the_time_is_kept_where_it_is_not_enough() -> None:
    """Sixty lengths that may be joined are too many for a second; a busy machine may take some more."""
    rows = [10 + (7 * row * row + 13 * row) % 61 for row in range(300)]
    assert len(set(rows)) > 25
    stock = Stock(roll_modules=100, most_joints=1, shortest_section=5)
    start = time.monotonic()
    plan = cut(rows, stock, seconds=1.0)
    assert time.monotonic() - start < 8
    assert replayed(plan, rows)
    assert plan.least_rolls >= -(-sum(rows) // 100)


def test_progress_rises_to_the_end() -> None:
    """Shares of what is done never fall and end at 1, with words, with joints and without."""
    for joints in (0, 1):
        told: list[tuple[float, str]] = []
        stock = Stock(roll_modules=10, most_joints=joints, shortest_section=2)
        cut([6, 6, 6, 5, 5], stock, progress=lambda share, what: told.append((share, what)))  # noqa: B023
        shares = [share for share, _ in told]
        assert shares == sorted(shares)
        assert told[-1] == (1.0, "done")
        assert "fewest rolls" in {what for _, what in told}


def test_no_rows_need_no_rolls() -> None:
    """An empty sign is cut from nothing."""
    for joints in (0, 1):
        plan = cut([], Stock(roll_modules=10, most_joints=joints))
        assert plan.rolls == ()
        assert plan.proven
        assert plan.modules_left == plan.joints == 0


@pytest.mark.parametrize(
    ("row", "stock", "words"),
    [
        (
            7,
            Stock(roll_modules=50, cut_every=5),
            r"row 2: 7 modules .* every 5 modules; next to it are 5 and 10",
        ),
        (2, Stock(roll_modules=50, cut_every=5), r"row 2: 2 modules .* next to it are 5$"),
        (
            60,
            Stock(roll_modules=50),
            r"row 2: 60 modules are more than a roll of 50: set most_joints to 1 or more",
        ),
        (
            120,
            Stock(roll_modules=50, most_joints=1),
            r"row 2: 120 modules .* it may have 1 joints at most: .* 2 or more, or feed it as 3 rows",
        ),
        (
            4,
            Stock(roll_modules=50, shortest_section=5),
            r"row 2: 4 modules are fewer than the shortest section of 5",
        ),
        (
            55,
            Stock(roll_modules=50, most_joints=2, shortest_section=30),
            r"row 2: 55 modules are more than a roll of 50 and fewer than 2 sections of 30",
        ),
        (0, Stock(roll_modules=50), r"row 2: a row has 1 module or more, got 0"),
    ],
)
def test_a_row_that_cannot_be_cut_is_refused_in_words(row: int, stock: Stock, words: str) -> None:
    """Each says which row, what of it, and what would help."""
    for make in (cut, first_fit):
        with pytest.raises(InputError, match=words):
            make([50, row], stock)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"roll_modules": 0}, "roll_modules must be 1 or more, got 0"),
        ({"roll_modules": 50, "cut_every": 0}, "cut_every must be 1 module or more, got 0"),
        (
            {"roll_modules": 50, "cut_every": 4},
            "roll_modules must be a multiple .* got 50, next to it are 48 and 52",
        ),
        ({"roll_modules": 50, "most_joints": -1}, "most_joints must be 0 or more, got -1"),
        ({"roll_modules": 50, "shortest_section": 51}, "from 1 module up to the roll's 50, got 51"),
        ({"roll_modules": 50, "shortest_section": 0}, "from 1 module up to the roll's 50, got 0"),
    ],
)
def test_stock_that_cannot_be_is_refused(given: dict[str, int], words: str) -> None:
    """Each says which number, and what would be right."""
    with pytest.raises(InputError, match=words):
        Stock(**given)


GOOD = CuttingPlan(
    stock=Stock(roll_modules=10, cut_every=2, most_joints=1, shortest_section=4),
    rolls=(
        Roll(sections=(Section(row=0, start=0, modules=6), Section(row=1, start=0, modules=4)), leftover=0),
        Roll(sections=(Section(row=1, start=4, modules=4),), leftover=6),
    ),
    proven=True,
    least_rolls=2,
)


def with_section(**changed: int) -> CuttingPlan:
    """Return the good plan with its last section changed, and what is left of its roll as before."""
    last = replace(GOOD.rolls[1].sections[0], **changed)
    return replace(GOOD, rolls=(GOOD.rolls[0], replace(GOOD.rolls[1], sections=(last,))))


@pytest.mark.parametrize(
    ("plan", "fault"),
    [
        (with_section(modules=3), "cut after 3 modules; roll 1 has a section of 3; 6 are told to be left"),
        (with_section(start=6), "row 1 goes on at module 6 after 4"),
        (with_section(start=0), "two sections that start at 0"),
        (with_section(row=2), r"rows \[0, 1, 2\] are cut of 2"),
        (with_section(modules=12), "12 modules are cut from roll 1"),
        (replace(GOOD, stock=replace(GOOD.stock, most_joints=0)), "row 1 has 1 joints"),
        (
            replace(GOOD, least_rolls=1),
            "a bound below what holds the string; proven is not what the bound says",
        ),
        (replace(GOOD, rolls=(*GOOD.rolls, Roll(sections=(), leftover=10))), "nothing is cut from roll 2"),
    ],
)
def test_the_replay_finds_what_is_wrong(plan: CuttingPlan, fault: str) -> None:
    """The good plan passes, and each of these does not."""
    assert replayed(GOOD, [6, 8])
    with pytest.raises(AssertionError, match=fault):
        replayed(plan, [6, 8])
