"""Lengths given on the command line, and points of the face answered for."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from lumsim.cabinet.cabinet import Cabinet
from lumsim.errors import InputError, LengthError
from lumsim.photometry import face_luminance
from lumsim.report.light_text import light_text
from lumsim.report.notes import light_followed
from lumsim.report.numbers import significant
from lumsim.simulation import LitFace, Simulation
from lumsim.study.reading import Study
from lumsim.units import Units, format_length, format_size, parse_length

__all__ = ["PointAnswer", "depths_of", "length_of", "of_points", "points_of", "points_text"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PointAnswer:
    """The light at one point of a face."""

    direct: float
    """on the inner side, straight from the modules [lx]"""
    reflected: float
    """on the inner side, thrown back; 0 where it is not followed [lx]"""
    luminance: float
    """in front [cd/m²]"""

    @property
    def total(self) -> float:
        """On the inner side. [lx]"""
        return self.direct + self.reflected


def of_points(lit: LitFace, points: Sequence[Point]) -> list[PointAnswer]:
    """The light at points of one face.

    Parameters
    ----------
    lit : LitFace
    points : sequence of (x, y)
        At least one, as seen from in front also on the rear face. [m]
    """
    x, y = (np.array(values, dtype=np.float64) for values in zip(*points, strict=True))
    direct, reflected = lit.direct.illuminance(x, y), lit.reflected_at(x, y)
    luminance = face_luminance(direct + reflected, lit.face.outward_transmittance)
    return [
        PointAnswer(direct=float(E), reflected=float(R), luminance=float(L))
        for E, R, L in zip(direct, reflected, luminance, strict=True)
    ]


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
            raise InputError(f"--depths {text}: {_why_no_depths(text) or error}") from None
        if not depth > 0:
            raise InputError(f"--depths {text}: a depth must be more than 0, got {part.strip()}")
        depths.append(depth)
    return tuple(dict.fromkeys(depths))


def length_of(option: str, text: str) -> Fraction:
    """The length that an option of the command line gives. [m]

    Parameters
    ----------
    option : str
        For messages, such as ``--step``.
    text : str

    Raises
    ------
    InputError
        Where it cannot be read or is not above 0.
    """
    try:
        length = parse_length(text.strip())
    except LengthError as error:
        if not re.fullmatch(r"0+(\.0*)?", text.strip()):
            raise InputError(f"{option} {text}: {error}") from None
        length = Fraction(0)
    if not length > 0:
        raise InputError(f'{option} {text}: must be more than 0, such as "1/2 in" or "10 mm"')
    return length


def _why_no_depths(text: str) -> str | None:
    """What was meant by some slips of the pen; None for any other."""
    if difflib.get_close_matches(text.strip().lower(), ["usual"], cutoff=0.6):
        return "did you mean usual?"
    parts = [part.strip() for part in text.replace(";", ",").split(",")]
    if len(parts) < 2:
        return None
    try:
        for part in parts:
            parse_length(part)
    except LengthError:
        return None
    return f'write a semicolon between depths, such as --depths "{"; ".join(parts)}"'


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
    faces = simulation.faces[:1] if simulation.cabinet.mirrored_faces else simulation.faces
    lines = ["", f"Points asked for: behind the face and in front of it ({light_followed(simulation)})"]
    answers = [of_points(lit, points) for lit in faces]
    for i, (x, y) in enumerate(points):
        place = f"  {format_length(x, study.units):>10} from left, {format_length(y, study.units):>10} from bottom:"
        if len(faces) == 1:
            alike = ", front and rear alike" if simulation.rear is not None else ""
            lines.append(f"{place} {_point(answers[0][i])}{alike}")
            continue
        lines.append(place)
        lines += [f"    {lit.side:<6}{_point(found[i])}" for lit, found in zip(faces, answers, strict=True)]
    return light_text(study, simulation, extra=lines)


def _point(found: PointAnswer) -> str:
    direct = f" ({significant(found.direct, 5)} lx of it direct)" if found.reflected else ""
    return f"{significant(found.total, 5)} lx{direct}, {significant(found.luminance, 5)} cd/m²"
