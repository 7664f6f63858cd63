"""By what a sign is built and kept up: what a study says, ready to work by. Nothing here works anything out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lumsim.errors import InputError
from lumsim.sheet.holding import Holding
from lumsim.sheet.parts import PartRule
from lumsim.sheet.prices import PriceList
from lumsim.sheet.running import Running
from lumsim.sheet.service import Opening
from lumsim.sheet.supply_kind import SupplyKind
from lumsim.units import Units

__all__ = ["BuildRules", "Delivered", "Stock", "UpkeepRules"]

Place = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """String as it is bought, and where it may be cut and joined.

    Raises
    ------
    InputError
        For numbers that cannot be.
    """

    roll_modules: int
    """on a roll [1]"""
    cut_every: int = 1
    """so many modules from either end of a roll, and so on, it may be cut [1]"""
    most_joints: int = 0
    """in a row [1]"""
    shortest_section: int = 1
    """no section has fewer modules [1]"""

    def __post_init__(self) -> None:
        if self.roll_modules < 1:
            raise InputError(f"roll_modules must be 1 or more, got {self.roll_modules}")
        if self.cut_every < 1:
            raise InputError(f"cut_every must be 1 module or more, got {self.cut_every}")
        if self.roll_modules % self.cut_every:
            near = self.next_to(self.roll_modules)
            raise InputError(
                f"roll_modules must be a multiple of cut_every, for a roll is cut after every {self.cut_every} "
                f"modules: got {self.roll_modules}, next to it are {near}"
            )
        if self.most_joints < 0:
            raise InputError(f"most_joints must be 0 or more, got {self.most_joints}")
        if not 1 <= self.shortest_section <= self.roll_modules:
            raise InputError(
                f"shortest_section must be from 1 module up to the roll's {self.roll_modules}, "
                f"got {self.shortest_section}"
            )

    def next_to(self, modules: int) -> str:
        """The numbers of modules next to one that string can be cut to, in words."""
        below = modules // self.cut_every * self.cut_every
        above = below + self.cut_every
        return f"{below} and {above}" if below else f"{above}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """How the string of one kind of module comes."""

    stock: Stock | None = None
    """None: not told"""
    pitch: Fraction | None = None
    """module to module, stretched out; None: not told [m]"""
    module_length: Fraction | None = None
    """along its row; None: not told [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildRules:
    """By what a sign is put together."""

    delivered: Mapping[str, Delivered]
    """by kind of module"""
    supply: SupplyKind | None
    interleaved: bool
    holding: Holding
    parts: tuple[PartRule, ...]
    units: Units

    @property
    def pitches(self) -> dict[str, Fraction]:
        """Module to module of strings stretched out, by kind, where it is told. [m]"""
        return {name: one.pitch for name, one in self.delivered.items() if one.pitch is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class UpkeepRules:
    """What a study says of costs and service."""

    supplies_at: tuple[Place, ...]
    """middle of each, x and y; none where they are not told [m]"""
    supply_size: Place | None
    """width and height [m]"""
    prices: PriceList | None
    currency: str
    """of all prices, as it is printed"""
    running: Running | None
    opens: Opening | None
    """from which side the inside is reached"""
    arm: Fraction | None
    """how far in a hand can work [m]"""
    spare_modules: float
    """as a share [1]"""
    spare_supplies: float
    """as a share [1]"""
