"""The keys of a study file that `lumsim sheet` works by: strings, supports, supplies, small parts, costs, service."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from lumsim.study.table import Table
from lumsim.study.values import Count, Flag, Length, Number, Opening, Place, Size, VoltagePoint
from lumsim.units import Units

__all__ = [
    "CostsForm",
    "ElectricsForm",
    "PartForm",
    "PowerForm",
    "ServiceForm",
    "StringForm",
    "SupportsForm",
    "length_or_default",
]

INCH = Fraction(254, 10000)
MILLIMETRE = Fraction(1, 1000)

DEFAULTS: dict[Units, dict[str, Fraction]] = {
    "in": {"feed_length": 60 * INCH, "from_end": 6 * INCH, "clearance": INCH / 2},
    "mm": {"feed_length": 1500 * MILLIMETRE, "from_end": 150 * MILLIMETRE, "clearance": 12 * MILLIMETRE},
}
"""Lengths that hold unless a study says, round in its units. [m]"""

Volts = Annotated[float, Number(above=0, most=1000, unit="V")]
Share = Annotated[float, Number(least=0, most=1)]
ShareAboveNone = Annotated[float, Number(above=0, most=1)]
Few = Annotated[int, Number(least=0, most=10_000, whole=True)]


class ElectricsForm(Table):
    """How a module takes its current and gives its light where its voltage is not the rated one."""

    takes: Literal["constant current", "constant power", "resistor"] = Field(
        default="constant current",
        description="a driver that holds the current; one that holds the power; or a resistor before the LEDs",
    )
    drop_out: Volts | None = Field(
        default=None,
        description="least voltage at which a driver still holds its light; below it the module is taken for dark",
    )
    forward_volts: Volts | None = Field(
        default=None, description="of all LEDs in line behind a resistor; the light goes with the current"
    )
    light: Annotated[list[VoltagePoint], Field(min_length=2)] | None = Field(
        default=None,
        description="measured: rising voltages, each with its share of the light at the rated one; linear between, "
        "dark below the first",
    )


class StringForm(Table):
    """How modules are delivered: on rolls, by so many, to be cut between modules."""

    roll_modules: Count | None = Field(default=None, description="how many modules a roll holds")
    cut_every: Count = Field(
        default=1, description="a roll may be cut after every so many modules, counted from its end"
    )
    most_joints: Few = Field(
        default=0, description="how many couplers a row may have, each joining two sections; 0 for none"
    )
    shortest_section: Count = Field(
        default=1, description="how few modules a section between two cuts may have"
    )
    pitch: Size | None = Field(
        default=None,
        description="module to module along the string as delivered, stretched out; the row's own unless said",
    )
    module_length: Size | None = Field(
        default=None, description="of one module along its row, which supports keep clear of"
    )


class SupportsForm(Table):
    """What holds the rows, and how far apart it may be."""

    horizontal_interval: Size | None = Field(
        default=None, description="between supports of horizontal rows, at most"
    )
    vertical_interval: Size | None = Field(
        default=None, description="between supports of vertical rows, at most"
    )
    from_end: Length | None = Field(
        default=None,
        description="from the first or last module of a row to the support nearest it, at most; 6 in or 150 mm unless "
        "said",
    )
    clearance: Length | None = Field(
        default=None,
        description="from the middle of a support to the end of a module, at least; 1/2 in or 12 mm unless said",
    )


class PowerForm(Table):
    """Supplies' voltage, and the wire to and along the strings."""

    supply_volts: Volts | None = Field(
        default=None, description="of one supply; the modules' own rated volts unless said"
    )
    circuits_a_row: Annotated[int, Number(least=1, most=8, whole=True)] = Field(
        default=1,
        description="along each row, sharing its load evenly: on a two-sided string often one a side",
    )
    feed_at: Literal["end", "middle", "both ends"] = Field(
        default="end", description="where each row is fed; its left or bottom end, its middle, or both ends"
    )
    feed_length: Length | None = Field(
        default=None, description="wire from the supply to each feed; 60 in or 1500 mm unless said"
    )
    feed_wire: str = Field(default="18 AWG", description="of that wire, such as 18 AWG or 0.75 mm²")
    string_wire: str | None = Field(
        default=None, description="from module to module along the string; as the feed's unless said"
    )
    wire_temperature: Annotated[float, Number(least=-40, most=105, unit="°C")] = Field(
        default=50.0, description="of the conductors in use, in °C"
    )
    supply_watts: Annotated[float, Number(above=0, most=1e6, unit="W")] | None = Field(
        default=None, description="rated power of one supply, or of one output where it has several"
    )
    loading_share: ShareAboveNone = Field(
        default=0.8, description="share of supply_watts that may be taken, from 0 to 1"
    )
    longest_string: Size | None = Field(
        default=None,
        description="length of string that one supply may feed in all, by its listing or its maker",
    )
    interleaved: Flag = Field(
        default=False,
        description="neighbouring rows on different supplies, so that a dead one thins the light out everywhere",
    )
    supplies_at: Annotated[list[Place], Field(min_length=1)] | None = Field(
        default=None,
        description="middle of each supply in the cabinet, from the left and from the bottom return, for the drawing "
        "and for service",
    )
    supply_size: Opening | None = Field(
        default=None, description="width and height of a supply as it is mounted"
    )


class PartForm(Table):
    """A small part, and how many are needed."""

    name: str = Field(min_length=1, max_length=60, description="as in the price list")
    each: Annotated[int, Number(least=1, most=1000, whole=True)] = Field(default=1, description="how many")
    per: Literal["section", "joint", "row", "feed", "support", "supply", "roll", "module"] = Field(
        description="for each of what"
    )
    with_roll: Few = Field(default=0, description="how many come with each roll")


class CostsForm(Table):
    """What parts and power cost."""

    prices: str | None = Field(
        default=None, description="CSV file of part,price and, where wanted, pack; beside the study file"
    )
    currency: Annotated[str, Field(min_length=1, max_length=8)] | None = Field(
        default=None, description="of all prices, as it is to be printed"
    )
    hours_a_day: Annotated[float, Number(above=0, most=24, unit="h")] | None = Field(
        default=None, description="that the sign is lit"
    )
    price_a_kwh: Annotated[float, Number(least=0, most=1e6)] | None = Field(
        default=None, description="of the power from the mains"
    )
    supply_efficiency: ShareAboveNone = Field(
        default=0.85, description="of the supplies: what they give over what they take"
    )


class ServiceForm(Table):
    """How the cabinet is opened, and what is kept to mend it."""

    opens: Literal["front", "rear", "left", "right", "bottom", "top"] | None = Field(
        default=None, description="side from which the inside is reached: a face, or a return that comes off"
    )
    arm: Size | None = Field(default=None, description="how far in a hand can work")
    spare_modules: Share = Field(default=0.02, description="modules kept, as a share; at least 1")
    spare_supplies: Share = Field(default=0.1, description="supplies kept, as a share; at least 1")


def length_or_default(table: Table, key: str, units: Units) -> Fraction:
    """A length of a table; the default in the study's units where it says none. [m]

    Parameters
    ----------
    table : Table
    key : str
        One of ``DEFAULTS``.
    units : {"in", "mm"}
    """
    said: Fraction | None = getattr(table, key)
    return DEFAULTS[units][key] if said is None else said
