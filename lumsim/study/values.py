"""Lengths, angles and numbers as they stand in a study: read, checked and refused in the user's words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from lumsim.beams.tables import LARGEST_CUT_OFF
from lumsim.cabinet.box import LARGEST_SIZE
from lumsim.cabinet.places import MOST_PLACES
from lumsim.units import parse_angle, parse_length

__all__ = [
    "Angle",
    "BeamPoint",
    "Count",
    "CutOff",
    "Distance",
    "Faces",
    "Flag",
    "Led",
    "Length",
    "Number",
    "Opening",
    "Place",
    "Size",
    "Span",
    "Tilt",
    "Turn",
    "VoltagePoint",
]

MOST_CUT_OFF = round(math.degrees(LARGEST_CUT_OFF))
"""[deg]"""

LENGTH_SCHEMA = {
    "type": "string",
    "description": 'a length with its unit, such as "12 in", "5 1/2 in", "4 ft 6 in", "300 mm" or "1.2 m"',
    "pattern": "[0-9½¼¾⅓⅔⅛⅜⅝⅞]",
    "examples": ["12 in", "5 1/2 in", "4 ft 6 in", "300 mm", "1.2 m"],
}


MOST_DISTANCE = 10_000.0
"""From which a sign may be looked at. [m]"""


def _length(
    text: object, most: float = LARGEST_SIZE, example: str = "12 in", other: str = "300 mm"
) -> Fraction:
    if isinstance(text, Fraction):
        return text
    if not isinstance(text, str):
        if isinstance(text, int | float) and not isinstance(text, bool) and 1e-4 <= abs(text) < 1e6:
            units = example.partition(" ")[2], other.partition(" ")[2]
            raise ValueError(
                f"a length needs its unit and quotes, got the bare number {text}: write "
                f'"{text:.10g} {units[0]}" or "{text:.10g} {units[1]}"'
            )
        raise ValueError(f'must be a length in quotes such as "{example}" or "{other}", got {text!r}')
    length = parse_length(text)
    if not abs(length) <= most:
        raise ValueError(f"must be at most {most:g} m, got {text}")
    return length


def _size(text: object) -> Fraction:
    length = _length(text)
    if not length > 0:
        raise ValueError(f"must be more than 0, got {text}")
    return length


def _distance(text: object) -> Fraction:
    distance = _length(text, MOST_DISTANCE, "10 ft", "3 m")
    if not distance > 0:
        raise ValueError(f"must be more than 0, got {text}")
    return distance


def _at_least_nothing(text: object) -> Fraction:
    length = _length(text)
    if not length >= 0:
        raise ValueError(f"must be 0 or more, got {text}")
    return length


def _degrees(text: object, example: str) -> Fraction:
    if not isinstance(text, str):
        raise ValueError(f'must be an angle in quotes such as "{example}", got {text!r}')
    return parse_angle(text)


def _angle(text: object) -> float:
    degrees = _degrees(text, "120 deg")
    if not 0 < degrees < 180:
        raise ValueError(f"must be above 0 deg and below 180 deg, got {text}")
    return math.radians(degrees)


def _cut_off(text: object) -> float:
    degrees = _degrees(text, "60 deg")
    if not 0 < degrees <= MOST_CUT_OFF:
        raise ValueError(f"must be above 0 deg and at most {MOST_CUT_OFF} deg, got {text}")
    return math.radians(degrees)


def _tilt(text: object) -> float:
    degrees = _degrees(text, "20 deg")
    if not -90 <= degrees <= 90:
        raise ValueError(f"must be from -90 deg to 90 deg, got {text}")
    return math.radians(degrees)


def _turn(text: object) -> float:
    degrees = _degrees(text, "90 deg")
    if not -360 <= degrees <= 360:
        raise ValueError(f"must be from -360 deg to 360 deg, got {text}")
    return math.radians(degrees)


def _pair(value: object, what: str) -> list[object] | tuple[object, ...]:
    if not (isinstance(value, list | tuple) and len(value) == 2):
        raise ValueError(f"must be {what}, got {value!r}")
    return value


def _led(value: object) -> tuple[Fraction, Fraction]:
    along, across = _pair(value, 'two lengths, along the module and across it, such as ["-20 mm", "0 mm"]')
    return _length(along), _length(across)


def _opening(value: object) -> tuple[Fraction, Fraction]:
    length, width = _pair(value, 'two lengths, along the module and across it, such as ["60 mm", "12 mm"]')
    return _size(length), _size(width)


def _place(value: object) -> tuple[Fraction, Fraction]:
    x, y = _pair(value, 'two lengths, from the left and from the bottom return, such as ["12 in", "6 in"]')
    return _at_least_nothing(x), _at_least_nothing(y)


def _span(value: object) -> tuple[Fraction, Fraction]:
    low, high = _pair(value, 'two lengths, the least and the most, such as ["4 in", "12 in"]')
    least, most = _at_least_nothing(low), _size(high)
    if not least < most:
        raise ValueError(f"the least comes first and must be below the most, got {low} and {high}")
    return least, most


def _beam_point(value: object) -> tuple[float, float]:
    angle, intensity = _pair(value, 'an angle and an intensity, such as ["10 deg", 0.98]')
    degrees = _degrees(angle, "10 deg")
    if not 0 <= degrees <= 180:
        raise ValueError(f"must be from 0 deg to 180 deg, got {angle}")
    if isinstance(intensity, bool) or not isinstance(intensity, int | float) or not 0 <= intensity <= 1e9:
        raise ValueError(f"an intensity must be a number, 0 or more and at most 1e+09, got {intensity!r}")
    return math.radians(degrees), float(intensity)


def _voltage_point(value: object) -> tuple[float, float]:
    volts, share = _pair(value, "a voltage and a share of the light, such as [11.5, 0.9]")
    for number, what, most in ((volts, "a voltage", 1000), (share, "a share of the light", 10)):
        if isinstance(number, bool) or not isinstance(number, int | float) or not 0 <= number <= most:
            raise ValueError(f"{what} must be a number from 0 to {most}, got {number!r}")
    assert isinstance(volts, int | float)
    assert isinstance(share, int | float)
    return float(volts), float(share)


Size = Annotated[Fraction, BeforeValidator(_size), WithJsonSchema(LENGTH_SCHEMA)]
"""A length above 0. [m]"""

Length = Annotated[Fraction, BeforeValidator(_at_least_nothing), WithJsonSchema(LENGTH_SCHEMA)]
"""A length of 0 or more. [m]"""

Distance = Annotated[
    Fraction,
    BeforeValidator(_distance),
    WithJsonSchema(
        LENGTH_SCHEMA
        | {"description": 'a length with its unit, such as "10 ft" or "120 m"', "examples": ["10 ft", "3 m"]}
    ),
]
"""From a face to an eye, above 0 and at most ``MOST_DISTANCE``. [m]"""

Angle = Annotated[
    float,
    BeforeValidator(_angle),
    WithJsonSchema({"type": "string", "description": 'an angle such as "120 deg"', "examples": ["120 deg"]}),
]
"""A full angle above 0 and below 180 degrees. [rad]"""


CutOff = Annotated[
    float,
    BeforeValidator(_cut_off),
    WithJsonSchema({"type": "string", "description": 'an angle such as "60 deg"', "examples": ["60 deg"]}),
]
"""From the axis, above 0 and at most ``MOST_CUT_OFF``. [rad]"""

Tilt = Annotated[
    float,
    BeforeValidator(_tilt),
    WithJsonSchema(
        {"type": "string", "description": 'an angle such as "20 deg"', "examples": ["20 deg", "-20 deg"]}
    ),
]
"""From −90 to 90 degrees. [rad]"""

Turn = Annotated[
    float,
    BeforeValidator(_turn),
    WithJsonSchema(
        {"type": "string", "description": 'an angle such as "90 deg"', "examples": ["90 deg", "-45 deg"]}
    ),
]
"""From −360 to 360 degrees. [rad]"""

_TWO_LENGTHS = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 2, "maxItems": 2}

Led = Annotated[tuple[Fraction, Fraction], BeforeValidator(_led), WithJsonSchema(_TWO_LENGTHS)]
"""Where an LED is along the module and across it, from its middle. [m]"""

Opening = Annotated[tuple[Fraction, Fraction], BeforeValidator(_opening), WithJsonSchema(_TWO_LENGTHS)]
"""Length and width, above 0. [m]"""

Place = Annotated[tuple[Fraction, Fraction], BeforeValidator(_place), WithJsonSchema(_TWO_LENGTHS)]
"""From the left and from the bottom return, 0 or more. [m]"""

Span = Annotated[tuple[Fraction, Fraction], BeforeValidator(_span), WithJsonSchema(_TWO_LENGTHS)]
"""The least length, 0 or more, and the most, above it. [m]"""

BeamPoint = Annotated[
    tuple[float, float],
    BeforeValidator(_beam_point),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [{"type": "string"}, {"type": "number", "minimum": 0, "maximum": 1e9}],
            "minItems": 2,
            "maxItems": 2,
        }
    ),
]
"""An angle from the axis, from 0 to 180 degrees, and the intensity there. [rad, 1]"""


VoltagePoint = Annotated[
    tuple[float, float],
    BeforeValidator(_voltage_point),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [
                {"type": "number", "minimum": 0, "maximum": 1000},
                {"type": "number", "minimum": 0, "maximum": 10},
            ],
            "minItems": 2,
            "maxItems": 2,
        }
    ),
]
"""A voltage and the share of the light at the rated one. [V, 1]"""


def _number_shown(value: float) -> str:
    """Return a number for a message; whole ones of a study may be too large for a float."""
    return "a larger one" if isinstance(value, int) and abs(value) > 10**300 else f"{value:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number's limits, for ``Annotated[float, Number(…)]``: ``above`` < value or ``least`` ≤ value ≤ ``most``."""

    above: float | None = None
    least: float | None = None
    most: float
    unit: str = ""
    """for messages"""
    whole: bool = False
    """whether it must be a whole number"""

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic reads it."""
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """How an editor checks it."""
        low = {"exclusiveMinimum": self.above} if self.above is not None else {"minimum": self.least}
        return {"type": "integer" if self.whole else "number", **low, "maximum": self.most}

    def _read(self, value: object) -> float:
        unit = f" {self.unit}" if self.unit else ""
        low = f"more than {self.above:g}" if self.above is not None else f"{self.least:g} or more"
        wanted = f"{low} and at most {self.most:g}{unit}"
        kind = int if self.whole else int | float
        if isinstance(value, bool) or not isinstance(value, kind):
            hint = " without quotes" if isinstance(value, str) else ""
            name = "a whole number" if self.whole else "a number"
            raise ValueError(f"must be {name}{hint}, {wanted}, got {value!r}")
        reaches = value > self.above if self.above is not None else value >= (self.least or 0.0)
        if not (reaches and value <= self.most):
            raise ValueError(f"must be {wanted}, got {_number_shown(value)}{unit}")
        return value if self.whole else float(value)


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(f"must be a whole number from 1 to {MOST_PLACES}, got {value!r}")
    if not 1 <= value <= MOST_PLACES:
        raise ValueError(f"must be from 1 to {MOST_PLACES}, got {value}")
    return value


Count = Annotated[
    int,
    BeforeValidator(_count),
    WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_PLACES}),
]
"""How many, from 1 on. [1]"""


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"must be true or false, without quotes, got {value!r}")
    return value


Flag = Annotated[bool, BeforeValidator(_flag), WithJsonSchema({"type": "boolean"})]
"""True or false."""


def _faces(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value not in {1, 2}:
        raise ValueError(
            f"must be 1 (a back and one face) or 2 (double-sided: light leaves both ways), got {value!r}"
        )
    return value


Faces = Annotated[Literal[1, 2], BeforeValidator(_faces), WithJsonSchema({"type": "integer", "enum": [1, 2]})]
"""How many faces. [1]"""
