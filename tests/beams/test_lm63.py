"""Photometric files: what is read from them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from lumsim.beams.lm63 import read_lm63, read_lm63_file, zonal_flux
from lumsim.errors import StudyError
from tests.beams.written_lm63 import (
    FIRST_LINES,
    FREE_LABELS,
    KEYWORDS,
    NAME,
    Array,
    cosine_power,
    lambertian,
    sweep,
    written,
)

EDITIONS = tuple(FIRST_LINES)

QUARTER = np.array([0.0, 30.0, 60.0, 90.0])


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_edition_is_told_by_its_first_line(edition: str) -> None:
    """Each edition is told by its first line, 1986 by having none."""
    file = read_lm63(lambertian(edition=edition), NAME)
    assert file.edition == edition
    assert file.name == NAME
    assert file.candela[0] == pytest.approx(100 * np.cos(np.radians(file.vertical)), abs=1e-12)


@pytest.mark.parametrize(
    ("first", "edition"),
    [
        ("IESNA:LM-63-1986", "LM-63-1986"),
        ("IESNA86", "LM-63-1986"),
        ("iesna:lm-63-1995", "LM-63-1995"),
        ("IESNA: LM-63-2002 ", "LM-63-2002"),
        ("IESNA:LM-63-02", "LM-63-2002"),
        ("IESNA:LM-63-2019", "LM-63-2019"),
    ],
)
def test_a_first_line_may_be_written_in_other_ways(first: str, edition: str) -> None:
    """Capitals, blanks and short years do not matter."""
    file = read_lm63(lambertian(edition="LM-63-1986", labels=[first, *KEYWORDS]), NAME)
    assert file.edition == edition
    assert file.remarks == ()


def test_an_edition_that_is_not_known_is_read_as_the_newest() -> None:
    """A file of an edition to come is read as the newest one, and that is said."""
    file = read_lm63(lambertian(edition="LM-63-1986", labels=["IES:LM-63-2030", *KEYWORDS]), NAME)
    assert file.edition == "LM-63-2019"
    assert file.remarks == (
        (
            "line 1: 'IES:LM-63-2030' names no edition that is known (1986, 1991, 1995, 2002, 2019); "
            "the file is read as LM-63-2019"
        ),
    )


def test_labels_of_1986_are_kept_as_they_are() -> None:
    """A file without a first line for its edition holds free labels, and nothing is odd about it."""
    file = read_lm63(lambertian(edition="LM-63-1986"), NAME)
    assert file.keywords == tuple(("", label) for label in FREE_LABELS)
    assert file.remarks == ()


def test_keywords_are_taken_in_any_form() -> None:
    """Keywords of any kind are kept in order, in capitals, with what is continued in one piece."""
    labels = [*KEYWORDS, " [ luminaire ] two", "[MORE]  lines", "[_OWN] x: [y]", "[OTHER]", "[MORE] more"]
    file = read_lm63(lambertian(labels=labels), NAME)
    assert file.keywords[4:] == (("LUMINAIRE", "two lines"), ("_OWN", "x: [y]"), ("OTHER", "more"))
    assert file.keywords[0] == ("TEST", "1 of 1")
    assert file.remarks == ()


def test_odd_labels_are_remarked_on() -> None:
    """Missing keywords, lines that are none, and keywords without an edition are odd and no more than that."""
    file = read_lm63(lambertian(labels=["[TEST] 1", "free", "[MANUFAC] invented", "", "free again"]), NAME)
    assert file.remarks == (
        "line 3: is no keyword line such as [TEST] 12345, like 1 more",
        "LM-63-2002 asks for keywords that are missing: [TESTLAB], [ISSUEDATE]",
    )
    assert read_lm63(lambertian(edition="LM-63-1986", labels=KEYWORDS), NAME).remarks == (
        "the first line names no edition; the file is read as LM-63-1986",
    )


def test_all_thirteen_numbers_arrive() -> None:
    """What the first thirteen numbers say stands in the file, lengths in metres."""
    text = lambertian(lamps=2, lumens=400, units=1, size=(1, 2, 0.5), watts=12.5)
    file = read_lm63(text, NAME)
    assert (file.lamps, file.lumens_per_lamp, file.watts, file.photometric_type) == (2, 400.0, 12.5, "C")
    assert (file.width, file.length, file.height) == pytest.approx((0.3048, 0.6096, 0.1524), rel=1e-12)
    assert not file.round_opening
    assert file.tilt is None
    assert file.remarks == ()


def test_absolute_photometry_has_no_rated_lumens() -> None:
    """Lumens of -1 tell that the intensities are absolute."""
    assert read_lm63(lambertian(lumens=-1), NAME).lumens_per_lamp is None
    assert read_lm63(lambertian(lumens="-1.0"), NAME).lumens_per_lamp is None


@pytest.mark.parametrize(
    ("size", "shape"),
    [
        ((-0.2, -0.2, 0), (0.2, 0.2, 0)),
        ((-0.2, 0, 0), (0.2, 0.2, 0)),
        ((-0.2, -0.3, 0.1), (0.2, 0.3, 0.1)),
        ((-0.2, -0.2, -0.2), (0.2, 0.2, 0.2)),
        ((-0.2, 1, -0.2), (0.2, 1, 0.2)),
        ((-0.2, 0, -0.2), (0.2, 0, 0.2)),
    ],
)
def test_a_size_below_zero_tells_a_round_opening(
    size: tuple[float, float, float], shape: tuple[float, float, float]
) -> None:
    """Sizes are never below 0; that they were written so tells a round opening."""
    file = read_lm63(lambertian(size=size), NAME)
    assert file.round_opening
    assert (file.width, file.length, file.height) == shape


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_edition_multiplies_what_is_a_factor(edition: str) -> None:
    """The twelfth number multiplies the light up to 1995 and never since."""
    file = read_lm63(lambertian(edition=edition, multiplier=2, ballast=0.5, twelfth=1.1), NAME)
    factor = 1.1 if edition < "LM-63-2002" else 1.0
    assert file.multiplier == pytest.approx(factor, rel=1e-15)
    assert file.candela[0, 0] == pytest.approx(100 * factor, rel=1e-15)
    odd = {"LM-63-2002": ("line 8: the number for future use is 1.1 and not 1; it is not used",)}
    assert file.remarks == odd.get(edition, ())


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("1.00001", "undefined"),
        ("1.00010", "simulated"),
        ("1.00000", "unaccredited laboratory"),
        ("1", "unaccredited laboratory"),
        ("1.10000", "accredited laboratory"),
        ("1.10100", "accredited laboratory, scaled"),
        ("1.11000", "accredited laboratory, interpolated"),
        ("1.11100", "accredited laboratory, interpolated, scaled"),
    ],
)
def test_the_file_generation_type_is_told_and_not_multiplied(code: str, said: str) -> None:
    """In 2019 the twelfth number says how the file came about."""
    file = read_lm63(lambertian(edition="LM-63-2019", twelfth=code), NAME)
    assert file.file_generation == said
    assert file.multiplier == 1
    assert file.remarks == ()


@pytest.mark.parametrize("code", ["0.9", "1.5", "1.00011", "1.2", "1.000001", "-1"])
def test_a_file_generation_type_that_is_not_known_is_remarked_on(code: str) -> None:
    """A twelfth number that means nothing in 2019 is told, and changes no light."""
    file = read_lm63(lambertian(edition="LM-63-2019", twelfth=code), NAME)
    assert file.file_generation == f"unknown ({float(code):g})"
    assert file.multiplier == 1
    assert len(file.remarks) == 1
    assert "line 8: " in file.remarks[0]


@pytest.mark.parametrize(
    ("horizontal", "said"),
    [
        (sweep(0, 0), "axially symmetric"),
        (sweep(90), "quadrants alike"),
        (sweep(180), "mirrored about the plane 0-180 deg"),
        (sweep(270, first=90), "mirrored about the plane 90-270 deg"),
        (sweep(360), "none"),
    ],
)
def test_the_horizontal_angles_of_type_c_tell_its_symmetry(horizontal: Array, said: str) -> None:
    """Where the horizontal angles start and end tells what light is alike; any such sector has the same flux."""
    file = read_lm63(written(QUARTER, horizontal, cosine_power(1, QUARTER, horizontal)), NAME)
    one = read_lm63(written(QUARTER, [0], cosine_power(1, QUARTER, sweep(0, 0))), NAME)
    assert file.symmetry == said
    assert zonal_flux(file) == pytest.approx(zonal_flux(one), rel=1e-14)


def test_a_repeat_of_0_degrees_that_is_left_out_is_put_back() -> None:
    """Angles that go round in equal steps and stop one short of 360 degrees get the light at 0 again, with a remark."""
    horizontal = np.arange(0, 360, 15.0)
    candela = cosine_power(1, QUARTER, horizontal) * (2 + np.cos(np.radians(horizontal)))[:, None]
    file = read_lm63(written(QUARTER, horizontal, candela), NAME)
    assert file.horizontal.tolist() == [*horizontal, 360.0]
    assert file.candela[-1].tolist() == file.candela[0].tolist()
    assert file.symmetry == "none"
    assert any("end at 345 deg; the light at 0 deg is taken again" in remark for remark in file.remarks)


@pytest.mark.parametrize(("kind", "name"), [(2, "B"), (3, "A")])
@pytest.mark.parametrize("vertical", [sweep(90, 6), sweep(90, 12, first=-90)])
@pytest.mark.parametrize(("first", "said"), [(0, "mirrored left and right"), (-90, "none")])
def test_types_a_and_b_are_read(kind: int, name: str, vertical: Array, first: float, said: str) -> None:
    """Types A and B take vertical and horizontal angles from 0 or -90 to 90; equal light fills what they span."""
    horizontal = sweep(90, 4, first=first)
    file = read_lm63(written(vertical, horizontal, np.ones((5, len(vertical))), kind=kind), NAME)
    assert (file.photometric_type, file.symmetry) == (name, said)
    half_space = 2 * np.pi * (1 if vertical[0] < 0 else 0.5)
    assert zonal_flux(file) == pytest.approx(half_space, rel=1e-14)
    assert file.remarks == (
        ()
        if vertical[0] < 0
        else ("the vertical angles start at 0 deg; no light is taken to be at angles below",)
    )


@pytest.mark.parametrize("kind", [2, 3])
def test_types_a_and_b_take_the_cosine_of_the_angle_within_a_plane(kind: int) -> None:
    """Light that falls off as the cosine of the angle within its plane sums up to 2 ∫ cos² = π² over the half space."""
    angles = sweep(90, 180, first=-90)
    within = np.cos(np.radians(angles))
    candela = np.tile(within, (181, 1)) if kind == 3 else np.tile(within[:, None], (1, 181))
    file = read_lm63(written(angles, angles, np.abs(candela), kind=kind), NAME)
    assert zonal_flux(file) == pytest.approx(np.pi**2 / 2, rel=1e-4)


def test_a_tilt_table_is_kept_and_not_applied() -> None:
    """The factors of a tilted lamp are read; light is as without them, and a factor that is not 1 at rest is told."""
    file = read_lm63(lambertian(tilt="INCLUDE\n1\n3\n0 45, 90\n0.95 .9 8.0E-1"), NAME)
    assert file.tilt is not None
    assert file.tilt.geometry == 1
    assert file.tilt.angles.tolist() == [0, 45, 90]
    assert file.tilt.factors.tolist() == [0.95, 0.9, 0.8]
    assert file.candela[0, 0] == 100
    assert file.remarks == ("the factor for a lamp that is not tilted is 0.95 and not 1; it is not applied",)


@pytest.mark.parametrize("named", ["lamp.tlt", "LAMP.TLT", r"C:\LAMPS\Lamp.tlt", "../other/lamp.tlt"])
def test_a_tilt_table_in_another_file_is_found_beside_it(tmp_path: Path, named: str) -> None:
    """TILT=<file> is looked for beside the file, whatever folder and capitals were written."""
    (tmp_path / "lamp.tlt").write_text("3\r\n2\r\n0 90\r\n1 0.5\r\n")
    path = tmp_path / NAME
    path.write_text(lambertian(edition="LM-63-1995", tilt=named))
    file = read_lm63_file(path)
    assert file.tilt is not None
    assert file.tilt.geometry == 3
    assert file.tilt.factors.tolist() == [1, 0.5]
    assert file.remarks == ()


def test_a_tilt_file_that_is_missing_is_remarked_on(tmp_path: Path) -> None:
    """A table that is never applied may be missing; that it is, is told."""
    path = tmp_path / NAME
    path.write_text(lambertian(tilt="lamp.tlt"))
    for file in (read_lm63_file(path), read_lm63(path.read_text(), NAME)):
        assert file.tilt is None
        assert file.remarks == (
            "line 6: TILT=lamp.tlt names a file that is not beside it: how a tilted lamp's light changes is not known",
        )


def test_numbers_are_taken_as_fortran_writes_them() -> None:
    """Exponents with D or E, signs and points at either end are numbers."""
    text = written(["0", "90.", "+1.8D2"], [0], [["+1.5D+01", ".25", "3.E-1"]])
    assert read_lm63(text, NAME).candela.tolist() == [[15, 0.25, 0.3]]


@pytest.mark.parametrize("ending", ["\r\n", "\r", "\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_of_any_kind_are_read_and_counted(ending: str, mark: str) -> None:
    """Lines end by CRLF, CR or LF, a file by an old end mark or none, and lines are counted alike."""
    text = mark + lambertian().replace("\n", ending) + "\x1a"
    assert read_lm63(text, NAME).vertical[-1] == 90
    with pytest.raises(StudyError, match=r"^module\.ies, line 8: ballast factor: "):
        read_lm63(mark + lambertian(ballast="x").replace("\n", ending), NAME)
