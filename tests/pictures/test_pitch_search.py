from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from lumsim.cabinet.places import Places, place
from lumsim.errors import InputError
from lumsim.pictures.pitch_curve import Piece, PitchCurve
from lumsim.pictures.pitch_search import draw_pitch_search
from lumsim.pictures.writing import picture_bytes
from lumsim.search.row_pitch import widest_row_pitch
from lumsim.uniformity.requirement import Judged, Requirement, Verdict
from lumsim.units import Units
from tests.cabinets import DIRECT, in_rows
from tests.pictures.lettering_found import texts_of, unreadable, written_on

INCH = 0.0254
STRIPES = Requirement(stripe_max_to_min=1.2)
THREE = Requirement(max_to_min=2.0, stripe_max_to_min=1.2, min_to_mean=0.5)


@dataclass(frozen=True, kw_only=True)
class Try:
    """A layout tried, as pictures know it."""

    pitch: float
    rows: Places
    verdict: Verdict
    excess: float


@dataclass(frozen=True, kw_only=True)
class Found:
    """An answer, as pictures know it."""

    depth: float
    exact: Try | None
    buildable: Try | None
    best: Try
    tried: Sequence[Try]


def found(
    stripes: Callable[[float, int], float],
    *,
    depth: float = 6.0,
    extent: float = 36.0,
    counts: Sequence[int] = (12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1),
    requirement: Requirement = STRIPES,
) -> Found:
    """Make up an answer from the share of each limit that a pitch [in] and a count use up."""
    tries = []
    for count in counts:
        # As the search does: just inside what rounds to the count.
        ends = (
            (extent, extent) if count == 1 else (extent / (count + 0.5 - 1e-8), extent / (count - 0.5 + 1e-8))
        )
        for pitch in np.linspace(*ends, 1 if count == 1 else 9):
            used = stripes(float(pitch), count)
            judged = tuple(
                Judged(
                    name=name,
                    actual=limit * used if name != "min_to_mean" else limit / used,
                    limit=limit,
                    met=used <= 1,
                    margin=1 / used - 1,
                )
                for name, limit in requirement.limits.items()
            )
            rows = place(Fraction(extent), count=count)
            tries.append(
                Try(pitch=float(pitch) * INCH, rows=rows, verdict=Verdict(judged=judged), excess=used)
            )
    met = [one for one in tries if one.verdict.met]
    widest = met[-1] if met else None
    return Found(
        depth=depth * INCH,
        exact=widest,
        buildable=widest,
        best=widest or min(tries, key=lambda one: one.excess),
        tried=tries,
    )


def rising(pitch: float, count: int) -> float:
    """Even up to 8 in, worse beyond."""
    return pitch / 8


def islands(pitch: float, count: int) -> float:
    """Falls within each row count, so that only the wide end of some counts is even enough."""
    return 1.3 - 0.4 * (pitch - 36 / (count + 0.5)) / (36 / (count - 0.5) - 36 / (count + 0.5) or 1)


def never(pitch: float, count: int) -> float:
    """Nowhere even enough."""
    return 1.5 + abs(pitch - 7) / 10


def drawn(
    answers: Sequence[Found],
    *,
    own: float | None = 8.0,
    requirement: Requirement = STRIPES,
    units: Units = "in",
    own_depth: float = 6.0,
) -> Figure:
    """Draw answers under an ordinary title."""
    return draw_pitch_search(
        answers,
        title="Larkspur Street Library",
        units=units,
        requirement=requirement,
        own_pitch=None if own is None else own * INCH,
        own_depth=own_depth * INCH,
        facts=["direct light only"],
    )


def axes_of(figure: Figure, label: str) -> Axes:
    """Find axes by their label."""
    (axes,) = [axes for axes in figure.axes if axes.get_label() == label]
    return axes


DEPTHS = [
    found(never, depth=2),
    found(lambda p, c: p / 4, depth=3),
    found(rising),
    found(lambda p, c: p / 9, depth=6.2),
    found(lambda p, c: p / 20, depth=12),
]

FIGURES: dict[str, Callable[[], Figure]] = {
    "rising": lambda: drawn([found(rising)]),
    "own far to the right": lambda: drawn([found(rising)], own=30),
    "own far to the left": lambda: drawn([found(rising)], own=1),
    "own just left of the widest": lambda: drawn([found(rising)], own=7.9),
    "no own": lambda: drawn([found(rising)], own=None),
    "millimetres": lambda: drawn([found(rising)], units="mm"),
    "islands": lambda: drawn([found(islands)]),
    "none": lambda: drawn([found(never)]),
    "three limits": lambda: drawn([found(islands, requirement=THREE)], requirement=THREE),
    "one row only": lambda: drawn([found(rising, counts=(1,))], own=None),
    "all even": lambda: drawn([found(lambda p, c: 0.5)], own=None),
    "unlimited": lambda: drawn([found(lambda p, c: 1e9)], own=5),
    "many rows": lambda: drawn([found(lambda p, c: p, counts=range(60, 0, -1))], own=1.02),
    "depths": lambda: drawn(DEPTHS),
    "no depth works": lambda: drawn([found(never, depth=d) for d in (2, 4, 6)]),
    "forty depths": lambda: drawn([found(rising, depth=2 + d / 4) for d in range(40)]),
    "own depth between": lambda: drawn(DEPTHS, own_depth=5.0),
}


@pytest.mark.parametrize("name", FIGURES)
def test_no_label_overlaps_another_or_leaves_the_sheet(name: str) -> None:
    """Whatever was found, every label can be read: none overlaps, none is cut."""
    figure = FIGURES[name]()
    assert unreadable(figure) == []


@pytest.mark.parametrize("units", ["in", "mm"])
def test_axes_say_their_units(units: Units) -> None:
    """Pitches and depths are labelled in the study's unit, ratios as pure numbers."""
    texts = texts_of(drawn(DEPTHS, units=units))
    assert f"row pitch, on centre [{units}]" in texts
    assert f"depth, inside [{units}]" in texts
    assert f"widest row pitch [{units}]" in texts
    assert "stripes [1]" in texts


def test_one_limit_is_drawn_as_itself_and_several_as_shares() -> None:
    """A single limit is a line at its value; of several each is a line at 1, and an "at least" is turned over."""
    single = axes_of(drawn([found(rising)]), "row pitch")
    across = [np.asarray(line.get_ydata()) for line in single.lines if len(np.asarray(line.get_ydata())) == 2]
    np.testing.assert_array_equal(across, [(1.2, 1.2)])
    several = PitchCurve.of(found(rising, requirement=THREE), THREE, None, "in")
    assert several.line == 1
    for piece in several.pieces:
        for numbers in piece.numbers:
            np.testing.assert_allclose(numbers, piece.excess)


def test_the_curve_is_broken_between_row_counts() -> None:
    """Each row count has its own line, so that no line bridges the jump to the next count."""
    axes = axes_of(drawn([found(islands)]), "row pitch")
    lines = [np.asarray(line.get_xdata(), dtype=np.float64) for line in axes.lines]
    pieces = [(line[0], line[-1]) for line in lines if len(line) == 9]
    counts = [round(36 / start - 0.5) for start, _ in pieces]
    assert counts == sorted(set(counts), reverse=True)
    assert len(counts) >= 3
    expected = [(36 / (count + 0.5), 36 / (count - 0.5)) for count in counts]
    np.testing.assert_allclose(pieces, expected, rtol=1e-6)


def test_feasible_stretches_end_where_the_line_meets_the_limit() -> None:
    """The shaded stretch of a rising line ends at the limit, and spans the row counts that lie below it."""
    curve = PitchCurve.of(found(rising, counts=(6, 5, 4, 3)), STRIPES, None, "in")
    np.testing.assert_allclose(curve.stretches, [(36 / 6.5, 8.0)], rtol=1e-6)


def test_feasible_islands_are_shaded_apart() -> None:
    """Where only the wide end of each count is even enough, each has its own stretch.

    The made-up line falls from 1.3 to 0.9 over a count's pitches, so it meets 1 at three quarters.
    """
    curve = PitchCurve.of(found(islands, counts=(5, 4, 3)), STRIPES, None, "in")
    ends = [(36 / (count + 0.5), 36 / (count - 0.5)) for count in (5, 4, 3)]
    np.testing.assert_allclose(curve.stretches, [(a + 0.75 * (b - a), b) for a, b in ends], rtol=1e-6)


def test_the_widest_pitch_is_marked_and_told() -> None:
    """The widest pitch stands with its value, its rows and the mark to build by."""
    figure = drawn([found(rising, counts=(6, 5, 4, 3))])
    assert any(text.startswith("widest 8 in, 5 rows, on a mark 8 in") for text in texts_of(figure))
    (point,) = [line for line in axes_of(figure, "row pitch").lines if line.get_marker() == "o"]
    np.testing.assert_allclose(np.asarray(point.get_xydata(), dtype=np.float64), [(8.0, 1.2)], rtol=1e-6)


def test_a_printed_pitch_is_never_wider_than_the_one_found() -> None:
    """7.739 in is told as 7.73 in: rounding must not print a pitch that fails."""
    answer = found(lambda pitch, count: 0.5, counts=(5,))
    widest = answer.tried[3]
    moved = Found(
        depth=answer.depth,
        exact=Try(pitch=7.739 * INCH, rows=widest.rows, verdict=widest.verdict, excess=0.5),
        buildable=None,
        best=widest,
        tried=answer.tried,
    )
    assert "widest 7.73 in, 5 rows" in texts_of(drawn([moved]))


def test_where_nothing_is_even_enough_the_closest_is_told() -> None:
    """Without a feasible pitch nothing is shaded, and what came closest is marked."""
    figure = drawn([found(never)])
    texts = texts_of(figure)
    assert any(text.startswith("none meets it; closest ") for text in texts)
    assert "requirement met" not in texts


def waves(pitch: float, count: int) -> float:
    """Up and down within each row count, and far above the limit beyond 9 in."""
    return 1.2 + 0.6 * np.sin(3.1 * pitch) if pitch < 9 else 4.0 + pitch


@pytest.mark.parametrize("evenness", [rising, islands, never, waves])
def test_wherever_a_line_leaves_the_frame_a_pointer_says_so(evenness: Callable[[float, int], float]) -> None:
    """A line followed point by point crosses the frame just where pointers are; one is over what is wholly above."""
    curve = PitchCurve.of(found(evenness), STRIPES, 8.0 * INCH, "in")
    (low, high), (bottom, top) = curve.across, curve.up
    everything = []
    for piece in curve.pieces:
        exits = sorted(piece.exits(0, curve.across, curve.up))
        everything += exits
        x = np.linspace(piece.pitches[0], piece.pitches[-1], 20_001)
        y = np.interp(x, piece.pitches, piece.numbers[0])
        inside = (x >= low) & (x <= high) & (y >= bottom) & (y <= top)
        changes = np.nonzero(np.diff(inside))[0]
        if inside.any():
            np.testing.assert_allclose([one.pitch for one in exits], x[changes], atol=1e-3)
        elif x[-1] > low and x[0] < high:
            (over,) = exits
            assert over.side == "above"
            assert x[0] <= over.pitch <= x[-1]
        else:
            assert exits == []
    assert sorted(curve.exits[0]) == sorted(everything)
    figure = drawn([found(evenness)])
    pointers = [line for line in axes_of(figure, "sheet").lines if line.get_marker() in {"<", ">", "^", "v"}]
    assert ("goes on beyond the frame" in texts_of(figure)) == bool(everything) == bool(pointers)


def test_a_line_without_bound_goes_straight_up() -> None:
    """What is infinitely uneven is above any frame, and a pointer stands where the line goes there."""
    piece = Piece(
        count=3, pitches=[5.0, 6.0, 7.0], numbers=[[1.0, np.inf, np.inf]], excess=[1.0] * 3, met=[True] * 3
    )
    (leaving,) = piece.exits(0, (0.0, 10.0), (0.0, 2.0))
    assert leaving.side == "above"
    assert leaving.pitch == pytest.approx(5.0, abs=1e-3)
    assert leaving.number == pytest.approx(2.0)


def test_row_counts_stay_clear_of_marked_pitches() -> None:
    """The line of a marked pitch runs beside the row counts, never through one."""
    for own in np.linspace(4, 14, 21):
        figure = drawn([found(rising)], own=float(own))
        sheet = axes_of(figure, "sheet")
        ends = [np.asarray(line.get_xdata(), dtype=np.float64) for line in sheet.lines]
        places = [
            float(sheet.transData.transform((x[0], 0))[0]) for x in ends if x.size == 2 and np.ptp(x) == 0
        ]
        top = axes_of(figure, "row pitch").bbox.y1
        counts = [box for _, box in written_on(figure) if box.y1 < top < box.y1 + 40]
        assert len(places) == 2
        assert len(counts) >= 5
        assert not any(box.x0 < place < box.x1 for box in counts for place in places)


def test_depths_without_a_pitch_say_none() -> None:
    """A depth at which no pitch is even enough is a cross at the bottom with the word none."""
    figure = drawn(DEPTHS)
    assert texts_of(figure).count("none") == 1
    crosses = [line for line in axes_of(figure, "depth").lines if line.get_marker() == "X"]
    assert [float(np.asarray(line.get_xdata())[0]) for line in crosses] == pytest.approx([2.0])


def test_each_depth_has_its_widest_pitch_and_the_study_its_own() -> None:
    """Markers stand at depth and widest pitch, the diamond at the study's own."""
    axes = axes_of(drawn(DEPTHS), "depth")

    def marked(marker: str) -> list[tuple[float, float]]:
        points = [np.asarray(line.get_xydata())[0] for line in axes.lines if line.get_marker() == marker]
        return sorted((float(x), float(y)) for x, y in points)

    expected = [(a.depth / INCH, a.exact.pitch / INCH) for a in DEPTHS if a.exact is not None]
    np.testing.assert_allclose(marked("o"), expected)
    np.testing.assert_allclose(marked("D"), [(6.0, 8.0)])


def test_the_curve_is_that_of_the_study_s_own_depth() -> None:
    """Of several depths the curve is drawn for the study's own, and says so."""
    assert "At 6 in deep" in texts_of(drawn(DEPTHS))
    assert "At 12 in deep" in texts_of(drawn(DEPTHS, own_depth=11.0))


def test_a_single_answer_has_no_second_panel() -> None:
    """Row pitch against depth is drawn for several depths only."""
    assert [axes.get_label() for axes in drawn([found(rising)]).axes] == ["sheet", "row pitch"]


def test_nothing_to_draw_is_refused() -> None:
    """No answer, or no limit, is refused in words."""
    with pytest.raises(InputError, match="nothing to draw"):
        drawn([])
    with pytest.raises(InputError, match="nothing to draw"):
        drawn([found(rising)], requirement=Requirement())


def test_a_real_search_is_drawn_with_the_same_bytes_twice() -> None:
    """What the search returns is what the picture takes, and the same answer gives the same file."""
    cabinet = in_rows(0.6, 0.4, 0.15, rows=2, modules=4)
    answer = widest_row_pitch(cabinet, 0, STRIPES, mark=Fraction(1, 1000), lighting=DIRECT)
    for suffix in (".png", ".svg", ".pdf"):
        one, other = (
            picture_bytes(
                draw_pitch_search(
                    [answer],
                    title="Shop",
                    units="mm",
                    requirement=STRIPES,
                    own_pitch=0.2,
                    own_depth=0.15,
                    facts=[],
                ),
                suffix,
            )
            for _ in range(2)
        )
        assert one == other
