"""The lit face as the eye would see it."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.image import imread
from matplotlib.transforms import Bbox
from numpy.typing import NDArray

from lumsim.cabinet.cabinet import Side
from lumsim.pictures.exposure import RATIOS_ONLY, Exposure
from lumsim.pictures.seen_face import draw_seen_face, words_of_seen_face
from lumsim.pictures.sheet import plain_number
from lumsim.pictures.writing import picture_bytes
from lumsim.simulation import Simulation, simulate
from lumsim.units import Units
from tests.cabinets import DIRECT, in_rows
from tests.pictures.face_drawn import axes_of
from tests.pictures.lettering_found import texts_of, unreadable
from tests.pictures.signs_lit import BORDERED, lit


def seen(
    simulation: Simulation, units: Units = "in", side: Side | None = None, exposure: Exposure | None = None
) -> Figure:
    """Draw a face under an ordinary title and two facts."""
    facts = ["max/min 2.09 · stripes 1.17", "direct light only"]
    return draw_seen_face(
        simulation, title="An invented sign", units=units, facts=facts, side=side, exposure=exposure
    )


Dots = tuple[NDArray[np.float64], Bbox]


def dots_of(figure: Figure) -> Dots:
    """Render a picture: its dots from the bottom up, and where in them the cabinet's inside is."""
    dots = imread(BytesIO(picture_bytes(figure, ".png")))[::-1, :, :3]
    return np.asarray(dots, dtype=np.float64), axes_of(figure, "face").bbox


def light_at(picture: Dots, across: float, up: float) -> float:
    """Light of a screen, over its white, at a share of the cabinet's width and height (IEC 61966-2-1, inverse)."""
    dots, box = picture
    red, green, blue = dots[int(box.y0 + up * box.height), int(box.x0 + across * box.width)]
    assert red == green == blue
    grey = float(red)
    return grey / 12.92 if grey <= 0.04045 else float(((grey + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize(
    ("name", "units"),
    [
        ("1:1", "in"),
        ("3:1", "mm"),
        ("12:1", "in"),
        ("1:12", "mm"),
        ("no border", "mm"),
        ("1:12, double-sided", "in"),
    ],
)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str, units: Units) -> None:
    """At any proportion, of one face or two, in inches and millimetres, every label can be read."""
    assert unreadable(seen(lit(name), units)) == []


def test_two_faces_at_one_exposure_stand_in_the_ratio_of_their_luminance() -> None:
    """Where one face has a third of the other's luminance, its dot on the screen gives a third of the light."""
    strong = in_rows(0.6, 0.3, 0.12, rows=2, modules=4, lumens=90.0, face=BORDERED)
    weak = in_rows(0.6, 0.3, 0.12, rows=2, modules=4, lumens=30.0, face=BORDERED)
    one, other = (simulate(cabinet, lighting=DIRECT) for cabinet in (strong, weak))
    exposure = Exposure.of([one.front, other.front])
    pictures = [dots_of(seen(each, exposure=exposure)) for each in (one, other)]
    for across, up in ((0.5, 0.5), (0.3, 0.4), (0.12, 0.2)):
        lights = [light_at(picture, across, up) for picture in pictures]
        # 8 bits: one step of 255 is up to 2 % of the light.
        assert lights[1] / lights[0] == pytest.approx(1 / 3, rel=0.03)
        there = one.luminance.at(np.array([0.6 * across]), np.array([0.3 * up]))[0]
        assert lights[0] == pytest.approx(there / one.evenness.brightest.value, rel=0.03)


def test_nothing_is_drawn_on_the_face() -> None:
    """On the face there is the image alone: no line, no marker, no text."""
    figure = seen(lit("1:1"))
    face = axes_of(figure, "face")
    assert len(face.images) == 1
    assert not face.lines
    assert not face.texts
    assert not face.collections


def test_around_the_face_is_dark() -> None:
    """The retainer gives less than a twentieth of the white's light, and the ground around it less than that."""
    picture = dots_of(seen(lit("1:1")))
    # The border is 25.4 of 600 mm.
    retainer, ground = light_at(picture, 0.02, 0.5), light_at(picture, -0.02, 0.5)
    assert ground < retainer < 0.05


def test_the_rear_face_is_seen_from_behind() -> None:
    """What is on the left from the front is on the right of the rear face's picture, which says so."""
    cabinet = lit("3:1, double-sided").cabinet
    simulation = lit("3:1, double-sided")
    figure = seen(simulation, "mm", "rear")
    assert any("seen from behind: left and right are swapped" in text for text in texts_of(figure))
    assert axes_of(figure, "face").get_xlim() == pytest.approx((1000 * cabinet.box.width, 0))
    assert axes_of(seen(simulation, "mm", "front"), "face").get_xlim() == pytest.approx(
        (0, 1000 * cabinet.box.width)
    )


def test_the_bar_is_as_long_as_it_says() -> None:
    """The bar's length on paper is that of so many inches, or millimetres, of the face."""
    for units, inch in (("in", 0.0254), ("mm", 0.001)):
        figure = seen(lit("1:1"), "mm" if units == "mm" else "in")
        (bar,) = [line for line in axes_of(figure, "sheet").lines if line.get_gid() == "scale-bar"]
        x = np.asarray(bar.get_xdata(), dtype=np.float64)
        (told,) = [
            text for text in texts_of(figure) if text.replace(".", "").removesuffix(f" {units}").isdigit()
        ]
        paper = axes_of(figure, "face").bbox.width / figure.dpi
        assert (x[1] - x[0]) / paper == pytest.approx(float(told.split()[0]) * inch / 0.6)


def test_it_says_what_white_is_and_what_a_screen_cannot_show() -> None:
    """White is the brightest point's luminance unless said, and where said, which share of it the face has."""
    simulation = lit("1:1")
    top = simulation.evenness.brightest.value
    own = texts_of(seen(simulation))
    assert RATIOS_ONLY in own
    assert any(f"White stands for {plain_number(top)} cd/m², the brightest point" in text for text in own)
    dim = " ".join(texts_of(seen(simulation, exposure=Exposure(white=2 * top))))
    assert f"White stands for {plain_number(2 * top)} cd/m²" in dim
    assert f"at most {plain_number(top)} cd/m², 50 % of it" in dim
    over = " ".join(texts_of(seen(simulation, exposure=Exposure(white=top / 2))))
    assert "what is brighter is white too" in over


def test_without_words_it_is_the_face_alone() -> None:
    """Where it is said beside the picture, nothing is written; the face has the same dots, and its words are there."""
    simulation = lit("1:1")
    bare = draw_seen_face(simulation, title="", units="in", facts=(), worded=False)
    assert texts_of(bare) == []
    assert axes_of(bare, "sheet").lines[:] == []
    assert all(
        light_at(dots_of(bare), across, 0.5) == light_at(dots_of(seen(simulation)), across, 0.5)
        for across in (0.2, 0.5, 0.8)
    )
    exposure = Exposure.of([simulation.front])
    assert set(words_of_seen_face(simulation.front, exposure, "in")) <= set(texts_of(seen(simulation)))


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_face_has_the_same_bytes(suffix: str) -> None:
    """Drawn twice, the picture is the same file to the byte."""
    assert picture_bytes(seen(lit("3:1")), suffix) == picture_bytes(seen(lit("3:1")), suffix)
