"""Lengths and angles with their unit: read exactly, refused in the user's words, printed as on a tape."""

from __future__ import annotations

import contextlib
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, seed
from hypothesis import strategies as st

from lumsim.errors import InputError, LengthError
from lumsim.units import (
    METRES_PER_FOOT,
    METRES_PER_INCH,
    METRES_PER_UNIT,
    Units,
    exact_length,
    format_difference,
    format_length,
    format_size,
    length_number,
    parse_angle,
    parse_length,
)

INCH = Fraction(254, 10_000)
FOOT = Fraction(3048, 10_000)
VULGAR = {
    "¼": (1, 4), "½": (1, 2), "¾": (3, 4), "⅐": (1, 7), "⅑": (1, 9), "⅒": (1, 10), "⅓": (1, 3), "⅔": (2, 3),
    "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8),
    "⅝": (5, 8), "⅞": (7, 8), "↉": (0, 3), "⅟16": (1, 16),
}  # fmt: skip
INCH_MARKS = [" in", "in", " in.", " inch", " inches", '"', ' "', "″", "”", "“", "''", "’’", "′′", " IN"]
FOOT_MARKS = [" ft", "ft", " ft.", " foot", " feet", "'", "′", "’", "‘", " FT"]
JOINERS = ["-", " - ", " ", "", "–", " — ", "−", "\u00a0", "\u2009", "‑"]
CLOSE_JOINERS = [" ", "-", "–", "—", "−", "\u00a0", "\u2009", "\u202f", "  "]
SLASHES = ["/", "⁄", "∕"]


def refusal(text: str) -> str:
    """Return the message with which a length is refused."""
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    return str(caught.value)


def test_an_inch_is_25_4_mm_and_a_foot_12_in() -> None:
    """The factors are those of NIST Handbook 44, appendix C, to the last digit."""
    assert Fraction("25.4") == METRES_PER_INCH * 1000
    assert Fraction("0.3048") == METRES_PER_FOOT
    assert dict(METRES_PER_UNIT) == {"in": Fraction("0.0254"), "mm": Fraction("0.001")}


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12 in", 12), ("12in", 12), ("12.5 in", "12.5"), (".5 in", "0.5"), ("5 1/2 in", "5.5"),
        ('5-1/2"', "5.5"), ('5 1/2"', "5.5"), ("1/2 in", "0.5"), ("½ in", "0.5"), ("5½ in", "5.5"),
        ('5 ½"', "5.5"), ("5-½ in", "5.5"), ("4 ft 6 in", 54), ("4 ft", 48), ("4'-6 1/2\"", "54.5"),
        ("4' 6\"", 54), ("4'6\"", 54), ("4'", 48), ("4′-6½″", "54.5"), ("4’6”", 54), ("4‘ 6“", 54),
        ("4''", 4), ("4' 6''", 54), ("4ft6in", 54), ("4 ft 14 in", 62), ("4 feet 6 inches", 54),
        ("1 foot 1 inch", 13), ("4' - 6 1/2\"", "54.5"), ("4'-6-1/2\"", "54.5"), ("4 ft .5 in", "48.5"),
        ("5 1⁄2 in", "5.5"), ("5\u00a01/2\u2009in", "5.5"), ("4'–6\"", 54), ("4'—6\"", 54), ("4'−6\"", 54),
        ("13/2 in", "6.5"), ("5 0/8 in", 5), ("0 in", 0), ("  12 in\n", 12), ("12 In.", 12), ("2 1/2 ft", 30),
    ],
)  # fmt: skip
def test_every_notation_of_inches_and_feet_is_read_exactly(text: str, inches: int | str) -> None:
    """Whatever way a sign maker writes inches and feet, the length is that many times 25.4 mm exactly."""
    assert parse_length(text) == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1.2 m", "1.2"), ("300 mm", "0.3"), ("30 cm", "0.3"), ("1 m", "1"), ("1 metre", "1"),
        ("2 metres", "2"), ("1 meter", "1"), ("2 meters", "2"), ("1 millimetre", "0.001"),
        ("300 millimetres", "0.3"), ("1 millimeter", "0.001"), ("300 millimeters", "0.3"),
        ("1 centimetre", "0.01"), ("30 centimetres", "0.3"), ("1 centimeter", "0.01"),
        ("30 centimeters", "0.3"), ("300MM", "0.3"), ("1/2 m", "0.5"), ("1.200 mm", "0.0012"),
    ],
)  # fmt: skip
def test_metric_lengths_are_read_exactly(text: str, metres: str) -> None:
    """A metric length is the decimal fraction of a metre that is written."""
    assert parse_length(text) == Fraction(metres)


@pytest.mark.parametrize(("character", "parts"), VULGAR.items())
def test_every_vulgar_fraction_character_is_exact(character: str, parts: tuple[int, int]) -> None:
    """A fraction typed as one character is the fraction it shows: ⅓ is one third and no decimal."""
    assert parse_length(f"{character} in") == Fraction(*parts) * INCH
    assert parse_length(f'7{character}"') == (7 + Fraction(*parts)) * INCH
    assert parse_length(f"7 {character} mm") == (7 + Fraction(*parts)) / 1000


@pytest.mark.parametrize("minus", ["-", "−", "–", "- "])
def test_a_leading_minus_gives_a_negative_length(minus: str) -> None:
    """A negative length is read, so that the caller can say that it must be more than 0."""
    assert parse_length(f"{minus}4 in") == -4 * INCH
    assert parse_length(f"{minus}5-1/2 in") == Fraction(-11, 2) * INCH
    assert parse_length(f"{minus}4'-6\"") == -54 * INCH


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("84", ["a length needs its unit", '"84 in"', '"84 mm"']),
        ("5 1/2", ["a length needs its unit", '"5 1/2 in"']),
        ("5,5 in", ["point", '"5.5 in"']),
        ("4 ft 6,5 in", ['"4 ft 6.5 in"']),
        ("1,200 mm", ['"1.200 mm" or "1200 mm"']),
        ("1,200.5 mm", ["thousands", 'write "1200.5 mm"']),
        ("1.200,5 mm", ['write "1200.5 mm"']),
        ("1,2,3 in", ["point", '"5 1/2 in"']),
        ("5,5", ["point", '"5 1/2 in"']),
        ("1 200 mm", ["two numbers", "thousands"]),
        ("1'200 mm", ["only feet and inches go together"]),
        ("1 m 20 cm", ["only feet and inches go together"]),
        ("6 in 4 ft", ["only feet and inches go together"]),
        ("1/0 in", ["0 below the line"]),
        ("4 ft 1/0 in", ["0 below the line"]),
        ("5 3/2 in", ["less than 1", '"6 1/2"']),
        ("5 4/2 in", ["less than 1", '"7"']),
        ("5 1/2.5 in", ["whole numbers only"]),
        ("5.5 1/2 in", ["whole numbers only"]),
        ("5 - 1/2 in", ["spaced dash", '"5 1/2"']),
        ("5 -1/2 in", ["spaced dash", '"5 1/2"']),
        ("4.5 ft 6 in", ["whole number"]),
        ("4'6", ["second number needs its unit", '"4 ft 6 in"']),
        ("4 FT 6 1/2", ["second number needs its unit", '"4 ft 6 1/2 in"']),
        ("1e3 mm", ["without e"]),
        ("1E3 mm", ["without e"]),
        ("1e+3 mm", ["without e"]),
        ("nan in", ["begins with a number"]),
        ("inf", ["begins with a number"]),
        ("+4 in", ["without +"]),
        ("--4 in", ["cannot be read"]),
        ("5 kg", ["in, ft, m, cm or mm", "not kg"]),
        ("5 yd", ["in, ft, m, cm or mm", "not yd"]),
        ("90 deg", ["in, ft, m, cm or mm", "not deg"]),
        ("4 ft 6 lb", ["not lb"]),
        ("½5 in", ["cannot be read"]),
        ("1½1/2 in", ["cannot be read"]),
        ("1½½ in", ["cannot be read"]),
        ("12. in", ["cannot be read"]),
        ("1２ in", ["cannot be read"]),
        ("2² in", ["cannot be read"]),
        ("12\nin", ["cannot be read"]),
        ("12\u200bin", ["cannot be read", "\\u200b"]),
        ("12_000 mm", ["two numbers"]),
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_what_would_be_right(text: str, parts: list[str]) -> None:
    """A refusal names the reason, a right way to write it, and the text itself."""
    message = refusal(text)
    for part in parts:
        assert part in message
    assert message.endswith(f", got {text}") or not text.isprintable()


@pytest.mark.parametrize("text", ["", "   ", "\u00a0\n"])
def test_an_empty_text_is_a_missing_length(text: str) -> None:
    """An empty text is refused as missing, and the message says that nothing was there."""
    assert "is missing" in refusal(text)
    assert refusal(text).endswith("got nothing")


def test_a_text_longer_than_any_length_is_refused() -> None:
    """Sixty digits and more are no length, and the message does not repeat them all."""
    message = refusal("9" * 5000 + " in")
    assert "60 characters" in message
    assert len(message) < 200


def test_what_a_message_advises_can_be_read() -> None:
    """Every way of writing that the messages offer is itself a length."""
    advised = set()
    for text in ["", "84", "5 1/2", "5,5 in", "1,200 mm", "5 3/2 in", "4'6", "5 - 1/2 in", "1 m 20 cm"]:
        advised |= {f"{piece}" for piece in refusal(text).split('"')[1::2]}
    assert len(advised) >= 10
    for text in advised:
        assert parse_length(text if text[-1].isalpha() else f"{text} in") > 0


@st.composite
def mixed_numbers(draw: st.DrawFn) -> tuple[str, Fraction]:
    """Draw a number as a person writes it, and its value."""
    whole = draw(st.integers(0, 99_999))
    match draw(st.sampled_from(["whole", "decimal", "mixed", "fraction", "vulgar", "mixed vulgar"])):
        case "whole":
            return f"{whole}", Fraction(whole)
        case "decimal":
            thousandths = draw(st.integers(0, 999))
            return f"{whole}.{thousandths:03d}", whole + Fraction(thousandths, 1000)
        case "vulgar":
            character = draw(st.sampled_from(sorted(VULGAR)))
            return character, Fraction(*VULGAR[character])
        case "mixed vulgar":
            character = draw(st.sampled_from(sorted(VULGAR)))
            joiner = draw(st.sampled_from(["", *CLOSE_JOINERS]))
            return f"{whole}{joiner}{character}", whole + Fraction(*VULGAR[character])
        case kind:
            below = draw(st.integers(1, 128))
            above = draw(st.integers(0, below - 1))
            line = f"{above}{draw(st.sampled_from(SLASHES))}{below}"
            if kind == "fraction":
                return line, Fraction(above, below)
            return f"{whole}{draw(st.sampled_from(CLOSE_JOINERS))}{line}", whole + Fraction(above, below)


@seed(20)
@given(mixed_numbers(), st.sampled_from(INCH_MARKS), st.booleans())
def test_any_number_of_inches_reads_back_exactly(
    number: tuple[str, Fraction], mark: str, negative: bool
) -> None:
    """A number written in any notation, with any inch mark, reads back as the very same fraction."""
    written, value = number
    assert parse_length(f"{'-' if negative else ''}{written}{mark}") == (-value if negative else value) * INCH


@seed(21)
@given(
    st.integers(0, 9999),
    st.sampled_from(FOOT_MARKS),
    st.sampled_from(JOINERS),
    mixed_numbers(),
    st.sampled_from(INCH_MARKS),
)
def test_any_feet_and_inches_read_back_exactly(
    feet: int, foot_mark: str, joiner: str, number: tuple[str, Fraction], inch_mark: str
) -> None:
    """Feet and inches with any marks and any joiner read back as their exact sum."""
    written, inches = number
    assert parse_length(f"{feet}{foot_mark}{joiner}{written}{inch_mark}") == feet * FOOT + inches * INCH


@seed(22)
@given(
    st.one_of(
        st.text(max_size=80),
        st.text(alphabet="0123456789 ./,-+'\"½⅓⅟°′″’”⁄–−\u00a0\u2009infteEmcdgNaA\n_", max_size=24),
    )
)
@example("\ud800 in")
@example("1" * 59 + '"')
@example("ſt")
@example("⅟")
@example("1/⅟2 in")
@example("K")
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever is typed gives a finite exact length or a LengthError, and the same holds for angles."""
    with contextlib.suppress(LengthError):
        assert isinstance(parse_length(text), Fraction)
    with contextlib.suppress(InputError):
        assert isinstance(parse_angle(text), Fraction)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("120 deg", 120), ("120°", 120), ("120 degrees", 120), ("1 degree", 1), ("22.5deg", "22.5"),
        ("22½°", "22.5"), ("120 º", 120), ("-5 deg", -5), ("0 deg.", 0), ("120 DEG", 120),
    ],
)  # fmt: skip
def test_angles_are_read_exactly(text: str, degrees: int | str) -> None:
    """An angle is the number of degrees that is written."""
    assert parse_angle(text) == Fraction(degrees)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("120", ["needs its unit", '"120 deg"']),
        ("2.1 rad", ["not rad", '"120 deg"']),
        ("5 in", ["not in", '"120 deg"']),
        ("120,5 deg", ['"120.5 deg"']),
        ("", ["missing", '"120 deg"']),
        ("120° 30'", ["cannot be read", '"120 deg"']),
        ("1e2 deg", ["without e"]),
        ("nan deg", ["begins with a number"]),
        ("4'6", ["cannot be read", '"120 deg"']),
    ],
)
def test_what_is_no_angle_is_refused_with_what_would_be_right(text: str, parts: list[str]) -> None:
    """An angle without degrees is refused, and the message shows how to write it."""
    with pytest.raises(InputError) as caught:
        parse_angle(text)
    for part in parts:
        assert part in str(caught.value)


def test_a_float_stands_for_its_shortest_decimal() -> None:
    """0.3 m is 3/10 m, as whoever typed it meant; whole numbers and fractions stay what they are."""
    assert exact_length(0.3) == Fraction(3, 10)
    assert exact_length(np.float64(0.0254)) == INCH
    assert exact_length(1e-7) == Fraction(1, 10_000_000)
    assert exact_length(3) == 3
    assert exact_length(Fraction(1, 3)) == Fraction(1, 3)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_length_that_is_no_number_is_refused(value: float) -> None:
    """NaN and infinity are refused wherever a length is taken or printed."""
    with pytest.raises(LengthError, match="finite"):
        exact_length(value)
    with pytest.raises(LengthError, match="finite"):
        format_length(value, "in")


@seed(23)
@given(st.floats(allow_nan=False, allow_infinity=False))
def test_exact_lengths_of_floats_round_to_the_same_float(value: float) -> None:
    """The fraction a float stands for rounds to that very float."""
    assert float(exact_length(value)) == value


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        ("5.5", "5 1/2 in"), ("12", "12 in"), ("0.0625", "1/16 in"), ("0", "0 in"), ("-0.5", "-1/2 in"),
        ("-5.25", "-5 1/4 in"), ("0.03", "0 in"), ("-0.03", "0 in"), ("0.03125", "1/16 in"),
        ("-0.03125", "-1/16 in"), ("11.97", "12 in"), ("11.96", "11 15/16 in"), ("0.1", "1/8 in"),
        ("1200", "1200 in"),
    ],
)  # fmt: skip
def test_inches_print_as_a_tape_measure_marks_them(inches: str, text: str) -> None:
    """Inches print to the nearest 1/16 in, in lowest terms, a half away from zero, and never as -0."""
    assert format_length(Fraction(inches) * INCH, "in") == text
    assert format_length(float(Fraction(inches) * INCH), "in") == text


@pytest.mark.parametrize(
    ("millimetres", "text"),
    [
        ("127", "127 mm"), ("139.7", "139.7 mm"), ("0", "0 mm"), ("0.04", "0 mm"), ("-0.04", "0 mm"),
        ("0.05", "0.1 mm"), ("-0.05", "-0.1 mm"), ("-12.34", "-12.3 mm"), ("999.95", "1000 mm"),
    ],
)  # fmt: skip
def test_millimetres_print_to_a_tenth_without_trailing_zero(millimetres: str, text: str) -> None:
    """Millimetres print to 0.1 mm, a half away from zero, and whole where they are whole."""
    assert format_length(Fraction(millimetres) / 1000, "mm") == text
    assert format_length(float(Fraction(millimetres) / 1000), "mm") == text


def test_sizes_print_under_one_unit() -> None:
    """The sides of a box stand one after the other with their unit once at the end."""
    assert format_size([84 * INCH, 36 * INCH, 6 * INCH], "in") == "84 × 36 × 6 in"
    assert format_size((0.1524, Fraction("0.1397")), "in") == "6 × 5 1/2 in"
    assert format_size([0.1524, 0.1397], "mm") == "152.4 × 139.7 mm"


def test_plain_numbers_in_a_unit_for_axes() -> None:
    """A length as a plain number is rounded once, so 0.3048 m is 12 in and not 11.999999999999998."""
    assert length_number(0.3048, "in") == 12.0
    assert length_number(Fraction("0.1397"), "mm") == 139.7
    assert length_number(-0.0127, "in") == -0.5


@seed(24)
@given(st.integers(-20_000, 20_000), st.sampled_from(["in", "mm"]))
def test_what_is_printed_reads_back(parts: int, units: Units) -> None:
    """A length on a mark of the tape, or on a tenth of a millimetre, prints as text that reads back."""
    metres = parts * METRES_PER_UNIT[units] / (16 if units == "in" else 10)
    assert parse_length(format_length(metres, units)) == metres


@seed(25)
@given(st.floats(-1e4, 1e4), st.sampled_from(["in", "mm"]))
def test_printing_is_off_by_half_a_mark_at_most(metres: float, units: Units) -> None:
    """What is printed is within 1/32 in or 0.05 mm of the length."""
    half_mark = METRES_PER_UNIT[units] / (32 if units == "in" else 20)
    assert abs(parse_length(format_length(metres, units)) - exact_length(metres)) <= half_mark


@pytest.mark.parametrize(
    ("metres", "units", "written"),
    [
        (0.25 * 0.0254, "in", "1/4 in"),
        (8.01 * 0.0254, "in", "8 in"),
        (0.01 * 0.0254, "in", "0.01 in"),
        (0.1 * 0.0254, "in", "0.1 in"),
        (0.25e-3, "mm", "0.25 mm"),
        (0.003e-3, "mm", "0.003 mm"),
        (0.0, "in", "0 in"),
    ],
)
def test_a_difference_is_never_written_as_none(metres: float, units: Units, written: str) -> None:
    """By how much one length misses another is told on a tape's marks, and in decimals where these are too coarse."""
    assert format_difference(metres, units) == written
