"""The studies to teach from show what the comment at the head of each says, to the digits that stand there."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from lumsim.simulation import Simulation
from lumsim.study.answering import answer
from lumsim.study.reading import Study, read_study
from lumsim.study.searching import search

TEACHING = Path(__file__).parents[2] / "studies" / "teaching"

WHITE = ("interior.back_reflectance=0.85", "interior.return_reflectance=0.85")
WIDE = ("modules.standard.beam.shape=wide", "modules.standard.beam.width=1.5")
THIRD_ROW = ('rows.at=["7 1/2 in", "15 in", "22 1/2 in"]',)
CLOSER = ('rows.at=["6 in", "12 in"]',)
LOW = ("cabinet.depth=3 1/2 in",)
BLACK = ("interior.back_reflectance=0.05", "interior.return_reflectance=0.05")
NEW_BRACKETS = ('rows.at=["5 in", "15 in", "25 in"]',)


def study_of(name: str, *changes: str) -> Study:
    """One of the studies, with changes."""
    return read_study(TEACHING / f"{name}.toml", changes=changes)


@cache
def lit(name: str, *changes: str) -> Simulation:
    """One of the studies, lit with changes."""
    return answer(study_of(name, *changes))


def stripes(name: str, *changes: str) -> float:
    """The stripes number of a study, lit with changes."""
    return lit(name, *changes).evenness.stripe_max_to_min


def max_to_min(name: str, *changes: str) -> float:
    """Max/min of a study, lit with changes."""
    return lit(name, *changes).evenness.max_to_min


def mean(name: str, *changes: str) -> float:
    """The mean luminance of a study, lit with changes. [cd/m²]"""
    return lit(name, *changes).evenness.mean


def lumens(name: str) -> float:
    """Of all modules of a study. [lm]"""
    return float(study_of(name).cabinet.emitters().flux.sum())


def limit(name: str) -> float:
    """What the study asks of its stripes."""
    stripes = study_of(name).requirement.stripe_max_to_min
    assert stripes is not None
    return stripes


def says(name: str, pattern: str) -> tuple[str, ...]:
    """What stands in the comment of a study at the places that a pattern marks."""
    head = (TEACHING / f"{name}.toml").read_text(encoding="utf-8").split("\n\n")[0]
    comment = " ".join(line.removeprefix("# ") for line in head.splitlines()[1:])
    found = re.search(pattern, comment)
    assert found is not None, (name, pattern, comment)
    return found.groups()


def holds(said: str, value: float) -> bool:
    """Whether a number is what is said, to the digits said; a tenth of the last one more for another machine."""
    digits = len(said.partition(".")[2])
    return abs(value - float(said)) <= 0.6 * 10.0**-digits


def test_three_depths_are_one_sign() -> None:
    """The three depths of Alder Hall are the same sign but for the depth: face, rows, modules and requirement alike."""
    shallow = "alder-hall-shallow"
    for other, depth in (("alder-hall-middle", "8 in"), ("alder-hall-deep", "12 in")):
        assert study_of(shallow).cabinet != study_of(other).cabinet
        assert study_of(shallow, f"cabinet.depth={depth}").cabinet == study_of(other).cabinet
        assert study_of(shallow).requirement == study_of(other).requirement


WORDS = ("no", "one", "two", "three", "four", "five", "six")


def test_the_depths_named_are_those_of_the_others() -> None:
    """What the heads of the three say of the other two's depths, and of how much there is between them, is so."""
    depths = {
        name: study_of(f"alder-hall-{name}").cabinet.box.depth / 0.0254
        for name in ("shallow", "middle", "deep")
    }
    less, more = says("alder-hall-middle", r"(\w+) inches less .*?\(alder-hall-shallow.*?, (\w+) more")
    assert WORDS.index(less.lower()) == pytest.approx(depths["middle"] - depths["shallow"])
    assert WORDS.index(more) == pytest.approx(depths["deep"] - depths["middle"])
    passes, fails = says("alder-hall-deep", r"pass at (\d+) in .* fail at (\d+) in")
    assert (float(passes), float(fails)) == pytest.approx((depths["middle"], depths["shallow"]))
    middle, deep = says("alder-hall-shallow", r"At (\d+) in the same .*, at (\d+) in")
    assert (float(middle), float(deep)) == pytest.approx((depths["middle"], depths["deep"]))


def test_the_shallow_one_shows_stripes() -> None:
    """At 5 in rows 12 in on centre are half as bad again as is asked for; rows 6 in on centre are met there."""
    name = "alder-hall-shallow"
    (said, asked) = says(name, r"\(stripes ([\d.]+), at most ([\d.]+) asked for\)")
    assert holds(said, stripes(name))
    assert float(asked) == limit(name)
    assert not lit(name).met
    assert stripes(name) > 1.4 * limit(name)
    says(name, r'--set rows\.pitch="6 in"')
    assert lit(name, "rows.pitch=6 in").met


def test_the_middle_one_just_passes() -> None:
    """At 8 in the same rows pass with less than 3 % to spare of the stripes."""
    name = "alder-hall-middle"
    (said, asked) = says(name, r"\(stripes ([\d.]+), at most ([\d.]+) asked for\)")
    assert holds(said, stripes(name))
    assert float(asked) == limit(name)
    assert lit(name).met
    assert 0.97 * limit(name) < stripes(name) <= limit(name)


def test_the_deep_one_has_dark_edges_alone() -> None:
    """At 12 in no stripes are left but dark edges, so that the darkest place is a corner of what is seen."""
    name = "alder-hall-deep"
    (said, asked, left) = says(
        name, r"\(([\d.]+), at most ([\d.]+) asked for\).*max/min, ([\d.]+), is theirs"
    )
    assert holds(said, stripes(name))
    assert float(asked) == limit(name)
    assert lit(name).met
    assert stripes(name) < 1.05
    assert holds(left, max_to_min(name))
    assert lit(name).evenness.edge_dimming > 1.2
    darkest, seen = lit(name).evenness.darkest, study_of(name).cabinet.visible
    assert min(darkest.x - seen.x0, seen.x1 - darkest.x) < 0.001
    assert min(darkest.y - seen.y0, seen.y1 - darkest.y) < 0.001


def test_two_pitches_have_the_same_lumens_in_one_box() -> None:
    """Wren Cinema is one box and one amount of light twice; the pitch is twice as wide with modules twice as strong."""
    even, striped = study_of("wren-cinema-even"), study_of("wren-cinema-striped")
    assert lumens("wren-cinema-even") == pytest.approx(lumens("wren-cinema-striped"), rel=1e-12)
    assert even.cabinet.face == striped.cabinet.face
    assert even.cabinet.box == striped.cabinet.box
    assert even.requirement == striped.requirement
    assert mean("wren-cinema-even") == pytest.approx(mean("wren-cinema-striped"), rel=0.05)
    rows, pitch, strength = says("wren-cinema-even", r"here (\w+) rows (\d+) in on centre of (\d+) lm")
    assert WORDS.index(rows) == len(even.cabinet.row_lines)
    assert float(pitch) * 0.0254 == pytest.approx(even.cabinet.groups[0].row_pitch)
    assert float(strength) == even.cabinet.emitters().flux[0]
    rows, pitch, strength = says("wren-cinema-striped", r"here (\w+) rows (\d+) in on centre of (\d+) lm")
    assert WORDS.index(rows) == len(striped.cabinet.row_lines)
    assert float(pitch) * 0.0254 == pytest.approx(striped.cabinet.groups[0].row_pitch)
    assert float(strength) == striped.cabinet.emitters().flux[0]
    assert 2 * len(striped.cabinet.row_lines) == len(even.cabinet.row_lines)


def test_the_pitch_alone_makes_the_stripes() -> None:
    """Four rows are even and two are not, and modules twice as strong change nothing."""
    (said,) = says("wren-cinema-even", r"\(stripes ([\d.]+)\)")
    assert holds(said, stripes("wren-cinema-even"))
    assert lit("wren-cinema-even").met
    name = "wren-cinema-striped"
    (said, asked) = says(name, r"\(stripes ([\d.]+), at most ([\d.]+) asked for\)")
    assert holds(said, stripes(name))
    assert float(asked) == limit(name)
    assert not lit(name).met
    says(name, r"--set modules\.strong\.lumens=240")
    assert stripes(name, "modules.strong.lumens=240") == pytest.approx(stripes(name), rel=1e-9)
    assert mean(name, "modules.strong.lumens=240") == pytest.approx(2 * mean(name), rel=1e-9)


def test_two_faces_take_twice_the_throw() -> None:
    """At 11 in face to face the platform's sign is as even as one of a single face 6 in deep: both throw 5 1/2 in."""
    name = "kestrel-platform"
    single = ("cabinet.faces=1", "rows.on=back", "rows.z=1/2 in", "cabinet.depth=6 in")
    (two, shallow, one) = says(
        name, r"\(stripes ([\d.]+)\).*\(([\d.]+)\), though a single.*\(([\d.]+)\): there"
    )
    assert holds(two, stripes(name))
    assert holds(shallow, stripes(name, "cabinet.depth=6 in"))
    assert holds(one, stripes(name, *single))
    assert lit(name).met
    assert not lit(name, "cabinet.depth=6 in").met
    assert lit(name, *single).met
    assert study_of(name).cabinet.throws("front") == pytest.approx(
        study_of(name, *single).cabinet.throws("front")[0]
    )
    assert stripes(name) == pytest.approx(stripes(name, *single), rel=0.02)


def test_no_one_thing_saves_the_foundry() -> None:
    """As found it fails; with paint alone, wide beams alone, a third row alone it fails too, as the comment says."""
    name = "old-foundry"
    said = says(
        name,
        r"Stripes ([\d.]+) and max/min ([\d.]+) .* paint \(([\d.]+) and ([\d.]+)\), not wide beams "
        r"\(([\d.]+) and ([\d.]+)\), not a third row midway \(([\d.]+), but max/min ([\d.]+)",
    )
    tried = ((), WHITE, WIDE, THIRD_ROW)
    for changes, one, whole in zip(tried, said[::2], said[1::2], strict=True):
        assert not lit(name, *changes).met, changes
        assert holds(one, stripes(name, *changes)), changes
        assert holds(whole, max_to_min(name, *changes)), changes


def test_a_third_row_midway_makes_the_edges_worse() -> None:
    """It does away with the stripes, but max/min grows, in white paint too: a fuller middle, the same edges."""
    name = "old-foundry"
    assert stripes(name, *THIRD_ROW) < limit(name)
    assert max_to_min(name, *THIRD_ROW) > 1.2 * max_to_min(name)
    assert max_to_min(name, *WHITE, *THIRD_ROW) > max_to_min(name, *WHITE)
    assert not lit(name, *WHITE, *THIRD_ROW).met


def test_white_paint_is_worth_a_row() -> None:
    """White paint lifts the foundry's mean luminance by half, as much as a third row, within a tenth of the gain."""
    name = "old-foundry"
    says(name, "White paint lifts the mean luminance by half, as a third row would")
    by_paint = mean(name, *WHITE) / mean(name) - 1
    by_row = mean(name, *THIRD_ROW) / mean(name) - 1
    assert by_paint == pytest.approx(0.5, abs=0.05)
    assert by_paint == pytest.approx(by_row, rel=0.1)


def test_paint_and_wide_beams_together_save_it() -> None:
    """On the same brackets, with the same lumens, both together meet the requirement; the saved study is just that."""
    name = "old-foundry-saved"
    (stripes_said, whole_said, asked, asked_whole) = says(
        name, r"Stripes are ([\d.]+) and max/min ([\d.]+), and both are met \(at most ([\d.]+) and ([\d.]+)"
    )
    assert lit(name).met
    assert holds(stripes_said, stripes(name))
    assert holds(whole_said, max_to_min(name))
    assert (float(asked), float(asked_whole)) == (limit(name), study_of(name).requirement.max_to_min)
    assert lumens(name) == lumens("old-foundry")
    assert study_of(name).requirement == study_of("old-foundry").requirement
    assert study_of(name).cabinet.row_lines == study_of("old-foundry").cabinet.row_lines
    assert study_of(name).cabinet.box == study_of("old-foundry", *WHITE).cabinet.box
    assert study_of(name).cabinet.face == study_of("old-foundry").cabinet.face
    assert stripes("old-foundry", *WHITE, *WIDE) == pytest.approx(stripes(name), rel=1e-9)
    assert max_to_min("old-foundry", *WHITE, *WIDE) == pytest.approx(max_to_min(name), rel=1e-9)


def test_new_brackets_and_paint_would_do_without_wide_beams() -> None:
    """Three rows at new places pass in the white box with the old beam, and not in the grey one."""
    says(
        "old-foundry-saved",
        "three rows at 5 in, 15 in and 25 in, the white box would pass without wide beams",
    )
    assert lit("old-foundry", *WHITE, *NEW_BRACKETS).met
    assert not lit("old-foundry", *NEW_BRACKETS).met


def band_contrasts(*changes: str) -> list[float]:
    """How far the bands of the demonstration box stand out, in per cent."""
    return [100 * one.contrast for one in lit("demonstration-box", *changes).spots.stripes]


def test_the_box_shows_two_bands_one_and_two_again() -> None:
    """Rows twice the throw apart are two bands; once the throw, one with dark edges; twice a lower throw, two again."""
    name = "demonstration-box"
    (first, again) = says(name, r"two bands \(contrast (\d+) %\).*one band.*two bands again \((\d+) %\)")
    wide, closer, low = band_contrasts(), band_contrasts(*CLOSER), band_contrasts(*CLOSER, *LOW)
    assert len(wide) == len(low) == 2
    assert all(holds(first, contrast) for contrast in wide)
    assert all(holds(again, contrast) for contrast in low)
    assert low == pytest.approx(wide, rel=0.15)
    assert closer == []
    assert lit(name, *CLOSER).evenness.edge_dimming > 1.2 * lit(name).evenness.edge_dimming
    for changes, missed in (
        ((), {"hot_spot_contrast"}),
        (CLOSER, {"max_to_min"}),
        ((*CLOSER, *LOW), {"hot_spot_contrast", "max_to_min"}),
    ):
        assert {one.name for one in lit(name, *changes).verdict.judged if not one.met} == missed


def test_one_band_has_no_gap_between_its_rows() -> None:
    """Rows as far apart as the throw have no gap, as two endless lines of light have none: each gives (1 + u²)^(-3/2).

    Its second derivative, (12 u² - 3)/(1 + u²)^(7/2), is nought at half the throw beside each. So midway is within 1 %
    of the brightest place, while at twice the throw the gap is a fifth darker and more.
    """
    for changes, least, most in ((CLOSER, 0.99, 1.0), ((), 0.0, 0.8)):
        cabinet = study_of("demonstration-box", *changes).cabinet
        face = lit("demonstration-box", *changes)
        middle = np.array([[cabinet.box.width / 2], [cabinet.box.height / 2]])
        midway = float(face.luminance.at(*middle)[0])
        assert least <= midway / face.evenness.brightest.value <= most


def test_black_paper_takes_half_of_the_light() -> None:
    """With black paper in place of white half the light is left, and bands stand out more."""
    name = "demonstration-box"
    (white, black) = says(name, r"takes half of the light, .* by (\d+) % stand out by (\d+) %")
    assert mean(name, *BLACK) / mean(name) == pytest.approx(0.5, abs=0.05)
    assert all(holds(white, contrast) for contrast in band_contrasts())
    assert all(holds(black, contrast) for contrast in band_contrasts(*BLACK))


def test_the_order_does_with_four_rows_and_not_with_three() -> None:
    """Gull Rock's three rows fail at 6 in; the widest pitch that does has four, and is on a half-inch mark."""
    name = "gull-rock-order"
    says(
        name,
        "three rows 12 in on centre, as always, in a cabinet only 6 in deep. It does not meet .*; four rows do",
    )
    assert not lit(name).met
    assert len(study_of(name).cabinet.row_lines) == 3
    found = search(study_of(name), "pitch").found.best
    assert found.rows.count == 4
    pitch = found.pitch / 0.0127
    assert pitch == pytest.approx(round(pitch), abs=1e-9)
    assert lit(name, f"rows.pitch={round(pitch)}/2 in").met
