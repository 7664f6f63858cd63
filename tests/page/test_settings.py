"""What a page shows at a setting is what `light` says of the study that is set so."""

from __future__ import annotations

import pickle

import pytest

from lumsim.chunks import Crew
from lumsim.page.document import page_document
from lumsim.page.lit_settings import Told, lit_page
from lumsim.report.document import light_document
from lumsim.report.light_text import light_text
from lumsim.study.answering import answer
from lumsim.study.paging import BLACK, Setting, page_plan
from lumsim.study.reading import Study
from lumsim.units import format_length
from tests.page.shown_page import lit, study_of

TWO_FACES = (
    "cabinet.faces=2",
    "interior.back_reflectance=",
    'rows.on="plane"',
    "rows.z=2 in",
    "rows.front_share=0.6",
)
AGED = ("ageing.maintenance_factor=0.8", "ageing.dirt_factor=0.9")
UPRIGHT = ('rows.direction="vertical"', "requirement.max_to_min=1.7")


def changes_of(page: Study, setting: Setting, *more: str) -> list[str]:
    """Return the setting as a user would write it for `light`."""
    plan = page_plan(page)
    pitch, depth = plan.layings[setting.laying].pitch, plan.depths[setting.depth]
    assert pitch is not None
    changes = [
        f"rows.pitch={format_length(pitch, 'in')}",
        f"cabinet.depth={format_length(depth, 'in')}",
        *more,
    ]
    if plan.walls[setting.walls].repainted is not None:
        back = [] if "cabinet.faces=2" in more else [f"interior.back_reflectance={BLACK}"]
        changes += [*back, f"interior.return_reflectance={BLACK}"]
    return changes


@pytest.mark.parametrize(
    "more", [(), TWO_FACES, AGED, UPRIGHT], ids=["plain", "two faces", "aged", "upright"]
)
def test_every_number_is_that_of_light_to_the_digits_printed(more: tuple[str, ...]) -> None:
    """At corners, at the study and at one between, each number, place and verdict stands in what `light` prints."""
    page = study_of(*more)
    plan = page_plan(page)
    own = plan.own
    chosen = [
        own,
        Setting(laying=0, depth=0, walls=1),
        Setting(laying=2, depth=0, walls=0),
        Setting(laying=2, depth=2, walls=1),
    ]
    for setting in chosen:
        told = lit(*more).told[setting]
        study = study_of(*changes_of(page, setting, *more))
        light = answer(study)
        printed = light_text(study, light)
        lines = [" ".join(line.split()) for line in printed.splitlines()]
        for title, value, state in told.evenness:
            begins = " ".join(f"{title} {value} {f'({state})' if state else ''}".split())
            assert any(line.startswith(begins) for line in lines), begins
        assert told.verdict in printed
        assert told.met == light.met
        for level in told.levels:
            value, _, place = level.partition(" at ")
            assert any(value in line and place in line for line in lines), level
        for text in told.warnings[1:]:
            assert f"WARNING: {text}" in printed
        for said in told.rows.removesuffix(".").split("; "):
            assert said in printed or said[0].lower() + said[1:] in printed
        document = light_document(study, light)
        assert told.numbers["max_to_min"] == pytest.approx(document["uniformity"]["max_to_min"], rel=1e-9)
        assert told.requirement == document["requirement"] or more == AGED


def test_workers_make_the_same_page() -> None:
    """Two processes light the settings to the same bytes as one, so that the page does not depend on the machine."""
    plan = page_plan(study_of('page.pitches=["12 in"]', 'page.depths=["9 in"]'))
    alone, together = lit_page(plan), lit_page(plan, crew=Crew(processes=2))
    assert list(alone.told) == list(together.told)
    for setting, one in alone.told.items():
        assert pickle.dumps(_plain(one)) == pickle.dumps(_plain(together.told[setting]))


def _plain(told: Told) -> list[object]:
    return [
        told.evenness,
        told.levels,
        told.verdict,
        dict(told.numbers),
        told.face.dots.tobytes(),
        told.error,
    ]


def test_black_walls_are_dimmer_and_shallow_boxes_more_striped() -> None:
    """Of the same rows the black box is darker than the white one, and the shallow one more striped."""
    told = lit().told
    for laying in range(3):
        for depth in range(3):
            white, black = (
                told[Setting(laying=laying, depth=depth, walls=walls)].numbers for walls in (0, 1)
            )
            assert black["mean"] < white["mean"]
        shallow, deep = (told[Setting(laying=laying, depth=depth, walls=0)].numbers for depth in (0, 2))
        assert deep["stripe_max_to_min"] <= shallow["stripe_max_to_min"]


def test_the_error_told_is_the_worst_of_those_looked_at() -> None:
    """The study and the ends of both sliders are held against half as fine a mesh; the largest error is told."""
    page = lit()
    with_error = {setting for setting, one in page.told.items() if one.error is not None}
    ends = {Setting(laying=a, depth=b, walls=c) for a in (0, 2) for b in (0, 2) for c in (0, 1)}
    assert with_error == {page.plan.own} | ends
    worst = max(one.error for one in page.told.values() if one.error is not None)
    assert float(page.error.removesuffix(" %")) / 100 >= worst * 0.999


def test_json_has_every_setting_in_si() -> None:
    """The document has a setting for each choice, with pitch and depth in metres and the numbers of `light`."""
    page = lit()
    document = page_document(page)
    assert len(document["settings"]) == 3 * 3 * 2
    first = document["settings"][0]
    assert (first["row_pitch_m"], first["depth_m"]) == (pytest.approx(0.1524), pytest.approx(0.1016))
    told = page.told[Setting(laying=0, depth=0, walls=0)]
    assert first["uniformity"]["max_to_min"] == told.numbers["max_to_min"]
    assert first["luminance"]["mean_cd_m2"] == told.numbers["mean"]
    assert {one["repainted"] for one in document["settings"]} == {None, BLACK}
