"""`lumsim submittal`: the paper that justifies a spacing, as one PDF."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from lumsim.cli.crew import crew_of
from lumsim.cli.messages import progress_line, say, say_if_compiling, show
from lumsim.cli.options import Changes, DirectOnly, Fine, Json, Processes, Scheduler, StudyFile
from lumsim.cli.statuses import ended

__all__ = ["submittal"]


def submittal(
    study: StudyFile,
    output: Annotated[
        Path, typer.Option("-o", "--output", metavar="FILE", help="The PDF to write.", show_default=False)
    ],
    changes: Changes = [],
    plane: Annotated[
        bool,
        typer.Option(help="Light every point of the plane of row pitch and depth too, which takes longest."),
    ] = True,
    direct_only: DirectOnly = False,
    fine: Fine = False,
    processes: Processes = None,
    scheduler: Scheduler = None,
    json: Json = False,
) -> None:
    """Write a submittal: requirement and verdict, inputs, plan, pictures, method, build sheet, cautions, as one PDF."""
    from lumsim.study.reading import read_study

    read = read_study(study, changes=changes)
    crew = crew_of(processes, scheduler)
    # Before the imports below, which compile what is not yet compiled.
    say_if_compiling()
    from lumsim.paper.submittal import submittal_paper
    from lumsim.paper.typesetting import typeset
    from lumsim.report.files import refuse_ending, refuse_unwritable, write_whole
    from lumsim.report.json_text import as_json
    from lumsim.report.light_text import verdict_line
    from lumsim.report.submittal_document import submittal_document
    from lumsim.study.answering import lighting_of
    from lumsim.study.submitting import submit

    refuse_ending(output, ".pdf", option="--output", what="a submittal")
    refuse_unwritable(output)
    answer = submit(
        read,
        lighting=lighting_of(direct_only=direct_only, fine=fine),
        with_plane=plane,
        crew=crew,
        progress=progress_line("submittal"),
    )
    if answer.finished:
        write_whole(output, typeset(submittal_paper(read, answer)))
        say(f"wrote {output}")
    else:
        say(f"lumsim: stopped; {output} is not written")
    show(as_json(submittal_document(read, answer)) if json else verdict_line(answer.own))
    raise ended(met=answer.met, finished=answer.finished)
