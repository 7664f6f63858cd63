"""Several lit faces side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.image import AxesImage

from lumsim.cabinet.cabinet import Cabinet
from lumsim.pictures import look
from lumsim.pictures.comparison import draw_comparison
from lumsim.pictures.comparison_plan import ShownFace
from lumsim.pictures.writing import picture_bytes
from lumsim.simulation import Simulation, simulate
from tests.cabinets import DIRECT, OPAL, in_rows, listed
from tests.pictures.face_drawn import axes_of
from tests.pictures.lettering_found import texts_of, unreadable

INCH = 0.0254
BORDERED = replace(OPAL, visible_border=INCH)
FACTS = (
    "48 × 24 × 6 in · 48 modules · 38.4 W",
    "max/min 1.35 · stripes 1.10 · edge dimming 1.20 · mean 870 cd/m²",
    "requirement NOT met: max/min 1.92, limit at most 1.60; stripes 1.47, limit at most 1.20",
)
LONG = "A very long title of a sign in a very long street " * 6

CABINETS: dict[str, Cabinet] = {
    "square": in_rows(0.6, 0.6, 0.12, rows=3, modules=4, face=BORDERED),
    "twelve times as wide": in_rows(3.6, 0.3, 0.12, rows=2, modules=24, face=BORDERED),
    "twelve times as high": in_rows(0.3, 3.6, 0.12, rows=12, modules=2, face=BORDERED),
    "upright rows": in_rows(0.9, 0.5, 0.12, rows=5, modules=4, direction="vertical", lumens=300.0),
    "small": in_rows(0.3, 0.3, 0.12, rows=2, modules=2, lumens=30.0),
    "two faces": listed(
        0.6, 0.3, 0.15, [(0.15, 0.15), (0.45, 0.1)], z=0.05, front_share=0.6, face=OPAL, rear=OPAL
    ),
}


@pytest.fixture(scope="module")
def lit() -> dict[str, Simulation]:
    """Light every cabinet once for the module."""
    return {name: simulate(cabinet, lighting=DIRECT) for name, cabinet in CABINETS.items()}


_DRAWN: dict[tuple[str, ...], Figure] = {}
"""Figures that several tests look at."""


@pytest.fixture(scope="module", autouse=True)
def _no_figure_outlives_these_tests() -> Iterator[None]:
    yield
    _DRAWN.clear()


def drawn(lit: dict[str, Simulation], names: Sequence[str], *, title: str = "") -> Figure:
    """Draw some of the cabinets side by side, or take the figure of them that is there."""
    asked = (*names, title)
    if asked not in _DRAWN:
        _DRAWN[asked] = anew(lit, names, title=title)
    return _DRAWN[asked]


def anew(lit: dict[str, Simulation], names: Sequence[str], *, title: str = "") -> Figure:
    """Draw some of the cabinets side by side."""
    shown = [
        ShownFace(letter=letter, title=title or name, facts=FACTS, simulation=lit[name])
        for letter, name in zip("ABCDEF", names, strict=False)
    ]
    return draw_comparison(shown, title=title or "Some signs", facts=["direct light only"], units="in")


def image_of(figure: Figure, label: str) -> AxesImage:
    """Return the map that some axes show."""
    (image,) = axes_of(figure, label).images
    return image


@pytest.mark.parametrize(
    ("names", "title"),
    [
        (["square", "twelve times as wide"], ""),
        (["twelve times as high", "square"], ""),
        (["twelve times as wide", "twelve times as high"], LONG),
        (["two faces", "upright rows"], LONG),
        (["square", "upright rows", "small"], ""),
        (["square", "square", "square", "twelve times as wide"], LONG),
        (list(CABINETS), ""),
        (["small"] * 6, LONG),
    ],
    ids=lambda one: (
        "long titles" if one == LONG else ", ".join(one) if isinstance(one, list) else "short titles"
    ),
)
def test_every_text_can_be_read(lit: dict[str, Simulation], names: list[str], title: str) -> None:
    """At any proportions, for two studies and for six, with long titles too, no text overlaps and none is cut."""
    figure = drawn(lit, names, title=title)
    assert unreadable(figure) == []
    assert texts_of(figure).count("as seen") == texts_of(figure).count("luminance") == len(names)


@pytest.mark.parametrize("names", [["square", "twelve times as wide"], list(CABINETS)], ids=["two", "six"])
def test_no_picture_lies_on_another_or_beyond_the_sheet(lit: dict[str, Simulation], names: list[str]) -> None:
    """Faces and profiles have room of their own."""
    figure = drawn(lit, names)
    boxes = [axes.bbox for axes in figure.axes if axes.get_label() != "sheet"]
    assert len(boxes) == 2 * len(names) + 2
    for number, box in enumerate(boxes):
        assert figure.bbox.x0 <= box.x0 < box.x1 <= figure.bbox.x1
        assert figure.bbox.y0 <= box.y0 < box.y1 <= figure.bbox.y1
        for other in boxes[:number]:
            assert min(box.x1, other.x1) <= max(box.x0, other.x0) or min(box.y1, other.y1) <= max(
                box.y0, other.y0
            )


def test_all_faces_are_drawn_at_one_scale_of_lengths(lit: dict[str, Simulation]) -> None:
    """An inch is as long on paper along x and y, in every face of every study, and along the bar beside them."""
    figure = drawn(lit, list(CABINETS))
    scales = []
    for letter, name in zip("ABCDEF", CABINETS, strict=True):
        box = lit[name].cabinet.box
        for what in ("as seen", "luminance"):
            axes = axes_of(figure, f"{what} {letter}")
            scales += [axes.bbox.width / box.width, axes.bbox.height / box.height]
    assert scales == pytest.approx([scales[0]] * len(scales))
    (bar,) = (line for line in axes_of(figure, "sheet").lines if line.get_gid() == "scale-bar")
    x = np.asarray(bar.get_xdata(), dtype=np.float64)
    (told,) = (text for text in texts_of(figure) if text.endswith(" in") and text.split()[0].isdigit())
    assert (x[1] - x[0]) * figure.dpi == pytest.approx(float(told.split()[0]) * INCH * scales[0])


def test_one_luminance_has_one_colour(lit: dict[str, Simulation]) -> None:
    """Every map, and the strip along the profiles' axis, colour a luminance alike; the ends hold all there is."""
    names = ["square", "upright rows", "small"]
    figure = drawn(lit, names)
    images = [image_of(figure, f"luminance {letter}") for letter in "ABC"]
    strip = image_of(figure, "colours")
    low = min(lit[name].evenness.darkest.value for name in names)
    high = max(lit[name].evenness.brightest.value for name in names)
    for luminance in np.linspace(low, high, 7):
        colours = [one.cmap(one.norm(luminance)) for one in (*images, strip)]
        assert colours == [colours[0]] * 4
    bottom, top = strip.get_clim()
    assert bottom is not None
    assert top is not None
    assert bottom <= low < high <= top
    assert axes_of(figure, "profiles").get_ylim() == axes_of(figure, "colours").get_ylim()


def test_maps_show_the_luminance_where_it_is(lit: dict[str, Simulation]) -> None:
    """What is coloured is the luminance at its place, to a part in a thousand."""
    figure = drawn(lit, ["square", "upright rows"])
    image = image_of(figure, "luminance B")
    values = np.asarray(image.get_array())
    x0, x1, y0, y1 = image.get_extent()
    ny, nx = values.shape
    x, y = x0 + (np.arange(nx) + 0.5) * (x1 - x0) / nx, y0 + (np.arange(ny) + 0.5) * (y1 - y0) / ny
    there = lit["upright rows"].luminance.at(*np.meshgrid(x * INCH, y * INCH))
    np.testing.assert_allclose(values, there, rtol=1e-3)


def test_faces_are_seen_at_one_exposure(lit: dict[str, Simulation]) -> None:
    """On a screen (IEC 61966-2-1) each face's light is its luminance by the brightest point of all."""
    names = ["square", "upright rows", "small"]
    figure = drawn(lit, names)
    white = max(lit[name].evenness.brightest.value for name in names)
    for letter, name in zip("ABC", names, strict=True):
        image = image_of(figure, f"as seen {letter}")
        assert image.get_clim() == (0.0, 1.0)
        grey = float(np.asarray(image.get_array()).max())
        shown = grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
        assert shown == pytest.approx(lit[name].evenness.brightest.value / white, rel=2e-3)


def test_the_rear_face_is_seen_from_behind_and_said_to_be(lit: dict[str, Simulation]) -> None:
    """Where the rear face is the worse it is mirrored, and the study's facts say so."""
    simulation = lit["two faces"]
    assert simulation.worse.side == "rear"
    figure = drawn(lit, ["two faces", "square"])
    for what in ("as seen", "luminance"):
        left, right = axes_of(figure, f"{what} A").get_xlim()
        assert left > right
        left, right = axes_of(figure, f"{what} B").get_xlim()
        assert left < right
    told = " ".join(texts_of(figure))
    assert "rear face, seen from behind: left and right are swapped" in told
    assert "as seen from in front [in]" in told


def lines_of(profiles: Axes) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Return places and luminances of each line by its letter."""
    return {
        str(line.get_label()): (np.asarray(line.get_xdata()), np.asarray(line.get_ydata()))
        for line in profiles.lines
    }


def test_profiles_are_means_along_the_rows(lit: dict[str, Simulation]) -> None:
    """The mean of each line over its places is the face's own mean; upright rows count from the left."""
    names = ["square", "upright rows"]
    profiles = lines_of(axes_of(drawn(lit, names), "profiles"))
    for letter, name in zip("AB", names, strict=True):
        places, means = profiles[letter]
        visible = lit[name].worse.visible
        across = (visible.y0, visible.y1) if name == "square" else (visible.x0, visible.x1)
        assert (places[0] * INCH, places[-1] * INCH) == pytest.approx(across)
        mean = np.trapezoid(means, places) / (places[-1] - places[0])
        assert mean == pytest.approx(lit[name].evenness.mean, rel=2e-3)


def test_lines_are_told_apart_without_colour(lit: dict[str, Simulation]) -> None:
    """Six lines have six patterns of dashes, and each its letter on it and in the key."""
    figure = drawn(lit, list(CABINETS))
    styles = [look.line_style(number) for number in range(6)]
    assert len({dashes for _, dashes in styles}) == 6
    drawn_lines = axes_of(figure, "profiles").lines
    assert [line.get_color() for line in drawn_lines] == [colour for colour, _ in styles]
    texts = texts_of(figure)
    for letter in "ABCDEF":
        assert texts.count(letter) == 2
        assert any(text.startswith(f"{letter}: mean along the rows") for text in texts)


def test_a_study_held_against_itself_has_both_letters_on_its_line(lit: dict[str, Simulation]) -> None:
    """Where lines lie on each other their letters stand apart."""
    figure = drawn(lit, ["small", "small"])
    texts = texts_of(figure)
    assert (texts.count("A"), texts.count("B")) == (2, 2)
    assert unreadable(figure) == []


def test_the_same_comparison_has_the_same_bytes(lit: dict[str, Simulation]) -> None:
    """Drawn twice, the picture is the same file to the byte."""
    one, other = (picture_bytes(anew(lit, ["small", "square"]), ".svg") for _ in range(2))
    assert one == other
