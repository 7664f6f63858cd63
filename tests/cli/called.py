"""The command line called in this process, and a small study for it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from lumsim.cli.app import app

SMALL = """\
title = "Corner shop"
units = "in"

[cabinet]
width = "12 in"
height = "16 in"
depth = "6 in"

[face]
transmittance = 0.40
reflectance = 0.40
visible_border = "1 in"

[modules.standard]
lumens = 90.0
watts = 0.8

[[rows]]
z = "0.5 in"
pitch = "4 in"
module_pitch = "4 in"

[requirement]
stripe_max_to_min = 1.2
"""
"""A study that is lit and searched in a moment, and meets its requirement."""

UNEQUAL = (
    SMALL.replace('"6 in"', '"6 in"\nfaces = 2')
    .replace("[modules", "[face.rear]\ntransmittance = 0.3\nreflectance = 0.5\n\n[modules")
    .replace('z = "0.5 in"', 'z = "2 in"\nfront_share = 0.6')
    .replace("= 1.2\n", "= 1.1\n")
)
"""The same with two faces and modules nearer the rear one, which alone fails."""

MIRRORED = SMALL.replace('"6 in"', '"6 in"\nfaces = 2').replace('z = "0.5 in"', 'z = "3 in"')
"""The same with two faces alike, and modules midway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """What a command printed, and its exit status."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """What stands on stdout, as JSON without NaN or infinity."""

        def refuse(name: str) -> None:
            raise AssertionError(f"{name} is no JSON")

        read = json.loads(self.out, parse_constant=refuse)
        assert isinstance(read, dict)
        return read


def lumsim(*arguments: str | Path) -> Called:
    """Call lumsim with these arguments; nothing but an exit status may come out of it."""
    result = CliRunner().invoke(app, [str(argument) for argument in arguments], prog_name="lumsim")
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return Called(status=result.exit_code, out=result.stdout, err=result.stderr)


def small_study(folder: Path, *, text: str = SMALL) -> Path:
    """Write a study file."""
    file = folder / "shop.toml"
    file.write_text(text, encoding="utf-8")
    return file
