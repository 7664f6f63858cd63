"""What a search found stands side by side, with what it has to spare, which face decides, and what to be wary of."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lumsim.errors import InputError
from lumsim.report.search_document import search_document
from lumsim.report.search_text import search_facts, search_text
from lumsim.search.trying import Progress
from lumsim.study.questions import Question
from lumsim.study.reading import Study, study_from_text
from lumsim.study.searching import SearchAnswer, search
from lumsim.uniformity.names import percent
from lumsim.units import parse_length
from tests.cabinets import DIRECT
from tests.cli.called import MIRRORED, SMALL, UNEQUAL


def at_depths(study: Study, *depths: float, progress: Progress | None = None) -> SearchAnswer:
    """Search the widest row pitch at other depths too. [m]"""
    asked = replace(study.search, other_depths=depths)
    return search(study, asked=asked, lighting=DIRECT, progress=progress)


LOOSE = ("requirement.stripe_max_to_min=", "requirement.max_to_min=8")


def test_of_two_faces_the_one_that_decides_is_named() -> None:
    """Modules nearer the rear face: text and JSON say that it decides, at each depth and of the own layout."""
    study = study_from_text(UNEQUAL, changes=LOOSE)
    found = at_depths(study, 0.1778)
    text, document = search_text(study, [found]), search_document(study, [found])
    (answer,) = document["answers"]
    assert "of two faces   the rear face is the worse and decides: the numbers are its own" in text
    assert "(rear face: max/min" in text
    assert re.search(r"^  6 in .* rear\n  7 in .* rear$", text, re.MULTILINE)
    assert answer["exact"]["face"] == document["own_layout"]["face"] == "rear"
    assert {one["exact"]["face"] for one in answer["against_depth"]} == {"rear"}
    assert "of two faces the worse at each pitch" in search_facts(study, found)[1]


def test_mirror_images_share_their_numbers() -> None:
    """Where both faces are lit alike the text says so and names neither."""
    study = study_from_text(MIRRORED, changes=LOOSE)
    text = search_text(study, [search(study, lighting=DIRECT)])
    assert "of two faces   both are lit as mirror images: the numbers are those of either" in text
    assert "rear face" not in text


def test_where_stripes_end_the_search_the_verdict_says_so() -> None:
    """A loose limit on stripes is met to half of the face, where the search stops: lines and verdict say it.

    A strict one ends it at a narrower pitch, and nothing is said.
    """
    loose = study_from_text(SMALL, changes=("requirement.stripe_max_to_min=2.5",))
    text = search_text(loose, [search(loose, lighting=DIRECT)])
    assert "wider rows would show less than one period on this face: stripes could not be judged" in text
    verdict = text[text.index("VERDICT") :].splitlines()[0]
    assert verdict.endswith(
        "to spare), and wider ones were not tried: stripes could not be judged on this face"
    )
    strict = study_from_text(SMALL, changes=("requirement.stripe_max_to_min=1.1",))
    assert "could not be judged" not in search_text(strict, [search(strict, lighting=DIRECT)])
    table = search_text(loose, [at_depths(loose, 0.1778)])
    assert re.search(r"^  7 in .* \*$", table, re.MULTILINE)
    assert "  * wider rows were not tried: stripes could not be judged on this face" in table


def test_a_depth_without_throw_is_refused_before_anything_is_searched() -> None:
    """A minute's search of the study's own depth is not lost to a depth that could have been refused at once."""
    study, begun = study_from_text(SMALL), list[str]()
    with pytest.raises(InputError, match=r"a depth of 10 mm leaves no throw"):
        at_depths(study, 0.2, 0.01, progress=lambda share, what: begun.append(what))
    assert begun == []


def table_of(text: str) -> dict[str, list[str]]:
    """Return the cells of the only table of a search's text, by the names of its lines."""
    lines = text.splitlines()
    head = next(i for i, line in enumerate(lines) if line.lstrip().startswith(("exactly", "nearest")))
    found = {"": re.split("   +", lines[head].strip())}
    for line in lines[head + 1 :]:
        if line.startswith("  rows at"):
            break
        name, *cells = re.split("  +", line.strip(), maxsplit=1)
        found[name] = re.split("   +", cells[0])
    return found


def searched(question: Question, *changes: str, text: str = SMALL) -> tuple[Study, SearchAnswer]:
    """Search a small study by direct light."""
    study = study_from_text(text, changes=changes)
    return study, search(study, question, lighting=DIRECT)


FEW = (
    'search.fewest.row_pitch=["5 in", "6 in"]',
    'search.fewest.module_pitch=["4 in", "5 in"]',
    "search.step=1/2 in",
)
MOVED: dict[Question, list[str]] = {
    "pitch": ["rows", "row pitch", "edge distance"],
    "depth": ["depth"],
    "edge": ["edge distance", "row pitch"],
    "rows": [
        "modules", "watts", "rows", "modules in each", "row pitch", "edge distance", "module pitch", "first module",
    ],
}  # fmt: skip


@pytest.mark.parametrize("question", MOVED)
def test_exact_and_to_build_stand_side_by_side_each_with_its_own_numbers(question: Question) -> None:
    """Each line tells both: lengths in decimals and on marks, ratios, and what is to spare in per cent of the limit."""
    study, answer = searched(question, *FEW, *LOOSE, "requirement.stripe_max_to_min=1.3")
    table, found = table_of(search_text(study, [answer])), answer.found
    assert found.exact is not None
    assert found.buildable is not None
    assert table.pop("") == ["exactly", "to build", "limit"]
    assert list(table) == [
        *MOVED[question],
        "max/min", "stripes", "edge dimming", "spot contrast",
    ]  # fmt: skip
    for name, limit in (("max_to_min", 8.0), ("stripe_max_to_min", 1.3)):
        *cells, last = table["max/min" if name == "max_to_min" else "stripes"]
        assert last == f"at most {limit:.2f}"
        for cell, one in zip(cells, (found.exact, found.buildable), strict=True):
            actual = float(getattr(one.evenness, name))
            told = re.fullmatch(r"([0-9.]+) +(?:([0-9.]+)|less than 0.1) % to spare", cell)
            assert told is not None, cell
            assert float(told[1]) == pytest.approx(actual, abs=0.0051)
            assert float(told[2] or 0) == pytest.approx(100 * (1 - actual / limit), abs=0.51)
    for cell, one in zip(table["edge dimming"], (found.exact, found.buildable), strict=True):
        assert float(cell) == pytest.approx(one.evenness.edge_dimming, abs=0.0051)


def test_a_pitch_is_told_with_its_rows_and_edge_distance_exactly_and_to_build() -> None:
    """The lengths of the two columns are those of the two layouts."""
    study, answer = searched("pitch", "requirement.stripe_max_to_min=1.1")
    table, found = table_of(search_text(study, [answer])), answer.found
    for column, one in enumerate((found.exact, found.buildable)):
        assert one is not None
        assert int(table["rows"][column]) == one.rows.count
        for name, length in (("row pitch", one.pitch), ("edge distance", one.rows.edge_distances[0])):
            told = float(parse_length(table[name][column]))
            # To a thousandth of an inch, and to half a sixteenth.
            assert told == pytest.approx(float(length), abs=0.0254 * (0.00101 if column == 0 else 1 / 31.9))
    assert found.exact is not None
    assert float(parse_length(table["row pitch"][0])) <= found.exact.pitch + 1e-9


def test_staggered_rows_are_told_by_the_first_modules_of_odd_and_even_rows() -> None:
    """In place of one first module there are two, half a module pitch apart."""
    study, answer = searched(
        "rows", *FEW, "search.fewest.staggered=[true]", "requirement.stripe_max_to_min=1.6"
    )
    table = table_of(search_text(study, [answer]))
    assert re.fullmatch(r"[0-9]+ horizontal, staggered", table["rows"][-1])
    odd, even, pitch = (
        parse_length(table[name][-1])
        for name in ("first module, rows 1, 3", "first module, rows 2, 4", "module pitch")
    )
    assert abs(odd - even - pitch / 2) <= parse_length("1/16 in")
    assert "first module" not in table


def test_one_row_in_the_middle_is_told_once() -> None:
    """Exactly and to build are one layout, and stand in one column."""
    study, answer = searched("pitch", "requirement.stripe_max_to_min=", "requirement.max_to_min=900")
    table = table_of(search_text(study, [answer]))
    assert table[""] == ["exactly and to build", "limit"]
    assert table["rows"] == ["1, in the middle"]
    assert "row pitch" not in table


@pytest.mark.parametrize("step", ["1/32 in", "10 mm", "1/16 in"])
def test_what_adds_up_is_never_rounded(step: str) -> None:
    """A pitch to build on finer marks than a tape has is told in decimals, and is the one that was found."""
    study, answer = searched("pitch", f"search.step={step}", "requirement.max_to_min=3")
    best = answer.found.buildable
    assert best is not None
    table = table_of(search_text(study, [answer]))
    column = table[""].index("to build") if "to build" in table[""] else 0
    told = float(parse_length(table["row pitch"][column]))
    assert told == pytest.approx(best.pitch, abs=1e-5)


def test_what_dimming_would_cure_is_said_where_all_is_too_bright() -> None:
    """Out of reach for its luminance alone, the nearest is told with the share of full output that meets the limit."""
    study, answer = searched("pitch", "requirement.max_luminance=10")
    assert answer.found.exact is None
    told = re.search(
        r"^  Its luminance: dimmed to ([0-9.]+) % or less it is met", search_text(study, [answer]), re.M
    )
    assert told is not None
    mean = answer.verified.worse.evenness.mean
    assert float(told[1]) == pytest.approx(100 * 10 / mean, abs=0.1)
    assert "Its luminance" not in search_text(*uneven())


def uneven() -> tuple[Study, list[SearchAnswer]]:
    """Search for what no pitch meets, whatever its luminance."""
    study, answer = searched("pitch", "cabinet.depth=18 in", "requirement.max_to_min=1.001")
    return study, [answer]


def test_out_of_reach_one_column_tells_the_nearest_and_how_far_it_misses() -> None:
    """What is missed is told in per cent of its limit too."""
    study, answer = searched("pitch", "cabinet.depth=18 in", "requirement.max_to_min=1.001")
    table = table_of(search_text(study, [answer]))
    assert table[""] == ["nearest", "limit"]
    actual = answer.found.best.evenness.max_to_min
    told = re.fullmatch(r"([0-9.]+)  NOT met, ([0-9.]+) % too high", table["max/min"][0])
    assert told is not None
    assert float(told[2]) == pytest.approx(100 * (actual / 1.001 - 1), abs=0.51)


def test_without_marks_that_do_the_exact_answer_stands_alone() -> None:
    """A step of half the cabinet: no pitch on it meets the requirement."""
    study, answer = searched("pitch", "search.step=6 in", "requirement.stripe_max_to_min=1.03")
    text = search_text(study, [answer])
    assert table_of(text)[""] == ["exactly", "limit"]
    assert "to build: no layout on marks of 6 in meets it (take a smaller step, or the exact one" in text


def test_the_verdict_ends_with_what_the_layout_to_build_has_to_spare() -> None:
    """Of the tightest limit, in per cent of it; of the study's own layout as well."""
    study, answer = searched("pitch", "requirement.stripe_max_to_min=1.1")
    (line,) = [one for one in search_text(study, [answer]).splitlines() if one.startswith("VERDICT")]
    assert answer.found.buildable is not None
    (judged,) = answer.found.buildable.verdict.judged
    told = re.search(r"the widest pitch that does is .* rows; stripes ([0-9.]+) % to spare\)", line)
    assert told is not None, line
    assert float(told[1]) == pytest.approx(100 * (1 - judged.actual / judged.limit), abs=0.051)
    (own,) = answer.own.verdict.judged
    assert f"(stripes {own.actual:.2f}, limit at most 1.10, {percent(1 - own.actual / 1.1)} to spare)" in line


@pytest.mark.parametrize(("limit", "little"), [(1.1, True), (None, False)])
def test_where_little_is_to_spare_one_line_points_to_tolerance(limit: float | None, *, little: bool) -> None:
    """An answer at its limit is within 2 % of it; the evenest edge distance may be far from it."""
    own = 1.03 * search(study_from_text(SMALL), "edge", lighting=DIRECT).found.best.evenness.stripe_max_to_min
    study, answer = searched(
        "pitch" if little else "edge", f"requirement.stripe_max_to_min={limit or max(own, 1.2)}"
    )
    text, document = search_text(study, [answer]), search_document(study, [answer])
    assert text.count("`lumsim tolerance`") == int(little)
    assert ("built signs scatter" in text) == little
    assert document["answers"][0]["to_build"]["little_to_spare"] == little
    assert document["own_layout"]["little_to_spare"] is False
    judged = document["answers"][0]["to_build"]["requirement"]["stripe_max_to_min"]
    assert (judged["to_spare"] < 0.02) == little
    assert judged["to_spare"] == pytest.approx(1 - judged["actual"] / judged["value"])


def test_a_layout_where_the_row_count_changes_is_warned_of() -> None:
    """16 in hold three and a half pitches of 32/7 in: as the study's own layout, in text and document, once."""
    study, answer = searched("depth", "rows.pitch=32/7 in")
    text, document = search_text(study, [answer]), search_document(study, [answer])
    assert text.count("is where the count changes: a pitch a hair wider") == 1
    (told,) = [one for one in document["answers"][0]["warnings"] if "count changes" in one]
    assert document["own_layout"]["warnings"] == [told]
    # The answer's rows are others: the warning is of the study's own layout, and says so.
    study, answer = searched("pitch", "rows.pitch=32/7 in", "requirement.stripe_max_to_min=1.1")
    assert f"WARNING: the study's own layout: {told}" in search_text(study, [answer])
    assert told not in search_document(study, [answer])["answers"][0]["warnings"]
