"""Lengths with their unit, read and written exactly.

A sign maker writes ``5 1/2 in``, ``4'-6 1/2"`` or ``300 mm``, and means exactly that. lumsim reads lengths
itself because the general unit libraries read "5 1/2 in" as 2.5 in (five times one, over two, in), and keeps
them as fractions because in floats "how many 12 in pitches fit" is wrong for several per cent of ordinary
sizes.

The international inch is 25.4 mm exactly and the foot is 12 in (NIST Handbook 44, appendix C, "General
Tables of Units of Measurement").
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal

from lumsim.errors import InputError, LengthError

__all__ = [
    "METRES_PER_FOOT",
    "METRES_PER_INCH",
    "METRES_PER_UNIT",
    "Units",
    "exact_length",
    "format_close",
    "format_difference",
    "format_length",
    "format_size",
    "length_number",
    "parse_angle",
    "parse_length",
]

Units = Literal["in", "mm"]
"""What results are printed in."""

METRES_PER_INCH: Final = Fraction(254, 10_000)
"""The international inch. [m]"""

METRES_PER_FOOT: Final = 12 * METRES_PER_INCH
"""The international foot. [m]"""

METRES_PER_UNIT: Final[Mapping[Units, Fraction]] = MappingProxyType(
    {"in": METRES_PER_INCH, "mm": Fraction(1, 1000)}
)
"""What one of each printing unit is. [m]"""

_INCH_NAMES: Final = frozenset({'"', "in", "in.", "inch", "inches"})
_FOOT_NAMES: Final = frozenset({"'", "ft", "ft.", "foot", "feet"})
_METRES_BY_NAME: Final[Mapping[str, Fraction]] = MappingProxyType(
    dict.fromkeys(_INCH_NAMES, METRES_PER_INCH)
    | dict.fromkeys(_FOOT_NAMES, METRES_PER_FOOT)
    | dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1))
    | dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(1, 100))
    | dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1, 1000))
)
_KNOWN_UNITS: Final = "in, ft, m, cm or mm"
_DEGREE_NAMES: Final = frozenset({"°", "deg", "deg.", "degree", "degrees"})
_LONGEST_TEXT: Final = 60
_SIXTEENTHS: Final = 16

# People type the ordinal indicator and the ring for the degree sign, accents and curly quotes for primes.
_PLAIN: Final[Mapping[int, str]] = MappingProxyType(
    {
        ord(character): plain
        for plain, characters in {
            "'": "′’‘ʹʼ´`",
            '"': "″”“ʺ",
            "-": "‐‑‒–—―−",
            "/": "⁄∕",
            "°": "º˚",
        }.items()
        for character in characters
    }
)

# ⅟ is the numerator one alone: its denominator follows as digits.
_VULGAR: Final[Mapping[str, str]] = MappingProxyType(
    {
        character: unicodedata.normalize("NFKD", character).replace("⁄", "/")
        for character in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞↉"
    }
)
_V: Final = "".join(_VULGAR)
_FRACTION: Final = rf"(?:[0-9]+/[0-9]+|[{_V}]|⅟[0-9]+)"
_NUMBER: Final = rf"(?:[0-9]*\.[0-9]+|[0-9]+(?: +|-){_FRACTION}|[0-9]+(?:[{_V}]|⅟[0-9]+)|{_FRACTION}|[0-9]+)"
_UNIT: Final = r"(?:[A-Za-z]+\.?|['\"°])"
_ONE_UNIT: Final = re.compile(rf"(?P<minus>- *)?(?P<number>{_NUMBER}) *(?P<unit>{_UNIT})")
_FEET_AND_INCHES: Final = re.compile(
    rf"(?P<minus>- *)?(?P<feet>{_NUMBER}) *(?P<foot>{_UNIT})"
    rf"(?: *- *| *)(?P<inches>{_NUMBER}) *(?P<inch>{_UNIT})"
)
_FOOT: Final = r"'|ft\.?|foot|feet"
_BARE: Final = re.compile(rf"-? *({_NUMBER})")
_HOW: Final = 'write it like "12 in", "5 1/2 in", "4 ft 6 in" or "300 mm"'
_HOW_ANGLE: Final = 'write it in degrees, like "120 deg"'


class _UnreadableError(Exception):
    """Why a text cannot be read; becomes the error of the quantity it was to be."""


def parse_length(text: str) -> Fraction:
    """Read a length written with its unit, exactly, in metres.

    Units are in, ft, m, cm and mm, spelt out or short, in any case, and ' and " (also as primes and curly
    quotes). Numbers are whole, decimal or mixed with a fraction: ``5 1/2 in``, ``5-1/2"``, ``5½ in``; feet
    and inches stand together: ``4 ft 6 in``, ``4'-6 1/2"``. A dash between feet and inches, or set close
    between a whole number and its fraction, joins them. A dash in front makes the length negative: whether
    that can be is for the caller to say.

    Parameters
    ----------
    text : str
        The length as a person writes it.

    Returns
    -------
    Fraction
        The same length. [m]

    Raises
    ------
    LengthError
        Where the text is not a length, or could mean two things; says how to write it.
    """
    try:
        return _read_length(_plain(text))
    except _UnreadableError as why:
        raise LengthError(f"{why}, got {_shown(text)}") from None


def parse_angle(text: str) -> Fraction:
    """Read an angle written in degrees, exactly: ``120 deg``, ``22.5°``, ``120 degrees``.

    Parameters
    ----------
    text : str
        The angle as a person writes it.

    Returns
    -------
    Fraction
        The same angle; negative where a dash stands in front. [deg]

    Raises
    ------
    InputError
        Where the text is not an angle in degrees; says how to write it.
    """
    try:
        return _read_angle(_plain(text))
    except _UnreadableError as why:
        raise InputError(f"{why}, got {_shown(text)}") from None


def exact_length(value: Fraction | float) -> Fraction:
    """Return a length in metres as a fraction; a float stands for its shortest decimal, so 0.3 is 3/10.

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    if isinstance(value, Fraction):
        return value
    if isinstance(value, int):
        return Fraction(value)
    if not math.isfinite(value):
        raise LengthError(f"a length must be a finite number of metres, got {value}")
    return Fraction(repr(float(value)))


def length_number(metres: Fraction | float, units: Units) -> float:
    """Return a length [m] as a plain number of inches or millimetres, as for the axis of a plot.

    Parameters
    ----------
    metres : Fraction or float
        [m]
    units : {"in", "mm"}
        What the number counts.

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    return float(exact_length(metres) / METRES_PER_UNIT[units])


def format_length(metres: Fraction | float, units: Units) -> str:
    """Write a length [m] as a person marks it: ``5 1/2 in``, ``139.7 mm``.

    Inches are rounded to the nearest 1/16 in of a tape measure and millimetres to 0.1 mm; a half goes away
    from zero.

    Parameters
    ----------
    metres : Fraction or float
        [m]
    units : {"in", "mm"}
        What it is written in.

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    return f"{_written(metres, units)} {units}"


def format_difference(metres: float, units: Units) -> str:
    """Write by how much one length misses another [m]: as in `format_length`, or in decimals where that is too coarse.

    Parameters
    ----------
    metres : float
        [m]
    units : {"in", "mm"}
        What it is written in.

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    return format_close(metres, units, within=0.1 * abs(metres), digits=2)


def format_close(metres: float, units: Units, *, within: float = 1e-6, digits: int = 4) -> str:
    """Write a length [m] as in `format_length`, or in decimals where that is farther off than it may be.

    Parameters
    ----------
    metres : float
        [m]
    units : {"in", "mm"}
        What it is written in.
    within : float
        How far off it may be. [m]
    digits : int
        Of the decimals. [1]

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    printed = format_length(metres, units)
    if abs(float(parse_length(printed)) - metres) <= within:
        return printed
    return f"{length_number(metres, units):.{digits}g} {units}"


def format_size(lengths: Iterable[Fraction | float], units: Units) -> str:
    """Write several lengths [m] under one unit, each as in `format_length`: ``84 × 36 × 6 in``.

    Parameters
    ----------
    lengths : iterable of Fraction or float
        [m]
    units : {"in", "mm"}
        What they are written in.

    Raises
    ------
    LengthError
        For NaN and infinity.
    """
    return f"{' × '.join(_written(metres, units) for metres in lengths)} {units}"


def _written(metres: Fraction | float, units: Units) -> str:
    number = exact_length(metres) / METRES_PER_UNIT[units]
    parts = _SIXTEENTHS if units == "in" else 10
    whole, rest = divmod(math.floor(abs(number) * parts + Fraction(1, 2)), parts)
    minus = "-" if number < 0 and (whole or rest) else ""
    if not rest:
        return f"{minus}{whole}"
    if units == "mm":
        return f"{minus}{whole}.{rest}"
    return f"{minus}{f'{whole} ' if whole else ''}{Fraction(rest, parts)}"


def _read_length(plain: str) -> Fraction:
    if match := _ONE_UNIT.fullmatch(plain):
        metres = _number(match["number"]) * _metres_per(match["unit"])
    elif match := _FEET_AND_INCHES.fullmatch(plain):
        metres = _feet_and_inches(match)
    else:
        raise _UnreadableError(_why_not(plain, unit="in", other='"{number} mm"', how=_HOW))
    return -metres if match["minus"] else metres


def _read_angle(plain: str) -> Fraction:
    match = _ONE_UNIT.fullmatch(plain)
    if match is None:
        raise _UnreadableError(_why_not(plain, unit="deg", other='"{number}°"', how=_HOW_ANGLE))
    if match["unit"].lower() not in _DEGREE_NAMES:
        raise _UnreadableError(f"the unit of an angle is deg, not {match['unit']}: {_HOW_ANGLE}")
    degrees = _number(match["number"])
    return -degrees if match["minus"] else degrees


def _plain(text: str) -> str:
    """Return the text with one kind of space, dash, prime and slash."""
    text = text.strip()
    if len(text) > _LONGEST_TEXT:
        raise _UnreadableError(f"at most {_LONGEST_TEXT} characters can be meant as one number with its unit")
    if re.search(r"[0-9]\.?[eE][+-]?[0-9]", text):
        raise _UnreadableError("write the number out, without e for powers of ten")
    spaced = "".join(" " if c == "\t" or unicodedata.category(c) == "Zs" else c for c in text)
    return spaced.translate(_PLAIN).replace("''", '"')


def _shown(text: str) -> str:
    text = " ".join(text.split())
    text = "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
    if not text:
        return "nothing"
    return text if len(text) <= _LONGEST_TEXT else f"{text[:_LONGEST_TEXT]}…"


def _number(written: str) -> Fraction:
    """Return the value of a text that matches ``_NUMBER``."""
    if "." in written:
        return Fraction(written)
    for vulgar, spelt in _VULGAR.items():
        written = written.replace(vulgar, f" {spelt}")
    *whole, last = written.replace("⅟", " 1/").replace("-", " ").split()
    above, _, below = last.partition("/")
    if not below:
        return Fraction(int(above))
    if int(below) == 0:
        raise _UnreadableError("a fraction cannot have 0 below the line")
    fraction = Fraction(int(above), int(below))
    if not whole:
        return fraction
    total = int(whole[0]) + fraction
    if fraction >= 1:
        meant = f"{total.numerator // total.denominator} {total % 1}" if total % 1 else f"{total}"
        raise _UnreadableError(
            f"the fraction after a whole number must be less than 1: if {whole[0]} + {last} is meant, "
            f'write "{meant}" and the unit'
        )
    return total


def _metres_per(unit: str) -> Fraction:
    try:
        return _METRES_BY_NAME[unit.lower()]
    except KeyError:
        raise _UnreadableError(f"the unit of a length is {_KNOWN_UNITS}, not {unit}: {_HOW}") from None


def _feet_and_inches(match: re.Match[str]) -> Fraction:
    for unit in (match["foot"], match["inch"]):
        _metres_per(unit)
    if match["foot"].lower() not in _FOOT_NAMES or match["inch"].lower() not in _INCH_NAMES:
        raise _UnreadableError('only feet and inches go together: write "4 ft 6 in", or one unit')
    if not match["feet"].isdecimal():
        raise _UnreadableError('feet before inches must be a whole number: write "4 ft 6 in", or feet alone')
    return _number(match["feet"]) * METRES_PER_FOOT + _number(match["inches"]) * METRES_PER_INCH


def _why_not(plain: str, *, unit: str, other: str, how: str) -> str:
    """Return what is wrong with a text that no notation matches, and what would be right."""
    thing = "a length" if unit == "in" else "an angle"
    if not plain:
        return f"{thing} is missing: {how}"
    if plain.startswith("+"):
        return f"{thing} is written without +: {how}"
    if re.search("[0-9],[0-9]", plain):
        return _about_comma(plain, how=how)
    if match := _BARE.fullmatch(plain):
        number = match[1]
        return f'{thing} needs its unit: write "{number} {unit}" or {other.format(number=number)}'
    if unit == "in" and (
        match := re.fullmatch(rf"([0-9]+) *(?:{_FOOT}) *-? *({_NUMBER})", plain, re.IGNORECASE)
    ):
        return f'the second number needs its unit: write "{match[1]} ft {match[2]} in"'
    if match := re.match(rf"([0-9]+) *- *({_FRACTION})(?= *{_UNIT})", plain):
        return f'a spaced dash before a fraction could be a minus: write "{match[1]} {match[2]}" and the unit'
    if re.match(r"-? *[0-9]+[ _]+[0-9]+(?![0-9]*[/.])", plain):
        return f"two numbers stand side by side; thousands are not set apart: {how}"
    if re.search(r"\.[0-9]*[ -]*[0-9]*/|/ *[0-9]*\.", plain):
        return f"a fraction takes whole numbers only, above and below its line and before it: {how}"
    if not re.search(rf"[0-9{_V}]", plain):
        return f"{thing} begins with a number: {how}"
    return f"{thing} cannot be read: {how}"


def _about_comma(plain: str, *, how: str) -> str:
    without = plain.replace(",", "")
    if "." in plain:
        # Where both stand, the later one sets off the decimals.
        pointed = plain.replace(".", "").replace(",", ".")
        meant = [without if plain.rindex(".") > plain.rindex(",") else pointed]
    else:
        meant = [plain.replace(",", ".")]
        if re.search("[0-9](,[0-9]{3})+(?![0-9])", plain):
            meant.append(without)
    ways = [f'"{m}"' for m in meant if _ONE_UNIT.fullmatch(m) or _FEET_AND_INCHES.fullmatch(m)]
    write = f"write {' or '.join(ways)}" if ways else how
    return f"decimals follow a point, not a comma, and thousands are not set apart: {write}"
