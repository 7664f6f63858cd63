"""An answer is a study again: what is written reads as the layout that was found, and the rest stays as it was."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lumsim.cabinet.modules import Module
from lumsim.cabinet.places import Places, listed, place
from lumsim.cabinet.rows import ListedModules, Rows
from lumsim.errors import InputError, StudyError
from lumsim.report.light_text import light_text
from lumsim.search.layouts import with_depth, with_row_pitch, with_rows
from lumsim.study.answering import answer
from lumsim.study.reading import Study, read_study, study_from_text
from lumsim.study.saving import changed_rows, length_text, rows_as_keys, saved, saved_study
from lumsim.units import Units, parse_length
from tests.study.written import SIGN, changed

INCH = Fraction(254, 10_000)

BOTH_UNITS = pytest.mark.parametrize("units", ["in", "mm"])


def in_folder(folder: Path, text: str, name: str = "sign.toml") -> Path:
    """Return a study file with that text."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / name
    file.write_text(text, encoding="utf-8", newline="")
    return file


def again(text: str, folder: Path = Path()) -> Study:
    """Return the study that a saved text is."""
    return study_from_text(text, folder=folder)


def rows_of(study: Study, group: int = 0) -> Rows:
    """Return a group that is laid by a rule."""
    rows = study.cabinet.groups[group]
    assert isinstance(rows, Rows)
    return rows


# --- lengths ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("metres", "units", "text"),
    [
        (Fraction(19, 2) * INCH, "in", "9 1/2 in"),
        (Fraction(19, 2) * INCH, "mm", "241.3 mm"),
        (Fraction(3, 32) * INCH, "in", "3/32 in"),
        (Fraction(28, 3) * INCH, "in", "9 1/3 in"),
        (float(Fraction(28, 3) * INCH), "in", "9 1/3 in"),
        (Fraction(4, 15), "mm", "266 2/3 mm"),
        (Fraction(91, 10) * INCH, "in", "9.1 in"),
        (0.3, "mm", "300 mm"),
        (0, "in", "0 in"),
        (0.24, "in", "9.448818897637795 in"),
    ],
)
def test_lengths_are_written_as_a_person_would_where_that_says_them(
    metres: float, units: Units, text: str
) -> None:
    """Tape-measure fractions and few decimals first; 0.24 m in inches takes its decimals."""
    assert length_text(metres, units) == text


@BOTH_UNITS
@given(st.just(0.0) | st.floats(min_value=1e-9, max_value=50))
def test_a_length_reads_back_to_its_last_digit(units: Units, metres: float) -> None:
    """Whatever length a search found is written so that reading it gives the same float."""
    assert float(parse_length(length_text(metres, units))) == metres


def test_what_is_no_length_is_refused() -> None:
    """No position is below zero, and none is not a number."""
    for metres in (-0.1, float("nan"), float("inf")):
        with pytest.raises(InputError):
            length_text(metres, "in")


# --- rows as keys ----------------------------------------------------------------------------------------

PLACES = st.one_of(
    st.builds(
        lambda count, share: place(
            Fraction(9144, 10_000), count=count, pitch=Fraction(9144, 10_000) / count * share
        ),
        st.integers(2, 40),
        st.fractions(min_value=Fraction(1, 3), max_value=1, max_denominator=10**9),
    ),
    st.builds(
        lambda count, inset: place(0.9144, count=count, edge_distance=inset),
        st.integers(2, 40),
        st.just(0.0) | st.floats(min_value=1e-9, max_value=0.45),
    ),
    st.builds(lambda pitch: place(0.9144, pitch=pitch), st.floats(min_value=0.03, max_value=2.0)),
    st.just(place(0.9144, count=1)),
)
"""Evenly spaced places in 36 in, as searches find them."""


@BOTH_UNITS
@settings(max_examples=40)
@given(
    rows=st.one_of(
        PLACES,
        st.builds(
            lambda at: listed(0.9144, sorted(set(at))),
            st.lists(st.floats(min_value=1e-6, max_value=0.9), min_size=1, max_size=5),
        ),
    ),
    modules=PLACES,
)
def test_rows_come_back_within_a_nanometre(units: Units, rows: Places, modules: Places) -> None:
    """Whatever places a search finds, in inches or millimetres, the study that is written has the same."""
    laid = Rows(module=Module(name="one", lumens=1.0), direction="vertical", rows=rows, modules=modules)
    text = changed(('width = "48 in"', 'width = "36 in"'), ('height = "24 in"', 'height = "36 in"'))
    text = saved(text, [(("rows", 0, key), value) for key, value in rows_as_keys(laid, units).items()])
    back = rows_of(again(text))
    for one, other in ((back.rows, rows), (back.modules, modules)):
        assert one.count == other.count
        assert (one.pitch is None) == (other.pitch is None)
        assert max(abs(a - b) for a, b in zip(one.positions, other.positions, strict=True)) < 1e-9
        assert other.pitch is None or one.pitch == pytest.approx(float(other.pitch), rel=1e-14)


def test_a_round_edge_distance_stands_for_a_pitch_that_is_not() -> None:
    """Eight rows from 3 in to 3 in in 24 in lie 18/7 in apart: that is a fraction; 3 rows in 100 mm steps need none."""

    def keys(places: Places, units: Units) -> dict[str, Any]:
        rows = Rows(
            module=Module(name="one", lumens=1.0), direction="horizontal", rows=places, modules=places
        )
        return {key: value for key, value in rows_as_keys(rows, units).items() if value is not None}

    assert keys(place(24 * INCH, count=8, edge_distance=3 * INCH), "in") == {
        "count": 8, "pitch": "2 4/7 in", "module_count": 8, "module_pitch": "2 4/7 in", "direction": "horizontal",
    }  # fmt: skip
    assert keys(place(24 * INCH, count=72, edge_distance=3 * INCH), "mm")["edge_distance"] == "76.2 mm"
    assert keys(place(1.0, count=1), "mm") == {"count": 1, "module_count": 1, "direction": "horizontal"}


def test_listed_modules_along_a_row_cannot_be_saved() -> None:
    """The form has no key for them."""
    rows = Rows(
        module=Module(name="one", lumens=1.0),
        direction="horizontal",
        rows=place(1.0, count=2),
        modules=listed(1.0, [0.1, 0.2, 0.7]),
    )
    with pytest.raises(InputError, match="along a row"):
        rows_as_keys(rows, "in")


# --- the text --------------------------------------------------------------------------------------------

COMMENTED = """\
# A sign.

title = "Sign"   # its name
units = "in"

[cabinet]   # inside
width = "48 in"
height = "24 in"
depth = "6 in"              # back to face

# what the maker says
[face]
transmittance = 0.40
reflectance = 0.40

[modules.standard]
lumens = 90.0

# The upper rows.
[[rows]]
module = "standard"
pitch = "8 in"   # on centre
z = "0.5 in"

# One more, below.
[[rows]]
at = [
  "3 in",   # measured
]
module_count = 6   # six

# What is wanted.
[requirement]
stripe_max_to_min = 1.2
"""


def test_comments_order_and_layout_stay() -> None:
    """Only the lines of the keys that change are other lines; new keys stand beside those they go with."""
    lines = COMMENTED.splitlines()
    text = saved(
        COMMENTED,
        {
            ("cabinet", "depth"): "7 1/2 in",
            ("rows", 0, "pitch"): "9 in",
            ("rows", 1, "module_count"): 7,
            ("requirement", "max_to_min"): 1.5,
            ("title",): None,
            ("search", "fewest", "of"): "rows",
        },
    )
    assert text.splitlines() == [
        *lines[:2],
        *lines[3:8],
        'depth = "7 1/2 in"              # back to face',
        *lines[9:21],
        'pitch = "9 in"   # on centre',
        *lines[22:29],
        "module_count = 7   # six",
        *lines[30:],
        "max_to_min = 1.5",
        "",
        "[search.fewest]",
        'of = "rows"',
    ]


def test_keys_that_clash_are_taken_away(tmp_path: Path) -> None:
    """Rows listed at places become a count and a pitch where the list stood; the comments about them stay."""
    source = in_folder(tmp_path, COMMENTED)
    study = read_study(source)
    laid = with_rows(
        study.cabinet, 1, rows=place(24 * INCH, count=3, pitch=7 * INCH), modules=place(48 * INCH, count=5)
    )
    text = saved_study(source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid), said="three rows")
    assert text.splitlines()[0] == "# Saved by lumsim search from sign.toml: three rows"
    (group,) = [part for part in text.split("# ") if part.startswith("One more")]
    assert group.splitlines() == [
        "One more, below.", "[[rows]]", 'pitch = "7 in"', "count = 3", "module_count = 5   ",
    ]  # fmt: skip
    assert 'six\nmodule_pitch = "9.6 in"\n\n' in text
    assert "# What is wanted.\n[requirement]" in text
    assert "# The upper rows.\n[[rows]]" in text


LAYOUTS = {
    "headers": '[[rows]]\npitch = "8 in"\n\n# c\n[[rows]]\nat = ["3 in"]\nmodule_count = 6\n',
    "inline": 'rows = [{ pitch = "8 in" }, { at = ["3 in"], module_count = 6 }]   # both\n',
    "inline on lines": 'rows = [\n  { pitch = "8 in" },  # one\n  { at = ["3 in"], module_count = 6 },  # two\n]\n',
}

SIZES = {
    "table": '[cabinet]\nwidth = "48 in"\nheight = "24 in"\ndepth = "6 in"  # deep\n',
    "dotted": 'cabinet.width = "48 in"\ncabinet.height = "24 in"\ncabinet.depth = "6 in"  # deep\n',
    "braces": 'cabinet = { width = "48 in", height = "24 in", depth = "6 in" }  # deep\n',
}

FACE_AND_MODULE = "[face]\ntransmittance = 0.4\nreflectance = 0.4  # dull\n[modules.standard]\nlumens = 90\n"


@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_any_way_to_write_tables_is_kept(sizes: str, layout: str, tmp_path: Path) -> None:
    """Headers, braces and dotted keys: the layout found comes out, and comments stay."""
    parts = [SIZES[sizes], FACE_AND_MODULE, LAYOUTS[layout]]
    # What has no header stands above what has.
    source = in_folder(tmp_path, "\n".join(sorted(parts, key=lambda part: part.startswith("["))))
    study = read_study(source)
    laid = with_rows(study.cabinet, 0, rows=place(24 * INCH, count=4, edge_distance=2 * INCH))
    laid = with_rows(laid, 1, rows=place(48 * INCH, count=2, pitch=7 * INCH), direction="vertical",
                     modules=place(24 * INCH, count=3, pitch=3 * INCH))  # fmt: skip
    laid = with_depth(laid, 0.1)
    text = saved_study(
        source, tmp_path / "found.toml", rows=changed_rows(study.cabinet, laid), depth=0.1,
        changes=["requirement.max_to_min=1.4", "interior.back_reflectance=0.7", "title=New"],
    )  # fmt: skip
    back = again(text)
    assert back.cabinet.box.depth == 0.1
    assert back.cabinet.box.back_reflectance == 0.7
    assert back.requirement.limits == {"max_to_min": 1.4}
    assert back.title == "New"
    for one, other in zip(back.cabinet.groups, laid.groups, strict=True):
        np.testing.assert_allclose(one.emitters().places, other.emitters().places, atol=1e-9, rtol=0)
    comments = [part for part in source.read_text().split("\n") if "#" in part]
    for comment in comments:
        assert comment[comment.index("#") :] in text


def test_a_key_that_cannot_be_set_in_the_text_as_it_is_laid_out_is_refused() -> None:
    """A key below a value is none."""
    with pytest.raises((InputError, TypeError)):
        saved(SIGN, {("cabinet", "depth", "more"): 1})


def test_lengths_that_read_the_same_are_left_as_they_are_written() -> None:
    """A person's 4 ft stays 4 ft."""
    text = changed(('width = "48 in"', 'width = "4\'-0\\""'))
    assert saved(text, {("cabinet", "width"): "48 in"}) == text


def test_line_ends_stay() -> None:
    """A file of a system that ends lines with two characters keeps them in new lines too."""
    text = saved(SIGN.replace("\n", "\r\n"), {("requirement", "max_to_min"): 1.5, ("search", "group"): 1})
    assert text.count("\n") == text.count("\r\n") == SIGN.count("\n") + 4


# --- changes and files -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "changes",
    [
        [],
        ['cabinet.depth="8 in"', "rows.pitch=9 in"],
        ["rows.1.pitch=", "rows.1.count=5", "rows.1.edge_distance=1 in"],
        ["requirement.stripe_max_to_min=", "requirement.max_to_min=1.5", "ageing.dirt_factor=0.9"],
        ['modules.other={ lumens = 20, beam = { shape = "wide", width = 2.0 } }', "rows.module=other"],
        ['rows=[{ pitch = "6 in" }, { at = ["3 in"] }]', "rows.1.module=standard", 'rows.2.module="standard"'],
        ["modules.standard.beam.shape=cosine-power", "modules.standard.beam.exponent=2"],
        ["face={ transmittance = 0.3, reflectance = 0.5 }", 'face.visible_border="1/2 in"'],
        ['search.fewest={ of = "rows" }', "search.group=1", 'search.plane.pitches=["3 in", "9 in"]'],
    ],
)  # fmt: skip
def test_changes_of_the_command_line_are_in_the_saved_file(changes: Sequence[str], tmp_path: Path) -> None:
    """A study read with changes, and the saved one read without, are the same study."""
    source = in_folder(tmp_path, SIGN)
    there, back = (
        read_study(source, changes=changes),
        again(saved_study(source, tmp_path / "b.toml", changes=changes)),
    )
    for name in ("cabinet", "requirement", "search", "ageing", "defaults"):
        assert repr(getattr(back, name)) == repr(getattr(there, name)), name


def test_a_change_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    """As it is where a study is read with it."""
    with pytest.raises(StudyError, match="nothing to take away"):
        saved_study(in_folder(tmp_path, SIGN), tmp_path / "b.toml", changes=["rows.count="])


def test_files_beside_the_study_are_named_from_the_new_folder(tmp_path: Path) -> None:
    """Listed modules, photometric files and the schema are found from wherever the saved study is."""
    ies = Path(__file__).parents[2] / "studies" / "juniper-wharf-module.ies"
    (tmp_path / "a" / "beams").mkdir(parents=True)
    (tmp_path / "a" / "beams" / "one.ies").write_bytes(ies.read_bytes())
    (tmp_path / "a" / "built.csv").write_text("x_in,y_in\n3,4\n20,12\n")
    text = changed(("lumens = 90.0", 'beam = { file = "beams/one.ies" }   # measured'))
    text = f'#:schema ./study.schema.json\n# Mine.\n{text}\n[[rows]]\npositions = "built.csv"  # as built\n'
    source = in_folder(tmp_path / "a", text)
    study = read_study(source)
    here = saved_study(source, tmp_path / "a" / "b.toml", said="x")
    assert here.splitlines()[:3] == [
        "#:schema ./study.schema.json", "# Saved by lumsim search from sign.toml: x", "# Mine.",
    ]  # fmt: skip
    assert here.splitlines()[3:] == text.splitlines()[2:]
    (tmp_path / "c" / "d").mkdir(parents=True)
    there = saved_study(source, tmp_path / "c" / "d" / "b.toml", said="x")
    assert '{ file = "../../a/beams/one.ies" }   # measured' in there
    assert 'positions = "../../a/built.csv"  # as built' in there
    assert there.startswith("#:schema ../../a/study.schema.json\n# Saved")
    back = again(there, tmp_path / "c" / "d")
    np.testing.assert_array_equal(back.cabinet.emitters().places, study.cabinet.emitters().places)
    absolute = text.replace('"built.csv"', repr(str(tmp_path / "a" / "built.csv")))
    source = in_folder(tmp_path / "a", absolute)
    assert str(tmp_path / "a" / "built.csv") in saved_study(source, tmp_path / "c" / "b.toml")


def test_a_saved_study_saved_again_says_so_once(tmp_path: Path) -> None:
    """The comment at the top is of the last search."""
    source = in_folder(tmp_path, SIGN)
    first = in_folder(tmp_path, saved_study(source, tmp_path / "b.toml", said="fewest modules"), "b.toml")
    assert saved_study(first, tmp_path / "c.toml", said="least depth\nof all") == (
        f"# Saved by lumsim search from b.toml: least depth of all\n{SIGN}"
    )


def test_listed_modules_are_not_laid_anew(tmp_path: Path) -> None:
    """Where a file says where modules are, no key does."""
    (tmp_path / "built.csv").write_text("x_in,y_in\n3,4\n20,12\n")
    rows = rows_of(again(SIGN))
    source = in_folder(
        tmp_path, changed(('pitch = "8 in"\nmodule_pitch = "4 in"', 'positions = "built.csv"'))
    )
    with pytest.raises(InputError, match="in a file"):
        saved_study(source, tmp_path / "b.toml", rows={0: rows})
    study = read_study(source)
    group = study.cabinet.groups[0]
    assert isinstance(group, ListedModules)
    assert changed_rows(study.cabinet, with_depth(study.cabinet, 0.2)) == {}


# --- the same light --------------------------------------------------------------------------------------


@BOTH_UNITS
def test_the_saved_study_gives_the_same_numbers(units: Units, tmp_path: Path) -> None:
    """Lit again, another pitch and depth tell to the last printed digit what they told when they were found."""
    source = in_folder(tmp_path, changed(('units = "in"', f'units = "{units}"')))
    study = read_study(source)
    laid = with_depth(with_row_pitch(study.cabinet, 0, 0.171234567890123), 0.1333333333333)
    laid = with_rows(laid, 0, modules=place(48 * INCH, count=11, edge_distance=0.0512345678901))
    text = saved_study(
        source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid), depth=laid.box.depth, said="x"
    )
    back = read_study(in_folder(tmp_path, text, "b.toml"))
    found = answer(
        Study(**{name: getattr(study, name) for name in Study.__slots__} | {"cabinet": laid}),
        direct_only=True,
    )
    read = answer(back, direct_only=True)
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming", "coefficient_of_variation"):
        assert getattr(read.evenness, name) == pytest.approx(getattr(found.evenness, name), rel=1e-9), name
    printed = light_text(back, read).splitlines()
    assert tomllib.loads(text)["title"] == "Sign"
    expected = light_text(
        Study(**{name: getattr(back, name) for name in Study.__slots__} | {"cabinet": laid}), found
    ).splitlines()
    assert printed == expected


def test_a_plate_midway_of_a_cabinet_of_another_depth_stays_midway(tmp_path: Path) -> None:
    """Where a study says the plate's place, the saved one says the new place; where it does not, neither does it."""
    text = changed(
        ('depth = "6 in"', 'depth = "6 in"\nfaces = 2'), ("[interior]\nback_reflectance = 0.85\n", ""),
        ('z = "0.5 in"', 'z = "3 in"   # midway'),
    )  # fmt: skip
    source = in_folder(tmp_path, text)
    study = read_study(source)
    laid = with_depth(study.cabinet, float(8 * INCH))
    new = saved_study(
        source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid), depth=float(8 * INCH)
    )
    assert 'z = "4 in"   # midway' in new
    source = in_folder(tmp_path, text.replace('z = "3 in"   # midway\n', ""))
    study = read_study(source)
    laid = with_depth(study.cabinet, float(8 * INCH))
    new = saved_study(
        source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid), depth=float(8 * INCH)
    )
    assert "z =" not in new


def test_rows_on_a_return_keep_their_place_at_another_depth(tmp_path: Path) -> None:
    """A single row midway between back and face, of a cabinet made deeper, is listed where it was."""
    text = changed(('pitch = "8 in"\n', 'on = "bottom"\ncount = 1\n'))
    source = in_folder(tmp_path, text)
    study = read_study(source)
    laid = with_depth(study.cabinet, float(8 * INCH))
    new = saved_study(
        source, tmp_path / "b.toml", rows=changed_rows(study.cabinet, laid), depth=float(8 * INCH)
    )
    assert 'at = ["3 in"]' in new
    assert rows_of(again(new)).rows.positions == (3 * INCH,)
