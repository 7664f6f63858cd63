"""Lengths given on the command line, and points of the face answered for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError, LengthError
from lumsim.report.light_text import light_text
from lumsim.report.notes import light_followed
from lumsim.report.numbers import significant
from lumsim.simulation import Simulation
from lumsim.study.reading import Study
from lumsim.units import Units, format_length, format_size, parse_length

__all__ = ["depths_of", "points_of", "points_text"]

Point = tuple[float, float]


def points_of(texts: Sequence[str], cabinet: Cabinet, units: Units) -> list[Point]:
    """Points of the face from texts such as ``12 in; 24 in``.

    Parameters
    ----------
    texts : sequence of str
    cabinet : Cabinet
        Whose face is meant.
    units : {"in", "mm"}
        For messages.

    Raises
    ------
    InputError
        Where one cannot be read or lies outside the face.
    """
    points = []
    box = cabinet.box
    for text in texts:
        parts = text.split(";")
        if len(parts) != 2:
            raise InputError(
                f'--at {text}: write x and y with a semicolon between, such as --at "12 in; 24 in"'
            )
        try:
            x, y = (float(parse_length(part.strip())) for part in parts)
        except LengthError as error:
            raise InputError(f"--at {text}: {error}") from None
        if not (0 <= x <= box.width and 0 <= y <= box.height):
            raise InputError(
                f"--at {text}: is outside the face, which is {format_size((box.width, box.height), units)}"
            )
        points.append((x, y))
    return points


def depths_of(text: str | None) -> tuple[float, ...]:
    """Depths from a text such as ``4 in; 5 in; 6 in``.

    Raises
    ------
    InputError
        Where one cannot be read or is not above 0.
    """
    if text is None:
        return ()
    depths = []
    for part in text.split(";"):
        try:
            depth = float(parse_length(part.strip()))
        except LengthError as error:
            raise InputError(f"--depths {text}: {error}") from None
        if not depth > 0:
            raise InputError(f"--depths {text}: a depth must be more than 0, got {part.strip()}")
        depths.append(depth)
    return tuple(dict.fromkeys(depths))


def points_text(study: Study, simulation: Simulation, points: Sequence[Point]) -> str:
    """The text of a lit cabinet, with the points asked for on top of its verdict.

    Parameters
    ----------
    study : Study
    simulation : Simulation
        Of the study's cabinet.
    points : sequence of (x, y)
        At least one. [m]
    """
    x, y = (np.array(values, dtype=np.float64) for values in zip(*points, strict=True))
    direct, reflected = simulation.direct.illuminance(x, y), simulation.reflected_at(x, y)
    lines = ["", f"Points asked for, behind the face ({light_followed(simulation)})"]
    for (px, py), E, R in zip(points, direct, reflected, strict=True):
        total = significant(float(E + R), 5)
        parts = "" if simulation.reflected is None else f" ({significant(float(E), 5)} lx of it direct)"
        lines.append(
            f"  {format_length(px, study.units):>10} from left, {format_length(py, study.units):>10} from bottom: "
            f"{total} lx{parts}"
        )
    return light_text(study, simulation, extra=lines)
