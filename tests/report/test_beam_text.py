"""Beams and photometric files as text and document: what the file says as it stands, figures in a reader's words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.lm63 import PhotometricFile, read_lm63
from lumsim.beams.tables import Table, UniformPlane
from lumsim.cabinet.modules import Module
from lumsim.report.beam_text import ToldBeam, beam_facts, beam_text, beams_document
from lumsim.report.json_text import as_json
from tests.beams.written_lm63 import NAME, cosine_power, sweep, written


def module(beam: Beam, *, watts: float | None = None) -> ToldBeam:
    """Make what is told of a module of 90 lm."""
    return ToldBeam.of_module(Module(name="standard", lumens=90.0, watts=watts, beam=beam))


def text_of(one: ToldBeam) -> str:
    """Return the text of one beam."""
    return beam_text([one], title="A sign")


def lambertian_file(**given: object) -> PhotometricFile:
    """Read a file of a Lambertian beam with 100 cd ahead, so of 100 π lm."""
    vertical, horizontal = np.arange(0, 90.1, 0.5), sweep(90.0)
    return read_lm63(written(vertical, horizontal, cosine_power(1, vertical, horizontal), **given), NAME)  # type: ignore[arg-type]


def test_a_lambertian_module_is_told_in_figures() -> None:
    """Flux, lm/W, 90/π cd ahead, 120 and 168.5 degrees, a quarter of the flux within 30 degrees."""
    text = text_of(module(LAMBERTIAN, watts=0.8))
    for part in (
        "Module standard: Lambertian",
        "90 lm, 112 lm/W at 0.8 W",
        "28.65 cd on the axis",
        "120 deg: half of 28.65 cd or more within 60 deg of the axis",
        "168.5 deg: a tenth of 28.65 cd or more within 84.3 deg of the axis",
        "30 deg 25.0 %, 60 deg 75.0 %, 75 deg 93.3 %, 90 deg 100.0 %",
    ):
        assert part in text
    for absent in ("plane", "beyond 90", "hollow", "WARNING"):
        assert absent not in text


@pytest.mark.parametrize(
    ("beam", "said"),
    [
        (CosinePower(exponent=0.0), "within 90 deg of the axis, cut off there"),
        (
            Wide(width=100.0),
            "156.7 deg: half of 21.95 cd or more within 78.4 deg of the axis; hollow: less on the axis",
        ),
        (Wide(width=2.0), "20.26 cd at 45 deg from the axis, all round"),
        (
            UniformPlane(cut_off=math.radians(60)),
            "60 deg of the axis, cut off there; hollow: less on the axis",
        ),
        (
            Table(angles=(0.0, math.pi), values=(1.0, 1.0)),
            "360 deg: half of 7.162 cd or more as far as straight back",
        ),
        (Table(angles=(0.0, math.pi), values=(1.0, 1.0)), "beyond 90 deg 50.0 %"),
        (Table(angles=(0.0, 1.0, 2.0, math.pi), values=(1.0, 0.0, 0.0, 1.0)), "as much again behind"),
        (Table(angles=(0.0, 0.5, 1.0, 1.5), values=(1.0, 0.2, 1.0, 0.0)), "less in places between"),
    ],
)
def test_what_is_peculiar_of_a_beam_is_told(beam: Beam, said: str) -> None:
    """Cut-offs, hollow beams, peaks off the axis, light behind: each in words."""
    assert said in text_of(module(beam))


def test_zones_are_told_as_far_as_there_is_light() -> None:
    """Nine zones where all light goes forward, eighteen where some goes back; Lambertian: sin² of the edges."""
    forward = text_of(module(LAMBERTIAN)).splitlines()
    shares = [line for line in forward if "share [%]" in line]
    assert len(shares) == 1
    told = [float(one) for one in shares[0].split("]")[1].split()]
    assert told == pytest.approx(100 * np.diff(np.sin(np.radians(np.arange(0, 91, 10))) ** 2), abs=0.051)
    both = text_of(module(Table(angles=(0.0, math.pi), values=(1.0, 1.0))))
    assert both.count("share [%]") == 2
    assert "170-180" in both


def test_a_file_is_told_as_it_stands() -> None:
    """Edition, labels, rated lumens, multiplier, watts, opening, angles and symmetry, and remarks as warnings."""
    file = lambertian_file(
        lamps=2, lumens=160, multiplier=0.9, watts=4, size=(0.03, 0.06, 0), twelfth=7, labels=("[TEST] 12-b",)
    )
    text = beam_text([ToldBeam.of_file(file)], title="module.ies", warnings=file.remarks)
    for part in (
        "LM-63-2002",
        "[TEST]      12-b",
        "2 × 160 lm; the light measured is 88.4 % of it",
        "0.9, applied to every intensity",
        "4 W",
        "60 mm along 0 deg, 30 mm across, 0 mm high",
        "type C; vertical 181 from 0 to 90 deg, 0.5 deg apart; horizontal 5 from 0 to 90 deg, 22.5 deg apart",
        "quadrants alike",
        "282.7 lm, 70.7 lm/W at 4 W",
        "90 cd on the axis",
        "WARNING: ",
        "future use is 7",
    ):
        assert part in text, part


def test_a_file_without_rated_lumens_or_watts_says_so() -> None:
    """Absolute photometry, a point, watts of 0: nothing is made up, no lm/W told."""
    text = text_of(ToldBeam.of_file(lambertian_file(watts=0, edition="LM-63-2019", twelfth=1.0001)))
    for part in ("absolute photometry", "not told", "a point", "file generation: simulated"):
        assert part in text
    assert "lm/W" not in text
    assert "multiplier" not in text


def test_unlike_planes_are_told_each_by_itself() -> None:
    """Twice as steep across as along: either plane has its own angle, and what the planes are is said."""
    vertical, horizontal = np.arange(0, 90.1, 1.0), np.array([0.0, 90.0])
    candela = np.concatenate([cosine_power(m, vertical, horizontal[:1]) for m in (1, 4)])
    one = ToldBeam.of_file(read_lm63(written(vertical, horizontal, candela), NAME))
    text = text_of(one)
    assert "in plane 0-180  120 deg" in text
    # acos of the fourth root of a half is 32.77 degrees.
    assert "in plane 90-270 65.5 deg" in text
    assert "0 lies along the row" in text
    facts = beam_facts(one)
    assert "0–180 120 deg, 90–270 65.5 deg" in facts[2]
    assert "all round" not in text


def test_light_on_one_side_is_told_by_side() -> None:
    """A beam from 20 to 60 degrees towards 90 says between which directions, towards which half plane."""
    vertical, horizontal = np.arange(0, 91, 10.0), sweep(360.0)
    candela = np.zeros((5, 10))
    candela[1, 2:7] = 50
    text = text_of(ToldBeam.of_file(read_lm63(written(vertical, horizontal, candela), NAME)))
    assert "50 deg: half of 50 cd or more from 15 deg towards 90 to 65 deg towards 90" in text
    assert "none: no light in this plane" in text
    assert "50 cd at 20 deg from the axis, towards 90 deg" in text


def test_the_document_holds_every_figure() -> None:
    """Angles in degrees, shares of all 18 zones that add up to 1, the file with its angles; no value JSON lacks."""
    told = ToldBeam.of_file(lambertian_file(watts=4))
    document = beams_document([told, module(LAMBERTIAN)], source="module.ies", warnings=("odd",))
    assert document["warnings"] == ["odd"]
    first, second = document["beams"]
    assert first["file"]["absolute"] is True
    assert first["file"]["vertical_deg"] == [0.5 * step for step in range(181)]
    assert second["file"] is None
    assert second["watts"] is None
    assert second["lumens_per_watt"] is None
    assert second["beam"] == {"shape": "lambertian"}
    assert second["beam_angle"]["0-180"]["angle_deg"] == pytest.approx(120)
    assert second["field_angle"]["90-270"]["to_deg"] == pytest.approx(math.degrees(math.acos(0.1)))
    assert len(second["zones"]) == 18
    assert math.fsum(zone["share"] for zone in second["zones"]) == pytest.approx(1)
    assert math.fsum(zone["lumens"] for zone in second["zones"]) == pytest.approx(90)
    assert "NaN" not in as_json(document)
