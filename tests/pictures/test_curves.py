"""Curves for lessons: readable whatever they show, told apart without colours, and in words too."""

from __future__ import annotations

import re
import subprocess
import sys
from base64 import b64decode
from html import unescape

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.image import AxesImage
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from lumsim.errors import InputError
from lumsim.pictures.curves import Curve, draw_curves
from lumsim.pictures.sheet import PAD
from lumsim.pictures.writing import picture_bytes, picture_html
from tests.pictures.lettering_found import texts_of, unreadable, written_on

X = np.linspace(0.0, 36.0, 201)


def hump(at: float, name: str = "", height: float = 3000.0) -> Curve:
    """One hump over a place."""
    return Curve(name=name, x=X, y=height / (1 + (X - at) ** 2 / 20))


def drawn(*curves: Curve, marks: tuple[tuple[float, str], ...] = (), heading: str = "") -> Figure:
    """Draw curves with usual labels."""
    return draw_curves(
        curves, x_label="along the face [in]", y_label="light [lx]", marks=marks, heading=heading, units="in"
    )


def axes_of(figure: Figure) -> Axes:
    """The axes that hold the curves."""
    return next(axes for axes in figure.axes if axes.get_label() == "curves")


def lines_of(figure: Figure) -> list[Line2D]:
    """The curves as they are drawn."""
    return [line for line in axes_of(figure).get_lines() if line.get_zorder() == 4]


def strips_of(figure: Figure) -> list[AxesImage]:
    """The strips that show curves as seen, from above."""
    return [image for axes in figure.axes for image in axes.get_images()]


def marks_of(figure: Figure) -> list[float]:
    """Where marks stand on the sheet, from its left edge. [in]"""
    found = [line for axes in figure.axes for line in axes.get_lines() if isinstance(line, Line2D)]
    return [float(np.asarray(line.get_xdata())[0]) for line in found if line.get_gid() == "mark"]


SIX = [
    hump(6.0 * number, f"{number} modules, a name that is as long as a lesson needs") for number in range(6)
]


@pytest.mark.parametrize(
    "figure",
    [
        drawn(hump(18)),
        drawn(hump(18), heading="One module, 6 in from the face, as a heading that wraps where it must wrap"),
        drawn(*SIX, marks=((0.0, "left return"), (36.0, "right return"))),
        drawn(hump(18, height=1e-4), hump(3, "b", height=-2e-4)),
        drawn(
            hump(18, height=3e6), marks=tuple((place, "a module here") for place in (10.0, 11.0, 12.0, 35.9))
        ),
        draw_curves(
            SIX[:3],
            x_label="along the face [in]",
            y_label="light [lx]",
            units="in",
            white=3000.0,
            heading="Seen",
        ),
        draw_curves(
            [Curve(name="level", x=[0, 1], y=[2, 2])],
            x_label="pitch / throw",
            y_label="max/min",
            from_zero=False,
        ),
    ],
)
def test_every_letter_can_be_read(figure: Figure) -> None:
    """Whatever is drawn, no label overlaps another or leaves the sheet."""
    assert unreadable(figure) == []


def test_curves_are_told_apart_without_colours() -> None:
    """Six curves have six colours and six kinds of dashes, and the key names each."""
    figure = drawn(*SIX)
    lines = lines_of(figure)
    assert len({line.get_color() for line in lines}) == 6
    assert len({str(line._dash_pattern) for line in lines}) == 6  # type: ignore[attr-defined]
    assert {curve.name for curve in SIX} <= set(texts_of(figure))


def test_values_are_drawn_where_they_are() -> None:
    """The line holds the curve's own numbers, on axes that show all of them, from nought."""
    figure = drawn(hump(18))
    (line,) = lines_of(figure)
    assert np.asarray(line.get_xdata()) == pytest.approx(X)
    assert np.asarray(line.get_ydata()).max() == pytest.approx(3000)
    low, high = axes_of(figure).get_ylim()
    assert low == 0
    assert 3000 < high < 3300
    assert axes_of(figure).get_xlim() == (0, 36)


def test_marks_stand_at_their_places() -> None:
    """Marks with a text and without stand where they are told along x; those beyond the curve are left out."""
    figure = drawn(hump(18), marks=((9.0, "a module"), (18.0, ""), (40.0, "outside")))
    without = drawn(hump(18))
    left = axes_of(figure).get_position().x0 * figure.get_size_inches()[0]
    wide = axes_of(figure).get_position().width * figure.get_size_inches()[0]
    assert sorted(marks_of(figure)) == pytest.approx([left + wide / 4, left + wide / 2])
    assert marks_of(without) == []
    assert "a module" in texts_of(figure)
    assert "outside" not in texts_of(figure)
    assert left > PAD


@pytest.mark.parametrize(
    "places",
    [(17.5, 18.5), (0.2, 1.0), (35.0, 35.8), (18.0, 26.0), (17.0, 18.0, 19.0), (16.0, 17.0, 18.0, 19.0)],
)
def test_no_mark_crosses_the_label_of_another(places: tuple[float, ...]) -> None:
    """However close marks stand, no line goes through the text of another; two with room for it are in one row."""
    figure = drawn(hump(18), marks=tuple((place, "module") for place in places))
    figure.draw_without_rendering()
    dots = figure.dpi
    lines = [
        (place * dots, high * dots)
        for axes in figure.axes
        for line in axes.get_lines()
        if line.get_gid() == "mark"
        for place, high in [(float(np.asarray(line.get_xdata())[0]), float(np.asarray(line.get_ydata())[1]))]
    ]
    labels = [box for text, box in written_on(figure) if text == "module"]
    assert len(lines) == len(labels) == len(places)
    for x, high in lines:
        assert not any(box.x0 < x < box.x1 and box.y0 + 1 < high for box in labels)
    if places in {(17.5, 18.5), (18.0, 26.0)}:
        assert len({round(box.y0) for box in labels}) == 1


def test_a_scale_can_be_kept_from_picture_to_picture() -> None:
    """What the y axis is asked to show is the same for a high curve and a low one; a higher one is shown whole."""
    tops = [
        axes_of(
            draw_curves([hump(18, height=height)], x_label="x", y_label="y", y_range=(0.0, 4000.0))
        ).get_ylim()[1]
        for height in (100.0, 3900.0, 8000.0)
    ]
    assert tops[0] == tops[1] < 8000 < tops[2]


def test_an_axis_of_lengths_is_ticked_like_a_tape() -> None:
    """Inches are ticked by sixes, not by 5 or 10; a ratio is ticked by decimals."""
    inches = {round(float(tick)) for tick in axes_of(drawn(hump(18))).get_xticks()}
    assert inches == {0, 6, 12, 18, 24, 30, 36}
    ratio = draw_curves([Curve(name="", x=[0, 2], y=[1, 2])], x_label="pitch / throw", y_label="max/min")
    assert np.asarray(axes_of(ratio).get_xticks()) == pytest.approx(np.arange(0, 2.01, 0.25))


def test_a_curve_may_have_a_gap() -> None:
    """Where there is nothing to show, the line stops and goes on, and what is shown scales the axis."""
    y: NDArray[np.float64] = np.where((X > 10) & (X < 20), np.nan, X)
    (line,) = lines_of(drawn(Curve(name="", x=X, y=y)))
    assert np.isnan(np.asarray(line.get_ydata())).sum() == np.isnan(y).sum() > 0


def test_strips_show_curves_as_seen() -> None:
    """Each curve's strip stands under its curve, in the greys of sRGB.

    IEC 61966-2-1: half of the white's light is 1.055 · 0.5^(1/2.4) − 0.055 of full drive.
    What is above the white is white.
    """
    steps = [
        Curve(name="steps", x=[0, 9.9, 10, 20], y=[50, 50, 100, 100]),
        Curve(name="high", x=[0, 20], y=[100, 300]),
    ]
    figure = draw_curves(steps, x_label="x", y_label="lx", white=100.0)
    plot = axes_of(figure).get_position()
    across, up = figure.get_size_inches()
    strips = strips_of(figure)
    assert [strip.get_gid() for strip in strips] == ["as seen: steps", "as seen: high"]
    for strip in strips:
        assert np.array(strip.get_extent())[:2] == pytest.approx([plot.x0 * across, plot.x1 * across])
        assert strip.get_extent()[3] < plot.y0 * up
    assert strips[1].get_extent()[3] < strips[0].get_extent()[2]
    shown, high = (np.asarray(strip.get_array())[0] for strip in strips)
    assert shown[0] == pytest.approx(1.055 * 0.5 ** (1 / 2.4) - 0.055)
    assert shown[-1] == pytest.approx(1)
    assert np.searchsorted(shown, 0.9) == pytest.approx(len(shown) / 2, abs=4)
    assert high == pytest.approx(1)
    assert any("ratios of luminance" in text for text in texts_of(figure))


def test_only_curves_that_are_to_be_seen_have_a_strip() -> None:
    """A curve may be drawn without a strip of its own; with no strip at all nothing is said of screens."""
    pair = [hump(12, "both"), Curve(name="one alone", x=X, y=X, seen=False)]
    figure = draw_curves(pair, x_label="x", y_label="lx", white=100.0)
    assert [strip.get_gid() for strip in strips_of(figure)] == ["as seen: both"]
    assert len(lines_of(figure)) == 2
    bare = draw_curves(pair[1:], x_label="x", y_label="lx", white=100.0)
    assert not any("ratios" in text for text in texts_of(bare))


def test_a_gap_is_a_gap_in_the_strip_too() -> None:
    """Where a curve has nothing to show its strip shows nothing."""
    y = np.where((X > 10) & (X < 20), np.nan, 50.0)
    figure = draw_curves([Curve(name="", x=X, y=y)], x_label="x", y_label="lx", white=100.0)
    (strip,) = strips_of(figure)
    shown = np.ma.filled(np.ma.asarray(strip.get_array()), np.nan)[0]
    assert np.isnan(shown[len(shown) * 15 // 36])
    assert not np.isnan(shown[0])


@pytest.mark.parametrize("white", [0.0, -1.0, float("nan"), float("inf")])
def test_a_white_that_is_none_is_refused(white: float) -> None:
    """What stands for a screen's white is more than nought."""
    with pytest.raises(InputError, match="white"):
        draw_curves([hump(18)], x_label="x", y_label="lx", white=white)


@pytest.mark.parametrize(
    ("curves", "says"),
    [
        ((), "nothing to draw"),
        ((hump(1, "a"), hump(2, "a")), "names that differ"),
        ((Curve(name="a", x=[0, 1, 2], y=[0, 1]),), "'a' needs as many values as places"),
        ((Curve(name="a", x=[0], y=[0]),), "two at least"),
        ((Curve(name="a", x=[0, 1], y=[0, float("inf")]),), "cannot be drawn"),
        ((Curve(name="a", x=[0, 1], y=[float("nan")] * 2),), "cannot be drawn"),
        ((Curve(name="a", x=[0, float("nan")], y=[1, 1]),), "cannot be drawn"),
        ((Curve(name="a", x=[1, 1], y=[1, 2]),), "rising"),
        ((Curve(name="a", x=[2, 1], y=[1, 2]),), "rising"),
    ],
)
def test_what_is_no_curve_is_refused(curves: tuple[Curve, ...], says: str) -> None:
    """No curve, two of one name, and values that no paper holds are told, not drawn."""
    with pytest.raises(InputError, match=says):
        drawn(*curves)


def test_an_html_picture_is_told_in_words_and_fetches_nothing() -> None:
    """The element holds the very SVG file and its words, quotes and all; there is no other address in it."""
    alt = 'Light under a module at 6" < 7": 137 lx'
    html = picture_html(drawn(hump(18)), alt=alt)
    found = re.fullmatch(
        r'<img alt="([^"]*)" style="width: 100%" src="data:image/svg\+xml;base64,([^"]+)">', html
    )
    assert found is not None
    assert unescape(found[1]) == alt
    assert b64decode(found[2]) == picture_bytes(drawn(hump(18)), ".svg")


def test_an_html_picture_needs_words() -> None:
    """A picture without words for those who cannot see it is refused."""
    with pytest.raises(InputError, match="words"):
        picture_html(drawn(hump(18)), alt=" ")


def test_curves_are_there_at_once() -> None:
    """Importing them imports nothing that lights a cabinet, nor what compiles: lessons on closed forms open sooner."""
    program = (
        "import sys, lumsim.pictures.curves\n"
        "print(*sorted({'lumsim.simulation', 'numba'} & set(sys.modules)))"
    )
    told = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60
    )
    assert told.stdout.split() == []
