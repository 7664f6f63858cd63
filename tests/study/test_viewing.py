"""The [viewing] table: what it may say, what is refused, and what is told of a lit face."""

from __future__ import annotations

import pytest

from lumsim.cabinet.face import Face
from lumsim.simulation import simulate
from lumsim.study.reading import study_from_text
from lumsim.study.reports import distance_shown
from lumsim.study.viewing import viewed
from lumsim.uniformity.gratings import modulation_along
from lumsim.uniformity.threshold import SeenFace, seen_at, stretch_above
from lumsim.units import Units
from tests import cabinets
from tests.cabinets import DIRECT
from tests.study.written import SIGN, line_of, problem


def asked(distances: str) -> str:
    """Return the sign with distances as they are written."""
    return f"{SIGN}\n[viewing]\ndistances = {distances}\n"


def test_distances_are_read_rising_and_exact() -> None:
    """Lengths of any unit come in metres, the nearest first, farther than any cabinet is large; none unless said."""
    study = study_from_text(asked('["120 m", "10 ft", "1 km"]'.replace("1 km", "1000 m")))
    assert study.viewing == (3.048, 120.0, 1000.0)
    assert study_from_text(SIGN).viewing == ()
    assert study_from_text(f"{SIGN}\n[viewing]\n").viewing == ()
    assert study_from_text(SIGN, changes=['viewing.distances=["3 m", "20 m"]']).viewing == (3.0, 20.0)


@pytest.mark.parametrize(
    ("distances", "key", "said"),
    [
        ("[]", "viewing.distances", "is empty: give at least one"),
        ('"3 m"', "viewing.distances", 'must be a list such as ["10 ft", "120 m"], got \'3 m\''),
        ("[3]", "viewing.distances.1", 'got the bare number 3: write "3 ft" or "3 m"'),
        ("[true]", "viewing.distances.1", 'must be a length in quotes such as "10 ft" or "3 m", got True'),
        ('["0 m"]', "viewing.distances.1", "must be more than 0, got 0 m"),
        ('["3 m", "-1 ft"]', "viewing.distances.2", "must be more than 0, got -1 ft"),
        ('["10001 m"]', "viewing.distances.1", "must be at most 10000 m, got 10001 m"),
        ('["10 ft", "3048 mm"]', "viewing.distances", "names 10 ft twice: once is enough"),
        (str([f"{n} m" for n in range(1, 22)]), "viewing.distances", "at most 20 are taken, got 21"),
    ],
)
def test_distances_that_are_none_are_refused(distances: str, key: str, said: str) -> None:
    """Each with its line, its key and what would be right."""
    text = asked(distances)
    one = problem(text)
    assert (one.line, one.key) == (line_of(text, "distances"), key)
    assert said in one.text


def test_another_key_is_met_with_the_one_that_is_known() -> None:
    """A misspelt key is met with the right one."""
    assert "did you mean distances?" in problem(f'{SIGN}\n[viewing]\ndistance = ["3 m"]\n').text


def test_each_distance_is_told_for_rows_and_for_modules() -> None:
    """Of a lit face rows and modules have their pitch, their modulation and the threshold of each distance."""
    cabinet = cabinets.in_rows(1.2, 0.9, 0.15, rows=5, modules=6)
    lit = simulate(cabinet, lighting=DIRECT).front
    found = viewed(cabinet, lit, (1.0, 5.0, 200.0))
    face = SeenFace(width=1.2, height=0.9, luminance=lit.evenness.mean)
    assert found.face == face
    for grating, of, axis, pitch in zip(
        found.gratings, ("rows", "modules"), ("y", "x"), (0.18, 0.2), strict=True
    ):
        modulation = modulation_along(lit.luminance, axis, pitch)  # type: ignore[arg-type]
        assert (grating.of, grating.why_not) == (of, "")
        assert grating.pitch == pytest.approx(pitch)
        assert grating.modulation == pytest.approx(modulation, rel=1e-9)
        assert [one.times for one in grating.seen] == pytest.approx(
            [seen_at(face, pitch, modulation, distance).times for distance in (1.0, 5.0, 200.0)], rel=1e-9
        )
        stretch = stretch_above(face, pitch, modulation, 1.0, 200.0)
        assert [pytest.approx(one) for one in grating.above] == ([] if stretch is None else [stretch])
    assert viewed(cabinet, lit, (5.0,)).gratings[0].above == ()


def test_what_has_no_pitch_and_what_is_too_small_is_not_told() -> None:
    """A single row, and modules of which the face shows less than two pitches: no number, and the reason."""
    cabinet = cabinets.in_rows(0.3, 0.2, 0.15, rows=1, modules=2, face=Face(
        transmittance=0.4, reflectance=0.4, visible_border=0.01))  # fmt: skip
    rows, modules = viewed(cabinet, simulate(cabinet, lighting=DIRECT).front, (3.0, 9.0)).gratings
    assert (rows.modulation, rows.why_not) == (None, "a single row has no pitch")
    assert (modules.modulation, modules.why_not) == (None, "the visible face is less than two pitches long")
    assert (rows.seen, modules.above) == ((), ())


@pytest.mark.parametrize(
    ("metres", "units", "written"),
    [
        (3.0, "mm", "3 m"), (3.0, "in", "9.84 ft"), (3.048, "in", "10 ft"), (120.0, "mm", "120 m"),
        (121.92, "in", "400 ft"), (1234.0, "mm", "1234 m"), (0.25, "mm", "0.25 m"), (10.0, "mm", "10 m"),
        (100.04, "mm", "100 m"), (62.5, "mm", "62.5 m"),
    ],
)  # fmt: skip
def test_distances_are_written_in_feet_and_metres(metres: float, units: Units, written: str) -> None:
    """Three digits, and all whole ones; a nought that stands for nothing is left out, one that counts is kept."""
    assert distance_shown(metres, units) == written
