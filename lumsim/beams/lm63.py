"""Photometric files of ANSI/IES LM-63, editions 1986, 1991, 1995, 2002 and 2019: `read_lm63_file`.

Such a file holds the intensity of a luminaire or module over directions. What cannot be is refused, every fault at
once, with file and line; what is odd is read and remarked on. Keywords are tolerated in any form.

What is multiplied and what is not: intensity = value × candela multiplier × ballast factor, up to 1995 also
× ballast-lamp photometric factor. In 2002 that field is kept for future use, in 2019 it says how the file came
about (1.10000 is "accredited laboratory" and not ten per cent more light). Factors for tilted lamps are kept and
never applied, for photometry is told for the lamp as the luminaire holds it untilted.

References
----------
.. [1] ANSI/IESNA LM-63-02, Standard File Format for the Electronic Transfer of Photometric Data.
.. [2] ANSI/IES LM-63-19, for the file generation type.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from lumsim.beams import directions
from lumsim.beams.directions import Array, PhotometricType
from lumsim.beams.lm63_rows import odd_row
from lumsim.beams.lm63_text import (
    LARGEST,
    MOST_ANGLES,
    Findings,
    Numbers,
    read_head,
    spaced,
    split_lines,
    text_of,
)
from lumsim.beams.lm63_tilt import LampTilt, read_tilt

__all__ = ["PhotometricFile", "read_lm63", "read_lm63_file", "zonal_flux"]

FOOT = 0.3048
"""[m]"""

LARGEST_SIZE = 1e4
"""The largest luminous opening. [foot or m]"""
SMALLEST = 1e-12
"""The smallest factor and flux of a lamp that is taken. [1, lm]"""

ROUNDED_BELOW_ZERO = 1e-6
"""Values less far below 0 than this share of the peak are what rounding leaves, and taken as 0. [1]"""
TOLD_TWICE = 0.01
"""Intensities of one direction that differ by more than this share of the peak are remarked on. [1]"""
ABOVE_RATED = 0.01
"""By what share flux may be above the rated lumens without a remark. [1]"""

MULTIPLIED_UP_TO = ("LM-63-1986", "LM-63-1991", "LM-63-1995")
"""Editions whose twelfth number is a factor, the ballast-lamp photometric one."""

TYPES: dict[int, PhotometricType] = {1: "C", 2: "B", 3: "A"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotometricFile:
    """What a photometric file says."""

    name: str
    """for messages"""
    edition: str
    """"LM-63-1986", "LM-63-1991", "LM-63-1995", "LM-63-2002" or "LM-63-2019\""""
    keywords: tuple[tuple[str, str], ...]
    """in their order, in capitals; [MORE] lines joined to what they continue, free labels under \"\""""
    lamps: int
    lumens_per_lamp: float | None
    """rated; None: absolute photometry, which knows no rated lumens [lm]"""
    multiplier: float
    """all factors together, applied to `candela` [1]"""
    photometric_type: PhotometricType
    width: float
    """of the luminous opening, across [m]"""
    length: float
    """of the luminous opening, along horizontal angle 0 [m]"""
    height: float
    """of the luminous opening [m]"""
    round_opening: bool
    """the opening is round or elliptic: a circle, a cylinder, a sphere"""
    watts: float
    """input power [W]"""
    vertical: Array
    """(v,), rising [deg]"""
    horizontal: Array
    """(h,), rising; 360 is added where a file of type C leaves it out [deg]"""
    candela: Array
    """(h, v), the multiplier applied [cd]"""
    tilt: LampTilt | None
    """None: none told"""
    file_generation: str | None
    """2019: how the file came about, such as "simulated"; None in older editions"""
    remarks: tuple[str, ...]
    """what is odd, a sentence each, with its line where there is one"""

    @property
    def symmetry(self) -> str:
        """What light is alike, in words, as the horizontal angles tell it."""
        return directions.symmetry(self.photometric_type, self.horizontal)


def zonal_flux(file: PhotometricFile) -> float:
    """Flux of all intensities of a file, in lumens: linear between its angles, see `directions.flux`."""
    return directions.flux(file.photometric_type, file.vertical, file.horizontal, file.candela)


def read_lm63(text: str, name: str) -> PhotometricFile:
    """Read the text of a photometric file.

    Parameters
    ----------
    text : str
        The whole of it. Of TILT=<file> the table cannot be looked up, which is remarked on.
    name : str
        What to call it in messages.

    Raises
    ------
    StudyError
        The file cannot be read; every fault that can be told, with its line.
    """
    return _read(text, name, None)


def read_lm63_file(path: Path, *, shown: str | None = None) -> PhotometricFile:
    """Read a photometric file, in UTF-8 or Latin-1.

    Parameters
    ----------
    path : Path
        Where it is. The table of TILT=<file> is looked for beside it.
    shown : str, optional
        What to call it in messages: the path unless said.

    Raises
    ------
    StudyError
        The file cannot be read; every fault that can be told, with its line.
    """
    shown = str(path) if shown is None else shown
    return _read(text_of(path, shown), shown, path.parent)


def _read(text: str, name: str, folder: Path | None) -> PhotometricFile:
    findings = Findings(where=name)
    lines = split_lines(text)
    head = read_head(lines, findings)
    numbers = Numbers(lines, after=head.tilt_line, findings=findings)
    tilt = read_tilt(head, numbers, folder, findings)

    lamps = numbers.whole("number of lamps", 1, 1_000_000)
    lumens = numbers.real("lumens per lamp", SMALLEST, LARGEST, also=-1)
    lumens_line = numbers.last_line
    multiplier = numbers.real("candela multiplier", SMALLEST, LARGEST)
    v = numbers.whole("number of vertical angles", 1, MOST_ANGLES)
    h = numbers.whole("number of horizontal angles", 1, MOST_ANGLES)
    kind = TYPES.get(numbers.whole("photometric type", 1, 3, ", for type C, B and A"))
    units = numbers.whole("units", 1, 2, ", for feet and metres")
    width, length, height = (
        numbers.real(what, -LARGEST_SIZE, LARGEST_SIZE) for what in ("width", "length", "height")
    )
    multiplier *= numbers.real("ballast factor", SMALLEST, LARGEST)
    factor, generation = _twelfth(head.edition, numbers, findings)
    watts = numbers.real("input watts", 0, LARGEST)
    if not (v and h):
        # Where what follows begins and ends is not known.
        findings.refuse()

    vertical = _angles("vertical angles", v, numbers, kind, directions.vertical_fault, findings)
    horizontal = _angles("horizontal angles", h, numbers, kind, _horizontal_fault, findings)
    row = _odd_row(numbers, v, horizontal)
    candela = _candela(v, h, numbers, findings, short=row)
    numbers.leave(long=row)
    findings.refuse()
    assert kind is not None  # a type that is not known is a problem

    candela *= multiplier * factor
    if not candela.max() > 0:
        findings.problem("all intensities are 0 cd: there is no light in it", numbers.last_line)
        findings.refuse()
    if kind == "C" and directions.missing_repeat(horizontal):
        findings.remark(
            f"the horizontal angles end at {horizontal[-1]:g} deg; the light at 0 deg is taken again at 360 deg"
        )
        horizontal, candela = np.append(horizontal, 360.0), np.vstack([candela, candela[:1]])
    for array in (vertical, horizontal, candela):
        array.flags.writeable = False
    _remark_on_light(kind, vertical, horizontal, candela, findings)
    rated = None if lumens == -1 else lumens
    if rated is not None:
        light = directions.flux(kind, vertical, horizontal, candela)
        share = light / (lamps * rated)
        if share > 1 + ABOVE_RATED:
            findings.remark(
                f"the file's light adds up to {100 * share:.{0 if share > 1.1 else 1}f} % of its rated lumens: "
                f"{light:.4g} lm, rated {lamps * rated:.4g} lm",
                lumens_line,
            )

    return PhotometricFile(
        name=name,
        edition=head.edition,
        keywords=head.keywords,
        lamps=lamps,
        lumens_per_lamp=rated,
        multiplier=multiplier * factor,
        photometric_type=kind,
        **_opening(width, length, height, 1.0 if units == 2 else FOOT),
        round_opening=width < 0 or length < 0,
        watts=watts,
        vertical=vertical,
        horizontal=horizontal,
        candela=candela,
        tilt=tilt,
        file_generation=generation,
        remarks=tuple(findings.remarks),
    )


def _twelfth(edition: str, numbers: Numbers, findings: Findings) -> tuple[float, str | None]:
    """Take the number that each edition has another use for: the factor that it is, and how the file came about."""
    if edition in MULTIPLIED_UP_TO:
        return numbers.real("ballast-lamp photometric factor", SMALLEST, LARGEST), None
    if edition == "LM-63-2002":
        value = numbers.real("number for future use", -LARGEST, LARGEST)
        if not math.isnan(value) and value != 1:
            findings.remark(
                f"the number for future use is {value:g} and not 1; it is not used", numbers.last_line
            )
        return 1.0, None
    value = numbers.real("file generation type", -LARGEST, LARGEST)
    if math.isnan(value):
        return 1.0, None
    generation = _generation(value)
    if generation is None:
        findings.remark(
            f"{value:g} is no file generation type that is known; it is not used", numbers.last_line
        )
    return 1.0, generation or f"unknown ({value:g})"


def _generation(value: float) -> str | None:
    """How a file came about, by the digits of its file generation type 1.abcde [2]; None where they are not known."""
    whole, _, digits = f"{value:.5f}".partition(".")
    if whole != "1" or abs(value - round(value, 5)) > 1e-9:
        return None
    if digits == "00001":
        return "undefined"
    if digits == "00010":
        return "simulated"
    if not set(digits[:3]) <= {"0", "1"} or digits[3:] != "00":
        return None
    accredited, interpolated, scaled = (digit == "1" for digit in digits[:3])
    said = ["accredited laboratory" if accredited else "unaccredited laboratory"]
    said += ["interpolated"] * interpolated + ["scaled"] * scaled
    return ", ".join(said)


def _angles(
    what: str,
    count: int,
    numbers: Numbers,
    kind: PhotometricType | None,
    fault: Callable[[PhotometricType, Array], tuple[int, str] | None],
    findings: Findings,
) -> Array:
    angles, lines = numbers.many(what, count, largest=360)
    if kind is not None and len(angles) and np.all(np.isfinite(angles)):
        wrong = fault(kind, angles)
        if wrong is not None:
            at, text = wrong
            findings.problem(text, lines[at], what)
    return angles


def _horizontal_fault(kind: PhotometricType, horizontal: Array) -> tuple[int, str] | None:
    found = directions.horizontal_fault(kind, horizontal)
    ends_early = found is not None and kind == "C" and directions.missing_repeat(horizontal)
    return None if ends_early else found


def _odd_row(numbers: Numbers, v: int, horizontal: Array) -> tuple[int, str] | None:
    """Where a row of candela values that is too short or too long begins, and what to say of it."""
    lines, h = numbers.lines_ahead, len(horizontal)
    found = odd_row(lines, h, v) if len(lines) != h * v else None
    if found is None:
        return None
    row, line, count = found
    return line, (
        f"; the row of horizontal angle {horizontal[row]:g} deg, which begins in line {line}, has "
        f"{spaced(count)} for {spaced(v)} vertical angles"
    )


def _candela(v: int, h: int, numbers: Numbers, findings: Findings, *, short: tuple[int, str] | None) -> Array:
    values, lines = numbers.many(
        "candela values",
        h * v,
        short=short,
        of=f" for {spaced(v)} vertical by {spaced(h)} horizontal angles",
        largest=LARGEST,
    )
    if not len(values) or np.any(np.isnan(values)):
        return values
    negative = np.flatnonzero(values < 0)
    if len(negative):
        first, least = negative[0], values.min()
        if least >= -ROUNDED_BELOW_ZERO * values.max():
            findings.remark(
                f"candela values a little below 0, by rounding, are taken as 0: {spaced(len(negative))}, "
                f"the lowest {least:g}",
                lines[first],
            )
            values[negative] = 0
        else:
            others = f", the first of {spaced(len(negative))}" if len(negative) > 1 else ""
            findings.problem(
                f"must be at least 0, got {values[first]:g}{others}", lines[first], "candela values"
            )
    return values.reshape(h, v)


def _remark_on_light(
    kind: PhotometricType, vertical: Array, horizontal: Array, candela: Array, findings: Findings
) -> None:
    """Remark on directions that are told twice and differently, and on what the angles leave open."""
    if kind != "C":
        if vertical[0] == 0:
            findings.remark(
                "the vertical angles start at 0 deg: the light at angles below is taken to mirror that above"
            )
        return
    told = [
        (f"vertical angle {vertical[k]:g} deg", candela[:, k]) for k in (0, -1) if vertical[k] in {0, 180}
    ]
    if horizontal[-1] - horizontal[0] == 360:
        told += [("horizontal angles 0 and 360 deg", candela[[0, -1]])]
    for where, values in told:
        apart = float(np.max(np.ptp(values, axis=0)) / candela.max())
        if apart > TOLD_TWICE:
            findings.remark(
                f"the intensity at {where}, which is one direction, is told as values that differ by "
                f"{100 * apart:.1f} % of the peak"
            )


def _opening(width: float, length: float, height: float, unit: float) -> dict[str, float]:
    """The sizes of the luminous opening, in metres, without the signs that say that it is round.

    Up to 1995 a circle and an upright cylinder were written with the diameter once, as -d, 0 (from memory); a
    circle that stands upright, -d, 0, -d, has no length.
    """
    if height >= 0:
        if width < 0 and length == 0:
            length = width
        if length < 0 and width == 0:
            width = length
    return {"width": abs(width) * unit, "length": abs(length) * unit, "height": abs(height) * unit}
