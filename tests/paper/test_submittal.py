"""A submittal says on paper what JSON says: read back by a general library and compared."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from lumsim.paper.document import Table, Verdict
from lumsim.paper.method import method_parts
from lumsim.paper.submittal import submittal_paper
from lumsim.paper.typesetting import typeset
from lumsim.report.numbers import ratio, significant
from lumsim.report.submittal_document import submittal_document
from lumsim.simulation import Lighting
from lumsim.study.reading import read_study, study_from_text
from lumsim.study.submitting import submit
from tests.paper.read_back import ReadBack
from tests.study.written import SIGN

BLOCK = """
[submittal]
project = "Quay 7 #2 *north*"
sheet = "E-4"
revision = "b"
prepared_by = "M. $ample"
date = 2026-03-09

[submittal.origins]
"face.transmittance" = "sample, measured"
"""
SMALLEST = SIGN.replace('"48 in"', '"6 in"').replace('"24 in"', '"6 in"').replace('"6 in"', '"5 in"')
WIDEST = (
    SIGN.replace('"48 in"', '"144 in"')
    .replace('"24 in"', '"12 in"')
    .replace("max_to_min = 1.2", "max_to_min = 1.0001")
)
TWO_FACED = """
title = "Ferry stop"
units = "mm"
cabinet = { width = "900 mm", height = "600 mm", depth = "200 mm", faces = 2 }
face = { transmittance = 0.4, reflectance = 0.4, visible_border = "20 mm" }
modules.both.lumens = 120
rows = [{ pitch = "200 mm", module_pitch = "100 mm", on = "plane", front_share = 0.4 }]
requirement = { max_to_min = 2.5 }
viewing = { distances = ["3 m", "40 m"] }
"""

Told = tuple[dict[str, Any], ReadBack]


@cache
def on_paper(text: str, *, with_plane: bool = False) -> Told:
    """A study's submittal by direct light, as JSON and as a PDF read back; made once."""
    study = study_from_text(text, shown="sign.toml", folder=Path("studies"))
    answer = submit(study, lighting=Lighting(direct_only=True), with_plane=with_plane)
    return submittal_document(study, answer), ReadBack(typeset(submittal_paper(study, answer)))


PLANE = "\n[search.plane]\npitch_count = 4\ndepth_count = 3\n"


@pytest.fixture(scope="module")
def sign() -> Told:
    """A plain sign with a title block and a plane."""
    return on_paper(SIGN + BLOCK + PLANE, with_plane=True)


@pytest.fixture(scope="module", params=["smallest", "widest", "two faces"])
def other(request: pytest.FixtureRequest) -> Told:
    """The smallest cabinet, the widest, which fails its requirement, and a double-sided one."""
    return on_paper({"smallest": SMALLEST, "widest": WIDEST, "two faces": TWO_FACED}[request.param])


def tell_the_same(told: Told) -> None:
    """Assert that what JSON has of the face stands on the pages."""
    document, paper = told
    light = document["light"]
    for name in ("max_to_min", "stripe_max_to_min", "edge_dimming", "min_to_mean"):
        assert ratio(light["uniformity"][name]) in paper.text, name
    for name in ("mean", "max", "min"):
        assert f"{significant(light['luminance'][f'{name}_cd_m2'], 4)} cd/m²" in paper.text, name
        assert f"{significant(light['illuminance'][f'{name}_lx'], 4)} lx" in paper.text, name
    assert f"{significant(light['flux']['emitted_lm'], 4)} lm" in paper.text
    for one in [light] if light["faces"] is None else light["faces"].values():
        assert f"{significant(one['flux']['through_face_lm'], 4)} lm" in paper.text
    state = {True: "is met", False: "is NOT met", None: "Nothing is required"}[document["met"]]
    assert state in paper.pages[0]
    if document["met"] is not None:
        assert "as computed by direct light only" in paper.pages[0]
    for name, one in light["requirement"].items():
        assert f"{one['value']:g}" in paper.pages[0], name


def test_numbers_of_json_stand_on_paper(sign: Told) -> None:
    """Evenness, luminance, lumens and the limits of the JSON document stand on the pages, the verdict on the first."""
    tell_the_same(sign)


def test_numbers_of_others(other: Told) -> None:
    """The same of the smallest cabinet, of the widest, which misses its limit, and of a double-sided one."""
    tell_the_same(other)


def test_missed_requirement_is_told_first() -> None:
    """A sign that misses its requirement says so on page one, with by how much and with what helps."""
    _, paper = on_paper(WIDEST)
    assert "The requirement is NOT met" in paper.pages[0]
    assert "too high" in paper.pages[0]
    assert "What helps" in paper.pages[0]


def test_title_block(sign: Told) -> None:
    """The title block stands on page one as it is written: what means something to a typesetter is plain text here."""
    _, paper = sign
    for text in ("Quay 7 #2 *north*", "E-4", "M. $ample", "2026-03-09", "sign.toml"):
        assert text in paper.pages[0]


def test_every_input_with_its_origin(sign: Told) -> None:
    """Every input stands on the pages with its value and SI, and the line or the origin that the study states."""
    document, paper = sign
    for one in document["inputs"]:
        assert one["key"].rpartition(".")[2] in paper.text, one
        assert one["value"] in paper.text, one
        assert (one["si"] or "") in paper.text, one
        if one["line"] is not None:
            assert f"study, line {one['line']}" in paper.text, one
    assert "sample, measured (study, line" in paper.text


def test_pages_are_numbered(sign: Told, other: Told) -> None:
    """Every page says which of how many it is, the drawing's too."""
    for _, paper in (sign, other):
        count = len(paper.pages)
        assert count >= 6
        for number, text in enumerate(paper.pages, start=1):
            assert f"page {number} of {count}" in text


def test_fonts_are_in_the_file(sign: Told, other: Told) -> None:
    """Every font of pages and pictures is in the file, so that it looks alike wherever it is opened."""
    for _, paper in (sign, other):
        fonts = paper.fonts()
        assert any("Libertinus" in name for name in fonts)
        assert any("DejaVu" in name for name in fonts)
        assert all(fonts.values()), fonts


def test_nothing_beyond_the_page(sign: Told, other: Told) -> None:
    """No text begins outside of its page, nor within a tenth of an inch of its edges."""
    for _, paper in (sign, other):
        for number, page in enumerate(paper.reader.pages):
            width, height = (float(side) for side in page.mediabox[2:])
            for x, y, text in paper.places(number):
                assert 5 < x < width - 5, (number, text)
                assert 5 < y < height - 5, (number, text)


def test_tagged_and_undated(sign: Told) -> None:
    """The file can be read aloud, has its title and author, and no date of a clock."""
    _, paper = sign
    root = paper.reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert paper.reader.metadata is not None
    assert paper.reader.metadata.title == "Sign"
    assert paper.reader.metadata.author == "M. $ample"
    assert paper.reader.metadata.creation_date is None


def test_same_study_same_bytes() -> None:
    """The same study gives the same file to the last byte."""
    again = on_paper.__wrapped__(SMALLEST)
    assert again[1].content == on_paper(SMALLEST)[1].content


def test_sections_in_their_order(sign: Told) -> None:
    """Verdict, inputs, plan, face, numbers, plane, method, build sheet and cautions follow each other."""
    _, paper = sign
    heads = (
        "Requirement and verdict",
        "Inputs, and where each comes from",
        "Section and plan",
        "The lit face",
        "Where the lumens went",
        "Row pitch and depth around this design",
        "How it was computed",
        "Limits of the method",
        "Build sheet and power",
        "Cautions",
    )
    places = [paper.text.index(head) for head in heads]
    assert places == sorted(places)
    assert "Lumsim checks arithmetic, not compliance" in paper.text


def test_why_there_is_no_plane() -> None:
    """Where modules are listed there is no pitch to move, and the paper says so in place of the plane."""
    study = read_study("studies/quarry-bakery.toml")
    answer = submit(study, lighting=Lighting(direct_only=True))
    assert answer.plane is None
    assert "lists its modules one by one" in answer.no_plane
    assert "No plane of row pitch and depth: not asked for" in on_paper(SMALLEST)[1].text


def test_meshes_converge() -> None:
    """With light thrown back, coarser meshes lie farther from the finest in mean luminance, and all stand on paper."""
    study = study_from_text(SIGN, shown="sign.toml")
    answer = submit(study, with_plane=False)
    means = [one.simulation.evenness.mean for one in answer.meshes]
    assert abs(means[0] / means[2] - 1) > abs(means[1] / means[2] - 1)
    tables = [part.block for part in method_parts(study, answer) if isinstance(part, Table)]
    cells = {cell for block in tables for row in block.rows for cell in row}
    for one in answer.meshes:
        assert f"{one.simulation.evenness.max_to_min:.4f}" in cells


def test_what_the_eye_may_notice() -> None:
    """Where a study names distances, its submittal tells what the eye may notice from there, as information."""
    _, paper = on_paper(TWO_FACED)
    assert "What the eye may notice" in paper.text
    assert "information and no requirement" in paper.text


def test_sign_that_cannot_be_built_as_asked() -> None:
    """A sign whose strings no roll holds is not told as met, also where nothing is required of its face."""
    short = SIGN.replace(
        "lumens = 90.0", "lumens = 90.0\n\n[modules.standard.string]\nroll_modules = 4\nmost_joints = 0"
    )
    asked = short.replace("[requirement]\nstripe_max_to_min = 1.2\n", "")
    study = study_from_text(asked, shown="sign.toml")
    answer = submit(study, lighting=Lighting(direct_only=True), with_plane=False)
    verdict = next(
        part for part in submittal_paper(study, answer).sections[0].parts if isinstance(part, Verdict)
    )
    assert (verdict.state, verdict.head) == ("missed", "It is NOT to be built as asked")
    assert "NOT to be built as asked: see cutting" in verdict.text
