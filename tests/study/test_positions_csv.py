"""Listed modules are read from a CSV file as a person or a spreadsheet writes it; faults are told by line."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from lumsim.cabinet.places import MOST_PLACES
from lumsim.errors import Problem, StudyError
from lumsim.study.positions_csv import LARGEST_FILE, MOST_PROBLEMS, ListedModule, read_positions
from lumsim.study.reading import Study, study_from_text
from tests.study.written import SIGN

INCH = Fraction(254, 10_000)
ROWS = '[[rows]]\nmodule = "standard"\nz = "0.5 in"\npositions = "as-built.csv"\n'
LISTED = SIGN[: SIGN.index("[[rows]]")].replace("[modules", "[modules.old]\nlumens = 70.0\n\n[modules") + ROWS


def read(content: str | bytes, folder: Path) -> tuple[list[ListedModule], list[Problem]]:
    """Read a positions file of this content."""
    file = folder / "as-built.csv"
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_positions(file, "as-built.csv")


def study(content: str, folder: Path, *, text: str = LISTED) -> Study:
    """Read a study whose modules this file lists."""
    (folder / "as-built.csv").write_text(content, encoding="utf-8")
    return study_from_text(text, shown="sign.toml", folder=folder)


def study_problems(content: str, folder: Path, *, text: str = LISTED) -> list[Problem]:
    """Return the problems of a study that must be refused."""
    with pytest.raises(StudyError) as caught:
        study(content, folder, text=text)
    return caught.value.problems


@pytest.mark.parametrize(
    ("content", "x", "y"),
    [
        ("x_in,y_in\n12,4\n", 12 * INCH, 4 * INCH),
        ("x_in,y_in\n5 1/2,0.25\n", Fraction(11, 2) * INCH, INCH / 4),
        ("x_in,y_in\n½,3-1/4\n", INCH / 2, Fraction(13, 4) * INCH),
        ("x_mm,y_mm\n300,12.5\n", Fraction(3, 10), Fraction(125, 10_000)),
        ("x_m,y_m\n0.3,1\n", Fraction(3, 10), Fraction(1)),
        ("x_mm,y_m\n300,1\n", Fraction(3, 10), Fraction(1)),
        ("\ufeffX_in , Y_in\r\n 12 , 4 \r\n\r\n", 12 * INCH, 4 * INCH),
        ("y_in,x_in\n4,12\n", 12 * INCH, 4 * INCH),
    ],
)
def test_each_unit_and_notation_is_read_exactly(
    content: str, x: Fraction, y: Fraction, tmp_path: Path
) -> None:
    """Inches, decimal or as fractions, millimetres and metres are read as exact fractions of a metre."""
    (one,), problems = read(content, tmp_path)
    assert (one.x, one.y, one.z, one.lumens, one.module, problems) == (x, y, None, None, None, [])


def test_each_optional_column_is_taken_where_it_is_filled(tmp_path: Path) -> None:
    """An empty z, lumens or module leaves it to the study's group."""
    found, problems = read("x_in,y_in,z_mm,lumens,module\n1,2,12.7,55.5,old\n1,3,,,\n", tmp_path)
    assert problems == []
    assert [(one.line, one.z, one.lumens, one.module) for one in found] == [
        (2, Fraction(127, 10_000), 55.5, "old"),
        (3, None, None, None),
    ]


def test_a_study_takes_place_flux_and_kind_of_each_module_from_its_line(tmp_path: Path) -> None:
    """What a line leaves out is the group's: z 0.5 in, 90 lm of the standard module."""
    placed = study(
        "x_in,y_in,z_in,lumens,module\n12,4,1,55,old\n24,8,,,old\n36,12,,,\n", tmp_path
    ).cabinet.emitters()
    np.testing.assert_allclose(placed.x, [0.3048, 0.6096, 0.9144], rtol=1e-15)
    np.testing.assert_allclose(placed.y, [0.1016, 0.2032, 0.3048], rtol=1e-15)
    np.testing.assert_allclose(placed.z, [0.0254, 0.0127, 0.0127], rtol=1e-15)
    assert placed.flux.tolist() == [55.0, 70.0, 90.0]


LINES = [
    ("x_in,y_in\n1 in,2\n", 2, "x_in", "must be a number of in, such as 12.5 or 5 1/2, got '1 in'"),
    ("x_in,y_in\n1,2\n1,nan\n", 3, "y_in", "got 'nan'"),
    ("x_in,y_in\n1,2\n\n1,1e2\n", 4, "y_in", "got '1e2'"),
    ('x_mm,y_mm\n1,"2,5"\n', 2, "y_mm", "must be a number of mm, such as 12.5 or 5 1/2, got '2,5'"),
    ("x_in,y_in\n,2\n", 2, "x_in", "got ''"),
    ("x_in,y_in,lumens\n1,2,-3\n", 2, "lumens", "must be a number more than 0 and at most 1e+06 lm, got '-3'"),
    ("x_in,y_in,lumens\n1,2,nan\n", 2, "lumens", "got 'nan'"),
    ("x_in,y_in,lumens\n1,2,inf\n", 2, "lumens", "got 'inf'"),
    ("x_in,y_in,lumens\n1,2,abc\n", 2, "lumens", "got 'abc'"),
    ("x_in,y_in\n1,2,3\n", 2, "", "has 3 values where the header names 2 columns"),
    ("x_in,y_in\n1\n", 2, "", "has 1 values where the header names 2 columns"),
    ('x_in,y_in\n"a"b,2\n', 2, "", "is not a CSV line"),
    ('x_in,y_in\n"1,2\n', 2, "", "is not a CSV line"),
    ("x_in,y_in\n" + "1" * 200_000 + ",2\n", 2, "", "is not a CSV line"),
    ("", 1, "", "the first line must name the columns, such as x_in,y_in"),
    ("x_in,y_in\n", None, "", "lists no modules: give at least one line below the header"),
    ("x,y_in\n1,2\n", 1, "", "column 'x' needs its unit: write x_in, x_mm or x_m"),
    ("x_in,y_in,lumen\n1,2,3\n", 1, "", "unknown column 'lumen'; did you mean lumens? Known: x_in, "),
    ("x_in,y_in,colour\n1,2,3\n", 1, "", "unknown column 'colour'; known: x_in, "),
    ("x_in\n1\n", 1, "", "has no y column: write y_in, y_mm or y_m"),
    ("x_in,y_in,y_in\n1,2,3\n", 1, "", "column 'y_in' stands there twice"),
    ("x_in,y_in,y_mm\n1,2,3\n", 1, "", "has more than one y column: keep one unit"),
    ("x_in;y_in\n1;2\n", 1, "", "columns are parted by commas, not semicolons"),
    (b"x_in,y_in\n1,\xff\n", 2, "", "is not text in UTF-8: save it as UTF-8"),
    (b"x_in,y_in\n1,2\x00\n", 2, "y_in", "must be a number of in"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "line", "key", "said"), LINES, ids=[f"{str(one[0])[:20]!r} {one[3][:20]}" for one in LINES]
)
def test_a_fault_is_told_by_line_and_column(
    content: str | bytes, line: int | None, key: str, said: str, tmp_path: Path
) -> None:
    """A fault is the only problem told, with its line counted from the header's 1, and its value."""
    _, (one,) = read(content, tmp_path)
    assert (one.where, one.line, one.key) == ("as-built.csv", line, key)
    assert said in one.text


def test_every_wrong_line_is_told_up_to_a_bearable_number(tmp_path: Path) -> None:
    """Fifty wrong lines tell twenty of them, and that there are more."""
    _, problems = read("x_in,y_in\n" + "a,2\n" * 50, tmp_path)
    assert [one.line for one in problems] == [*range(2, MOST_PROBLEMS + 2), MOST_PROBLEMS + 2]
    assert "more than 20 problems" in problems[-1].text


def test_too_many_lines_are_refused_before_they_are_read(tmp_path: Path) -> None:
    """More modules than a cabinet may hold, or a file without end, are refused by their number."""
    _, (one,) = read("x_in,y_in\n" + "1,2\n" * (MOST_PLACES + 1), tmp_path)
    assert one.text == "lists more than 100000 modules: at most 100000 are taken"
    _, (one,) = read("x" * (LARGEST_FILE + 1), tmp_path)
    assert one.text == "is larger than 20 MB"


@pytest.mark.parametrize("name", ["none.csv", "", "a\\u0000b"])
def test_a_file_that_cannot_be_opened_is_told_by_its_name(name: str, tmp_path: Path) -> None:
    """A missing file, a folder and a name that no file can have are refused in words."""
    (one,) = study_problems("", tmp_path, text=LISTED.replace("as-built.csv", name))
    assert one.text.startswith("cannot be read: ")


@pytest.mark.parametrize(
    ("line", "key", "said"),
    [
        ("49,4,0,old", "x", "49 in is outside the cabinet, which goes from 0 to 48 in"),
        ("-1,4,0,old", "x", "-1 in is outside the cabinet, which goes from 0 to 48 in"),
        ("4,24.001,0,old", "y", "24 in (609.625 mm) is outside the cabinet, which goes from 0 to 24 in"),
        ("4,4,6,old", "z", "6 in must be from 0 to 1 mm less than the depth, 6 in"),
        ("4,4,-1,old", "z", "-1 in must be from 0 to 1 mm less than the depth, 6 in"),
        ("4,4,0,odl", "module", "there is no [modules.odl]; did you mean old? Known: old, standard"),
    ],
)
def test_a_module_that_does_not_fit_is_told_at_its_line(
    line: str, key: str, said: str, tmp_path: Path
) -> None:
    """A module outside the cabinet, through the face or of no known kind is told by its own line."""
    (one,) = study_problems(f"x_in,y_in,z_in,module\n4,4,0,old\n{line}\n", tmp_path)
    assert (one.where, one.line, one.key, one.text) == (str(tmp_path / "as-built.csv"), 3, key, said)


def test_positions_and_a_rule_for_the_rows_exclude_each_other(tmp_path: Path) -> None:
    """Each key that lays rows beside listed modules is told."""
    text = f'{LISTED}pitch = "3 in"\nmodule_count = 3\n'
    assert [one.key for one in study_problems("x_in,y_in\n1,2\n", tmp_path, text=text)] == [
        "rows.1.pitch",
        "rows.1.module_count",
    ]


def test_with_several_kinds_a_line_must_name_its_own(tmp_path: Path) -> None:
    """Where neither the group nor the line says which kind, the choices are told."""
    text = LISTED.replace('module = "standard"\n', "")
    (one,) = study_problems("x_in,y_in,module\n1,2,old\n3,4,\n", tmp_path, text=text)
    assert (one.line, one.text) == (3, "there are several kinds: name one of old, standard")
