"""Arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["Changes", "DirectOnly", "Fine", "Json", "Processes", "Scheduler", "StudyFile"]

StudyFile = Annotated[
    Path, typer.Argument(metavar="STUDY", help="The study file (TOML).", show_default=False)
]

Changes = Annotated[
    list[str],
    typer.Option(
        "--set",
        metavar="KEY=VALUE",
        help='Try a change without editing the file, such as --set cabinet.depth="8 in" or --set rows.pitch="9 in"; '
        "an empty value takes the key away. Repeatable.",
        show_default=False,
    ),
]

DirectOnly = Annotated[
    bool,
    typer.Option("--direct-only", help="Leave out the light that back, returns and face throw back."),
]

Fine = Annotated[
    bool, typer.Option("--fine", help="Take a finer mesh for the light thrown back: more digits, more time.")
]

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]

Processes = Annotated[
    int | None,
    typer.Option(
        metavar="N",
        help="Share long work out to so many processes; one for each core unless given. The answer is the same.",
        show_default=False,
    ),
]

Scheduler = Annotated[
    str | None,
    typer.Option(
        metavar="ADDRESS",
        help="Share long work out to the workers of a dask scheduler, such as tcp://10.0.0.5:8786, instead.",
        show_default=False,
    ),
]
