"""Photometric files: what is refused and how it is told, what is remarked on."""

from __future__ import annotations

import numpy as np
import pytest

from lumsim.beams.lm63 import read_lm63, zonal_flux
from lumsim.errors import StudyError
from tests.beams.written_lm63 import (
    NAME,
    lambertian,
    sweep,
    written,
)


def refused(text: str) -> str:
    """What is said of a file that cannot be read."""
    with pytest.raises(StudyError) as caught:
        read_lm63(text, NAME)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "module.ies: is empty"),
        (" \n\n", "module.ies: is empty"),
        ("IESNA:LM-63-2002\n1 2 3\n", "module.ies: has no TILT line, such as TILT=NONE"),
        (lambertian(tilt=""), "line 6: TILT= must be followed by NONE, INCLUDE or the name of a file"),
        (
            lambertian(edition="LM-63-2019", tilt="x.tlt"),
            "line 6: TILT=x.tlt names a file, which LM-63-2019 has no longer",
        ),
        (
            "TILT=NONE\n1 -1 1\n",
            "line 2: the numbers end after 3; next must come the number of vertical angles",
        ),
        ("TILT=NONE", "line 1: the numbers end after 0; next must come the number of lamps"),
        (lambertian(lamps=0), "line 7: number of lamps: must be a whole number from 1 to 1 000 000, got '0'"),
        (lambertian(lumens=0), "lumens per lamp: must be a number from 1e-12 to 1e+12, or -1, got '0'"),
        (
            lambertian(lumens=-2),
            "line 7: lumens per lamp: must be a number from 1e-12 to 1e+12, or -1, got '-2'",
        ),
        (lambertian(multiplier=0), "line 7: candela multiplier: must be a number from 1e-12"),
        (lambertian(multiplier="nan"), "candela multiplier: must be a number from 1e-12 to 1e+12, got 'nan'"),
        (
            lambertian(multiplier="1e999"),
            "candela multiplier: must be a number from 1e-12 to 1e+12, got '1e999'",
        ),
        (
            lambertian(counts=(2.5, 1)),
            "number of vertical angles: must be a whole number from 1 to 10 000, got '2.5'",
        ),
        (lambertian(counts=(10, -1)), "number of horizontal angles: must be a whole number from 1"),
        (lambertian(counts=(10, "1e9")), "number of horizontal angles: must be a whole number from 1"),
        (
            lambertian(kind=4),
            "photometric type: must be a whole number from 1 to 3, for type C, B and A, got '4'",
        ),
        (lambertian(units=0), "units: must be a whole number from 1 to 2, for feet and metres, got '0'"),
        (lambertian(size=("wide", 0, 0)), "line 7: width: must be a number from -10000 to 10000, got 'wide'"),
        (lambertian(ballast=-1), "line 8: ballast factor: must be a number from 1e-12"),
        (lambertian(edition="LM-63-1995", twelfth=0), "line 8: ballast-lamp photometric factor: must be"),
        (lambertian(twelfth="x"), "line 8: number for future use: must be"),
        (lambertian(edition="LM-63-2019", twelfth="x"), "line 8: file generation type: must be"),
        (lambertian(watts=-1), "line 8: input watts: must be a number from 0 to 1e+12, got '-1'"),
        (
            lambertian(tilt="INCLUDE\n4\n1\n0\n1"),
            "line 7: lamp-to-luminaire geometry: must be a whole number from 1 to 3",
        ),
        (
            lambertian(tilt="INCLUDE\n1\n0\n0\n1"),
            "line 8: number of tilt angles: must be a whole number from 1",
        ),
        (lambertian(tilt="INCLUDE\n1\n2\n0 0\n1 1"), "line 9: tilt angles: must rise, got 0 after 0"),
        (lambertian(tilt="INCLUDE\n1\n2\n0 9\n1 -1"), "line 10: tilt factors: must be at least 0, got -1"),
        (written([0, 20, 10, 90], [0], [[1] * 4]), "line 9: vertical angles: must rise, got 10 deg after 20"),
        (written([5, 90], [0], [[1] * 2]), "vertical angles: must start at 0 or 90 deg in type C, got 5"),
        (written([0, 80], [0], [[1] * 2]), "vertical angles: must end at 90 or 180 deg in type C, got 80"),
        (written([90], [0], [[1]]), "vertical angles: must be two or more, got 90 deg alone"),
        (written([-80, 90], [0, 90], [[1] * 2] * 2, kind=2), "must start at -90 or 0 deg in type B, got -80"),
        (
            written([0, 80], [0, 90], [[1] * 2] * 2, kind=3),
            "vertical angles: must end at 90 deg in type A, got 80",
        ),
        (
            written([0, 90], [5, 90], [[1] * 2] * 2),
            "line 10: horizontal angles: must start at 0 or 90 deg in type C",
        ),
        (
            written([0, 90], [0, 50], [[1] * 2] * 2),
            "from 0 deg on must end at 0, 90, 180 or 360 deg in type C, got 50",
        ),
        (written([0, 90], [0, 50, 50], [[1] * 2] * 3), "horizontal angles: must rise, got 50 deg after 50"),
        (
            written([0, 90], [0, 100, 300], [[1] * 2] * 3),
            "end at 300 deg in type C, so the light from 300 to 360 deg is missing: they must go on to 360 deg",
        ),
        (written([0, 90], [90, 180], [[1] * 2] * 2), "from 90 deg on must end at 270 deg in type C, got 180"),
        (written([0, 90], [0], [[1] * 2], kind=2), "from 0 deg on must end at 90 deg in type B, got 0"),
        (written([0, 90], [-45, 90], [[1] * 2] * 2, kind=3), "must start at -90 or 0 deg in type A, got -45"),
        (
            written([0, 45, 90], [0, 90], [[1, 2, 3], [1, -5, -6]]),
            "line 12: candela values: must be at least 0, got -5, the first of 2",
        ),
        (written([0, 90], [0], [[0, 0]]), "line 11: all intensities are 0 cd"),
        (
            written([0, 90], [0], [[1, float("inf")]]),
            "line 11: candela values: must be numbers of at most 1e+12, got 'inf'",
        ),
        (
            lambertian().replace("100.0", "lx100"),
            "line 11: candela values: must be numbers of at most 1e+12, got 'lx100'",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_its_line(text: str, said: str) -> None:
    """A file that cannot be is refused in words that name the line, the number and what would be right."""
    assert said in refused(text)


@pytest.mark.parametrize(
    "text",
    [
        lambertian(tilt="INCLUDE"),
        lambertian(tilt="INCLUDE", lumens=3),
        lambertian(tilt="INCLUDE", lumens=1000),
        "TILT=INCLUDE\n",
    ],
)
def test_a_tilt_table_that_is_not_there_is_told_as_that(text: str) -> None:
    """Where other numbers stand in its place, the TILT line is named with what must follow it, and no more is read."""
    said = refused(text).splitlines()
    line = text[: text.index("TILT=")].count("\n") + 1
    assert (
        f"module.ies, line {line}: TILT=INCLUDE must be followed by its table: geometry, number of angles, angles and "
        "factors; where there is none write TILT=NONE"
    ) in said
    assert len(said) == 2


def test_a_fault_in_a_tilt_table_that_is_there_is_told_alone() -> None:
    """A factor below 0 says nothing of a table left out."""
    assert "TILT=" not in refused(lambertian(tilt="INCLUDE\n1\n2\n0 9\n1 -1"))


def test_too_few_intensities_are_counted() -> None:
    """A file cut short is refused with how many values were expected and how many came."""
    vertical, horizontal = sweep(90, 33), sweep(360, 37)
    text = written(vertical, horizontal, np.ones((38, 34)))
    cut = " ".join(text.split(" ")[:-12])
    assert refused(cut).endswith(
        "line 48: 1 292 candela values are expected for 34 vertical by 38 horizontal angles, 1 280 found; the row of "
        "horizontal angle 360 deg, which begins in line 48, has 22 for 34 vertical angles"
    )


def shifted(*, wrapped: bool, change: int) -> str:
    """Five planes of 13 values, of which the third, at 180 degrees, has one more or less; in lines of six, or one."""
    vertical, horizontal = sweep(90, 12), sweep(360, 4)
    planes = [["7"] * (13 + change * (row == 2)) for row in range(5)]
    text = written(vertical, horizontal, planes)
    if not wrapped:
        return text
    head, values = text.splitlines()[:10], text.splitlines()[10:]
    cut = [row.split()[k : k + 6] for row in values for k in range(0, len(row.split()), 6)]
    return "\n".join([*head, *(" ".join(line) for line in cut)])


@pytest.mark.parametrize(("wrapped", "line"), [(False, 13), (True, 17)])
@pytest.mark.parametrize(
    ("change", "what"),
    [
        (-1, "65 candela values are expected for 13 vertical by 5 horizontal angles, 64 found"),
        (1, "1 more value follows the last one that is expected, from '7'"),
    ],
)
def test_a_value_too_few_or_too_many_is_told_at_its_row(
    wrapped: bool, line: int, change: int, what: str
) -> None:
    """Where each row of values begins on a line of its own, the one that is too short or too long is named."""
    said = refused(shifted(wrapped=wrapped, change=change))
    assert said.startswith(f"{NAME}, line {line}: ")
    assert what in said
    assert said.endswith(
        f"the row of horizontal angle 180 deg, which begins in line {line}, has {13 + change} for 13 vertical angles"
    )


@pytest.mark.parametrize("change", [-1, 1])
def test_where_lines_tell_no_row_none_is_named(change: int) -> None:
    """Values that run on without regard to lines are only counted."""
    text = shifted(wrapped=False, change=change)
    head, values = text.splitlines()[:10], " ".join(text.splitlines()[10:]).split()
    cut = [" ".join(values[k : k + 7]) for k in range(0, len(values), 7)]
    said = refused("\n".join([*head, *cut]))
    assert "the row of" not in said
    assert ("64 found" if change < 0 else "1 more value follows") in said


def test_a_decimal_comma_is_hinted_at() -> None:
    """Commas part numbers: 18,308 is two, one too many, and the message says how it may have been meant."""
    text = written([0, 45, 90], [0, 90], [[20, "18,308", 1], [20, 18, 1]])
    said = refused(text)
    assert said == (
        f"{NAME}, line 11: 1 more value follows the last one that is expected, from '1.0' in line 12 on; the row of "
        "horizontal angle 0 deg, which begins in line 11, has 4 for 3 vertical angles; a comma parts two numbers: if "
        "'18,308' in line 11 is one, write it 18.308"
    )


def test_commas_that_part_numbers_as_they_should_are_read() -> None:
    """Lists with commas are as good as lists with blanks."""
    text = written([0, 45, 90], [0], [[20, 18, 1]]).replace("20.0 18.0 1.0", "20,18,1")
    assert read_lm63(text, NAME).candela.tolist() == [[20, 18, 1]]


def test_too_few_angles_are_counted() -> None:
    """A file that ends among its angles says so once, and not for what follows too."""
    text = "\n".join(lambertian().splitlines()[:9])
    assert refused(text).endswith("line 9: 1 horizontal angles are expected, 0 found")


def test_all_faults_are_told_at_once() -> None:
    """Faults in the head, in angles and in intensities are told together, in the order of their lines."""
    text = written([0, 40, 30, 90], [0], [[1, 2, 3, "four"]], lamps=0, watts="x")
    assert [line.split(": ")[:2] for line in refused(text).splitlines()] == [
        ["module.ies, line 7", "number of lamps"],
        ["module.ies, line 8", "input watts"],
        ["module.ies, line 9", "vertical angles"],
        ["module.ies, line 11", "candela values"],
    ]


def test_no_more_than_twenty_faults_are_told() -> None:
    """A file that is all wrong does not flood the screen."""
    assert len(refused(written(["x"] * 50, ["y"] * 50, [["z"] * 50] * 50)).splitlines()) == 20


def test_light_above_the_rated_lumens_is_remarked_on() -> None:
    """Light that adds up to more than the rated lumens is told, up to a hundredth above it is not."""
    flux = zonal_flux(read_lm63(lambertian(step=5), NAME))
    assert read_lm63(lambertian(step=5, lumens=flux / 1.83), NAME).remarks == (
        f"line 7: the file's light adds up to 183 % of its rated lumens: {flux:.4g} lm, rated {flux / 1.83:.4g} lm",
    )
    assert read_lm63(lambertian(step=5, lumens=flux / 1.03 / 2, lamps=2), NAME).remarks == (
        f"line 7: the file's light adds up to 103.0 % of its rated lumens: {flux:.4g} lm, rated {flux / 1.03:.4g} lm",
    )
    assert read_lm63(lambertian(step=5, lumens=flux / 1.009), NAME).remarks == ()


def test_values_just_below_zero_are_taken_as_zero() -> None:
    """What rounding leaves below 0 is 0, with a remark."""
    file = read_lm63(written([0, 45, 90], [0], [[100, 50, -1e-5]]), NAME)
    assert file.candela.tolist() == [[100, 50, 0]]
    assert file.remarks == (
        "line 11: candela values a little below 0, by rounding, are taken as 0: 1, the lowest -1e-05",
    )


def test_numbers_that_follow_the_last_one_are_refused() -> None:
    """More numbers than are expected are a fault, with their line: any of those before may be the one too many."""
    assert refused(lambertian() + "7 8\n9") == (
        f"{NAME}, line 12: 3 more values follow the last one that is expected, from '7' in line 12 on"
    )


def test_words_that_follow_the_last_number_are_remarked_on() -> None:
    """What is no number cannot be one too many."""
    assert read_lm63(lambertian() + "[END] of file", NAME).remarks == (
        "line 12: 3 more values follow the last one that is expected, from '[END]' on; not read",
    )


def test_one_direction_with_two_intensities_is_remarked_on() -> None:
    """Straight down, and 0 and 360 degrees, are one direction each; light that differs there is told."""
    vertical, horizontal = [0.0, 90.0], [0.0, 180.0, 360.0]
    assert read_lm63(written(vertical, horizontal, [[10, 4], [10, 4], [10, 4]]), NAME).remarks == ()
    assert read_lm63(written(vertical, horizontal, [[10, 4], [9, 4], [10, 3]]), NAME).remarks == (
        (
            "the intensity at vertical angle 0 deg, which is one direction, is told as values that "
            "differ by 10.0 % of the peak"
        ),
        (
            "the intensity at horizontal angles 0 and 360 deg, which is one direction, is told as values that "
            "differ by 10.0 % of the peak"
        ),
    )
