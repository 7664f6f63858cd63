"""What is needed costs whole packs, exactly; what has no price is named."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.prices import Needed, Price, PriceList, format_amount, parts_cost, total_in_words


def price(amount: str, pack: int = 1) -> Price:
    """Write a price shorter."""
    return Price(amount=Decimal(amount), pack=pack)


LIST = PriceList(
    prices={
        "standard": price("18.50", 20),
        "support": price("0.35"),
        "supply 60 W": price("24"),
        "feed wire": price("0.125"),
        "Joint": price("1"),
    }
)


def test_whole_packs_are_bought_and_what_has_no_price_is_listed() -> None:
    """By hand: 45 modules are 3 packs of 20, 55.50; 7 supports 2.45; together 57.95, without the joints."""
    cost = parts_cost(
        [
            Needed(part="standard", count=45),
            Needed(part="joint", count=3),
            Needed(part="support", count=7),
            Needed(part="zip tie", count=9),
        ],
        LIST,
    )
    assert [(one.part, one.count, one.packs, one.amount, one.left_over) for one in cost.lines] == [
        ("standard", 45, 3, Decimal("55.50"), 15),
        ("joint", 3, None, None, None),
        ("support", 7, 7, Decimal("2.45"), 0),
        ("zip tie", 9, None, None, None),
    ]
    assert cost.total == Decimal("57.95")
    assert cost.unpriced == ("joint", "zip tie")
    assert [one.near for one in cost.lines] == [None, "Joint", None, None]


def test_a_name_spelt_nearly_so_is_suggested_unless_it_is_needed_itself() -> None:
    """A slip of the finger finds its price; the price of another part on the sheet is no suggestion."""
    slip = parts_cost([Needed(part="suply 60W", count=1)], LIST)
    assert slip.lines[0].near == "supply 60 W"
    other = parts_cost([Needed(part="supply 100 W", count=1), Needed(part="supply 60 W", count=1)], LIST)
    assert [one.near for one in other.lines] == [None, None]
    assert parts_cost([Needed(part="zzz", count=1)], LIST).lines[0].near is None


def test_a_part_that_is_needed_in_two_places_is_bought_once() -> None:
    """12 and 8 modules of one kind fill one pack of 20, where two packs would stand for them one by one."""
    twice = [
        Needed(part="standard", count=12),
        Needed(part="support", count=1),
        Needed(part="standard", count=8),
    ]
    cost = parts_cost(twice, LIST)
    assert [(one.part, one.count, one.packs) for one in cost.lines] == [
        ("standard", 20, 1),
        ("support", 1, 1),
    ]
    assert cost.total == Decimal("18.85")


def test_what_is_not_needed_costs_nothing() -> None:
    """A part needed no times is neither a line nor missed; where nothing has a price there is no total."""
    cost = parts_cost([Needed(part="zip tie", count=0), Needed(part="standard", count=0)], LIST)
    assert (cost.lines, cost.total, cost.unpriced) == ((), None, ())
    assert parts_cost([Needed(part="zip tie", count=1)], LIST).total is None


counts = st.integers(0, 10**9)
amounts = st.decimals(0, 10**9, places=6, allow_nan=False, allow_infinity=False)


@given(bought=st.lists(st.tuples(counts, amounts, st.integers(1, 10**9)), min_size=1, max_size=30))
def test_amounts_are_exact_and_packs_are_as_few_as_do(bought: list[tuple[int, Decimal, int]]) -> None:
    """Against fractions: the total misses nothing, and one pack fewer of anything would not do."""
    prices = PriceList(
        prices={str(n): Price(amount=amount, pack=pack) for n, (_, amount, pack) in enumerate(bought)}
    )
    needed = [Needed(part=str(n), count=count) for n, (count, _, _) in enumerate(bought)]
    with localcontext() as context:
        # What a notebook has set must not round a total.
        context.prec = 3
        cost = parts_cost(needed, prices)
    exact = Fraction(0)
    for line in cost.lines:
        assert line.price is not None
        assert line.packs is not None
        assert (line.packs - 1) * line.price.pack < line.count <= line.packs * line.price.pack
        exact += line.packs * Fraction(line.price.amount)
    assert exact == (0 if cost.total is None else Fraction(cost.total))
    assert len(cost.lines) == sum(count > 0 for count, _, _ in bought)


def test_amounts_are_written_with_their_currency_and_the_total_says_what_it_leaves_out() -> None:
    """To two digits, a half up; the currency is the study's; what has no price is named in the total."""
    assert format_amount(Decimal("2.345"), "EUR") == "2.35 EUR"
    assert format_amount(Decimal("1200"), "$") == "1200.00 $"
    assert format_amount(Decimal("12345678901234567890123456789.125"), "$").startswith(
        "12345678901234567890123456789.13"
    )
    known, unknown = Needed(part="support", count=2), Needed(part="zip tie", count=1)
    assert total_in_words(parts_cost([known], LIST), "EUR") == "0.70 EUR"
    assert (
        total_in_words(parts_cost([known, unknown, Needed(part="joint", count=1)], LIST), "EUR")
        == "0.70 EUR, without 2 of 3 parts that have no price: zip tie, joint"
    )
    assert (
        total_in_words(parts_cost([unknown], LIST), "EUR") == "not known: no part that is needed has a price"
    )
    assert total_in_words(parts_cost([], LIST), "EUR") == "nothing is needed"


def test_what_cannot_be_is_refused() -> None:
    """A price below nothing or that is none, an empty pack, less than no parts."""
    with pytest.raises(InputError, match="a price must be 0 or more, got -1"):
        price("-1")
    with pytest.raises(InputError, match="a price must be 0 or more, got NaN"):
        price("NaN")
    with pytest.raises(InputError, match="a pack holds 1 or more, got 0"):
        price("1", 0)
    with pytest.raises(InputError, match="support: needed must be 0 or more, got -2"):
        Needed(part="support", count=-2)
