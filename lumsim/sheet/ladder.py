"""The voltage along a string: modules in a chain on their wire, fed in one or more places.

    supply V₀ ──R_f──┬──r₀──┬──r₁──┬──r₂── …        r, R_f: both conductors, there and back
                     0      1      2                module k takes the current i_k(V_k)

Unknown are each module's drop d = V₀ − V, the current of each segment and of each feed; they stand in the order of the
chain, so that the equations have a narrow band::

    feed       R_f F − d_k = 0
    module     Σ F + I_(k−1) − I_k − i_k(V₀ − d_k) = 0         Kirchhoff's first law
    segment    d_(k+1) − d_k − r_k I_k = 0                      Kirchhoff's second law

A module may take a constant current, a constant power P/V, and the current of a resistor behind LEDs,
max(0, V − V_f)/R, or the sum of them. The first two and the third above V_f make one linear solve. The rest is Newton's
method, from V₀ down. i_k is convex in V and, but for it, the equations are those of an M-matrix, so that the steps go
down, module by module, to the highest solution and never below it (Newton's method on convex functions with inverses of
no negative elements: Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables, 13.3; the
number from memory). A step up, or to no voltage, therefore says that there is none: the wire cannot carry the load.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError, solve_banded

from lumsim.errors import InputError

__all__ = ["Feed", "FeedAt", "Loads", "String", "StringVoltages", "feed_places", "longest", "voltages_along"]

Array = NDArray[np.float64]

FeedAt = Literal["end", "middle", "both ends"]
"""Where a string is fed, in a word."""

CLOSE: Final = 1e-12
"""To which Newton's method finds voltages, of themselves. [1]"""

UPWARDS: Final = 1e-9
"""Of a voltage, by which rounding may seem to lift it in a step. [1]"""

MOST_STEPS: Final = 100
"""Of Newton's method; without an answer by then the load is at the edge of what can be fed."""

MOST_MODULES: Final = 100_000
"""On one string. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loads:
    """What each module of a string takes; a module may be of several kinds at once, whose currents add up.

    Raises
    ------
    InputError
        For arrays of different lengths, and for values that cannot be.
    """

    amperes: Array
    """(n,) constant current [A]"""
    watts: Array
    """(n,) constant power [W]"""
    ohms: Array
    """(n,) resistor; infinite for none [Ω]"""
    forward_volts: Array
    """(n,) of the LEDs behind that resistor, 0 for none [V]"""

    def __post_init__(self) -> None:
        n = len(self.amperes)
        if not 1 <= n <= MOST_MODULES:
            raise InputError(f"a string has from 1 to {MOST_MODULES} modules, got {n}")
        for name, unit in (("amperes", "A"), ("watts", "W"), ("ohms", "Ω"), ("forward_volts", "V")):
            values = getattr(self, name)
            if values.shape != (n,):
                raise InputError(f"{name} of a string: one for each of its {n} modules, got {values.shape}")
            good = values > 0 if name == "ohms" else (values >= 0) & (values < math.inf)
            if not good.all():
                k = int(np.argmin(good))
                least = "more than 0" if name == "ohms" else "0 or more"
                raise InputError(f"{name} of module {k + 1} must be {least} {unit}, got {values[k]:g} {unit}")

    def __len__(self) -> int:
        return len(self.amperes)

    @classmethod
    def alike(
        cls,
        modules: int,
        *,
        amperes: float = 0.0,
        watts: float = 0.0,
        ohms: float = math.inf,
        forward_volts: float = 0.0,
    ) -> Loads:
        """Return the loads of so many modules that are all alike.

        Raises
        ------
        InputError
            As the class.
        """
        values = {"amperes": amperes, "watts": watts, "ohms": ohms, "forward_volts": forward_volts}
        return cls(
            **{name: np.full(max(modules, 0), value, dtype=np.float64) for name, value in values.items()}
        )

    def at(self, volts: Array) -> Array:
        """Return the current of each module at its voltage (n,), more than 0 where any takes power [V]. [A]"""
        behind = np.maximum(volts - self.forward_volts, 0.0) / self.ohms
        return (
            self.amperes
            + behind
            + np.divide(self.watts, volts, where=self.watts > 0, out=np.zeros(len(self)))
        )

    def slope_at(self, volts: Array) -> Array:
        """Return how that current rises with the voltage (n,), at it [V]. [S]"""
        behind = np.where(volts > self.forward_volts, 1 / self.ohms, 0.0)
        return behind - np.divide(self.watts, volts**2, where=self.watts > 0, out=np.zeros(len(self)))

    def times(self, share: float) -> Loads:
        """Return a share of every load, more than 0. [1]"""
        return Loads(
            amperes=self.amperes * share,
            watts=self.watts * share,
            ohms=self.ohms / share,
            forward_volts=self.forward_volts,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """Where the supply is joined to a string, and over what wire.

    Raises
    ------
    InputError
        For a resistance of less than nothing.
    """

    module: int
    """at which it is joined, counted from 0"""
    resistance: float = 0.0
    """of both conductors from the supply to there [Ω]"""

    def __post_init__(self) -> None:
        if not 0 <= self.resistance < math.inf:
            raise InputError(f"the resistance of a feed must be 0 Ω or more, got {self.resistance:g} Ω")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class String:
    """Modules in a chain on one wire, and what feeds them.

    Raises
    ------
    InputError
        For lengths that do not fit together, values that cannot be, no feed, a feed at no module, and two feeds with
        no resistance all the way round from one to the other: their shares would be anything.
    """

    supply: float
    """V₀, held by the supply whatever is taken [V]"""
    segments: Array
    """(n − 1,) r, resistance of both conductors from each module to the next [Ω]"""
    feeds: tuple[Feed, ...]
    loads: Loads

    def __post_init__(self) -> None:
        n = len(self.loads)
        if not 0 < self.supply < math.inf:
            raise InputError(f"the supply of a string must be more than 0 V, got {self.supply:g} V")
        if self.segments.shape != (n - 1,):
            raise InputError(
                f"a string of {n} modules has {n - 1} segments between them, got {self.segments.shape}"
            )
        good = (self.segments >= 0) & (self.segments < math.inf)
        if not good.all():
            k = int(np.argmin(good))
            raise InputError(
                f"the resistance from module {k + 1} to {k + 2} must be 0 Ω or more, got {self.segments[k]:g} Ω"
            )
        if not self.feeds:
            raise InputError("a string needs a feed, got none")
        for feed in self.feeds:
            if not 0 <= feed.module < n:
                raise InputError(
                    f"a feed is joined to a module from 0 to {n - 1}, the last of {n}, got {feed.module}"
                )
        along = sorted(self.feeds, key=lambda feed: (feed.module, feed.resistance))
        bare = [feed.module for feed in along if feed.resistance == 0]
        for one, other in itertools.pairwise(bare):
            if not self.segments[one:other].any():
                raise InputError(
                    f"two feeds without resistance, at modules {one} and {other}, have none between them either: "
                    "what each of them carries could be anything; leave one out or give them their wire"
                )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StringVoltages:
    """What holds along a string."""

    volts: Array
    """(n,) at each module [V]"""
    amperes: Array
    """(n,) of each module [A]"""
    segment_amperes: Array
    """(n − 1,) from each module to the next; negative where it flows the other way [A]"""
    feed_amperes: Array
    """(feeds,) from the supply through each feed, in the string's order [A]"""
    drop: float
    """the greatest, from the supply to a module, over the supply's voltage [1]"""
    wire_watts: float
    """lost in segments and feeds [W]"""
    supply_watts: float
    """given by the supply [W]"""


def voltages_along(string: String) -> StringVoltages:
    """Return the voltage at each module of a string, and every current.

    Parameters
    ----------
    string : String

    Raises
    ------
    InputError
        Where the wire cannot carry the load, with the share of it that it can.
    """
    found = _solved(string, string.loads)
    if found is None:
        share = _most(string)
        carries = f"{math.floor(share * 1000) / 10:g} % at most" if share >= 0.001 else "less than 0.1 %"
        raise InputError(
            f"the string is too long for its wire: of the load of its {len(string.loads)} modules at "
            f"{string.supply:g} V it can carry {carries}; take thicker wire, fewer modules or more feeds"
        )
    return found


def feed_places(at: FeedAt, modules: int) -> tuple[int, ...]:
    """At which modules a string is fed, counted from 0.

    Parameters
    ----------
    at : {"end", "middle", "both ends"}
        Its first module; the one in its middle, of two the first; its first and its last.
    modules : int
        At least 1. [1]

    Raises
    ------
    InputError
        For no modules, and for any other word.
    """
    if not modules >= 1:
        raise InputError(f"a string has 1 module or more, got {modules}")
    if at == "end":
        return (0,)
    if at == "middle":
        return ((modules - 1) // 2,)
    if at == "both ends":
        return (0, modules - 1) if modules > 1 else (0,)
    raise InputError(f'a string is fed at its "end", its "middle" or "both ends", got {at!r}')


def longest(string_of: Callable[[int], String], *, largest_drop: float, most: int = 10_000) -> int:
    """Return the most modules on a string whose voltages drop no further than they may.

    A drop counts as allowed up to and including the largest. More modules are taken to drop further, as they do on
    strings that grow at an end.

    Parameters
    ----------
    string_of : callable
        Makes the string of so many modules, 1 or more.
    largest_drop : float
        From the supply to any module, over the supply's voltage; more than 0 and less than 1. [1]
    most : int
        More are not tried. [1]

    Returns
    -------
    int
        0 where not even one module may hang there; `most` where even so many may.

    Raises
    ------
    InputError
        For a largest drop that is none, and whatever `string_of` raises.
    """
    if not 0 < largest_drop < 1:
        raise InputError(f"a largest drop is a share, more than 0 and less than 1, got {largest_drop:g}")
    if not most >= 1:
        raise InputError(f"the most modules to be tried must be 1 or more, got {most}")

    def allowed(modules: int) -> bool:
        string = string_of(modules)
        found = _solved(string, string.loads)
        return found is not None and found.drop <= largest_drop * (1 + CLOSE)

    holds, fails = 0, 1
    while fails <= most and allowed(fails):
        holds, fails = fails, 2 * fails
    fails = min(fails, most + 1)
    while fails - holds > 1:
        middle = (holds + fails) // 2
        holds, fails = (middle, fails) if allowed(middle) else (holds, middle)
    return holds


@dataclass(frozen=True, slots=True)
class _Band:
    """The equations of a string's wire, without its modules, as `solve_banded` takes them."""

    matrix: Array
    """(2 band + 1, m)"""
    band: int
    drops: NDArray[np.intp]
    """(n,) which of the m unknowns are the modules' drops"""
    segments: NDArray[np.intp]
    """(n − 1,) which are the currents from each module to the next"""
    feeds: NDArray[np.intp]
    """(feeds,) which are the currents of the feeds"""

    @classmethod
    def of(cls, string: String) -> _Band:
        """Order a string's unknowns along it: at each module its feeds, its drop, the current to the next."""
        n, at = len(string.loads), np.array([feed.module for feed in string.feeds], dtype=np.intp)
        fed = np.bincount(at, minlength=n)
        drops = np.cumsum(fed) + 2 * np.arange(n)
        segments = drops[:-1] + 1
        # The feeds of one module stand just before its drop, in their own order.
        feeds = np.empty(len(at), dtype=np.intp)
        left = fed.copy()
        for i, module in enumerate(at):
            feeds[i] = drops[module] - left[module]
            left[module] -= 1
        resistances = np.array([feed.resistance for feed in string.feeds])
        ones = np.ones(n - 1)
        entries = [
            (feeds, feeds, resistances),
            (feeds, drops[at], -np.ones(len(at))),
            (drops[at], feeds, np.ones(len(at))),
            (drops[:-1], segments, -ones),
            (drops[1:], segments, ones),
            (segments, drops[1:], ones),
            (segments, drops[:-1], -ones),
            (segments, segments, -string.segments),
        ]
        rows, columns, values = (np.concatenate(parts) for parts in zip(*entries, strict=True))
        band = int(np.max(np.abs(rows - columns), initial=0))
        matrix = np.zeros((2 * band + 1, 2 * n - 1 + len(at)))
        matrix[band + rows - columns, columns] = values
        return cls(matrix, band, drops, segments, feeds)

    def solved(self, conductances: Array, currents: Array) -> Array | None:
        """Return all unknowns where modules take currents (n,) and, of each drop, so much less; None: no answer."""
        matrix = self.matrix.copy()
        matrix[self.band, self.drops] += conductances
        right = np.zeros(matrix.shape[1])
        right[self.drops] = currents
        try:
            unknowns: Array = solve_banded((self.band, self.band), matrix, right)
        except LinAlgError:
            return None
        return unknowns if np.isfinite(unknowns).all() else None


def _solved(string: String, loads: Loads) -> StringVoltages | None:
    """Return what holds along a string with these loads in place of its own, or None where nothing can hold."""
    band = _Band.of(string)
    volts = np.full(len(loads), string.supply)
    for _ in range(MOST_STEPS):
        slopes = loads.slope_at(volts)
        unknowns = band.solved(slopes, loads.at(volts) + slopes * (string.supply - volts))
        if unknowns is None:
            return None
        lower = string.supply - unknowns[band.drops]
        step = lower - volts
        if (lower <= 0).any() or (step > UPWARDS * string.supply).any():
            return None
        volts = lower
        if (abs(step) <= CLOSE * volts).all():
            return _told(string, loads, volts, unknowns[band.segments], unknowns[band.feeds])
    return None


def _told(string: String, loads: Loads, volts: Array, segments: Array, feeds: Array) -> StringVoltages:
    resistances = np.array([feed.resistance for feed in string.feeds])
    return StringVoltages(
        volts=volts,
        amperes=loads.at(volts),
        segment_amperes=segments,
        feed_amperes=feeds,
        drop=float(1 - volts.min() / string.supply),
        wire_watts=float(string.segments @ segments**2 + resistances @ feeds**2),
        supply_watts=float(string.supply * feeds.sum()),
    )


def _most(string: String) -> float:
    """Return the share of its load that a string's wire can carry, where it cannot carry all, to a thousandth. [1]"""
    carries, fails = 0.0, 1.0
    while fails - carries > 1e-3 * fails and fails > 1e-6:
        middle = (carries + fails) / 2
        carries, fails = (middle, fails) if _solved(string, string.loads.times(middle)) else (carries, middle)
    return carries
