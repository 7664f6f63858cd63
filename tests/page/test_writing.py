"""The page as a file: whole in itself, small enough to mail, readable without scripts."""

from __future__ import annotations

import base64
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import product

import numpy as np
import pytest

from lumsim.page.contents import Scale, contents_of, contrast, pitch_label, walls_label
from lumsim.page.face_bytes import size_for
from lumsim.page.lit_settings import LitPage, dots_for
from lumsim.page.writing import page_bytes
from lumsim.report.cautions import CAUTIONS
from lumsim.report.sentences import sentence
from lumsim.study.page_form import MOST_DEPTHS, MOST_PITCHES
from lumsim.study.paging import Laying, Setting, page_plan
from lumsim.units import METRES_PER_INCH
from tests.page.shown_page import html, lit, study_of

LARGEST = 1_500_000
"""What a mail and a memory stick carry without a thought. [byte]"""


class _Read(HTMLParser):
    """Every tag with its attributes, the words between them, and what scripts hold."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.scripts: dict[str | None, str] = {}
        self._inside: str | None = None
        self._script: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._inside = tag
        if tag == "script":
            self._script = dict(attrs).get("id")

    def handle_data(self, data: str) -> None:
        if self._inside == "script":
            self.scripts[self._script] = self.scripts.get(self._script, "") + data
        elif self._inside != "style":
            self.words.append(data)

    def handle_endtag(self, tag: str) -> None:
        self._inside = None


def read(content: bytes) -> _Read:
    """Take a page apart."""
    found = _Read()
    found.feed(content.decode())
    return found


def test_nothing_in_it_is_fetched() -> None:
    """No tag names an address, no style imports one, and the page's own policy forbids all of them."""
    page = read(html())
    for tag, attributes in page.tags:
        assert not {"href", "srcset", "action", "data", "poster"} & set(attributes), tag
        assert (attributes.get("src") or "data:").startswith("data:"), tag
    assert not re.search(rb"url\(|@import|fetch\(|XMLHttpRequest|WebSocket|import\(", html())
    policy = next(a["content"] for t, a in page.tags if t == "meta" and a.get("http-equiv"))
    assert policy is not None
    assert policy.startswith("default-src 'none'")


def test_the_study_can_be_read_without_scripts() -> None:
    """Before any script runs, the study's numbers, verdict, levels, model and cautions stand in the page."""
    page, own = " ".join(" ".join(read(html()).words).split()), lit().own
    assert own.verdict in page
    for title, value, state in own.evenness:
        assert f"{title} {value}{f' {state}' if state else ''}" in page
    assert all(level in page for level in own.levels)
    assert all(sentence(text) in page for text in CAUTIONS)
    assert "Scripts are off" in page
    assert "a perfect diffuser" in page


def test_words_of_a_study_cannot_break_the_page() -> None:
    """A title with marks of HTML in it is shown as it is written, and ends no script."""
    title = "</script><b>A & B</b>"
    page = lit()
    renamed = replace(page, plan=replace(page.plan, study=replace(page.plan.study, title=title)))
    told = page.told[page.plan.own]
    spoilt = replace(renamed, told={**page.told, page.plan.own: replace(told, verdict=title)})
    found = read(page_bytes(spoilt))
    assert found.tags.count(("b", {})) == 0
    assert title in found.words
    assert title in json.loads(found.scripts["choices"])["words"]


def _as_large_as_can_be() -> LitPage:
    """A page of all settings that one may have, none alike, its words long."""
    page = lit()
    plan = replace(
        page.plan,
        layings=tuple(
            Laying(pitch=METRES_PER_INCH * number, own=number == 8) for number in range(1, MOST_PITCHES + 2)
        ),
        depths=tuple(METRES_PER_INCH * number for number in range(1, MOST_DEPTHS + 2)),
    )
    rng = np.random.default_rng(20)
    told, own = {}, page.own
    nx, ny = size_for(2, 1, dots_for(plan.settings))
    for a, b, c in product(range(len(plan.layings)), range(len(plan.depths)), range(2)):
        noise = rng.integers(0, 256, (ny, nx), dtype=np.uint8)
        told[Setting(laying=a, depth=b, walls=c)] = replace(
            own,
            setting=Setting(laying=a, depth=b, walls=c),
            verdict=own.verdict + f" {a} {b} {c}" + "x" * 250,
            rows=own.rows + f"{a}",
            levels=(f"{a} {b} {c} cd/m²", own.levels[1] + f" {a} {b} {c}", own.levels[2] + f" {a} {b} {c}"),
            warnings=tuple(f"{text} {a} {b}" for text in own.warnings),
            evenness=tuple((t, f"{v}{a}{b}{c}", s) for t, v, s in own.evenness),
            face=replace(own.face, dots=noise),
        )
    return replace(page, plan=plan, told=told)


def test_it_is_small_enough_to_mail() -> None:
    """A page of three pitches and depths, and one of as many settings as can be with long words, stay below 1.5 MB."""
    assert len(html()) < LARGEST
    assert len(page_bytes(_as_large_as_can_be())) < LARGEST


def test_the_script_finds_each_face_and_profile_where_it_looks() -> None:
    """Setting by setting, pitch first, then depth, then walls: so many bytes for each face, two for each place."""
    page = lit()
    contents = contents_of(page)
    nx, ny = contents.choices["dots"]
    faces = np.frombuffer(base64.b64decode(contents.faces), dtype=np.uint8).reshape(2, 3, 3, ny, nx)
    profiles = np.frombuffer(base64.b64decode(contents.profiles), dtype="<u2").reshape(2, 3, 3, -1)
    for a, b, c in product(range(3), range(3), range(2)):
        told = page.told[Setting(laying=a, depth=b, walls=c)]
        assert np.array_equal(faces[c, b, a], told.face.dots[:ny, :nx])
        assert np.array_equal(profiles[c, b, a], told.face.profile)
        setting = contents.choices["settings"][(c * 3 + b) * 3 + a]
        assert contents.choices["words"][setting["verdict"]] == told.verdict
        assert setting["met"] == told.met
    assert contents.choices["folded"]


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#ffffff", "#ffffff", 1.0), ("#777777", "#ffffff", 4.48)],
)
def test_contrast_is_that_of_the_guidelines(one: str, other: str, ratio: float) -> None:
    """Black on white is 21, white on white 1 (WCAG 2.2); #777777 on white fails with 4.48 (from memory)."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


def test_letters_can_be_read_on_every_cell_of_the_plane() -> None:
    """The number in each cell stands out from its ground by 4.5 at least (WCAG 2.2, 1.4.3)."""
    choices = contents_of(_as_uneven_as_can_be()).choices
    for setting in choices["settings"]:
        for _, ground, ink in setting["cells"]:
            assert contrast(choices["words"][ground], choices["words"][ink]) >= 4.5


@pytest.mark.parametrize("least", [1.0, 1.3, 2.4, 4.0])
def test_the_evenest_cell_is_the_lightest_and_the_darkest_are_told(least: float) -> None:
    """However uneven the evenest is, its cell has the colour that the key names by its number; others are darker."""
    page = lit()
    told = {
        setting: replace(one, numbers={**one.numbers, "max_to_min": least * (1 + 0.2 * number)})
        for number, (setting, one) in enumerate(page.told.items())
    }
    scale = Scale.of(replace(page, told=told), "max_to_min")
    assert scale.least == least
    lightness = [contrast(scale.colours(least * (1 + 0.1 * step))[0], "#000000") for step in range(60)]
    assert lightness[0] == max(lightness)
    assert lightness == sorted(lightness, reverse=True)
    assert scale.colours(scale.most)[0] == scale.colours(10 * scale.most)[0]
    assert scale.colours(0.95 * scale.most)[0] != scale.colours(scale.most)[0]


def _as_uneven_as_can_be() -> LitPage:
    page = lit()
    told = {
        setting: replace(one, numbers={**one.numbers, "max_to_min": 1 + 0.11 * number})
        for number, (setting, one) in enumerate(page.told.items())
    }
    return replace(page, told=told)


def test_choices_are_called_what_they_are() -> None:
    """Rows that pitch alone does not tell, unlike walls and paint are named as such."""
    told = page_plan(study_of("rows.pitch=", "rows.count=3", "rows.edge_distance=2 in"))
    labels = [pitch_label(told, number) for number in range(len(told.layings))]
    assert labels == ["6 in", "8 in", "10 in, the study's own rows", "12 in"]
    by_pitch = page_plan(study_of("rows.pitch=", "rows.count=3", "rows.edge_distance=4 in"))
    assert [pitch_label(by_pitch, number) for number in range(3)] == ["6 in", "8 in", "12 in"]
    assert contents_of(lit("rows.pitch=", "rows.count=3", "rows.edge_distance=2 in")).choices[
        "pitch_heads"
    ] == [
        "6",
        "8",
        "10 own",
        "12",
    ]
    unlike = page_plan(study_of("interior.left_return_reflectance=0.2", "page.repainted=0.9"))
    assert [walls_label(unlike, one) for one in unlike.walls] == [
        "as in the study (back 0.85, returns 0.2 to 0.85)",
        "painted white (back and returns 0.9)",
    ]
