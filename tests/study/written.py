"""Study files as a person writes them, and what lumsim says of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from lumsim.errors import Problem, StudyError
from lumsim.study.reading import study_from_text

SIGN = """\
title = "Sign"
units = "in"

[cabinet]
width = "48 in"
height = "24 in"
depth = "6 in"

[interior]
back_reflectance = 0.85

[face]
transmittance = 0.40
reflectance = 0.40
visible_border = "1 in"

[modules.standard]
lumens = 90.0

[[rows]]
module = "standard"
z = "0.5 in"
pitch = "8 in"
module_pitch = "4 in"

[requirement]
stripe_max_to_min = 1.2
"""
"""A study without fault: three rows of twelve modules."""


def changed(*changes: tuple[str, str]) -> str:
    """Return ``SIGN`` with each first text, which must stand in it, replaced by the second."""
    text = SIGN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(text: str, changes: Sequence[str] = (), *, folder: Path = Path()) -> list[Problem]:
    """Return every problem of a study that must be refused."""
    with pytest.raises(StudyError) as caught:
        study_from_text(text, shown="sign.toml", folder=folder, changes=changes)
    assert caught.value.problems
    return caught.value.problems


def problem(text: str, changes: Sequence[str] = ()) -> Problem:
    """Return the one problem of a study that must have no other."""
    found = problems(text, changes)
    assert len(found) == 1, found
    return found[0]


def line_of(text: str, beginning: str) -> int:
    """Return the number, from 1, of the first line that begins so."""
    lines = text.split("\n")
    return next(number for number, line in enumerate(lines, start=1) if line.startswith(beginning))
