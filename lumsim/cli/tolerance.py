"""`lumsim tolerance`: how a study's numbers move, and what share of the signs built from it meets the requirement."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.crew import crew_of
from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, Processes, Scheduler, StudyFile
from lumsim.cli.statuses import ended

__all__ = ["tolerance"]


def tolerance(
    study: StudyFile,
    changes: Changes = [],
    signs: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="How many built signs to draw; as the study's [tolerance] says, 1000 unless said.",
            show_default=False,
        ),
    ] = None,
    seed: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            help="Of the draw: the same seed draws the same signs; as the study says, 1 unless said.",
            show_default=False,
        ),
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Write every built sign as a line of a table (.csv).", show_default=False
        ),
    ] = None,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    processes: Processes = None,
    scheduler: Scheduler = None,
    json: Json = False,
) -> None:
    """Say how each length moves the evenness, which dead module hurts most, and what share of built signs passes."""
    from lumsim.study.reading import read_study

    read = read_study(study, changes=changes)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.errors import InputError
    from lumsim.report.files import refuse_ending, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.tolerance_document import tolerance_document
    from lumsim.report.tolerance_text import tolerance_csv, tolerance_text
    from lumsim.study.answering import lighting_of
    from lumsim.study.spread import MOST_SIGNS
    from lumsim.study.tolerating import tolerance as answered

    asked = read.tolerance
    if signs is not None:
        if not 1 <= signs <= MOST_SIGNS:
            raise InputError(f"--signs {signs}: from 1 to {MOST_SIGNS} signs are drawn")
        asked = replace(asked, signs=signs)
    if seed is not None:
        if not 0 <= seed < 2**63:
            raise InputError(f"--seed {seed}: a seed is a whole number from 0 to {2**63 - 1}")
        asked = replace(asked, seed=seed)
    if not asked.spread.any:
        for option, value in (("--signs", signs), ("--seed", seed), ("--csv", csv)):
            if value is not None:
                raise InputError(
                    f"{option} {value}: no sign is drawn, for the study does not say what built signs differ in: "
                    "give it under [tolerance], such as --set tolerance.flux_scatter=0.05"
                )
    if csv is not None:
        refuse_ending(csv, ".csv", option="--csv", what="a table")
        refuse_unwritable(csv)
    answer = answered(
        read,
        asked=asked,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        crew=crew_of(processes, scheduler),
        progress=progress_line("tolerance"),
    )
    if csv is not None and answer.tolerance is not None:
        write_whole(csv, tolerance_csv(answer.tolerance))
        say(f"wrote {csv}")
    show(as_json(tolerance_document(read, answer)) if json else tolerance_text(read, answer))
    raise ended(met=answer.own.met, finished=answer.finished)
