"""The rear face is drawn as one sees it from behind, and everything on it is where it then is."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.image import imread
from matplotlib.text import Text

from lumsim.cabinet.cabinet import Cabinet
from lumsim.cabinet.rows import Direction, Rows
from lumsim.pictures.look import colour_map
from lumsim.pictures.writing import picture_bytes
from lumsim.simulation import Simulation, simulate
from lumsim.uniformity.names import percent
from tests import cabinets
from tests.cabinets import DIRECT, OPAL
from tests.pictures.face_drawn import axes_of, drawn, on_face
from tests.pictures.lettering_found import texts_of, unreadable

WIDTH, HEIGHT = 1.2, 0.6
BORDERED = replace(OPAL, visible_border=0.02)
SWAPPED = "rear face, seen from behind: left and right are swapped"


def two_faced(
    width: float, height: float, *, rows: int, modules: int, direction: Direction = "horizontal"
) -> Cabinet:
    """Put rows between two faces, nearer the rear one. [m]"""
    single = cabinets.in_rows(
        width, height, 0.2, rows=rows, modules=modules, direction=direction, face=BORDERED
    )
    (group,) = single.groups
    assert isinstance(group, Rows)
    return replace(single, rear=BORDERED, groups=(replace(group, z=0.08, front_share=0.5),))


def lopsided() -> Cabinet:
    """Three modules on the left as seen from the front, and a weaker one on the right, none in a row. [m]"""
    places = [(0.2, 0.15), (0.35, 0.4), (0.5, 0.2), (1.0, 0.42)]
    lumens = np.array([100.0, 100.0, 100.0, 60.0])
    return cabinets.listed(
        WIDTH, HEIGHT, 0.2, places, z=0.08, lumens=lumens, front_share=0.5, face=BORDERED, rear=BORDERED
    )


@pytest.fixture(scope="module")
def lit() -> Simulation:
    """Light the lopsided sign once for the module."""
    return simulate(lopsided(), lighting=DIRECT)


@pytest.fixture(scope="module")
def upright() -> Simulation:
    """Light a sign with four upright rows once for the module."""
    cabinet = two_faced(WIDTH, HEIGHT, rows=4, modules=6, direction="vertical")
    return simulate(cabinet, lighting=DIRECT)


def share_of_width(figure: Figure, marker: str) -> np.ndarray:
    """(n, 2) how far across and up the face on paper markers are, from its left and bottom, as shares of it."""
    sheet, face = axes_of(figure, "sheet"), axes_of(figure, "face")
    lines = [line for line in sheet.lines if line.get_marker() == marker]
    # The first is on the map, what follows is in the key.
    places = sheet.transData.transform(lines[0].get_xydata())
    box = face.bbox
    return np.asarray((places - (box.x0, box.y0)) / (box.width, box.height))


@pytest.mark.parametrize("side", ["front", "rear"])
def test_each_dot_has_the_colour_of_the_luminance_that_one_sees_there(side: str, lit: Simulation) -> None:
    """Rendered, the front's dots run with x and the rear's against it, but where lines and marks are drawn over."""
    figure = drawn(lit, "mm", side="rear" if side == "rear" else "front")
    dots = imread(BytesIO(picture_bytes(figure, ".png")))[::-1, :, :3]
    face = axes_of(figure, "face")
    across, up = np.meshgrid(np.linspace(0.05, 0.95, 41), np.linspace(0.08, 0.92, 23))
    columns = (face.bbox.x0 + across * face.bbox.width).astype(int)
    rows = (face.bbox.y0 + up * face.bbox.height).astype(int)
    x = WIDTH * (across if side == "front" else 1 - across)
    there = lit.on("rear" if side == "rear" else "front").luminance.at(x, HEIGHT * up)
    low, high = face.images[0].get_clim()
    expected = colour_map()((there - low) / (high - low))[..., :3]
    apart = np.abs(dots[rows, columns] - expected).max(axis=-1)
    assert (apart < 0.03).mean() > 0.85
    mirrored = np.abs(dots[rows, columns] - expected[:, ::-1]).max(axis=-1)
    assert (mirrored < 0.03).mean() < 0.3


def test_marks_are_swapped_from_left_to_right(lit: Simulation) -> None:
    """A spot at x from the left return is drawn at x from the right edge, and as high as it is."""
    assert lit.rear is not None
    figure = drawn(lit, "mm", side="rear")
    even, spots = lit.rear.evenness, lit.rear.spots
    for marker, places in (
        ("o", [(even.brightest.x, even.brightest.y)]),
        ("s", [(even.darkest.x, even.darkest.y)]),
        ("^", [(spot.x, spot.y) for spot in spots.hot]),
        ("v", [(spot.x, spot.y) for spot in spots.dark]),
    ):
        x, y = np.array(places).T
        expected = np.column_stack([1 - x / WIDTH, y / HEIGHT])
        np.testing.assert_allclose(share_of_width(figure, marker), expected, atol=1e-9)
    x = lit.front.evenness.brightest.x / WIDTH
    assert share_of_width(drawn(lit, "mm", side="front"), "o")[0, 0] == pytest.approx(x)


def test_numbers_count_from_the_return_that_the_label_names(lit: Simulation) -> None:
    """Behind the sign 0 stands at the right end of the axis, and the label says that it counts from there."""
    figure = drawn(lit, "mm", side="rear")
    face = axes_of(figure, "face")
    assert face.get_xlim() == pytest.approx((1000 * WIDTH, 0))
    assert face.get_ylim() == pytest.approx((0, 1000 * HEIGHT))
    figure.draw_without_rendering()
    ends = {
        label.get_text(): label.get_window_extent().x0 for label in face.get_xticklabels() if label.get_text()
    }
    assert ends["0"] > ends["600"] > ends["1200"]
    assert "x from the right return, which is the left one from the front [mm]" in texts_of(figure)
    assert "x from the left return [mm]" in texts_of(drawn(lit, "mm", side="front"))


def test_contour_labels_stand_on_their_contour_behind_the_sign_too(lit: Simulation) -> None:
    """Where the map of the rear face says 80 %, the rear face has 80 % of its maximum."""
    assert lit.rear is not None
    figure = drawn(lit, "mm", side="rear")
    texts = [
        one for one in figure.findobj(Text) if isinstance(one, Text) and one.get_bbox_patch() is not None
    ]
    assert len(texts) >= 3
    for text in texts:
        x, y = on_face(figure, text)
        there = float(lit.rear.luminance.at(np.array([x / 1000]), np.array([y / 1000]))[0])
        share = float(text.get_text().removesuffix(" %")) / 100
        assert there / lit.rear.evenness.brightest.value == pytest.approx(share, abs=0.01)


def test_the_profile_of_upright_rows_is_swapped_with_the_map(upright: Simulation) -> None:
    """Rows stand above their hills of the profile, and stripes are told there, row 1 at the right."""
    assert upright.rear is not None
    figure = drawn(upright, "mm", side="rear")
    face, profile = axes_of(figure, "face"), axes_of(figure, "profile")
    assert face.get_xlim() == profile.get_xlim() == pytest.approx((1000 * WIDTH, 0))
    assert face.bbox.intervalx == pytest.approx(profile.bbox.intervalx)
    (line,) = profile.lines
    x, mean = np.asarray(line.get_xdata(), dtype=np.float64), np.asarray(line.get_ydata(), dtype=np.float64)
    up = np.linspace(0.02, HEIGHT - 0.02, 2001)
    for i in range(0, len(x), 67):
        there = upright.rear.luminance.at(np.full(2001, x[i] / 1000), up)
        assert mean[i] == pytest.approx(np.trapezoid(there, up) / (up[-1] - up[0]), rel=1e-3)
    told = {
        text.get_text(): text.get_window_extent()
        for text in figure.findobj(Text)
        if isinstance(text, Text) and text.get_text().startswith("row ")
    }
    assert len(upright.rear.spots.stripes) == 4
    for stripe in upright.rear.spots.stripes:
        box = told[f"row {stripe.rows[0]}: {percent(stripe.contrast)}"]
        share = ((box.x0 + box.x1) / 2 - face.bbox.x0) / face.bbox.width
        assert share == pytest.approx(1 - stripe.position / WIDTH, abs=0.01)


def test_the_picture_says_which_face_it_shows(lit: Simulation) -> None:
    """Rear, front or the only one: the rear face says that it is swapped, a single face says nothing of sides."""
    assert SWAPPED in texts_of(drawn(lit, side="rear"))
    assert "front face, seen from in front" in texts_of(drawn(lit, side="front"))
    single = simulate(cabinets.shop_sign(), lighting=DIRECT)
    assert not any("face, seen from" in text for text in texts_of(drawn(single)))
    alike = simulate(
        cabinets.listed(0.5, 0.4, 0.2, [(0.1, 0.3)], z=0.1, front_share=0.5, rear=OPAL), lighting=DIRECT
    )
    assert f"{SWAPPED}; the two faces are lit as mirror images" in texts_of(drawn(alike, side="rear"))


def test_unless_said_the_worse_face_is_drawn(lit: Simulation) -> None:
    """The modules are nearer the rear face, which is the worse: it is drawn where no side is named."""
    assert lit.worse.side == "rear"
    assert SWAPPED in texts_of(drawn(lit))


def test_a_lone_bright_middle_is_not_marked_as_a_spot() -> None:
    """One module: its place has the circle of the brightest, and no triangle of a hot spot on the map or in the key."""
    figure = drawn(simulate(cabinets.listed(0.5, 0.4, 0.1, [(0.1, 0.3)]), lighting=DIRECT))
    markers = [line.get_marker() for line in axes_of(figure, "sheet").lines]
    assert "o" in markers
    assert not any("hot spot" in text for text in texts_of(figure))


@pytest.mark.parametrize(
    ("width", "height", "rows", "modules", "direction"),
    [
        (3.6, 0.3, 2, 36, "horizontal"),
        (0.3, 3.6, 24, 3, "horizontal"),
        (3.6, 0.3, 24, 2, "vertical"),
        (0.3, 3.6, 2, 36, "vertical"),
        (1.2, 0.6, 4, 6, "horizontal"),
    ],
)
def test_no_label_of_a_rear_face_overlaps_another_or_leaves_the_sheet(
    width: float, height: float, rows: int, modules: int, direction: Direction
) -> None:
    """At any proportion, also twelve times as wide as high, every label of a rear face can be read."""
    cabinet = two_faced(width, height, rows=rows, modules=modules, direction=direction)
    assert unreadable(drawn(simulate(cabinet, lighting=DIRECT), side="rear")) == []
