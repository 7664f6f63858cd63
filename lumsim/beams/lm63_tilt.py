"""How a lamp's light changes when its luminaire is tilted: the TILT line of photometric files and its table."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from lumsim.beams.directions import Array
from lumsim.beams.lm63_text import LARGEST, MOST_ANGLES, Findings, Head, Numbers, split_lines, text_of

__all__ = ["LampTilt", "read_tilt"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LampTilt:
    """How the light of a lamp changes when the luminaire is tilted; kept, never applied."""

    geometry: int
    """1: lamp upright when the luminaire is not tilted; 2: lamp level and stays so; 3: lamp level, tilts with it"""
    angles: Array
    """(n,), rising [deg]"""
    factors: Array
    """(n,) [1]"""


def read_tilt(head: Head, numbers: Numbers, folder: Path | None, findings: Findings) -> LampTilt | None:
    """Read what the TILT line asks for.

    Parameters
    ----------
    head : Head
        Holds the TILT line.
    numbers : Numbers
        Those after it, of which the table is taken if it is there.
    folder : Path or None
        Where a table in a file of its own is looked for.
    findings : Findings
        What is wrong or odd is noted there.

    Returns
    -------
    LampTilt or None
        None: there is none, or it cannot be.
    """
    told = head.tilt
    if told.upper() == "NONE":
        return None
    if told.upper() == "INCLUDE":
        return _tilt_table(numbers, findings, findings, included=head.tilt_line)
    if not told:
        findings.problem("TILT= must be followed by NONE, INCLUDE or the name of a file", head.tilt_line)
        return None
    if head.edition == "LM-63-2019":
        findings.problem(
            f"TILT={told} names a file, which {head.edition} has no longer: it must be NONE or INCLUDE",
            head.tilt_line,
        )
        return None
    # Old files name a place on the machine that they were written on.
    wanted = told.replace("\\", "/").rpartition("/")[2]
    path = None if folder is None else _beside(folder, wanted)
    if path is None:
        findings.remark(
            f"TILT={told} names a file that is not beside it: how a tilted lamp's light changes is not known",
            head.tilt_line,
        )
        return None
    theirs = Findings(where=path.name)
    tilt = _tilt_table(
        Numbers(split_lines(text_of(path, path.name)), after=0, findings=theirs), theirs, findings
    )
    theirs.refuse()
    return tilt


def _beside(folder: Path, wanted: str) -> Path | None:
    """Find a file by its name in capitals or not."""
    try:
        return next((one for one in sorted(folder.iterdir()) if one.name.upper() == wanted.upper()), None)
    except OSError:
        return None


def _tilt_table(
    numbers: Numbers, findings: Findings, remarks: Findings, *, included: int | None = None
) -> LampTilt | None:
    """Read the table; what follows a TILT=INCLUDE in line ``included`` may be none, and then nothing fits."""

    def refuse() -> None:
        if included is not None:
            findings.problem(
                "TILT=INCLUDE must be followed by its table: geometry, number of angles, angles and factors; where "
                "there is none write TILT=NONE",
                included,
            )
        findings.refuse()

    geometry = numbers.whole("lamp-to-luminaire geometry", 1, 3)
    count = numbers.whole("number of tilt angles", 1, MOST_ANGLES)
    if not count:
        refuse()
    angles, lines = numbers.many("tilt angles", count, largest=180)
    factors, _ = numbers.many("tilt factors", count, largest=LARGEST)
    if numbers.ended:
        refuse()
    falls = np.flatnonzero(np.diff(angles) <= 0)
    if len(falls):
        at = int(falls[0]) + 1
        findings.problem(f"must rise, got {angles[at]:g} after {angles[at - 1]:g}", lines[at], "tilt angles")
        refuse()
    if np.any(factors < 0):
        findings.problem(f"must be at least 0, got {factors.min():g}", numbers.last_line, "tilt factors")
    if findings.problems:
        return None
    for at_rest in factors[angles == 0]:
        if at_rest != 1:
            remarks.remark(
                f"the factor for a lamp that is not tilted is {at_rest:g} and not 1; it is not applied"
            )
    angles.flags.writeable = factors.flags.writeable = False
    return LampTilt(geometry=geometry, angles=angles, factors=factors)
