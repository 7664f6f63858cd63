"""`lumsim new`: a commented study to start from; the JSON Schema of study files."""

from __future__ import annotations

from enum import Enum
from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import say

__all__ = ["new"]


class _Units(str, Enum):
    inches = "in"
    millimetres = "mm"


def new(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The study file to write.", show_default=False)
    ] = None,
    units: Annotated[_Units, typer.Option(help="What its lengths are written in.")] = _Units.inches,
    schema: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the JSON Schema of study files here, for editors that complete and check by it.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Write a commented study to start from. A file that is there is never overwritten."""
    import json

    from lumsim.errors import InputError
    from lumsim.report.files import write_whole
    from lumsim.study.form import study_schema
    from lumsim.study.starter import starter_study

    if file is None and schema is None:
        raise InputError("name the study file to write, such as: lumsim new sign.toml")
    if file is not None:
        write_whole(file, starter_study(units=units.value, name=file.name).encode(), overwrite=False)
        say(f"wrote {file}; next: lumsim check {file}")
    if schema is not None:
        write_whole(
            schema,
            (json.dumps(study_schema(), indent=2, ensure_ascii=False) + "\n").encode(),
            overwrite=False,
        )
        say(f"wrote {schema}")
