"""What the parts cost: whole packs of what is needed, by a list of prices.

Prices are all in one currency, which the study names, and stay exact decimals: an amount is rounded only where it is
written.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal, Inexact, InvalidOperation
from functools import reduce

from lumsim.errors import InputError

__all__ = [
    "CostLine",
    "Needed",
    "PartsCost",
    "Price",
    "PriceList",
    "format_amount",
    "parts_cost",
    "plain_name",
    "total_in_words",
]

_EXACT = Context(prec=1000, traps=[Inexact, InvalidOperation])


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What one pack of a part costs.

    Raises
    ------
    InputError
        For a price below 0, and a pack of nothing.
    """

    amount: Decimal
    """of the whole pack, in the study's currency"""
    pack: int = 1
    """how many are in it [1]"""
    note: str = ""
    """the user's own"""

    def __post_init__(self) -> None:
        if not (self.amount.is_finite() and self.amount >= 0):
            raise InputError(f"a price must be 0 or more, got {self.amount}")
        if not self.pack >= 1:
            raise InputError(f"a pack holds 1 or more, got {self.pack}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """Prices by the name of the part."""

    prices: Mapping[str, Price]
    """by names whose parts are single spaces apart, in Unicode's composed form"""

    def of(self, part: str) -> Price | None:
        """The price of a part, whose name must be spelt the same; None where there is none."""
        return self.prices.get(plain_name(part))


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """So many of a part.

    Raises
    ------
    InputError
        For less than none.
    """

    part: str
    """as the sheet calls it"""
    count: int
    """[1]"""

    def __post_init__(self) -> None:
        if not self.count >= 0:
            raise InputError(f"{self.part}: needed must be 0 or more, got {self.count}")


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """What one part costs."""

    part: str
    count: int
    """needed, in all places together [1]"""
    packs: int | None
    """to be bought; None without a price [1]"""
    price: Price | None
    """of one pack; None where the list has none"""
    amount: Decimal | None
    """of all packs, in the study's currency; None without a price"""
    near: str | None = None
    """of a part without a price: what the list has that is spelt nearly so"""

    @property
    def left_over(self) -> int | None:
        """How many of the packs' are not needed; None without a price. [1]"""
        if self.packs is None or self.price is None:
            return None
        return self.packs * self.price.pack - self.count


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsCost:
    """What all parts cost, as far as they have a price."""

    lines: tuple[CostLine, ...]
    """in the order in which they are needed"""
    total: Decimal | None
    """of those that have a price, in the study's currency; None where none has"""
    unpriced: tuple[str, ...]
    """parts that the total leaves out: they have no price"""


def parts_cost(needed: Sequence[Needed], prices: PriceList) -> PartsCost:
    """What parts cost, bought in whole packs.

    A part that is needed in several places is bought once; a part needed no times is left out. Prices of parts that
    are not needed do not matter.

    Parameters
    ----------
    needed : sequence of Needed
    prices : PriceList

    Returns
    -------
    PartsCost
        Exact.
    """
    counts: dict[str, int] = {}
    names: dict[str, str] = {}
    for one in needed:
        if one.count:
            part = plain_name(one.part)
            names.setdefault(part, one.part)
            counts[part] = counts.get(part, 0) + one.count
    spare = [name for name in prices.prices if name not in counts]
    lines = tuple(_line(names[part], count, prices, spare) for part, count in counts.items())
    amounts = [one.amount for one in lines if one.amount is not None]
    return PartsCost(
        lines=lines,
        total=reduce(_EXACT.add, amounts) if amounts else None,
        unpriced=tuple(one.part for one in lines if one.amount is None),
    )


def _line(part: str, count: int, prices: PriceList, spare: Sequence[str]) -> CostLine:
    price = prices.of(part)
    if price is None:
        near = _near(plain_name(part), spare)
        return CostLine(part=part, count=count, packs=None, price=None, amount=None, near=near)
    packs = -(-count // price.pack)
    amount = _EXACT.multiply(price.amount, Decimal(packs))
    return CostLine(part=part, count=count, packs=packs, price=price, amount=amount)


def _near(part: str, names: Iterable[str]) -> str | None:
    """The name spelt most nearly like a part, in capitals or not; None where none comes near."""
    folded: dict[str, str] = {}
    for name in names:
        folded.setdefault(name.casefold(), name)
    nearest = difflib.get_close_matches(part.casefold(), list(folded), n=1, cutoff=0.75)
    return folded[nearest[0]] if nearest else None


def format_amount(amount: Decimal, currency: str) -> str:
    """Write an amount with two digits after the point, a half up: ``57.95 EUR``.

    Parameters
    ----------
    amount : Decimal
    currency : str
        As the study names it.
    """
    rounded = amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP, context=Context(prec=1000))
    return f"{rounded:f} {currency}"


def total_in_words(cost: PartsCost, currency: str) -> str:
    """Write a total, and which parts it leaves out: ``57.95 EUR, without 1 of 3 parts that have no price: joint``.

    Parameters
    ----------
    cost : PartsCost
    currency : str
        As the study names it.
    """
    if not cost.lines:
        return "nothing is needed"
    if cost.total is None:
        return "not known: no part that is needed has a price"
    total = format_amount(cost.total, currency)
    if not cost.unpriced:
        return total
    without = (
        f"{len(cost.unpriced)} of {len(cost.lines)} parts that have no price: {', '.join(cost.unpriced)}"
    )
    return f"{total}, without {without}"


def plain_name(name: str) -> str:
    """A name in composed characters, its words a single space apart: what two spellings of one part share."""
    return " ".join(unicodedata.normalize("NFC", name).split())
