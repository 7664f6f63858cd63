"""Pieces of a row: how many modules one supply may feed, and where a row that has more is cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from lumsim.errors import InputError, TooLargeError
from lumsim.sheet.neighbours import even_blocks, fewest_blocks, loadings_of_blocks
from lumsim.sheet.supply_kind import EXACT, SupplyKind

__all__ = ["MOST_CUTS", "filled_pieces", "most_modules", "pieces"]

MOST_CUTS: Final = 3000
"""In one row. [1]"""


def most_modules(kind: SupplyKind, watts_a_module: float, pitch: float) -> int:
    """How many modules one circuit may have, for one supply to feed it.

    Parameters
    ----------
    kind : SupplyKind
    watts_a_module : float
        That a module takes of the circuit. [W]
    pitch : float
        From module to module; each counts as so much of string. [m]

    Raises
    ------
    InputError
        Where a single module is more than a supply may feed.
    """
    watts, length = kind.loading(
        _positive(watts_a_module, "the power of a module", "W"), _positive(pitch, "the module pitch", "m")
    )
    most = math.floor((1 + EXACT) / max(watts, length))
    if not most:
        raise InputError(_single(kind, watts_a_module, pitch))
    return most


def pieces(
    modules: int,
    kind: SupplyKind,
    *,
    watts_a_module: float,
    pitch: float | Sequence[float],
    step: int = 1,
) -> tuple[int, ...]:
    """Divide a row into as few pieces as can be, of which one supply may feed each; as equal as can be.

    In this order: as few as can be; the longest has as few modules as can be; the squares of how many they have sum to
    the least; later pieces are the shorter. Of a row with several circuits along it each circuit of a piece is fed by
    itself, and has its own watts.

    Parameters
    ----------
    modules : int
        In the row. [1]
    kind : SupplyKind
    watts_a_module : float
        That a module takes of one circuit. [W]
    pitch : float or sequence of float
        From module to module: of a regular row the one pitch, and each module counts as so much of string; else every
        gap, one fewer than modules, and each module counts as half of the gaps beside it, at the row's ends as the
        whole of the one. [m]
    step : int
        The row can be cut after every so many modules, counted from its first; only what is left at its end may be
        less than a whole number of them. [1]

    Returns
    -------
    tuple of int
        How many modules each piece has, from the row's first on.

    Raises
    ------
    InputError
        Where a single module, or what is between two places to cut, is more than a supply may feed.
    """
    if modules < 1 or step < 1:
        raise InputError(f"a row has 1 module or more and is cut after 1 or more, got {modules} and {step}")
    if modules > MOST_CUTS * step:
        raise TooLargeError(
            f"a row of {modules} modules that is cut after every {step} has more than {MOST_CUTS} places to cut"
        )
    lengths = _lengths(modules, pitch)
    watts = _positive(watts_a_module, "the power of a module", "W")
    for length in lengths.tolist():
        if max(kind.loading(watts, length)) > 1 + EXACT:
            raise InputError(_single(kind, watts, length))
    counts = np.diff([*range(0, modules, step), modules])
    shares = np.array(
        [
            kind.loading(watts * count, math.fsum(lengths[place * step : place * step + count]))
            for place, count in enumerate(counts.tolist())
        ]
    )
    if shares.max() > 1 + EXACT:
        raise InputError(
            f"a row that is cut after every {step} modules has pieces of {step}, more than a supply of "
            f"{kind.told} may feed: a smaller step or a larger supply would help"
        )
    fits = loadings_of_blocks(shares, 1.0)
    held = loadings_of_blocks(counts[:, None].astype(np.float64), math.inf)[: len(fits)]
    blocks = even_blocks(np.where(np.isfinite(fits), held, np.inf), fewest_blocks(fits))
    assert blocks is not None
    return tuple(int(part.sum()) for part in np.split(counts, np.cumsum(blocks)[:-1]))


def filled_pieces(
    modules: int,
    kind: SupplyKind,
    *,
    watts_a_module: float,
    pitch: float | Sequence[float],
    step: int = 1,
) -> tuple[int, ...]:
    """Divide a row into pieces of as many modules as one supply may feed, and what is left; uneven rows as ``pieces``.

    Parameters
    ----------
    modules, kind, watts_a_module, pitch, step
        As for ``pieces``.

    Raises
    ------
    InputError
        As ``pieces`` does.
    """
    even = pitch if not isinstance(pitch, Sequence) else pitch[0] if len(set(pitch)) == 1 else None
    most = 0 if even is None else most_modules(kind, watts_a_module, even) // step * step
    if not most:
        return pieces(modules, kind, watts_a_module=watts_a_module, pitch=pitch, step=step)
    whole, left = divmod(modules, most)
    return (most,) * whole + ((left,) if left else ())


def _lengths(modules: int, pitch: float | Sequence[float]) -> NDArray[np.float64]:
    """What each module counts as of string. [m]"""
    if isinstance(pitch, Sequence):
        if len(pitch) != modules - 1:
            raise InputError(f"{modules} modules have {modules - 1} gaps between them, got {len(pitch)}")
        gaps = np.array([_positive(gap, "the gap between modules", "m") for gap in pitch])
        if not len(gaps):
            return np.zeros(1)
        return np.asarray(np.concatenate([gaps[:1], gaps]) + np.concatenate([gaps, gaps[-1:]])) / 2
    return np.full(modules, _positive(pitch, "the module pitch", "m"))


def _positive(value: float, what: str, unit: str) -> float:
    if not 0 < value < math.inf:
        raise InputError(f"{what} must be more than 0, got {value:g} {unit}")
    return float(value)


def _single(kind: SupplyKind, watts: float, length: float) -> str:
    """Why no supply may feed a single module."""
    return (
        f"a single module of {watts:g} W on {length:g} m of string is more than a supply of {kind.told} may feed: "
        "a larger supply would help"
    )
