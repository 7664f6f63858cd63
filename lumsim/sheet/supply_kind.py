"""One kind of supply, the circuits that it may feed, and whether it may feed some of them together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from lumsim.errors import InputError

__all__ = ["EXACT", "Circuit", "SupplyKind", "circuits_fit"]

EXACT: Final = 1e-9
"""By which a sum may be above a limit for rounding, of the limit. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyKind:
    """One kind of supply; of one that has several outputs, each limited by itself, one output.

    Raises
    ------
    InputError
        For numbers that cannot be.
    """

    watts: float
    """rated [W]"""
    loading_share: float = 0.8
    """of the rated watts that may be used, more than 0 and up to 1 [1]"""
    longest_string: float | None = None
    """that one may feed in all; None where it is not told [m]"""

    def __post_init__(self) -> None:
        if not 0 < self.watts < math.inf:
            raise InputError(f"the rated power of a supply must be more than 0 W, got {self.watts:g} W")
        if not 0 < self.loading_share <= 1:
            raise InputError(
                "the share of a supply's power that is used must be more than 0 and up to 1, "
                f"got {self.loading_share:g}"
            )
        if self.longest_string is not None and not 0 < self.longest_string < math.inf:
            raise InputError(
                f"the longest string that a supply may feed must be more than 0, got {self.longest_string:g} m"
            )

    @property
    def usable_watts(self) -> float:
        """That its circuits may take. [W]"""
        return self.watts * self.loading_share

    @property
    def told(self) -> str:
        """Its limits in words."""
        string = "" if self.longest_string is None else f" and {self.longest_string:g} m of string"
        return f"{self.usable_watts:g} W usable{string}"

    def loading(self, watts: float, length: float) -> tuple[float, float]:
        """What some watts [W] and a length [m] are of its limits; 0 of a limit that is not told. [1]"""
        return watts / self.usable_watts, 0.0 if self.longest_string is None else length / self.longest_string


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """What is fed as one: a piece of string, or one of the circuits along it.

    Raises
    ------
    InputError
        For numbers that cannot be.
    """

    row: int
    """the piece of string by its number in the sheet, from 1; neighbours have neighbouring numbers"""
    circuit: int = 1
    """on that piece, from 1; on two-sided strings often one a side"""
    watts: float
    """[W]"""
    length: float
    """of string, counted as by whoever says how much a supply may feed [m]"""

    def __post_init__(self) -> None:
        if self.row < 1 or self.circuit < 1:
            raise InputError(f"rows and circuits are counted from 1, got {self.row} and {self.circuit}")
        if not 0 < self.watts < math.inf:
            raise InputError(f"the power of {self} must be more than 0 W, got {self.watts:g} W")
        if not 0 <= self.length < math.inf:
            raise InputError(f"the length of {self} must be 0 or more, got {self.length:g} m")

    def __str__(self) -> str:
        return f"row {self.row}, circuit {self.circuit}"


def circuits_fit(kind: SupplyKind, *circuits: Circuit) -> bool:
    """Tell whether one supply may feed some circuits together: up to and including each of its limits.

    Parameters
    ----------
    kind : SupplyKind
    circuits : Circuit
        One or more.
    """
    watts = math.fsum(one.watts for one in circuits)
    length = math.fsum(one.length for one in circuits)
    return max(kind.loading(watts, length)) <= 1 + EXACT
