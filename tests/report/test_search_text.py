"""A search of a double-sided cabinet says which face decides."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lumsim.errors import InputError
from lumsim.report.search_document import search_document
from lumsim.report.search_text import search_facts, search_text
from lumsim.search.trying import Progress
from lumsim.study.reading import Study, study_from_text
from lumsim.study.searching import SearchAnswer, search
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
    assert verdict.endswith("rows), and wider ones were not tried: stripes could not be judged on this face")
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
