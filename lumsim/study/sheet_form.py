"""The keys of a study file that `lumsim sheet` works by: how strings are fed."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from lumsim.study.table import Table
from lumsim.study.values import Length, Number, VoltagePoint

__all__ = ["ElectricsForm", "PowerForm"]

INCH = Fraction(254, 10000)

Volts = Annotated[float, Number(above=0, most=1000, unit="V")]


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
    feed_length: Length = Field(default=60 * INCH, description="wire from the supply to each feed")
    feed_wire: str = Field(default="18 AWG", description="of that wire, such as 18 AWG or 0.75 mm²")
    string_wire: str | None = Field(
        default=None, description="from module to module along the string; as the feed's unless said"
    )
    wire_temperature: Annotated[float, Number(least=-40, most=105, unit="°C")] = Field(
        default=50.0, description="of the conductors in use, in °C"
    )
