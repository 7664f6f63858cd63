from __future__ import annotations

import gc
import math
import re
import weakref
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import Wide
from lumsim.beams.tables import UniformPlane
from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures.contours import contour_shares
from lumsim.pictures.face_map import draw_face
from lumsim.simulation import Simulation, simulate
from lumsim.study.answering import answer
from lumsim.study.reading import read_study
from lumsim.uniformity.names import percent
from lumsim.units import Units
from tests.cabinets import DIRECT, OPAL, in_rows, listed, shop_sign
from tests.pictures.face_drawn import axes_of, drawn, on_face
from tests.pictures.lettering_found import texts_of, unreadable, written_on

INCH = 0.0254
STUDIES = Path(__file__).parents[2] / "studies"
BORDERED = replace(OPAL, visible_border=INCH)

CABINETS: dict[str, Cabinet] = {
    "an ordinary sign": in_rows(84 * INCH, 36 * INCH, 6 * INCH, rows=5, modules=21, face=BORDERED),
    "as high as wide": in_rows(1.0, 1.0, 0.15, rows=4, modules=8, face=BORDERED),
    "twelve times as wide": in_rows(3.6, 0.3, 0.12, rows=2, modules=36, face=BORDERED),
    "twelve times as high": in_rows(0.3, 3.6, 0.12, rows=24, modules=3, face=BORDERED),
    "wide with upright rows": in_rows(
        3.6, 0.3, 0.12, rows=24, modules=2, direction="vertical", face=BORDERED
    ),
    "high with upright rows": in_rows(
        0.3, 3.6, 0.12, rows=2, modules=36, direction="vertical", face=BORDERED
    ),
    "sixty times as wide": in_rows(6.0, 0.1, 0.08, rows=1, modules=40),
    "one row": in_rows(1.5, 0.3, 0.12, rows=1, modules=15),
    "forty rows": in_rows(2.0, 2.0, 0.1, rows=40, modules=20),
    "forty upright rows": in_rows(2.0, 1.0, 0.03, rows=40, modules=6, direction="vertical"),
    "fifty hot spots": in_rows(1.6, 1.0, 0.07, rows=6, modules=10),
    "20 mm": in_rows(0.02, 0.02, 0.01, rows=1, modules=2),
    "one module": listed(0.5, 0.4, 0.1, [(0.1, 0.3)]),
}


@pytest.fixture(scope="module")
def sign() -> Simulation:
    """Light the shop sign once for the module."""
    return simulate(shop_sign(), lighting=DIRECT)


@pytest.mark.parametrize("name", CABINETS)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str) -> None:
    """At any proportion, size and number of rows every label can be read: none overlaps, none is cut."""
    assert (
        unreadable(drawn(simulate(CABINETS[name], lighting=DIRECT), "mm" if name == "20 mm" else "in")) == []
    )


@pytest.mark.parametrize(
    "title",
    [
        "",
        "A very long title " * 40,
        "W" * 300,
        "costs $5 to $9 \\alpha_2",
        "看板 of the 角 and \x07 two\nlines",
    ],
)
def test_any_title_fits(sign: Simulation, title: str) -> None:
    """A title is wrapped, cut and drawn as it is written: no formula, no missing letter, no overlap."""
    assert unreadable(draw_face(sign, title=title, units="mm", facts=["fact " * 80, title])) == []


def test_the_title_is_written_as_it_is(sign: Simulation) -> None:
    """Dollar signs in a title are money, not mathematics."""
    assert "costs $5 to $9" in texts_of(drawn(sign, title="costs $5 to $9"))


@pytest.mark.parametrize("units", ["in", "mm"])
def test_axes_say_their_units(sign: Simulation, units: Units) -> None:
    """Lengths are labelled in the study's unit, luminance in cd/m², contour lines in per cent."""
    texts = texts_of(drawn(sign, units))
    assert f"x from the left return [{units}]" in texts
    assert f"y from the bottom return [{units}]" in texts
    assert "luminance [cd/m²]" in texts
    assert any(re.fullmatch(r"[0-9.]+ %", text) for text in texts)


@pytest.mark.parametrize("direction", ["horizontal", "vertical"])
def test_profile_shares_the_scale_of_lengths(direction: str) -> None:
    """A point of the profile stands exactly beside, or below, its point of the map."""
    cabinet = in_rows(
        1.2, 0.6, 0.15, rows=3, modules=8, direction="vertical" if direction == "vertical" else "horizontal"
    )
    figure = drawn(simulate(cabinet, lighting=DIRECT))
    face, profile = axes_of(figure, "face"), axes_of(figure, "profile")
    if direction == "horizontal":
        assert face.get_ylim() == profile.get_ylim()
        assert face.bbox.intervaly == pytest.approx(profile.bbox.intervaly)
    else:
        assert face.get_xlim() == profile.get_xlim()
        assert face.bbox.intervalx == pytest.approx(profile.bbox.intervalx)


def test_the_face_is_drawn_true_to_scale(sign: Simulation) -> None:
    """An inch along x is as long on paper as an inch along y, and the frame is the cabinet's inside."""
    face = axes_of(drawn(sign), "face")
    box = sign.cabinet.box
    assert face.get_xlim() == pytest.approx((0, box.width / INCH))
    assert face.get_ylim() == pytest.approx((0, box.height / INCH))
    assert face.bbox.width / face.bbox.height == pytest.approx(box.width / box.height)


def test_colours_show_the_luminance_where_it_is(sign: Simulation) -> None:
    """The samples that are coloured are the luminance at their places, to a part in a thousand."""
    figure = drawn(sign, "mm")
    (image,) = axes_of(figure, "face").images
    values = np.asarray(image.get_array())
    x0, x1, y0, y1 = image.get_extent()
    ny, nx = values.shape
    x = x0 + (np.arange(nx) + 0.5) * (x1 - x0) / nx
    y = y0 + (np.arange(ny) + 0.5) * (y1 - y0) / ny
    there = sign.luminance.at(*np.meshgrid(x / 1000, y / 1000))
    np.testing.assert_allclose(values, there, rtol=1e-3)


def test_contour_labels_stand_on_their_contour(sign: Simulation) -> None:
    """Where the map says 80 %, the luminance is 80 % of the maximum."""
    figure = drawn(sign, "mm")
    texts = figure.findobj(lambda artist: isinstance(artist, Text) and artist.get_bbox_patch() is not None)
    assert texts
    for text in texts:
        assert isinstance(text, Text)
        share = float(text.get_text().removesuffix(" %")) / 100
        x, y = on_face(figure, text)
        there = float(sign.luminance.at(np.array([x / 1000]), np.array([y / 1000]))[0])
        assert there / sign.evenness.brightest.value == pytest.approx(share, abs=0.01)


def test_extremes_and_spots_are_marked_where_they_are() -> None:
    """The circle is at the brightest point, the square at the darkest, triangles at the strongest spots."""
    simulation = simulate(in_rows(1.6, 1.0, 0.07, rows=6, modules=10), lighting=DIRECT)
    figure = drawn(simulation, "mm")
    sheet, face = axes_of(figure, "sheet"), axes_of(figure, "face")
    to_face = sheet.transData + face.transData.inverted()

    def marked(marker: str) -> NDArray[np.float64]:
        lines = [line for line in sheet.lines if line.get_marker() == marker]
        # The first is on the map, what follows is in the key.
        return np.asarray(to_face.transform(lines[0].get_xydata())) / 1000

    even, spots = simulation.evenness, simulation.spots
    np.testing.assert_allclose(marked("o"), [(even.brightest.x, even.brightest.y)], atol=1e-6)
    np.testing.assert_allclose(marked("s"), [(even.darkest.x, even.darkest.y)], atol=1e-6)
    np.testing.assert_allclose(marked("^"), [(spot.x, spot.y) for spot in spots.hot[:6]], atol=1e-6)
    np.testing.assert_allclose(marked("v"), [(spot.x, spot.y) for spot in spots.dark[:6]], atol=1e-6)


def test_of_many_spots_a_few_are_marked_and_all_are_counted() -> None:
    """Of each sort the six strongest are numbered, and the key says how many there are, the unlisted included."""
    simulation = simulate(CABINETS["fifty hot spots"], lighting=DIRECT)
    spots, texts = simulation.spots, texts_of(drawn(simulation, "mm"))
    for kind, count in (
        ("hot", len(spots.hot) + spots.hot_not_listed),
        ("dark", len(spots.dark) + spots.dark_not_listed),
    ):
        assert count > 20
        assert f"{kind} spots: {count}, the 6 strongest shown" in texts
    assert sorted(text for text in texts if re.fullmatch("[1-9]", text)) == sorted("123456" * 2)


@pytest.mark.parametrize(
    ("beam", "z"), [(UniformPlane(cut_off=math.radians(60)), 0.0), (Wide(width=2.0), 2 * INCH)]
)
def test_numbers_and_labels_on_a_crowded_face_keep_apart(beam: Beam, z: float) -> None:
    """Where contours run everywhere, or close beside each other, there is room between any two texts on the face."""
    cabinet = in_rows(48 * INCH, 18 * INCH, 4 * INCH, rows=3, modules=12, beam=beam, z=z, face=BORDERED)
    figure = drawn(simulate(cabinet))
    face = axes_of(figure, "face").bbox
    within = [(text, box) for text, box in written_on(figure) if face.contains(*box.min)]
    assert len(within) > 6
    for (one, a), (other, b) in combinations(within, 2):
        apart = max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1)
        assert apart > 0.03 * figure.dpi, (one, other)


def test_a_number_is_clear_of_the_dots_of_modules() -> None:
    """Where there is room beside a spot, no module's dot touches its number."""
    figure = drawn(answer(read_study(STUDIES / "larkspur-library.toml")))
    face, sheet = axes_of(figure, "face"), axes_of(figure, "sheet")
    (dots,) = [line for line in face.lines if len(np.atleast_1d(line.get_xdata())) == 105]
    places = face.transData.transform(dots.get_xydata())
    figure.draw_without_rendering()
    numbers = [text for text in sheet.texts if text.get_fontweight() == "bold" and text.get_text().isdigit()]
    assert len(numbers) == 6
    for text in numbers:
        letters = text.get_window_extent().padded(0.015 * figure.dpi)
        assert not letters.count_contains(places), text.get_text()


def test_the_profile_is_the_mean_along_the_rows(sign: Simulation) -> None:
    """The line of the profile is what averaging the luminance along the rows gives, to a part in a thousand."""
    figure = drawn(sign, "mm")
    (line,) = axes_of(figure, "profile").lines
    mean, y = np.asarray(line.get_xdata(), dtype=np.float64), np.asarray(line.get_ydata(), dtype=np.float64)
    visible = sign.cabinet.visible
    # Means of a thousand middles: an integral of its own.
    x = visible.x0 + (np.arange(1000) + 0.5) / 1000 * visible.width
    for i in range(0, len(y), 57):
        there = sign.luminance.at(x, np.full(1000, y[i] / 1000))
        assert mean[i] == pytest.approx(there.mean(), rel=1e-3)


def test_stripes_are_told_beside_their_place(sign: Simulation) -> None:
    """Each stripe of the result is told with its row and contrast, level with its place on the face."""
    figure = drawn(sign, "mm")
    told = {
        text.get_text(): text
        for text in figure.findobj(Text)
        if isinstance(text, Text) and text.get_text().startswith("row ")
    }
    assert sign.spots.stripes
    for stripe in sign.spots.stripes:
        text = told[f"row {stripe.rows[0]}: {percent(stripe.contrast)}"]
        assert on_face(figure, text)[1] == pytest.approx(1000 * stripe.position)


def test_a_face_without_stripes_and_spots_is_drawn_too() -> None:
    """A deep cabinet behind a narrow window is nearly flat: it is drawn, and its colours do not exaggerate."""
    face = replace(OPAL, visible_border=0.45)
    simulation = simulate(in_rows(1.0, 1.0, 1.0, rows=8, modules=8, face=face), lighting=DIRECT)
    assert simulation.evenness.max_to_min < 1.02
    figure = drawn(simulation)
    (image,) = axes_of(figure, "face").images
    low, high = image.get_clim()
    assert (high - low) / simulation.evenness.brightest.value >= 0.1
    assert unreadable(figure) == []


def test_a_picture_leaves_the_result_as_it_was(sign: Simulation) -> None:
    """Drawing changes neither the map nor any number of the result."""
    values, even, spots = sign.luminance.values.copy(), sign.evenness, sign.spots
    drawn(sign)
    np.testing.assert_array_equal(sign.luminance.values, values)
    assert sign.evenness == even
    assert sign.spots == spots


def test_no_list_keeps_a_figure_alive(sign: Simulation) -> None:
    """Once its last user lets go of it, a figure is gone."""
    figure = drawn(sign)
    assert isinstance(figure.canvas, FigureCanvasAgg)
    alive = weakref.ref(figure)
    del figure
    gc.collect()
    assert alive() is None


@pytest.mark.parametrize("lowest", [0.999, 0.97, 0.9, 0.8, 0.5, 0.3, 0.1, 0.01])
def test_contour_lines_are_few_and_round(lowest: float) -> None:
    """Between none and five contour lines, at whole per cents where the range allows, inside the range."""
    span = max(1 - lowest, 0.1)
    shares = contour_shares(lowest, span)
    assert len(shares) <= 5
    assert all(lowest < share < 1 for share in shares)
    assert all(100 * share == pytest.approx(round(100 * share)) for share in shares)
    assert shares or lowest > 0.97
