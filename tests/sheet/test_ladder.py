"""The voltage along a string: closed forms, Kirchhoff's laws, symmetry, and where there is no voltage at all."""

from __future__ import annotations

import math
from typing import TypedDict, Unpack

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import root

from lumsim.errors import InputError
from lumsim.sheet.ladder import (
    Feed,
    FeedAt,
    Loads,
    String,
    StringVoltages,
    feed_places,
    longest,
    voltages_along,
)

V0 = 12.0
R = 0.00521654
"""Of one pitch of 0.1 m, there and back [Ω]"""
COUNTS = [1, 2, 3, 7, 40, 157]
Array = NDArray[np.float64]


class Load(TypedDict, total=False):
    """What each of some modules takes."""

    amperes: float
    watts: float
    ohms: float
    forward_volts: float


def alike(
    modules: int,
    *,
    at: FeedAt = "end",
    feed: float = R,
    segment: float = R,
    supply: float = V0,
    **load: Unpack[Load],
) -> String:
    """Return a string of modules that are all alike, each feed of one resistance."""
    return String(
        supply=supply,
        segments=np.full(modules - 1, segment),
        feeds=tuple(Feed(module=k, resistance=feed) for k in feed_places(at, modules)),
        loads=Loads.alike(modules, **load),
    )


def end(string: String) -> float:
    """Return the voltage at the last module [V]."""
    return float(voltages_along(string).volts[-1])


@pytest.mark.parametrize("modules", COUNTS)
def test_equal_currents_drop_by_the_closed_form(modules: int) -> None:
    """The drop at module k of N is N i R₀ + r i [kN − k(k − 1)/2], whatever N."""
    N, i, feed, k = modules, 0.02, 0.05, np.arange(1, modules + 1)
    found = voltages_along(alike(N, feed=feed + R, amperes=i))
    drop = N * i * feed + R * i * (k * N - k * (k - 1) / 2)
    assert V0 - found.volts == pytest.approx(drop, rel=1e-11)
    assert found.drop == pytest.approx(drop[-1] / V0, rel=1e-11)
    assert found.feed_amperes == pytest.approx([N * i], rel=1e-12)
    assert found.segment_amperes == pytest.approx(i * np.arange(N - 1, 0, -1), rel=1e-12)


@pytest.mark.parametrize("modules", COUNTS)
def test_resistors_drop_by_the_closed_form(modules: int) -> None:
    """Along resistors the voltage is V₀ cosh(g (N − k + 1/2)) / cosh(g (N + 1/2)), sinh² g/2 = r/4R."""
    N, k = modules, np.arange(1, modules + 1)
    g = 2 * math.asinh(math.sqrt(R / (4 * 200.0)))
    found = voltages_along(alike(N, ohms=200.0))
    assert found.volts == pytest.approx(
        V0 * np.cosh(g * (N - k + 1 / 2)) / math.cosh(g * (N + 1 / 2)), rel=1e-12
    )


@pytest.mark.parametrize("modules", COUNTS)
def test_leds_behind_resistors_are_resistors_above_their_voltage(modules: int) -> None:
    """A string of resistors behind LEDs is the string of the resistors alone on what the supply has above V_f."""
    behind = voltages_along(alike(modules, ohms=50.0, forward_volts=9.0)).volts - 9.0
    assert behind == pytest.approx(voltages_along(alike(modules, ohms=50.0, supply=3.0)).volts, rel=1e-11)


def test_leds_take_nothing_below_their_voltage() -> None:
    """Modules whose LEDs need more than reaches them take nothing, and drop nothing."""
    found = voltages_along(alike(5, ohms=50.0, forward_volts=12.5))
    assert found.amperes.tolist() == [0] * 5
    assert found.volts.tolist() == [V0] * 5
    # Constant currents pull the far end below the LEDs' voltage: near modules conduct and far ones do not.
    mixed = voltages_along(alike(60, segment=0.05, feed=0.05, amperes=0.02, ohms=50.0, forward_volts=11.0))
    conducting = mixed.volts > 11.0
    assert 0 < conducting.sum() < 60
    assert (mixed.amperes[~conducting] == 0.02).all()
    assert mixed.amperes[conducting] == pytest.approx(0.02 + (mixed.volts[conducting] - 11.0) / 50, rel=1e-12)


def test_one_module_of_constant_power_is_a_quadratic() -> None:
    """V = V₀/2 + √(V₀²/4 − R P), the higher of the two voltages at which the power is taken."""
    for watts in (0.1, 10.0, 35.0, 35.999):
        found = end(alike(1, feed=1.0, watts=watts))
        assert found == pytest.approx(V0 / 2 + math.sqrt(V0**2 / 4 - watts), rel=1e-11)


@pytest.mark.parametrize("at", ["end", "middle", "both ends"])
@pytest.mark.parametrize("modules", [1, 2, 9, 24])
def test_constant_power_is_what_a_dense_solver_finds(modules: int, at: FeedAt) -> None:
    """A general root finder on the dense equations of the nodes comes to the same voltages."""
    watts = 0.5 + 0.4 * np.sin(np.arange(modules)) ** 2
    segments = 0.02 + 0.01 * np.cos(np.arange(modules - 1)) ** 2
    feeds = tuple(Feed(module=k, resistance=0.03) for k in feed_places(at, modules))
    loads = Loads(
        amperes=np.full(modules, 0.01),
        watts=watts,
        ohms=np.full(modules, 400.0),
        forward_volts=np.zeros(modules),
    )
    conductance, fed = np.diag(np.full(modules, 1 / 400)), np.zeros(modules)
    for k, r in enumerate(segments):
        conductance[k : k + 2, k : k + 2] += np.array([[1, -1], [-1, 1]]) / r
    for feed in feeds:
        conductance[feed.module, feed.module] += 1 / feed.resistance
        fed[feed.module] += V0 / feed.resistance

    def missing(volts: Array) -> Array:
        return volts - np.linalg.solve(conductance, fed - watts / volts - 0.01)

    dense = root(missing, np.full(modules, V0), method="hybr", options={"xtol": 1e-13})
    assert dense.success
    found = voltages_along(String(supply=V0, segments=segments, feeds=feeds, loads=loads))
    assert found.volts == pytest.approx(dense.x, rel=1e-11)


@st.composite
def strings(draw: st.DrawFn) -> String:
    """Draw a string with modules of every kind, feeds anywhere, some wires of no resistance; its load is light."""
    n = draw(st.integers(1, 12))

    def each(values: st.SearchStrategy[float], count: int = n) -> Array:
        return np.array(draw(st.lists(values, min_size=count, max_size=count)), dtype=np.float64)

    resistances = st.one_of(st.just(0.0), st.floats(1e-4, 0.2))
    places = draw(st.lists(st.integers(0, n - 1), min_size=1, max_size=4))
    bare = draw(st.integers(-1, len(places) - 1))
    return String(
        supply=draw(st.sampled_from([5.0, 12.0, 24.0])),
        segments=each(resistances, n - 1),
        feeds=tuple(
            Feed(module=k, resistance=0.0 if i == bare else draw(st.floats(1e-4, 0.2)))
            for i, k in enumerate(places)
        ),
        loads=Loads(
            amperes=each(st.floats(0, 0.02)),
            watts=each(st.floats(0, 0.1)),
            ohms=each(st.one_of(st.just(math.inf), st.floats(200, 1000))),
            forward_volts=each(st.floats(0, 20)),
        ),
    )


@given(strings())
def test_currents_sum_to_nought_and_energy_is_kept(string: String) -> None:
    """At each module what comes in goes out; round each loop the drops agree; the supply gives what is taken."""
    found = voltages_along(string)
    total = max(found.feed_amperes.sum(), 1e-3)
    inward = np.concatenate([[0.0], found.segment_amperes]) - np.concatenate([found.segment_amperes, [0.0]])
    for feed, current in zip(string.feeds, found.feed_amperes, strict=True):
        inward[feed.module] += current
        assert (
            abs(string.supply - feed.resistance * current - found.volts[feed.module]) < 1e-12 * string.supply
        )
    assert abs(inward - found.amperes).max() < 1e-12 * total
    drops = -np.diff(found.volts)
    assert abs(drops - string.segments * found.segment_amperes).max(initial=0) < 1e-12 * string.supply
    assert found.amperes == pytest.approx(string.loads.at(found.volts), rel=1e-12)
    taken = found.volts @ found.amperes
    assert abs(found.supply_watts - found.wire_watts - taken) < 1e-12 * max(found.supply_watts, 1e-3)


@given(strings())
def test_turned_round_a_string_is_the_same(string: String) -> None:
    """Counted from its other end a string has the same voltages."""
    loads, last = string.loads, len(string.loads) - 1
    turned = String(
        supply=string.supply,
        segments=string.segments[::-1],
        feeds=tuple(Feed(module=last - feed.module, resistance=feed.resistance) for feed in string.feeds),
        loads=Loads(
            amperes=loads.amperes[::-1],
            watts=loads.watts[::-1],
            ohms=loads.ohms[::-1],
            forward_volts=loads.forward_volts[::-1],
        ),
    )
    assert voltages_along(turned).volts[::-1] == pytest.approx(voltages_along(string).volts, rel=1e-12)


LOADS: list[Load] = [
    {"amperes": 0.06},
    {"watts": 0.72},
    {"ohms": 200.0},
    {"ohms": 50.0, "forward_volts": 9.0},
]


@pytest.mark.parametrize("load", LOADS)
def test_a_string_fed_in_its_middle_is_two_halves(load: Load) -> None:
    """Fed without resistance at its middle module, each side is a string of its own, fed over its first segment."""
    whole = voltages_along(alike(41, at="middle", feed=0.0, **load)).volts
    half = voltages_along(alike(20, **load)).volts
    assert whole[20] == V0
    assert whole[21:] == pytest.approx(half, rel=1e-12)
    assert whole[19::-1] == pytest.approx(half, rel=1e-12)


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("modules", [2, 9, 40])
def test_fed_at_both_ends_it_is_its_own_mirror_image(modules: int, load: Load) -> None:
    """Both feeds carry as much, and the lowest voltage is in the middle."""
    found = voltages_along(alike(modules, at="both ends", **load))
    assert found.volts == pytest.approx(found.volts[::-1], rel=1e-12)
    assert found.feed_amperes[0] == pytest.approx(found.feed_amperes[1], rel=1e-11)
    assert found.volts.argmin() in {(modules - 1) // 2, modules // 2}


@pytest.mark.parametrize("load", LOADS)
def test_more_feeds_drop_less(load: Load) -> None:
    """Both ends drop less than the middle, the middle less than one end."""
    drops = [
        voltages_along(alike(40, at=at, feed=0.05, **load)).drop for at in ("both ends", "middle", "end")
    ]
    assert drops == sorted(drops)
    assert drops[0] < 0.7 * drops[1] < 0.7 * drops[2]


@pytest.mark.parametrize("load", LOADS)
def test_voltage_falls_away_from_the_feed(load: Load) -> None:
    """Each module has less than the one before; more modules, more wire and more load drop further."""
    found = voltages_along(alike(40, **load))
    assert (np.diff(found.volts) < 0).all()
    assert end(alike(41, **load)) < end(alike(40, **load))
    assert end(alike(40, segment=1.01 * R, **load)) < end(alike(40, **load))
    heavier = String(
        supply=V0,
        segments=np.full(39, R),
        feeds=(Feed(module=0, resistance=R),),
        loads=Loads.alike(40, **load).times(1.01),
    )
    assert end(heavier) < end(alike(40, **load))


def test_a_long_jumper_drops_by_itself() -> None:
    """One segment of more resistance lowers all modules behind it by what it carries, and none before."""
    segments = np.full(9, R)
    segments[4] += 0.1
    jumped = voltages_along(
        String(
            supply=V0,
            segments=segments,
            feeds=(Feed(module=0, resistance=R),),
            loads=Loads.alike(10, amperes=0.06),
        )
    )
    lower = voltages_along(alike(10, amperes=0.06)).volts - jumped.volts
    assert lower == pytest.approx([0] * 5 + [0.1 * 5 * 0.06] * 5, abs=1e-13)


def test_no_load_drops_nothing() -> None:
    """Modules that take nothing have the supply's voltage."""
    found = voltages_along(alike(5))
    assert found.volts.tolist() == [V0] * 5
    assert (found.drop, found.wire_watts, found.supply_watts) == (0, 0, 0)


def refusal(string: String) -> str:
    """Return the message with which a string is refused."""
    with pytest.raises(InputError) as caught:
        voltages_along(string)
    return str(caught.value)


def carried(string: String) -> float:
    """Return the share of its load that a string's refusal says that it can carry [%]."""
    with pytest.raises(InputError, match="the string is too long for its wire") as caught:
        voltages_along(string)
    return float(str(caught.value).partition("can carry ")[2].partition(" % at most")[0])


def test_constant_power_beyond_what_the_wire_carries_is_refused() -> None:
    """One module over R can take V₀²/4R and no more; the message says what share of the load that is."""
    assert carried(alike(1, feed=1.0, watts=36.001)) == pytest.approx(99.9, abs=0.11)
    assert carried(alike(1, feed=1.0, watts=72.0)) == pytest.approx(50, abs=0.11)
    assert carried(alike(1, feed=1.0, watts=3600.0)) == pytest.approx(1, abs=0.11)
    assert "can carry less than 0.1 %;" in refusal(alike(1, feed=1.0, watts=1e6))


def test_constant_current_beyond_what_the_wire_carries_is_refused() -> None:
    """Where the closed form of the drop is twice the supply's voltage, half of the load can be carried."""
    drop = R * 0.06 * 400 * 401 / 2
    assert drop > 2 * V0
    assert carried(alike(400, amperes=0.06)) == pytest.approx(100 * V0 / drop, abs=0.11)


def test_the_refusal_says_what_and_what_helps() -> None:
    """It names the modules, the voltage and the three ways out."""
    message = refusal(alike(400, watts=0.72))
    assert "400 modules at 12 V" in message
    assert "thicker wire, fewer modules or more feeds" in message


@pytest.mark.parametrize(
    ("at", "places"),
    [
        ("end", [(0,), (0,), (0,), (0,)]),
        ("middle", [(0,), (0,), (1,), (1,)]),
        ("both ends", [(0,), (0, 1), (0, 2), (0, 3)]),
    ],
)
def test_words_place_feeds(at: FeedAt, places: list[tuple[int, ...]]) -> None:
    """The first module, the middle one or the first of two, the first and the last."""
    assert [feed_places(at, modules) for modules in (1, 2, 3, 4)] == places


@given(
    share=st.floats(0.001, 0.3),
    load=st.sampled_from(LOADS),
    at=st.sampled_from(["end", "middle", "both ends"]),
    segment=st.floats(0.002, 0.2),
)
def test_the_longest_string_is_the_last_that_drops_no_further(
    share: float, load: Load, at: FeedAt, segment: float
) -> None:
    """So many modules keep to the largest drop and one more does not, found without trying each count."""

    def string_of(modules: int) -> String:
        return alike(modules, at=at, segment=segment, feed=segment, **load)

    def keeps(modules: int) -> bool:
        try:
            return voltages_along(string_of(modules)).drop <= share * (1 + 1e-12)
        except InputError:
            return False

    found = longest(string_of, largest_drop=share, most=500)
    assert found == 0 or keeps(found)
    assert found == 500 or not keeps(found + 1)


def test_a_drop_that_is_just_met_is_met() -> None:
    """The closed form's drop of 61 modules as the largest gives 61 modules."""
    for modules in (1, 2, 61, 64):
        drop = R * 0.06 * modules * (modules + 1) / 2 / V0
        assert longest(lambda n: alike(n, amperes=0.06), largest_drop=drop) == modules


def test_what_never_drops_far_is_as_long_as_is_tried() -> None:
    """LEDs behind resistors stop taking current: no number of them drops further than to their voltage."""
    assert longest(lambda n: alike(n, ohms=50.0, forward_volts=9.0), largest_drop=0.26, most=700) == 700
    assert longest(lambda n: alike(n, segment=100.0, feed=100.0, amperes=0.06), largest_drop=0.05) == 0


def string(**changed: object) -> String:
    """Return a string of three modules with something changed."""
    given: dict[str, object] = {
        "supply": V0,
        "segments": np.full(2, R),
        "feeds": (Feed(module=0),),
        "loads": Loads.alike(3, amperes=0.06),
    }
    return String(**(given | changed))  # type: ignore[arg-type]  # one of them is of the wrong size or value


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"supply": 0.0}, "supply of a string must be more than 0 V, got 0 V"),
        ({"supply": math.nan}, "supply of a string"),
        ({"segments": np.full(3, R)}, "3 modules has 2 segments between them"),
        ({"segments": np.array([R, -R])}, "resistance from module 2 to 3 must be 0 Ω or more"),
        ({"segments": np.array([math.nan, R])}, "resistance from module 1 to 2"),
        ({"feeds": ()}, "needs a feed, got none"),
        ({"feeds": (Feed(module=3),)}, "from 0 to 2, the last of 3, got 3"),
        ({"feeds": (Feed(module=1), Feed(module=1))}, "two feeds without resistance, at modules 1 and 1"),
        (
            {"feeds": (Feed(module=2), Feed(module=0)), "segments": np.zeros(2)},
            "two feeds without resistance, at modules 0 and 2",
        ),
    ],
)
def test_a_string_that_cannot_be_is_refused(changed: dict[str, object], message: str) -> None:
    """What does not fit is refused with what would."""
    with pytest.raises(InputError, match=message):
        string(**changed)


def test_two_feeds_without_resistance_share_what_lies_between_them() -> None:
    """With some resistance between them each carries what is nearer to it."""
    found: StringVoltages = voltages_along(string(feeds=(Feed(module=0), Feed(module=2))))
    assert found.feed_amperes == pytest.approx([0.09, 0.09], rel=1e-12)


def test_loads_and_feeds_that_cannot_be_are_refused() -> None:
    """Negative loads, no modules, lengths that differ, a resistor of nothing."""
    with pytest.raises(InputError, match="from 1 to 100000 modules, got 0"):
        Loads.alike(0)
    with pytest.raises(InputError, match="watts of module 1 must be 0 or more W, got -1 W"):
        Loads.alike(2, watts=-1.0)
    with pytest.raises(InputError, match="amperes of module 1 must be 0 or more A, got nan A"):
        Loads.alike(2, amperes=math.nan)
    with pytest.raises(InputError, match="ohms of module 1 must be more than 0 Ω, got 0 Ω"):
        Loads.alike(2, ohms=0.0)
    with pytest.raises(InputError, match=r"one for each of its 2 modules, got \(3,\)"):
        Loads(amperes=np.zeros(2), watts=np.zeros(3), ohms=np.ones(2), forward_volts=np.zeros(2))
    with pytest.raises(InputError, match="resistance of a feed must be 0 Ω or more, got -1 Ω"):
        Feed(module=0, resistance=-1.0)


def test_questions_that_cannot_be_asked_are_refused() -> None:
    """A word that is none, no modules, a drop of nothing or of all."""
    with pytest.raises(InputError, match='"end", its "middle" or "both ends", got \'start\''):
        feed_places("start", 3)  # type: ignore[arg-type]  # a word that is none
    with pytest.raises(InputError, match="1 module or more, got 0"):
        feed_places("end", 0)
    for share in (0.0, 1.0, math.nan):
        with pytest.raises(InputError, match="more than 0 and less than 1"):
            longest(alike, largest_drop=share)
    with pytest.raises(InputError, match="to be tried must be 1 or more, got 0"):
        longest(alike, largest_drop=0.05, most=0)
