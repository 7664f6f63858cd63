"""Of double-sided cabinets the text says which face is told of, how both stand and which one decides."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from lumsim.report.faces_text import both_faces_lines
from lumsim.report.light_text import cabinet_text, light_text, picture_facts
from lumsim.report.notes import warnings
from lumsim.report.points import points_text
from lumsim.simulation import Simulation, simulate
from lumsim.study.answering import answer
from lumsim.study.reading import Study, study_from_text
from tests import cabinets
from tests.cabinets import DIRECT, OPAL
from tests.cli.called import MIRRORED, SMALL, UNEQUAL


def lit(text: str, *changes: str) -> tuple[Study, Simulation]:
    """Return a study and its light."""
    study = study_from_text(text, changes=changes)
    return study, answer(study)


@pytest.fixture(scope="module")
def unequal() -> tuple[Study, Simulation]:
    """Light the sign whose rear face fails once for the module."""
    return lit(UNEQUAL)


@pytest.fixture(scope="module")
def mirrored() -> tuple[Study, Simulation]:
    """Light the sign whose faces are mirror images once for the module."""
    return lit(MIRRORED)


def test_what_is_built_tells_both_faces_and_the_rows_between_them(unequal: tuple[Study, Simulation]) -> None:
    """Size face to face, each face's properties, the throw both ways and the share of the light each way."""
    told = "\n".join(cabinet_text(unequal[0]))
    for part in (
        "12 × 16 × 6 in inside, double-sided, face to face; reflectance returns 0.85",
        "  front     transmittance 0.4, reflectance 0.4, visible border 1 in",
        "  rear      transmittance 0.3, reflectance 0.5, visible border 1 in",
        "throw 4 in to the front, 2 in to the rear; 60 % of the light to the front, 40 % to the rear",
        # 1080 lm on two faces of 0.3048 m by 0.4064 m.
        "12, 1080 lm, 4359 lm/m² of both faces",
    ):
        assert part in told


def test_faces_that_are_alike_are_told_once(mirrored: tuple[Study, Simulation]) -> None:
    """Mirror images: one line for the faces, one heading, no table of both, one verdict for both."""
    study, simulation = mirrored
    text = light_text(study, simulation)
    for part in (
        "  faces     transmittance 0.4, reflectance 0.4, visible border 1 in, front and rear alike",
        "throw 3 in to the front, 3 in to the rear; half of the light each way",
        "Evenness of each visible face, 10 × 14 in: front and rear are lit as mirror images",
        "through the two faces, half each",
        "VERDICT (with reflected light): requirement met by both faces; stripes",
        "  Direct light and all that returns and both faces throw back",
    ):
        assert part in text
    for part in ("Both faces", "rear face", "the worse of the two"):
        assert part not in text


@pytest.mark.parametrize(
    ("share", "told"),
    [
        ("1", "throw 4 in to the front, all light that way"),
        ("0", "throw 2 in to the rear, all light that way"),
        ("0.5", "throw 4 in to the front, 2 in to the rear; half of the light each way"),
    ],
)
def test_no_throw_is_told_where_no_light_goes(share: str, told: str) -> None:
    """Modules that shine one way have one throw."""
    assert told in "\n".join(cabinet_text(study_from_text(UNEQUAL, changes=[f"rows.front_share={share}"])))


def test_listed_modules_tell_their_throws_both_ways() -> None:
    """Listed modules 20 and 50 mm above the rear face of a cabinet 200 mm deep, by that subtraction."""
    cabinet = cabinets.listed(
        0.6, 0.4, 0.2, [(0.1, 0.1), (0.2, 0.2)], z=np.array([0.05, 0.02]), front_share=0.5, rear=OPAL
    )
    study = replace(study_from_text(MIRRORED), cabinet=cabinet, units="mm")
    assert any(
        "throw 150 mm to 180 mm to the front, 20 mm to 50 mm to the rear" in line
        for line in cabinet_text(study)
    )


def test_the_worse_face_is_told_and_both_stand_side_by_side(unequal: tuple[Study, Simulation]) -> None:
    """The heading names the worse face, the table holds both faces' own numbers, the verdict says who fails."""
    study, simulation = unequal
    text = light_text(study, simulation)
    assert "Evenness of the rear face, 10 × 14 in visible, the worse of the two" in text
    assert "places on it are counted as seen from the front" in text
    assert "Rear face, seen from outside" in text
    assert "requirement NOT met by the rear face (the front face meets it): stripes" in text
    assert "modules farther from the rear face" in text
    assert simulation.rear is not None
    for title, name in (
        ("max/min", "max_to_min"),
        ("edge dimming", "edge_dimming"),
        ("stripes", "stripe_max_to_min"),
    ):
        printed = re.search(rf"^  {title} +([0-9.]+) +([0-9.]+)$", text, re.MULTILINE)
        assert printed is not None
        for shown, face in zip(printed.groups(), simulation.faces, strict=True):
            assert float(shown) == pytest.approx(getattr(face.evenness, name), abs=0.0051)
    assert re.search(r"^  requirement +met +NOT met$", text, re.MULTILINE)


def test_lumens_are_told_through_and_in_each_face(unequal: tuple[Study, Simulation]) -> None:
    """What is printed for faces and returns adds up to all that is given."""
    text = light_text(*unequal)
    block = text.partition("Where the lumens went\n")[2].partition("Of the light")[0].splitlines()
    flux = {line[: line.index("  ", 3)].strip(): float(line.split(" lm ")[0].split()[-1]) for line in block}
    assert flux.keys() == {
        "given by the modules", "through the front face", "through the rear face", "absorbed in the front face",
        "absorbed in the rear face", "absorbed in the returns",
    }  # fmt: skip
    given = flux.pop("given by the modules")
    assert given == 1080
    assert sum(flux.values()) == pytest.approx(given, rel=1e-3)


def test_returns_that_differ_are_told_one_by_one() -> None:
    """Returns of one reflectance share a line; with one black return each has its reflectance and lumens."""
    study, simulation = lit(SMALL, "interior.left_return_reflectance=0.05")
    text = light_text(study, simulation)
    assert "reflectance back 0.85, returns left 0.05, right 0.85, bottom 0.85, top 0.85" in text
    line = next(line for line in text.splitlines() if "absorbed in the returns" in line)
    each = [float(number) for number in re.findall(r"(?:left|right|bottom|top) ([0-9.]+) lm", line)]
    assert sum(each) == pytest.approx(simulation.ledger.absorbed_returns, rel=1e-3)
    assert "right" not in next(
        line for line in light_text(*lit(SMALL)).splitlines() if "in the returns" in line
    )


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ("3", "requirement met by both faces; the rear face decides: stripes"),
        ("1.001", "requirement NOT met by either face; the rear face is the worse: stripes"),
    ],
)
def test_the_verdict_names_the_face_that_decides(limit: str, said: str) -> None:
    """Where both meet the requirement, or neither does, the worse one is named."""
    assert said in light_text(*lit(UNEQUAL, f"requirement.stripe_max_to_min={limit}"))


def test_without_a_requirement_the_table_tells_no_verdict() -> None:
    """Where nothing is required no face meets or fails it."""
    _, simulation = lit(UNEQUAL, "requirement.stripe_max_to_min=")
    assert not any("requirement" in line for line in both_faces_lines(simulation))
    assert both_faces_lines(simulation)


def test_points_are_answered_on_both_faces(
    unequal: tuple[Study, Simulation], mirrored: tuple[Study, Simulation]
) -> None:
    """A line for each face where they differ, with lx and cd/m²; one for both where they are mirror images."""
    text = points_text(*unequal, [(0.1524, 0.2032)])
    found = re.findall(r"^    (front|rear) +([0-9.]+) lx .*, ([0-9.]+) cd/m²$", text, re.MULTILINE)
    assert [side for side, _, _ in found] == ["front", "rear"]
    # L = τ E / π; τ is 0.4 in front and 0.3 behind.
    for (_, lux, luminance), transmittance in zip(found, (0.4, 0.3), strict=True):
        assert float(luminance) == pytest.approx(float(lux) * transmittance / np.pi, rel=1e-4)
    assert re.search(
        r"8 in from bottom: .* cd/m², front and rear alike$", points_text(*mirrored, [(0.1524, 0.2032)]), re.M
    )


def test_faces_lit_alike_are_equals_whatever_rounding_makes_of_them() -> None:
    """Midway, with unequal shares of direct light alone, both faces have one max/min: the front answers."""
    cabinet = cabinets.listed(
        0.7, 0.4, 0.16, [(0.1, 0.08), (0.33, 0.2), (0.52, 0.31)], z=0.08, front_share=0.7, rear=OPAL
    )
    simulation = simulate(cabinet, lighting=DIRECT)
    assert simulation.rear is not None
    assert simulation.rear.evenness.max_to_min == pytest.approx(
        simulation.front.evenness.max_to_min, rel=1e-12
    )
    assert simulation.worse is simulation.front


def test_warnings_name_the_face_they_are_about() -> None:
    """A rear face whose border leaves less than two windows is warned of by name, and the front is not."""
    study, simulation = lit(UNEQUAL, "face.rear.visible_border=4.5 in")
    (warning,) = warnings(simulation, study.units)
    assert "less than one whole period of the rows on the rear face" in warning


def test_facts_under_a_picture_are_those_of_the_face_drawn(unequal: tuple[Study, Simulation]) -> None:
    """Of the front face its own numbers and verdict are told, though the rear is the worse."""
    _, simulation = unequal
    front, rear, worse = (picture_facts(simulation, side) for side in ("front", "rear", None))
    assert worse == rear
    assert f"max/min {simulation.front.evenness.max_to_min:.2f}" in front[0]
    assert "requirement met" in front[1]
    assert "requirement NOT met" in rear[1]
