"""`lumsim new`: a commented study to start from; the JSON Schema of study files."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.messages import say

__all__ = ["new"]


def _units(given: str) -> str:
    if given not in {"in", "mm"}:
        raise typer.BadParameter(f"a study is written in inches, in, or in millimetres, mm; got {given}")
    return given


def new(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="The study file to write.", show_default=False)
    ] = None,
    units: Annotated[
        str, typer.Option(metavar="<in|mm>", help="What its lengths are written in.", callback=_units)
    ] = "in",
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
        written = starter_study(units="mm" if units == "mm" else "in", name=file.name)
        write_whole(file, written.encode(), overwrite=False)
        say(f"wrote {file}; next: lumsim check {file}")
    if schema is not None:
        write_whole(
            schema,
            (json.dumps(study_schema(), indent=2, ensure_ascii=False) + "\n").encode(),
            overwrite=False,
        )
        say(f"wrote {schema}")
