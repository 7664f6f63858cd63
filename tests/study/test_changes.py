"""``--set`` tries a change with the same checks and messages as the file."""

from __future__ import annotations

from fractions import Fraction

import pytest

from lumsim.cabinet.rows import Rows
from lumsim.study.reading import Study, study_from_text
from tests import cabinets
from tests.study.written import SIGN, changed, problem, problems

INCH = Fraction(254, 10_000)
TWO_GROUPS = SIGN.replace("[requirement]", '[[rows]]\nat = ["1 in"]\n\n[requirement]')


def with_changes(*changes: str, text: str = SIGN) -> Study:
    """Return the study with some keys changed."""
    return study_from_text(text, changes=changes)


def row_pitch(study: Study, group: int = 0) -> Fraction | None:
    """Return the row pitch of one group of rows. [m]"""
    rows = study.cabinet.groups[group]
    assert isinstance(rows, Rows)
    return rows.rows.pitch


@pytest.mark.parametrize(
    "change",
    ['cabinet.depth="8 in"', "cabinet.depth='8 in'", "cabinet.depth=8 in", " cabinet.depth = 8 in ",
     'cabinet."depth"=8 in', 'cabinet.depth=8"', "cabinet.depth=203.2 mm"],
)  # fmt: skip
def test_a_length_may_come_with_its_quotes_or_without(change: str) -> None:
    """A shell takes quotes away; the value is read either way, as 8 in = 0.2032 m."""
    assert with_changes(change).cabinet.box.depth == 0.2032


def test_a_single_group_needs_no_number() -> None:
    """With one group of rows its key is named with or without the number 1."""
    assert row_pitch(with_changes("rows.pitch=9 in")) == 9 * INCH
    assert row_pitch(with_changes("rows.1.pitch=9 in")) == 9 * INCH


def test_several_groups_are_told_apart_by_number() -> None:
    """With two groups the number is needed, and it changes that group alone."""
    study = with_changes("rows.1.pitch=9 in", "rows.2.at=", "rows.2.count=2", text=TWO_GROUPS)
    assert row_pitch(study, 0) == 9 * INCH
    assert row_pitch(study, 1) == 12 * INCH
    one = problem(TWO_GROUPS, ["rows.pitch=9 in"])
    assert (one.where, one.key) == ("--set", "rows.pitch")
    assert "there are 2 of rows: write one of rows.1, rows.2" in one.text


def test_changes_are_made_in_their_order_and_remembered() -> None:
    """The last of two changes of one key holds; the study lists what was tried."""
    study = with_changes("cabinet.depth=8 in", "cabinet.depth=7 in")
    assert study.cabinet.box.depth == pytest.approx(0.1778, rel=1e-15)
    assert study.changes == ("cabinet.depth=8 in", "cabinet.depth=7 in")


def test_an_empty_value_takes_a_key_away() -> None:
    """Without its limit a study requires nothing; without its pitch another rule can take its place."""
    assert with_changes("requirement.stripe_max_to_min=").requirement.limits == {}
    assert row_pitch(with_changes("rows.pitch=", "rows.count=4")) == 6 * INCH


def test_a_table_that_is_not_in_the_file_can_be_set_into() -> None:
    """A limit, a kind of module and an interior that the file leaves out can be tried all the same."""
    bare = SIGN[: SIGN.index("[requirement]")]
    assert with_changes("requirement.max_to_min=1.5", text=bare).requirement.limits == {"max_to_min": 1.5}
    study = with_changes("modules.other.lumens=20", "rows.module=other")
    assert study.cabinet.emitters().flux.tolist() == [20.0] * 36
    assert with_changes("interior.top_return_reflectance=0").cabinet.box.top_return_reflectance == 0.0


@pytest.mark.parametrize(
    "changes",
    [
        ['modules.standard.beam={ shape = "cosine-power", exponent = 2 }'],
        ["modules.standard.beam.shape=cosine-power", "modules.standard.beam.exponent=2"],
    ],
)
def test_an_inline_table_or_its_keys_can_be_set(changes: list[str]) -> None:
    """A beam is set as a whole or key by key."""
    assert cabinets.exponents(with_changes(*changes).cabinet.emitters()).tolist() == [2.0] * 36


def test_a_list_can_be_set_as_a_whole() -> None:
    """A list is written as in the file, with quotes."""
    study = with_changes("rows.pitch=", 'rows.at=["6 in", "18 in"]')
    (group,) = study.cabinet.groups
    assert isinstance(group, Rows)
    assert group.rows.positions == (6 * INCH, 18 * INCH)


REFUSED = [
    ("cabinet.depth", "cabinet.depth", 'write it as key=value, such as cabinet.depth="8 in"'),
    ("", "", "write it as key=value"),
    ("=3", "", "is not a key: write it with dots"),
    ("a..b=3", "a..b", "is not a key: write it with dots"),
    ("cabinet.depht=3 in", "cabinet.depht", "is no known key; did you mean depth?"),
    ("cabinte.depth=3 in", "cabinte", "is no known key; did you mean cabinet?"),
    ("cabinet.depth=8", "cabinet.depth", 'got the bare number 8: write "8 in"'),
    ("cabinet.depth=8,5 in", "cabinet.depth", 'write "8.5 in"'),
    ("cabinet.depth=-1 in", "cabinet.depth", "must be more than 0, got -1 in"),
    ("cabinet.depth=", "cabinet.depth", 'is needed, such as "6 in"'),
    ("cabinet.depth.x=1", "cabinet.depth.x", "cabinet.depth is a value, it has no keys of its own"),
    ("rows.pitch.x=1", "rows.pitch.x", "rows.1.pitch is a value, it has no keys of its own"),
    ("modules.standard.lumens=ninety", "modules.standard.lumens", "must be a number without quotes"),
    ("modules.standard.lumens=nan", "modules.standard.lumens", "got nan lm"),
    ("modules.standard.lumens=" + "9" * 400, "modules.standard.lumens", "got a larger one lm"),
    ("rows.2.pitch=9 in", "rows.2.pitch", "there is no rows.2: they are counted from 1 to 1"),
    ("rows.0.pitch=9 in", "rows.0.pitch", "there is no rows.0: they are counted from 1 to 1"),
    ("rows.1=5", "rows.1", "names a whole table: name one of its keys, such as rows.1.pitch"),
    ("rows=5", "rows", "write [[rows]] with two brackets"),
    ("requirement.max_to_min=", "requirement.max_to_min", "is not in the study: there is nothing to take away"),
    ("cabinet.faces=3", "cabinet.faces", "must be 1 (a back and one face) or 2 (double-sided"),
    ("rows.at=[3 in]", "rows.1.at", 'must be a list such as ["6 in", "18 1/2 in"]'),
    ('search.fewest.staggered="maybe"', "search.fewest.staggered", "must be a list such as [false, true]"),
    ('search.fewest.staggered=["maybe"]', "search.fewest.staggered.1", "must be true or false, without quotes"),
    ('search.fewest.directions="up"', "search.fewest.directions", 'such as ["horizontal", "vertical"]'),
    ("face.visible_border=12 in", "face.visible_border", "hides the whole face"),
    ("rows.module=standrd", "rows.1.module", "there is no [modules.standrd]; did you mean standard?"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "key", "said"), REFUSED, ids=[change[:40] for change, *_ in REFUSED])
def test_a_change_that_cannot_be_is_told_as_a_change(change: str, key: str, said: str) -> None:
    """A wrong change names itself and not a line of the file, which is not at fault."""
    one = problem(SIGN, [change])
    assert (one.where, one.line, one.key) == ("--set", None, key)
    assert said in one.text


def test_a_group_number_of_endless_digits_is_refused_in_words() -> None:
    """Python reads no whole number of 5000 digits, but the refusal speaks of groups of rows."""
    assert "there is no rows.999" in problem(SIGN, [f"rows.{'9' * 5000}.pitch=9 in"]).text


def test_a_second_key_behind_a_line_feed_is_not_lost() -> None:
    """One change is one key: what looks like a second one is part of the value, and refused with it."""
    assert problem(SIGN, ["modules.standard.lumens=80\nwatts = 1"]).key == "modules.standard.lumens"


def test_entries_of_a_list_of_lengths_are_not_set_one_by_one() -> None:
    """A list of positions is given as a whole."""
    text = changed(('pitch = "8 in"', 'at = ["6 in"]'))
    assert problem(text, ["rows.at.1=7 in"]).text == "names one entry of a list: give the list as a whole"


def test_a_clash_of_a_change_with_the_file_tells_the_line_to_look_at() -> None:
    """A depth that leaves the rows of the file no throw is told at the file's z, with both numbers."""
    one = problem(SIGN, ["cabinet.depth=1/2 in"])
    assert (one.where, one.key) == ("sign.toml", "rows.1.z")
    assert "depth 1/2 in less z 1/2 in leaves a throw of 0 in" in one.text


def test_every_wrong_change_is_told_at_once() -> None:
    """Two changes that cannot be made are two problems."""
    keys = [one.key for one in problems(SIGN, ["cabinet.depth", "rows.7.z=1 in"])]
    assert keys == ["cabinet.depth", "rows.7.z"]
