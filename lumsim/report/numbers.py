"""Digits: enough of them, and never misleading ones."""

from __future__ import annotations

import math

from lumsim.uniformity.names import NAMES, UNITS, percent
from lumsim.uniformity.requirement import LIMITS, Judged

__all__ = ["limit_told", "limit_words", "missed_by", "number_told", "ratio", "significant", "spared"]


def ratio(value: float) -> str:
    """A ratio with two decimals, or three significant digits from 100 and below 0.1."""
    return f"{value:.2f}" if 0.1 <= value < 100 else significant(value)


def significant(value: float, digits: int = 3) -> str:
    """Write a value to so many significant digits, without exponent where a person would not write one."""
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return f"{value:.{digits}g}" if decimals > 6 else text


def missed_by(one: Judged) -> str:
    """How far a limit is missed, as a share of the limit."""
    return f"{percent(abs(one.to_spare))} too {'high' if LIMITS[one.name] == 'at most' else 'low'}"


def spared(one: Judged) -> str:
    """How far a limit is met, or missed, as a share of the limit."""
    return f"{percent(one.to_spare)} to spare" if one.met else missed_by(one)


def limit_words(one: Judged) -> tuple[str, str]:
    """Actual and limit of a judged number, with digits enough that they differ where the limit is not met.

    Of a ratio two decimals at least, of a contrast three, of a luminance three digits at least, with its unit.
    """
    unit = f" {UNITS[one.name]}" if one.name in UNITS else ""
    decimals = (
        max(0, 2 - math.floor(math.log10(one.limit))) if unit else 3 if one.name == "hot_spot_contrast" else 2
    )
    while decimals < 15:
        actual, limit = f"{one.actual:.{decimals}f}", f"{one.limit:.{decimals}f}"
        at_most = LIMITS[one.name] == "at most"
        seems_met = float(actual) <= float(limit) if at_most else float(actual) >= float(limit)
        whole_limit = math.isclose(float(limit), one.limit, rel_tol=1e-12)
        if seems_met == one.met and whole_limit:
            return actual + unit, limit + unit
        decimals += 1
    return repr(one.actual) + unit, repr(one.limit) + unit


def limit_told(name: str, limit: float) -> str:
    """A limit as a person would set it: ``stripes at most 1.2``.

    Parameters
    ----------
    name : str
        Of ``LIMITS``.
    limit : float
        [1 or cd/m²]
    """
    unit = f" {UNITS[name]}" if name in UNITS else ""
    return f"{NAMES[name]} {LIMITS[name]} {limit:.10g}{unit}"


def number_told(name: str, value: float) -> str:
    """A number that can be limited, for tables: three decimals, or four digits of a luminance.

    Parameters
    ----------
    name : str
        Of ``LIMITS``.
    value : float
        [1 or cd/m²]
    """
    return f"{significant(value, 4)} {UNITS[name]}" if name in UNITS else f"{value:.3f}"
