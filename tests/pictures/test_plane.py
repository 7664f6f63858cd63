from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.contour import ContourSet
from matplotlib.figure import Figure
from numpy.typing import NDArray

from lumsim.cabinet.places import nearest_count, pitches_of
from lumsim.errors import InputError
from lumsim.pictures.plane import LEVELS, EndlessRows, draw_plane
from lumsim.pictures.plane_cells import MOST_SHOWN, PlaneCells
from lumsim.pictures.writing import picture_bytes
from lumsim.search.plane import Plane, PlanePoint
from lumsim.uniformity.requirement import Requirement
from lumsim.units import Units, exact_length
from tests.pictures.lettering_found import texts_of, unreadable

Array = NDArray[np.float64]

STRIPES = Requirement(stripe_max_to_min=1.2)
MANY = Requirement(
    max_to_min=2.0, stripe_max_to_min=1.2, edge_dimming=1.5, coefficient_of_variation=0.3, min_to_mean=0.5
)


@dataclass(frozen=True, kw_only=True)
class Point:
    """One point of a plane, as pictures know it."""

    rows: int
    numbers: Mapping[str, float]
    excess: float


@dataclass(frozen=True, kw_only=True)
class Made:
    """A plane, as pictures know it."""

    pitches: Sequence[float]
    alike: Sequence[tuple[float, float]]
    depths: Sequence[float]
    points: Sequence[Sequence[Point] | None]


HIGH = Fraction(9, 10)
"""Of the cabinet. [m]"""


def even(pitch: float, depth: float) -> float:
    """More uneven the wider and the shallower."""
    return 1 + (pitch / depth) ** 2 / 4


def made(
    max_to_min: Callable[[float, float], float] = even,
    *,
    limit: float = 1.2,
    pitches: Sequence[float] = (0.1, 0.15, 0.2, 0.25),
    depths: Sequence[float] = (0.08, 0.12, 0.16, 0.2),
    missing: Sequence[int] = (),
) -> Made:
    """Make up a plane of a cabinet 0.9 m high, by its max/min."""
    counts = [nearest_count(HIGH, exact_length(pitch)) for pitch in pitches]
    ends = [pitches_of(HIGH, count) for count in counts]
    return Made(
        pitches=pitches,
        alike=[(float(least), float(most)) for least, most in ends],
        depths=depths,
        points=[
            None
            if number in missing
            else [
                Point(
                    rows=count,
                    numbers={"max_to_min": max_to_min(pitch, depth)},
                    excess=max_to_min(pitch, depth) / limit,
                )
                for pitch, count in zip(pitches, counts, strict=True)
            ]
            for number, depth in enumerate(depths)
        ],
    )


ENDLESS = EndlessRows(limit=1.2, pitches=(0.1, 0.15, 0.2, 0.25), depths=(0.065, 0.098, 0.131, 0.163))


def drawn(
    plane: Made | Plane | None = None,
    *,
    requirement: Requirement = STRIPES,
    units: Units = "mm",
    own: float | None = 0.17,
    own_depth: float = 0.15,
    infinite: EndlessRows | None = ENDLESS,
    title: str = "Larkspur Street Library",
) -> Figure:
    """Draw a plane under an ordinary title."""
    return draw_plane(
        made() if plane is None else plane,
        title=title,
        units=units,
        requirement=requirement,
        own_pitch=own,
        own_depth=own_depth,
        infinite=infinite,
        facts=["direct light only", "4 pitches by 4 depths, each a whole count of rows"],
    )


def axes_of(figure: Figure, label: str) -> Axes:
    """Find axes by their label."""
    (axes,) = [axes for axes in figure.axes if axes.get_label() == label]
    return axes


def limit_of(figure: Figure) -> list[Array]:
    """Find the lines on which the requirement is just met, without the pale ones under them."""
    lines = [one for one in axes_of(figure, "plane").collections if one.get_label() == "limit"]
    return [
        np.asarray(segment)
        for one in lines[1:]
        if isinstance(one, LineCollection)
        for segment in one.get_segments()
    ]


def marked(figure: Figure, marker: str) -> list[tuple[float, float]]:
    """Pitch and depth of each marker within the map."""
    sheet, axes = axes_of(figure, "sheet"), axes_of(figure, "plane")
    dots = [
        sheet.transData.transform(np.asarray(line.get_xydata()))[0]
        for line in sheet.lines
        if line.get_marker() == marker
    ]
    places = [axes.transData.inverted().transform(dot) for dot in dots if axes.bbox.contains(*dot)]
    return [(float(x), float(y)) for x, y in places]


FINE = tuple(np.linspace(0.05, 0.4, 20).tolist())

FIGURES: dict[str, Callable[[], Figure]] = {
    "met and not": drawn,
    "inches": lambda: drawn(units="in"),
    "no requirement": lambda: drawn(requirement=Requirement()),
    "many limits": lambda: drawn(requirement=MANY),
    "met nowhere": lambda: drawn(made(limit=1.0001)),
    "met everywhere": lambda: drawn(made(limit=100.0)),
    "unfinished": lambda: drawn(made(missing=(2, 3))),
    "only the first depth": lambda: drawn(made(missing=(1, 2, 3))),
    "a hole": lambda: drawn(made(missing=(1,))),
    "all alike": lambda: drawn(made(lambda pitch, depth: 1.0)),
    "without bound": lambda: drawn(made(lambda pitch, depth: math.inf)),
    "some without bound": lambda: drawn(made(lambda p, d: math.inf if p > 0.2 else even(p, d))),
    "nearly even": lambda: drawn(made(lambda p, d: 1 + p / d / 500)),
    "all far": lambda: drawn(made(lambda p, d: 20 * even(p, d))),
    "two by two": lambda: drawn(made(pitches=(0.1, 0.2), depths=(0.1, 0.2))),
    "twenty by twenty": lambda: drawn(made(pitches=FINE, depths=FINE)),
    "sawtooth": lambda: drawn(made(lambda p, d: even(p, d) + 20 * p % 1, pitches=FINE, depths=FINE)),
    "own outside": lambda: drawn(own=0.6),
    "own in a corner": lambda: drawn(own=0.1, own_depth=0.08),
    "no own": lambda: drawn(own=None),
    "no curve": lambda: drawn(infinite=None),
    "curve of nothing": lambda: drawn(infinite=replace(ENDLESS, depths=(math.nan,) * 4)),
    "curve outside": lambda: drawn(infinite=replace(ENDLESS, depths=(1.0, 1.1, 1.2, 1.3))),
    "long title": lambda: drawn(title="A very long name of an invented place in a very long street, " * 4),
}


@pytest.mark.parametrize("name", FIGURES)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str) -> None:
    """Whatever the plane holds, every label can be read: none overlaps, none is cut."""
    assert unreadable(FIGURES[name]()) == []


@pytest.mark.parametrize("units", ["in", "mm"])
def test_axes_say_their_units(units: Units) -> None:
    """Pitches and depths are labelled in the study's unit, max/min as a pure number."""
    texts = texts_of(drawn(units=units))
    assert {f"row pitch, on centre [{units}]", f"depth, inside [{units}]", "max/min [1]"} <= set(texts)
    assert {"direct light only", "4 pitches by 4 depths, each a whole count of rows"} <= set(texts)


def test_a_cell_is_a_layout() -> None:
    """Each cell has its own max/min, its layout within it: a sawtooth stays one."""
    plane = made(lambda p, d: even(p, d) + 20 * p % 1)
    (mesh,) = axes_of(drawn(plane), "plane").collections[:1]
    expected = [[point.numbers["max_to_min"] for point in row] for row in plane.points if row is not None]
    np.testing.assert_allclose(np.asarray(mesh.get_array()).reshape(4, 4), expected)
    cells = PlaneCells.of(plane, "mm", judged=False)
    np.testing.assert_allclose((cells.edges[1][1:] + cells.edges[1][:-1]) / 2, 1000 * np.array(plane.depths))
    assert (cells.edges[0][:-1] <= 1000 * np.array(plane.pitches)).all()
    assert (cells.edges[0][1:] >= 1000 * np.array(plane.pitches)).all()


def test_cells_meet_where_the_count_of_rows_changes() -> None:
    """0.9 m holds 5 rows up to 0.2 m, then 4; where counts between two samples are not lit, cells meet midway."""
    cells = PlaneCells.of(made(pitches=(0.1, 0.15, 0.19, 0.25)), "mm", judged=False)
    assert cells.counts == (9, 6, 5, 4)
    np.testing.assert_allclose(cells.edges[0], [900 / 9.5, 125, 900 / 5.5, 200, 900 / 3.5])
    # The narrowest would reach 75 mm and the widest 280 mm: there are 10 rows and more, 3 rows.


def by_count(pitch: float, depth: float) -> float:
    """Even enough with 5 rows or more, at any depth."""
    return 1.1 if pitch <= 0.2 else 1.3


@pytest.mark.parametrize("widest", [0.199, 0.2])
def test_a_design_beside_a_change_of_count_stands_on_its_own_side(widest: float) -> None:
    """Where 5 rows do and 4 do not, the line is upright at 0.2 m, the widest for 5, wherever the samples lie."""
    figure = drawn(made(by_count, pitches=(0.17, widest, 0.23, 0.25)), own=0.199)
    (segment,) = limit_of(figure)
    assert segment[:, 0].tolist() == pytest.approx([200, 200])
    assert segment[:, 1].tolist() == pytest.approx([60, 220])
    (at,) = marked(figure, "D")
    assert at[0] < 200


def test_no_pitch_beyond_one_that_fails_is_drawn_as_met() -> None:
    """A number that falls towards the next change of count, without a pitch that meets the limit, is met nowhere."""
    plane = made(lambda p, d: 1.2 + 0.5 * (0.1905 - p), pitches=(0.17, 0.18, 0.19))
    cells = PlaneCells.of(plane, "mm", judged=True)
    (piece,) = cells.pieces
    part = cells.stretches[0]
    assert cells.excess is not None
    assert cells.reaching_out(part, piece, cells.excess)[2].min() < 0
    assert cells.judged(part, piece)[2].min() > 0
    assert limit_of(drawn(plane)) == []


def test_a_line_goes_on_by_no_more_than_from_one_pitch_to_the_next() -> None:
    """Two pitches 2 mm apart near one end of 5 rows do not carry their slope 25 mm to the other."""
    plane = made(lambda p, d: math.exp(10 * p), pitches=(0.17, 0.172))
    cells = PlaneCells.of(plane, "mm", judged=False)
    cells = replace(cells, edges=(np.array([165.0, 171.0, 200.0]), cells.edges[1]))
    values = cells.reaching_out(cells.stretches[0], cells.pieces[0], cells.values)[2]
    np.testing.assert_allclose(np.diff(values[0]), [0.02, 0.02, 0.02])


def test_within_a_count_lines_go_straight_on_to_where_it_ends() -> None:
    """Between 0.164 and 0.2 m there are 5 rows; a number linear in the pitch is led on to both ends of that."""
    plane = made(lambda p, d: math.exp(p), pitches=(0.17, 0.18, 0.19))
    cells = PlaneCells.of(plane, "mm", judged=False)
    (piece,) = cells.pieces
    assert (piece.left, piece.right) == pytest.approx((165, 195))
    x, _, values = cells.reaching_out(cells.stretches[0], piece, cells.values)
    np.testing.assert_allclose(values, np.broadcast_to(x / 1000, values.shape))


def test_contour_lines_are_the_usual_ones_within_range() -> None:
    """Lines lie where max/min is 1.05, 1.1, … 3, if it comes to that, and each is labelled where there is room."""
    cells = PlaneCells.of(made(pitches=FINE, depths=FINE), "mm", judged=False)
    inside = [level for level in LEVELS if cells.values.min() < level < cells.values.max()]
    figure = drawn(made(pitches=FINE, depths=FINE), requirement=Requirement())
    contours = [one for one in axes_of(figure, "plane").collections if isinstance(one, ContourSet)]
    assert len(contours) == len(cells.pieces)
    for one in contours:
        np.testing.assert_allclose(np.exp(np.asarray(one.levels, dtype=np.float64)), np.array(inside))
    assert {f"{level:g}" for level in inside if level != 1.05} <= set(texts_of(figure))


def test_the_requirement_s_line_is_where_it_is_just_met() -> None:
    """Along its own line, worst of actual over limit is 1: for max/min 1 + (p/d)²/4 and 1.2 at p = d √0.8."""
    figure = drawn(made(pitches=FINE, depths=FINE))
    line = np.concatenate(limit_of(figure))
    lit = np.isclose(line[:, :1], 1000 * np.array(FINE), rtol=1e-9).any(axis=1)
    inside = line[lit & (line[:, 0] > 60) & (line[:, 0] < 390) & (line[:, 1] < 390)]
    assert len(inside) >= 15
    np.testing.assert_allclose(inside[:, 0] / inside[:, 1], math.sqrt(0.8), rtol=0.02)
    assert "just met: stripes at most 1.2" in texts_of(figure)


def test_the_side_that_does_not_meet_it_is_hatched() -> None:
    """Hatching covers what is above the limit and nothing else, up to and including the frame."""
    figure = drawn(made(pitches=FINE, depths=FINE))
    figure.draw_without_rendering()
    axes = axes_of(figure, "plane")
    hatched = [one for one in axes.collections if isinstance(one, ContourSet) and one.filled]
    assert all(any(one.hatches) for one in hatched)
    paths = [path for one in hatched for path in one.get_paths()]
    for pitch in (55, 120, 250, 399):
        for depth in (52, 130, 240, 399):
            if abs(pitch / depth / math.sqrt(0.8) - 1) > 0.1:
                is_hatched = any(path.contains_point((pitch, depth)) for path in paths)
                assert is_hatched == (pitch / depth > math.sqrt(0.8)), (pitch, depth)


@pytest.mark.parametrize(
    ("limit", "told"),
    [(1.0001, "nowhere met: stripes at most 1.2"), (100.0, "met everywhere: stripes at most 1.2")],
)
def test_all_or_nothing_is_said_and_has_no_line(limit: float, told: str) -> None:
    """Where the requirement is met everywhere or nowhere, the key says so."""
    texts = texts_of(drawn(made(limit=limit)))
    assert told in texts
    assert not any(text.startswith("just met") for text in texts)


def test_without_a_requirement_nothing_is_judged() -> None:
    """Then only max/min is drawn, by name."""
    figure = drawn(requirement=Requirement())
    assert not any("met" in text.split() for text in texts_of(figure))
    assert not [
        one for one in axes_of(figure, "plane").collections if isinstance(one, ContourSet) and one.filled
    ]


def test_rows_are_counted_over_the_map() -> None:
    """0.9 m by 0.1, 0.15, 0.2 and 0.25 m: 9, 6, 5 and 4 rows."""
    assert [text for text in texts_of(drawn()) if re.fullmatch("[0-9]+ rows", text)] == [
        "9 rows",
        "6 rows",
        "5 rows",
        "4 rows",
    ]


def test_depths_that_were_not_come_to_are_blank_and_said() -> None:
    """An unfinished plane shows what there is, and names the rest."""
    figure = drawn(made(missing=(1, 3)))
    assert "unfinished: not come to" in texts_of(figure)
    (mesh,) = axes_of(figure, "plane").collections[:1]
    hidden = np.ma.getmaskarray(np.ma.asarray(mesh.get_array())).reshape(4, 4)
    assert hidden[:, 0].tolist() == [False, True, False, True]
    assert "unfinished: not come to" not in texts_of(drawn())


def test_the_study_s_own_point_is_marked_or_said_to_be_outside() -> None:
    """The diamond stands at its pitch and depth; outside of the plane there is none, and the key says so."""
    assert marked(drawn(), "D") == [pytest.approx((170, 150))]
    assert "this study, rows 170 mm on centre, 150 mm deep" in texts_of(drawn())
    outside = drawn(own=0.6)
    assert marked(outside, "D") == []
    assert any(text.endswith("outside of what is shown") for text in texts_of(outside))


def test_rows_without_end_are_a_dashed_line_with_its_limit() -> None:
    """The curve runs through its points, dashed, its name beside it; none where there is no depth."""
    figure = drawn()
    sheet, axes = axes_of(figure, "sheet"), axes_of(figure, "plane")
    (line,) = [one for one in sheet.lines if one.is_dashed() and len(np.asarray(one.get_xdata())) > 100]
    there = axes.transData.inverted().transform(sheet.transData.transform(np.asarray(line.get_xydata())))
    np.testing.assert_allclose(
        there[:, 1],
        np.interp(there[:, 0], 1000 * np.array(ENDLESS.pitches), 1000 * np.array(ENDLESS.depths)),
        rtol=1e-6,
    )
    assert {"endless rows, no walls", "endless rows, no walls: max/min 1.2"} <= set(texts_of(figure))
    for none in ("no curve", "curve of nothing", "curve outside"):
        assert not any("endless" in text for text in texts_of(FIGURES[none]()))


def test_colours_end_where_no_one_looks_any_more() -> None:
    """Above 5 all has one colour, and the key says so."""
    cells = PlaneCells.of(made(lambda p, d: even(p, d) + (40 if p > 0.2 else 0)), "mm", judged=False)
    assert cells.shown[1] == MOST_SHOWN
    assert "max/min 5 and more" in texts_of(FIGURES["some without bound"]())
    assert not any("and more" in text for text in texts_of(drawn()))


def test_nothing_to_draw_is_refused() -> None:
    """A plane of which no depth was come to is refused in words."""
    with pytest.raises(InputError, match="no depth of the plane was come to"):
        drawn(made(missing=(0, 1, 2, 3)))


def searched(plane: Made) -> Plane:
    """The same plane as the search returns it."""
    return Plane(
        pitches=tuple(Fraction(str(pitch)) for pitch in plane.pitches),
        alike=tuple(plane.alike),
        depths=tuple(plane.depths),
        points=tuple(
            None
            if row is None
            else tuple(
                PlanePoint(
                    pitch=pitch,
                    depth=depth,
                    rows=point.rows,
                    edge_distance=pitch / 2,
                    numbers=point.numbers,
                    excess=point.excess,
                    met=point.excess <= 1,
                    missed=() if point.excess <= 1 else ("stripe_max_to_min",),
                    side="front",
                    aged=False,
                )
                for pitch, point in zip(plane.pitches, row, strict=True)
            )
            for depth, row in zip(plane.depths, plane.points, strict=True)
        ),
        error=None,
    )


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_a_search_s_plane_is_drawn_with_the_same_bytes_twice(suffix: str) -> None:
    """What the search returns is what the picture takes, and the same plane gives the same file."""
    one, other = (picture_bytes(drawn(plane), suffix) for plane in (searched(made()), made()))
    assert one == other
