"""Copper wire: its area by gauge and by mm², its resistance, and how it is written."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lumsim.errors import InputError
from lumsim.sheet.wire import IACS, STRANDED, Wire, parse_wire

METRIC = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0)


def test_gauges_are_defined_by_two_diameters() -> None:
    """AWG 36 is 0.005 in thick and 4/0 is 0.46 in, and 39 equal ratios lie between."""
    for gauge, inches in ((36, 0.005), (-3, 0.46)):
        assert Wire.of_gauge(gauge).area == pytest.approx(math.pi / 4 * (inches * 0.0254) ** 2, rel=1e-12)
    ratios = [Wire.of_gauge(n).area / Wire.of_gauge(n + 1).area for n in range(-3, 40)]
    assert ratios == pytest.approx([92 ** (2 / 39)] * 43, rel=1e-12)


def test_resistance_is_that_of_annealed_copper() -> None:
    """One metre of 1 mm² by its area alone has 0.017241 Ω at 20 °C, and 0.393 % of it more for each degree."""
    wire = Wire(name="1 mm²", area=1e-6, temperature=20.0)
    assert wire.resistance_per_metre == pytest.approx(0.017241, rel=1e-12)
    warm = Wire(name="1 mm²", area=1e-6, temperature=21.0)
    assert warm.resistance_per_metre / wire.resistance_per_metre == pytest.approx(1.00393, rel=1e-12)


def test_a_loop_is_there_and_back() -> None:
    """The loop resistance of a run is that of twice its length."""
    wire = Wire.of_gauge(18)
    assert wire.loop(5.0) == pytest.approx(10 * wire.resistance_per_metre, rel=1e-15)
    assert wire.loop(0.0) == 0


def test_strands_resist_more() -> None:
    """A stranded gauge has 2.3 % more resistance than a solid one of the same copper, and is what is meant."""
    strands, solid = Wire.of_gauge(16), Wire.of_gauge(16, stranded=False)
    assert strands.area == solid.area
    assert strands.resistance_per_metre == pytest.approx(1.023 * solid.resistance_per_metre, rel=1e-12)
    assert parse_wire("16 AWG") == strands
    assert parse_wire("16 AWG", stranded=False) == solid


@pytest.mark.parametrize("stranded", [True, False])
@pytest.mark.parametrize("area", METRIC)
def test_a_metric_wire_resists_more_than_its_area_would(area: float, stranded: bool) -> None:
    """Nominal sizes have their standard's greatest resistance; flexible ones more than solid ones."""
    wire = Wire.of_area(area, temperature=20.0, stranded=stranded)
    by_area = IACS / (area * 1e-6)
    assert 1.04 * by_area < wire.resistance_per_metre < 1.16 * by_area
    assert (
        Wire.of_area(area, stranded=True).resistance_per_metre
        > Wire.of_area(area, stranded=False).resistance_per_metre
    )


def test_an_area_that_is_no_nominal_size_counts_by_itself() -> None:
    """Of 0.8 mm² lumsim knows its copper and what strands add."""
    solid, strands = (Wire.of_area(0.8, temperature=20.0, stranded=stranded) for stranded in (False, True))
    assert solid.resistance_per_metre == pytest.approx(0.017241 / 0.8, rel=1e-12)
    assert strands.resistance_per_metre == pytest.approx(STRANDED * 0.017241 / 0.8, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("18 AWG", "18 AWG"),
        ("AWG 18", "18 AWG"),
        ("awg18", "18 AWG"),
        ("  18awg ", "18 AWG"),
        ("18\u00a0AWG", "18 AWG"),
        ("40 AWG", "40 AWG"),
        ("1 AWG", "1 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("1/0 AWG", "1/0 AWG"),
        ("AWG 2/0", "2/0 AWG"),
        ("00 AWG", "2/0 AWG"),
        ("4/0 AWG", "4/0 AWG"),
        ("4\u20440 AWG", "4/0 AWG"),
        ("0.75 mm2", "0.75 mm²"),
        ("0.75 mm²", "0.75 mm²"),
        (".75mm^2", "0.75 mm²"),
        ("1 mm²", "1 mm²"),
        ("2.50 MM2", "2.5 mm²"),
    ],
)
def test_wires_are_read_as_they_are_bought(text: str, name: str) -> None:
    """Gauge before or after AWG, areas with mm² in every spelling."""
    assert parse_wire(text).name == name


@given(gauge=st.integers(-3, 40), temperature=st.floats(-60, 250), stranded=st.booleans())
def test_a_name_reads_back(gauge: int, temperature: float, stranded: bool) -> None:
    """The name of a wire is a wire that lumsim reads, and the same one."""
    wire = Wire.of_gauge(gauge, temperature=temperature, stranded=stranded)
    assert parse_wire(wire.name, temperature=temperature, stranded=stranded) == wire


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("18", ["needs AWG or mm²", '"18 AWG" or "18 mm²"', "got 18"]),
        ("0,75 mm²", ["decimal point", '"0.75 mm²"']),
        ("41 AWG", ["from 40, the finest", "got 41 AWG"]),
        ("5/0 AWG", ["4/0", "got 5/0 AWG"]),
        ("0/0 AWG", ["4/0", "got 0/0 AWG"]),
        ("00000 AWG", ["4/0", "got 00000 AWG"]),
        ("0 mm²", ["more than 0 mm²", "got 0 mm²"]),
        ("18 gauge", ['write it like "18 AWG", "1/0 AWG" or "0.75 mm²"', "got 18 gauge"]),
        ("18.5 AWG", ['write it like "18 AWG"', "got 18.5 AWG"]),
        ("-18 AWG", ['write it like "18 AWG"', "got -18 AWG"]),
        ("1.5 mm", ['"0.75 mm²"', "got 1.5 mm"]),
        ("", ["got nothing"]),
    ],
)
def test_what_is_no_wire_is_refused(text: str, parts: list[str]) -> None:
    """The message says what was given and how to write it."""
    with pytest.raises(InputError) as caught:
        parse_wire(text)
    for part in parts:
        assert part in str(caught.value)


@given(st.text(max_size=30))
def test_any_text_is_a_wire_or_refused(text: str) -> None:
    """No text makes anything but a wire of some resistance or an InputError."""
    try:
        wire = parse_wire(text)
    except InputError:
        return
    assert 0 < wire.resistance_per_metre < math.inf


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"area": 0.0}, "area of a wire must be more than 0 mm²"),
        ({"area": math.nan}, "area of a wire"),
        ({"temperature": 251.0}, "from -60 to 250 °C, got 251 °C"),
        ({"temperature": math.nan}, "temperature of a wire"),
        ({"over_solid": 0.9}, "at least the resistance of a solid one"),
    ],
)
def test_a_wire_that_cannot_be_is_refused(changed: dict[str, float], message: str) -> None:
    """Areas, temperatures and factors out of bounds are refused, NaN with them."""
    values = {"area": 1e-6, "temperature": 20.0, "over_solid": 1.0} | changed
    with pytest.raises(InputError, match=message):
        Wire(name="a wire", **values)


@pytest.mark.parametrize("gauge", [-4, 41])
def test_a_gauge_that_is_none_is_refused(gauge: int) -> None:
    """Finer than 40 and thicker than 4/0 there is none here."""
    with pytest.raises(InputError, match="AWG goes from 40"):
        Wire.of_gauge(gauge)


@pytest.mark.parametrize("run", [-1.0, math.inf, math.nan])
def test_a_run_of_less_than_nothing_is_refused(run: float) -> None:
    """A run has a length of 0 m or more."""
    with pytest.raises(InputError, match="run of a wire must be 0 m or more"):
        Wire.of_gauge(18).loop(run)
