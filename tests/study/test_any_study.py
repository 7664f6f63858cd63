"""Whatever a file holds, it is a study or a list of problems; a valid one is exactly the cabinet it describes."""

from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import assume, given, seed
from hypothesis import strategies as st
from pydantic import BaseModel

from lumsim.cabinet.rows import Rows
from lumsim.errors import StudyError
from lumsim.study.form import (
    AgeingForm,
    BeamForm,
    CabinetForm,
    FaceForm,
    InteriorForm,
    ModuleForm,
    ObstructionForm,
    RearFaceForm,
    RequirementForm,
    RowsForm,
)
from lumsim.study.reading import Study, study_from_text
from tests.study.written import SIGN

GOOD = [
    '"48 in"', '"2 ft"', '"600 mm"', '"6 in"', '"1/2 in"', '"0 in"', "0.4", "0.9", "1", "2", "90.0", "1.5",
    '"back"', '"plane"', '"standard"', '"horizontal"', '"vertical"', '"lambertian"', '"cosine-power"', '"120 deg"',
    '["3 in"]',
    '{ shape = "lambertian" }', '{ shape = "cosine-power", exponent = 2 }',
]  # fmt: skip
BAD = [
    "nan", "inf", "-inf", "-1", "0", "1e400", "9" * 400, "true", "[]", "{}", "[[1, [2]]]", '""', '"48"', '"-4 in"',
    '"1e3 m"', '"12,5 in"', '"1/0 in"', '"101 m"', '"0.00000001 mm"', "1979-05-27", "07:32:00", "'\\'", '"\\u0000"',
    '"left return"', '["3 in", 4, "900 in"]', "{ shape = 3, glow = [1] }", '{ exponent = "x" }', "100001", "1.0",
]  # fmt: skip
TABLES: dict[str, type[BaseModel]] = {
    "[cabinet]": CabinetForm, "[interior]": InteriorForm, "[face]": FaceForm, "[face.rear]": RearFaceForm,
    "[modules.standard]": ModuleForm,
    '[modules."a [b]"]': ModuleForm, "[modules.standard.beam]": BeamForm, "[[rows]]": RowsForm,
    "[requirement]": RequirementForm, "[[obstruction]]": ObstructionForm,
    "[ageing]": AgeingForm,
}  # fmt: skip
VALUES = st.sampled_from(GOOD) | st.sampled_from(BAD)


def outcome(text: str, changes: list[str] | None = None) -> Study | StudyError:
    """Read a text; what is no study must be refused with problems that lie inside the text."""
    try:
        return study_from_text(text, shown="any.toml", changes=changes or [])
    except StudyError as error:
        found = error
    assert found.problems
    last = text.count("\n") + 1
    for one in found.problems:
        assert one.text
        assert one.line is None or 1 <= one.line <= last, one
        assert one.where in {"any.toml", "--set"}
    return found


@st.composite
def documents(draw: st.DrawFn) -> str:
    """Tables of the form, some twice or missing, with keys of the form and a few others, and any values."""
    lines = [
        f"{key} = {draw(VALUES)}" for key in draw(st.sets(st.sampled_from(["title", "units", "rows", "x"])))
    ]
    for header in draw(st.lists(st.sampled_from(list(TABLES)), max_size=12)):
        if not header.startswith("[[") and header in lines:
            continue
        lines.append(header)
        known = [*TABLES[header].model_fields, "glow", "pich"]
        keys = draw(st.sets(st.sampled_from(known), max_size=len(known)))
        lines += [f"{key} = {draw(VALUES)}" for key in sorted(keys - {"positions"})]
    return "\n".join(lines) + "\n"


@seed(50)
@given(documents())
def test_a_random_document_of_the_forms_keys_is_a_study_or_a_list_of_problems(text: str) -> None:
    """Whatever values the form's own keys get, nothing but a study or its problems comes back."""
    outcome(text)


@seed(51)
@given(st.data())
def test_a_study_with_some_values_spoilt_is_a_study_or_a_list_of_problems(data: st.DataObject) -> None:
    """A study that was good until some of its values were replaced is refused, if at all, in words."""
    lines = SIGN.splitlines()
    places = [number for number, line in enumerate(lines) if " = " in line]
    for number in data.draw(st.lists(st.sampled_from(places), min_size=1, max_size=4)):
        lines[number] = f"{lines[number].partition(' = ')[0]} = {data.draw(VALUES)}"
    found = outcome("\n".join(lines))
    if isinstance(found, Study):
        assert len(found.cabinet.emitters()) > 0


@seed(52)
@given(
    st.text(max_size=60),
    st.sampled_from(["", SIGN, '[cabinet]\nwidth = "']),
    st.text("[]{}=.,#\"'\n 1a", max_size=20),
)
def test_any_text_is_a_study_or_a_list_of_problems(text: str, before: str, after: str) -> None:
    """No text at all makes reading fail in any other way than by telling what is wrong."""
    outcome(before + text + after)


@seed(53)
@given(
    st.lists(st.sampled_from(["cabinet", "rows", "1", "2", "at", "pitch", "depth", "beam", "modules", "glow", '"a.b"']),
             min_size=1, max_size=4),
    VALUES | st.text(max_size=20),
)  # fmt: skip
def test_any_change_is_a_study_or_a_list_of_problems(parts: list[str], value: str) -> None:
    """Whatever is set to whatever value, nothing but a study or its problems comes back."""
    outcome(SIGN, [f"{'.'.join(parts)}={value}"])


# --- valid studies -------------------------------------------------------------------------------------------

INCH = Fraction(254, 10_000)
SIXTEENTHS = st.integers(16, 16 * 120)


def length(sixteenths: int, *, millimetres: bool) -> tuple[str, Fraction]:
    """Write a length in inches with a fraction, or in millimetres, and return it in metres too."""
    if millimetres:
        return f"{sixteenths}.5 mm", Fraction(2 * sixteenths + 1, 2000)
    whole, rest = divmod(sixteenths, 16)
    text = f"{whole} {rest}/16 in" if rest else f"{whole} in"
    return text, Fraction(sixteenths, 16) * INCH


def by_pitch(extent: Fraction, pitch: Fraction) -> list[Fraction]:
    """Lay the whole number of places nearest to extent/pitch, a half going up, centred. [m]"""
    count = max(1, math.floor(extent / pitch + Fraction(1, 2)))
    return [extent / 2 + (i - Fraction(count - 1, 2)) * pitch for i in range(count)]


@seed(54)
@given(st.data())
def test_a_valid_study_is_the_cabinet_that_its_numbers_say(data: st.DataObject) -> None:
    """Sizes and the place of each row and module are exactly those of the rule, counted here anew in fractions."""
    millimetres = data.draw(st.booleans())
    horizontal = data.draw(st.booleans())
    (w, width), (h, height), (p, pitch), (q, module_pitch) = (
        length(data.draw(SIXTEENTHS), millimetres=millimetres) for _ in range(4)
    )
    count = data.draw(st.integers(1, 9))
    across, along = (height, width) if horizontal else (width, height)
    assume(across / pitch < 100 and along / module_pitch < 100)
    rule = data.draw(st.sampled_from(["pitch", "count", "pitch and count", "count and edge", "at"]))
    if rule == "pitch":
        laid, rows = f'pitch = "{p}"', by_pitch(across, pitch)
    elif rule == "count":
        laid, rows = f"count = {count}", [across * (2 * i + 1) / (2 * count) for i in range(count)]
    elif rule == "pitch and count":
        assume((count - 1) * pitch <= across)
        laid = f'pitch = "{p}"\ncount = {count}'
        rows = [across / 2 + (i - Fraction(count - 1, 2)) * pitch for i in range(count)]
    elif rule == "count and edge":
        assume(2 * pitch < across)
        laid = f'count = {count + 1}\nedge_distance = "{p}"'
        rows = [pitch + (across - 2 * pitch) * i / count for i in range(count + 1)]
    else:
        assume(pitch <= across)
        laid, rows = f'at = ["{p}"]', [pitch]
    text = f"""\
[cabinet]
width = "{w}"
height = "{h}"
depth = "6 in"
[face]
transmittance = 0.4
reflectance = 0.4
[modules.standard]
lumens = 90
[[rows]]
{laid}
direction = "{"horizontal" if horizontal else "vertical"}"
module_pitch = "{q}"
"""
    study = study_from_text(text)
    assert (study.cabinet.box.width, study.cabinet.box.height) == (float(width), float(height))
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    assert list(group.rows.positions) == rows
    assert list(group.modules.positions) == by_pitch(along, module_pitch)
    assert len(study.cabinet.emitters()) == len(rows) * len(group.modules.positions)
