"""The polar curve: true to scale, readable in every case, told apart without colours."""

from __future__ import annotations

import math

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from numpy.typing import NDArray

from lumsim.beams.beam import Beam
from lumsim.beams.closed import LAMBERTIAN, CosinePower, Wide
from lumsim.beams.figures import beam_figures
from lumsim.beams.lm63 import read_lm63
from lumsim.beams.measured import whole_web
from lumsim.beams.tables import Table, UniformPlane
from lumsim.beams.webs import Web
from lumsim.cabinet.modules import Module
from lumsim.pictures.polar import draw_beam, ring_step
from lumsim.pictures.writing import picture_bytes
from lumsim.report.beam_text import ToldBeam, beam_facts
from tests.beams.written_lm63 import NAME, cosine_power, written
from tests.pictures.lettering_found import texts_of, unreadable

Array = NDArray[np.float64]


def lens() -> Web:
    """Make a beam that is another one in each direction around its axis."""
    vertical, horizontal = np.arange(0, 91, 5.0), np.arange(0, 361, 15.0)
    c, s = np.cos(np.radians(vertical)), np.sin(np.radians(vertical))
    C = np.radians(horizontal)[:, None]
    candela = np.clip(100 * c * (1 + 1.5 * s**2 * (1 + 0.8 * np.cos(C) - 0.9 * np.sin(C))), 0, None)
    candela[-1] = candela[0]
    return whole_web(read_lm63(written(vertical, horizontal, candela), NAME))


def both_ways() -> Web:
    """Make a beam with a lobe behind, unlike along and across."""
    vertical, horizontal = np.arange(0, 181, 5.0), np.array([0.0, 45.0, 90.0])
    ahead = np.concatenate([cosine_power(m, vertical, horizontal[:1]) for m in (1, 2, 3)])
    behind = np.concatenate([cosine_power(m, 180 - vertical, horizontal[:1]) for m in (3, 2, 1)])
    return whole_web(read_lm63(written(vertical, horizontal, ahead + 0.6 * behind), NAME))


BEAMS: dict[str, Beam] = {
    "lambertian": LAMBERTIAN,
    "even": CosinePower(exponent=0.0),
    "narrow": CosinePower(exponent=20.0),
    "steepest": CosinePower(exponent=1000.0),
    "wide": Wide(width=2.0),
    "widest": Wide(width=100.0),
    "plane 60": UniformPlane(cut_off=math.radians(60)),
    "plane 85": UniformPlane(cut_off=math.radians(85)),
    "table": Table(angles=tuple(np.radians([0, 20, 40, 60.0])), values=(1.0, 0.95, 0.9, 0.6)),
    "round": Table(angles=(0.0, math.pi), values=(1.0, 1.0)),
    "lens": lens(),
    "both ways": both_ways(),
}


def drawn(
    beam: Beam, lumens: float = 90.0, title: str = "A sign with a long name at the corner of two streets"
) -> Figure:
    """Draw a beam with the facts that the command writes."""
    told = ToldBeam.of_module(Module(name="standard", lumens=lumens, watts=0.8, beam=beam))
    return draw_beam(told.beam, told.figures, title=title, facts=beam_facts(told))


def axes_of(figure: Figure) -> Axes:
    """Return the axes of the curve."""
    return next(axes for axes in figure.axes if axes.get_label() == "beam")


def curves(figure: Figure) -> list[tuple[Array, Array]]:
    """Return x and y of the curves, in inches from the middle."""
    lines = [line for line in axes_of(figure).get_children() if isinstance(line, Line2D) and line.zorder == 4]
    return [(np.asarray(line.get_xdata()), np.asarray(line.get_ydata())) for line in lines]


@pytest.mark.parametrize(
    ("name", "lumens"),
    [*((name, 90.0) for name in BEAMS), *((name, n) for n in (0.02, 3e6) for name in ("lens", "both ways"))],
)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str, lumens: float) -> None:
    """Whatever the beam and its lumens, every letter can be read."""
    assert unreadable(drawn(BEAMS[name], lumens)) == []


def test_the_curve_is_true_to_scale() -> None:
    """A Lambertian curve is a circle through the middle whose diameter is the peak, 90/π cd on the rings' scale."""
    figure = drawn(LAMBERTIAN)
    ((x, y),) = curves(figure)
    radius = 2.6
    rings = 30.0
    across = 90 / math.pi / rings * radius
    assert np.hypot(x, y + across / 2) == pytest.approx(across / 2)
    assert y.min() == pytest.approx(-across)
    assert {"5", "10", "15", "20", "25", "30"} <= set(texts_of(figure))


def test_an_inch_is_an_inch_either_way() -> None:
    """Circles are round: across and down the axes are to one scale."""
    for name in ("lambertian", "both ways"):
        figure = drawn(BEAMS[name])
        axes = axes_of(figure)
        box = axes.get_position()
        width, height = figure.get_size_inches()
        (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
        assert box.width * width / (x1 - x0) == pytest.approx(1)
        assert box.height * height / (y1 - y0) == pytest.approx(1)


def test_the_whole_circle_is_drawn_where_light_goes_back() -> None:
    """Light forward alone takes the lower half; light behind the whole, with 180 degrees marked at the top."""
    for name, beam in BEAMS.items():
        texts = texts_of(drawn(beam))
        assert ("180°" in texts) == (name in {"round", "both ways"}), name
        assert "0°" in texts


def test_half_planes_are_on_their_sides() -> None:
    """What goes towards 0 and 90 is on the right, towards 180 and 270 on the left, solid and dashed."""
    values = np.zeros((5, 3))
    for plane, value in enumerate((8.0, 6.0, 4.0, 2.0, 8.0)):
        values[plane] = (5.0, value, 0.0)
    beam = Web(
        photometric_type="C",
        vertical=np.radians([0.0, 45.0, 90.0]),
        horizontal=np.radians([0.0, 90.0, 180.0, 270.0, 360.0]),
        values=values,
    )
    figure = draw_beam(beam, beam_figures(beam, beam.flux), title="t", facts=())
    scale = 2.6 / 8.0
    for (x, y), right, left in zip(curves(figure), (8.0, 6.0), (4.0, 2.0), strict=True):
        for at, expected in ((math.radians(45), right), (math.radians(-45), left)):
            there = np.hypot(x - scale * expected * math.sin(at), y + scale * expected * math.cos(at))
            assert there.min() < 1e-6


def test_lines_differ_without_their_colours() -> None:
    """Both planes' curves and the rays of both angles have four different dashes."""
    lines = [
        line
        for line in axes_of(drawn(BEAMS["lens"])).get_children()
        if isinstance(line, Line2D) and line.zorder in {3, 4}
    ]
    dashes = {(line.get_color(), str(line._dash_pattern)) for line in lines}  # type: ignore[attr-defined]
    assert len({colour for colour, _ in dashes}) == len({dash for _, dash in dashes}) == 4


def test_beam_angle_and_field_angle_are_drawn_where_they_are() -> None:
    """Rays of a Lambertian beam reach the rim at 60 and at 84.26 degrees on either side."""
    rays = [
        line
        for line in axes_of(drawn(LAMBERTIAN)).get_children()
        if isinstance(line, Line2D) and line.zorder == 3
    ]
    ends = sorted(
        math.degrees(math.atan2(np.asarray(ray.get_xdata())[1], -np.asarray(ray.get_ydata())[1]))
        for ray in rays
    )
    field = math.degrees(math.acos(0.1))
    assert ends == pytest.approx([-field, -60, 60, field])


@pytest.mark.parametrize("peak", [1e-6, 0.7, 1.0, 5.9, 6.0, 6.1, 31.8, 14338.0, 2.5e7])
def test_rings_are_round_and_few(peak: float) -> None:
    """The step is 1, 2, 2.5 or 5 of a power of ten, and from two to six rings hold the peak."""
    step = ring_step(peak)
    rings = math.ceil(peak / step - 1e-9)
    assert 2 <= rings <= 6
    assert f"{step:e}"[:3] in {"1.0", "2.0", "2.5", "5.0"}


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_beam_is_the_same_file(suffix: str) -> None:
    """Two pictures of one beam are equal byte by byte."""
    one, other = (picture_bytes(drawn(BEAMS["lens"]), suffix) for _ in range(2))
    assert one == other


@pytest.mark.parametrize("step", [20, pytest.param(5, marks=pytest.mark.slow)])
def test_rings_numbers_are_clear_of_curves_and_rays(step: int) -> None:
    """Of light both ways, with its rays anywhere, no number of a ring is crossed, and rings end before it."""
    angles = [(0, 60, 90, degrees, 180) for degrees in range(95, 176, step)]
    values = [(1.0, 0.9, 0.3, 0.1, 0.02)] * len(angles)
    angles.append((0, 60, 90, 120, 180))
    values.append((1.0, 0.8, 0.45, 0.3, 0.05))
    for at, there in zip(angles, values, strict=True):
        beam = Table(angles=tuple(np.radians(at)), values=there)
        figure = drawn(beam)
        axes = axes_of(figure)
        lines = [
            axes.transData.transform(line.get_path().interpolated(400).vertices)
            for line in axes.get_children()
            if isinstance(line, Line2D) and line.zorder in {3, 4}
        ]
        figure.draw_without_rendering()
        written = [text for text in figure.findobj(Text) if isinstance(text, Text) and text.get_bbox_patch()]
        assert len(written) >= 3
        for text in written:
            patch = text.get_bbox_patch()
            assert patch is not None
            assert patch.get_facecolor() == (1, 1, 1, 1)
            box = text.get_window_extent()
            assert not any(box.count_contains(line) for line in lines), (at, text.get_text())
