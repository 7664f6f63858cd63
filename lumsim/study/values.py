"""Lengths, angles and numbers as they stand in a study: read, checked and refused in the user's words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from lumsim.cabinet.box import LARGEST_SIZE
from lumsim.cabinet.places import MOST_PLACES
from lumsim.units import parse_angle, parse_length

__all__ = ["Angle", "Count", "Faces", "Length", "Number", "Size"]

LENGTH_SCHEMA = {
    "type": "string",
    "description": 'a length with its unit, such as "12 in", "5 1/2 in", "4 ft 6 in", "300 mm" or "1.2 m"',
    "pattern": "[0-9½¼¾⅓⅔⅛⅜⅝⅞]",
    "examples": ["12 in", "5 1/2 in", "4 ft 6 in", "300 mm", "1.2 m"],
}


def _length(text: object) -> Fraction:
    if isinstance(text, Fraction):
        return text
    if not isinstance(text, str):
        if isinstance(text, int | float) and not isinstance(text, bool) and 1e-4 <= abs(text) < 1e6:
            raise ValueError(
                f'a length needs its unit and quotes, got the bare number {text}: write "{text:.10g} in" or '
                f'"{text:.10g} mm"'
            )
        raise ValueError(f'must be a length in quotes such as "12 in" or "300 mm", got {text!r}')
    length = parse_length(text)
    if not abs(length) <= LARGEST_SIZE:
        raise ValueError(f"must be at most {LARGEST_SIZE:g} m, got {text}")
    return length


def _size(text: object) -> Fraction:
    length = _length(text)
    if not length > 0:
        raise ValueError(f"must be more than 0, got {text}")
    return length


def _at_least_nothing(text: object) -> Fraction:
    length = _length(text)
    if not length >= 0:
        raise ValueError(f"must be 0 or more, got {text}")
    return length


def _angle(text: object) -> float:
    if not isinstance(text, str):
        raise ValueError(f'must be an angle in quotes such as "120 deg", got {text!r}')
    degrees = parse_angle(text)
    if not 0 < degrees < 180:
        raise ValueError(f"must be above 0 deg and below 180 deg, got {text}")
    return math.radians(degrees)


Size = Annotated[Fraction, BeforeValidator(_size), WithJsonSchema(LENGTH_SCHEMA)]
"""A length above 0. [m]"""

Length = Annotated[Fraction, BeforeValidator(_at_least_nothing), WithJsonSchema(LENGTH_SCHEMA)]
"""A length of 0 or more. [m]"""

Angle = Annotated[
    float,
    BeforeValidator(_angle),
    WithJsonSchema({"type": "string", "description": 'an angle such as "120 deg"', "examples": ["120 deg"]}),
]
"""A full angle above 0 and below 180 degrees. [rad]"""


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

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic reads it."""
        return core_schema.no_info_plain_validator_function(self._read)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """How an editor checks it."""
        low = {"exclusiveMinimum": self.above} if self.above is not None else {"minimum": self.least}
        return {"type": "number", **low, "maximum": self.most}

    def _read(self, value: object) -> float:
        unit = f" {self.unit}" if self.unit else ""
        low = f"more than {self.above:g}" if self.above is not None else f"{self.least:g} or more"
        wanted = f"{low} and at most {self.most:g}{unit}"
        if isinstance(value, bool) or not isinstance(value, int | float):
            hint = " without quotes" if isinstance(value, str) else ""
            raise ValueError(f"must be a number{hint}, {wanted}, got {value!r}")
        reaches = value > self.above if self.above is not None else value >= (self.least or 0.0)
        if not (reaches and value <= self.most):
            raise ValueError(f"must be {wanted}, got {_number_shown(value)}{unit}")
        return float(value)


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


def _faces(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value not in {1, 2}:
        raise ValueError(
            f"must be 1 (a back and one face) or 2 (double-sided: light leaves both ways), got {value!r}"
        )
    return value


Faces = Annotated[Literal[1, 2], BeforeValidator(_faces), WithJsonSchema({"type": "integer", "enum": [1, 2]})]
"""How many faces. [1]"""
