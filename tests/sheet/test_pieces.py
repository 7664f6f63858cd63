"""Pieces of a row: how many modules a supply may feed, and the fewest and most equal pieces that it may."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError, TooLargeError
from lumsim.sheet.pieces import MOST_CUTS, most_modules, pieces
from lumsim.sheet.supply_kind import Circuit, SupplyKind, circuits_fit
from lumsim.units import METRES_PER_FOOT

FOOT = float(METRES_PER_FOOT)


def test_modules_a_foot_apart_fill_a_supply_at_twenty() -> None:
    """Common practice, no source: 20 ft of 3 W/ft on 60 W; at a loading share of 0.8 it is 16 ft."""
    assert most_modules(SupplyKind(watts=60, loading_share=1.0), 3.0, FOOT) == 20
    assert most_modules(SupplyKind(watts=60), 3.0, FOOT) == 16
    assert most_modules(SupplyKind(watts=60, longest_string=12 * FOOT), 3.0, FOOT) == 12
    assert most_modules(SupplyKind(watts=60, longest_string=11.99 * FOOT), 3.0, FOOT) == 11


@given(
    watts=st.integers(1, 300),
    each=st.integers(1, 40),
    longest=st.none() | st.integers(1, 300),
    pitch=st.integers(1, 40),
)
def test_most_modules_is_what_fits_and_one_more_does_not(
    watts: int, each: int, longest: int | None, pitch: int
) -> None:
    """In tenths, exactly: the greater of two floors of quotients that floats often miss."""
    kind = SupplyKind(
        watts=watts / 10, loading_share=1.0, longest_string=None if longest is None else longest / 10
    )
    most = min(watts // each, math.inf if longest is None else longest // pitch)
    if not most:
        with pytest.raises(InputError, match="a single module of"):
            most_modules(kind, each / 10, pitch / 10)
        return
    assert most_modules(kind, each / 10, pitch / 10) == most


def lengths(gaps: Sequence[int]) -> list[Fraction]:
    """Return what each module counts as of string: half of what is beside it, at the ends the whole of the one gap."""
    if not gaps:
        return [Fraction(0)]
    around = [gaps[0], *gaps, gaps[-1]]
    return [Fraction(one + other, 2) for one, other in itertools.pairwise(around)]


def divisions(modules: int, step: int) -> Iterator[tuple[int, ...]]:
    """Go through every way to cut a row after whole steps."""
    places = range(step, modules, step)
    for count in range(len(places) + 1):
        for cuts in itertools.combinations(places, count):
            yield tuple(other - one for one, other in itertools.pairwise((0, *cuts, modules)))


@given(
    gaps=st.lists(st.integers(1, 6), max_size=9),
    watts=st.integers(2, 9),
    longest=st.none() | st.integers(3, 20),
    step=st.integers(1, 3),
)
def test_no_other_division_has_fewer_or_more_equal_pieces(
    gaps: list[int], watts: int, longest: int | None, step: int
) -> None:
    """Against every division of up to ten modules of 1 W each; refused only where none does."""
    modules, each = len(gaps) + 1, lengths(gaps)
    kind = SupplyKind(
        watts=watts, loading_share=1.0, longest_string=None if longest is None else float(longest)
    )

    def fits(division: tuple[int, ...]) -> bool:
        ends = list(itertools.accumulate(division, initial=0))
        return all(
            end - start <= watts and (longest is None or sum(each[start:end]) <= longest)
            for start, end in itertools.pairwise(ends)
        )

    good = [division for division in divisions(modules, step) if fits(division)]
    given_gaps = [float(gap) for gap in gaps]
    if not good:
        with pytest.raises(InputError):
            pieces(modules, kind, watts_a_module=1.0, pitch=given_gaps, step=step)
        return

    def rank(division: tuple[int, ...]) -> tuple[int, int, int]:
        return len(division), max(division), sum(one**2 for one in division)

    found = pieces(modules, kind, watts_a_module=1.0, pitch=given_gaps, step=step)
    assert found in good
    assert rank(found) == min(map(rank, good))


@given(modules=st.integers(1, 200), most=st.integers(1, 60))
def test_a_regular_row_falls_into_pieces_that_differ_by_one_module(modules: int, most: int) -> None:
    """⌈n/m⌉ pieces of ⌈n/k⌉ or ⌊n/k⌋ modules, the longer ones first; each fits a supply."""
    kind = SupplyKind(watts=3.0 * most, loading_share=1.0)
    found = pieces(modules, kind, watts_a_module=3.0, pitch=0.1)
    count = -(-modules // most)
    assert found == tuple(modules // count + (place < modules % count) for place in range(count))
    assert all(circuits_fit(kind, Circuit(row=1, watts=3.0 * piece, length=0.1 * piece)) for piece in found)


def test_a_regular_row_is_the_same_by_its_pitch_and_by_its_gaps() -> None:
    """Every module counts as one pitch, at the ends too."""
    kind = SupplyKind(watts=600, longest_string=1.0)
    by_pitch = pieces(41, kind, watts_a_module=1.0, pitch=0.1)
    assert by_pitch == pieces(41, kind, watts_a_module=1.0, pitch=[0.1] * 40)
    assert by_pitch == (9, 8, 8, 8, 8)


def test_pieces_are_whole_steps_where_the_row_is() -> None:
    """Cut after every third module: threes throughout, and what is left over is at the end."""
    kind = SupplyKind(watts=10, loading_share=1.0)
    assert pieces(24, kind, watts_a_module=1.0, pitch=0.1, step=3) == (9, 9, 6)
    assert pieces(25, kind, watts_a_module=1.0, pitch=0.1, step=3) == (9, 9, 7)
    assert pieces(10, kind, watts_a_module=1.0, pitch=0.1, step=3) == (10,)


def test_rows_that_no_cut_helps_are_refused() -> None:
    """A single module above a limit, a step above it, and numbers that cannot be."""
    kind = SupplyKind(watts=10, loading_share=1.0, longest_string=1.0)
    with pytest.raises(
        InputError, match=r"a single module of 11 W on 0.1 m .* than a supply of 10 W usable and 1 m"
    ):
        pieces(5, kind, watts_a_module=11.0, pitch=0.1)
    with pytest.raises(InputError, match=r"a single module of 1 W on 2 m of string"):
        pieces(5, kind, watts_a_module=1.0, pitch=2.0)
    with pytest.raises(InputError, match=r"cut after every 11 modules .* a smaller step"):
        pieces(22, kind, watts_a_module=1.0, pitch=0.01, step=11)
    with pytest.raises(InputError, match="5 modules have 4 gaps between them, got 3"):
        pieces(5, kind, watts_a_module=1.0, pitch=[0.1] * 3)
    for wrong in (0.0, -0.1, math.nan):
        with pytest.raises(InputError, match="the module pitch must be more than 0"):
            pieces(5, kind, watts_a_module=1.0, pitch=wrong)
        with pytest.raises(InputError, match="the gap between modules must be more than 0"):
            pieces(2, kind, watts_a_module=1.0, pitch=[wrong])
        with pytest.raises(InputError, match="the power of a module must be more than 0"):
            pieces(5, kind, watts_a_module=wrong, pitch=0.1)
    for modules, step in ((0, 1), (5, 0)):
        with pytest.raises(InputError, match="1 module or more"):
            pieces(modules, kind, watts_a_module=1.0, pitch=0.1, step=step)
    with pytest.raises(TooLargeError, match=f"more than {MOST_CUTS} places to cut"):
        pieces(MOST_CUTS + 1, kind, watts_a_module=1.0, pitch=0.1)
