"""Lengths, angles and numbers as they stand in a study: read, checked and refused in the user's words."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from lumsim.cabinet.box import LARGEST_SIZE
from lumsim.units import parse_angle, parse_length

__all__ = ["Angle", "Count", "Length", "Size", "number"]

LENGTH_SCHEMA = {
    "type": "string",
    "description": "a length with its unit, such as \"12 in\", \"5 1/2 in\", \"4 ft 6 in\", \"300 mm\" or \"1.2 m\"",
    "pattern": "[0-9½¼¾⅓⅔⅛⅜⅝⅞]",
    "examples": ["12 in", "5 1/2 in", "4 ft 6 in", "300 mm", "1.2 m"],
}


def _length(text: object) -> Fraction:
    if isinstance(text, Fraction):
        return text
    if isinstance(text, bool) or not isinstance(text, str):
        if isinstance(text, int | float) and not isinstance(text, bool):
            raise ValueError(
                f'a length needs its unit and quotes, got the bare number {text}: write "{text:g} in" or '
                f'"{text:g} mm"'
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
        raise ValueError(f'must be an angle in quotes such as "120 deg", got {text!r}')  # noqa: TRY004
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


def number(
    *, above: float | None = None, least: float | None = None, most: float | None = None, unit: str = ""
) -> Any:  # noqa: ANN401  a type made at run time
    """Make a number's type with its limits: ``above`` < value, or ``least`` ≤ value, and value ≤ ``most``."""
    shown_unit = f" {unit}" if unit else ""
    bounds = []
    if above is not None:
        bounds.append(f"more than {above:g}")
    if least is not None:
        bounds.append(f"{least:g} or more")
    if most is not None:
        bounds.append(f"at most {most:g}")
    wanted = " and ".join(bounds)

    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            hint = " without quotes" if isinstance(value, str) else ""
            raise ValueError(f"must be a number{hint}, {wanted}{shown_unit}, got {value!r}")
        if (
            not math.isfinite(value)
            or (above is not None and not value > above)
            or (least is not None and not value >= least)
            or (most is not None and not value <= most)
        ):
            raise ValueError(f"must be {wanted}{shown_unit}, got {value:g}{shown_unit}")
        return float(value)

    schema: dict[str, Any] = {"type": "number"}
    if above is not None:
        schema["exclusiveMinimum"] = above
    if least is not None:
        schema["minimum"] = least
    if most is not None:
        schema["maximum"] = most
    return Annotated[float, BeforeValidator(read), WithJsonSchema(schema)]



def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(f"must be a whole number, 1 or more, got {value!r}")  # noqa: TRY004
    if not value >= 1:
        raise ValueError(f"must be 1 or more, got {value}")
    return value


Count = Annotated[int, BeforeValidator(_count), WithJsonSchema({"type": "integer", "minimum": 1})]
"""How many, 1 or more. [1]"""
