from __future__ import annotations

import os
import subprocess
import sys

import matplotlib as mpl
import numpy as np
import pytest
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.pictures import look
from lumsim.pictures.face_map import draw_face
from lumsim.pictures.lettering import Taken, drawable, is_within, text_width, wrapped
from lumsim.pictures.sheet import length_ticks, plain_number
from lumsim.pictures.writing import SUFFIXES, picture_bytes
from lumsim.report.files import PICTURE_SUFFIXES
from lumsim.simulation import Simulation, simulate
from tests.cabinets import DIRECT, shop_sign


@pytest.fixture(scope="module")
def sign() -> Simulation:
    """Light the shop sign once for the module."""
    return simulate(shop_sign(), lighting=DIRECT)


def picture(simulation: Simulation, suffix: str) -> bytes:
    """Draw and write the shop sign."""
    return picture_bytes(draw_face(simulation, title="Shop", units="in", facts=["direct"]), suffix)


def lightness(rgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1976 L* of sRGB colours (IEC 61966-2-1 for the transfer curve and the weights of luminance)."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    y = linear @ np.array([0.2126, 0.7152, 0.0722])
    return np.asarray(np.where(y > (6 / 29) ** 3, 116 * np.cbrt(y) - 16, y * (29 / 3) ** 3))


def test_the_colour_map_reads_in_grey_print() -> None:
    """Every step along the colour map is lighter than the one before it."""
    light = lightness(look.colour_map()(np.linspace(0, 1, 256))[:, :3])
    assert (np.diff(light) > 0).all()
    assert light[-1] - light[0] > 70


def test_letters_can_be_read_on_every_colour() -> None:
    """What is written on the map differs from the colour under it by at least 35 of lightness."""
    for share in np.linspace(0, 1, 101):
        ground = np.array(look.colour_map()(float(share))[:3])
        ink = np.array(mpl.colors.to_rgb(look.ink_on(float(share))))
        assert abs(float(lightness(ground)) - float(lightness(ink))) > 35


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_picture_has_the_same_bytes(sign: Simulation, suffix: str) -> None:
    """Drawn twice, a picture is the same file to the byte."""
    assert picture(sign, suffix) == picture(sign, suffix)


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_a_figure_can_be_written_twice(sign: Simulation, suffix: str) -> None:
    """Writing leaves a figure as it was: the second file has the same bytes."""
    figure = draw_face(sign, title="Shop", units="in", facts=[])
    assert picture_bytes(figure, suffix) == picture_bytes(figure, suffix)


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_settings_of_the_caller_neither_show_nor_change(sign: Simulation, suffix: str) -> None:
    """A caller's own matplotlib settings leave no trace in a picture, and are as before afterwards."""
    plain = picture(sign, suffix)
    with mpl.rc_context({"font.size": 30, "axes.facecolor": "red", "svg.hashsalt": "x", "text.color": "red"}):
        before = dict(mpl.rcParams)
        assert picture(sign, suffix) == plain
        assert dict(mpl.rcParams) == before


def test_files_name_no_version_and_no_day(sign: Simulation) -> None:
    """A picture carries neither a date nor the version of the library that drew it."""
    for suffix in (".png", ".svg", ".pdf"):
        content = picture(sign, suffix).lower()
        assert b"matplotlib version" not in content
        assert b"matplotlib v" not in content
        assert b"date>" not in content
        assert b"/creationdate" not in content


def test_files_are_what_their_ending_says(sign: Simulation) -> None:
    """A .png file begins as PNG, .svg is XML with an svg element, .pdf begins as PDF; capitals do not matter."""
    assert picture(sign, ".PNG").startswith(b"\x89PNG\r\n\x1a\n")
    assert b"<svg" in picture(sign, ".svg")[:600]
    assert picture(sign, ".Pdf").startswith(b"%PDF-1.")


def test_a_pdf_file_carries_its_font_and_no_other_file(sign: Simulation) -> None:
    """A PDF file has its TrueType font inside (ISO 32000-1, 9.9: FontFile2), and letters are text."""
    content = picture(sign, ".pdf")
    assert b"/FontFile2" in content
    assert b"DejaVuSans" in content


def test_a_pdf_file_is_the_same_from_another_process(sign: Simulation) -> None:
    """Neither the order of sets nor the clock shows in a PDF file: another hash seed gives the same bytes."""
    script = (
        "import hashlib\n"
        "from lumsim.pictures.sheet import Heading, Sheet\n"
        "from lumsim.pictures import look\n"
        "from lumsim.pictures.writing import picture_bytes\n"
        "with look.drawing():\n"
        "    sheet = Sheet(4, 2)\n"
        "    sheet.heading(Heading.wrapped('Corner shop', ['48 × 24 in', 'Straße'], 3.0))\n"
        "print(hashlib.sha256(picture_bytes(sheet.figure, '.pdf')).hexdigest())\n"
    )
    printed = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(printed) == 1


def test_the_command_line_takes_what_can_be_written() -> None:
    """The endings that options of the command line take are those that pictures are written with."""
    assert PICTURE_SUFFIXES == SUFFIXES


@pytest.mark.parametrize("suffix", [".gif", ".jpg", "png", ""])
def test_other_endings_are_refused(sign: Simulation, suffix: str) -> None:
    """Any other ending is refused with the three that are known."""
    with pytest.raises(InputError, match=r"\.png, \.svg or \.pdf"):
        picture(sign, suffix)


def test_wrapped_lines_fit() -> None:
    """No line is wider than it may be, also where one word is, and no letter is lost."""
    text = "rows " * 20 + "x" * 200
    lines = wrapped(text, 9, 2.0)
    assert all(text_width(line, 9) <= 2.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_cut_text_says_so() -> None:
    """What does not fit into the lines there are ends with an ellipsis."""
    lines = wrapped("row " * 100, 9, 2.0, most_lines=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert text_width(lines[-1], 9) <= 2.0


def test_letters_that_the_font_lacks_are_shown_as_missing() -> None:
    """A character without a shape is replaced, so that drawing neither warns nor leaves a gap."""
    assert drawable("a\n角\tb") == "a \N{REPLACEMENT CHARACTER} b"


def test_taken_boxes_stay_clear() -> None:
    """A box is given once: what touches it is refused, what lies beside it is not."""
    taken = Taken()
    assert taken.take_if_free((0, 0, 2, 1))
    assert not taken.take_if_free((1, 0.5, 3, 2))
    assert taken.take_if_free((2, 0, 3, 1))
    assert is_within((0, 0, 2, 1), (0, 0, 2, 1))
    assert not is_within((0, 0, 2.1, 1), (0, 0, 2, 1))


def test_ticks_of_lengths_are_apart_and_inside() -> None:
    """Ticks keep their distance on paper and lie within the axis."""
    ticks = length_ticks(84, "in", inches_per_unit=0.1, apart=0.5)
    assert ticks == [6.0 * i for i in range(15)]
    assert length_ticks(17, "mm", inches_per_unit=0.1, apart=0.3, start=4) == [5, 10, 15]


@pytest.mark.parametrize(
    ("value", "text"),
    [(577.9, "578"), (0.01234, "0.0123"), (12572.4, "12572"), (1.0, "1.00"), (0.0, "0"), (2.5e-9, "2.5e-09")],
)
def test_numbers_are_written_out(value: float, text: str) -> None:
    """Three figures, without an exponent as long as that is readable."""
    assert plain_number(value) == text
