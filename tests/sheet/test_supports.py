"""Supports of rows: the rules kept, the fewest, the evenest of those, and what is said where there is no place."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.supports import SupportRules, place_supports
from lumsim.units import METRES_PER_FOOT, METRES_PER_INCH, exact_length

MM = Fraction(1, 1000)
FT = METRES_PER_FOOT


def rules(
    interval: Fraction,
    *,
    from_end: Fraction = 100 * MM,
    clearance: Fraction = Fraction(0),
    module_length: Fraction = Fraction(0),
) -> SupportRules:
    """Return rules that are alike for both directions."""
    return SupportRules(
        horizontal=interval,
        vertical=interval,
        from_end=from_end,
        clearance=clearance,
        module_length=module_length,
    )


def regular(count: int, pitch: Fraction, first: Fraction = Fraction(0)) -> tuple[Fraction, ...]:
    """Return module centres at one pitch."""
    return tuple(first + k * pitch for k in range(count))


def broken(
    supports: Sequence[Fraction],
    along: Sequence[Fraction],
    interval: Fraction,
    kept: SupportRules,
    ends: tuple[Fraction, Fraction] | None = None,
) -> list[str]:
    """Return which rules supports break: read off them one by one, by no other means than subtraction."""
    clear = exact_length(kept.module_length) / 2 + exact_length(kept.clearance)
    faults = []
    if not supports:
        return ["none"]
    if any(other <= one for one, other in itertools.pairwise(supports)):
        faults.append("order")
    if any(other - one > interval for one, other in itertools.pairwise(supports)):
        faults.append("interval")
    if any(abs(support - module) < clear for support in supports for module in along):
        faults.append("clearance")
    if abs(supports[0] - along[0]) > kept.from_end or abs(supports[-1] - along[-1]) > kept.from_end:
        faults.append("from end")
    if any(not along[0] - kept.from_end <= support <= along[-1] + kept.from_end for support in supports):
        faults.append("beyond")
    if ends is not None and any(not ends[0] <= support <= ends[1] for support in supports):
        faults.append("off the tape")
    return faults


def intervals(supports: Sequence[Fraction]) -> list[Fraction]:
    """Return what is between neighbouring supports."""
    return [other - one for one, other in itertools.pairwise(supports)]


def tried_all(
    along: Sequence[Fraction],
    interval: Fraction,
    kept: SupportRules,
    ends: tuple[Fraction, Fraction] | None,
    step: Fraction,
) -> tuple[int, Fraction, Fraction, list[Fraction]] | None:
    """Return what the best of all sets of marks have, and where the last support of each is; None where none does.

    How many, greatest interval, least interval.
    """
    reach = exact_length(kept.from_end)
    low, high = (along[0] - reach) // step, (along[-1] + reach) // step + 1
    marks = [mark * step for mark in range(int(low), int(high) + 1)]
    marks = [
        one for one in marks if broken([one], along, interval, replace(kept, from_end=10**6 * FT), ends) == []
    ]
    # All sets of more marks would take minutes.
    assume(len(marks) <= 14)
    for count in range(1, len(marks) + 1):
        good = [
            one
            for one in itertools.combinations(marks, count)
            if not broken(one, along, interval, kept, ends)
        ]
        if good:
            spans = [intervals(one) or [Fraction(0)] for one in good]
            greatest = min(max(one) for one in spans)
            least = max(min(one) for one in spans if max(one) == greatest)
            best = [
                one[-1]
                for one, own in zip(good, spans, strict=True)
                if (max(own), min(own)) == (greatest, least)
            ]
            return count, greatest, least, best
    return None


gaps = st.lists(st.integers(1, 5), max_size=4)


@given(
    between=gaps,
    interval=st.integers(1, 9),
    from_end=st.integers(0, 4),
    half_length=st.integers(0, 2),
    clearance=st.sampled_from([0, 1, Fraction(1, 2)]),
    ends=st.none() | st.tuples(st.integers(0, 4), st.integers(0, 4)),
    step=st.sampled_from([Fraction(1), Fraction(2), Fraction(3, 2)]),
)
def test_on_marks_no_other_set_of_supports_does_better(
    between: list[int],
    interval: int,
    from_end: int,
    half_length: int,
    clearance: Fraction,
    ends: tuple[int, int] | None,
    step: Fraction,
) -> None:
    """Of all sets of marks: none of fewer keeps the rules, none of as many is evener; refused only if none does.

    Of those as even the last support is as near as can be to where equal intervals would have it.
    """
    along = tuple(Fraction(at) for at in itertools.accumulate(between, initial=7))
    kept = rules(
        Fraction(interval),
        from_end=Fraction(from_end),
        clearance=Fraction(clearance),
        module_length=Fraction(2 * half_length),
    )
    tape = None if ends is None else (along[0] - ends[0], along[-1] + ends[1])
    best = tried_all(along, Fraction(interval), kept, tape, step)
    if best is None:
        with pytest.raises(InputError):
            place_supports(along, "horizontal", kept, ends=tape, step=step)
        return
    found = place_supports(along, "horizontal", kept, ends=tape, step=step)
    assert broken(found, along, Fraction(interval), kept, tape) == []
    assert all(one % step == 0 for one in found)
    spans = intervals(found) or [Fraction(0)]
    assert (len(found), max(spans), min(spans)) == best[:3]
    # Equal intervals about the row's middle, as long as the greatest and the least are on average.
    aim = (along[0] + along[-1]) / 2 + Fraction(len(found) - 1, 4) * (max(spans) + min(spans))
    assert abs(found[-1] - aim) == min(abs(last - aim) for last in best[3])


def fewest_by_one(along: Sequence[Fraction], interval: Fraction, kept: SupportRules) -> int | None:
    """Return the fewest supports by reaching as far as every kept rule lets one, from candidates alone."""
    clear, reach = kept.clear, exact_length(kept.from_end)
    edges = {at + side * clear for at in along for side in (-1, 1)} | {
        along[0] + reach,
        along[-1] + reach,
    }
    for count in range(1, 40):
        # A rightmost support stands at an edge, or whole intervals behind one.
        places = sorted(
            place
            for place in {edge + k * interval for edge in edges for k in range(count)}
            if along[0] - reach <= place <= along[-1] + reach
            and all(abs(place - at) >= clear for at in along)
        )
        reached = {place for place in places if abs(place - along[0]) <= reach}
        for _ in range(count - 1):
            reached = {two for two in places if any(0 < two - one <= interval for one in reached)}
        if any(abs(place - along[-1]) <= reach for place in reached):
            return count
    return None


@given(
    between=st.lists(st.sampled_from([60, 75, 100, Fraction(254, 3)]), min_size=0, max_size=12),
    interval=st.sampled_from([150, 260, Fraction(1000, 3)]),
    from_end=st.sampled_from([20, 55, 110]),
    length=st.sampled_from([0, 30, 52]),
    clearance=st.sampled_from([0, 5, Fraction(25, 4)]),
)
def test_without_marks_supports_keep_every_rule_and_are_the_fewest(
    between: list[Fraction], interval: Fraction, from_end: Fraction, length: Fraction, clearance: Fraction
) -> None:
    """Anywhere on the tape: every rule kept, exactly, by as few as reaching from edge to edge needs."""
    along = tuple(at * MM for at in itertools.accumulate(between, initial=Fraction(400)))
    kept = rules(interval * MM, from_end=from_end * MM, clearance=clearance * MM, module_length=length * MM)
    fewest = fewest_by_one(along, interval * MM, kept)
    if fewest is None:
        with pytest.raises(InputError):
            place_supports(along, "horizontal", kept)
        return
    found = place_supports(along, "horizontal", kept)
    assert broken(found, along, interval * MM, kept) == []
    assert len(found) == fewest


@given(
    count=st.integers(2, 30),
    from_end=st.integers(0, 60),
    interval=st.integers(120, 500),
)
def test_supports_of_a_bare_tape_stand_by_the_closed_form(count: int, from_end: int, interval: int) -> None:
    """Modules without a length leave L − 2E to ⌈(L − 2E)/D⌉ equal intervals, each support where they say."""
    along = regular(count, 100 * MM, 50 * MM)
    between = (along[-1] - along[0]) - 2 * from_end * MM
    assume(between > 0)
    found = place_supports(along, "horizontal", rules(interval * MM, from_end=from_end * MM))
    whole = -(-between // (interval * MM))
    assert found == tuple(along[0] + from_end * MM + k * between / whole for k in range(whole + 1))


@given(
    count=st.integers(2, 40),
    from_end=st.fractions(1, 5, max_denominator=7),
    interval=st.fractions(10, 60, max_denominator=7),
    first=st.fractions(-3, 3, max_denominator=7),
)
def test_on_a_bare_tape_marks_divide_what_is_between_the_reaches(
    count: int, from_end: Fraction, interval: Fraction, first: Fraction
) -> None:
    """On 1/16 in: K steps from reach to reach, of D steps each at most: ⌈K/D⌉ intervals, the greatest ⌈K/⌈K/D⌉⌉."""
    inch, sixteenth = METRES_PER_INCH, METRES_PER_INCH / 16
    along = regular(count, 3 * inch, first * inch)
    kept = rules(interval * inch, from_end=from_end * inch)
    found = place_supports(along, "horizontal", kept, step=sixteenth)
    assert broken(found, along, interval * inch, kept) == []
    assert all(one % sixteenth == 0 for one in found)
    steps = math.ceil((along[-1] - from_end * inch) / sixteenth) - math.floor(
        (along[0] + from_end * inch) / sixteenth
    )
    whole = -(-max(steps, 0) // math.floor(interval * 16))
    assert len(found) == whole + 1
    assert max(intervals(found), default=0) == (-(-steps // whole) * sixteenth if whole else 0)


def test_vertical_rows_need_fewer_where_their_interval_is_longer() -> None:
    """Common practice, no source: every 4 ft along horizontal rows, 8 ft along vertical ones, so fewer of these."""
    practice = SupportRules(horizontal=4 * FT, vertical=8 * FT, from_end=FT / 2)
    along = regular(49, FT / 2)
    across, up = (place_supports(along, one, practice) for one in ("horizontal", "vertical"))
    assert max(intervals(across)) <= 4 * FT
    assert max(intervals(up)) <= 8 * FT
    # 24 ft less half a foot at either end: 23/4 and 23/8 intervals, rounded up, and one more.
    assert (len(across), len(up)) == (7, 4)


def test_a_row_of_one_module_is_held_beside_it() -> None:
    """One support, clear of the module and within reach of it."""
    kept = rules(FT, from_end=50 * MM, clearance=5 * MM, module_length=60 * MM)
    (only,) = place_supports((FT,), "vertical", kept)
    assert abs(only - FT) == 35 * MM
    (only,) = place_supports((FT,), "vertical", kept, ends=(FT - 20 * MM, 2 * FT))
    assert only == FT + 35 * MM


def test_a_row_that_one_support_reaches_is_held_near_its_middle() -> None:
    """Four modules within reach of one support: it stands in the middle gap."""
    kept = rules(FT, from_end=200 * MM, clearance=5 * MM, module_length=60 * MM)
    assert place_supports(regular(4, 100 * MM), "vertical", kept) == (150 * MM,)


def test_gaps_too_tight_for_a_support_are_refused_with_the_stretch() -> None:
    """The text says from where to where there is no place, what a gap needs, and what would help."""
    kept = rules(FT, from_end=50 * MM, clearance=15 * MM, module_length=60 * MM)
    along = (*regular(3, 100 * MM), *regular(8, 80 * MM, 280 * MM), *regular(3, 100 * MM, 940 * MM))
    with pytest.raises(
        InputError, match=r"from 155 mm to 885 mm .* longer than 304.8 mm .* 90 mm on centre; .* clearance"
    ):
        place_supports(along, "horizontal", kept, units="mm")
    assert place_supports(along, "horizontal", replace(kept, horizontal=730 * MM))


def test_a_row_without_a_place_at_its_end_is_refused() -> None:
    """At the first and at the last module, each with where a support would have to be."""
    kept = rules(FT, from_end=40 * MM, clearance=15 * MM, module_length=60 * MM)
    with pytest.raises(InputError, match=r"between 960 mm and 1040 mm, at its first module"):
        place_supports(regular(5, 100 * MM, 1000 * MM), "horizontal", kept, units="mm")
    at_last = (*regular(4, 100 * MM), 380 * MM)
    with pytest.raises(InputError, match=r"between 330 mm and 430 mm, at its last module"):
        place_supports(
            at_last, "horizontal", replace(kept, from_end=50 * MM), ends=(Fraction(-1), 400 * MM), units="mm"
        )


def test_marks_too_coarse_for_the_gaps_are_named_as_a_way_out() -> None:
    """A finer step is offered only where there are marks."""
    kept = rules(FT, from_end=50 * MM, clearance=5 * MM, module_length=60 * MM)
    along = regular(5, 100 * MM, Fraction(0))
    with pytest.raises(InputError, match="finer step"):
        place_supports(along, "horizontal", kept, step=100 * MM)
    assert place_supports(along, "horizontal", kept, step=10 * MM)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"horizontal": Fraction(0)}, "interval between supports of horizontal rows must be more than 0"),
        ({"vertical": -FT}, "interval between supports of vertical rows must be more than 0"),
        ({"from_end": -MM}, "from the end of a row to a support must be 0 or more"),
        ({"clearance": -MM}, "clearance must be 0 or more"),
        ({"module_length": -MM}, "length of a module must be 0 or more"),
    ],
)
def test_rules_that_cannot_be_are_refused(wrong: dict[str, Fraction], words: str) -> None:
    """Each length by its name."""
    with pytest.raises(InputError, match=words):
        replace(rules(FT), **wrong)


def test_rows_and_marks_that_cannot_be_are_refused() -> None:
    """No modules, modules out of order, a step of nothing."""
    with pytest.raises(InputError, match="at least one module"):
        place_supports((), "horizontal", rules(FT))
    with pytest.raises(InputError, match="must rise"):
        place_supports((FT, FT), "horizontal", rules(FT))
    with pytest.raises(InputError, match=r"step .* must be more than 0"):
        place_supports((FT,), "horizontal", rules(FT), step=Fraction(0))


def test_floats_stand_for_their_shortest_decimal() -> None:
    """Rules in floats are the same as in fractions: 0.1 is a tenth."""
    given_as_floats = SupportRules(
        horizontal=0.3, vertical=0.3, from_end=0.1, clearance=0.005, module_length=0.05
    )
    assert given_as_floats == rules(300 * MM, from_end=100 * MM, clearance=5 * MM, module_length=50 * MM)
