"""A study is read whole: each fault is told with its file, line, key, value and what would be right."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from lumsim.cabinet.rows import Rows
from lumsim.errors import Problem, StudyError
from lumsim.study.answering import answer
from lumsim.study.reading import LARGEST_FILE, MOST_PROBLEMS, read_study, study_from_text
from tests.study.written import SIGN, changed, line_of, problem, problems


def told(text: str, at: str, key: str) -> str:
    """Return what is said of a study with one fault, once file, line and key are right."""
    one = problem(text)
    assert (one.where, one.line, one.key) == ("sign.toml", line_of(text, at), key)
    return one.text


def test_a_study_without_fault_is_the_cabinet_it_describes() -> None:
    """Sizes, rows and limits are what the file says, in metres (1 in is 0.0254 m)."""
    study = study_from_text(SIGN, shown="sign.toml")
    box = study.cabinet.box
    assert (box.width, box.height, box.depth) == (1.2192, 0.6096, 0.1524)
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    inch = Fraction(254, 10_000)
    assert group.rows.positions == (4 * inch, 12 * inch, 20 * inch)
    assert group.modules.positions == tuple((2 + 4 * i) * inch for i in range(12))
    assert study.requirement.limits == {"stripe_max_to_min": 1.2}
    assert (study.title, study.units, study.source) == ("Sign", "in", "sign.toml")


def test_defaults_that_bear_on_the_result_are_listed() -> None:
    """A key that is left out and bears on the light is listed with what it is then; a key that is given is not."""
    defaults = dict(study_from_text(SIGN).defaults)
    assert defaults == {
        "interior.return_reflectance": "0.85",
        "modules.standard.beam": "lambertian",
        "rows.direction": "horizontal",
    }
    bare = changed(('visible_border = "1 in"\n', ""), ('z = "0.5 in"\n', ""), ('module_pitch = "4 in"\n', ""))
    assert dict(study_from_text(bare).defaults) == {
        **defaults,
        "face.visible_border": "0 in",
        "rows.z": "0 in",
        "rows.module_pitch": "4 in",
    }


LENGTHS = [
    ("48", 'got the bare number 48: write "48 in" or "48 mm"'),
    ("48.5", 'got the bare number 48.5: write "48.5 in" or "48.5 mm"'),
    ('"48"', 'a length needs its unit: write "48 in" or "48 mm", got 48'),
    ('"48,5 in"', 'decimals follow a point, not a comma, and thousands are not set apart: write "48.5 in"'),
    ('"-4 in"', "must be more than 0, got -4 in"),
    ('"0 in"', "must be more than 0, got 0 in"),
    ('"101 m"', "must be at most 100 m, got 101 m"),
    ('"4 furlongs"', "the unit of a length is in, ft, m, cm or mm, not furlongs"),
    ("nan", 'must be a length in quotes such as "12 in" or "300 mm", got nan'),
    ("inf", 'must be a length in quotes such as "12 in" or "300 mm", got inf'),
    ("1e300", 'must be a length in quotes such as "12 in" or "300 mm", got 1e+300'),
    ("9" * 400, 'must be a length in quotes such as "12 in" or "300 mm", got 999'),
    ("true", 'must be a length in quotes such as "12 in" or "300 mm", got True'),
    ('["48 in"]', 'must be a length in quotes such as "12 in" or "300 mm", got [\'48 in\']'),
    ("1979-05-27", 'must be a length in quotes such as "12 in" or "300 mm"'),
]


@pytest.mark.parametrize(("value", "said"), LENGTHS, ids=[value[:12] for value, _ in LENGTHS])
def test_a_length_that_is_none_is_refused_with_the_right_form(value: str, said: str) -> None:
    """Whatever stands where a length should, the line, the value and a length that would be right are told."""
    text = changed(('width = "48 in"', f"width = {value}"))
    assert said in told(text, "width", "cabinet.width")


NUMBERS = [
    ("nan", "got nan lm"),
    ("inf", "got inf lm"),
    ("-inf", "got -inf lm"),
    ("-1", "got -1 lm"),
    ("0", "got 0 lm"),
    ("1e7", "got 1e+07 lm"),
    ("9" * 400, "got a larger one lm"),
    ('"90"', "must be a number without quotes"),
    ("true", "must be a number"),
    ("[]", "must be a number"),
    ("{}", "must be a number"),
]


@pytest.mark.parametrize(("value", "said"), NUMBERS, ids=[value[:12] for value, _ in NUMBERS])
def test_lumens_that_cannot_be_are_refused_with_their_limits(value: str, said: str) -> None:
    """NaN, infinity, 0, negative and absurd numbers and what is no number are refused with what would be right."""
    message = told(changed(("90.0", value)), "lumens", "modules.standard.lumens")
    assert "more than 0 and at most 1e+06 lm" in message
    assert said in message


FORM_FAULTS = [
    ("width =", "widht =", "widht", "cabinet.widht", "is no known key; did you mean width?"),
    ("back_ref", "bakc_ref", "bakc_ref", "interior.bakc_reflectance", "did you mean back_reflectance?"),
    ("[interior]", "[interoir]", "[interoir]", "interoir", "is no known key; did you mean interior?"),
    ("[face]", "[fcae]", "[fcae]", "fcae", "is no known key; did you mean face?"),
    ("[[rows]]", "[[row]]", "[[row]]", "row", "is no known key; did you mean rows?"),
    ("[modules.", "[module.", "[module.", "module", "is no known key; did you mean modules?"),
    ("depth =", 'glow = 3\ndepth =', "glow", "cabinet.glow", "known here are width, height, depth, faces"),
    ('width = "48 in"\n', "", "[cabinet]", "cabinet.width", 'is needed, such as "84 in"'),
    ("lumens = 90.0\n", "", "[modules.", "modules.standard.lumens", "is needed, such as 90"),
    ("transmittance = 0.40\n", "", "[face]", "face.transmittance", "is needed, such as 0.40"),
    ("[[rows]]", "[rows]", "[rows]", "rows", "write [[rows]] with two brackets"),
    ("[modules.standard]", "[modules]", "lumens", "modules.lumens", "must be a table, written [modules.lumens]"),
    ('pitch = "8 in"', "at = []", "at =", "rows.1.at", "is empty: give at least one"),
    ('pitch = "8 in"', 'at = "3 in"', "at =", "rows.1.at", 'must be a list such as ["6 in", "18 1/2 in"]'),
    ('pitch = "8 in"', 'at = ["3 in",\n  9]', "  9]", "rows.1.at.2", "got the bare number 9"),
    ('pitch = "8 in"', "count = 0", "count", "rows.1.count", "must be from 1 to 100000, got 0"),
    ('pitch = "8 in"', "count = -2", "count", "rows.1.count", "must be from 1 to 100000, got -2"),
    ('pitch = "8 in"', "count = 2.0", "count", "rows.1.count", "must be a whole number from 1 to 100000, got 2.0"),
    ('pitch = "8 in"', "count = 1000000", "count", "rows.1.count", "must be from 1 to 100000, got 1000000"),
    ('module = "standard"', "module = 3", "module = 3", "rows.1.module", "must be text in quotes, got 3"),
    ("pitch =", 'on = "left return"\npitch =', "on =", "rows.1.on", 'must be "back", or "plane" in a double-sided'),
    ("pitch =", 'on = "plane"\npitch =', "on =", "rows.1.on", 'no plane between faces: write on = "back", or '),
    ("pitch =", 'front_share = 0.5\npitch =', "front_share", "rows.1.front_share", "shine forward only: leave it out"),
    ("pitch =", 'front_share = 1.5\npitch =', "front_share", "rows.1.front_share", "must be 0 or more and at most 1"),
    ("[modules", "[face.rear]\nreflectance = 0.5\n[modules", "[face.rear]", "face.rear", "has no rear face: leave [fa"),
    ("pitch =", 'direction = "horizontl"\npitch =', "direction", "rows.1.direction", 'did you mean "horizontal"?'),
    ("depth =", "faces = 3\ndepth =", "faces", "cabinet.faces", "must be 1 (a back and one face) or 2 (double-sided: "),
    ("depth =", "faces = 0\ndepth =", "faces", "cabinet.faces", "light leaves both ways), got 0"),
    ("depth =", "faces = true\ndepth =", "faces", "cabinet.faces", "light leaves both ways), got True"),
    ("depth =", "faces = 2.0\ndepth =", "faces", "cabinet.faces", "light leaves both ways), got 2.0"),
    ("depth =", 'faces = "2"\ndepth =', "faces", "cabinet.faces", "light leaves both ways), got '2'"),
    ("depth =", 'face = 2\ndepth =', "face", "cabinet.face", "is no known key; did you mean faces?"),
    ('"in"', '"inch"', "units", "units", 'must be "in" or "mm", got \'inch\'; did you mean "in"?'),
    ('"Sign"', "5", "title", "title", "must be text in quotes, got 5"),
    ("1.2", "0.9", "stripe", "requirement.stripe_max_to_min", "must be 1 or more and at most 1e+06, got 0.9"),
    ("1.2", "nan", "stripe", "requirement.stripe_max_to_min", "must be 1 or more and at most 1e+06, got nan"),
    ("0.85", "1.5", "back_", "interior.back_reflectance", "must be 0 or more and at most 1, got 1.5"),
    ("0.85", "nan", "back_", "interior.back_reflectance", "must be 0 or more and at most 1, got nan"),
    ('z = "0.5 in"', 'z = "-1 in"', "z =", "rows.1.z", "must be 0 or more, got -1 in"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "at", "key", "said"), FORM_FAULTS, ids=[f"{one[3]} {one[4][:20]}" for one in FORM_FAULTS]
)
def test_a_fault_of_form_is_told_at_its_line_with_what_would_be_right(
    old: str, new: str, at: str, key: str, said: str
) -> None:
    """A misspelt, missing or impossible key is the only problem told, at its own line, and how to mend it."""
    assert said in told(changed((old, new)), at, key)


@pytest.mark.parametrize(
    ("part", "key", "said"),
    [
        (("[cabinet]", "[interior]"), "cabinet", "write a table [cabinet] with width, height and depth"),
        (("[face]", "[modules"), "face", "write a table [face] with transmittance and reflectance"),
        (("[modules", "[[rows]]"), "modules", "write a table such as [modules.standard] with lumens"),
        (("[[rows]]", "[requirement]"), "rows", "write at least one [[rows]] with a pitch"),
    ],
)
def test_a_missing_table_is_told_with_what_it_holds(part: tuple[str, str], key: str, said: str) -> None:
    """A table that is needed and missing is told by name, without a line, for it has none."""
    start, end = (SIGN.index(one) for one in part)
    one = problem(SIGN[:start] + SIGN[end:])
    assert (one.line, one.key) == (None, key)
    assert said in one.text


FITS = [
    ('pitch = "8 in"', 'pitch = "8 in"\nedge_distance = "3 in"', "edge_d", "rows.1.edge_distance",
     "leaves 18 in of 24 in, which rows 8 in on centre do not divide: give a count of 3 or 4 instead of the pitch"),
    ('pitch = "8 in"', 'pitch = "8 in"\nedge_distance = "3 in"\ncount = 3', "edge_d", "rows.1.edge_distance",
     "row pitch, count and edge distance together say too much"),
    ('pitch = "8 in"', 'pitch = "8 in"\ncount = 5', "count", "rows.1.count",
     "5 rows 8 in on centre take 32 in, more than the 24 in there is"),
    ('pitch = "8 in"', 'count = 3\nedge_distance = "13 in"', "edge_d", "rows.1.edge_distance",
     "must be from 0 to half of the 24 in there is, got 13 in"),
    ('pitch = "8 in"', 'edge_distance = "3 in"', "[[rows]]", "rows.1", "says nothing of how far apart the rows are"),
    ('pitch = "8 in"\n', "", "[[rows]]", "rows.1", 'give pitch = "9 in", or count with edge_distance'),
    ('pitch = "8 in"', 'at = ["3 in", "40 in"]', "at =", "rows.1.at",
     "a row at 40 in is outside the cabinet, which ends at 24 in"),
    ('pitch = "8 in"', 'at = ["3 in", "3 in"]', "at =", "rows.1.at", "two rows at 3 in"),
    ('pitch = "8 in"', 'at = ["3 in"]\npitch = "8 in"', "pitch", "rows.1.pitch", "the rows are listed by at"),
    ('"4 in"', '"4 in"\nmodule_count = 9\nmodule_edge_distance = "2 in"', "module_e", "rows.1.module_edge_distance",
     "module pitch, count and edge distance together say too much"),
    ('"4 in"', '"0.000001 mm"', "module_p", "rows.1.module_pitch", "1219200000 modules in 48 in: at most 100000"),
    ('"4 in"', '"0.01 mm"', "module_p", "rows.1.module_pitch", "121920 modules in 48 in: at most 100000"),
    ('"4 in"', '"0.03 mm"', "module_p", "rows.1.module_pitch", "3 rows of 40640 modules are 121920 modules"),
    ('module = "standard"', 'module = "standrd"', "module = ", "rows.1.module",
     "there is no [modules.standrd]; did you mean standard? Known: standard"),
    ('module = "standard"', 'module = "xyz"', "module = ", "rows.1.module",
     "there is no [modules.xyz]; known: standard"),
    ("reflectance = 0.40", "reflectance = 0.7", "reflectance = 0.7", "face.reflectance",
     "with transmittance 0.4 it must be at most 0.6, got 0.7"),
    ('"1 in"', '"12 in"', "visible", "face.visible_border",
     "12 in on every side hides the whole face: it must be less than 12 in"),
    ('"0.5 in"', '"6 in"', "z =", "rows.1.z", "depth 6 in less z 6 in leaves a throw of 0 in: at least 1 mm"),
    ('"0.5 in"', '"7 in"', "z =", "rows.1.z", "leaves a throw of -1 in"),
    ('"0.5 in"', '"151.5 mm"', "z =", "rows.1.z", "less z 5 15/16 in (151.5 mm) leaves a throw of 1/16 in (0.9 mm)"),
    ("90.0", '90.0\nbeam = { shape = "cosine-power" }', "beam", "modules.standard.beam",
     "takes either exponent or half_intensity_angle; neither is given"),
    ("90.0", '90.0\nbeam = { shape = "cosine-power", exponent = 2, half_intensity_angle = "120 deg" }',
     "beam", "modules.standard.beam", "both are given"),
    ("90.0", '90.0\nbeam = { shape = "cosine-power", half_intensity_angle = "1 deg" }', "beam",
     "modules.standard.beam.half_intensity_angle", "1 deg is narrower than lumsim takes"),
    ("90.0", '90.0\nbeam = { shape = "lambertian", exponent = 2 }', "beam", "modules.standard.beam.exponent",
     'write shape = "cosine-power"'),
    ("90.0", '90.0\nbeam = { shape = "lambertain" }', "beam", "modules.standard.beam.shape",
     'did you mean "lambertian"?'),
]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "at", "key", "said"), FITS, ids=[f"{one[3]} {one[4][:20]}" for one in FITS]
)
def test_what_does_not_fit_together_is_told_with_the_numbers(
    old: str, new: str, at: str, key: str, said: str
) -> None:
    """A layout, beam or face that cannot be is the only problem told, with the lengths that clash."""
    assert said in told(changed((old, new)), at, key)


def test_a_million_modules_are_refused_by_their_number() -> None:
    """Groups that each fit and together hold more than 100 000 modules are refused; 36 + 2 · 60 960 = 121 956."""
    group = '\n[[rows]]\nat = ["12 in"]\nmodule_pitch = "0.02 mm"\n'
    (one,) = problems(SIGN + group * 2)
    assert one.key == "rows"
    assert one.text == "121956 modules altogether: at most 100000 are taken"


def test_a_cabinet_of_three_millimetres_is_lit_like_any_other() -> None:
    """A cabinet of 3 × 3 mm, 1 mm deep, holds one module 1 mm below the face, and is answered."""
    text = changed(('"48 in"', '"3 mm"'), ('"24 in"', '"3 mm"'), ('"6 in"', '"1 mm"'),
                   ('z = "0.5 in"\n', ""), ('visible_border = "1 in"\n', ""))  # fmt: skip
    lit = answer(study_from_text(text), direct_only=True)
    # One Lambertian module: E falls from its foot to the corner by cos⁴θ, tan²θ = 2 · 1.5² (cosine law).
    assert lit.evenness.max_to_min == pytest.approx((1 + 2 * 1.5**2) ** 2, rel=1e-6)


def test_an_obstruction_that_sticks_out_is_told_with_its_end() -> None:
    """An obstruction from 40 in, 10 in wide, in a cabinet 48 in wide ends at 50 in, outside."""
    box = 'x = "40 in"\ny = "0 in"\nz = "0 in"\nwidth = "10 in"\nheight = "1 in"\ndepth = "1 in"\n'
    text = f"{SIGN}[[obstruction]]\n{box}"
    message = told(text, 'width = "10 in"', "obstruction.1.width")
    assert message == "from x 40 in it would end at 50 in, outside the cabinet's 48 in"


def test_an_inch_mark_inside_a_text_is_told_at_its_line() -> None:
    """A bare inch mark breaks the TOML text, and the message shows the length as it should be written."""
    text = changed(('"48 in"', '"48""'))
    one = problem(text)
    assert one.line == line_of(text, "width")
    assert 'write "48 in"' in one.text


def test_a_text_that_is_no_toml_is_one_problem_with_its_line() -> None:
    """Where TOML is broken nothing else can be told, but the line can."""
    text = changed(("[interior]", "[interior"))
    one = problem(text)
    assert one.line == line_of(text, "[interior")
    assert "write [interior]" in one.text


@pytest.mark.parametrize("text", ["", " \n\n", "# nothing but a comment\n"])
def test_an_empty_study_is_told_how_to_begin(text: str) -> None:
    """An empty file is refused as empty, and not as one that lacks every key."""
    assert "is empty: `lumsim new FILE` writes a study to start from" in problem(text).text


def test_every_problem_of_a_file_is_told_at_once_and_in_the_order_of_its_lines() -> None:
    """Faults of form and of fit stand side by side, sorted by line, and none is told that another only causes."""
    text = """\
units = "inches"
[cabinet]
width = 48
height = "24,5 in"
depth = "6 in"
faces = 3
[interior]
back_reflectance = 1.5
[face]
transmittance = 0.7
reflectance = 0.7
[modules.standard]
lumens = -3
beam = { shape = "cosine-power" }
[[rows]]
module = "standrd"
pitch = "8"
[[rows]]
z = "1 in"
[requirement]
max_to_min = 0.5
"""
    assert [(one.line, one.key) for one in problems(text)] == [
        (1, "units"),
        (3, "cabinet.width"),
        (4, "cabinet.height"),
        (6, "cabinet.faces"),
        (8, "interior.back_reflectance"),
        (11, "face.reflectance"),
        (13, "modules.standard.lumens"),
        (14, "modules.standard.beam"),
        (16, "rows.1.module"),
        (17, "rows.1.pitch"),
        (18, "rows.2"),
        (21, "requirement.max_to_min"),
    ]


@pytest.mark.parametrize(
    ("changes", "keys"),
    [
        ([('pitch = "8 in"', "pitch = 8")], ["rows.1.pitch"]),
        ([("pitch =", "pich =")], ["rows.1.pich"]),
        ([("[modules.standard]", "[module.standard]")], ["module"]),
        ([("[modules.standard]", '[modules.standard]\nbeam = { shpe = "x", exponent = 2 }')],
         ["modules.standard.beam.shpe"]),
        ([('"24 in"', '"24"'), ('pitch = "8 in"', 'pitch = "8 in"\nedge_distance = "3 in"')], ["cabinet.height"]),
        ([('"6 in"', "6"), ('"0.5 in"', '"9 in"')], ["cabinet.depth"]),
        ([("[[rows]]", '[modules.other]\nlumens = 3\n[[rows]]'), ("module =", "modle =")], ["rows.1.modle"]),
        ([('pitch = "8 in"', 'pitch = "8 in"\ndirection = "h"\nedge_distance = "8 in"')], ["rows.1.direction"]),
        ([('"8 in"', "8"), ('"standard"\nz', '"standrd"\nz'), ('"1 in"', '"13 in"')],
         ["face.visible_border", "rows.1.module", "rows.1.pitch"]),
    ],
)  # fmt: skip
def test_no_consequence_of_another_fault_is_told(changes: list[tuple[str, str]], keys: list[str]) -> None:
    """A pitch that is badly written does not "say nothing", and an unknown size hides nothing and fits nothing."""
    assert [one.key for one in problems(changed(*changes))] == keys


def test_a_throng_of_problems_is_cut_off_with_their_number() -> None:
    """A file with 5000 unknown keys tells the first hundred and how many more there are, and is soon done."""
    found = problems(SIGN + "".join(f"glow_{i} = {i}\n" for i in range(5000)))
    assert len(found) == MOST_PROBLEMS + 1
    assert f"{5000 - MOST_PROBLEMS} more problems" in found[-1].text


@pytest.mark.parametrize("text", [f'title = "{"x" * 50_000}', f"a = 1 {'b' * 50_000}\x07\r", '"a\\nb" = 1\n'])
def test_what_a_message_quotes_is_on_one_line_and_of_bearable_length(text: str) -> None:
    """However long or odd the quoted part is, a message stays one printable line of at most some 500 characters."""
    for one in problems(text):
        assert len(str(one)) < 900
        assert str(one).isprintable()


def test_a_problem_reads_as_one_sentence_with_its_place() -> None:
    """What is printed of a problem is file, line, key and text, in this order."""
    assert str(problem(changed(('"48 in"', '"-4 in"')))) == (
        "sign.toml, line 5: cabinet.width: must be more than 0, got -4 in"
    )


# --- files ---------------------------------------------------------------------------------------------------


def file_problem(path: Path | str) -> Problem:
    """Return the one problem of a file that must be refused."""
    with pytest.raises(StudyError) as caught:
        read_study(path)
    (one,) = caught.value.problems
    assert one.where == str(path)
    return one


@pytest.mark.parametrize("dressed", [
    lambda text: text.encode(),
    lambda text: b"\xef\xbb\xbf" + text.encode(),
    lambda text: text.replace("\n", "\r\n").encode(),
], ids=["plain", "byte order mark", "carriage returns"])  # fmt: skip
def test_a_file_is_read_whatever_editor_saved_it(dressed: object, tmp_path: Path) -> None:
    """A byte order mark and carriage returns change neither the study nor the lines of its problems."""
    assert callable(dressed)
    file = tmp_path / "sign.toml"
    file.write_bytes(dressed(SIGN))
    assert read_study(file).cabinet == study_from_text(SIGN).cabinet
    wrong = changed(("lumens = 90.0", "lumens = -1"))
    file.write_bytes(dressed(wrong))
    assert file_problem(file).line == line_of(wrong, "lumens")


def test_a_file_that_is_not_utf_8_is_told_the_line(tmp_path: Path) -> None:
    """The first byte that is no UTF-8 is found on its line."""
    file = tmp_path / "sign.toml"
    file.write_bytes(changed(('"Sign"', '"Café"')).encode("latin-1"))
    assert (file_problem(file).line, "save it as UTF-8" in file_problem(file).text) == (1, True)


@pytest.mark.parametrize("name", ["", "none.toml", "a\0b.toml", "x" * 5000])
def test_what_cannot_be_opened_is_told_by_its_name(name: str, tmp_path: Path) -> None:
    """A folder, a missing file and a name that no file can have are refused, each in words."""
    one = file_problem(tmp_path / name)
    assert one.line is None
    assert one.text.startswith("cannot be read: ")


def test_a_file_of_endless_size_is_not_read(tmp_path: Path) -> None:
    """A file larger than 4 MB is no study and is refused by its size."""
    file = tmp_path / "sign.toml"
    file.write_bytes(b"#" * (LARGEST_FILE + 1))
    assert file_problem(file).text == "is larger than 4 MB"


def test_a_title_left_out_is_the_name_of_the_file(tmp_path: Path) -> None:
    """A study without a title is called as its file is, without the ending."""
    file = tmp_path / "corner shop.toml"
    file.write_text(changed(('title = "Sign"\n', "")), encoding="utf-8")
    assert read_study(file).title == "corner shop"


@pytest.mark.parametrize("text", ["a = " + "[" * 5000, "a = " + "9" * 5000])
def test_depths_and_digits_that_python_cannot_read_are_refused_in_words(text: str) -> None:
    """Lists nested thousands deep and whole numbers of thousands of digits are refused, not a traceback."""
    assert problem(text).text
