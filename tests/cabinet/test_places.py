"""Whole rows on a tape measure, in exact arithmetic."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.cabinet.places import MOST_PLACES, listed, nearest_count, pitches_of, place
from lumsim.errors import InputError, TooLargeError

INCH = Fraction(254, 10_000)
SIXTEENTH = INCH / 16

lengths = st.one_of(
    st.integers(1, 16 * 400).map(lambda n: n * SIXTEENTH),
    st.integers(1, 20_000).map(lambda n: Fraction(n, 1000)),
    st.fractions(Fraction(1, 500), 20, max_denominator=997),
)
"""Lengths as people have them: whole sixteenths of an inch, whole millimetres, and awkward ones. [m]"""


@given(extent=lengths, pitch=lengths)
def test_the_count_is_the_whole_number_nearest(extent: Fraction, pitch: Fraction) -> None:
    """The count is the whole number nearest to extent/pitch, a half upwards, and at least one."""
    count = nearest_count(extent, pitch)
    quotient = extent / pitch
    assert isinstance(count, int)
    assert count >= 1
    if count > 1 or quotient >= Fraction(1, 2):
        assert count - Fraction(1, 2) <= quotient < count + Fraction(1, 2)
    else:
        assert quotient < Fraction(1, 2)


@given(count=st.integers(1, 500), pitch=lengths)
def test_a_half_goes_up(count: int, pitch: Fraction) -> None:
    """Where n and a half pitches fit exactly, n + 1 rows are taken, and a hair less takes n."""
    extent = (count + Fraction(1, 2)) * pitch
    assert nearest_count(extent, pitch) == count + 1
    assert nearest_count(extent - Fraction(1, 10**30), pitch) == count


@given(extent=lengths, count=st.integers(1, 500))
def test_the_pitches_of_a_count_end_where_the_count_changes(extent: Fraction, count: int) -> None:
    """At the most there are so many still and a hair beyond one less; at the least one more already."""
    least, most = pitches_of(extent, count)
    hair = Fraction(1, 10**30)
    assert nearest_count(extent, most) == nearest_count(extent, least + hair) == count
    assert nearest_count(extent, least) == count + 1
    assert nearest_count(extent, most + hair) == max(1, count - 1)


@given(count=st.integers(1, 500), sixteenths=st.integers(1, 16 * 60))
def test_whole_pitches_are_counted_exactly(count: int, sixteenths: int) -> None:
    """Where whole pitches of sixteenths of an inch fit, that many are counted, with half a pitch at each end."""
    pitch = sixteenths * SIXTEENTH
    assert nearest_count(count * pitch, pitch) == count
    assert place(count * pitch, pitch=pitch).edge_distances == (pitch / 2, pitch / 2)


@given(extent=lengths, pitch=lengths)
def test_the_outermost_row_is_a_quarter_to_three_quarters_of_a_pitch_from_the_return(
    extent: Fraction, pitch: Fraction
) -> None:
    """By pitch alone the rows are centred, a pitch apart, from 1/4 to below 3/4 of a pitch off each return."""
    pitch = max(pitch, extent / 300)
    places = place(extent, pitch=pitch)
    first, last = places.edge_distances
    assert first == last
    assert all(b - a == pitch for a, b in zip(places.positions, places.positions[1:], strict=False))
    if extent >= pitch / 2:
        assert pitch / 4 <= first < 3 * pitch / 4
    else:
        assert places.positions == (extent / 2,)


def test_47_inches_at_12_inches_take_four_rows() -> None:
    """A 47 in cabinet takes four rows 12 in apart, 5 1/2 in from the returns, and not three."""
    places = place(47 * INCH, pitch=12 * INCH, units="in")
    assert [position / INCH for position in places.positions] == [
        Fraction(11, 2), Fraction(35, 2), Fraction(59, 2), Fraction(83, 2)
    ]  # fmt: skip
    assert places.pitch == 12 * INCH
    assert places.rule == "pitch, centred"


@pytest.mark.parametrize(
    ("extent", "pitch", "count"), [(0.3, 0.1, 3), (1.2, 0.15, 8), (0.7, 0.1, 7), (2.4, 0.16, 15)]
)
def test_floats_stand_for_their_decimals(extent: float, pitch: float, count: int) -> None:
    """A float is taken for the decimal it is written as, so that 0.3 holds three times 0.1."""
    places = place(extent, pitch=pitch)
    assert places.count == count
    assert places.edge_distances == (Fraction(repr(pitch)) / 2,) * 2


@given(extent=lengths, count=st.integers(1, 200))
def test_a_count_alone_goes_half_a_pitch_from_the_returns(extent: Fraction, count: int) -> None:
    """A count alone divides the extent into as many parts and puts a row in the middle of each."""
    places = place(extent, count=count)
    assert places.positions == tuple(extent * (2 * i + 1) / (2 * count) for i in range(count))
    assert places.pitch == (extent / count if count > 1 else None)


@given(extent=lengths, count=st.integers(2, 200), share=st.fractions(0, Fraction(49, 100)))
def test_a_count_and_an_edge_distance_divide_what_lies_between(
    extent: Fraction, count: int, share: Fraction
) -> None:
    """A count and an edge distance put the outermost rows there and the others evenly between."""
    places = place(extent, count=count, edge_distance=extent * share)
    assert places.count == count
    assert places.edge_distances == (extent * share, extent * share)
    assert places.pitch == extent * (1 - 2 * share) / (count - 1)


@given(count=st.integers(1, 200), pitch=lengths, inset=lengths)
def test_a_pitch_and_an_edge_distance_that_fit(count: int, pitch: Fraction, inset: Fraction) -> None:
    """A pitch that divides what lies between the edge distances gives the count."""
    extent = 2 * inset + (count - 1) * pitch
    places = place(extent, pitch=pitch, edge_distance=inset)
    assert places.positions == tuple(inset + i * pitch for i in range(count))


@given(count=st.integers(1, 200), pitch=lengths, rest=lengths)
def test_a_pitch_and_a_count_are_centred(count: int, pitch: Fraction, rest: Fraction) -> None:
    """A pitch and a count are centred in whatever there is."""
    places = place((count - 1) * pitch + rest, pitch=pitch, count=count)
    assert places.edge_distances == (rest / 2, rest / 2)
    assert places.count == count


def test_a_single_row_sits_in_the_middle_and_has_no_pitch() -> None:
    """One row has no pitch, whichever rule placed it."""
    for places in (
        place(Fraction(1), count=1),
        place(Fraction(1), pitch=Fraction(3, 2)),
        place(Fraction(1), count=1, edge_distance=Fraction(1, 2)),
        place(Fraction(1), pitch=Fraction(1, 4), edge_distance=Fraction(1, 2)),
    ):
        assert places.positions == (Fraction(1, 2),)
        assert places.pitch is None


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        ({"pitch": -12 * INCH}, "row pitch must be more than 0, got -12 in"),
        ({"pitch": Fraction(0)}, "row pitch must be more than 0, got 0 in"),
        ({"count": 0}, "row count must be 1 or more, got 0"),
        ({}, "rows need a pitch, or a count with an edge distance"),
        ({"edge_distance": 2 * INCH}, "rows need a pitch, or a count with an edge distance"),
        (
            {"pitch": 12 * INCH, "count": 3, "edge_distance": 6 * INCH},
            "row pitch, count and edge distance together say too much",
        ),
        ({"count": 2, "edge_distance": 19 * INCH}, "from 0 to half of the 36 in there is, got 19 in"),
        ({"count": 2, "edge_distance": -INCH}, "from 0 to half of the 36 in there is, got -1 in"),
        ({"pitch": 12 * INCH, "count": 5}, "5 rows 12 in on centre take 48 in, more than the 36 in there is"),
        (
            {"pitch": 7 * INCH, "edge_distance": 6 * INCH},
            "leaves 24 in of 36 in, which rows 7 in on centre do not divide: give a count of 4 or 5 instead",
        ),
        (
            {"count": 1, "edge_distance": 6 * INCH},
            "a single row sits in the middle, 18 in from both returns, not 6 in",
        ),
        ({"count": 3, "edge_distance": 18 * INCH}, "3 rows would all sit in the middle"),
    ],
)
def test_what_does_not_fit_is_refused_with_the_numbers(rule: dict[str, Fraction | int], message: str) -> None:
    """A rule that cannot be followed is refused, in the words and units of the one who gave it."""
    with pytest.raises(InputError) as refused:
        place(36 * INCH, units="in", **rule)  # type: ignore[arg-type]
    assert message in str(refused.value)


def test_messages_name_what_is_placed() -> None:
    """Modules along a row are placed by the same rules and named as modules."""
    with pytest.raises(
        InputError, match="5 modules 300 mm on centre take 1200 mm, more than the 1000 mm there is"
    ):
        place(1, pitch=Fraction(3, 10), count=5, what="module", units="mm")


@given(extent=lengths, pitch=lengths, inset=lengths)
def test_a_pitch_either_divides_or_is_refused(extent: Fraction, pitch: Fraction, inset: Fraction) -> None:
    """What lies between the edge distances is divided by a pitch, or refused; no row ever lies outside."""
    pitch = max(pitch, extent / 300)
    try:
        places = place(extent, pitch=pitch, edge_distance=inset)
    except InputError:
        assert inset > extent / 2 or (extent - 2 * inset) % pitch != 0
    else:
        assert all(0 <= position <= extent for position in places.positions)


def test_too_many_rows_are_refused_before_they_are_laid() -> None:
    """More places than a cabinet may hold are refused at once, with the number."""
    with pytest.raises(TooLargeError, match=f"100001 rows in 1000 mm: at most {MOST_PLACES} are taken"):
        place(1, count=MOST_PLACES + 1)
    with pytest.raises(TooLargeError, match="1000000000 modules"):
        place(1, pitch=Fraction(1, 10**9), what="module")


def test_listed_places_are_sorted_and_have_no_pitch() -> None:
    """Listed places come in rising order, exactly as listed."""
    places = listed(Fraction(1), [0.7, Fraction(1, 3), 0])
    assert places.positions == (Fraction(0), Fraction(1, 3), Fraction(7, 10))
    assert places.edge_distances == (Fraction(0), Fraction(3, 10))
    assert places.pitch is None
    assert places.rule == "listed"


@pytest.mark.parametrize(
    ("positions", "message"),
    [
        ([], "the list of row positions is empty"),
        ([0.1, 1.2], "a row at 1200 mm is outside the cabinet, which ends at 1000 mm"),
        ([-0.1], "a row at -100 mm is outside the cabinet"),
        ([0.5, 0.2, 0.5], "two rows at 500 mm: each position counts once"),
        ([float("nan")], "finite"),
    ],
)
def test_a_list_that_cannot_be_is_refused(positions: list[float], message: str) -> None:
    """A list with nothing, with a place outside or with one twice is refused with the place."""
    with pytest.raises(InputError, match=message):
        listed(Fraction(1), positions)
