"""Every string of a sign on its wire: the voltage at each module, and the share of its light that is left there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.sheet.dimming import Dimming
from lumsim.sheet.ladder import Feed, FeedAt, Loads, String, StringVoltages, feed_places, voltages_along
from lumsim.sheet.strings import RowString
from lumsim.sheet.wire import Wire

__all__ = ["Electrics", "Takes", "WiredString", "Wiring", "shares_of_light", "wired", "with_joint_open"]

Takes = Literal["constant current", "constant power", "resistor"]
"""How the current of a module follows its voltage."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Electrics:
    """What one kind of module is to a supply.

    Raises
    ------
    InputError
        Where its LEDs' forward voltage leaves nothing for the resistor.
    """

    watts: float
    """of one module at its rated voltage [W]"""
    volts: float
    """rated [V]"""
    takes: Takes
    forward_volts: float = 0.0
    """of the LEDs behind a resistor [V]"""
    dimming: Dimming

    def __post_init__(self) -> None:
        if not 0 <= self.forward_volts < self.volts:
            raise InputError(
                f"the LEDs' forward voltage must be below the rated {self.volts:g} V, got {self.forward_volts:g} V"
            )

    def loads(self, modules: int, circuits: int) -> Loads:
        """What each module of one circuit takes, of as many as share it evenly."""
        watts = self.watts / circuits
        if self.takes == "constant current":
            return Loads.alike(modules, amperes=watts / self.volts)
        if self.takes == "constant power":
            return Loads.alike(modules, watts=watts)
        ohms = self.volts * (self.volts - self.forward_volts) / watts
        return Loads.alike(modules, ohms=ohms, forward_volts=self.forward_volts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """How strings are wired to their supplies, all alike."""

    supply_volts: float
    """held by the supply [V]"""
    feed_at: FeedAt
    feed_wire: Wire
    feed_length: float
    """from the supply to the string, each feed [m]"""
    string_wire: Wire
    """from module to module"""
    circuits: int = 1
    """that each string has along it, sharing every module's load evenly: on two-sided strings often one a side [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WiredString:
    """One row's string on its wire; every circuit of it is alike."""

    string: RowString
    feeds: tuple[int, ...]
    """at which of its modules it is fed, from 0"""
    voltages: StringVoltages
    """of one circuit"""
    shares: NDArray[np.float64]
    """(modules,) of the light at rated voltage [1]"""
    circuits: int
    """[1]"""

    @property
    def amperes(self) -> float:
        """Of the whole row, all circuits. [A]"""
        return self.circuits * float(self.voltages.feed_amperes.sum())

    @property
    def lowest(self) -> int:
        """The module with the least voltage, from 0; of equals the first."""
        return int(np.argmin(self.voltages.volts))

    @property
    def wire_watts(self) -> float:
        """Lost in the wire of the whole row. [W]"""
        return self.circuits * self.voltages.wire_watts


def wired(
    strings: Sequence[RowString],
    electrics: Mapping[str, Electrics],
    wiring: Wiring,
    pitches: Mapping[str, Fraction] | None = None,
) -> tuple[WiredString, ...]:
    """Put every string on its wire.

    Parameters
    ----------
    strings : sequence of RowString
    electrics : mapping
        By the name of every kind of module that the strings hold.
    wiring : Wiring
    pitches : mapping, optional
        Module to module along the string stretched out, by kind, where it is known: a row with its modules closer has
        that much wire between them all the same. [m]

    Raises
    ------
    InputError
        Where a wire cannot carry its string, with the row.
    """
    pitches = pitches or {}
    return tuple(_wired(one, electrics[one.kind.name], wiring, pitches.get(one.kind.name)) for one in strings)


def _wired(
    string: RowString,
    electrics: Electrics,
    wiring: Wiring,
    pitch: Fraction | None,
    *,
    feeds: tuple[int, ...] | None = None,
) -> WiredString:
    places = feed_places(wiring.feed_at, string.count) if feeds is None else feeds
    resistance = wiring.feed_wire.loop(wiring.feed_length)
    try:
        voltages = voltages_along(
            String(
                supply=wiring.supply_volts,
                segments=np.array(
                    [wiring.string_wire.loop(float(max(gap, pitch or gap))) for gap in string.gaps]
                ),
                feeds=tuple(Feed(module=place, resistance=resistance) for place in places),
                loads=electrics.loads(string.count, wiring.circuits),
            )
        )
    except InputError as error:
        raise InputError(f"row {string.name}: {error} ([power] feed_wire, string_wire, feed_at)") from None
    return WiredString(
        string=string,
        feeds=places,
        voltages=voltages,
        shares=electrics.dimming.share(voltages.volts),
        circuits=wiring.circuits,
    )


def with_joint_open(
    one: WiredString, electrics: Electrics, wiring: Wiring, pitch: Fraction | None, *, before: int
) -> NDArray[np.float64]:
    """The share of its light that each module of a string keeps when a joint in it has come apart.

    What still has a feed is by itself on its wire; what has none is dark.

    Parameters
    ----------
    one : WiredString
        Whole.
    electrics : Electrics
    wiring : Wiring
    pitch : Fraction or None
        Of the string stretched out, where it is known. [m]
    before : int
        Modules before the joint. [1]

    Returns
    -------
    (modules,)
        [1]
    """
    string = one.string
    shares = np.zeros(string.count)
    for start, end in ((0, before), (before, string.count)):
        feeds = tuple(place - start for place in one.feeds if start <= place < end)
        if feeds:
            left = replace(string, along=string.along[start:end], modules=string.modules[start:end])
            shares[start:end] = _wired(left, electrics, wiring, pitch, feeds=feeds).shares
    return shares


def shares_of_light(strings: Sequence[WiredString], modules: int) -> NDArray[np.float64]:
    """Each module's share of its light, in the cabinet's order.

    Parameters
    ----------
    strings : sequence of WiredString
        That hold every module once.
    modules : int
        In the cabinet. [1]

    Returns
    -------
    (modules,)
        [1]
    """
    shares = np.ones(modules)
    for one in strings:
        shares[list(one.string.modules)] = one.shares
    return shares
